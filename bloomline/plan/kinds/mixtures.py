"""Mixtures as people write and read them: kinds with bulbs or shares."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from bloomline.errors import UsageError
from bloomline.model.cultivar import Cultivar, MixPart
from bloomline.model.kind_edits import free_kind_id
from bloomline.model.mixing import mixture_of, plain
from bloomline.model.yard import OwnCultivar
from bloomline.words import listed, tr

_MOST_NAMED = 4


def mixture_from(
    name: str,
    parts: Sequence[tuple[Cultivar, float]],
    *,
    taken: Iterable[str] = (),
    kept: OwnCultivar | None = None,
) -> OwnCultivar:
    """A mixture of kinds with bulbs or shares of each. kept : the one that is edited.

    Raises UsageError for one without a name or with shares that can't be, EditRefusedError.
    """
    if not name.strip():
        raise UsageError(tr("how is the mixture called on the packet?"))
    for kind, share in parts:
        if not 0.0 < share <= 10_000.0:
            raise UsageError(tr("{name}: more than 0 and at most 10,000 is wanted", name=kind.name))
    ids = [kind.id for kind, _ in parts]
    if len(set(ids)) < len(ids):
        raise UsageError(tr("a kind stands in the mixture twice"))
    genera = {kind.genus for kind, _ in parts}
    genus = genera.pop() if len(genera) == 1 else ""
    made = mixture_of(
        kept.id if kept else free_kind_id(genus, name, taken),
        _full_name(genus, name),
        [MixPart(kind=plain(kind), share=float(share)) for kind, share in parts],
    )
    return made if kept is None else made.model_copy(update={"typical_pack": kept.typical_pack})


def parts_words(cultivar: Cultivar) -> str:
    """The kinds of a mixture with their shares, the largest first; "" for one kind."""
    shares = sorted(cultivar.shares, key=lambda each: -each[1])
    return listed(
        (
            tr("{share} % {name}", share=round(100 * share), name=_short(kind, cultivar))
            for kind, share in shares
        ),
        most=_MOST_NAMED,
    )


def _full_name(genus: str, name: str) -> str:
    """What a mixture is called: no name of a cultivar, and always told from one."""
    text = " ".join(name.split())
    if "mix" not in text.casefold():
        text = tr("{name}, mixed", name=text)
    if not genus or text.casefold().startswith(genus.casefold()):
        return text
    return f"{genus} ({text.strip('()')})"


def _short(kind: Cultivar, mixture: Cultivar) -> str:
    return kind.name.removeprefix(f"{mixture.genus} ")
