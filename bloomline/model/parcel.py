"""Pots, layers and companions on their way from one yard to another, and laying them down there.

What is laid down gets new ids. Cultivars of the gardener's own come along; they keep their id
where it is free, and get another where it stands for something else.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from bloomline.errors import EditRefusedError
from bloomline.model.companion import CompanionPlanting
from bloomline.model.companion_edits import with_new_companion
from bloomline.model.edits import with_new_layer
from bloomline.model.parts import Part
from bloomline.model.revising import revise
from bloomline.model.spot import Spot
from bloomline.model.yard import MAX_POTS as MAX_YARD_POTS
from bloomline.model.yard import Layer, OwnCultivar, Pot, Record, Yard
from bloomline.model.yard_ids import free_among, fresh_ids

FORMAT = "bloomline-parts"
MAX_POTS = 1_000
MAX_PARTS = 2_000


class Parcel(Part):
    """What is carried. `records` come along with what was cut, so that nothing is lost."""

    format: Literal["bloomline-parts"] = "bloomline-parts"
    version: Annotated[str, StringConstraints(strict=True, pattern=r"^1\.\d{1,4}$")] = "1.0"
    pots: Annotated[tuple[Pot, ...], Field(max_length=MAX_POTS)] = ()
    layers: Annotated[tuple[Layer, ...], Field(max_length=MAX_PARTS)] = ()
    companions: Annotated[tuple[CompanionPlanting, ...], Field(max_length=MAX_PARTS)] = ()
    own_cultivars: Annotated[tuple[OwnCultivar, ...], Field(max_length=MAX_PARTS)] = ()
    records: Annotated[tuple[Record, ...], Field(max_length=10 * MAX_PARTS)] = ()

    def all_layers(self) -> Iterator[Layer]:
        """The layers, those in the pots first."""
        for pot in self.pots:
            yield from pot.layers
        yield from self.layers

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing in it."""
        return not (self.pots or self.layers or self.companions)


def parcel_of(yard: Yard, ids: Iterable[str], *, with_records: bool) -> Parcel:
    """Copies of pots, layers and companions. Raises EditRefusedError when they are too many.

    with_records : as they are, with what was recorded about them (a cut); else planned afresh.
    """
    wanted = set(ids)
    pots = [pot for pot in yard.pots if pot.id in wanted]
    layers = [layer for _, layer in yard.layers() if layer.id in wanted]
    companions = [planting for _, planting in yard.companions() if planting.id in wanted]
    if len(pots) > MAX_POTS or len(layers) + len(companions) > MAX_PARTS:
        raise EditRefusedError(
            f"at most {MAX_POTS:,} pots or {MAX_PARTS:,} layers can be copied at once"
        )
    gone = [*layers, *(layer for pot in pots for layer in pot.layers)]
    names = {layer.id for layer in gone}
    kinds = {layer.cultivar_id for layer in gone}
    place = yard.place
    spot = Spot(latitude_deg=place.latitude_deg, longitude_deg=place.longitude_deg)
    records = [
        record if record.seen_at is not None else revise(record, {"seen_at": spot})
        for record in (yard.records if with_records else ())
        if record.layer_id in names
    ]
    return Parcel(
        pots=tuple(pots if with_records else map(_afresh, pots)),
        layers=tuple(layers if with_records else map(_planned, layers)),
        companions=tuple(companions),
        own_cultivars=tuple(own for own in yard.own_cultivars if own.id in kinds),
        records=tuple(records),
    )


def without_records(parcel: Parcel) -> Parcel:
    """The parcel as a copy would have made it: what was recorded can be laid down only once."""
    return revise(
        parcel,
        {
            "pots": tuple(map(_afresh, parcel.pots)),
            "layers": tuple(map(_planned, parcel.layers)),
            "records": (),
        },
    )


