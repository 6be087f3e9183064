"""Changes to a yard's own kinds: pure functions, as in `bloomline.model.edits`."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

from bloomline.errors import EditRefusedError
from bloomline.model.cultivar import Cultivar
from bloomline.model.mixing import remade
from bloomline.model.revising import revise
from bloomline.model.yard import MAX_OWN_CULTIVARS, OwnCultivar, Yard, unknown
from bloomline.words import listed, tr

_MOST_NAMED = 4


def own_kind(yard: Yard, kind_id: str) -> OwnCultivar:
    """The yard's own kind with this id. Raises UnknownNameError."""
    for kind in yard.own_cultivars:
        if kind.id == kind_id:
            return kind
    raise unknown("own kind", kind_id, [kind.id for kind in yard.own_cultivars])


def put_kind(yard: Yard, kind: OwnCultivar) -> Yard:
    """Take a kind into the yard, in the place of the one of its id; mixtures with it follow."""
    own = {each.id: remade(each, kind) for each in yard.own_cultivars}
    if kind.id not in own and len(own) >= MAX_OWN_CULTIVARS:
        raise EditRefusedError(
            tr("a yard holds at most {most:,} kinds of its own", most=MAX_OWN_CULTIVARS)
        )
    return revise(yard, {"own_cultivars": (*{**own, kind.id: kind}.values(),)})


def remove_kind(yard: Yard, kind_id: str) -> Yard:
    """Take a kind out of the yard, with its prices. Refused where something still names it."""
    gone = own_kind(yard, kind_id)
    where = where_used(yard, kind_id)
    if where:
        named = listed(where[:_MOST_NAMED])
        more = len(where) - _MOST_NAMED
        if more > 0:
            told = tr(
                "{name} can't go: it is in {named} and {more} more",
                name=gone.name,
                named=named,
                more=more,
            )
        else:
            told = tr("{name} can't go: it is in {named}", name=gone.name, named=named)
        raise EditRefusedError(told)
    return revise(
        yard,
        {
            "own_cultivars": tuple(each for each in yard.own_cultivars if each.id != kind_id),
            "prices": tuple(each for each in yard.prices if each.cultivar_id != kind_id),
        },
    )


def where_used(yard: Yard, kind_id: str) -> list[str]:
    """What still names a kind: pots, the cupboard, mixtures; each once, in the yard's order."""
    places = [pot.name for pot, layer in yard.layers() if layer.cultivar_id == kind_id]
    if any(item.cultivar_id == kind_id for item in yard.cupboard):
        places.append(tr("the cupboard"))
    places += [
        each.name
        for each in yard.own_cultivars
        if any(part.kind.id == kind_id for part in each.parts)
    ]
    return list(dict.fromkeys(places))


def with_kinds_used(yard: Yard, known: Iterable[Cultivar]) -> Yard:
    """The yard with copies of the known kinds that it names, so that its file stands alone.

    known : the gardener's kinds that are kept for all yards.
    """
    kinds = list(known)
    if not kinds:
        return yard
    own = {kind.id for kind in yard.own_cultivars}
    asked = {layer.cultivar_id for _, layer in yard.layers()}
    asked |= {item.cultivar_id for item in yard.cupboard}
    new = [
        kind if isinstance(kind, OwnCultivar) else OwnCultivar.model_validate(dict(kind))
        for kind in kinds
        if kind.id in asked and kind.id not in own
    ]
    if not new:
        return yard
    return revise(yard, {"own_cultivars": (*yard.own_cultivars, *new)})


def free_kind_id(genus: str, name: str, taken: Iterable[str]) -> str:
    """An id for a new kind, made from its name, that none of those taken has."""
    folded = unicodedata.normalize("NFKD", f"{genus} {name}").encode("ascii", "ignore").decode()
    words = re.findall(r"[a-z0-9]+", folded.lower())
    stem = "-".join(["own", *dict.fromkeys(words)])[:56].rstrip("-")
    used = set(taken)
    number = 2
    found = stem
    while found in used:
        found, number = f"{stem}-{number}", number + 1
    return found
