"""The stage in words: text for a page, rows of a table, JSON, and who stands where on a day."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date, timedelta
from itertools import zip_longest
from typing import Any

from bloomline.files.plain_text import broken, table, wrapped
from bloomline.model.stage import DisplayPlace, WantedWeeks
from bloomline.plan.pot.lifting import Handling
from bloomline.plan.stage.rota import Lane, StageMove, StagePlan, Stay
from bloomline.plan.stage.winter_words import winter_lines, winter_objects
from bloomline.plan.words.benches import times_words
from bloomline.words import (
    context,
    day_words,
    full_day_words,
    listed,
    marked,
    number_words,
    percent_words,
    short_day_words,
    short_span_words,
    tr,
)

_STAY_WIDTHS = (26, 28, 38)  # of columns, in letters
_MOVE_WIDTHS = (18, 27, 32, 18)
ROTA_COLUMNS = (
    "place",
    "kind",
    "pot_id",
    "pot",
    "first",
    "last",
    "weeks_of_colour",
    "in_flower",
    "by_hand",
    "copies",
)
_KINDS = {
    "display": marked("display"),
    "rest": marked("resting place"),
    "shelter": marked("winter shelter"),
}
_BY: dict[Handling, str] = {
    "one": marked("one person"),
    "one-close": marked("one person"),
    "two": marked("two people"),
    "two-or-trolley": marked("two, or a trolley"),
    "fill-in-place": marked("trolley only"),
    "stays": marked("stays"),
}


def place_words(name: str | None) -> str:
    """What a place is called; None is a pot's own spot."""
    return context("where a pot stands", "own spot") if name is None else name


def kind_words(place: DisplayPlace) -> str:
    """What a place is for."""
    return tr(_KINDS[place.kind])


def carried_words(move: StageMove) -> str:
    """How a pot is carried, in a word or two."""
    return tr(_BY[move.handling])


def wanted_words(wanted: WantedWeeks) -> str:
    """When a place is to look its best, and how much more it counts then."""
    times = number_words(wanted.weight, 0 if wanted.weight == int(wanted.weight) else 1)
    if wanted.feast is not None:
        return tr("the week before Easter and the week after × {times}", times=times)
    assert wanted.first is not None and wanted.last is not None
    year = 2001  # any year without a leap day
    return tr(
        "{span} × {times}",
        span=short_span_words(wanted.first.in_year(year), wanted.last.in_year(year)),
        times=times,
    )


def gap_words(plan: StagePlan) -> str:
    """How good the rota is, told honestly."""
    if plan.is_proven:
        return tr("No other rota shows more within the limits of weight, room, sun and frost.")
    return tr(
        "Not proven the best: another rota could show {share} more at most.",
        share=percent_words(plan.gap_share),
    )


def move_words(move: StageMove) -> str:
    """A move in a sentence without the day."""
    return tr(
        "{pot}: from {source} to {target}",
        pot=times_words(move.pot_name, move.copies),
        source=place_words(move.source),
        target=place_words(move.target),
    )


def rota_lines(
    plan: StagePlan, *, first: date | None = None, last: date | None = None
) -> list[str]:
    """The stage as text for a page 100 columns wide, of all weeks or those between two days."""
    lines = [
        tr(
            "{yard_name}, stage of season {season_year}",
            yard_name=plan.yard_name,
            season_year=plan.season_year,
        )
    ]
    for lane in plan.lanes:
        lines += ["", _lane_head(lane)]
        rows = [row for stay in lane.stays if _meets(stay, first, last) for row in _stay_rows(stay)]
        if rows:
            lines += [f"  {line}" for line in table(("", "", ""), rows)[2:]]
        else:
            lines.append(tr("  nobody stands here"))
    moves = [move for move in plan.moves if _within(move, first, last)]
    lines += ["", tr("To carry:") if moves else tr("Nothing is to be carried.")]
    carried = [row for move in moves for row in _move_rows(move)]
    if carried:
        lines += [f"  {line}" for line in table(("", "", "", ""), carried)[2:]]
    for words in plan.conflicts:
        lines += wrapped(f"! {words}", indent="", hang="  ")
    lines += winter_lines(plan.offers)
    return [*lines, "", *wrapped(gap_words(plan), indent="")]


