"""What happens when something is dropped on the yard: allowed or not, why, and the edit.

The shelf, the yard's picture and the keyboard all ask here, so that a drop that makes no
sense is refused everywhere with the same words.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from bloomline.engine.layers import cover_for_drop
from bloomline.model import edits
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import MAX_BULBS, MAX_LAYERS, Layer, Pot, Yard
from bloomline.plan.carry.companion_drops import judge_companion, judge_companion_on_shelf
from bloomline.plan.carry.verdicts import Cargo as Cargo
from bloomline.plan.carry.verdicts import Verdict as Verdict
from bloomline.plan.carry.verdicts import refusal as _no
from bloomline.plan.pot.fitting import CultivarOf, fill_of, how_many, room_at, shape_of
from bloomline.plan.words.units import units_of
from bloomline.words import tr


def judge_on_pot(
    yard: Yard,
    cargo: Cargo,
    *,
    pot_id: str,
    depth_from_rim_cm: float | None,
    copy: bool,
    cultivar_of: CultivarOf,
    usual_day: Callable[[Cultivar], date],
) -> Verdict:
    """What a drop on a pot would do.

    depth_from_rim_cm : where the pointer is; None (a key press) takes the kind's usual depth.
    usual_day : planting day for bulbs that are new in the yard.
    """
    pot = yard.pot(pot_id)
    length = units_of(yard).length
    if cargo.kind == "pot":
        return _no(tr("A pot can't stand inside another pot"))
    if cargo.kind in ("companion", "planting"):
        return judge_companion(yard, cargo, pot_id=pot_id, copy=copy)
    if cargo.kind == "cultivar":
        cultivar = cultivar_of(cargo.id)
        source, layer = None, None
    else:
        source, layer = yard.layer(cargo.id)
        cultivar = cultivar_of(layer.cultivar_id)
    stays = source is not None and source.id == pot.id and not copy
    if not stays and len(pot.layers) >= MAX_LAYERS:
        return _no(
            tr(
                "{pot_name} already has {max_layers} layers",
                pot_name=pot.name,
                max_layers=MAX_LAYERS,
            )
        )
    height = cultivar.bulb_height_cm
    if height > pot.compost_depth_cm:
        return _no(
            tr(
                "{cultivar_name} needs {height} for the bulb alone; {pot_name} "
                "holds {compost_depth} of compost",
                cultivar_name=cultivar.name,
                height=length(height),
                pot_name=pot.name,
                compost_depth=length(pot.compost_depth_cm),
            )
        )
    shape, fill = shape_of(pot), fill_of(pot)
    pointer = depth_from_rim_cm
    if pointer is None:
        pointer = fill.surface_from_rim_cm + cultivar.cover_cm + height / 2.0
    cover = cover_for_drop(shape, fill=fill, pointer_from_rim_cm=pointer, bulb_height_cm=height)
    cover = round(cover * 2.0) / 2.0
    if cover + height > pot.compost_depth_cm:
        cover = max(pot.compost_depth_cm - height, 0.0)
    tip = fill.surface_from_rim_cm + cover
    section = shape.section_for_bulb(
        centre_from_rim_cm=tip + height / 2.0,
        bulb_diameter_cm=cultivar.bulb_diameter_cm,
        bulb_height_cm=height,
    )
    room = room_at(section, cultivar.bulb_diameter_cm)
    if room.tight < 1:
        return _no(
            tr(
                "{cultivar_name} is too wide for {pot_name} at that depth",
                cultivar_name=cultivar.name,
                pot_name=pot.name,
            )
        )
    count = layer.count if layer is not None else min(max(room.usual, 1), MAX_BULBS)
    index = _index_at(pot, cover, skip=layer.id if stays and layer else None)
    fits = tr(
        "{how_many} fit, {how_many2} at most",
        how_many=how_many(room.usual),
        how_many2=how_many(room.tight),
    )
    if count > room.tight:
        fits = tr("its {count} bulbs are too many there: {fits}", count=count, fits=fits)
    if layer is None:
        new = Layer(
            id=edits.next_id(yard, "layer"),
            cultivar_id=cultivar.id,
            count=count,
            cover_cm=cover,
            planted=usual_day(cultivar),
        )
        return Verdict(
            allowed=True,
            words=tr(
                "Plant {count} {cultivar_name} {cover} deep in {pot_name} ({fits})",
                count=count,
                cultivar_name=cultivar.name,
                cover=length(cover),
                pot_name=pot.name,
                fits=fits,
            ),
            name=tr("Plant {name}", name=cultivar.name),
            cover_cm=cover,
            tip_from_rim_cm=tip,
            bulb_height_cm=height,
            count=count,
            room=room,
            apply=lambda before: edits.add_layer(before, pot_id, new, index=index),
        )
    if stays and cover == layer.cover_cm:
        return _no(
            tr(
                "{cultivar_name} lies {cover} deep already",
                cultivar_name=cultivar.name,
                cover=length(cover, decimals=1),
            )
        )
    # What undo calls it; the words shown while it is carried say where to as well.
    name = tr("Copy {name}", name=cultivar.name) if copy else tr("Move {name}", name=cultivar.name)
    target = (
        tr("to {pot_name}, {cover} deep", pot_name=pot.name, cover=length(cover))
        if not stays
        else tr("to {cover} deep", cover=length(cover))
    )
    return Verdict(
        allowed=True,
        words=tr("{deed} {target} ({fits})", deed=name, target=target, fits=fits),
        name=name,
        cover_cm=cover,
        tip_from_rim_cm=tip,
        bulb_height_cm=height,
        count=count,
        room=room,
        apply=_moved(layer, pot_id, index, cover, copy=copy, stays=stays),
    )


def _moved(
    layer: Layer, pot_id: str, index: int, cover_cm: float, *, copy: bool, stays: bool
) -> Callable[[Yard], Yard]:
    def apply(before: Yard) -> Yard:
        if stays:  # the others keep their depths; it finds its place among them
            return edits.change_layer(before, layer.id, cover_cm=cover_cm)
        if copy:
            after = edits.copy_layer(before, layer.id, pot_id, index=index)
            known = {each.id for _, each in before.layers()}
            moved_id = next(each.id for _, each in after.layers() if each.id not in known)
        else:
            after = edits.move_layer(before, layer.id, pot_id, index=index)
            moved_id = layer.id
        return edits.change_layer(after, moved_id, cover_cm=cover_cm)

    return apply


def _index_at(pot: Pot, cover_cm: float, *, skip: str | None) -> int:
    """Place among the layers (deepest first) that a cover belongs to."""
    others = [layer for layer in pot.layers if layer.id != skip]
    return sum(1 for layer in others if layer.cover_cm > cover_cm)


def judge_beside(yard: Yard, cargo: Cargo, *, index: int, copy: bool) -> Verdict:
    """What a drop between pots would do: only pots can be put there."""
    if cargo.kind in ("companion", "planting"):
        return _no(tr("Companions go on top of a pot: drop them on one"))
    if cargo.kind != "pot":
        return _no(tr("Bulbs go into a pot: drop them on one"))
    pot = yard.pot(cargo.id)
    if copy:

        def duplicate(before: Yard) -> Yard:
            after = edits.duplicate_pot(before, pot.id)
            known = {each.id for each in before.pots}
            new = next(each.id for each in after.pots if each.id not in known)
            return edits.move_pot(after, new, index)

        return Verdict(
            True,
            tr("Copy {pot_name} here", pot_name=pot.name),
            tr("Copy {pot_name}", pot_name=pot.name),
            apply=duplicate,
        )
    here = next(i for i, each in enumerate(yard.pots) if each.id == pot.id)
    to = index - 1 if index > here else index
    if to == here:
        return _no(tr("{pot_name} stands here already", pot_name=pot.name))
    return Verdict(
        True,
        tr("Move {pot_name} here", pot_name=pot.name),
        tr("Move {pot_name}", pot_name=pot.name),
        apply=lambda before: edits.move_pot(before, pot.id, to),
    )


def judge_on_shelf(yard: Yard, cargo: Cargo, *, cultivar_of: CultivarOf) -> Verdict:
    """What a drop on the shelf would do: a layer or companions are taken out of their pot."""
    if cargo.kind in ("companion", "planting"):
        return judge_companion_on_shelf(yard, cargo)
    if cargo.kind == "cultivar":
        return _no(tr("It is on the shelf already"))
    if cargo.kind == "pot":
        return _no(tr("A pot can't go on the shelf; delete it in the yard"))
    pot, layer = yard.layer(cargo.id)
    name = cultivar_of(layer.cultivar_id).name
    return Verdict(
        True,
        tr("Take {name} out of {pot_name}", name=name, pot_name=pot.name),
        tr("Take out {name}", name=name),
        apply=lambda before: edits.remove_layer(before, layer.id),
    )
