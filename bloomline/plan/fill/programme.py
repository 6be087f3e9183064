"""What the programme of a yard decides on: pots that are alike, their sets, packs and bags."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import partial
from itertools import product

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.filling import Market, Part, PotClass, Table, Yard, YardColour
from bloomline.engine.filling_few import MOST_POTS
from bloomline.model.cultivar import Cultivar
from bloomline.model.planting_edits import plant_layers
from bloomline.model.yard import Layer, Pot
from bloomline.plan.fill.choices import PotChoices, choices_in, days_to_plant
from bloomline.plan.fill.money import Purse, plain_pot
from bloomline.plan.fill.pot import allowed_sets, smell_as_wished
from bloomline.plan.fill.standing import standing_dark, standing_kinds
from bloomline.plan.fill.wishes import Go, Wishes, again_days
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.shop.bulb_lines import offers_for

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Alike:
    """Pots that are alike. parts : what could be laid into one, by day of planting.

    members : numbers of each part's candidates by those that the programme knows them by.
    """

    pot_ids: tuple[str, ...]
    parts: tuple[PotChoices, ...]
    members: tuple[dict[int, int], ...]
    pots: PotClass


@dataclass(frozen=True, slots=True)
class Ground:
    """Pots by what they are like, and the kinds of all.

    seen : every part, of pots with nothing to lay too. kinds : ids in the order of the programme.
    asked : pots that may be filled, those with no room among them.
    """

    classes: tuple[Alike, ...]
    seen: tuple[PotChoices, ...]
    kinds: tuple[str, ...]
    asked: int

    @property
    def share(self) -> float:
        """Pots that the programme decides on, as a share of all that may be filled."""
        return max(sum(each.pots.n_pots for each in self.classes), 1) / max(self.asked, 1)

    @property
    def count(self) -> int:
        """Sets that could be laid into some pot."""
        return sum(len(part.sets) for part in self.seen)

    @property
    def gains(self) -> bool:
        """Whether any set of any pot brings anything."""
        return any((each.pots.worth > 1e-6).any() for each in self.classes)


def ground_of(
    outlook: Outlook, wishes: Wishes, pots: Sequence[Pot], purse: Purse, *, go: Go
) -> Ground:
    """The pots, those that are alike together, each kind of pot with its table of sets.

    wishes : settled. go : told how far it is, up to 0.2.
    """
    alike: dict[tuple[object, ...], list[Pot]] = {}
    for pot in pots:
        asked = wishes.scent and (not wishes.scent_pots or pot.id in wishes.scent_pots)
        lying = tuple(layer.model_dump_json(exclude={"id"}) for layer in pot.layers)
        alike.setdefault((plain_pot(pot), lying, asked), []).append(pot)
    tables: list[tuple[list[Pot], list[PotChoices]]] = []
    for at, mine in enumerate(alike.values()):
        if not go(0.2 * at / len(alike)):
            break
        parts = [
            choices_in(outlook, wishes, mine[0], purse, planted=day)
            for day in days_to_plant(outlook, wishes, mine[0])
        ]
        tables.append((mine, parts))
    seen = [part for _, parts in tables for part in parts]
    numbers: dict[str, int] = {}
    for part in seen:
        for kind in part.found.kinds:
            numbers.setdefault(kind.id, len(numbers))
    found = [
        _alike(wishes, mine, parts, numbers, purse)
        for mine, parts in tables
        if any(len(part.sets) > 1 for part in parts)
    ]
    return Ground(tuple(found), tuple(seen), tuple(numbers), len(pots))


def _alike(
    wishes: Wishes,
    pots: Sequence[Pot],
    parts: Sequence[PotChoices],
    numbers: dict[str, int],
    purse: Purse,
) -> Alike:
    widest = max(part.sets.kinds.shape[1] for part in parts)
    kinds, worth, which, unseen, members = [], [], [], [], []
    bulbs = np.zeros(len(numbers), dtype=np.int64)
    for at, part in enumerate(parts):
        good = allowed_sets(part, wishes)
        if at == 0:
            good[0] = True  # a pot may stay as it is
        some = np.flatnonzero(good)
        mine = np.array([numbers[kind.id] for kind in part.found.kinds], dtype=np.int64)
        rows = np.full((len(some), widest), -1, dtype=np.int64)
        rows[:, : part.sets.kinds.shape[1]] = np.append(mine, -1)[part.sets.kinds[some]]
        kinds.append(rows)
        worth.append(part.score[some] - part.score[0])
        which.append(np.full(len(some), at))
        bulbs[mine] = [amount.least * pots[0].copies for amount in part.amounts]
        members.append({int(number): k for k, number in enumerate(mine)})
        unseen.append(
            Part(
                unseen=part.sets.unseen,
                kinds=mine,
                bonus=part.taste,
                nothing=float(part.score[0]),
                wanted=partial(smell_as_wished, part),
            )
        )
    return Alike(
        tuple(pot.id for pot in pots),
        tuple(parts),
        tuple(members),
        PotClass(
            n_pots=len(pots),
            table=Table(
                kinds=np.concatenate(kinds),
                worth=np.concatenate(worth),
                part=np.concatenate(which),
                parts=tuple(unseen),
            ),
            bulbs=bulbs,
            filling=purse.least_filling(pots[0]) if parts[0].bags else 0.0,
        ),
    )


def programme_of(outlook: Outlook, wishes: Wishes, purse: Purse, ground: Ground) -> Yard:
    """The programme of a yard. wishes : settled.

    It reckons the mean of the pots that it decides on; pots that are full count in the mean too,
    so the yard's colour weighs the more there, and its worth times `ground.share` is the measure.
    """
    kinds: dict[str, Cultivar] = {}
    dark: dict[str, Floats] = {}
    for part in ground.seen:
        for kind, mine in zip(part.found.kinds, part.found.dark, strict=True):
            kinds[kind.id] = kind
            dark[kind.id] = np.minimum(dark[kind.id], mine) if kind.id in dark else mine
    for name, stands in standing_kinds(outlook, wishes, None).items():
        if name in dark:  # it errs with those of its kind that stand: only what is longer counts
            brings = np.divide(dark[name], stands, out=np.ones_like(stands), where=stands > 0.0)
            dark[name] = np.minimum(brings, 1.0)
    compost = _compost(outlook, purse, ground.classes)
    return Yard(
        classes=_with_least(ground.classes, compost),
        market=_market(outlook, purse, [kinds[name] for name in ground.kinds]),
        colour=YardColour(
            np.stack([dark[name] for name in ground.kinds]),
            standing_dark(outlook, wishes, None)[0],
            1.0 / ground.share,
        ),
        budget=np.inf if wishes.budget is None else float(wishes.budget),
        kinds_most=wishes.kinds_most,
        again=again_days(ground.asked),
        compost=compost,
    )


def _compost(outlook: Outlook, purse: Purse, classes: Sequence[Alike]) -> Floats | None:
    """What filling so many pots of each class costs in whole bags; None for many pots."""
    mine = [each.pots.n_pots for each in classes]
    if sum(mine) > MOST_POTS or not any(each.pots.filling for each in classes):
        return None
    table = np.zeros([n + 1 for n in mine])
    for filled in product(*(range(n + 1) for n in mine)):
        layers = []
        for n, each in zip(filled, classes, strict=True):
            part = next(part for part in each.parts if len(part.found))
            trial = Layer(
                id="trial",
                cultivar_id=part.found.kinds[0].id,
                count=1,
                cover_cm=0.0,
                planted=part.planted,
            )
            if each.pots.filling:
                layers += [(pot_id, trial) for pot_id in each.pot_ids[:n]]
        planted = plant_layers(outlook.yard, layers)
        after = purse.filling(planted, bulbs_only=False)[1]
        table[filled] = float(after.bags_total - purse.before.bags_total)
    return table


def _with_least(classes: Sequence[Alike], compost: Floats | None) -> tuple[PotClass, ...]:
    """The classes, each told as much of what bags cost as is never too much."""
    found = tuple(each.pots for each in classes)
    if compost is None:
        return found
    least = np.zeros(compost.shape)
    for each, filled in zip(found, np.indices(compost.shape), strict=True):
        least += each.filling * filled
    some = least > 0.0
    by = float((compost[some] / least[some]).min())
    return tuple(replace(each, filling=each.filling * by) for each in found)


def _market(outlook: Outlook, purse: Purse, kinds: Sequence[Cultivar]) -> Market:
    packs, free = [], []
    for kind in kinds:
        offers, _ = offers_for(kind, outlook.yard)
        priced = all(offer.price is not None for offer in offers)
        packs.append(
            tuple((offer.size, float(offer.price or 0)) for offer in offers) if priced else ()
        )
        free.append(purse.free(kind))
    return Market(tuple(packs), np.array(free, dtype=np.int64))