def _lane_head(lane: Lane) -> str:
    head = f"{lane.place.name} ({kind_words(lane.place)})"
    weeks = lane_words(lane)
    return tr("{head}: {weeks}", head=head, weeks=weeks) if weeks else head


def lane_words(lane: Lane) -> str:
    """How long a place shows colour and is smelt; nothing of a place that nobody looks at."""
    if lane.place.kind != "display":
        return ""
    if not lane.stays:
        return tr("nothing stands there")
    colour = number_words(lane.weeks_of_colour, 1)
    tops = number_words(lane.weeks_with_tops, 1)
    words = tr("{colour} weeks of colour", colour=colour)
    if tops != colour:
        words = tr("{words}, {tops} with the plants on top", words=words, tops=tops)
    if not lane.place.by_path:
        return words
    scent = number_words(lane.weeks_of_scent, 1)
    return tr("{words}, {scent} of scent as one walks past", words=words, scent=scent)


def room_words(place: DisplayPlace, standing: int) -> str:
    """How many pots stand at a place, of those that it has room for."""
    return tr("{standing} of {room}", standing=standing, room=place.capacity)


def stay_words(stay: Stay) -> str:
    """A stay in some lines: who, from when to when, what flowers, whose choice."""
    return "\n".join(
        [
            stay.pot_name,
            tr(
                "{place}, {span}",
                place=place_words(stay.place),
                span=short_span_words(stay.first, stay.last, year=True),
            ),
            *(
                tr(
                    "{name}: {span}",
                    name=each.name,
                    span=short_span_words(each.first, each.last),
                )
                for each in stay.flowers
            ),
            *(
                [tr("{weeks} weeks of colour", weeks=number_words(stay.weeks_of_colour, 1))]
                if stay.flowers
                else [tr("not in flower")]
            ),
            *([tr("fixed by hand")] if stay.by_hand else []),
        ]
    )


def carrying_words(move: StageMove) -> str:
    """A move in a line: when, who, from where to where, how, whose choice."""
    words = tr(
        "{day}: {move}; {how}",
        day=short_day_words(move.day, year=True, weekday=True),
        move=move_words(move),
        how=carried_words(move),
    )
    return tr("{words}, your choice", words=words) if move.by_hand else words


def _stay_rows(stay: Stay) -> list[tuple[str, ...]]:
    """Days, pot and flowers, on as many lines as they need."""
    flowers = listed(dict.fromkeys(each.name for each in stay.flowers))
    span = short_span_words(stay.first, stay.last, year=True)
    return _broken((span, stay.called, flowers), _STAY_WIDTHS)


def _move_rows(move: StageMove) -> list[tuple[str, ...]]:
    """Day, pot, way and hands, on as many lines as they need."""
    how = carried_words(move)
    cells = (
        short_day_words(move.day, year=True, weekday=True),
        times_words(move.pot_name, move.copies),
        f"{place_words(move.source)} → {place_words(move.target)}",
        tr("{how}, your choice", how=how) if move.by_hand else how,
    )
    return _broken(cells, _MOVE_WIDTHS)


def _broken(cells: tuple[str, ...], widths: tuple[int, ...]) -> list[tuple[str, ...]]:
    """A row of a table, broken into lines no wider than each column."""
    parts = [broken(cell, width) for cell, width in zip(cells, widths, strict=True)]
    return list(zip_longest(*parts, fillvalue=""))


def standing_lines(plan: StagePlan, day: date) -> list[str]:
    """Who stands where on a day, and what is in flower there then."""
    lines = [
        tr(
            "{yard_name}, on {day}",
            yard_name=plan.yard_name,
            day=full_day_words(day),
        )
    ]
    if not plan.covers(day):
        first, last = plan.weeks[0], plan.weeks[-1] + timedelta(days=6)
        return [
            *lines,
            "",
            tr(
                "The rota runs from {first} to {last}.",
                first=full_day_words(first),
                last=full_day_words(last),
            ),
        ]
    for place, stays in plan.standing(day):
        if place is not None:
            lines += ["", f"{place.name} ({kind_words(place)})"]
            lines += _standing(stays, day) or [tr("  nobody stands here")]
        elif stays:
            lines += ["", tr("At their own spots"), *_standing(stays, day)]
    return lines


