"""What kinds of bulbs and plants look like: forms by the common type, sizes of flower heads.

The forms are drawn for the picture from common knowledge of the plants; they are no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class BulbForm(StrEnum):
    """Shapes of what is planted."""

    TEARDROP = "teardrop"  # a thin papery skin over a drop with one flat side
    NECKED = "necked"  # round with a long papery neck
    ROUND = "round"  # globe with a tuft of roots
    CORM = "corm"  # flattened, in fibres
    SMALL = "small"  # little round bulb
    SCALY = "scaly"  # of open scales
    TUBER = "tuber"  # a knobbly lump


class Habit(StrEnum):
    """Shapes of what stands above the compost."""

    TULIP = "tulip"
    TULIP_DOUBLE = "tulip, double"
    TULIP_LILY = "tulip, lily-flowered"
    TULIP_FRINGED = "tulip, fringed or parrot"
    TULIP_STAR = "tulip, open star"
    DAFFODIL = "daffodil"
    DAFFODIL_DOUBLE = "daffodil, double"
    DAFFODIL_CLUSTER = "daffodil, several to a stem"
    HYACINTH = "hyacinth"
    GRAPES = "grape hyacinth"
    GOBLET = "crocus"
    SNOWDROP = "snowdrop"
    IRIS = "iris"
    GLOBE = "allium"
    LILY = "lily"
    DAISY = "windflower"
    BELL = "snake's head"
    CROWN = "crown imperial"
    STARS = "squill"
    SPIKE = "tall spike"
    UMBEL = "umbel"
    DAHLIA = "dahlia"
    CYCLAMEN = "cyclamen"
    STAR = "star"
    BELLS = "bluebell"
    SPATHE = "calla lily"


_BULB_OF_TYPE: dict[str, BulbForm] = {
    "tulip": BulbForm.TEARDROP,
    "dwarf iris": BulbForm.TEARDROP,
    "Dutch iris": BulbForm.TEARDROP,
    "dog's tooth violet": BulbForm.TEARDROP,
    "narcissus": BulbForm.NECKED,
    "autumn daffodil": BulbForm.NECKED,
    "nerine": BulbForm.NECKED,
    "snowflake": BulbForm.NECKED,
    "snowdrop": BulbForm.NECKED,
    "hyacinth": BulbForm.ROUND,
    "pineapple lily": BulbForm.ROUND,
    "camassia": BulbForm.ROUND,
    "allium": BulbForm.ROUND,
    "crocus": BulbForm.CORM,
    "gladiolus": BulbForm.CORM,
    "colchicum": BulbForm.TEARDROP,
    "grape hyacinth": BulbForm.SMALL,
    "squill": BulbForm.SMALL,
    "striped squill": BulbForm.SMALL,
    "glory of the snow": BulbForm.SMALL,
    "spring starflower": BulbForm.SMALL,
    "snake's head fritillary": BulbForm.SCALY,
    "fox's grape fritillary": BulbForm.SCALY,
    "crown imperial": BulbForm.SCALY,
    "lily": BulbForm.SCALY,
    "windflower": BulbForm.TUBER,
    "poppy anemone": BulbForm.TUBER,
    "winter aconite": BulbForm.TUBER,
    "Persian buttercup": BulbForm.TUBER,
    "hardy cyclamen": BulbForm.TUBER,
    "dahlia": BulbForm.TUBER,
    "tuberous begonia": BulbForm.TUBER,
    "agapanthus": BulbForm.TUBER,
    "fritillary": BulbForm.SCALY,
    "bluebell": BulbForm.SMALL,
    "star of Bethlehem": BulbForm.SMALL,
    "wood sorrel": BulbForm.SMALL,
    "summer hyacinth": BulbForm.ROUND,
    "belladonna lily": BulbForm.NECKED,
    "rain lily": BulbForm.NECKED,
    "tiger flower": BulbForm.TEARDROP,
    "crocosmia": BulbForm.CORM,
    "freesia": BulbForm.CORM,
    "corn lily": BulbForm.CORM,
    "harlequin flower": BulbForm.CORM,
    "triplet lily": BulbForm.CORM,
    "lily of the valley": BulbForm.TUBER,
    "calla lily": BulbForm.TUBER,
    "canna": BulbForm.TUBER,
    "river lily": BulbForm.TUBER,
}

_HABIT_OF_TYPE: dict[str, Habit] = {
    "tulip": Habit.TULIP,
    "narcissus": Habit.DAFFODIL,
    "hyacinth": Habit.HYACINTH,
    "grape hyacinth": Habit.GRAPES,
    "crocus": Habit.GOBLET,
    "colchicum": Habit.GOBLET,
    "autumn daffodil": Habit.GOBLET,
    "snowdrop": Habit.SNOWDROP,
    "snowflake": Habit.SNOWDROP,
    "dwarf iris": Habit.IRIS,
    "Dutch iris": Habit.IRIS,
    "allium": Habit.GLOBE,
    "lily": Habit.LILY,
    "windflower": Habit.DAISY,
    "poppy anemone": Habit.DAISY,
    "winter aconite": Habit.DAISY,
    "Persian buttercup": Habit.DAHLIA,
    "dahlia": Habit.DAHLIA,
    "tuberous begonia": Habit.DAHLIA,
    "snake's head fritillary": Habit.BELL,
    "fox's grape fritillary": Habit.BELL,
    "crown imperial": Habit.CROWN,
    "squill": Habit.STARS,
    "striped squill": Habit.STARS,
    "glory of the snow": Habit.STARS,
    "camassia": Habit.SPIKE,
    "gladiolus": Habit.SPIKE,
    "pineapple lily": Habit.SPIKE,
    "nerine": Habit.UMBEL,
    "agapanthus": Habit.UMBEL,
    "hardy cyclamen": Habit.CYCLAMEN,
    "dog's tooth violet": Habit.CYCLAMEN,
    "spring starflower": Habit.STAR,
    "fritillary": Habit.BELL,
    "bluebell": Habit.BELLS,
    "lily of the valley": Habit.BELLS,
    "summer hyacinth": Habit.BELLS,
    "star of Bethlehem": Habit.STARS,
    "corn lily": Habit.STARS,
    "harlequin flower": Habit.STARS,
    "freesia": Habit.STARS,
    "crocosmia": Habit.SPIKE,
    "canna": Habit.SPIKE,
    "river lily": Habit.SPIKE,
    "belladonna lily": Habit.UMBEL,
    "triplet lily": Habit.UMBEL,
    "rain lily": Habit.GOBLET,
    "tiger flower": Habit.STAR,
    "wood sorrel": Habit.DAISY,
    "calla lily": Habit.SPATHE,
}

_HABIT_OF_GROUP: dict[tuple[str, str], Habit] = {
    ("tulip", "Double Early"): Habit.TULIP_DOUBLE,
    ("tulip", "Double Late"): Habit.TULIP_DOUBLE,
    ("tulip", "Lily-flowered"): Habit.TULIP_LILY,
    ("tulip", "Fringed"): Habit.TULIP_FRINGED,
    ("tulip", "Parrot"): Habit.TULIP_FRINGED,
    ("tulip", "Kaufmanniana"): Habit.TULIP_STAR,
    ("tulip", "Species"): Habit.TULIP_STAR,
    ("narcissus", "Double"): Habit.DAFFODIL_DOUBLE,
    ("narcissus", "Tazetta"): Habit.DAFFODIL_CLUSTER,
    ("narcissus", "Species (tazetta type)"): Habit.DAFFODIL_CLUSTER,
    ("narcissus", "Jonquilla and Apodanthus"): Habit.DAFFODIL_CLUSTER,
    ("narcissus", "Triandrus"): Habit.DAFFODIL_CLUSTER,
    ("narcissus", "Species (jonquilla type)"): Habit.DAFFODIL_CLUSTER,
    ("fritillary", "Persica"): Habit.SPIKE,
}


def bulb_form(common_type: str) -> BulbForm:
    """The shape of the bulb, corm or tuber of a kind; round for a kind not known."""
    return _BULB_OF_TYPE.get(common_type, BulbForm.ROUND)


def habit_of(common_type: str, group: str = "") -> Habit:
    """The shape of the plant of a kind; a simple star flower for a kind not known."""
    by_group = _HABIT_OF_GROUP.get((common_type, group))
    return by_group or _HABIT_OF_TYPE.get(common_type, Habit.STAR)


@dataclass(frozen=True, slots=True)
class HeadSize:
    """A flower head: the part of the plant's height it takes, and limits. [cm]"""

    share: float
    least_cm: float
    most_cm: float
    width_per_height: float

    def of(self, height_cm: float) -> tuple[float, float]:
        """Width and height of the head of a plant that is so tall. [cm]"""
        tall = min(max(self.share * height_cm, self.least_cm), self.most_cm, 0.8 * height_cm)
        return tall * self.width_per_height, tall


