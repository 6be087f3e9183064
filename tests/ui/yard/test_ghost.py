"""The ghost of what is carried: what it tells, when, and where its card stands."""

from __future__ import annotations

import pytest
from PySide6.QtCore import QPointF, QRect, QRectF, Qt
from PySide6.QtTest import QTest

from bloomline.draw.base.petals import DARK, LIGHT
from bloomline.model import edits
from bloomline.plan.carry.drops import Cargo
from bloomline.plan.carry.telling import TOPICS
from bloomline.plan.shop.buying import shopping_list
from bloomline.plan.shop.part_price import money_words
from bloomline.ui.theme import em, tone_of
from bloomline.ui.yard.ghost_card import GhostCard, placed
from bloomline.ui.yard.marking import aim_of

THALIA = Cargo("cultivar", "narcissus-thalia")
PANSY = Cargo("companion", "winter-pansy")


@pytest.fixture
def canvas(panel):
    return panel.canvas


def carry(canvas, cargo: Cargo, pot_id: str, depth_cm: float = 14.0) -> None:
    point = canvas.point_in_pot(pot_id, depth_cm=depth_cm)
    x, y = canvas.on_row(point)
    canvas.carrying.over(canvas.row, cargo, point, x=x, y=y, copy=False)


def card_of(canvas) -> GhostCard:
    card = canvas.window().findChild(GhostCard, "ghost_card")
    assert card is not None
    return card


def wait_told(canvas, qtbot) -> None:
    def told() -> None:
        assert all(each.words for each in canvas.carrying.marker.told)

    qtbot.waitUntil(told, timeout=20_000)


def test_the_card_tells_all_in_order_over_a_pot_before_anything_is_done(canvas, document, qtbot):
    before = document.yard
    pot = document.yard.pots[1]
    carry(canvas, THALIA, pot.id)
    assert [each.topic for each in canvas.carrying.marker.told] == list(TOPICS)
    card = card_of(canvas)
    assert card.isVisible()
    labels = [line.label for line in card.text.lines]
    assert labels == ["Depth", "Room", "Season", "Harm", "Price", "Frost"]
    wait_told(canvas, qtbot)
    assert "Opens" in card.text.lines[2].words
    assert document.yard is before
    canvas.carrying.leave()
    assert not card.isVisible()


def test_the_price_told_is_the_lists_after_the_drop(canvas, document, qtbot):
    carry(canvas, THALIA, document.yard.pots[1].id)
    wait_told(canvas, qtbot)
    price = card_of(canvas).text.lines[4].words
    canvas.carrying.drop()
    assert money_words(shopping_list(document.outlook)) in price


def test_a_season_that_is_slow_is_filled_in_as_it_arrives(canvas, document, qtbot):
    canvas.carrying._telling._last_s = 10.0  # as after a slow one
    carry(canvas, THALIA, document.yard.pots[1].id)
    card = card_of(canvas)
    assert card.text.lines[2].words == "being worked out …"
    assert "fit well here" in card.text.lines[1].words
    wait_told(canvas, qtbot)
    assert "Opens" in card.text.lines[2].words
    # The same place again needs no second reckoning.
    canvas.carrying._telling._last_s = 10.0
    carry(canvas, THALIA, document.yard.pots[3].id)
    carry(canvas, THALIA, document.yard.pots[1].id)
    assert all(each.words for each in canvas.carrying.marker.told)


def test_what_cannot_be_worked_out_says_why_instead_of_waiting_for_ever(canvas, document, qtbot):
    lost = document.yard.pots[3].layers[0].model_copy(update={"cultivar_id": "lost-kind"})
    pot = document.yard.pots[3]
    broken = pot.model_copy(update={"layers": (lost, *pot.layers[1:])})
    pots = tuple(broken if each.id == pot.id else each for each in document.yard.pots)
    document.edit("Lose", lambda yard: yard.model_copy(update={"pots": pots}))
    carry(canvas, THALIA, document.yard.pots[1].id)
    wait_told(canvas, qtbot)
    lines = card_of(canvas).text.lines
    assert "fit well here" in lines[1].words
    assert "lost-kind" in lines[2].words


def test_what_is_told_follows_an_edit_made_meanwhile(canvas, document, qtbot):
    carry(canvas, THALIA, document.yard.pots[1].id)
    wait_told(canvas, qtbot)
    document.edit("Budget", lambda yard: edits.change_money(yard, budget=1.0))
    wait_told(canvas, qtbot)
    assert "over the budget" in card_of(canvas).text.lines[4].words


