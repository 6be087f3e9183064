"""Guides through a first yard in under a minute: place, pots, three kinds in a row."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QSize, Qt, Slot
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import (
    QDialog,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QStackedWidget,
    QVBoxLayout,
    QWidget,
)

from bloomline.model.yard import PlaceChoice, Pot, Yard
from bloomline.plan.carry.first_yard import Suggestion, build_yard, suggest
from bloomline.plan.forecast.report import SeasonReport
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.words import figure
from bloomline.plan.season.yard import season_report
from bloomline.ui import theme
from bloomline.ui.files.guide_pages import KindsPage, PlacePage, PotsPage
from bloomline.ui.season_service import Beside
from bloomline.words import day_words, tr


class FirstYardGuide(QDialog):
    """Three short steps; Enter goes on, Alt+Left back. `yard()` is what was made."""

    def __init__(
        self,
        outlook: Outlook,
        *,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setObjectName("guide")
        self.setWindowTitle(tr("A new yard"))
        self._outlook = outlook.usual
        self._yard: Yard | None = None
        self._asked_for: tuple[object, ...] | None = None
        self._asked_pots: list[Pot] = []
        self.place_page = PlacePage(today=outlook.today, home=outlook.yard.place, parent=self)
        self.pots_page = PotsPage(self)
        self.kinds_page = KindsPage(self)
        self.place_page.changed.connect(self._refresh)
        self.pots_page.changed.connect(self._refresh)
        self.kinds_page.changed.connect(self._kinds_changed)
        self.place_page.list.activated.connect(self._next)
        self.stack = QStackedWidget(self)
        for page in (self.place_page, self.pots_page, self.kinds_page):
            self.stack.addWidget(page)
        self.step = QLabel(self)
        self.step.setObjectName("muted")
        self.head = QLabel(self)
        self.head.setObjectName("heading")
        self.back_button = QPushButton(tr("&Back"), self)
        self.back_button.setObjectName("guide_back")
        self.back_button.setAutoDefault(False)
        QShortcut(QKeySequence("Alt+Left"), self, self._back)
        self.back_button.clicked.connect(self._back)
        self.next_button = QPushButton(self)
        self.next_button.setObjectName("guide_next")
        self.next_button.setDefault(True)
        self.next_button.clicked.connect(self._next)
        cancel = QPushButton(tr("Cancel"), self)
        cancel.setObjectName("guide_cancel")
        cancel.setAutoDefault(False)
        cancel.clicked.connect(self.reject)
        buttons = QHBoxLayout()
        buttons.addWidget(cancel)
        buttons.addStretch(1)
        buttons.addWidget(self.back_button)
        buttons.addWidget(self.next_button)
        em = theme.em()
        layout = QVBoxLayout(self)
        layout.setContentsMargins(round(em), round(em), round(em), round(em))
        layout.setSpacing(round(em * 0.5))
        layout.addWidget(self.step)
        layout.addWidget(self.head)
        layout.addWidget(self.stack, 1)
        layout.addLayout(buttons)
        wanted = QSize(round(30 * em), round(22 * em))
        self.resize(wanted.boundedTo(self.screen().availableSize() * 0.95))
        self._suggesting = Beside(self)
        self._suggesting.answered.connect(self._suggested)
        self._judging = Beside(self)
        self._judging.answered.connect(self._judged)
        self._go(0)

    def yard(self) -> Yard | None:
        """The yard that was put together, None before the last step is done."""
        return self._yard

    # Steps

    def _go(self, step: int) -> None:
        self.stack.setCurrentIndex(step)
        heads = (
            tr("Where is your yard?"),
            tr("Which pots do you have?"),
            tr("Three kinds that follow one another"),
        )
        self.step.setText(tr("Step {n} of {all}", n=step + 1, all=len(heads)))
        self.head.setText(heads[step])
        self.back_button.setVisible(step > 0)
        last = step == len(heads) - 1
        self.next_button.setText(tr("&Make the yard") if last else tr("&Next"))
        (self.place_page.search, self.pots_page.list, self.kinds_page.boxes[0])[step].setFocus(
            Qt.FocusReason.OtherFocusReason
        )
        if last:
            self._ask()
        self._refresh()

    @Slot()
    def _refresh(self) -> None:
        step = self.stack.currentIndex()
        self.next_button.setEnabled(
            (
                self.place_page.choice() is not None,
                True,
                self._yard is not None,
            )[step]
        )

    @Slot()
    def _back(self) -> None:
        self._go(max(self.stack.currentIndex() - 1, 0))

    @Slot()
    def _next(self) -> None:
        step = self.stack.currentIndex()
        if not self.next_button.isEnabled():
            return
        if step < self.stack.count() - 1:
            self._go(step + 1)
        else:
            self.accept()

    # Kinds

    def _place(self) -> PlaceChoice:
        place = self.place_page.choice()
        assert place is not None  # Next is off without one
        return place

    def _ask(self) -> None:
        place, pots, year = self._place(), self.pots_page.pots(), self.place_page.year.value()
        asked = (place, tuple(pots), year)
        if asked == self._asked_for:
            return
        self._asked_for, self._asked_pots = asked, pots
        self._yard = None
        self.kinds_page.show_waiting()
        self._suggesting.ask(partial(_suggested, self._outlook, asked))

    @Slot(object)
    def _suggested(self, answer: object) -> None:
        if isinstance(answer, tuple) and answer[0] == self._asked_for:
            self._asked_pots = list(answer[1].pots)
            self.kinds_page.show_suggestion(answer[1])
        elif isinstance(answer, Exception):
            self.kinds_page.why.setText(str(answer))

    @Slot()
    def _kinds_changed(self) -> None:
        place, year = self._place(), self.place_page.year.value()
        planted = self.kinds_page.chosen()
        if not planted:
            self.kinds_page.why.setText(
                tr(
                    "No three kinds are sure to flower in these pots here. The yard begins with "
                    "empty pots; look through the shelf for what does."
                )
            )
        else:
            self.kinds_page.why.setText(tr("Working the season out…"))
        self._yard = build_yard(
            name=tr("Yard in {place}", place=place.name.split(",")[0])[:120],
            place=place,
            pots=self._asked_pots,
            season_year=year,
            planted=planted,
            catalogue=self._outlook.catalogue,
        )
        self._refresh()
        if planted:
            outlook = self._outlook.with_(yard=self._yard, use_records=False)
            self._judging.ask(partial(season_report, outlook))

    @Slot(object)
    def _judged(self, answer: object) -> None:
        if isinstance(answer, SeasonReport):
            self.kinds_page.why.setText(self.words_of(answer))

    def words_of(self, report: SeasonReport) -> str:
        """Why these three: how long the colour lasts and where it is missing."""
        season = report.usual_season
        if season is None or not any(layer.start for layer in report.layers):
            return tr("None of these is likely to flower here this season.")
        first, last = (day_words(day) for day in (season.first, season.last))
        words = tr(
            "Colour is expected from {first} to {last}, about {weeks} weeks in all",
            first=first,
            last=last,
            weeks=figure(report.weeks_of_colour.expected),
        )
        longest = max((stretch.days for stretch in report.bare), default=0)
        bare = report.bare_days
        gap = tr(
            "bare days in between: {n} ({low}–{high} in eight years of ten)",
            n=figure(bare.expected),
            low=figure(bare.p10),
            high=figure(bare.p90),
        )
        if longest:
            gap += tr(", longest bare stretch: {n}", n=longest)
        words = f"{words}; {gap}."
        sites = {pot.site for pot in self._asked_pots}
        if "shed" in sites:
            words += " " + tr(
                "Frost would kill bulbs in open pots here: keep the pots in a shed until spring."
            )
        elif "garage" in sites:
            words += " " + tr(
                "Frost would kill bulbs in open pots and sheds here: keep the pots in a garage "
                "against the house or in a cellar until spring."
            )
        elif "cold-greenhouse" in sites:
            words += " " + tr(
                "Frost would kill bulbs in open pots here: keep the pots in an unheated "
                "greenhouse until spring."
            )
        return words

    def stop(self) -> None:
        """End what runs beside; safe to call twice."""
        self.place_page.stop()
        self._suggesting.stop()
        self._judging.stop()


def _suggested(
    outlook: Outlook, asked: tuple[PlaceChoice, tuple[Pot, ...], int]
) -> tuple[tuple[object, ...], Suggestion]:
    place, pots, year = asked
    empty = Yard(name=place.name[:120], place=place, season_year=year, pots=pots)
    return asked, suggest(outlook.with_(yard=empty, use_records=False))
