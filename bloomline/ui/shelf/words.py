"""What the shelf says about a kind: warnings, tooltip, and what a screen reader reads."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from html import escape

from PySide6.QtCore import QLocale, QObject

from bloomline.draw.names import name_runs
from bloomline.model.advice import Severity
from bloomline.model.yard import Yard
from bloomline.plan.shelf_season import ShelfWindow
from bloomline.ui.shelf.entries import Entry
from bloomline.ui.units import units_of


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
                found.append(Warn(self.tr("no flower here"), Severity.WARNING))
            elif window.cold_short:
                found.append(Warn(self.tr("short of cold"), Severity.CAUTION))
            if window.frost_risk:
                found.append(Warn(self.tr("frost"), Severity.CAUTION))
        if pets and entry.cultivar.toxic_pets > 0:
            severe = entry.cultivar.toxic_pets >= 2
            found.append(
                Warn(
                    self.tr("dangerous to pets") if severe else self.tr("upsets pets"),
                    Severity.WARNING if severe else Severity.CAUTION,
                )
            )
        return sorted(found, key=lambda warn: warn.severity is not Severity.WARNING)

    def window(self, window: ShelfWindow | None) -> str:
        """The expected window in one sentence."""
        if window is None:
            return self.tr("being worked out …")
        if window.start is None or window.end is None:
            return window.reason or self.tr("no flower here")
        return self.tr("opens {start} ({early} to {late}), over {end}").format(
            start=_day(window.start.p50),
            early=_day(window.start.p10),
            late=_day(window.start.p90),
            end=_day(window.end.p50),
        )

    def tooltip(self, entry: Entry, window: ShelfWindow | None, *, yard: Yard) -> str:
        """All that is known at a glance, as rich text."""
        cultivar, units = entry.cultivar, units_of(yard)
        scent = (self.tr("no scent"), self.tr("light scent"), self.tr("strong scent"))
        lines = [f"<b>{rich_name(cultivar.name)}</b>"]
        if cultivar.synonyms:
            lines.append(
                self.tr("also called {names}").format(names=escape(", ".join(cultivar.synonyms)))
            )
        lines.append(
            escape(
                f"{cultivar.colour}, {units.length(cultivar.height_cm)}, {scent[cultivar.scent]}"
            )
        )
        lines.append(escape(self.window(window)))
        if window is not None:
            lines.append(
                self.tr("planted on {day} in a 30 cm clay pot in the open").format(
                    day=_day(window.planted)
                )
            )
            if window.cold_weeks_needed is not None:
                lines.append(
                    self.tr("cold here: {got} weeks; needs {need}").format(
                        got=f"{window.cold_weeks:.0f}", need=f"{window.cold_weeks_needed:.0f}"
                    )
                )
        if cultivar.toxic_pets > 0:
            lines.append(
                self.tr("Harmful if eaten: {what}").format(what=escape(cultivar.toxic_note))
            )
        basis = f"{cultivar.date_basis}: {cultivar.date_note}".rstrip(": ")
        lines.append(self.tr("date from: {source}").format(source=escape(basis)))
        return "<p style='white-space:normal'>" + "<br>".join(lines) + "</p>"

    def spoken(self, entry: Entry, window: ShelfWindow | None, *, pets: bool) -> str:
        """The entry in one line, for a screen reader."""
        parts = [entry.cultivar.name, entry.cultivar.colour, self.window(window)]
        parts += [warn.words for warn in self.warnings(entry, window, pets=pets)]
        return "; ".join(parts)


def rich_name(name: str) -> str:
    """A plant's name with its Latin parts in italics, as rich text."""
    return "".join(
        f"<i>{escape(run.text)}</i>" if run.italic else escape(run.text) for run in name_runs(name)
    )


def _day(day: date) -> str:
    locale = QLocale()
    return f"{day.day} {locale.standaloneMonthName(day.month, QLocale.FormatType.ShortFormat)}"
