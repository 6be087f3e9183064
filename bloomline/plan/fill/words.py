"""Answers as tables, objects and lines, for command line, window and export alike."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any

from bloomline.files.plain_text import shorten, table, wrapped
from bloomline.model.money import plain, written
from bloomline.model.yard import Yard
from bloomline.plan.fill.answer import Answer, Answers, NewLayer
from bloomline.plan.fill.answer_words import gained_words, proof_words
from bloomline.plan.fill.gap import Filler, GapAnswer
from bloomline.plan.fill.short_names import short_form
from bloomline.plan.season.words import figure, rounded
from bloomline.plan.words.benches import times_words
from bloomline.plan.words.units import units_of
from bloomline.words import marked, plural, short_day_words, tr

HARM = (marked("none known"), marked("irritant"), marked("poisonous"))
"""What a kind does that is eaten, by its grade."""

LAYER_COLUMNS = (
    "answer",
    "title",
    "cost",
    "days_gained",
    "bound_gap_percent",
    "pot_id",
    "pot",
    "cultivar_id",
    "cultivar",
    "count",
    "cover_cm",
    "planted",
    "opens",
    "over",
    "scent",
    "harm",
)
FILLER_COLUMNS = (
    "pot_id",
    "pot",
    "cultivar_id",
    "cultivar",
    "count",
    "cover_cm",
    "planted",
    "cost",
    "days_gained",
    "days_per_money",
    "opens",
    "over",
    "scent",
    "harm",
)


def answers_object(found: Answers, yard: Yard) -> dict[str, Any]:
    """Answers to a pot or a yard, for JSON."""
    wishes = found.wishes
    return {
        "yard": yard.name,
        "currency": yard.money.currency,
        "first": _iso(wishes.first),
        "last": _iso(wishes.last),
        "budget": None if wishes.budget is None else float(wishes.budget),
        "sets_weighed": found.seen,
        "ended_early": found.stopped,
        "nothing": found.nothing or None,
        "answers": [_answer_object(each, yard) for each in found.answers],
    }


def _answer_object(answer: Answer, yard: Yard) -> dict[str, Any]:
    gap = answer.bound_gap_percent
    return {
        "title": answer.title,
        "cost": _money(answer.cost, yard),
        "bulbs_cost": _money(answer.bulbs_cost, yard),
        "compost_cost": _money(answer.bags_cost, yard),
        "unpriced": list(answer.unpriced),
        "days": rounded(answer.days, 1),
        "days_gained": rounded(answer.days_gained, 1),
        "pot_days": rounded(answer.pot_days, 1),
        "pot_days_gained": rounded(answer.pot_days_gained, 1),
        "counted_days": rounded(answer.worth, 1),
        "scent_days": rounded(answer.scent_days, 1),
        "scent_days_gained": rounded(answer.scent_days_gained, 1),
        "weeks_of_colour": rounded(answer.weeks_of_colour, 1),
        "bare_days": rounded(answer.bare_days),
        "bound_gap_percent": None if gap is None else rounded(gap, 2),
        "kinds": list(answer.kinds),
        "bulbs": answer.bulbs,
        "why": [*filter(None, (*answer.why, proof_words(answer)))],
        "gives_up": answer.gives_up,
        "warnings": list(answer.warnings),
        "layers": [_layer_object(each) for each in answer.layers],
    }


def _layer_object(each: NewLayer) -> dict[str, Any]:
    layer = each.layer
    return {
        "pot": {"id": each.pot_id, "name": each.pot_name, "copies": each.copies},
        "cultivar": {"id": layer.cultivar_id, "name": each.name},
        "count": layer.count,
        "cover_cm": layer.cover_cm,
        "planted": layer.planted.isoformat(),
        "opens": _iso(each.opens.p50 if each.opens else None),
        "over": _iso(each.over.p50 if each.over else None),
        "colour": each.colour,
        "height_cm": each.height_cm,
        "scent": each.scent,
        "harm": each.harm,
    }


def answers_rows(found: Answers, yard: Yard) -> Iterator[dict[str, Any]]:
    """Answers as a table of layers."""
    for number, answer in enumerate(found.answers, start=1):
        gap = answer.bound_gap_percent
        for each in answer.layers:
            yield {
                "answer": number,
                "title": answer.title,
                "cost": plain(answer.cost, currency=yard.money.currency),
                "days_gained": rounded(answer.days_gained, 1),
                "bound_gap_percent": None if gap is None else rounded(gap, 2),
                "pot_id": each.pot_id,
                "pot": each.pot_name,
                "cultivar_id": each.layer.cultivar_id,
                "cultivar": each.name,
                "count": each.layer.count,
                "cover_cm": each.layer.cover_cm,
                "planted": each.layer.planted,
                "opens": each.opens.p50 if each.opens else None,
                "over": each.over.p50 if each.over else None,
                "scent": each.scent,
                "harm": each.harm,
                "copies": each.copies,
            }


def answers_lines(found: Answers, yard: Yard) -> Iterator[str]:
    """Answers for people."""
    wishes = found.wishes
    yield tr(
        "{yard_name}, from {first} to {last}",
        yard_name=yard.name,
        first=wishes.first,
        last=wishes.last,
    )
    if found.nothing:
        yield ""
        yield from wrapped(found.nothing)
    for number, answer in enumerate(found.answers, start=1):
        yield ""
        yield from wrapped(f"{number}  {answer.title}: {headline(answer, yard)}")
        rows = [
            (
                each.layer.count,
                _name(each.name, 34, answer.kinds),
                shorten(times_words(each.pot_name, each.copies), 16),
                units_of(yard).length(each.layer.cover_cm, decimals=1),
                short_day_words(each.layer.planted),
                _span(each),
                tr("yes") if each.scent else "",
                tr(HARM[each.harm]) if each.harm else "",
            )
            for each in answer.layers
        ]
        columns = (
            tr("bulbs"),
            tr("cultivar"),
            tr("pot"),
            tr("cover"),
            tr("plant"),
            tr("flowers"),
            tr("scent"),
            tr("harm"),
        )
        yield from table(columns, rows, right=(0,))
        for words in filter(None, (*answer.why, proof_words(answer))):
            yield from wrapped(words)
        if len(found.answers) > 1:
            yield from wrapped(answer.gives_up)
        for words in answer.warnings:
            yield from wrapped(tr("To watch: {words}", words=words))
    if any(each.harm for answer in found.answers for each in answer.layers):
        yield ""
        yield from wrapped(_caution())


def headline(answer: Answer, yard: Yard) -> str:
    """An answer's money, days and numbers in a line."""
    kinds = plural("{n} kind", "{n} kinds", len(answer.kinds))
    bulbs = plural("{n} bulb", "{n} bulbs", answer.bulbs)
    words = tr(
        "{cost}, {days}, {kinds}, {bulbs}",
        cost=written(answer.cost, currency=yard.money.currency),
        days=gained_words(answer),
        kinds=kinds,
        bulbs=bulbs,
    )
    if answer.unpriced:
        return tr("{words}; without a price: {n}", words=words, n=len(answer.unpriced))
    return words


