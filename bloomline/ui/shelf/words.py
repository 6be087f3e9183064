"""What the shelf says about a kind: warnings, tooltip, and what a screen reader reads."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from PySide6.QtCore import QObject

from bloomline.draw.base.names import name_runs
from bloomline.model.advice import Severity
from bloomline.model.money import exact, written
from bloomline.model.yard import Yard
from bloomline.plan.forecast.cold import weeks_words
from bloomline.plan.season.shelf import ShelfWindow
from bloomline.ui.shelf.companions import CompanionEntry
from bloomline.ui.shelf.entries import Entry, Known
from bloomline.ui.units import units_of
from bloomline.words import plural, short_day_words, tr


@dataclass(frozen=True, slots=True)
class Warn:
    """A warning in a word or two."""

    words: str
    severity: Severity


class ShelfWords(QObject):
    """Puts entries into words, in the gardener's language."""

    def warnings(self, entry: Entry, window: ShelfWindow | None, *, pets: bool) -> list[Warn]:
        """What should be known before this is planted here, the gravest first."""
        found: list[Warn] = []
        if window is not None:
            if not window.flowers:
                found.append(Warn(tr("no flower here"), Severity.WARNING))
            elif window.cold_short:
                found.append(Warn(tr("short of cold"), Severity.CAUTION))
            if window.frost_risk:
                found.append(Warn(tr("frost"), Severity.CAUTION))
        found += self._poison(entry.cultivar.toxic_pets, pets=pets)
        return sorted(found, key=lambda warn: warn.severity is not Severity.WARNING)

    def _poison(self, toxic_pets: int, *, pets: bool) -> list[Warn]:
        if not pets or not toxic_pets:
            return []
        severe = toxic_pets >= 2
        return [
            Warn(
                tr("dangerous to pets") if severe else tr("upsets pets"),
                Severity.WARNING if severe else Severity.CAUTION,
            )
        ]

    def notes(self, entry: Entry, known: Known, *, tells_bare: bool) -> tuple[str, ...]:
        """How many lie in the cupboard, and how many bare days it fills where that is asked."""
        stock = known.stock.get(entry.cultivar.id)
        days = (known.bare_days or {}).get(entry.cultivar.id, 0) if tells_bare else 0
        found = []
        if days:
            found.append(plural("{n} bare day", "{n} bare days", days))
        if stock is not None:
            found.append(tr("{n} in the cupboard", n=stock.count))
        return tuple(found)

    def window(self, window: ShelfWindow | None) -> str:
        """The expected window in one sentence."""
        if window is None:
            return tr("being worked out …")
        if window.start is None or window.end is None:
            return window.reason or tr("no flower here")
        return tr(
            "opens {start} ({early} to {late}), over {end}",
            start=short_day_words(window.start.p50),
            early=short_day_words(window.start.p10),
            late=short_day_words(window.start.p90),
            end=short_day_words(window.end.p50),
        )

    def tooltip(self, entry: Entry, window: ShelfWindow | None, *, yard: Yard) -> str:
        """All that is known at a glance, as rich text."""
        cultivar, units = entry.cultivar, units_of(yard)
        scent = (tr("no scent"), tr("light scent"), tr("strong scent"))
        lines = [f"<b>{rich_name(cultivar.name)}</b>"]
        if cultivar.synonyms:
            lines.append(tr("also called {names}", names=escape(", ".join(cultivar.synonyms))))
        lines.append(
            escape(
                f"{cultivar.colour}, {units.length(cultivar.height_cm)}, {scent[cultivar.scent]}"
            )
        )
        lines.append(escape(self.window(window)))
        if window is not None:
            lines.append(
                tr(
                    "planted on {day} in a 30 cm clay pot in the open",
                    day=short_day_words(window.planted),
                )
            )
            if window.cold_weeks_needed is not None:
                lines.append(
                    tr(
                        "cold here: {got} weeks; needs {need}",
                        got=weeks_words(window.cold_weeks),
                        need=f"{window.cold_weeks_needed:g}",
                    )
                )
        if cultivar.toxic_pets > 0:
            lines.append(tr("Harmful if eaten: {what}", what=escape(cultivar.toxic_note)))
        basis = f"{cultivar.date_basis}: {cultivar.date_note}".rstrip(": ")
        lines.append(tr("date from: {source}", source=escape(basis)))
        return "<p style='white-space:normal'>" + "<br>".join(lines) + "</p>"

    def facts(self, entry: Entry, window: ShelfWindow | None, *, yard: Yard) -> str:
        """All that is known of a kind, as rich text: when it flowers, how it is planted, what it
        costs.
        """
        cultivar, units = entry.cultivar, units_of(yard)
        light = {"sun": tr("sun"), "part": tr("sun or part shade"), "shade": tr("shade")}
        life = {
            "replace": tr("best replaced every year in a pot"),
            "2-3 years": tr("lasts two or three years in a pot"),
            "long-lived": tr("lasts for years in a pot"),
        }
        lines = [
            tr(
                "tip {depth} deep, {apart} apart; stands {height} tall",
                depth=units.length(cultivar.cover_cm),
                apart=units.length(cultivar.spacing_cm),
                height=units.length(cultivar.height_cm),
            ),
            f"{light[cultivar.light]}; {life[cultivar.perennial_in_pot]}",
            tr("hardy in the ground to USDA zone {zone}", zone=cultivar.hardiness_usda_min),
        ]
        if cultivar.typical_price_gbp is not None:
            lines.append(
                tr(
                    "usually {n} in a pack, about {price} (from memory)",
                    n=cultivar.typical_pack,
                    price=written(exact(cultivar.typical_price_gbp), currency="GBP"),
                )
            )
        if cultivar.toxic_pets >= 2:
            lines.append(tr("Keep the bulbs from children and pets, and wash your hands."))
        more = "<br>".join(escape(line) for line in lines)
        return f"{self.tooltip(entry, window, yard=yard)}<p>{more}</p>"

    def spoken(
        self,
        entry: Entry,
        window: ShelfWindow | None,
        *,
        pets: bool,
        notes: Sequence[str] = (),
    ) -> str:
        """The entry in one line, for a screen reader."""
        parts = [entry.cultivar.name, entry.cultivar.colour, *notes, self.window(window)]
        parts += [warn.words for warn in self.warnings(entry, window, pets=pets)]
        return "; ".join(parts)


