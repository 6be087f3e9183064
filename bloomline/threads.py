"""How many threads matrix products may take: one, unless the user's own environment says more.

OpenBLAS, which comes with NumPy, spreads even small products over all processors, and its threads
spin while they wait for the next: on two busy processors a command took up to twice the processor
time for no less time by the clock. Nothing here is slower alone: filling twelve pots, the most
that is multiplied, took 34 to 42 s by the clock with one thread and 51 to 54 s with two (11 s and
17 s of processor time, `tests/benchmarks/fill.py`, two busy processors).
"""

from __future__ import annotations

import os

_ASKED_BY = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS")
"""What OpenBLAS heeds; whoever sets either has chosen."""


def multiply_alone() -> None:
    """Let matrix products take one thread in this process and those that it starts.

    OpenBLAS asks once, as it is loaded: to be called before NumPy is imported.
    """
    if not any(os.environ.get(name) for name in _ASKED_BY):
        os.environ["OPENBLAS_NUM_THREADS"] = "1"
