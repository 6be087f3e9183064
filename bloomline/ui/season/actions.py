"""What the timeline offers to menus and keys, as data."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QWidget

PLOT_ONLY = frozenset({"season_fit", "season_zoom_in", "season_zoom_out", "season_by_first_flower"})
"""What has no sense in the table."""


@dataclass(frozen=True, slots=True)
class ActionData:
    """An action: its name, words and keys."""

    name: str
    text: str
    keys: tuple[str, ...]
    tip: str
    is_toggle: bool = False
    short: str = ""
    """Words for a button, where the menu's are too long."""


def make_action(
    data: ActionData,
    run: Callable[..., object],
    *,
    owner: QWidget,
    listeners: tuple[QWidget, ...],
) -> QAction:
    """Make an action whose keys work while one of the listeners has the focus."""
    action = QAction(data.text, owner)
    if data.short:
        action.setIconText(data.short)
    action.setObjectName(f"action_{data.name}")
    action.setCheckable(data.is_toggle)
    action.setShortcuts([QKeySequence(key) for key in data.keys])
    # Plain letters and arrows belong to whatever has the focus, so never to the whole window.
    action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
    keys = f" ({action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)})"
    action.setToolTip(data.tip + (keys if data.keys else ""))
    action.setStatusTip(data.tip)
    if data.is_toggle:
        action.toggled.connect(run)
    else:
        action.triggered.connect(run)
    for widget in listeners:
        widget.addAction(action)
    return action


def make_actions(
    deeds: Mapping[str, Callable[..., object]], *, owner: QWidget, plot: QWidget, table: QWidget
) -> dict[str, QAction]:
    """The panel's actions by name; deeds says what each does."""
    translate = QCoreApplication.translate
    data = [
        ActionData(
            "play_season",
            translate("SeasonActions", "&Play the season"),
            ("Space",),
            translate("SeasonActions", "Run the day line through the season"),
            short=translate("SeasonActions", "▶ Play"),
        ),
        ActionData(
            "day_today",
            translate("SeasonActions", "Look at &today"),
            ("T",),
            translate("SeasonActions", "Show the yard as it stands today"),
            short=translate("SeasonActions", "Today"),
        ),
        ActionData(
            "day_before",
            translate("SeasonActions", "Pre&vious day"),
            ("Left",),
            translate("SeasonActions", "Move the day line a day back"),
        ),
        ActionData(
            "day_after",
            translate("SeasonActions", "&Next day"),
            ("Right",),
            translate("SeasonActions", "Move the day line a day on"),
        ),
        ActionData(
            "season_fit",
            translate("SeasonActions", "&Whole season"),
            ("F",),
            translate("SeasonActions", "Show all days from the first planting to the last flower"),
            short=translate("SeasonActions", "Fit"),
        ),
        ActionData(
            "season_zoom_in",
            translate("SeasonActions", "Zoom &in"),
            ("+", "="),
            translate("SeasonActions", "Show fewer days, wider"),
            short="+",
        ),
        ActionData(
            "season_zoom_out",
            translate("SeasonActions", "Zoom &out"),
            ("-",),
            translate("SeasonActions", "Show more days, narrower"),
            short="−",
        ),
        ActionData(
            "season_by_first_flower",
            translate("SeasonActions", "Pots by &first flower"),
            ("O",),
            translate("SeasonActions", "Put the pots that flower first on top"),
            is_toggle=True,
            short=translate("SeasonActions", "By first flower"),
        ),
        ActionData(
            "season_as_table",
            translate("SeasonActions", "Show as t&able"),
            ("Ctrl+T",),
            translate("SeasonActions", "Show the same season as a table"),
            is_toggle=True,
            short=translate("SeasonActions", "Table"),
        ),
        ActionData(
            "plant_day_before",
            translate("SeasonActions", "Plant a day &earlier"),
            ("Alt+Left",),
            translate("SeasonActions", "Move the selected layer's planting day a day back"),
        ),
        ActionData(
            "plant_day_after",
            translate("SeasonActions", "Plant a day &later"),
            ("Alt+Right",),
            translate("SeasonActions", "Move the selected layer's planting day a day on"),
        ),
        ActionData(
            "plant_week_before",
            translate("SeasonActions", "Plant a wee&k earlier"),
            ("Alt+Shift+Left",),
            translate("SeasonActions", "Move the selected layer's planting day a week back"),
        ),
        ActionData(
            "plant_week_after",
            translate("SeasonActions", "Plant a week late&r"),
            ("Alt+Shift+Right",),
            translate("SeasonActions", "Move the selected layer's planting day a week on"),
        ),
    ]
    made = {}
    for one in data:
        is_of_table = one.name == "season_as_table" or one.name.startswith("plant_")
        listeners = (plot, table) if is_of_table else (plot,)
        made[one.name] = make_action(one, deeds[one.name], owner=owner, listeners=listeners)
    return made
