"""The two switches of the Yard page: the picture arranged by place, lanes under the season."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal, Slot
from PySide6.QtGui import QAction

from bloomline.ui.document import Document
from bloomline.ui.files.memory import ProgramSettings
from bloomline.ui.season.panel import SeasonPanel
from bloomline.ui.yard.panel import YardPanel
from bloomline.words import tr

if TYPE_CHECKING:
    from bloomline.ui.stage.grouping import StageGrouping
    from bloomline.ui.stage.season_lanes import SeasonLanes

_BY_PLACE_KEY = "yard/by_place"
_LANES_KEY = "season/lanes"


class StageSwitches(QObject):
    """Their actions, remembered from one start to the next; off in a yard without places."""

    said = Signal(str)

    def __init__(
        self,
        document: Document,
        *,
        yard: YardPanel,
        season: SeasonPanel,
        settings: ProgramSettings,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._document, self._settings = document, settings
        self._yard, self._season = yard, season
        self._grouping: StageGrouping | None = None
        self._lanes: SeasonLanes | None = None
        self.by_place = self._action(
            "by_place",
            tr("Yard by &place"),
            tr("By place"),
            tr("Put the pots under the places where they stand on the day looked at"),
            "F7",
        )
        self.lanes = self._action(
            "season_lanes",
            tr("Places &under the season"),
            tr("Places"),
            tr("Show who stands where under the season's rows"),
            "F6",
        )
        for action, key in ((self.by_place, _BY_PLACE_KEY), (self.lanes, _LANES_KEY)):
            action.setChecked(settings.value(key) is True)
        self.by_place.toggled.connect(self._keep_by_place)
        self.lanes.toggled.connect(self._keep_lanes)
        yard.put_switch(self.by_place)
        season.head.put_switch(self.lanes)
        document.yard_changed.connect(self._follow)
        self._follow()

    def _action(self, name: str, words: str, short: str, tip: str, keys: str) -> QAction:
        action = QAction(words, self)
        action.setObjectName(f"action_{name}")
        action.setIconText(short)
        action.setShortcut(keys)
        action.setCheckable(True)
        action.setStatusTip(tip)
        action.setToolTip(f"{tip} ({keys})")
        return action

    def actions(self) -> list[QAction]:
        """The switches, for a menu."""
        return [self.by_place, self.lanes]

    @Slot(bool)
    def _keep_by_place(self, wanted: bool) -> None:
        self._settings.setValue(_BY_PLACE_KEY, wanted)
        self._follow()

    @Slot(bool)
    def _keep_lanes(self, wanted: bool) -> None:
        self._settings.setValue(_LANES_KEY, wanted)
        self._follow()

    @Slot()
    def _follow(self, *_: object) -> None:
        """Show what is switched on, as far as the yard has places."""
        has_places = bool(self._document.yard.display_places)
        for action in self.actions():
            action.setEnabled(has_places)
        self._show_grouping(has_places and self.by_place.isChecked())
        self._show_lanes(has_places and self.lanes.isChecked())

    def _show_grouping(self, wanted: bool) -> None:
        if wanted and self._grouping is None:
            from bloomline.ui.stage.grouping import StageGrouping

            self._grouping = StageGrouping(self._document, self)
            self._grouping.said.connect(self.said)
            self._grouping.changed.connect(self._follow_grouping)
        if self._grouping is not None:
            self._grouping.watch.wake(wanted)
            self._yard.arrange(self._grouping if wanted else None)

    @Slot()
    def _follow_grouping(self) -> None:
        if self._yard.canvas.grouping is not None:
            self._yard.canvas.regroup()

    def _show_lanes(self, wanted: bool) -> None:
        if wanted and self._lanes is None:
            from bloomline.ui.stage.season_lanes import SeasonLanes

            self._lanes = SeasonLanes(self._document, self._season.view, self._season)
            self._lanes.desk.said.connect(self.said)
            self._season.put_under(self._lanes)
        if self._lanes is not None:
            self._lanes.setVisible(wanted)

    def stop(self) -> None:
        """End the work beside the window; safe to call twice."""
        for part in (self._grouping, self._lanes):
            if part is not None:
                part.stop()