# Drawn from common knowledge of the plants, no source.
_HEADS: dict[Habit, HeadSize] = {
    Habit.TULIP: HeadSize(0.16, 4.0, 8.0, 0.86),
    Habit.TULIP_DOUBLE: HeadSize(0.17, 4.5, 8.0, 1.15),
    Habit.TULIP_LILY: HeadSize(0.16, 4.5, 9.0, 1.0),
    Habit.TULIP_FRINGED: HeadSize(0.16, 4.5, 8.0, 1.05),
    Habit.TULIP_STAR: HeadSize(0.28, 3.0, 7.0, 1.5),
    Habit.DAFFODIL: HeadSize(0.22, 3.5, 9.0, 1.0),
    Habit.DAFFODIL_DOUBLE: HeadSize(0.20, 4.0, 8.0, 1.0),
    Habit.DAFFODIL_CLUSTER: HeadSize(0.22, 4.0, 8.0, 1.25),
    Habit.HYACINTH: HeadSize(0.55, 8.0, 16.0, 0.48),
    Habit.GRAPES: HeadSize(0.36, 3.0, 7.0, 0.42),
    Habit.GOBLET: HeadSize(0.50, 3.5, 7.0, 0.78),
    Habit.SNOWDROP: HeadSize(0.22, 2.2, 3.2, 0.85),
    Habit.IRIS: HeadSize(0.34, 4.0, 9.0, 1.15),
    Habit.GLOBE: HeadSize(0.13, 3.0, 20.0, 1.0),
    Habit.LILY: HeadSize(0.30, 8.0, 30.0, 1.0),
    Habit.DAISY: HeadSize(0.30, 2.5, 7.0, 1.0),
    Habit.BELL: HeadSize(0.18, 2.5, 5.0, 0.85),
    Habit.CROWN: HeadSize(0.24, 8.0, 20.0, 1.05),
    Habit.STARS: HeadSize(0.50, 4.0, 9.0, 0.75),
    Habit.SPIKE: HeadSize(0.45, 8.0, 50.0, 0.26),
    Habit.UMBEL: HeadSize(0.22, 6.0, 16.0, 1.2),
    Habit.DAHLIA: HeadSize(0.22, 5.0, 11.0, 1.0),
    Habit.CYCLAMEN: HeadSize(0.35, 2.5, 5.0, 0.9),
    Habit.STAR: HeadSize(0.30, 2.5, 8.0, 1.0),
    Habit.BELLS: HeadSize(0.50, 5.0, 28.0, 0.42),
    Habit.SPATHE: HeadSize(0.22, 7.0, 16.0, 0.72),
}


def head_size_cm(habit: Habit, height_cm: float) -> tuple[float, float]:
    """Width and height of the flower head of a plant that is `height_cm` tall. [cm]"""
    return _HEADS[habit].of(height_cm)
