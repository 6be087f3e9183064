"""The forecast of a layer: dates with their bands, cold, and why these dates."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QGridLayout, QLabel, QWidget

from bloomline.model.cultivar import Cultivar
from bloomline.plan.forecast.cold import is_short, weeks_words
from bloomline.plan.forecast.report import Band, LayerForecast, SeasonReport
from bloomline.ui.details.cards import Card, wrapping
from bloomline.ui.dressed import say_as
from bloomline.ui.theme import em
from bloomline.words import short_day_words, tr


class ForecastCard(Card):
    """When a layer is expected to do what, and the reasons."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("", parent)
        self.heading.setText(tr("Forecast"))
        self.heading.setVisible(True)
        self.setAccessibleName(tr("Forecast"))
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.reason = wrapping("", "warning", self)
        self.column.addWidget(self.reason)
        self._rows: dict[str, tuple[QLabel, QLabel]] = {}
        grid = QGridLayout()
        grid.setHorizontalSpacing(round(em() * 0.6))
        grid.setVerticalSpacing(round(em() * 0.1))
        grid.setColumnStretch(1, 1)
        for at, (key, name) in enumerate(
            (
                ("nose", tr("Nose shows")),
                ("start", tr("Opens")),
                ("full", tr("Full flower")),
                ("end", tr("Over")),
                ("leaves_over", tr("Leaves until")),
                ("cold", tr("Cold")),
            )
        ):
            label, value = QLabel(name, self), wrapping("", "", self)
            say_as(label, "muted")
            label.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignTop)
            grid.addWidget(label, at, 0)
            grid.addWidget(value, at, 1)
            self._rows[key] = (label, value)
        self.column.addLayout(grid)
        self.bands = wrapping("", "muted", self)
        self.bands.setText(tr("In brackets: from the early year in ten to the late year in ten."))
        self.column.addWidget(self.bands)
        self.why_heading = wrapping(tr("Why this date"), "heading", self)
        self.column.addWidget(self.why_heading)
        self._why_labels: list[QLabel] = []

    @property
    def why(self) -> tuple[str, ...]:
        """The reasons that are written down."""
        return tuple(label.text() for label in self._why_labels if label.text())

    def _show_why(self, lines: list[str]) -> None:
        while len(self._why_labels) < len(lines):
            label = wrapping("", "", self)
            self._why_labels.append(label)
            self.column.addWidget(label)
        for i, label in enumerate(self._why_labels):
            self._set(label, lines[i] if i < len(lines) else "")

    def value(self, key: str) -> str:
        """What is written beside one of the names: nose, start, full, end, leaves_over, cold."""
        return self._rows[key][1].text()

    def show_forecast(
        self, forecast: LayerForecast | None, report: SeasonReport | None, cultivar: Cultivar | None
    ) -> None:
        """Show a forecast; without one, that it is being worked out."""
        if forecast is None or report is None or cultivar is None:
            self._set(self.reason, tr("Being worked out …"))
            for key in self._rows:
                self._row(key, "")
            for label in (self.bands, self.why_heading):
                label.setVisible(False)
            self._show_why([])
            return
        reason = forecast.reason or ""
        self._set(self.reason, f"{reason[:1].upper()}{reason[1:]}")
        for key in ("nose", "start", "full", "end", "leaves_over"):
            self._row(key, self._band(getattr(forecast, key)))
        self._row("cold", self._cold(forecast))
        self.bands.setVisible(forecast.start is not None)
        self.why_heading.setVisible(True)
        self._show_why(self._why(forecast, report, cultivar))
        told = [f"{name.text()} {value.text()}" for name, value in self._rows.values()]
        self.setAccessibleDescription("; ".join([reason, *told, *self.why]))

    @staticmethod
    def _set(label: QLabel, words: str) -> None:
        if label.text() != words:
            label.setText(words)
        label.setVisible(bool(words))

    def _row(self, key: str, words: str) -> None:
        name, value = self._rows[key]
        self._set(value, words)
        name.setVisible(bool(words))

    def _band(self, band: Band | None) -> str:
        if band is None:
            return ""
        return tr(
            "{typical} ({early} – {late})",
            typical=short_day_words(band.p50),
            early=short_day_words(band.p10),
            late=short_day_words(band.p90),
        )

    def _cold(self, forecast: LayerForecast) -> str:
        if forecast.cold_weeks_needed is None:
            return tr("none needed")
        words = tr(
            "{got} weeks; {need} at least",
            got=weeks_words(forecast.cold_weeks),
            need=f"{forecast.cold_weeks_needed:g}",
        )
        if is_short(forecast.cold_weeks, forecast.cold_weeks_needed):
            words += " · " + tr("too little")
        return words

    def _why(self, forecast: LayerForecast, report: SeasonReport, cultivar: Cultivar) -> list[str]:
        lines = []
        if forecast.established:
            lines.append(
                tr(
                    "In its second season or later: planted {day}.",
                    day=short_day_words(forecast.planted, year=True),
                )
            )
        if forecast.cold_met_on is not None and forecast.cold_weeks_needed is not None:
            lines.append(
                tr(
                    "Its need of cold is met in full on {day} in a typical year.",
                    day=short_day_words(forecast.cold_met_on, year=True),
                )
            )
        elif forecast.cold_weeks_needed is not None:
            lines.append(
                tr("Its need of cold is not met in half of the years or more.")
                if is_short(forecast.cold_weeks, forecast.cold_weeks_needed)
                else tr("It gets cold enough to flower, not all that hastens it.")
            )
        if forecast.start is not None:
            lines.append(
                tr(
                    "The warmth it then needs has come by {day}.",
                    day=short_day_words(forecast.start.p50, year=True),
                )
            )
        lines.append(
            tr(
                "Climate: {place}, {source}; {weather}.",
                place=report.place_label,
                source=report.climate_source,
                weather=report.weather_label,
            )
        )
        basis = {
            "published": tr("Its date near London is published"),
            "relative": tr("Its date near London is set against kinds with published dates"),
            "class-typical": tr("Its date near London is the usual one of its class"),
            "memory": tr("Its date near London is from memory, not checked"),
            "packet": tr("Its date near London is worked out from its packet"),
        }[cultivar.date_basis]
        note = cultivar.date_note.strip().rstrip(".")
        lines.append(f"{basis}: {note}." if note else f"{basis}.")
        if cultivar.needs_cold and cultivar.season_planted != "spring":
            cold = {
                "published": tr("Its need of cold is published"),
                "relative": tr("Its need of cold is set against kinds with published ones"),
                "class-typical": tr("Its need of cold is the usual one of its class"),
                "memory": tr("Its need of cold is from memory, not checked"),
            }[cultivar.chill_basis]
            note = cultivar.chill_note.strip().rstrip(".")
            lines.append(f"{cold}: {note}." if note else f"{cold}.")
        return lines
