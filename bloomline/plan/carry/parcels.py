"""What pasting pots, layers and companions into a yard would do, and what a copy says as text."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from bloomline.errors import BloomlineError, UnknownNameError
from bloomline.model.parcel import Parcel, lay_down
from bloomline.model.revising import revise
from bloomline.model.yard import Layer, Pot, Yard
from bloomline.plan.pot.fitting import CultivarOf
from bloomline.plan.season.colour import pot_summary
from bloomline.plan.tops.companions import companion_of
from bloomline.plan.words.benches import pot_words
from bloomline.plan.words.units import Units, units_of
from bloomline.words import full_day_words, listed, plural, tr


def parcel_name(parcel: Parcel) -> str:
    """What a parcel holds, in a few words: "2 pots", "3 layers"."""
    return counted_parts(
        pots=len(parcel.pots), layers=len(parcel.layers), companions=len(parcel.companions)
    )


def counted_parts(*, pots: int = 0, layers: int = 0, companions: int = 0) -> str:
    """How much of a yard something is about: "2 pots", "3 layers"."""
    parts = []
    if pots:
        parts.append(plural("{n} pot", "{n} pots", pots))
    if layers:
        parts.append(plural("{n} layer", "{n} layers", layers))
    if companions:
        parts.append(
            plural("{n} planting of companions", "{n} plantings of companions", companions)
        )
    return listed(parts)


def pasted(
    parcel: Parcel,
    *,
    index: int | None,
    pot_ids: Sequence[str],
    cultivar_of: CultivarOf,
    in_catalogue: Callable[[str], bool],
) -> Callable[[Yard], Yard]:
    """The edit that puts a parcel into a yard, its layers and companions into all those pots.

    Layers go as deep as they lay, in a shallower pot as deep as it allows. The edit raises
    BloomlineError where something is not known here, does not fit or has no room.
    """

    def apply(yard: Yard) -> Yard:
        _refuse_unknown(parcel, cultivar_of)
        if (parcel.layers or parcel.companions) and not pot_ids:
            raise BloomlineError(tr("Select the pot that it is to go into first"))
        own = {each.id: each for each in parcel.own_cultivars}

        def fitted(layer: Layer, pot: Pot) -> Layer:
            kind = own.get(layer.cultivar_id) or cultivar_of(layer.cultivar_id)
            return _fitted(layer, pot, kind.bulb_height_cm, units_of(yard))

        return lay_down(
            yard,
            parcel,
            index=index,
            pot_ids=() if parcel.pots else pot_ids,
            in_catalogue=in_catalogue,
            fitted=fitted,
        )

    return apply


def _refuse_unknown(parcel: Parcel, cultivar_of: CultivarOf) -> None:
    own = {each.id for each in parcel.own_cultivars}
    try:
        for layer in parcel.all_layers():
            if layer.cultivar_id not in own:
                cultivar_of(layer.cultivar_id)
        for planting in (*parcel.companions, *(p for pot in parcel.pots for p in pot.companions)):
            companion_of(planting.companion_id)
    except UnknownNameError as error:
        raise BloomlineError(
            tr("What was copied names a plant that is not known here: {why}", why=str(error))
        ) from None


def _fitted(layer: Layer, pot: Pot, bulb_height_cm: float, units: Units) -> Layer:
    """A layer no deeper than a pot allows. Raises BloomlineError when its bulbs are too tall."""
    deepest = pot.compost_depth_cm - bulb_height_cm
    if deepest < 0.0:
        raise BloomlineError(
            tr(
                "The bulbs need {height} alone; {pot_name} holds {compost_depth} of compost",
                height=units.length(bulb_height_cm),
                pot_name=pot.name,
                compost_depth=units.length(pot.compost_depth_cm),
            )
        )
    return revise(layer, {"cover_cm": min(layer.cover_cm, deepest)})


def parcel_text(parcel: Parcel, *, cultivar_of: CultivarOf, units: Units) -> str:
    """What a parcel holds as plain text, for a letter or a note."""
    lines: list[str] = []
    for pot in parcel.pots:
        lines.append(f"{pot_words(pot)}: {pot_summary(pot, units)}")
        lines += [f"  {_layer_line(layer, cultivar_of, units)}" for layer in pot.layers[::-1]]
    lines += [_layer_line(layer, cultivar_of, units) for layer in parcel.layers]
    for planting in parcel.companions:
        lines.append(
            tr(
                "{count} × {name}, planted {day}",
                count=planting.count,
                name=companion_of(planting.companion_id).name,
                day=full_day_words(planting.planted),
            )
        )
    return "\n".join(lines)


def _layer_line(layer: Layer, cultivar_of: CultivarOf, units: Units) -> str:
    try:
        name = cultivar_of(layer.cultivar_id).name
    except BloomlineError:
        name = layer.cultivar_id
    return tr(
        "{count} × {name}, {depth} deep, planted {day}",
        count=layer.count,
        name=name,
        depth=units.length(layer.cover_cm, decimals=1),
        day=full_day_words(layer.planted),
    )
