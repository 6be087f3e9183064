"""A first yard from three answers: where, which pots, and three kinds that follow one another.

The kinds are chosen by forecasts for the very place and pots.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from bloomline.errors import BloomlineError
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Material, PlaceChoice, Pot, Shape, Site, Yard
from bloomline.plan.climate.surroundings import standing_of
from bloomline.plan.climate.weather import yard_axis_start
from bloomline.plan.forecast.one_planting import outcomes
from bloomline.plan.forecast.planting_day import usual_planting_day
from bloomline.plan.forecast.plantings import Planting
from bloomline.plan.pot.fitting import CultivarOf, fill_of, room_at, shape_of
from bloomline.plan.pot.layout import lay_out_pot
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.words.days import as_date
from bloomline.reference.catalogue import Catalogue

Floats = NDArray[np.float64]

SLOTS = 3
_MIDWINTER_DAY = 205  # of an axis that begins half a year before
_MOST_FAILING = 0.05
_TALLEST_PER_POT = 2.0  # a plant up to twice as tall as its pot; common practice, no source
_BARE_WEIGHT = 2.0
_MOST_BULBS = 30
_WELL_KNOWN = 7
"""A kind with so many cultivars in the catalogue is easy to find; tried before rarer ones."""


@dataclass(frozen=True, slots=True)
class ReadyPot:
    """A usual size of pot. [cm]"""

    id: str
    shape: Shape
    top_cm: float
    bottom_cm: float
    height_cm: float
    material: Material
    wall_cm: float
    length_cm: float | None = None

    def pot(self, pot_id: str, name: str) -> Pot:
        """A pot of this size, with a handful of crocks."""
        bottom_length = None
        if self.length_cm is not None:
            bottom_length = self.length_cm - (self.top_cm - self.bottom_cm)
        return Pot(
            id=pot_id,
            name=name,
            shape=self.shape,
            top_width_cm=self.top_cm,
            bottom_width_cm=self.bottom_cm,
            top_length_cm=self.length_cm,
            bottom_length_cm=bottom_length,
            inside_height_cm=self.height_cm,
            wall_cm=self.wall_cm,
            material=self.material,
            crocks_cm=2.0,
        )


# Sizes as pots are commonly sold; common practice, no source.
READY_POTS = (
    ReadyPot("medium", "round", 30.0, 22.0, 28.0, "fired-clay-once", 1.5),
    ReadyPot("large", "round", 40.0, 30.0, 36.0, "fired-clay-once", 2.0),
    ReadyPot("bowl", "round", 36.0, 26.0, 18.0, "fired-clay-once", 1.5),
    ReadyPot("square", "square", 35.0, 30.0, 35.0, "resin", 1.0),
    ReadyPot("trough", "trough", 22.0, 19.0, 22.0, "wood", 1.8, length_cm=70.0),
    ReadyPot("half-barrel", "round", 60.0, 50.0, 38.0, "wood", 2.5),
)


@dataclass(frozen=True, slots=True)
class SlotChoice:
    """A kind that flowers well in a slot's pot here, and its expected days at its usual depth.

    In a pot of several layers it may come to lie deeper, and open a few days later.
    start, end : of each weather year, shape (n_years,), NaN where it has no flower.
    """

    cultivar: Cultivar
    first: date
    last: date
    planted: date
    start: Floats
    end: Floats


@dataclass(frozen=True, slots=True)
class Suggestion:
    """For each slot (early, middle, late) what could stand there, earliest first, and the best.

    `pots` are those asked for, or the same wintered under cover where frost would kill bulbs in
    the open. `pot_ids` tells in which pot each slot lies. Without three kinds that do,
    `chosen` is empty.
    """

    pots: tuple[Pot, ...]
    choices: tuple[tuple[SlotChoice, ...], ...]
    chosen: tuple[SlotChoice, ...]
    pot_ids: tuple[str, ...]


def default_season_year(today: date, *, southern: bool) -> int:
    """The spring that someone who plans today has in mind."""
    if southern:
        return today.year if today.month < 9 else today.year + 1
    return today.year if today.month < 4 else today.year + 1


def suggest(outlook: Outlook) -> Suggestion:
    """Three kinds that flower well in a yard's pots at its place and cover the spring best.

    Slot i lies in pot i modulo the number of pots, so that the latest lies under the earliest.
    The three differ in kind; of all such, those with most days of colour win, a bare day between
    a year's first and last flower counting twice. Both are means over the weather years. What
    isn't known of each kind's date is left out of this choice, since thousands of trios are
    weighed; the season of the yard that comes of it holds it.
    """
    year, pots = outlook.yard.season_year, outlook.yard.pots
    out = date(year, 10, 1) if outlook.garden.is_southern else date(year, 4, 1)
    shelters: tuple[Site | None, ...] = (None, "shed", "garage", "cold-greenhouse")
    for shelter in shelters:
        tried = pots if shelter is None else [_wintered(pot, shelter, out) for pot in pots]
        found = _suggest_for(tried, outlook)
        if found.chosen:
            break
    return found


def _wintered(pot: Pot, site: Site, out: date) -> Pot:
    return pot.model_copy(update={"site": site, "sheltered_until": out})


def _suggest_for(pots: Sequence[Pot], outlook: Outlook) -> Suggestion:
    slots = [pots[i % len(pots)] for i in range(SLOTS)]
    by_pot = {pot.id: _choices(pot, outlook) for pot in slots}
    choices = tuple(by_pot[pot.id] for pot in slots)
    known = Counter(each.common_type for each in outlook.catalogue)
    usual = tuple(
        tuple(each for each in slot if known[each.cultivar.common_type] >= _WELL_KNOWN)
        for slot in choices
    )
    return Suggestion(
        pots=tuple(pots),
        choices=choices,
        chosen=_best(usual) or _best(choices),
        pot_ids=tuple(pot.id for pot in slots),
    )


def _choices(pot: Pot, outlook: Outlook) -> tuple[SlotChoice, ...]:
    garden = outlook.garden
    first_day = yard_axis_start(outlook.yard.season_year, garden=garden)
    standing = standing_of(pot)
    kinds = [c for c in outlook.catalogue if c.season_planted == "autumn" and _fits(pot, c)]
    plantings = [
        Planting(c, usual_planting_day(c, garden=garden, first_day=first_day), standing)
        for c in kinds
    ]
    if not plantings:
        return ()
    solved = outlook.forecaster.solve(plantings, garden=garden, first_day=first_day)
    start, end = solved.in_flower()
    # Kinds of before midwinter would leave a gap that nothing fills.
    midwinter = as_date(first_day) + timedelta(days=_MIDWINTER_DAY)
    season_end = as_date(first_day) + timedelta(days=400)
    found = []
    for row, (planting, answer) in enumerate(zip(plantings, outcomes(solved), strict=True)):
        if (
            answer.start is None
            or answer.end is None
            or answer.end.p50 > season_end
            or answer.start.p50 < midwinter
        ):
            continue
        if max(answer.too_little_cold_share, answer.killed_share) > _MOST_FAILING:
            continue
        found.append(
            SlotChoice(
                cultivar=planting.cultivar,
                first=answer.start.p50,
                last=answer.end.p50,
                planted=planting.rooted,
                start=start[row],
                end=end[row],
            )
        )
    return tuple(sorted(found, key=lambda each: (each.first, each.cultivar.name)))


def _fits(pot: Pot, cultivar: Cultivar) -> bool:
    depth = cultivar.cover_cm + cultivar.bulb_height_cm
    if depth > pot.compost_depth_cm or cultivar.height_cm > _TALLEST_PER_POT * pot.inside_height_cm:
        return False
    return _room(pot, cultivar, cultivar.cover_cm) >= 3


def _room(pot: Pot, cultivar: Cultivar, cover_cm: float) -> int:
    """How many bulbs lie comfortably under that much compost."""
    tip = fill_of(pot).surface_from_rim_cm + cover_cm
    level = min(tip + cultivar.bulb_height_cm / 2.0, pot.inside_height_cm)
    return room_at(shape_of(pot).section_at_depth(level), cultivar.bulb_diameter_cm).usual


def _best(choices: tuple[tuple[SlotChoice, ...], ...]) -> tuple[SlotChoice, ...]:
    early, middle, late = (_short_list(each) for each in choices)
    if not (early and middle and late):
        return ()
    late_first = np.array([each.first.toordinal() for each in late])
    late_start, late_end = (
        np.stack(each) for each in ([x.start for x in late], [x.end for x in late])
    )
    late_kind = np.array([each.cultivar.common_type for each in late])
    best: tuple[SlotChoice, ...] = ()
    best_score = -np.inf
    for one in early:
        for two in middle:
            if two.first <= one.first or one.cultivar.common_type == two.cultivar.common_type:
                continue
            kinds = (one.cultivar.common_type, two.cultivar.common_type)
            allowed = (late_first > two.first.toordinal()) & ~np.isin(late_kind, kinds)
            if not allowed.any():
                continue
            starts = np.stack(np.broadcast_arrays(one.start, two.start, late_start))
            ends = np.stack(np.broadcast_arrays(one.end, two.end, late_end))
            colour, bare = _colour_and_bare(starts, ends)
            score = colour - _BARE_WEIGHT * bare
            score = np.where(allowed, score, -np.inf)
            at = int(score.argmax())
            if score[at] > best_score:
                best, best_score = (one, two, late[at]), float(score[at])
    return best


def _colour_and_bare(starts: Floats, ends: Floats) -> tuple[Floats, Floats]:
    """Days in colour and bare days between, means over the years.

    starts, ends : shape (n_kinds, n, n_years), NaN where there is no flower. Returns two of
    shape (n,).
    """
    order = np.argsort(starts, axis=0)  # NaN sorts to the end
    starts = np.take_along_axis(starts, order, axis=0)
    ends = np.fmax.accumulate(np.take_along_axis(ends, order, axis=0), axis=0)
    gaps = np.nansum(np.maximum(starts[1:] - ends[:-1], 0.0), axis=0)
    span = np.nan_to_num(ends[-1] - starts[0])
    return (span - gaps).mean(axis=-1), gaps.mean(axis=-1)


def _short_list(choices: tuple[SlotChoice, ...]) -> list[SlotChoice]:
    """The longest in flower of each kind and half month: enough to choose from, and quick."""
    kept: dict[tuple[str, int, int], SlotChoice] = {}
    for each in choices:
        key = (each.cultivar.common_type, each.first.month, each.first.day // 16)
        known = kept.get(key)
        if known is None or each.last - each.first > known.last - known.first:
            kept[key] = each
    return sorted(kept.values(), key=lambda each: each.first)


def build_yard(
    *,
    name: str,
    place: PlaceChoice,
    pots: Sequence[Pot],
    season_year: int,
    planted: Sequence[tuple[str, SlotChoice]],
    catalogue: Catalogue,
) -> Yard:
    """The yard itself: each choice in its pot, at a proper depth, as many bulbs as lie well.

    planted : pot id and choice of each layer. Raises BloomlineError.
    """
    layers: dict[str, list[Layer]] = {pot.id: [] for pot in pots}
    by_id = {pot.id: pot for pot in pots}
    for number, (pot_id, choice) in enumerate(planted, start=1):
        kind = choice.cultivar
        count = min(max(_room(by_id[pot_id], kind, kind.cover_cm), 1), _MOST_BULBS)
        layers[pot_id].append(
            Layer(
                id=f"layer-{number}",
                cultivar_id=kind.id,
                count=count,
                cover_cm=min(kind.cover_cm, by_id[pot_id].compost_depth_cm),
                planted=choice.planted,
            )
        )
    days = {
        f"layer-{number}": float(choice.first.toordinal())
        for number, (_, choice) in enumerate(planted, start=1)
    }
    filled = tuple(
        pot.model_copy(
            update={"layers": tuple(sorted(layers[pot.id], key=lambda each: -each.cover_cm))}
        )
        for pot in pots
    )
    yard = Yard.model_validate(
        {"name": name, "place": place, "season_year": season_year, "pots": filled}
    )
    for pot in filled:
        yard = _laid_out(yard, pot, cultivar_of=catalogue.get, days=days)
    return yard


def _laid_out(yard: Yard, pot: Pot, *, cultivar_of: CultivarOf, days: dict[str, float]) -> Yard:
    if len(pot.layers) < 2:
        return yard
    try:
        return lay_out_pot(yard, pot.id, cultivar_of=cultivar_of, flowering_days=days).yard
    except BloomlineError:
        return yard  # too shallow for both; the window says so, with what helps
