"""How a length of time that work takes is put."""

from __future__ import annotations

from bloomline.words import tr

_WHOLE_HOURS_FROM_MIN = 10 * 60
"""Times of work are judgements: past this the minutes would claim to know too much."""


def duration_words(minutes: int) -> str:
    """A length of time: 40 min, 2 h, 2 h 05 min, and in whole hours from ten on: 43 h."""
    if minutes < 60:
        return tr("{minutes} min", minutes=minutes)
    hours, rest = divmod(minutes, 60)
    if minutes >= _WHOLE_HOURS_FROM_MIN:
        hours, rest = round(minutes / 60), 0
    if rest == 0:
        return tr("{hours} h", hours=hours)
    return tr("{hours} h {minutes:02d} min", hours=hours, minutes=rest)
