"""Changes to a yard: pure functions from a yard to a new one; no yard is ever altered.

Every rule about a change stands here once. Ids of new pots, layers and records come from
`next_id`, so a caller knows beforehand what a new thing will be called. A change that makes
no sense raises EditRefusedError, an id that isn't there UnknownNameError.

Layers lie from the deepest up. A layer put between two others gets no deeper than the one
below it and no shallower than the one above; moved within its pot it takes its slot's depth.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from operator import is_

from bloomline.errors import EditRefusedError
from bloomline.model.revising import (
    given,
    pot_index,
    refuse_fields,
    refuse_known_ids,
    revise,
    with_pot,
)
from bloomline.model.spot import Spot, is_one_garden
from bloomline.model.yard import (
    LONG_SHAPES,
    MAX_LAYERS,
    MAX_POTS,
    MAX_RECORDS,
    SHELTERED_SITES,
    Layer,
    LayerState,
    PlaceChoice,
    Pot,
    Record,
    Site,
    Yard,
)
from bloomline.model.yard_ids import free_name as free_name
from bloomline.model.yard_ids import fresh_ids
from bloomline.model.yard_ids import next_id as next_id

# How much longer than wide an oval pot or a trough is made when no length is given.
_LENGTH_PER_WIDTH = {"oval": 1.5, "trough": 3.0}


# The yard as a whole


def rename_yard(yard: Yard, name: str) -> Yard:
    """Give the yard another name."""
    return revise(yard, {"name": name}, links=False)


def set_notes(yard: Yard, notes: str) -> Yard:
    """Replace the notes about the yard."""
    return revise(yard, {"notes": notes}, links=False)


def set_place(yard: Yard, place: PlaceChoice) -> Yard:
    """Move the yard to another place; records and recorded weather stay those of the old one."""
    changes: dict[str, object] = {"place": place}
    if not is_one_garden(yard.place, place):
        spot = Spot(latitude_deg=yard.place.latitude_deg, longitude_deg=yard.place.longitude_deg)
        changes["records"] = tuple(
            record if record.seen_at is not None else record.model_copy(update={"seen_at": spot})
            for record in yard.records
        )
        if yard.weather is not None and yard.weather.recorded_at is None:
            changes["weather"] = yard.weather.model_copy(update={"recorded_at": spot})
    return revise(yard, changes, links=False)


def change_place(yard: Yard, **fields: object) -> Yard:
    """Change some fields of the place, such as its elevation."""
    return set_place(yard, revise(yard.place, fields))


def set_season_year(yard: Yard, year: int) -> Yard:
    """Show the spring of another year; planting dates stay as they are."""
    return revise(yard, {"season_year": year}, links=False)


def change_settings(yard: Yard, **fields: object) -> Yard:
    """Change some of the settings."""
    return revise(yard, {"settings": revise(yard.settings, fields)}, links=False)


def change_money(yard: Yard, **fields: object) -> Yard:
    """Change the currency or the budget."""
    return revise(yard, {"money": revise(yard.money, fields)}, links=False)


def set_site_offset(yard: Yard, site: Site, offset_c: float | None) -> Yard:
    """Warm or cool a site against the program's figure [°C]; None takes the figure back."""
    offsets = {**yard.site_offsets, site: offset_c}
    kept = {name: value for name, value in offsets.items() if value is not None}
    return revise(yard, {"site_offsets": kept}, links=False)


# Pots


def add_pot(yard: Yard, pot: Pot, *, index: int | None = None) -> Yard:
    """Put a pot into the yard, at the end or at `index`."""
    if len(yard.pots) >= MAX_POTS:
        raise EditRefusedError(f"the yard is full: it holds at most {MAX_POTS:,} pots")
    ids = [*(layer.id for layer in pot.layers), *(each.id for each in pot.companions)]
    refuse_known_ids(yard, [pot.id, *ids])
    at = len(yard.pots) if index is None else _slot(index, len(yard.pots))
    return revise(yard, {"pots": (*yard.pots[:at], pot, *yard.pots[at:])})


