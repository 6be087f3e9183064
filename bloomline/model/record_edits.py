"""Changes to many records at once, each one step: take in, take away, confirm.

Pure functions from a yard to a new one, as in `bloomline.model.edits`.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bloomline.errors import EditRefusedError
from bloomline.model.edits import change_layer, state_by_record
from bloomline.model.revising import revise
from bloomline.model.yard import MAX_RECORDS, LayerState, Record, Yard
from bloomline.model.yard_ids import fresh_ids


def add_records(yard: Yard, records: Sequence[Record]) -> Yard:
    """Note what was seen, all at once; each record gets an id of the yard's own.

    Layers follow as in `add_record`.
    Raises EditRefusedError when there are too many, UnknownNameError for a layer that isn't
    there.
    """
    if not records:
        return yard
    if len(yard.records) + len(records) > MAX_RECORDS:
        raise EditRefusedError(f"the yard holds at most {MAX_RECORDS:,} records")
    names = fresh_ids(yard, "record")
    taken = [record.model_copy(update={"id": next(names)}) for record in records]
    for layer_id, state in _states(yard, taken).items():
        yard = change_layer(yard, layer_id, state=state)
    ordered = tuple(sorted([*yard.records, *taken], key=lambda record: record.day))
    return revise(yard, {"records": ordered}, links=False)


def _states(yard: Yard, records: Iterable[Record]) -> dict[str, LayerState]:
    """The states that layers come into by what was seen of them since they were planted."""
    found: dict[str, LayerState] = {}
    known = {layer.id: layer for _, layer in yard.layers()}
    for record in records:
        if record.layer_id not in known:
            yard.layer(record.layer_id)  # raises, and names what comes near
        layer = known[record.layer_id]
        before = found.get(layer.id, layer.state)
        state = state_by_record(layer, record, state=before)
        if state != before:
            found[layer.id] = state
    return found


def remove_records(yard: Yard, record_ids: Iterable[str]) -> Yard:
    """Take records away. Raises UnknownNameError for one that isn't there."""
    gone = _known(yard, record_ids)
    if not gone:
        return yard
    kept = tuple(record for record in yard.records if record.id not in gone)
    return revise(yard, {"records": kept}, links=False)


def confirm_records(yard: Yard, record_ids: Iterable[str]) -> Yard:
    """Say that odd entries are right. Raises UnknownNameError for one that isn't there."""
    meant = _known(yard, record_ids)
    if not meant:
        return yard
    records = tuple(
        record.model_copy(update={"confirmed": True}) if record.id in meant else record
        for record in yard.records
    )
    return revise(yard, {"records": records}, links=False)


def _known(yard: Yard, record_ids: Iterable[str]) -> set[str]:
    wanted = set(record_ids)
    for missing in sorted(wanted - {record.id for record in yard.records}):
        yard.record(missing)  # raises, and names what comes near
    return wanted