class CompanionWords(ShelfWords):
    """Puts companions into words."""

    def on_top(self, entry: CompanionEntry) -> str:
        """How it differs from a bulb, in a few words."""
        return tr("plant on top, season by date")

    def poison(self, entry: CompanionEntry, *, pets: bool) -> list[Warn]:
        """What should be known of it where there are pets."""
        return self._poison(entry.companion.toxic_pets, pets=pets)

    def season(self, entry: CompanionEntry) -> str:
        """When it is in season here, in one sentence."""
        if entry.companion.is_all_year:
            return tr("in leaf all year")
        words = (
            tr("in leaf {first} to {last}")
            if entry.companion.is_leaf
            else tr("in flower {first} to {last}")
        )
        return words.format(first=short_day_words(entry.first), last=short_day_words(entry.last))

    def companion_tip(self, entry: CompanionEntry, *, yard: Yard) -> str:
        """All that is known of it at a glance, as rich text."""
        companion, units = entry.companion, units_of(yard)
        scent = (tr("no scent"), tr("light scent"), tr("strong scent"))
        lines = [
            f"<b>{rich_name(companion.name)}</b>",
            escape(self.on_top(entry)),
            escape(
                f"{companion.colour}, {units.length(companion.height_cm)}, {scent[companion.scent]}"
            ),
            escape(self.season(entry)),
            escape(
                tr(
                    "usually planted {first} to {last}, {apart} apart",
                    first=short_day_words(entry.planted_from),
                    last=short_day_words(entry.planted_to),
                    apart=units.length(companion.spacing_cm),
                )
            ),
        ]
        if companion.toxic_pets:
            lines.append(tr("Harmful if eaten: {what}", what=escape(companion.toxic_note)))
        lines.append(tr("from: {source}", source=escape(companion.source)))
        return "<p style='white-space:normal'>" + "<br>".join(lines) + "</p>"

    def companion_spoken(self, entry: CompanionEntry, *, pets: bool) -> str:
        """The entry in one line, for a screen reader."""
        companion = entry.companion
        parts = [companion.name, companion.colour, self.on_top(entry), self.season(entry)]
        parts += [warn.words for warn in self.poison(entry, pets=pets)]
        return "; ".join(parts)


def rich_name(name: str) -> str:
    """A plant's name with its Latin parts in italics, as rich text."""
    return "".join(
        f"<i>{escape(run.text)}</i>" if run.italic else escape(run.text) for run in name_runs(name)
    )
