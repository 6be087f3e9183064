"""Shapes of pots in words."""

from __future__ import annotations

from bloomline.model.yard import Shape
from bloomline.words import tr


def shape_words(shape: Shape) -> str:
    """A pot's shape, as it stands within a sentence."""
    return {
        "round": tr("round"),
        "square": tr("square"),
        "oval": tr("oval"),
        "trough": tr("trough"),
    }[shape]
