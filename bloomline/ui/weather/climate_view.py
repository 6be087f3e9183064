"""What the place's year is like, with the season's own weather against it: plots and a table."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from PySide6.QtCore import QLocale, Qt
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from bloomline.model.yard import Yard
from bloomline.plan.climate.months_seen import MonthSeen, months_seen
from bloomline.plan.climate.weather import yard_axis_start
from bloomline.plan.forecast.climate_report import ClimateMonth, ClimateReport, climate_report
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.words.days import as_date
from bloomline.ui.conditions.words import climate_lines, place_words
from bloomline.ui.dressed import Splitter
from bloomline.ui.hands.plain import unbroken
from bloomline.ui.quiet_table import Line, QuietTable
from bloomline.ui.theme import em
from bloomline.ui.units import units_of
from bloomline.ui.weather.climate_plots import MonthPlot, Series
from bloomline.words import month_words, tr

MINUS = "−"


@dataclass(frozen=True, slots=True)
class PlaceYear:
    """A place's year, and what was recorded of the season shown."""

    yard: Yard
    report: ClimateReport
    seen: tuple[MonthSeen, ...]


def place_year(outlook: Outlook) -> PlaceYear:
    """The year where a yard is, and the months of its season that were recorded there."""
    yard, garden, recorded = outlook.yard, outlook.garden, outlook.recorded
    first_day = yard_axis_start(yard.season_year, garden=garden)
    report = climate_report(
        garden, forecaster=outlook.forecaster, today=as_date(first_day) + timedelta(days=180)
    )
    seen = () if recorded is None else months_seen(recorded, first_day=first_day)
    return PlaceYear(yard, report, seen)


