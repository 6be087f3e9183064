from __future__ import annotations

from datetime import date

import pytest
from PySide6.QtCore import QDate, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QLabel, QWidget

from bloomline.model import edits
from bloomline.model.revising import revise
from bloomline.ui.details.fields import ChoiceField
from bloomline.ui.details.words import friendly
from bloomline.ui.units import Units

LEFT = Qt.MouseButton.LeftButton


# The offscreen platform can't raise the list of completions over the window.
no_popups = pytest.mark.qt_log_ignore("This plugin does not support", extend=True)


def editor(page, key: str):
    return page.form.fields[key].editor


def type_into(page, key: str, text: str) -> None:
    widget = editor(page, key)
    widget.setFocus()
    widget.selectAll()
    QTest.keyClicks(widget, text)
    QTest.keyClick(widget, Qt.Key.Key_Return)


def pick(page, key: str, value: object) -> None:
    field = page.form.fields[key]
    assert isinstance(field, ChoiceField)
    field.box.setFocus()
    index = next(i for i in range(field.box.count()) if field.box.itemData(i) == value)
    steps = index - field.box.currentIndex()
    way = Qt.Key.Key_Down if steps > 0 else Qt.Key.Key_Up
    for _ in range(abs(steps)):
        QTest.keyClick(field.box, way)


# Which page


def test_the_page_follows_the_selection(details, document) -> None:
    assert details.page is details.yard_page
    assert document.yard.name in details.yard_page.title.text()
    document.select(pot_id="pot-2")
    assert details.page is details.pot_page
    assert details.pot_page.title.text() == "Tall terracotta by the door"
    document.select(layer_id="layer-4")
    assert details.page is details.layer_page
    assert "Shirley" in details.layer_page.title.text()
    document.select()
    assert details.page is details.yard_page


def test_what_is_deleted_leaves_no_page_behind(details, document) -> None:
    document.select(layer_id="layer-4")
    document.edit("Delete", lambda yard: edits.remove_pot(yard, "pot-2"))
    assert details.page is details.yard_page
    document.undo_stack.undo()
    document.select(layer_id="layer-4")
    assert details.page is details.layer_page


def test_pot_and_layers_lead_to_one_another(details, document) -> None:
    document.select(layer_id="layer-4")
    details.layer_page.to_pot.click()
    assert (document.pot_id, document.layer_id) == ("pot-2", None)
    top = details.pot_page._buttons[0]
    assert "Ruby Giant" in top.text() and "5 cm deep" in top.text()
    top.click()
    assert document.layer_id == "layer-6"


# Changing a layer


def test_steps_of_a_spin_box_are_one_step_of_undo(details, document) -> None:
    document.select(layer_id="layer-4")
    before = document.yard
    count = editor(details.layer_page, "count")
    count.setFocus()
    for _ in range(5):
        QTest.keyClick(count, Qt.Key.Key_Up)
    assert document.yard.layer("layer-4")[1].count == 20
    assert document.undo_stack.count() == 1
    assert document.undo_stack.undoText() == "Change number"
    document.undo_stack.undo()
    assert document.yard == before
    assert count.value() == 15  # the field shows it


def test_two_visits_to_a_field_are_two_steps(details, document) -> None:
    document.select(layer_id="layer-4")
    type_into(details.layer_page, "count", "12")
    type_into(details.layer_page, "count", "14")
    assert document.undo_stack.count() == 2
    assert document.yard.layer("layer-4")[1].count == 14


def test_depth_may_be_typed_in_inches(details, document) -> None:
    document.select(layer_id="layer-4")
    type_into(details.layer_page, "cover_cm", "8 in")
    assert document.yard.layer("layer-4")[1].cover_cm == pytest.approx(20.32)


def test_planting_date_by_keyboard_and_calendar(details, document) -> None:
    document.select(layer_id="layer-4")
    planted = editor(details.layer_page, "planted")
    planted.setFocus()
    planted.setDate(QDate(2026, 11, 20))
    assert document.yard.layer("layer-4")[1].planted == date(2026, 11, 20)
    assert planted.calendarPopup()