def duplicate_pot(yard: Yard, pot_id: str) -> Yard:
    """Put a copy of a pot right behind it, its layers planned afresh; records stay behind."""
    copy = copied_pot(
        yard.pot(pot_id),
        pot_id=next_id(yard, "pot"),
        name=free_name(yard, yard.pot(pot_id).name),
        layer_ids=fresh_ids(yard, "layer"),
        companion_ids=fresh_ids(yard, "companion"),
    )
    return add_pot(yard, copy, index=pot_index(yard, pot_id) + 1)


def copied_pot(
    pot: Pot,
    *,
    pot_id: str,
    name: str,
    layer_ids: Iterator[str],
    companion_ids: Iterator[str],
) -> Pot:
    """A copy of a pot with other ids, its layers planned afresh."""
    layers = tuple(copied_layer(layer, next(layer_ids)) for layer in pot.layers)
    on_top = tuple(revise(planting, {"id": next(companion_ids)}) for planting in pot.companions)
    parts = {"layers": layers, "companions": on_top}
    return revise(pot, {"id": pot_id, "name": name, **parts})


def copied_layer(layer: Layer, layer_id: str) -> Layer:
    """A copy of a layer with another id, planned afresh."""
    return revise(layer, {"id": layer_id, "state": "planned"})


def remove_pot(yard: Yard, pot_id: str) -> Yard:
    """Take a pot away, with its layers, what was recorded about them, and its fixed stands.

    A wish for it alone goes with it, since without a pot it would be one for the whole yard.
    """
    at = pot_index(yard, pot_id)
    gone = {layer.id for layer in yard.pots[at].layers}
    changes: dict[str, object] = {
        "pots": yard.pots[:at] + yard.pots[at + 1 :],
        "fixed_stands": tuple(each for each in yard.fixed_stands if each.pot_id != pot_id),
        **_without_records(yard, gone),
    }
    if any(pot_id in wish.pot_ids for wish in yard.wishes):
        changes["wishes"] = tuple(
            revise(wish, {"pot_ids": tuple(each for each in wish.pot_ids if each != pot_id)})
            for wish in yard.wishes
            if wish.pot_ids != (pot_id,)
        )
    return revise(yard, changes, links=False)


def rename_pot(yard: Yard, pot_id: str, name: str) -> Yard:
    """Give a pot another name."""
    return change_pot(yard, pot_id, name=name)


def change_pot(yard: Yard, pot_id: str, **fields: object) -> Yard:
    """Change fields of a pot, all but its id, layers and companions.

    A pot made oval or a trough gets lengths when none are given; one made round or square
    loses them; one moved to a site without shelter loses the day until which it is sheltered.
    """
    at = pot_index(yard, pot_id)
    changed = changed_pot(yard.pots[at], fields)
    return with_pot(yard, at, changed, links="display_place" in fields)


def change_pots(yard: Yard, changes: Mapping[str, Mapping[str, object]]) -> Yard:
    """Change fields of many pots at once, as `change_pot` does one after the other."""
    left = dict(changes)
    pots = tuple(changed_pot(pot, left.pop(pot.id)) if pot.id in left else pot for pot in yard.pots)
    if left:
        yard.pot(next(iter(left)))  # raises, and names what comes near
    links = any("display_place" in fields for fields in changes.values())
    return revise(yard, {"pots": pots}, links=links)


def changed_pot(pot: Pot, given: Mapping[str, object]) -> Pot:
    """A pot with other values, by the rules of `change_pot`."""
    fields = dict(given)
    refuse_fields(fields, "id", "layers", "companions")
    shape = fields.get("shape", pot.shape)
    if shape != pot.shape:
        for end in ("top", "bottom"):
            width = fields.get(f"{end}_width_cm", getattr(pot, f"{end}_width_cm"))
            length = getattr(pot, f"{end}_length_cm")
            if shape not in LONG_SHAPES:
                length = None
            elif length is None and isinstance(width, int | float):
                length = width * _LENGTH_PER_WIDTH[str(shape)]
            fields.setdefault(f"{end}_length_cm", length)
    if "site" in fields and fields["site"] not in SHELTERED_SITES:
        fields.setdefault("sheltered_from", None)
        fields.setdefault("sheltered_until", None)
    return revise(pot, fields)


