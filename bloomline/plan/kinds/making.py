"""Makes the kind of a packet: what it says, and else what is usual of its class."""

from __future__ import annotations

import math
from collections.abc import Iterable

from pydantic import ValidationError

from bloomline.errors import UsageError
from bloomline.model.cultivar import Cultivar
from bloomline.model.kind_edits import free_kind_id
from bloomline.model.problems import describe
from bloomline.model.yard import OwnCultivar, Packet
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.kinds.classes import Usual, bulb_types
from bloomline.plan.kinds.dates import class_dates
from bloomline.plan.kinds.packet import PacketEntry, full_name, span_of, told_dates, usual_for
from bloomline.plan.kinds.questions import questions
from bloomline.plan.kinds.window import Span, window_words
from bloomline.reference.rules import load_rules
from bloomline.words import tr


def kind_of(
    entry: PacketEntry,
    *,
    forecaster: Forecaster,
    taken: Iterable[str] = (),
    kept: OwnCultivar | None = None,
) -> OwnCultivar:
    """The kind of an entry: what the packet doesn't say is that of its class.

    taken : ids that are in use. kept : the kind that is edited. Its id stays, and while its
    class is the same so does all that stands on no packet; its dates stay while the months do.
    Raises UsageError for what can't be, with the words of its field.
    """
    grave = [each.words for each in questions(entry).values() if each.grave]
    if grave:
        raise UsageError(grave[0])
    usual = usual_for(entry)
    same_class = kept is not None and (kept.genus, kept.group) == (entry.genus, entry.group)
    typical = kept if kept is not None and same_class else usual.typical
    span = span_of(entry)
    size = entry.size_cm or typical.bulb_circumference_cm
    height = entry.height_cm or typical.height_cm
    known = any(each.genus == entry.genus for each in bulb_types())
    fields: dict[str, object] = dict(typical) | {
        "id": kept.id if kept else free_kind_id(entry.genus, entry.name, taken),
        "genus": entry.genus,
        "group": entry.group,
        "division": _division(entry.genus, entry.group),
        "name": full_name(entry.genus, entry.name),
        "common_type": typical.common_type if known else entry.genus.lower(),
        "colour": entry.colour or ("mixed" if "mix" in entry.name.casefold() else "unknown"),
        "colour_hex": entry.colour_hex or typical.colour_hex,
        "second_colour_hex": entry.second_hex,
        "height_cm": float(height),
        "cover_cm": float(typical.cover_cm if entry.cover_cm is None else entry.cover_cm),
        "bulb_circumference_cm": float(size),
        "spacing_cm": float(max(typical.spacing_cm, math.ceil(size / math.pi))),
        "grams_per_bulb": _grams(typical, size),
        "scent": entry.scent,
        "typical_pack": kept.typical_pack if kept else typical.typical_pack,
        **_dates(entry, span, usual, forecaster, kept if same_class else None),
    }
    if not same_class:
        fields |= {
            "typical_price_gbp": None,
            "chill_basis": "class-typical" if known else "memory",
            **_harm(entry, typical),
        }
    try:
        return OwnCultivar.model_validate(fields)
    except ValidationError as error:
        raise UsageError("; ".join(describe(error)[:3])) from None


def _grams(typical: Cultivar, size_cm: float) -> float:
    """Weight of a bulb of another size and the same build."""
    grams = typical.grams_per_bulb * (size_cm / typical.bulb_circumference_cm) ** 3
    return min(max(round(grams, 2), 0.05), 3000.0)


def _division(genus: str, group: str) -> int | None:
    for each in bulb_types():
        if each.genus == genus:
            return dict(each.groups).get(group)
    return None


def _harm(entry: PacketEntry, typical: Cultivar) -> dict[str, object]:
    """What it does to pets; what isn't known is treated as harmful."""
    harm = load_rules().toxicity(entry.genus, entry.group)
    if harm is not None:
        return {"toxic_pets": harm.level, "toxic_note": harm.what}
    if typical.genus == entry.genus:
        return {}
    return {"toxic_pets": 1, "toxic_note": "not known: treat it as harmful"}


def _dates(
    entry: PacketEntry,
    span: Span | None,
    usual: Usual,
    forecaster: Forecaster,
    kept: OwnCultivar | None,
) -> dict[str, object]:
    """When it flowers. kept : the kind that is edited, where its class stays the same."""
    packet = None if span is None else Packet(first=span[0], last=span[1], country=entry.country)
    if kept is not None and packet == kept.packet:
        names = ("ref_start", "ref_end", "ref_sd_days", "date_basis", "date_note", "packet")
        return {name: getattr(kept, name) for name in names}
    if packet is None or span is None:
        dates, basis = class_dates(usual), "class-typical"
        note = tr("usual time of its class; the packet names none")
    else:
        dates = told_dates(span, entry.country, usual, forecaster)
        basis = "packet"
        note = window_words(*span)
        if entry.country:
            note = tr("{months}, for {country}", months=note, country=entry.country)
    return {
        "ref_start": dates.start,
        "ref_end": dates.end,
        "ref_sd_days": float(round(dates.sd_days, 1)),
        "date_basis": basis,
        "date_note": note,
        "packet": packet,
    }