def test_state_pre_chilling_and_notes(details, document, qtbot) -> None:
    document.select(layer_id="layer-4")
    page = details.layer_page
    pick(page, "state", "lifted")
    assert document.yard.layer("layer-4")[1].state == "lifted"
    assert editor(page, "prechill_temperature_c").isHidden()
    type_into(page, "prechill_weeks", "6")
    assert not editor(page, "prechill_temperature_c").isHidden()
    type_into(page, "prechill_temperature_c", "7")
    notes = editor(page, "notes")
    notes.setFocus()
    QTest.keyClicks(notes, "from the market")
    # what is typed is not lost when another layer is selected at once
    document.select(layer_id="layer-5")
    layer = document.yard.layer("layer-4")[1]
    assert (layer.prechill_weeks, layer.prechill_temperature_c) == (6.0, 7.0)
    assert layer.notes == "from the market"
    assert document.yard.layer("layer-5")[1].notes == "Gloves: the dry scales itch."


@no_popups
def test_another_bulb_by_part_of_its_name(details, document) -> None:
    document.select(layer_id="layer-4")
    page = details.layer_page
    type_into(page, "cultivar_id", "queen of night")
    assert document.yard.layer("layer-4")[1].cultivar_id == "tulipa-queen-of-night"
    assert "Queen of Night" in page.title.text()
    assert editor(page, "cultivar_id").text() == "Tulipa 'Queen of Night'"


@no_popups
def test_an_unknown_bulb_is_refused_with_near_names(details, document) -> None:
    document.select(layer_id="layer-4")
    page = details.layer_page
    type_into(page, "cultivar_id", "Queen of Nicht gut")
    assert "No bulb is called" in page.form.problem("cultivar_id")
    assert "Queen of Night" in page.form.problem("cultivar_id")
    assert editor(page, "cultivar_id").text() == "Tulipa 'Shirley'"
    assert document.undo_stack.count() == 0


def test_a_refused_value_goes_back_and_says_why(details, document, qtbot) -> None:
    document.select(layer_id="layer-4")
    page = details.layer_page
    with qtbot.waitSignal(details.message) as told:
        type_into(page, "count", "9000")
    assert editor(page, "count").value() == 15
    assert page.form.problem("count") == "A number of at most 5000 is wanted, not 9000."
    assert told.args == [page.form.problem("count")]
    assert document.undo_stack.count() == 0
    type_into(page, "count", "16")
    assert page.form.problem("count") == ""


def test_the_room_is_told_beside_the_number(details, document) -> None:
    document.select(layer_id="layer-4")
    page = details.layer_page
    note = page.form._notes["count"]
    assert "fit well here" in note.text() and note.objectName() == "muted"
    type_into(page, "count", "800")
    assert note.objectName() == "warning"
    assert any("don't fit" in advice.message for advice in page.advice.shown)


# Forecast and reasons


def test_the_forecast_is_the_reports(details, document, service) -> None:
    document.select(layer_id="layer-4")
    forecast = next(each for each in service.report.layers if each.layer_id == "layer-4")
    card = details.layer_page.forecast
    day = forecast.start.p50
    assert card.value("start").startswith(f"{day.day} {day:%b} (")
    assert "weeks" in card.value("cold")
    why = "\n".join(card.why)
    assert service.report.place_label in why and service.report.station_id in why
    assert service.report.weather_label in why
    cultivar = document.cultivar("tulipa-shirley")
    assert cultivar.date_note.rstrip(".") in why


def test_what_is_from_memory_says_so(details, document) -> None:
    kinds = [c for c in document.catalogue if c.date_basis == "memory"]
    mine = document.catalogue.get("tulipa-shirley").model_copy(update={"date_basis": "memory"})
    chosen = kinds[0] if kinds else mine
    if not kinds:
        document.edit("Own", lambda yard: revise(yard, {"own_cultivars": (mine.__dict__,)}))
    document.edit("Change", lambda yard: edits.change_layer(yard, "layer-4", cultivar_id=chosen.id))
    document.select(layer_id="layer-4")
    card = details.layer_page.forecast
    card.show_forecast(
        next(each for each in details.layer_page.service.report.layers), *_report(details), chosen
    )
    assert any("from memory, not checked" in line for line in card.why)


def _report(details):
    return (details.layer_page.service.report,)