def test_a_refused_place_says_why_and_tells_nothing_else(canvas, document):
    gap = QPointF(canvas.view.origin_x + canvas.row.gap_x(2), canvas.view.ground_y - 40)
    x, y = canvas.on_row(gap)
    canvas.carrying.over(canvas.row, THALIA, gap, x=x, y=y, copy=False)
    card = card_of(canvas)
    assert not card.text.allowed
    assert card.text.title == canvas.carrying.marker.verdict.words
    assert card.text.lines == ()


def test_by_keys_the_same_is_told_and_spoken(canvas, document, qtbot):
    said: list[str] = []
    canvas.carrying.said.connect(said.append)
    document.select(layer_id=document.yard.pots[0].layers[0].id)
    canvas.setFocus()
    canvas.carrying.pick_up(copy=True)
    QTest.keyClick(canvas, Qt.Key.Key_Right)
    wait_told(canvas, qtbot)
    card = card_of(canvas)
    assert card.text.lines[0].label == "Depth"
    spoken = said[-1]
    for line in card.text.lines:
        assert f"{line.label}: {line.words}" in spoken


def test_companions_are_seen_where_they_would_stand(canvas, document):
    pot = document.yard.pots[2]
    canvas.grab()
    before = canvas.grab().toImage()
    carry(canvas, PANSY, pot.id)
    marker = canvas.carrying.marker
    assert marker.top is not None
    assert marker.top.tufts.look.height_cm > 0
    shown = canvas.grab().toImage()
    x_cm = marker.top.tufts.xs_cm[0]
    foot = canvas.point_in_pot(pot.id, depth_cm=marker.surface_cm - 4.0, x_cm=x_cm)
    ratio = shown.devicePixelRatio()
    at = (round(foot.x() * ratio), round(foot.y() * ratio))
    assert shown.pixel(*at) != before.pixel(*at)


@pytest.mark.parametrize("size", [(1300, 460), (620, 400), (880, 300), (1600, 700)])
@pytest.mark.parametrize("index", [0, 1, 4, 9])
def test_the_card_stays_in_view_and_leaves_the_place_aimed_at_free(
    panel, canvas, document, qtbot, size, index
):
    panel.resize(*size)
    pot = document.yard.pots[index]
    canvas.reveal(pot.id)
    canvas.grab()
    carry(canvas, THALIA, pot.id)
    wait_told(canvas, qtbot)
    card = card_of(canvas)
    window = canvas.window()
    assert window.rect().contains(card.geometry())
    aim = aim_of(canvas.carrying.marker, canvas.row, canvas.view)
    offset = QPointF(canvas.mapTo(window, canvas.rect().topLeft()))
    assert not QRectF(card.geometry()).intersects(aim.place.translated(offset))
    if size[1] > 400:  # low windows leave no room beside the whole pot
        assert not QRectF(card.geometry()).intersects(aim.pot.translated(offset))


@pytest.mark.parametrize("index", [0, 1, 4, 9])
def test_the_place_aimed_at_stays_free_of_words_in_the_programs_own_font(
    dressed, panel, canvas, document, qtbot, index
):
    test_the_card_stays_in_view_and_leaves_the_place_aimed_at_free(
        panel, canvas, document, qtbot, (880, 300), index
    )
    card = card_of(canvas)
    assert card.height() >= card._tight_height(card.width()) - 1.0


def test_words_have_room_for_every_line_and_are_no_smaller_than_the_windows_own(canvas, document):
    carry(canvas, THALIA, document.yard.pots[1].id)
    card = card_of(canvas)
    assert card.font().pointSizeF() >= 9.0
    assert card.height() >= card._height(card.width()) - 1.0


def test_the_place_aimed_at_stays_free_even_where_the_pot_can_not():
    region = QRect(0, 0, round(30 * em()), round(20 * em()))
    pot = QRectF(4 * em(), 2 * em(), 22 * em(), 16 * em())
    aim = QRectF(4 * em(), 14 * em(), 22 * em(), 1 * em())
    found = placed(
        lambda width: 160 * em() / width * em(),
        most=99 * em(),
        regions=[region],
        pot=pot,
        aim=aim,
    )
    assert QRectF(region).contains(found)
    assert not found.intersects(aim)


@pytest.mark.parametrize("theme", [LIGHT, DARK])
def test_words_stand_out_from_the_card(theme):
    """Contrast of at least 4.5 to 1. Source: W3C, WCAG 2.2, success criterion 1.4.3."""
    tone = tone_of(theme)
    for ink in (tone.ink, tone.muted, tone.caution, tone.warning):
        assert _contrast(ink, tone.raised) >= 4.5


def _contrast(one: str, other: str) -> float:
    lights = sorted((_light(one), _light(other)), reverse=True)
    return (lights[0] + 0.05) / (lights[1] + 0.05)


def _light(colour: str) -> float:
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
