"""Cutaways and plants: depths, sizes and counts at their pixels, forms for every kind."""

from __future__ import annotations

from datetime import date
from itertools import combinations

import numpy as np
import pytest
from PySide6.QtCore import QPointF
from PySide6.QtGui import QColor, QImage, QPainter

from bloomline.draw.base.petals import DARK, LIGHT
from bloomline.draw.pot import walls as pot_walls
from bloomline.draw.pot.layout import cut_pot, scatter, thinned
from bloomline.draw.pot.picture import paint_pot
from bloomline.draw.pot.plant_forms import _BULB_OF_TYPE, _HABIT_OF_TYPE, Habit, habit_of
from bloomline.draw.pot.plant_picture import look_of, paint_plant, plant_box
from bloomline.model.yard import Layer, Pot
from bloomline.plan.forecast.growth import Growth, Stage
from bloomline.reference.catalogue import load_catalogue

SCALE = 6.0
CATALOGUE = load_catalogue()


def pot_with(*layers: Layer, **fields: object) -> Pot:
    values: dict[str, object] = {
        "id": "pot-1",
        "name": "Test pot",
        "top_width_cm": 34.0,
        "bottom_width_cm": 26.0,
        "inside_height_cm": 36.0,
        "crocks_cm": 3.0,
        "rim_gap_cm": 2.5,
        **fields,
    }
    return Pot(**values, layers=layers)  # type: ignore[arg-type]


def layer(number: int, cultivar_id: str, *, count: int, cover_cm: float) -> Layer:
    return Layer(
        id=f"layer-{number}",
        cultivar_id=cultivar_id,
        count=count,
        cover_cm=cover_cm,
        planted=date(2026, 11, 1),
    )


def picture(pot: Pot, *, scale: float = SCALE, theme=LIGHT) -> np.ndarray:
    """The pot on a clear ground as [rows, columns, RGBA]; row 40 is the rim."""
    image = QImage(500, 340, QImage.Format.Format_RGBA8888)
    image.fill(QColor(0, 0, 0, 0))
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(QPointF(250.0, 40.0))
    cut = cut_pot(pot, cultivar_of=CATALOGUE.get)
    paint_pot(painter, cut, pot=pot, scale=scale, theme=theme)
    painter.end()
    return pixels(image)


