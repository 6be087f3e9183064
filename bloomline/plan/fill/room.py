"""Where in a pot something new can be laid beside the layers that stay: one rule for every plan.

Bulbs that are in the compost are not dug up: what is new lies above them. A layer that is still
to be planted can be reckoned with: what is new lies under it, or above it where it goes in first;
and what was planted a season before it is over, and out, when the pot is dug for it.
"""

from __future__ import annotations

from datetime import date, timedelta

from bloomline.engine.stacking import Interval, free_intervals
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Pot
from bloomline.plan.climate.weather import yard_axis_start
from bloomline.plan.pot.residence import OUT_AFTER_DAYS, TOGETHER_DAYS, is_out_before
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.words.days import as_date

_BESIDE_FIXED_CM = 2.0  # compost beside a layer that stays; less than is proper is told as a note


def staying(outlook: Outlook, pot: Pot, *, on: date) -> tuple[Layer, ...]:
    """Layers that are in a pot, or will be, with what is planted on a day."""
    return tuple(
        layer
        for layer in pot.layers
        if layer.state != "lifted" and not _gone(outlook, layer, on=on)
    )


def _gone(outlook: Outlook, layer: Layer, *, on: date) -> bool:
    new = layer.model_copy(update={"planted": on, "lifted_on": None})
    return is_out_before(layer, new, cultivar_of=outlook.cultivar_of)


def intervals_of(outlook: Outlook, pot: Pot, *, on: date) -> tuple[Interval, ...]:
    """The free depths of a pot for what is planted on a day."""
    fixed, rooted = [], []
    for layer in staying(outlook, pot, on=on):
        height = outlook.cultivar_of(layer.cultivar_id).bulb_height_cm
        fixed.append((layer.cover_cm, layer.cover_cm + height))
        if _is_in(outlook, layer) or layer.planted < on:
            rooted.append(layer.cover_cm)
    free = free_intervals(
        depth_cm=pot.compost_depth_cm,
        fixed=fixed,
        rooted_top_cm=min(rooted, default=None),
        between_cm=_BESIDE_FIXED_CM,
    )
    return tuple(each for each in free if _in_turn(outlook, pot, each, on=on))


def _is_in(outlook: Outlook, layer: Layer) -> bool:
    """Whether a layer that stays is in the compost by now; its day being past, so it is taken."""
    return layer.state != "planned" or layer.planted <= outlook.today


def _in_turn(outlook: Outlook, pot: Pot, interval: Interval, *, on: date) -> bool:
    """Whether nothing that lies deeper has yet to be planted through what is laid there."""
    return not any(
        layer.cover_cm >= interval.bottom_cm
        and not _is_in(outlook, layer)
        and 0 < (layer.planted - on).days < OUT_AFTER_DAYS
        for layer in staying(outlook, pot, on=on)
    )


def leaves_in_time(outlook: Outlook, pot: Pot, kind: Cultivar, over: float, *, on: date) -> bool:
    """Whether a kind that is planted on a day is out when the pot is dug a season later.

    over : day of the season's axis on which its flowers end.
    """
    later = [
        layer
        for layer in staying(outlook, pot, on=on)
        if not _is_in(outlook, layer) and (layer.planted - on).days > TOGETHER_DAYS
    ]
    if not later:
        return True
    start = yard_axis_start(outlook.yard.season_year, garden=outlook.garden)
    ends = as_date(start) + timedelta(days=float(over))
    new = Layer(id="new", cultivar_id=kind.id, count=1, cover_cm=0.0, planted=on)
    return all(
        ends <= layer.planted and is_out_before(new, layer, cultivar_of=outlook.cultivar_of)
        for layer in later
    )
