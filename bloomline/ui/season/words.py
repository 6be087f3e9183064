"""The words of the timeline: dates by locale, reasons and sources for the tooltips."""

from __future__ import annotations

from datetime import date
from html import escape

from PySide6.QtCore import QDate, QObject

from bloomline.model.yard import Record
from bloomline.plan.carry.collision import Conflict
from bloomline.plan.fill.target_words import target_sign
from bloomline.plan.fill.targets import Target
from bloomline.plan.forecast.cold import is_short
from bloomline.plan.forecast.report import (
    Band,
    CompanionForecast,
    LayerForecast,
    PotForecast,
    SeasonReport,
    Stretch,
)
from bloomline.plan.words.benches import times_words
from bloomline.words import long_day_words, number_words, plural, short_day_words, tr


def qdate(day: date) -> QDate:
    """A day as Qt writes it."""
    return QDate(day.year, day.month, day.day)


class SeasonWords(QObject):
    """Puts what the report says into words."""

    def day(self, day: date) -> str:
        """Day and month, such as 3 Apr."""
        return short_day_words(day)

    def short(self, day: date) -> str:
        """Day, month and year, such as 3 Apr 2027."""
        return short_day_words(day, year=True)

    def flag(self, day: date) -> str:
        """Weekday, day and month, such as Sat 3 Apr."""
        return short_day_words(day, weekday=True)

    def long_day(self, day: date) -> str:
        """Weekday, day, month and year in full."""
        return long_day_words(day)

    def number(self, value: float, decimals: int = 0) -> str:
        """A number as the language writes it."""
        return number_words(value, decimals)

    def band(self, band: Band) -> str:
        """The middle date, and the eight years of ten between the outer dates."""
        return tr(
            "{middle} ({early} – {late})",
            middle=self.day(band.p50),
            early=self.day(band.p10),
            late=self.day(band.p90),
        )

    def bare(self, stretch: Stretch) -> tuple[str, str]:
        """Full and short words on a bare stretch."""
        return (
            tr("bare · 1 day")
            if stretch.days == 1
            else plural("bare · {n} day", "bare · {n} days", stretch.days),
            plural("{n} d", "{n} d", stretch.days),
        )

    def crowded(self, stretch: Stretch) -> tuple[str, str]:
        """Full and short words on a crowded stretch."""
        return (
            tr("crowded · 1 day")
            if stretch.days == 1
            else plural("crowded · {n} day", "crowded · {n} days", stretch.days),
            plural("{n} d", "{n} d", stretch.days),
        )

    def seen(self, record: Record) -> str:
        """What a record says was seen."""
        return {
            "nose": tr("nose showing"),
            "first-flower": tr("first flower"),
            "full": tr("full flower"),
            "over": tr("over"),
        }[record.seen]

    def scent(self, layer: LayerForecast) -> str:
        """How strong the scent is; "" without any."""
        if not layer.scent:
            return ""
        return tr("strong scent") if layer.scent >= 2 else tr("light scent")

    def today(self) -> str:
        """The word at today's mark."""
        return tr("today")

    def line_title(self, *, shows_days: bool) -> str:
        """What the numbers under the months count."""
        return tr("day") if shows_days else tr("week")

    def strip_title(self) -> tuple[str, str]:
        """What the coverage strip shows, in two lines."""
        return tr("Layers in flower"), tr("expected each day")

    def wishes_title(self) -> str:
        """What the lanes under the strip show."""
        return tr("wishes")

    def weeks_of_colour(self, pot: PotForecast) -> str:
        """How long a pot shows colour; that it is empty where nothing can."""
        if not pot.layers and not pot.companions:
            return tr("empty")
        weeks = self.number(pot.weeks_of_colour.expected, 1)
        return tr("{weeks} weeks of colour", weeks=weeks)

    def no_flowers(self, report: SeasonReport) -> str:
        """What an empty strip says."""
        if report.has_layers:
            return tr("Nothing is expected to flower this season")
        return tr("No bulbs yet: put some into a pot")

    # Tooltips

    def layer_tip(
        self, layer: LayerForecast, pot: PotForecast, report: SeasonReport, *, planted: date
    ) -> str:
        """Why a layer's bar lies where it does, as rich text."""
        lines = [
            f"<b>{escape(layer.name)}</b>",
            escape(
                tr(
                    "{count} bulbs in {pot}",
                    count=self.number(layer.count),
                    pot=times_words(pot.name, pot.copies),
                )
            ),
        ]
        if layer.start is not None and layer.end is not None:
            lines.append(tr("Opens {band}", band=self.band(layer.start)))
            if layer.full is not None:
                lines.append(tr("Full flower {band}", band=self.band(layer.full)))
            lines.append(tr("Over {band}", band=self.band(layer.end)))
        elif layer.reason:
            lines.append(f"<b>{escape(self._sentence(layer.reason))}</b>")
        if layer.scent:
            lines.append(escape(self._sentence(self.scent(layer))))
        lines += [f"<br>{tr('Why')}", *map(escape, self.why(layer, report, planted=planted))]
        for advice in layer.advice[:4]:
            lines.append(f"<br>▪ {escape(self._sentence(advice.message))}")
        return "<br>".join(lines).replace("<br><br>", "<br><hr>", 1)

    def why(self, layer: LayerForecast, report: SeasonReport, *, planted: date) -> list[str]:
        """What the dates of a layer rest on, a line each."""
        lines = []
        if layer.established:
            lines.append(tr("Established: rooted in an earlier season"))
        else:
            lines.append(tr("Planted on {day}", day=self.long_day(planted)))
        if layer.cold_weeks_needed is None:
            lines.append(tr("Needs no cold to flower"))
        else:
            lines.append(
                tr(
                    "Cold: {got} weeks, {needed} needed at least",
                    got=self.number(layer.cold_weeks, 1),
                    needed=self.number(layer.cold_weeks_needed, 1),
                )
            )
            if layer.cold_met_on is not None:
                lines.append(tr("Cold need met on {day}", day=self.day(layer.cold_met_on)))
            else:
                lines.append(
                    tr("Cold need not met in half of the years or more")
                    if is_short(layer.cold_weeks, layer.cold_weeks_needed)
                    else tr("Cold enough to flower, not all that hastens it")
                )
        if layer.too_little_cold_share > 0.0:
            lines.append(
                tr(
                    "Too little cold in {share} of 100 years",
                    share=self.number(100 * layer.too_little_cold_share),
                )
            )
        if layer.killed_share > 0.0:
            lines.append(
                tr(
                    "Killed by frost in {share} of 100 years",
                    share=self.number(100 * layer.killed_share),
                )
            )
        lines.append(tr("Weather: {place}", place=report.place_label))
        if report.climate_source:
            lines.append(tr("Climate of {source}", source=report.climate_source))
        lines.append(self._sentence(report.weather_label))
        if layer.date_source:
            lines.append(tr("Date in the catalogue: {source}", source=layer.date_source))
        return lines

    def planting_tip(self, planted: date) -> str:
        """What the planting marker means, and how to move it."""
        return tr(
            "Planted on {day}. Drag along the row, or press Alt+Left and Alt+Right.",
            day=self.long_day(planted),
        )

    def told(
        self,
        report: SeasonReport,
        day: date,
        *,
        selected: str | None,
        conflict: Conflict | None,
    ) -> str:
        """What the timeline shows, for a screen reader; `selected` is a layer or companions."""
        words = [
            tr("Layers: {count}", count=self.number(report.layer_count)),
            self.strip_tip(report, day),
        ]
        chosen = tr("selected: {name}")
        layer = on_top = None
        if selected is not None:
            layer = next((one for one in report.layers if one.layer_id == selected), None)
            on_top = next((one for one in report.companions if one.planting_id == selected), None)
        if layer is not None:
            words.append(chosen.format(name=layer.name))
            if layer.start is not None:
                words.append(tr("opens {band}", band=self.band(layer.start)))
            elif layer.reason:
                words.append(layer.reason)
        elif on_top is not None:
            words += [chosen.format(name=on_top.name), self.companion_advice(on_top)]
        if conflict is not None:
            words.append(conflict.words)
        return "; ".join(words)

    # Companions and successions

    def on_top(self) -> str:
        """How companions differ from bulbs."""
        return tr("on top, by date")

    def out_of_season(self) -> str:
        """What stands in the row of companions that have no season here."""
        return tr("on top, by date: not in season in the days of this season")

    def companion_tip(
        self, companion: CompanionForecast, pot: PotForecast, *, planted: date
    ) -> str:
        """What a companion's bar says, as rich text."""
        lines = [
            f"<b>{escape(companion.name)}</b>",
            escape(
                tr(
                    "{count} plants on top of {pot}, season by date",
                    count=self.number(companion.count),
                    pot=times_words(pot.name, pot.copies),
                )
            ),
            escape(tr("Planted on {day}", day=self.long_day(planted))),
        ]
        if companion.first is not None and companion.last is not None:
            what = (
                tr("In leaf {first} – {last}")
                if companion.is_leaf
                else tr("In flower {first} – {last}")
            )
            lines.append(
                what.format(first=self.short(companion.first), last=self.short(companion.last))
            )
        else:
            lines.append(self._sentence(self.out_of_season()))
        lines += [f"▪ {escape(self._sentence(each.message))}" for each in companion.advice[:4]]
        return "<br>".join(lines)

    def conflict_tip(self, conflict: Conflict) -> str:
        """Why a planting can't go in on its day, and where the ways out are."""
        ways = tr("The details of the pot offer what can be done.")
        return f"<b>{escape(conflict.words)}</b><br>{escape(ways)}"

    def with_conflict(self, tip: str, conflict: Conflict | None) -> str:
        """A tooltip with what is in the way of the planting."""
        return tip if conflict is None else f"{self.conflict_tip(conflict)}<hr>{tip}"

    def companion_advice(self, companion: CompanionForecast) -> str:
        """What to mind about companions in one line."""
        said = (self.on_top(), *(one.message for one in companion.advice))
        return " · ".join(map(self._sentence, said))

    def record_tip(self, record: Record) -> str:
        """What was seen, and when."""
        words = tr("Seen on {day}: {what}", day=self.long_day(record.day), what=self.seen(record))
        return f"{words}\n{record.note}" if record.note else words

    def corner_tip(self, report: SeasonReport) -> str:
        """What the strip over the rows shows, and what it rests on."""
        return tr(
            "How many layers are in flower on each day, stacked by colour.\n"
            "Under it the bare days, above it the crowded ones.\n{basis}",
            basis=report.weather_label,
        )

    def pot_tip(self, pot: PotForecast, summary: str) -> str:
        """A pot and its colour in a few words."""
        colour = pot.weeks_of_colour
        weeks = self.weeks_of_colour(pot)
        if colour.p10 != colour.p90:
            weeks = tr(
                "{weeks} ({low}–{high} in eight years of ten)",
                weeks=weeks,
                low=self.number(colour.p10, 1),
                high=self.number(colour.p90, 1),
            )
        return f"{times_words(pot.name, pot.copies)}\n{summary}\n{weeks}"

    def wish_tip(self, target: Target) -> str:
        """A wish, whether it is kept, and where to read what would keep it."""
        words = f"{target_sign(target)} {target.words()}"
        if target.is_kept:
            return words
        more = tr("The page Plan tells what would keep it.")
        return f"{words}\n{more}"

    def bare_line(self, stretch: Stretch) -> str:
        """A bare stretch and its days in a line."""
        return tr(
            "{words}, {first} – {last}: Enter shows what would fill it",
            words=self.bare(stretch)[0],
            first=self.day(stretch.first),
            last=self.day(stretch.last),
        )

    def bare_tip(self, stretch: Stretch, report: SeasonReport) -> str:
        """What a bare stretch means, and how many days are bare in all."""
        words = tr(
            "{words}, {first} – {last}: a flower is less likely than {share} %",
            words=self.bare(stretch)[0],
            first=self.day(stretch.first),
            last=self.day(stretch.last),
            share=self.number(100 * report.bare_threshold),
        )
        words = "\n".join([words, tr("Click to see what would fill it.")])
        days = report.bare_days
        if report.weather_year is not None:
            return words
        counted = tr(
            "Counted year by year, bare days in all: {n} ({low}–{high} in eight years of ten)",
            n=self.number(days.expected),
            low=self.number(days.p10),
            high=self.number(days.p90),
        )
        return f"{words}\n{counted}"

    def gap_told(self, gap: tuple[date, date] | None) -> str:
        """Which days are marked to be filled; "" without any."""
        if gap is None:
            return ""
        return tr(
            "marked to be filled: {first} – {last}; Enter shows what would fill it",
            first=self.day(gap[0]),
            last=self.day(gap[1]),
        )

    def crowded_tip(self, stretch: Stretch, report: SeasonReport) -> str:
        """What a crowded stretch means, and who crowds."""
        words = tr(
            "{words}, {first} – {last}: more than {limit} layers at once",
            words=self.crowded(stretch)[0],
            first=self.day(stretch.first),
            last=self.day(stretch.last),
            limit=self.number(report.crowd_limit),
        )
        crowd = set(stretch.layer_ids)
        names = [layer.name for layer in report.layers if layer.layer_id in crowd]
        return "\n".join([words, *names[:12]])

    def strip_tip(self, report: SeasonReport, day: date) -> str:
        """How many layers are expected in flower on a day, and how sure any flower is."""
        index = (day - report.first_day).days
        if not 0 <= index < len(report.coverage):
            return ""
        return tr(
            "{day}: {count} layers expected in flower, {share} % sure of any",
            day=self.long_day(day),
            count=self.number(float(report.expected_layers[index]), 1),
            share=self.number(100 * float(report.coverage[index])),
        )

    def advice(self, layer: LayerForecast) -> str:
        """A layer's advice in one line; first of all why it has no flower."""
        said = [layer.reason] if layer.reason else []
        return " · ".join(map(self._sentence, (*said, *(one.message for one in layer.advice))))

    @staticmethod
    def _sentence(words: str) -> str:
        return words[:1].upper() + words[1:]
