"""How a bench of equal pots is called: its name, and how many pots it stands for."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from bloomline.words import number_words, tr

if TYPE_CHECKING:  # the command line loads this for its help
    from bloomline.model.yard import Pot


def pot_words(pot: Pot) -> str:
    """What a pot is called: "Terrace bowl", or "Terrace bowl × 60" of a bench."""
    return times_words(pot.name, pot.copies)


def times_words(name: str, copies: int) -> str:
    """A name with the number of equal pots behind it, where there are several."""
    if copies == 1:
        return name
    return tr("{name} × {copies}", name=name, copies=number_words(copies))


def each_words(words: str, copies: int) -> str:
    """What goes into a pot, and that it goes into each where there are several."""
    return words if copies == 1 else tr("{what} each", what=words)


def fitted_times(
    name: str,
    copies: int,
    *,
    room: float,
    fit: Callable[[str, float], str],
    width: Callable[[str], float],
) -> str:
    """A name cut to some room, the number of pots behind it whole.

    fit : a text cut to a room. width : of a text. Both in the unit of `room`.
    """
    if copies == 1:
        return fit(name, room)
    return times_words(fit(name, max(room - width(times_words("", copies)), 0.0)), copies)
