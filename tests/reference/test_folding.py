"""Folding names to one form."""

from __future__ import annotations

from bloomline.reference.folding import fold, fold_all
from bloomline.reference.places import load_places


def test_folding_many_is_folding_each() -> None:
    texts = [station.name for station in load_places()]
    texts += [station.submitted_name for station in load_places()]
    texts += ["", "Straße_7", "A\nB", "Ä’Ö", "Tulipa 'Madame Lefeber'", "ﬁn – Ærø (DK)"]
    assert fold_all(texts) == [fold(text) for text in texts]