def test_advice_has_its_reason_its_source_and_its_gravity_in_words(details, document) -> None:
    document.select(layer_id="layer-10")
    page = details.layer_page
    assert page.advice.shown[0].severity == "warning"
    texts = [label.text() for label in page.advice.findChildren(QLabel) if label.isVisibleTo(page)]
    assert any(text.startswith("Warning · ") for text in texts)
    assert any(text.startswith("Why: ") for text in texts)
    assert sum(text.startswith("Source: ") for text in texts) == len(page.advice.shown)


def test_the_forecast_follows_a_change(details, document, service, qtbot) -> None:
    document.select(layer_id="layer-4")
    card = details.layer_page.forecast
    before = card.value("start")
    document.edit(
        "Plant late",
        lambda yard: edits.set_planted(yard, ["layer-4"], date(2027, 1, 20)),
    )
    qtbot.waitUntil(lambda: card.value("start") != before, timeout=10_000)


# While it updates


def test_a_field_being_edited_keeps_what_is_typed_and_the_focus(
    details, document, service, qtbot
) -> None:
    document.select(layer_id="layer-4")
    cover = editor(details.layer_page, "cover_cm")
    cover.setFocus()
    cover.selectAll()
    QTest.keyClicks(cover, "1")
    with qtbot.waitSignal(service.report_ready, timeout=10_000):
        document.edit("Rename", lambda yard: edits.rename_pot(yard, "pot-2", "By the door"))
    assert cover.hasFocus()
    assert cover.text().startswith("1") and "20" not in cover.text()
    QTest.keyClicks(cover, "8")
    QTest.keyClick(cover, Qt.Key.Key_Return)
    assert document.yard.layer("layer-4")[1].cover_cm == 18.0


def test_the_scroll_stays_when_the_report_changes(details, document, service, qtbot) -> None:
    document.select(pot_id="pot-2")
    bar = details.pot_page.verticalScrollBar()
    qtbot.waitUntil(lambda: bar.maximum() > 100)
    bar.setValue(100)
    with qtbot.waitSignal(service.report_ready, timeout=10_000):
        document.edit("Fewer", lambda yard: edits.change_layer(yard, "layer-4", count=3))
    qtbot.wait(20)
    assert bar.value() == 100


# Pots


def test_every_field_of_a_pot_takes_effect(details, document) -> None:
    document.select(pot_id="pot-2")
    page = details.pot_page
    type_into(page, "name", "By the back door")
    type_into(page, "top_width_cm", "40")
    type_into(page, "inside_height_cm", "42")
    type_into(page, "wall_cm", "2")
    type_into(page, "crocks_cm", "4")
    type_into(page, "rim_gap_cm", "3")
    type_into(page, "top_dressing", "grit")
    type_into(page, "top_dressing_cm", "1")
    pick(page, "material", "metal")
    pick(page, "site", "cold-frame")
    pick(page, "shape", "oval")
    editor(page, "successive").click()
    pot = document.yard.pot("pot-2")
    assert (pot.name, pot.top_width_cm, pot.inside_height_cm) == ("By the back door", 40, 42)
    assert (pot.wall_cm, pot.crocks_cm, pot.rim_gap_cm) == (2, 4, 3)
    assert (pot.top_dressing, pot.top_dressing_cm) == ("grit", 1)
    assert (pot.material, pot.site, pot.shape) == ("metal", "cold-frame", "oval")
    assert pot.successive is False
    assert not editor(page, "top_length_cm").isHidden()
    type_into(page, "top_length_cm", "70")
    assert document.yard.pot("pot-2").top_length_cm == 70
    steps = document.undo_stack.count()
    for _ in range(steps):
        document.undo_stack.undo()
    assert page.title.text() == "Tall terracotta by the door"
    assert editor(page, "top_width_cm").value() == 38
    assert editor(page, "top_length_cm").isHidden()


def test_sheltered_until_is_asked_only_under_shelter(details, document) -> None:
    document.select(pot_id="pot-2")
    page = details.pot_page
    assert editor(page, "is_sheltered_until").isHidden()
    pick(page, "site", "shed")
    assert editor(page, "sheltered_until").isHidden()
    editor(page, "is_sheltered_until").click()
    assert document.yard.pot("pot-2").sheltered_until == date(2027, 3, 15)
    editor(page, "sheltered_until").setDate(QDate(2027, 4, 2))
    assert document.yard.pot("pot-2").sheltered_until == date(2027, 4, 2)
    editor(page, "is_sheltered_until").click()
    assert document.yard.pot("pot-2").sheltered_until is None