def lay_down(
    yard: Yard,
    parcel: Parcel,
    *,
    index: int | None = None,
    pot_ids: Sequence[str] = (),
    in_catalogue: Callable[[str], bool],
    fitted: Callable[[Layer, Pot], Layer] = lambda layer, _pot: layer,
) -> Yard:
    """Put what a parcel holds into a yard.

    index : where among the pots its pots come to stand, None for the end. pot_ids : the pots
    that its layers and companions go into, each into all of them. in_catalogue : whether an id
    is that of a cultivar of the catalogue. fitted : a layer as it goes into a pot. Raises
    EditRefusedError, UnknownNameError.
    """
    yard, kinds = _with_cultivars(yard, parcel.own_cultivars, in_catalogue)
    places = {place.name for place in yard.display_places}
    layer_ids, on_top_ids = fresh_ids(yard, "layer"), fresh_ids(yard, "companion")
    pot_names, record_ids = fresh_ids(yard, "pot"), fresh_ids(yard, "record")
    laid: dict[str, str] = {}

    def layer_of(layer: Layer) -> Layer:
        new = next(layer_ids)
        laid.setdefault(layer.id, new)
        kind = kinds.get(layer.cultivar_id, layer.cultivar_id)
        return revise(layer, {"id": new, "cultivar_id": kind})

    def on_top_of(planting: CompanionPlanting) -> CompanionPlanting:
        return revise(planting, {"id": next(on_top_ids)})

    for name in pot_ids:
        yard.pot(name)  # raises where there is none
    taken = {pot.name for pot in yard.pots}
    new: list[Pot] = []
    for pot in parcel.pots:
        name = free_among(taken, pot.name) if pot.name in taken else pot.name
        taken.add(name)
        fields: dict[str, object] = {
            "id": next(pot_names),
            "name": name,
            "display_place": pot.display_place if pot.display_place in places else None,
            "layers": tuple(map(layer_of, pot.layers)),
            "companions": tuple(map(on_top_of, pot.companions)),
        }
        new.append(revise(pot, fields))
    if len(yard.pots) + len(new) > MAX_YARD_POTS:
        raise EditRefusedError(f"the yard is full: it holds at most {MAX_YARD_POTS:,} pots")
    pots = list(yard.pots)
    for at, pot in enumerate(pots):
        if pot.id in pot_ids:
            for layer in parcel.layers:
                pot = with_new_layer(pot, layer_of(fitted(layer, pot)))
            for planting in parcel.companions:
                pot = with_new_companion(pot, on_top_of(planting))
            pots[at] = pot
    place = len(pots) if index is None else index
    pots[place:place] = new
    yard = revise(yard, {"pots": tuple(pots)})
    records = [
        revise(record, {"id": next(record_ids), "layer_id": laid[record.layer_id]})
        for record in parcel.records
        if record.layer_id in laid
    ]
    if not records:
        return yard
    ordered = sorted((*yard.records, *records), key=lambda record: record.day)
    return revise(yard, {"records": tuple(ordered)})


def _with_cultivars(
    yard: Yard, own: Sequence[OwnCultivar], in_catalogue: Callable[[str], bool]
) -> tuple[Yard, dict[str, str]]:
    """The yard with cultivars that come along, and the ids of those that got another one."""
    here = {each.id: each for each in yard.own_cultivars}
    renamed: dict[str, str] = {}
    for each in own:
        if here.get(each.id) == each:
            continue
        name, number = each.id, 2
        while name in here or in_catalogue(name):
            name = f"{re.sub(r'-[0-9]{1,4}$', '', each.id)[:58]}-{number}"
            number += 1
            if here.get(name) == revise(each, {"id": name}):
                break
        renamed[each.id] = name
        here[name] = revise(each, {"id": name})
    if len(here) == len(yard.own_cultivars):
        return yard, renamed
    return revise(yard, {"own_cultivars": tuple(here.values())}), renamed


def _planned(layer: Layer) -> Layer:
    return revise(layer, {"state": "planned"})


def _afresh(pot: Pot) -> Pot:
    return revise(pot, {"layers": tuple(map(_planned, pot.layers))})
