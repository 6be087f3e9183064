"""The places of a yard in words: what each is like, and who is fixed there by hand."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date

from bloomline.files.plain_text import table, wrapped
from bloomline.model.stage import DisplayPlace
from bloomline.model.yard import Yard
from bloomline.plan.stage.words import kind_words, place_words, wanted_words
from bloomline.plan.words.benches import pot_words
from bloomline.reference.sites import load_sites
from bloomline.words import marked, number_words, short_day_words, short_span_words, tr

_SUN = {
    "sun": marked("sun"),
    "half-shade": marked("half shade"),
    "shade": marked("shade"),
    "dark": marked("dark"),
}


def place_lines(places: Iterable[DisplayPlace]) -> list[str]:
    """The places of a yard as a table for a page, and what is peculiar to each."""
    known = list(places)
    if not known:
        return [tr("This yard has no display places yet; --add NAME makes one.")]
    rows = [
        (
            place.name,
            kind_words(place),
            place.capacity,
            tr("{cm:g} cm", cm=place.width_cm) if place.width_cm is not None else "",
            tr(_SUN[place.sun]) if place.sun else "",
            number_words(place.view_weight, 1) if place.kind == "display" else "",
        )
        for place in known
    ]
    head = (tr("place"), tr("kind"), tr("pots"), tr("width"), tr("light"), tr("view"))
    top, rule, *body = table(head, rows, right=(2, 3, 5))
    lines = [top, rule]
    for place, line in zip(known, body, strict=True):
        lines.append(line)
        if told := "; ".join(_peculiar(place)):
            lines += wrapped(told, indent="    ", hang="")
    return lines


def _peculiar(place: DisplayPlace) -> Iterator[str]:
    if place.cover is not None:
        yield tr(load_sites()[place.cover].label)
    if place.exposure:
        yield place.exposure
    if place.seen_from:
        yield tr("seen from {where}", where=place.seen_from)
    for wanted in place.wanted:
        yield wanted_words(wanted)
    if place.no_trolley:
        yield tr("no trolley")
    if place.by_path:
        yield tr("by the path")
    if place.nose_height_cm is not None:
        yield tr("nose at {cm:g} cm", cm=place.nose_height_cm)
    if place.raised_cm:
        yield tr("raised {cm:g} cm", cm=place.raised_cm)


def fixed_lines(yard: Yard) -> list[str]:
    """What is fixed by hand, a line each; nothing where nothing is."""
    if not yard.fixed_stands:
        return []
    rows = [
        (
            pot_words(yard.pot(stand.pot_id)),
            place_words(stand.place),
            _span(stand.first, stand.last),
        )
        for stand in yard.fixed_stands
    ]
    return ["", tr("Fixed by hand:"), *(f"  {line}" for line in table(("",) * 3, rows)[2:])]


def _span(first: date, last: date | None) -> str:
    if last is None:
        return tr("from {first} on", first=short_day_words(first, year=True))
    return short_span_words(first, last, year=True)