def test_no_room_for_compost_is_refused_in_words(details, document) -> None:
    document.select(pot_id="pot-2")
    page = details.pot_page
    type_into(page, "crocks_cm", "37")
    words = page.form.problem("crocks_cm")
    assert "leave" in words and "for compost" in words and "_cm" not in words
    assert editor(page, "crocks_cm").value() == 3
    # complaints belong to the pot they were about
    document.select(pot_id="pot-1")
    assert page.form.problem("crocks_cm") == ""


def test_laying_out_properly_says_what_it_changed(details, document) -> None:
    def dig_up(yard):
        for layer in yard.pot("pot-1").layers:
            yard = edits.change_layer(yard, layer.id, state="planned")
        return yard

    document.edit("Plan again", dig_up)
    document.select(pot_id="pot-1")
    page = details.pot_page
    before = document.yard
    page.lay_out.click()
    assert page.laid_out.text().startswith("Changed: ") and "→" in page.laid_out.text()
    assert document.undo_stack.undoText() == "Lay out the layers of Half barrel by the gate"
    assert document.undo_stack.count() == 2
    page.lay_out.click()
    assert page.laid_out.text() == "The layers lie properly already."
    assert document.undo_stack.count() == 2
    document.undo_stack.undo()
    assert document.yard == before


def test_bulbs_in_the_ground_are_left_where_they_lie(details, document) -> None:
    document.select(pot_id="pot-1")
    details.pot_page.lay_out.click()
    assert "planted already" in details.pot_page.laid_out.text()
    assert document.undo_stack.count() == 0


# The yard


def test_the_yard_says_its_bare_days_with_their_range(details, service) -> None:
    bare = service.report.bare_days
    words = f"{round(bare.expected)} bare days ({round(bare.p10)}–{round(bare.p90)} in eight years"
    assert words in details.yard_page.subtitle.text()


def test_fields_of_the_yard(details, document) -> None:
    page = details.yard_page
    type_into(page, "name", "Back yard")
    type_into(page, "season_year", "2028")
    type_into(page, "bare_threshold", "40")
    type_into(page, "crowd_limit", "7")
    type_into(page, "offset_warm-wall", "1.5")
    type_into(page, "currency", "eur")
    type_into(page, "budget", "85.50")
    editor(page, "pets").click()
    yard = document.yard
    assert (yard.name, yard.season_year) == ("Back yard", 2028)
    assert yard.settings.bare_threshold == 0.4 and yard.settings.crowd_limit == 7
    assert yard.settings.pets is False
    assert yard.site_offsets == {"warm-wall": 1.5}
    assert (yard.money.currency, yard.money.budget) == ("EUR", 85.5)
    type_into(page, "offset_warm-wall", "0")
    assert document.yard.site_offsets == {}


def test_a_wrong_currency_is_refused_in_words(details, document) -> None:
    page = details.yard_page
    type_into(page, "currency", "pounds")
    assert "three capitals" in page.form.problem("currency")
    assert editor(page, "currency").text() == "GBP"


def test_units_switch_everywhere_and_change_no_value(details, document) -> None:
    pick(details.yard_page, "units", "imperial")
    pots = document.yard.pots
    document.select(pot_id="pot-2")
    # 38 cm are 14.96 inches at 2.54 cm to the inch
    assert editor(details.pot_page, "top_width_cm").text() == "14.96 in"
    document.select(layer_id="layer-10")
    assert editor(details.layer_page, "cover_cm").text().endswith(" in")
    told = " ".join(advice.message for advice in details.layer_page.advice.shown)
    assert " cm" not in told.replace("°C", "")
    assert document.yard.pots == pots
    document.select()
    # 2.7 °F of difference are 1.5 °C
    type_into(details.yard_page, "offset_open", "2.7")
    assert document.yard.site_offsets["open"] == pytest.approx(1.5)


# Reach


