"""Companions, lifting and colliding plantings in the details."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from PySide6.QtCore import QDate, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QPushButton, QToolButton

from bloomline.model import edits
from bloomline.model.companion import CompanionPlanting
from bloomline.model.companion_edits import add_companion
from bloomline.model.yard import Layer
from bloomline.ui.details.wrapping_button import WrappingButton

LEFT = Qt.MouseButton.LeftButton
MAY = date(2027, 5, 8)
PANSY = CompanionPlanting(
    id="companion-1", companion_id="winter-pansy", count=2, planted=date(2026, 10, 24)
)


def renew(document, service, qtbot, change) -> None:
    with qtbot.waitSignal(service.report_ready, timeout=20_000):
        document.edit("Change", change)
        service.refresh()


@pytest.fixture
def pansies(details, document, service, qtbot):
    renew(document, service, qtbot, lambda yard: add_companion(yard, "pot-2", PANSY))
    return details


@pytest.fixture
def dahlias(details, document, service, qtbot):
    """Dahlias due in May over tulips that still flower."""
    dahlia = next(c for c in document.catalogue if c.id.startswith("dahlia"))
    new = Layer(id="layer-90", cultivar_id=dahlia.id, count=3, cover_cm=10.0, planted=MAY)
    renew(document, service, qtbot, lambda yard: edits.add_layer(yard, "pot-5", new))
    document.select(pot_id="pot-5")
    return details


def words_of(widget) -> str:
    return "\n".join(label.text() for label in widget.findChildren(QLabel) if label.isVisible())


def test_the_pot_page_lists_adds_and_removes(details, document) -> None:
    document.select(pot_id="pot-2")
    card = details.pot_page.companions
    assert "None yet" in card.share.text()
    card.kinds.setCurrentIndex(card.kinds.findData("winter-pansy"))
    QTest.mouseClick(card.add, LEFT)
    (planting,) = document.yard.pot("pot-2").companions
    assert planting.companion_id == "winter-pansy"
    assert details.page is details.companion_page
    assert details.companion_page.target == planting.id
    QTest.mouseClick(details.companion_page.to_pot, LEFT)
    assert details.page is details.pot_page
    assert "% of the surface at their usual spacing" in card.share.text()
    button = card.findChild(QPushButton, f"companion_{planting.id}")
    assert "24 Oct 2026" in button.accessibleName()
    QTest.mouseClick(button, LEFT)
    assert document.companion_id == planting.id
    document.select(pot_id="pot-2")
    QTest.mouseClick(card.findChild(QToolButton, f"remove_{planting.id}"), LEFT)
    assert document.yard.pot("pot-2").companions == ()
    document.undo_stack.undo()
    assert document.yard.pot("pot-2").companions == (planting,)
    document.undo_stack.undo()
    assert document.yard.pot("pot-2").companions == ()


def test_too_many_are_cautioned(pansies, document) -> None:
    document.select(pot_id="pot-2")
    document.edit(
        "More",
        lambda yard: add_companion(
            yard, "pot-2", PANSY.model_copy(update={"id": "companion-2", "count": 30})
        ),
    )
    share = pansies.pot_page.companions.share
    assert share.text().startswith("Too close") and share.objectName() == "caution"
    told = [advice for advice in pansies.pot_page.advice.shown if advice.topic == "room"]
    assert any("plants on top of" in advice.message for advice in told)


def test_the_companion_page_tells_and_edits(pansies, document) -> None:
    document.select(companion_id="companion-1")
    page = pansies.companion_page
    assert pansies.page is page and "wittrockiana" in page.title.text()
    assert page.subtitle.text() == "mixed · 18 cm · on top, season by date"
    lines = page.lines.text()
    assert "In flower 24 Oct 2026 to 31 May 2027" in lines
    assert "Usually planted 1 Sep to 31 Mar, 15 cm apart" in lines
    assert "Stands air down to -23 °C" in lines or "Stands air down to −23 °C" in lines
    assert "No harm to pets is known" in lines
    box = page.form.fields["count"].editor
    box.setFocus()
    box.selectAll()
    QTest.keyClicks(box, "5")
    QTest.keyClick(box, Qt.Key.Key_Return)
    assert document.yard.companion("companion-1")[1].count == 5
    document.undo_stack.undo()
    assert document.yard.companion("companion-1")[1].count == 2
    page.form.fields["planted"].box.setDate(QDate(2026, 11, 1))
    assert document.yard.companion("companion-1")[1].planted == date(2026, 11, 1)


def test_another_plant_can_be_chosen_in_its_place(pansies, document) -> None:
    document.select(companion_id="companion-1")
    page = pansies.companion_page
    box = page.kind.box
    box.setFocus()
    while box.currentData() != "cyclamen-florists-mini":
        QTest.keyClick(box, Qt.Key.Key_Down)
    planting = document.yard.companion("companion-1")[1]
    assert planting.companion_id == "cyclamen-florists-mini"
    assert "Cyclamen" in page.title.text() and "Harmful if eaten" in page.lines.text()


def test_taking_out_is_set_and_cleared(pansies, document) -> None:
    document.select(companion_id="companion-1")
    form = pansies.companion_page.form
    assert not form.fields["taken_out"].editor.isVisible()
    form.fields["is_taken_out"].box.click()
    assert document.yard.companion("companion-1")[1].taken_out == date(2027, 6, 1)
    assert form.fields["taken_out"].editor.isVisible()
    form.fields["taken_out"].box.setDate(QDate(2026, 10, 1))
    assert "after the day of planting" in form.problem("taken_out")
    assert document.yard.companion("companion-1")[1].taken_out == date(2027, 6, 1)
    form.fields["is_taken_out"].box.click()
    assert document.yard.companion("companion-1")[1].taken_out is None


def test_take_away_and_undo(pansies, document) -> None:
    document.select(companion_id="companion-1")
    QTest.mouseClick(pansies.companion_page.remove, LEFT)
    assert document.yard.pot("pot-2").companions == ()
    assert pansies.page is pansies.pot_page
    document.undo_stack.undo()
    document.select(companion_id="companion-1")
    document.edit("Gone", lambda yard: edits.remove_pot(yard, "pot-2"))
    assert pansies.page is pansies.yard_page


def test_frost_that_takes_them_is_told(details, document, service, qtbot) -> None:
    tender = CompanionPlanting(
        id="companion-1", companion_id="pelargonium-zonal", count=2, planted=date(2027, 3, 1)
    )
    renew(document, service, qtbot, lambda yard: add_companion(yard, "pot-2", tender))
    document.select(companion_id="companion-1")
    page = details.companion_page
    assert "frost takes it in" in page.lines.text()
    assert any(advice.topic == "frost" for advice in page.advice.shown)
    document.select(pot_id="pot-2")
    told = [a.message for a in details.pot_page.advice.shown if a.topic == "frost"]
    assert any(message.startswith("Pelargonium (zonal): Frost") for message in told)


def test_lifting_is_set_from_the_forecast_and_cleared(details, document, service) -> None:
    document.select(layer_id="layer-10")
    form = details.layer_page.form
    assert not form.fields["lifted_on"].editor.isVisible()
    found = next(each for each in service.report.layers if each.layer_id == "layer-10")
    form.fields["is_lifted_on"].box.click()
    assert document.yard.layer("layer-10")[1].lifted_on == found.leaves_over.p50
    assert form.fields["lifted_on"].editor.isVisible()
    form.fields["lifted_on"].box.setDate(QDate(2027, 7, 1))
    assert document.yard.layer("layer-10")[1].lifted_on == date(2027, 7, 1)
    form.fields["lifted_on"].box.setDate(QDate(2026, 1, 1))
    assert "after the day of planting" in form.problem("lifted_on")
    form.fields["is_lifted_on"].box.click()
    assert document.yard.layer("layer-10")[1].lifted_on is None
    document.undo_stack.undo()
    assert document.yard.layer("layer-10")[1].lifted_on == date(2027, 7, 1)


def choice_button(page, key: str) -> QPushButton:
    """The button of a way out, which comes a moment later where it is worked out beside."""
    for _ in range(100):
        found = [
            each
            for each in page.conflicts.findChildren(QPushButton, f"choice_{key}")
            if each.isVisibleTo(page)
        ]
        if found:
            break
        QTest.qWait(50)
    (button,) = found
    return button


def test_a_conflict_is_told_on_the_pages_of_all_it_concerns(dahlias, document) -> None:
    told = words_of(dahlias.pot_page.conflicts)
    assert "is due on 8 May" in told and "The pot is not free" in told
    for selected in ("layer-90", "layer-11"):
        document.select(layer_id=selected)
        assert "is due on 8 May" in words_of(dahlias.layer_page.conflicts)
    document.select(pot_id="pot-1")
    assert not dahlias.pot_page.conflicts.isVisible()


def test_lifting_settles_it_in_one_step(dahlias, document, qtbot) -> None:
    before = document.yard
    steps = document.undo_stack.count()
    button = choice_button(dahlias.pot_page, "lift")
    assert "Take out" in button.accessibleName()
    assert button.text() == button.accessibleName()  # what is read out is what is seen
    QTest.mouseClick(button, LEFT)
    assert document.undo_stack.count() == steps + 1
    lifted = [layer for layer in document.yard.pot("pot-5").layers if layer.lifted_on == MAY]
    assert [layer.id for layer in lifted] and "layer-90" not in {e.id for e in lifted}
    qtbot.waitUntil(lambda: not dahlias.pot_page.conflicts.isVisible())
    document.undo_stack.undo()
    assert document.yard == before
    qtbot.waitUntil(dahlias.pot_page.conflicts.isVisible)


def test_a_choice_says_itself_whole_on_its_button(dahlias) -> None:
    words = "Take out the tulips on 8 May & plant the dahlias then"
    button = WrappingButton(words)
    line = button.fontMetrics().height()
    wide, narrow = (button.heightForWidth(width) for width in (2000, 130))
    assert line <= wide < 2 * line
    assert narrow >= wide + 2 * line
    shown = [choice_button(dahlias.pot_page, key) for key in ("lift", "second-pot", "later")]
    assert len({each.text() for each in shown}) == 3
    for each in shown:
        assert each.height() >= each.heightForWidth(each.width())


def test_a_second_pot_and_a_later_day_settle_it_too(dahlias, document) -> None:
    choice_button(dahlias.pot_page, "second-pot").click()
    assert document.yard.layer("layer-90")[0].id != "pot-5"
    document.undo_stack.undo()
    later = choice_button(dahlias.pot_page, "later")
    assert later.isEnabled() and "then opens about" in later.accessibleDescription()
    later.setFocus()
    QTest.keyClick(later, Qt.Key.Key_Space)
    assert document.yard.layer("layer-90")[1].planted > MAY + timedelta(days=5)


def test_a_way_that_is_closed_says_why(details, document, service, qtbot) -> None:
    late = CompanionPlanting(
        id="companion-1", companion_id="pelargonium-zonal", count=2, planted=date(2027, 5, 20)
    )
    renew(document, service, qtbot, lambda yard: add_companion(yard, "pot-6", late))
    document.select(companion_id="companion-1")
    button = choice_button(details.companion_page, "later")
    assert not button.isEnabled() and "Too late" in button.accessibleDescription()
    assert "Not possible: Too late for Pelargonium" in words_of(details.companion_page.conflicts)


def test_choices_change_the_yard_of_now(dahlias, document) -> None:
    """An edit elsewhere must not be lost when a way out is taken after it."""
    document.edit("Name", lambda yard: edits.rename_pot(yard, "pot-1", "Another name"))
    choice_button(dahlias.pot_page, "lift").click()
    assert document.yard.pot("pot-1").name == "Another name"


def test_a_companion_that_is_not_known_is_named_and_can_be_replaced(details, document) -> None:
    """As in a file written by hand or by a newer program."""
    odd = PANSY.model_copy(update={"companion_id": "no-such-plant"})
    document.edit("Odd", lambda yard: add_companion(yard, "pot-2", odd))
    document.select(pot_id="pot-2")
    assert "no-such-plant" in details.pot_page.companions.share.text()
    document.select(companion_id="companion-1")
    page = details.companion_page
    assert "no-such-plant" in page.title.text() and "no-such-plant" in page.lines.text()
    box = page.kind.box
    box.setFocus()
    QTest.keyClick(box, Qt.Key.Key_Down)
    assert document.yard.companion("companion-1")[1].companion_id != "no-such-plant"
    assert "no-such-plant" not in page.title.text()
