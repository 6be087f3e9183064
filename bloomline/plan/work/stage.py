"""Tasks that carry pots about: what the yard's rota moves, with the advice on lifting."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from bloomline.model.stage import StageKind, place_key
from bloomline.plan.stage.rota import StageMove
from bloomline.plan.stage.winter import WinterOffer
from bloomline.plan.work.draft import Draft
from bloomline.plan.work.parts import Plant
from bloomline.plan.work.scene import Scene
from bloomline.plan.work.task import Window
from bloomline.reference.sites import load_sites
from bloomline.words import day_words, listed, tr

_SOON_EMPTIED = timedelta(days=28)  # a pot that is emptied so soon is not carried twice; judgement
_JUST_EMPTIED = timedelta(days=14)  # and one that just was, is filled again where it stands
_CARRIED_IN = timedelta(days=21)  # carried in for the winter so soon after; judgement
_OUT_DAYS = timedelta(days=14)  # out of its cover for the season, and not later on; judgement
_MOVES: Mapping[StageKind | None, str] = {
    "display": "forward",
    "rest": "away",
    "shelter": "cover",
    None: "away",  # to its own spot
}
STAGE_KINDS = frozenset({*_MOVES.values(), "in", "out"})
"""Kinds of task that carry pots about as the rota says."""


def tasks_of_stage(scene: Scene, *, emptied: Mapping[str, date]) -> Iterator[Draft]:
    """Every move of the rota.

    emptied : the day on which each pot is emptied that is.
    """
    stage = scene.stage
    if stage is None:
        return
    kinds: dict[str | None, StageKind] = {lane.place.name: lane.place.kind for lane in stage.lanes}
    for move in stage.moves:
        pot, plants = scene.pots.get(move.pot_id, (None, []))
        if pot is None:
            continue  # nothing is in it this season
        kind = _MOVES[kinds.get(move.target)]
        if kind == "away" and (
            _leaves_cover(scene, move)  # the task that brings it out says so
            or _is_seen_to(scene, move, plants, emptied.get(move.pot_id))
        ):
            continue
        where = move.target or ""
        if kind == "away":
            where = tr(" to {place}", place=move.target) if move.target else ""
        yield scene.draft(
            kind,
            plants,
            _window(scene, move, kind),
            on=[move.pot_id, place_key(move.target), str(move.turn)],
            words={"where": where},
            lapses=max((each.last for each in move.stay.flowers), default=move.until),
            more=" ".join(_more(scene, move, kind)),
            cautions=[
                *(scene.cat_words(plants) if kind == "forward" else []),
                scene.heavy_words(pot),
            ],
        )


def _window(scene: Scene, move: StageMove, kind: str) -> Window:
    """Some days about the Saturday; out of winter cover not before its day."""
    window = scene.from_day(kind, move.day + timedelta(days=2))
    out = _out_day(scene, move.pot_id) if _leaves_cover(scene, move) else None
    if out is None:
        return window
    return Window(max(window.earliest, min(out, window.best)), window.best, window.latest)


def _out_day(scene: Scene, pot_id: str) -> date | None:
    """The day on which a pot under cover goes out, if one is known."""
    pot, plants = scene.pots[pot_id]
    return scene.nights.out_day(
        pot, [plant.forecast.start for plant in plants if plant.cultivar.genus == "Lilium"]
    )


def _cats(scene: Scene, plants: list[Plant], kind: str) -> list[str]:
    return scene.cat_words(plants) if kind == "forward" else []


def _more(scene: Scene, move: StageMove, kind: str) -> Iterator[str]:
    if move.by_hand:
        yield tr("You have chosen this yourself.")
    if kind == "forward":
        if move.stay.flowers:
            names = listed(dict.fromkeys(each.name for each in move.stay.flowers))
            yield tr(
                "It stands there until {until}; in flower then: {names}.",
                until=day_words(move.until),
                names=names,
            )
        else:
            yield tr("It stands there until {until}.", until=day_words(move.until))
    pot = scene.pots[move.pot_id][0]
    early = kind == "forward" and scene.is_sheltered(pot)
    if early and _out_day(scene, move.pot_id) is None:
        yield tr(
            "It stands in the {site}: bring it out on mild days, and back before frost.",
            site=tr(load_sites()[pot.site].label),
        )
    if _leaves_cover(scene, move):
        yield tr(
            "It comes out of the {site}: harden shoots off for a week, out on mild days, in at "
            "night, fleece at hand.",
            site=tr(load_sites()[pot.site].label),
        )


def _is_seen_to(scene: Scene, move: StageMove, plants: list[Plant], day: date | None) -> bool:
    """Whether another task takes a pot from its place: it is emptied, or carried in for winter."""
    stays = [scene.stay(plant) for plant in plants]
    if all(s is not None and abs(s.window.best - move.day) <= _CARRIED_IN for s in stays):
        return True
    if day is None or not -_JUST_EMPTIED <= day - move.day <= _SOON_EMPTIED:
        return False
    # Its room may be wanted before.
    assert scene.stage is not None
    last = max(day, move.day)
    return not any(
        each.target == move.source and move.day <= each.day <= last for each in scene.stage.moves
    )


def _leaves_cover(scene: Scene, move: StageMove) -> bool:
    """Whether a move brings a pot out of its winter cover into the open."""
    assert scene.stage is not None
    kinds = {lane.place.name: lane.place.kind for lane in scene.stage.lanes}
    pot, _ = scene.pots[move.pot_id]
    if not scene.is_sheltered(pot) or (move.target and kinds[move.target] == "shelter"):
        return False
    if move.target is None and move.source is None:
        return False
    if move.source is not None and kinds[move.source] != "shelter":
        return False
    out = _out_day(scene, move.pot_id)
    return out is not None and timedelta(0) <= move.day - out <= _OUT_DAYS


def is_covered(scene: Scene, pot_id: str, day: date) -> bool:
    """Whether the rota has a pot in a winter shelter on a day."""
    stage = scene.stage
    name = stage.place_of(pot_id, day) if stage is not None else None
    lane = stage.lane(name) if stage is not None and name is not None else None
    return lane is not None and lane.place.kind == "shelter"


def comes_out(scene: Scene, pot_id: str, first: date, last: date) -> bool:
    """Whether the rota carries a pot from its winter cover to where it is shown, in some days."""
    stage = scene.stage
    return stage is not None and any(
        move.pot_id == pot_id
        and first <= move.day <= last
        and _leaves_cover(scene, move)
        and (lane := stage.lane(move.target or "")) is not None
        and lane.place.kind == "display"
        for move in stage.moves
    )


def goes_in(scene: Scene, pot_id: str, day: date) -> bool:
    """Whether the rota carries a pot to one of the yard's shelters about a day."""
    stage = scene.stage
    return stage is not None and any(
        move.pot_id == pot_id
        and abs(move.day - day) < timedelta(days=7)
        and (lane := stage.lane(move.target or "")) is not None
        and lane.place.cover is not None
        for move in stage.moves
    )


def offer_for(scene: Scene, pot_id: str) -> WinterOffer | None:
    """The shelter of the yard in which a pot had better winter; None where it is well."""
    offers = () if scene.stage is None else scene.stage.offers
    return next((each for each in offers if each.pot_id == pot_id), None)