def test_every_field_has_a_name_and_a_label_that_leads_to_it(details) -> None:
    for page in (details.yard_page, details.pot_page, details.layer_page):
        buddies = {label.buddy() for label in page.findChildren(QLabel)}
        for field in page.form.fields.values():
            assert field.editor.accessibleName()
            named = field.editor in buddies or field.editor.metaObject().className() == "QCheckBox"
            assert named, field.key


def test_tab_goes_down_the_form(details, document) -> None:
    document.select(layer_id="layer-4")
    page = details.layer_page
    editor(page, "cultivar_id").setFocus()
    seen: list[str] = []
    for _ in range(4):
        focus = QApplication.focusWidget()
        while isinstance(focus, QWidget) and not focus.objectName().startswith("field_"):
            focus = focus.parentWidget()
        seen.append(focus.objectName())
        QTest.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)
    assert seen == ["field_cultivar_id", "field_count", "field_cover_cm", "field_planted"]


def test_actions_for_the_menus(details, document) -> None:
    actions = {action.objectName(): action for action in details.actions()}
    assert set(actions) == {"action_edit_details", "action_lay_out_layers"}
    assert not actions["action_lay_out_layers"].isEnabled()
    document.select(layer_id="layer-1")
    actions["action_lay_out_layers"].trigger()
    assert details.page is details.pot_page and details.pot_page.laid_out.text()
    actions["action_edit_details"].trigger()
    assert editor(details.page, "name").hasFocus()
    document.select(layer_id="layer-1")
    details.setFocus()
    assert editor(details.page, "cultivar_id").hasFocus()


@pytest.mark.parametrize(
    ("refusal", "key", "words"),
    [
        (
            "top_width_cm: a number of at least 4 is wanted, not 2.0",
            "top_width_cm",
            "A length of at least 4 cm is wanted, not 2 cm.",
        ),
        ("name: must not be blank", "name", "Must not be blank."),
    ],
)
def test_refusals_in_plain_words(qapp, refusal, key, words) -> None:
    assert friendly(refusal, key=key, units=Units()) == words


def test_escape_takes_back_what_is_typed(details, document) -> None:
    document.select(pot_id="pot-2")
    page = details.pot_page
    for key, shown in (("name", "Tall terracotta by the door"), ("top_width_cm", "38 cm")):
        widget = editor(page, key)
        widget.setFocus()
        widget.selectAll()
        QTest.keyClicks(widget, "7")
        QTest.keyClick(widget, Qt.Key.Key_Escape)
        assert widget.text() == shown
    assert document.undo_stack.count() == 0


def test_a_depth_below_nothing_cant_be_typed(details, document) -> None:
    document.select(layer_id="layer-4")
    type_into(details.layer_page, "cover_cm", "-5")
    assert document.yard.layer("layer-4")[1].cover_cm in (5.0, 20.0)
    assert document.yard.layer("layer-4")[1].cover_cm > 0


def test_names_are_shown_as_they_are_written(details, document) -> None:
    document.edit("Rename", lambda yard: edits.rename_pot(yard, "pot-2", "<b>bold</b> & co"))
    document.select(pot_id="pot-2")
    assert details.pot_page.title.text() == "&lt;b&gt;bold&lt;/b&gt; &amp; co"
    document.select(layer_id="layer-4")
    assert "<b>bold</b>" in details.layer_page.to_pot.text()


def test_half_typed_notes_stay_with_the_yard_they_were_about(
    details, document, empty_document, qtbot
) -> None:
    notes = editor(details.yard_page, "notes")
    notes.setFocus()
    QTest.keyClicks(notes, "half typed")
    document.saved_as(document.path, "as it was")
    assert "half typed" in notes.toPlainText()
    document.replace(empty_document.yard, path=None, seen=None)
    assert notes.toPlainText() == ""
    qtbot.wait(900)  # longer than the pause after which notes are taken over
    assert document.yard == empty_document.yard


def test_notes_are_taken_over_after_a_pause(details, document, qtbot) -> None:
    notes = editor(details.yard_page, "notes")
    notes.setFocus()
    notes.selectAll()
    QTest.keyClicks(notes, "rain butt leaks")
    qtbot.waitUntil(lambda: document.yard.notes == "rain butt leaks", timeout=5000)
    assert document.undo_stack.count() == 1
    assert notes.hasFocus()
