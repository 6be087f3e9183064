"""What the timeline offers to menus and keys."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from PySide6.QtCore import QObject, Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QWidget

from bloomline.words import tr

PLOT_ONLY = frozenset(
    {"season_fit", "season_zoom_in", "season_zoom_out", "bare_after", "bare_before"}
)
"""What has no sense in the table."""
_IN_TABLE = ("season_as_table", "season_by_first_flower", "fill_gap")


class SeasonActions(QObject):
    """The actions by name; their keys work while plot or table has the focus."""

    def __init__(
        self,
        deeds: Mapping[str, Callable[..., object]],
        *,
        owner: QWidget,
        plot: QWidget,
        table: QWidget,
    ) -> None:
        """deeds : what each action does, by its name."""
        super().__init__(owner)
        self.by_name: dict[str, QAction] = {}

        def add(
            name: str, text: str, tip: str, keys: str, *, short: str = "", is_toggle: bool = False
        ) -> None:
            action = QAction(text, owner)
            action.setIconText(short or action.iconText())
            action.setObjectName(f"action_{name}")
            action.setCheckable(is_toggle)
            action.setShortcuts([QKeySequence(key) for key in keys.split()])
            # Plain letters and arrows belong to whatever has the focus, never to the window.
            action.setShortcutContext(Qt.ShortcutContext.WidgetShortcut)
            named = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
            action.setToolTip(f"{tip} ({named})")
            action.setStatusTip(tip)
            (action.toggled if is_toggle else action.triggered).connect(deeds[name])
            plot.addAction(action)
            if name in _IN_TABLE or name.startswith("plant_"):
                table.addAction(action)
            self.by_name[name] = action

        add(
            "play_season",
            tr("&Play the season"),
            tr("Run the day line through the season"),
            "Space",
            short=tr("▶ Play"),
        )
        add(
            "day_today",
            tr("Look at &today"),
            tr("Show the yard as it stands today"),
            "T",
            short=tr("Today"),
        )
        add("day_before", tr("Pre&vious day"), tr("Move the day line a day back"), "Left")
        add("day_after", tr("&Next day"), tr("Move the day line a day on"), "Right")
        add(
            "season_fit",
            tr("&Whole season"),
            tr("Show all days from the first planting to the last flower"),
            "F",
            short=tr("Fit"),
        )
        add(
            "season_zoom_in",
            tr("Zoom &in"),
            tr("Show fewer days, wider"),
            "+ =",
            short="+",
        )
        add(
            "season_zoom_out",
            tr("Zoom &out"),
            tr("Show more days, narrower"),
            "-",
            short="−",
        )
        add(
            "season_by_first_flower",
            tr("Pots by &first flower"),
            tr("Put the pots that flower first on top"),
            "O",
            short=tr("By first flower"),
            is_toggle=True,
        )
        add(
            "season_as_table",
            tr("Show as t&able"),
            tr("Show the same season as a table"),
            "Ctrl+T",
            short=tr("Table"),
            is_toggle=True,
        )
        add(
            "bare_after",
            tr("Ne&xt bare stretch"),
            tr("Mark the next bare stretch; Enter shows what would fill it"),
            "B",
        )
        add(
            "bare_before",
            tr("Bare stretch &before"),
            tr("Mark the bare stretch before; Enter shows what would fill it"),
            "Shift+B",
        )
        add(
            "fill_gap",
            tr("Fill this &gap…"),
            tr("Show on the shelf what would fill the days marked, or those round the day line"),
            "G",
        )
        add(
            "plant_day_before",
            tr("Plant a day &earlier"),
            tr("Move the selected layer's planting day a day back"),
            "Alt+Left",
        )
        add(
            "plant_day_after",
            tr("Plant a day &later"),
            tr("Move the selected layer's planting day a day on"),
            "Alt+Right",
        )
        add(
            "plant_week_before",
            tr("Plant a wee&k earlier"),
            tr("Move the selected layer's planting day a week back"),
            "Alt+Shift+Left",
        )
        add(
            "plant_week_after",
            tr("Plant a week late&r"),
            tr("Move the selected layer's planting day a week on"),
            "Alt+Shift+Right",
        )