def _standing(stays: Iterable[Stay], day: date) -> list[str]:
    return [
        line
        for stay in stays
        for line in wrapped(
            f"{stay.called}: {_in_flower(stay, day)}",
            indent="  ",
            hang="    ",
        )
    ]


def _in_flower(stay: Stay, day: date) -> str:
    open_ = [each for each in stay.flowers if each.first <= day <= each.last]
    if open_:
        return listed(f"{each.name} ({each.colour})" for each in open_)
    ahead = [each for each in stay.flowers if each.first > day]
    if ahead:
        return tr(
            "not yet in flower, {name} from about {day}",
            name=ahead[0].name,
            day=day_words(ahead[0].first),
        )
    return tr("not in flower")


def rota_rows(
    plan: StagePlan, *, first: date | None = None, last: date | None = None
) -> Iterator[dict[str, Any]]:
    """A row for each stay, with the columns of ROTA_COLUMNS; own spots last."""
    lanes = [(lane.place.name, lane.place.kind, lane.stays) for lane in plan.lanes]
    for name, kind, stays in (*lanes, ("", "own spot", plan.own)):
        for stay in stays:
            if _meets(stay, first, last):
                yield {
                    "place": name,
                    "kind": kind,
                    "pot_id": stay.pot_id,
                    "pot": stay.pot_name,
                    "first": stay.first,
                    "last": stay.last,
                    "weeks_of_colour": round(stay.weeks_of_colour, 2),
                    "in_flower": "; ".join(dict.fromkeys(each.name for each in stay.flowers)),
                    "by_hand": int(stay.by_hand),
                    "copies": stay.copies,
                }


def rota_object(
    plan: StagePlan, *, first: date | None = None, last: date | None = None
) -> dict[str, Any]:
    """The stage for JSON; limited to what meets two days."""
    return {
        "yard": plan.yard_name,
        "season_year": plan.season_year,
        "first": plan.weeks[0].isoformat(),
        "last": (plan.weeks[-1] + timedelta(days=6)).isoformat(),
        "proven": plan.is_proven,
        "gap_share": round(plan.gap_share, 6),
        "conflicts": list(plan.conflicts),
        "better_under_cover": winter_objects(plan.offers),
        "places": [
            {
                "place": lane.place.name,
                "kind": lane.place.kind,
                "weeks_of_colour": round(lane.weeks_of_colour, 2),
                "weeks_of_scent": round(lane.weeks_of_scent, 2),
                "weeks_with_tops": round(lane.weeks_with_tops, 2),
                "stays": [_stay_object(s) for s in lane.stays if _meets(s, first, last)],
            }
            for lane in plan.lanes
        ],
        "own_spots": [_stay_object(s) for s in plan.own if _meets(s, first, last)],
        "moves": [
            {
                "day": move.day.isoformat(),
                "pot_id": move.pot_id,
                "pot": move.pot_name,
                "from": move.source,
                "to": move.target,
                "until": move.until.isoformat(),
                "by": move.by,
                "handling": move.handling,
                "by_hand": move.by_hand,
                "copies": move.copies,
            }
            for move in plan.moves
            if _within(move, first, last)
        ],
    }


def _stay_object(stay: Stay) -> dict[str, Any]:
    return {
        "pot_id": stay.pot_id,
        "pot": stay.pot_name,
        "first": stay.first.isoformat(),
        "last": stay.last.isoformat(),
        "weeks_of_colour": round(stay.weeks_of_colour, 2),
        "by_hand": stay.by_hand,
        "copies": stay.copies,
        "flowers": [
            {
                "layer_id": each.layer_id,
                "name": each.name,
                "colour": each.colour,
                "colour_hex": each.colour_hex,
                "first": each.first.isoformat(),
                "last": each.last.isoformat(),
            }
            for each in stay.flowers
        ],
    }


def _meets(stay: Stay, first: date | None, last: date | None) -> bool:
    return (last is None or stay.first <= last) and (first is None or stay.last >= first)


def _within(move: StageMove, first: date | None, last: date | None) -> bool:
    """Whether a move is for the weeks between two days: carried in them, or just before."""
    return (first is None or move.stay.first >= first) and (last is None or move.day <= last)
