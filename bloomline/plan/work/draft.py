"""A task before ticks and memory are laid over it: said once of all pots that are alike.

Thousands are made and none is changed, and none is kept; frozen ones take three times as long.
"""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from bloomline.model.yard import Pot
from bloomline.plan.work.alike import Lot
from bloomline.plan.work.parts import Plant
from bloomline.plan.work.task import Span, Window


@dataclass(slots=True, eq=False)
class About:
    """What of each pot of a lot something is about, told by the first of them.

    called : what its keys begin with. on : what they are made of besides, of each pot its own.
    """

    lot: Lot
    called: str
    on: tuple[Pot | Plant | str, ...]
    plants: tuple[Plant, ...]


@dataclass(slots=True, eq=False)
class Call:
    """Days on which a round calls at every pot of a lot. told : what is said of it."""

    about: About
    first: date
    last: date
    told: str = ""


@dataclass(slots=True, eq=False)
class Draft:
    """A task before ticks and memory are laid over it.

    title : with {what} where the pots come in. thing : what of the pot it is about; empty for
    the pot itself. more : what is said of this one besides `reason`. cautions : sentences.
    heavy : one more, which begins with the pot's name. done_by_state : the day on which the yard
    itself says that it was done. lapses : the day after which it makes no sense any more, if not
    done. about : the pots of which it is said, each by a key and ids of its own.
    parts : the tasks of single pots or layers that were put together to this one. spans : of a
    round, which pot wants it when.
    """

    key: str
    kind: str
    title: str
    window: Window
    reason: str
    source: str
    pot_ids: tuple[str, ...]
    layer_ids: tuple[str, ...]
    minutes: float
    about: About | None = None
    thing: str = ""
    more: str = ""
    cautions: tuple[str, ...] = ()
    heavy: str = ""
    repeat_days: int | None = None
    done_by_state: date | None = None
    lapses: date | None = None
    companion_ids: tuple[str, ...] = ()
    parts: tuple[Part, ...] = ()
    spans: tuple[Span, ...] = ()
    known_as: tuple[str, ...] = ()  # of a round: what it is called if it parts, or was

    @property
    def each(self) -> tuple[Part, ...]:
        """The single tasks it is made of: its parts, or itself."""
        return self.parts or (Part((), self.key, self.pot_ids, self.layer_ids, self),)


class Part(NamedTuple):
    """A task of a single pot or layer. order : of keys of one kind, pot-2 before pot-10."""

    order: tuple[Hashable, ...]
    key: str
    pot_ids: tuple[str, ...]
    layer_ids: tuple[str, ...]
    draft: Draft
