"""What an answer counts by the measure of `wishes`, as its layers lie, and out of what."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from bloomline.model.cultivar import Cultivar
from bloomline.plan.fill.candidates import well_known
from bloomline.plan.fill.money import Purse
from bloomline.plan.fill.wishes import (
    CUPBOARD_DAYS,
    KNOWN_DAYS,
    LAYER_DAYS,
    LIKED_DAYS,
    SCENT_WORTH,
    Wishes,
    again_days,
)
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.stretch import StretchColour


@dataclass(frozen=True, slots=True)
class Counted:
    """Days that an answer counts more than the yard as it is, or sure days where these are wished.

    yard : in colour anywhere; None where one pot alone is asked about. pots : in colour, mean of
    the pots. scent : what days with scent count. taste : for layers, well-known and liked kinds,
    the cupboard, less for kinds that come again.
    """

    yard: float | None
    pots: float
    scent: float
    taste: float

    @property
    def colour(self) -> float:
        """Days in colour alone. [days]"""
        return (self.yard or 0.0) + self.pots

    @property
    def total(self) -> float:
        """All together. [days]"""
        return self.colour + self.scent + self.taste


def taste_of(outlook: Outlook, wishes: Wishes, purse: Purse, kind: Cultivar) -> float:
    """What a layer of a kind counts beside its days. [days]"""
    liked = wishes.names(wishes.liked, cultivar_id=kind.id, common_type=kind.common_type)
    return (
        LAYER_DAYS
        + KNOWN_DAYS * (kind.common_type in well_known(outlook))
        + LIKED_DAYS * liked
        + CUPBOARD_DAYS * (wishes.cupboard_first and purse.spare(kind) > 0)
    )


def counted(
    outlook: Outlook,
    wishes: Wishes,
    purse: Purse,
    *,
    before: StretchColour,
    after: StretchColour,
    kinds: Sequence[Cultivar],
    with_yard: bool,
) -> Counted:
    """What new layers count, of kinds one for each. before, after : colour without and with them.

    wishes : settled; both colours tell of the same pots. with_yard : the yard's days count too.
    """
    names = list(after.pots)
    scented = [
        name
        for name in names
        if wishes.scent and (name in wishes.scent_pots or not wishes.scent_pots)
    ]
    again = again_days(len(names)) * (len(kinds) - len({kind.id for kind in kinds}))
    n_pots = len(names) or 1

    def gain(pot_id: str | None, *, scented: bool = False) -> float:
        then, now = (
            each.days(pot_id, scented=scented, least_share=wishes.least_share)
            for each in (after, before)
        )
        return then - now

    taste = sum(taste_of(outlook, wishes, purse, kind) for kind in kinds)
    return Counted(
        yard=gain(None) if with_yard else None,
        pots=sum(gain(name) for name in names) / n_pots,
        scent=SCENT_WORTH * sum(gain(name, scented=True) for name in scented) / n_pots,
        taste=(taste - again) / n_pots,
    )
