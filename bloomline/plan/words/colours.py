"""What families of petal colour are called."""

from __future__ import annotations

from bloomline.model.colours import Family
from bloomline.words import tr


def colour_words(family: Family) -> str:
    """The name of a colour family, as it stands in a list of choices."""
    return {
        Family.WHITE: tr("White and cream"),
        Family.YELLOW: tr("Yellow"),
        Family.ORANGE: tr("Orange and apricot"),
        Family.PINK: tr("Pink"),
        Family.RED: tr("Red"),
        Family.PURPLE: tr("Lilac and purple"),
        Family.BLUE: tr("Blue"),
        Family.DARK: tr("Nearly black"),
        Family.GREEN: tr("Green"),
    }[family]
