"""Which states does the window have, and what looks amiss in one?"""

from looking.faults import faults_of, mnemonic_faults, watching_paint
from looking.long_words import speak_long
from looking.states import calm, until, walk

__all__ = [
    "calm",
    "faults_of",
    "mnemonic_faults",
    "speak_long",
    "until",
    "walk",
    "watching_paint",
]
