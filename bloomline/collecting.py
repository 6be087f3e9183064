"""Python's collection of unused cycles, for the whole program: seldom, and never what stays.

A yard of thousands of pots is a million objects that live until the end. Walking them again and
again took a third of the time of a large command and found nothing; memory is given back without
it, by counted references. The window goes further: `ui/collecting.py`.
"""

from __future__ import annotations

import atexit
import gc

_OBJECTS = 2_000_000
"""Made and not given back before the youngest are looked at; the work of 5,000 pots makes half."""
_ROUNDS = 50  # of the younger before the older are


def collect_seldom() -> None:
    """Leave what is there by now alone, and the rest for long; once, as a process starts.

    As it ends, nothing is looked through once more: the system takes all back at once.
    """
    gc.freeze()
    gc.set_threshold(_OBJECTS, _ROUNDS, _ROUNDS)
    atexit.register(gc.freeze)