def gap_object(found: GapAnswer, yard: Yard) -> dict[str, Any]:
    """What would fill a gap, for JSON."""
    return {
        "yard": yard.name,
        "currency": yard.money.currency,
        "first": found.first.isoformat(),
        "last": found.last.isoformat(),
        "days": found.days,
        "bare_days": rounded(found.bare, 1),
        "nothing": found.nothing or None,
        "fillers": [
            {
                **row,
                "planted": _iso(row["planted"]),
                "opens": _iso(row["opens"]),
                "over": _iso(row["over"]),
                "colour": each.colour,
                "why": each.why,
            }
            for row, each in zip(gap_rows(found, yard), found.fillers, strict=True)
        ],
    }


def gap_rows(found: GapAnswer, yard: Yard) -> Iterator[dict[str, Any]]:
    """What would fill a gap, as a table."""
    for each in found.fillers:
        rate = each.days_per_money
        yield {
            "pot_id": each.pot_id,
            "pot": each.pot_name,
            "cultivar_id": each.layer.cultivar_id,
            "cultivar": each.name,
            "count": each.layer.count,
            "cover_cm": each.layer.cover_cm,
            "planted": each.layer.planted,
            "cost": None if each.cost is None else _money(each.cost, yard),
            "days_gained": rounded(each.days_gained, 1),
            "days_per_money": rounded(rate, 2) if rate is not None and each.cost else None,
            "opens": each.opens,
            "over": each.over,
            "scent": each.scent,
            "harm": each.harm,
            "copies": each.copies,
        }


def gap_lines(found: GapAnswer, yard: Yard, *, most: int = 30) -> Iterator[str]:
    """What would fill a gap, for people."""
    yield from wrapped(
        tr(
            "{first} to {last}: {bare} of {days} days bare in the mean",
            first=found.first,
            last=found.last,
            bare=figure(found.bare, 1),
            days=found.days,
        )
    )
    yield ""
    if found.nothing:
        yield from wrapped(found.nothing)
        return
    sign = yard.money.currency
    names = list(dict.fromkeys(each.name for each in found.fillers))
    rows = [_filler_row(each, yard, names) for each in found.fillers[:most]]
    columns = (
        tr("days"),
        tr("cost"),
        tr("per {currency}", currency=sign),
        tr("bulbs"),
        tr("pot"),
        tr("cover"),
        tr("opens"),
        tr("scent"),
        tr("harm"),
    )
    yield from table(columns, rows, right=(0, 1, 2))
    if len(found.fillers) > most:
        yield plural("and {n} more", "and {n} more", len(found.fillers) - most)
    if any(each.harm for each in found.fillers):
        yield ""
        yield from wrapped(_caution())


def _filler_row(each: Filler, yard: Yard, names: Sequence[str]) -> tuple[object, ...]:
    rate = each.days_per_money
    cost = tr("unknown")
    if each.cost is not None:
        cost = written(each.cost, currency=yard.money.currency)
    shown = ""
    if rate is not None:
        shown = figure(rate, 2) if each.cost else tr("free")
    count = str(each.layer.count)
    return (
        figure(each.days_gained, 1),
        cost,
        shown,
        f"{count} {_name(each.name, 27 - len(count), names)}",
        shorten(times_words(each.pot_name, each.copies), 12),
        units_of(yard).length(each.layer.cover_cm, decimals=1),
        tr("no flower") if each.opens is None else short_day_words(each.opens),
        tr("yes") if each.scent else "",
        tr(HARM[each.harm]) if each.harm else "",
    )


def _name(name: str, width: int, names: Sequence[str]) -> str:
    """A name in a column, told from the others in it."""
    return shorten(short_form(name, names, room=width, measure=len), width)


def _caution() -> str:
    return tr(
        "Harm is what eating or handling does. Poisonous or irritant bulbs: wear gloves, wash "
        "hands, and keep them from children and animals."
    )


def _span(each: NewLayer) -> str:
    return _days(each.opens.p50 if each.opens else None, each.over.p50 if each.over else None)


def _days(first: date | None, last: date | None) -> str:
    if first is None or last is None:
        return tr("no flower")
    return f"{short_day_words(first)}–{short_day_words(last)}"


def _money(amount: Any, yard: Yard) -> float:
    return float(plain(amount, currency=yard.money.currency))


def _iso(day: date | None) -> str | None:
    return None if day is None else day.isoformat()
