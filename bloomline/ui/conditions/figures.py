"""The yard's figures at the end of the strip, and whether they are being worked out."""

from __future__ import annotations

from PySide6.QtCore import QSize, QTimer, Slot
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from bloomline.plan.forecast.report import SeasonReport, Spread
from bloomline.ui.conditions.slider import ElidedLabel
from bloomline.ui.dressed import say_as
from bloomline.ui.season_service import SeasonService
from bloomline.ui.theme import em
from bloomline.words import number_words, tr

_BUSY_AFTER_MS = 150
"""Shorter work is not worth a flicker."""


class FiguresPart(QWidget):
    """Weeks of colour, bare days and scent of the season that is shown."""

    def __init__(self, service: SeasonService, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._service = service
        self.colour = QLabel()
        say_as(self.colour, "heading")
        self.rest = QLabel()
        self.state = ElidedLabel(most_em=15.0)
        say_as(self.state, "muted")
        self.state.setAccessibleName(tr("Weather of these figures"))
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.setSpacing(round(em() * 0.15))
        for label in (self.colour, self.rest, self.state):
            box.addWidget(label)
        box.addStretch(1)
        policy = self.rest.sizePolicy()
        policy.setRetainSizeWhenHidden(True)
        self.rest.setSizePolicy(policy)
        self._busy = QTimer(self)
        self._busy.setSingleShot(True)
        self._busy.setInterval(_BUSY_AFTER_MS)
        self._busy.timeout.connect(self._say_busy)
        self._failed = ""
        service.report_ready.connect(self._show)
        service.failed.connect(self._show_failed)
        service.busy_changed.connect(self._show_busy)
        self._show(service.report)

    def sizeHint(self) -> QSize:
        # Room for the longest figures there can be, so that no other figure moves the strip.
        return QSize(self._widest(), super().sizeHint().height())

    def minimumSizeHint(self) -> QSize:
        return QSize(self._widest(), super().minimumSizeHint().height())

    def _widest(self) -> int:
        bold, plain = self.colour.fontMetrics(), self.rest.fontMetrics()
        heads = (_colour_words("53"), tr("nothing planted yet"))
        widths = [bold.horizontalAdvance(words) for words in heads]
        return max(*widths, plain.horizontalAdvance(_rest_words("366", "53"))) + 2

    @Slot(object)
    def _show(self, report: object) -> None:
        if not isinstance(report, SeasonReport):
            self.colour.setText("")
            self.rest.setText("")
            return
        self._failed = ""
        if not report.has_layers:
            self.colour.setText(tr("nothing planted yet"))
            self.colour.setToolTip("")
            self.rest.setText("")
            self._say_state()
            return
        weeks, scent, bare = report.weeks_of_colour, report.weeks_of_scent, report.bare_days
        self.colour.setText(_colour_words(_number(weeks.expected)))
        self.rest.setText(_rest_words(_number(bare.expected), _number(scent.expected)))
        tip = "\n".join(
            (
                self._spread(tr("Weeks of colour"), weeks),
                self._spread(tr("Bare days"), bare),
                self._spread(tr("Weeks of scent"), scent),
                self._spread(tr("Crowded days"), report.crowded_days),
            )
        )
        for label in (self.colour, self.rest):
            label.setToolTip(tip)
            label.setAccessibleDescription(tip)
        self._say_state()

    def _spread(self, what: str, spread: Spread) -> str:
        report = self._service.report
        if report is not None and report.weather_year is not None:
            return tr(
                "{what}: {figure} in this weather year alone",
                what=what,
                figure=_number(spread.expected),
            )
        words = tr(
            "{what}: {expected} ({p10}–{p90} in eight years of ten; {coldest} in the coldest "
            "winter, {warmest} in the warmest)"
        )
        return words.format(
            what=what,
            expected=_number(spread.expected),
            p10=_number(spread.p10),
            p90=_number(spread.p90),
            coldest=_number(spread.coldest),
            warmest=_number(spread.warmest),
        )

    @Slot(str)
    def _show_failed(self, words: str) -> None:
        self._failed = words
        self._say_state()

    @Slot(bool)
    def _show_busy(self, busy: bool) -> None:
        if busy:
            if not self._busy.isActive():
                self._busy.start()
        else:
            self._busy.stop()
            self._say_state()

    @Slot()
    def _say_busy(self) -> None:
        if self._service.is_busy:
            self.state.setText(tr("working it out …"))

    def _say_state(self) -> None:
        if self._service.is_busy and not self._busy.isActive():
            return  # still at work: the words stand already
        report = self._service.report
        self.rest.setVisible(bool(self.rest.text()))
        whole = self._failed or (report.weather_label if report else "")
        # The years are told beside this, at their slider; what the records did is told here.
        is_usual = report is not None and report.weather_year is None and not self._failed
        short = report.learned_words if report is not None and is_usual else ""
        self.state.setText(short or whole)
        self.state.setToolTip(whole)

    def stop(self) -> None:
        """End the timer."""
        self._busy.stop()


def _colour_words(weeks: str) -> str:
    return tr("{weeks} weeks of colour", weeks=weeks)


def _rest_words(bare: str, scent: str) -> str:
    return tr("{bare} bare days · {scent} weeks of scent", bare=bare, scent=scent)


def _number(value: float) -> str:
    return number_words(value)