class ClimateView(QWidget):
    """Plots of a place's year; the table says the same, for eyes and for readers."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.words = QLabel(self)
        self.words.setObjectName("climate_words")
        self.words.setWordWrap(True)
        self.words.setTextFormat(Qt.TextFormat.PlainText)
        self.warmth = MonthPlot("climate_warmth", self)
        self.warmth.setAccessibleName(tr("Highs and lows of the months"))
        self.cold = MonthPlot("climate_cold", self)
        self.cold.setAccessibleName(tr("Frost days and weeks of cold of the months"))
        for plot in (self.warmth, self.cold):
            plot.setAccessibleDescription(tr("The table holds the same figures."))
        # No column is cut, so none takes what is left.
        self.table = QuietTable(self, name="climate_table", heads=self._heads(False), wide=-1)
        self.table.setAccessibleName(tr("The year at this place, month by month"))
        plots = Splitter(Qt.Orientation.Vertical, self)
        plots.addWidget(self.warmth)
        plots.addWidget(self.cold)
        across = Splitter(Qt.Orientation.Horizontal, self)
        across.addWidget(plots)
        across.addWidget(self.table)
        across.setSizes([round(em() * 40), round(em() * 34)])
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.words)
        column.addWidget(across, 1)

    def _heads(self, with_own: bool) -> tuple[str, ...]:
        heads = (
            tr("Month"),
            tr("High"),
            tr("Low"),
            tr("Lowest"),
            tr("Frost days"),
            tr("Cold weeks"),
        )
        own = (
            tr("Own high"),
            tr("Own low"),
            tr("Own lowest"),
            tr("Own frost days"),
            tr("Days recorded"),
        )
        return heads + own if with_own else heads

    def show_year(self, year: PlaceYear) -> None:
        """Show a place's year, from the first month of the season on."""
        report = year.report
        self._is_imperial = year.yard.settings.units == "imperial"
        first = report.season_first_day
        order = [(first.month - 1 + i) % 12 for i in range(12)]
        months = [report.months[i] for i in order]
        begins = [date(first.year + (i < first.month - 1), i + 1, 1) for i in order]
        seen = {each.month: each for each in year.seen}
        own = [seen.get(each.month) for each in months]
        self._show_warmth(begins, months, own)
        self._show_cold(begins, months, own)
        self._show_table(months, own)
        self.words.setText(unbroken(self._words(year)))
        self.words.setToolTip(climate_lines(report.garden, units_of(year.yard)))

    def _warm(self, value_c: float) -> float:
        return 1.8 * value_c + 32.0 if self._is_imperial else value_c

    @property
    def _unit(self) -> str:
        return "°F" if self._is_imperial else "°C"

    def _show_warmth(
        self, begins: list[date], months: list[ClimateMonth], own: list[MonthSeen | None]
    ) -> None:
        warm = self._warm
        series = [
            Series(tr("mean high"), tuple(warm(m.tmax_c) for m in months), "warning", "t1"),
            Series(tr("mean low"), tuple(warm(m.tmin_c) for m in months), "accent", "t"),
            Series(
                tr("lowest of the weather years"),
                tuple(warm(m.lowest_c) for m in months),
                "muted",
                "x",
            ),
        ]
        if any(own):
            for name, field, colour, symbol in (
                (tr("own high"), "tmax_c", "warning", "t1"),
                (tr("own low"), "tmin_c", "accent", "t"),
                (tr("own lowest"), "lowest_c", "muted", "s"),
            ):
                values = tuple(None if o is None else warm(getattr(o, field)) for o in own)
                series.append(Series(name, values, colour, symbol, is_line=False))
        self.warmth.show_series(begins, series, unit=self._unit, zero=True)

    def _show_cold(
        self, begins: list[date], months: list[ClimateMonth], own: list[MonthSeen | None]
    ) -> None:
        series = [
            Series(tr("frost days"), tuple(m.frost_days for m in months), "accent", bar=-1),
            Series(tr("weeks of cold"), tuple(m.cold_weeks for m in months), "warning", bar=1),
        ]
        if any(own):
            values = tuple(None if o is None else float(o.frost_days) for o in own)
            name = tr("own frost days")
            series.append(Series(name, values, "ink", "s", is_line=False))
        self.cold.show_series(begins, series, unit=tr("days, weeks"), zero=False)

    def _show_table(self, months: list[ClimateMonth], own: list[MonthSeen | None]) -> None:
        locale = QLocale()
        heads = self._heads(any(own))
        row = max(self.table.row, 0)
        self.table.show_heads(heads)
        rows = []
        for month, was in zip(months, own, strict=True):
            cells = [
                month_words(month.month),
                *(self._degrees(each) for each in (month.tmax_c, month.tmin_c, month.lowest_c)),
                locale.toString(month.frost_days, "f", 1),
                locale.toString(month.cold_weeks, "f", 1),
            ]
            if was is not None:
                cells += [self._degrees(e) for e in (was.tmax_c, was.tmin_c, was.lowest_c)]
                cells += [str(was.frost_days), str(was.n_days)]
            rows.append(Line((*cells, *("" for _ in range(len(heads) - len(cells))))))
        self.table.show_lines(rows, right=range(1, len(heads)))
        # So that arrow keys and readers begin somewhere, on a whole row.
        self.table.choose(row)

    def _degrees(self, value_c: float) -> str:
        value = round(self._warm(value_c), 1) + 0.0
        sign = MINUS if value < 0 else ""
        return f"{sign}{QLocale().toString(abs(value), 'f', 1)} {self._unit}"

    def _words(self, year: PlaceYear) -> str:
        report, locale = year.report, QLocale()
        lowest = min(each.lowest_c for each in report.months)
        words = tr(
            "{place}: {frost} days of frost and {cold} weeks of cold in a usual "
            "year; coldest night of a winter {night} on average, {lowest} in the "
            "coldest of {years} weather years.",
            place=report.garden.label,
            frost=locale.toString(report.frost_days, "f", 0),
            cold=locale.toString(report.cold_weeks, "f", 0),
            night=self._degrees(report.mean_annual_minimum_c),
            lowest=self._degrees(lowest),
            years=report.n_years,
        )
        words = f"{words} {place_words(report.garden, units_of(year.yard))}"
        if not year.seen:
            return words
        days = sum(each.n_days for each in year.seen)
        frost = sum(each.frost_days for each in year.seen)
        return (
            words
            + " "
            + tr(
                "Own weather of this season so far: {days} recorded days, {frost} with frost.",
                days=days,
                frost=frost,
            )
        )