def move_pot(yard: Yard, pot_id: str, to_index: int) -> Yard:
    """Move a pot among the others, so that it comes to stand at `to_index`."""
    at = pot_index(yard, pot_id)
    pots = list(yard.pots)
    pot = pots.pop(at)
    pots.insert(_slot(to_index, len(pots)), pot)
    return revise(yard, {"pots": tuple(pots)}, links=False)


# Layers


def add_layer(yard: Yard, pot_id: str, layer: Layer, *, index: int | None = None) -> Yard:
    """Lay a layer into a pot, at `index` from the deepest up or where its depth belongs."""
    at = pot_index(yard, pot_id)
    pot = with_new_layer(yard.pots[at], layer, index=index)
    refuse_known_ids(yard, [layer.id])
    return with_pot(yard, at, pot)


def with_new_layer(pot: Pot, layer: Layer, *, index: int | None = None) -> Pot:
    """A pot with one more layer, by the rules of `add_layer`."""
    _refuse_full(pot)
    return revise(pot, {"layers": _laid(pot.layers, layer, index)})


def copy_layer(yard: Yard, layer_id: str, to_pot_id: str, *, index: int | None = None) -> Yard:
    """Lay a copy of a layer into a pot, planned afresh; records stay behind."""
    _, layer = yard.layer(layer_id)
    copy = copied_layer(layer, next_id(yard, "layer"))
    return add_layer(yard, to_pot_id, copy, index=index)


def move_layer(yard: Yard, layer_id: str, to_pot_id: str, *, index: int | None = None) -> Yard:
    """Move a layer to `index` (from the deepest up) of its own or another pot."""
    pot, layer = yard.layer(layer_id)
    rest = tuple(other for other in pot.layers if other.id != layer_id)
    at = pot_index(yard, pot.id)
    if to_pot_id == pot.id:
        slot = len(rest) if index is None else _slot(index, len(rest))
        order = (*rest[:slot], layer, *rest[slot:])
        depths = [other.cover_cm for other in pot.layers]
        laid = tuple(
            revise(other, {"cover_cm": depth}) for other, depth in zip(order, depths, strict=True)
        )
        return with_pot(yard, at, revise(pot, {"layers": laid}))
    to = pot_index(yard, to_pot_id)
    _refuse_full(yard.pots[to])
    pots = list(yard.pots)
    pots[at] = revise(pot, {"layers": rest})
    pots[to] = revise(pots[to], {"layers": _laid(pots[to].layers, layer, index)})
    return revise(yard, {"pots": tuple(pots)}, links=False)


def remove_layer(yard: Yard, layer_id: str) -> Yard:
    """Take a layer away, with what was recorded about it."""
    pot, _ = yard.layer(layer_id)
    rest = tuple(other for other in pot.layers if other.id != layer_id)
    pots = list(yard.pots)
    pots[pot_index(yard, pot.id)] = revise(pot, {"layers": rest})
    return revise(yard, {"pots": tuple(pots), **_without_records(yard, {layer_id})}, links=False)


def change_layer(yard: Yard, layer_id: str, **fields: object) -> Yard:
    """Change fields of a layer, all but its id; another depth may give it another slot."""
    return change_layers(yard, {layer_id: fields})


def change_layers(yard: Yard, changes: Mapping[str, Mapping[str, object]]) -> Yard:
    """Change fields of many layers at once, as `change_layer` does one after the other."""
    left = set(changes)
    pots = list(yard.pots)
    for at, pot in enumerate(yard.pots):
        if not left:
            break
        for layer in pot.layers:
            if layer.id in left:
                left.discard(layer.id)
                pots[at] = with_changed_layer(pots[at], layer, changes[layer.id])
    if left:
        yard.layer(min(left))  # raises, and names what comes near
    if all(new is old for new, old in zip(pots, yard.pots, strict=True)):
        return yard
    return revise(yard, {"pots": tuple(pots)}, links=False)


def with_changed_layer(pot: Pot, layer: Layer, fields: Mapping[str, object]) -> Pot:
    """A pot in which one of its layers has other values, by the rules of `change_layer`."""
    refuse_fields(fields, "id")
    changed = revise(layer, dict(fields))
    slot = pot.layers.index(layer)
    rest = pot.layers[:slot] + pot.layers[slot + 1 :]
    below = rest[slot - 1].cover_cm if slot else changed.cover_cm
    above = rest[slot].cover_cm if slot < len(rest) else changed.cover_cm
    if changed.cover_cm == layer.cover_cm or below >= changed.cover_cm >= above:
        layers = (*rest[:slot], changed, *rest[slot:])
    else:
        layers = _laid(rest, changed, None)
    return revise(pot, {"layers": layers})