def pixels(image: QImage) -> np.ndarray:
    raw = np.frombuffer(image.constBits(), np.uint8)
    return raw.reshape(image.height(), image.bytesPerLine() // 4, 4)[:, : image.width()].copy()


def plant_picture(cultivar_id: str, growth: Growth, *, scale: float = 4.0, variant: int = 0):
    image = QImage(900, 700, QImage.Format.Format_RGBA8888)
    image.fill(QColor(0, 0, 0, 0))
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.translate(450.0, 600.0)
    look = look_of(CATALOGUE.get(cultivar_id))
    paint_plant(painter, look, growth, scale=scale, theme=LIGHT, variant=variant)
    painter.end()
    return pixels(image)


@pytest.mark.parametrize("cover_cm", [8.0, 15.0, 20.0])
@pytest.mark.parametrize("theme", [LIGHT, DARK], ids=["light", "dark"])
def test_bulbs_lie_at_the_pixel_of_their_depth(cover_cm, theme):
    kind = CATALOGUE.get("tulipa-queen-of-night")
    with_bulbs = picture(pot_with(layer(1, kind.id, count=12, cover_cm=cover_cm)), theme=theme)
    without = picture(pot_with(), theme=theme)
    rows = np.flatnonzero((with_bulbs != without).any(axis=(1, 2)))
    tip = 40.0 + (2.5 + cover_cm) * SCALE
    base = tip + kind.bulb_height_cm * SCALE
    assert abs(rows[0] - tip) <= 2.0
    beard = 0.1 * kind.bulb_height_cm * SCALE  # roots hang a little below the base plate
    assert base - 2.0 <= rows[-1] <= base + beard + 2.0


def test_a_single_bulb_has_its_true_width():
    kind = CATALOGUE.get("tulipa-queen-of-night")
    changed = picture(pot_with(layer(1, kind.id, count=1, cover_cm=12.0))) != picture(pot_with())
    columns = np.flatnonzero(changed.any(axis=(0, 2)))
    width = columns[-1] - columns[0] + 1
    # It may lean by a few degrees, which moves its widest part by less than two pixels.
    assert abs(width - kind.bulb_diameter_cm * SCALE) <= 4.0


@pytest.mark.parametrize("shape", ["round", "square", "oval", "trough"])
def test_every_bulb_that_fits_is_there_and_inside_the_pot(shape):
    long = {"top_length_cm": 60.0, "bottom_length_cm": 54.0} if shape in ("oval", "trough") else {}
    pot = pot_with(
        layer(1, "tulipa-queen-of-night", count=18, cover_cm=18.0),
        layer(2, "crocus-tommasinianus-ruby-giant", count=40, cover_cm=6.0),
        shape=shape,
        **long,
    )
    cut = cut_pot(pot, cultivar_of=CATALOGUE.get)
    for spots, wanted in zip(cut.layers, pot.layers, strict=True):
        assert len(spots.bulbs) == wanted.count
        middle = 0.5 * (spots.tip_cm + spots.base_cm)
        reach = cut.half_at(middle) - 0.5 * spots.bulb_width_cm
        assert max(abs(bulb.x_cm) for bulb in spots.bulbs) <= reach + 1e-6
        backs = [bulb.back for bulb in spots.bulbs]
        assert backs == sorted(backs, reverse=True)  # the front ones are painted last
    if long:  # seen along the long side
        assert cut.top_half_cm == pytest.approx(30.0)


def test_what_does_not_fit_is_shown_as_far_as_it_does():
    cut = cut_pot(
        pot_with(layer(1, "tulipa-queen-of-night", count=500, cover_cm=12.0)),
        cultivar_of=CATALOGUE.get,
    )
    assert 20 < len(cut.layers[0].bulbs) < 500


def test_levels_stand_where_the_pot_says():
    cut = cut_pot(pot_with(top_dressing_cm=1.5), cultivar_of=CATALOGUE.get)
    assert (cut.dressing_cm, cut.surface_cm, cut.crocks_cm, cut.floor_cm) == (2.5, 4.0, 33.0, 36.0)
    assert cut.half_at(0.0) == 17.0
    assert cut.half_at(36.0) == 13.0
    assert cut.half_at(18.0) == 15.0


def test_crocks_dressing_and_rim_gap_are_painted_at_their_levels():
    plain = picture(pot_with(crocks_cm=0.0))
    crocks = picture(pot_with(crocks_cm=6.0))
    dressed = picture(pot_with(crocks_cm=0.0, top_dressing_cm=2.0))
    inner = slice(250 - 60, 250 + 60)
    rows = np.flatnonzero((crocks != plain)[:, inner].any(axis=(1, 2)))
    # Compost grains are strewn anew over another depth, so look where the crocks must be.
    deep = 40 + round(33.0 * SCALE)
    assert (crocks != plain)[deep, inner].any(axis=1).mean() > 0.5
    assert rows[-1] <= 40 + 36 * SCALE + 1
    gravel = 40 + round((2.5 + 1.0) * SCALE)
    assert (dressed != plain)[gravel, inner].any(axis=1).mean() > 0.8
    gap = 40 + round(1.2 * SCALE)
    assert not (dressed != plain)[gap, inner].any()


def test_materials_differ_without_their_colours(monkeypatch):
    same = {
        name: pot_walls._Stuff("#909090", "#303030", stuff.pattern)
        for name, stuff in pot_walls._STUFF.items()
    }
    monkeypatch.setattr(pot_walls, "_STUFF", same)
    seen = {name: picture(pot_with(material=name, wall_cm=1.5)) for name in same}
    for one, other in combinations(seen, 2):
        differing = int((seen[one] != seen[other]).any(axis=2).sum())
        assert differing > 60, (one, other, differing)


def test_pictures_are_the_same_every_time():
    pot = pot_with(layer(1, "tulipa-queen-of-night", count=12, cover_cm=15.0))
    assert np.array_equal(picture(pot), picture(pot))
    assert np.array_equal(scatter(7, 20), scatter(7, 20))
    flower = Growth(Stage.FLOWER, 1.0, 1.0, 0.0)
    one = plant_picture("tulipa-queen-of-night", flower, variant=2)
    assert np.array_equal(one, plant_picture("tulipa-queen-of-night", flower, variant=2))
    other = plant_picture("tulipa-queen-of-night", flower, variant=3)
    assert not np.array_equal(one, other)


def test_every_kind_of_the_catalogue_has_a_form_of_its_own():
    kinds = {kind.common_type for kind in CATALOGUE}
    assert kinds <= set(_BULB_OF_TYPE)
    assert kinds <= set(_HABIT_OF_TYPE)
    drawn = {habit_of(kind.common_type, kind.group) for kind in CATALOGUE}
    assert drawn == set(Habit)


STAGES = [
    Growth(Stage.NOSE, 0.06, 0.0, 0.0),
    Growth(Stage.LEAF, 0.4, 0.0, 0.0),
    Growth(Stage.BUD, 0.85, 0.0, 0.0),
    Growth(Stage.FLOWER, 1.0, 1.0, 0.0),
    Growth(Stage.GREEN, 0.6, 0.0, 0.0),
    Growth(Stage.YELLOWING, 0.4, 0.0, 0.8),
]


def one_of_each_habit() -> list[str]:
    found = {}
    for kind in CATALOGUE:
        found.setdefault(habit_of(kind.common_type, kind.group), kind.id)
    return list(found.values())


@pytest.mark.parametrize("cultivar_id", one_of_each_habit())
def test_plants_show_at_every_stage_within_their_box(cultivar_id):
    look = look_of(CATALOGUE.get(cultivar_id))
    scale = min(400.0 / look.height_cm, 8.0)
    for growth in STAGES:
        drawn = plant_picture(cultivar_id, growth, scale=scale)[..., 3] > 20
        assert drawn.any(), growth.stage
        rows, columns = np.flatnonzero(drawn.any(axis=1)), np.flatnonzero(drawn.any(axis=0))
        box = plant_box(look, growth, scale=scale)
        assert rows[0] - 600 >= box.top(), growth.stage
        assert rows[-1] - 600 <= box.bottom(), growth.stage
        assert columns[0] - 450 >= box.left(), growth.stage
        assert columns[-1] - 450 <= box.right(), growth.stage


@pytest.mark.parametrize("stage", [Stage.BELOW, Stage.GONE])
def test_nothing_is_drawn_before_the_nose_and_after_the_leaves(stage):
    drawn = plant_picture("tulipa-queen-of-night", Growth(stage, 0.0, 0.0, 0.0))
    assert not drawn.any()


@pytest.mark.parametrize(
    "cultivar_id", ["tulipa-queen-of-night", "narcissus-ice-follies", "allium-purple-sensation"]
)
def test_flowers_stand_at_their_true_height(cultivar_id):
    kind = CATALOGUE.get(cultivar_id)
    drawn = plant_picture(cultivar_id, Growth(Stage.FLOWER, 1.0, 1.0, 0.0))[..., 3] > 20
    top = 600 - np.flatnonzero(drawn.any(axis=1))[0]
    # Plants vary by 5 % up and down.
    assert top == pytest.approx(4.0 * kind.height_cm, rel=0.08)


def test_flowers_have_their_petal_colour_and_leaves_turn_yellow():
    def share(image: np.ndarray, colour: tuple[int, int, int]) -> int:
        far = np.abs(image[..., :3].astype(int) - colour).sum(axis=2)
        return int(((far < 30) & (image[..., 3] > 200)).sum())

    kind = CATALOGUE.get("tulipa-prinses-irene")
    petal = QColor(kind.colour_hex).getRgb()[:3]
    flower = plant_picture(kind.id, Growth(Stage.FLOWER, 1.0, 1.0, 0.0))
    leaf = plant_picture(kind.id, Growth(Stage.LEAF, 0.5, 0.0, 0.0))
    assert share(flower, petal) > 100
    assert share(leaf, petal) == 0
    green = plant_picture(kind.id, Growth(Stage.GREEN, 0.6, 0.0, 0.0))
    yellow = plant_picture(kind.id, Growth(Stage.YELLOWING, 0.5, 0.0, 0.6))

    def warmth(image: np.ndarray) -> float:
        seen = image[image[..., 3] > 200].astype(float)
        return float((seen[:, 0] - seen[:, 1]).mean())

    assert warmth(yellow) > warmth(green) + 20.0


def test_a_far_view_leaves_out_what_would_only_smear():
    cut = cut_pot(
        pot_with(layer(1, "crocus-tommasinianus-ruby-giant", count=60, cover_cm=6.0)),
        cultivar_of=CATALOGUE.get,
    )
    bulbs = cut.layers[0].bulbs
    few = thinned(bulbs, apart_cm=3.0)
    assert 5 <= len(few) <= 12
    assert set(few) <= set(bulbs)
    assert thinned(bulbs, apart_cm=0.0) == bulbs
