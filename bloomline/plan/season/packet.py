"""What is to be said of a packet as it stands: its questions, its kind, and its forecast here."""

from __future__ import annotations

from dataclasses import dataclass

from bloomline.model.yard import OwnCultivar
from bloomline.plan.kinds.making import kind_of
from bloomline.plan.kinds.packet import PacketEntry, dates_words
from bloomline.plan.kinds.questions import Questions, questions
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.shelf import windows_of
from bloomline.plan.words.units import Units
from bloomline.words import short_day_words, tr


@dataclass(frozen=True, slots=True)
class Look:
    """An entry looked at. kind : None while something can't be. words : on its flowers."""

    entry: PacketEntry
    questions: Questions
    kind: OwnCultivar | None
    words: str


def look_at(outlook: Outlook, entry: PacketEntry, kept: OwnCultivar | None, units: Units) -> Look:
    """Question an entry, make its kind and say when it flowers in the yard's open pots.

    kept : the own kind that is edited.
    """
    others = [kind for kind in outlook.kinds if kept is None or kind.id != kept.id]
    asked = questions(entry, forecaster=outlook.forecaster, taken=others, units=units)
    if any(each.grave for each in asked.values()):
        return Look(entry, asked, None, "")
    kind = kind_of(
        entry,
        forecaster=outlook.forecaster,
        taken=[each.id for each in outlook.kinds],
        kept=kept,
    )
    return Look(entry, asked, kind, _words(outlook, kind))


def _words(outlook: Outlook, kind: OwnCultivar) -> str:
    """What the shelf will say of it."""
    here = windows_of(outlook, (kind,))[kind.id]
    if here.start is None or here.end is None:
        return tr(
            "{dates}. Here, in an open pot: {reason}.",
            dates=_capital(dates_words(kind)),
            reason=here.reason or "",
        )
    return tr(
        "{dates}. Here, in an open pot planted on {planted}: opens {start} ({early} to {late}), "
        "over {end}.",
        dates=_capital(dates_words(kind)),
        planted=short_day_words(here.planted),
        start=short_day_words(here.start.p50),
        early=short_day_words(here.start.p10),
        late=short_day_words(here.start.p90),
        end=short_day_words(here.end.p50),
    )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