def set_planted(yard: Yard, layer_ids: Iterable[str], day: date) -> Yard:
    """Give layers another planting date."""
    wanted = set(layer_ids)
    left = set(wanted)
    good: date | None = None
    pots = []
    for pot in yard.pots:
        layers, is_changed = [], False
        for old in pot.layers:
            layer = old
            if old.id in wanted:
                left.discard(old.id)
                if good is None or layer.lifted_on is not None:
                    layer = revise(layer, {"planted": day})
                    good = layer.planted
                elif layer.planted != good:
                    # A day that is good for one layer is good for all that stay: a slider moves
                    # thousands.
                    layer = given(layer, {"planted": good})
                is_changed |= layer is not old
            layers.append(layer)
        pots.append(given(pot, {"layers": tuple(layers)}) if is_changed else pot)
    if left:
        yard.layer(min(left))  # raises, and names what comes near
    if all(map(is_, pots, yard.pots)):
        return yard
    return given(yard, {"pots": tuple(pots)})


# Records


def add_record(yard: Yard, record: Record) -> Yard:
    """Note what was seen; records are kept in order of their days.

    A layer thought planned is planted once a nose shows, and flowering once a flower does.
    """
    if len(yard.records) >= MAX_RECORDS:
        raise EditRefusedError(f"the yard holds at most {MAX_RECORDS:,} records")
    refuse_known_ids(yard, [record.id])
    _, layer = yard.layer(record.layer_id)
    state = state_by_record(layer, record, state=layer.state)
    if state != layer.state:
        yard = change_layer(yard, layer.id, state=state)
    return _with_records(yard, [*yard.records, record])


def state_by_record(layer: Layer, record: Record, *, state: LayerState) -> LayerState:
    """The state a layer comes into by what was seen; an earlier planting's records say nothing."""
    if record.day < layer.planted:
        return state
    if record.seen in ("first-flower", "full") and state in ("planned", "planted"):
        return "flowering"
    return "planted" if record.seen == "nose" and state == "planned" else state


def change_record(yard: Yard, record_id: str, **fields: object) -> Yard:
    """Change fields of a record, all but its id."""
    refuse_fields(fields, "id")
    changed = revise(yard.record(record_id), fields)
    yard.layer(changed.layer_id)
    return _with_records(yard, [changed if r.id == record_id else r for r in yard.records])


# What the edits share


def _with_records(yard: Yard, records: list[Record]) -> Yard:
    ordered = tuple(sorted(records, key=lambda record: record.day))
    return revise(yard, {"records": ordered}, links=False)


def _without_records(yard: Yard, layer_ids: set[str]) -> dict[str, object]:
    return {"records": tuple(r for r in yard.records if r.layer_id not in layer_ids)}


def _laid(layers: tuple[Layer, ...], layer: Layer, index: int | None) -> tuple[Layer, ...]:
    """Put a layer among others: where its depth belongs, or at `index` with a depth to match."""
    if index is None:
        slot = next((k for k, o in enumerate(layers) if o.cover_cm < layer.cover_cm), len(layers))
    else:
        slot = _slot(index, len(layers))
        cover_cm = layer.cover_cm
        if slot < len(layers):
            cover_cm = max(cover_cm, layers[slot].cover_cm)
        if slot > 0:
            cover_cm = min(cover_cm, layers[slot - 1].cover_cm)
        layer = revise(layer, {"cover_cm": cover_cm})
    return (*layers[:slot], layer, *layers[slot:])


def _slot(index: int, last: int) -> int:
    if not 0 <= index <= last:
        raise EditRefusedError(f"there is no position {index}; it must lie between 0 and {last}")
    return index


def _refuse_full(pot: Pot) -> None:
    if len(pot.layers) >= MAX_LAYERS:
        raise EditRefusedError(f"{pot.name} is full: a pot holds at most {MAX_LAYERS} layers")
