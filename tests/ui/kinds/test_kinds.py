"""Own kinds in the window: from a packet, as a mixture, in the list; typed and undone."""

from __future__ import annotations

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel

from bloomline.model.edits import change_layer
from bloomline.model.kind_edits import own_kind
from bloomline.plan.kinds.making import kind_of
from bloomline.plan.kinds.packet import PacketEntry
from bloomline.plan.kinds.table import load_shared


def looked_at(dialog, qtbot):
    qtbot.waitUntil(lambda: dialog._look is not None, timeout=10_000)


def packet(desk, qtbot, name="Evening Tale", months="April–May"):
    desk.open_packet(name)
    dialog = desk.dialog
    dialog.group.setCurrentIndex(dialog.group.findData("Triumph"))
    dialog.flowers.setText(months)
    looked_at(dialog, qtbot)
    return dialog


@pytest.fixture
def own(document, desk, qtbot):
    """An own kind, by way of the dialog."""
    packet(desk, qtbot).ok.click()
    qtbot.waitUntil(lambda: desk.dialog is None)
    return own_kind(document.yard, "own-tulipa-evening-tale")


class TestPacket:
    def test_a_packet_becomes_a_kind_and_is_undone(self, document, desk, qtbot):
        dialog = packet(desk, qtbot)
        assert "April near London" in dialog.about.text()
        assert dialog.country.currentText() == "United Kingdom"
        dialog.pack.setValue(12)
        dialog.price.setValue(4.5)
        with qtbot.waitSignal(desk.made) as made:
            dialog.ok.click()
        kind = own_kind(document.yard, made.args[0])
        assert kind.name == "Tulipa 'Evening Tale'"
        assert kind.packet is not None and kind.packet.country == "United Kingdom"
        (price,) = [p for p in document.yard.prices if p.cultivar_id == kind.id]
        assert (price.pack, price.price) == (12, 4.5)
        assert document.undo_stack.undoText() == "Add a kind"
        document.undo_stack.undo()
        assert document.yard.own_cultivars == ()

    def test_each_field_is_questioned_as_it_is_typed(self, desk, qtbot):
        dialog = packet(desk, qtbot)
        assert all(row.words.isHidden() for row in dialog.rows.values())
        dialog.height_cm.setValue(400)
        looked_at(dialog, qtbot)
        asked = {field for field, row in dialog.rows.items() if not row.words.isHidden()}
        assert asked == {"height"} and "250" in dialog.rows["height"].words.text()
        dialog.ok.click()
        assert desk.dialog is dialog  # it can't be, so it stays open
        dialog.height_cm.setValue(45)
        dialog.flowers.setText("Febtober")
        looked_at(dialog, qtbot)
        asked = {field for field, row in dialog.rows.items() if not row.words.isHidden()}
        assert asked == {"flowers"}

    def test_what_is_only_unusual_is_taken(self, document, desk, qtbot):
        dialog = packet(desk, qtbot)
        dialog.height_cm.setValue(95)
        dialog.ok.click()  # before it has been looked at
        qtbot.waitUntil(lambda: desk.dialog is None, timeout=10_000)
        assert document.yard.own_cultivars[0].height_cm == 95

    def test_it_can_be_planted_at_once(self, document, desk, qtbot):
        document.select(pot_id=document.yard.pots[0].id)
        dialog = packet(desk, qtbot)
        with qtbot.waitSignal(desk.plant_asked) as asked:
            dialog.plant.click()
        assert asked.args == ["own-tulipa-evening-tale"]

    def test_by_keys_alone(self, document, desk, qtbot):
        desk.open_packet("Moonlit")
        dialog = desk.dialog
        QTest.keyClicks(dialog.flowers, "late April")
        looked_at(dialog, qtbot)
        QTest.keyClick(dialog.flowers, Qt.Key.Key_Return)
        qtbot.waitUntil(lambda: desk.dialog is None, timeout=10_000)
        assert document.yard.own_cultivars[0].name == "Tulipa 'Moonlit'"

    def test_an_own_kind_is_changed_in_its_place(self, document, desk, own, qtbot):
        desk.edit(own.id)
        dialog = desk.dialog
        assert dialog.name.text() == "Evening Tale"
        assert dialog.flowers.text() == "April – May"
        assert dialog.group.currentData() == "Triumph"
        dialog.flowers.setText("May")
        looked_at(dialog, qtbot)
        dialog.ok.click()
        (new,) = document.yard.own_cultivars
        assert new.id == own.id and new.ref_start > own.ref_start


class TestMixture:
    def test_kinds_are_mixed(self, document, desk):
        desk.new_mixture()
        dialog = desk.dialog
        dialog.name.setText("Sunrise")
        for (kind, share), (name, weight) in zip(
            dialog.rows, (("shirley", 40), ("Negrita", 60)), strict=False
        ):
            kind.setText(name)
            share.setValue(weight)
        dialog.ok.click()
        (mixture,) = document.yard.own_cultivars
        assert mixture.name == "Tulipa (Sunrise, mixed)"
        assert [(k.name, round(s, 2)) for k, s in mixture.shares] == [
            ("Tulipa 'Shirley'", 0.4),
            ("Tulipa 'Negrita'", 0.6),
        ]

    def test_the_packet_leads_to_a_mixture(self, desk):
        desk.open_packet("Sunrise")
        desk.dialog.mix.click()
        assert desk.dialog.objectName() == "mixture" and desk.dialog.name.text() == "Sunrise"

    def test_an_unknown_kind_is_told(self, desk):
        desk.new_mixture()
        dialog = desk.dialog
        dialog.name.setText("Sunrise")
        dialog.rows[0][0].setText("Quuxian")
        assert "Quuxian" in dialog.problem.text()
        dialog.ok.click()
        assert desk.dialog is dialog

    def test_a_layer_becomes_a_mixture_and_is_changed(self, document, desk):
        (layer,) = [one for _, one in document.yard.layers() if one.cultivar_id == "tulipa-shirley"]
        desk.mix_layer(layer.id)
        dialog = desk.dialog
        assert dialog.rows[0][0].text() == "Tulipa 'Shirley'"
        dialog.name.setText("Door")
        dialog.rows[1][0].setText("Tulipa 'Negrita'")
        dialog.ok.click()
        mixed = document.yard.layer(layer.id)[1].cultivar_id
        assert own_kind(document.yard, mixed).name == "Tulipa (Door, mixed)"
        desk.mix_layer(layer.id)
        dialog = desk.dialog
        assert dialog.name.text() == "Door, mixed"
        dialog.rows[0][1].setValue(90)
        dialog.ok.click()
        assert len(document.yard.own_cultivars) == 1
        assert own_kind(document.yard, mixed).shares[0][1] == pytest.approx(0.9)
        document.undo_stack.undo()
        document.undo_stack.undo()
        assert document.yard.layer(layer.id)[1].cultivar_id == "tulipa-shirley"


class TestList:
    def test_it_lists_removes_and_says_where_a_kind_stands(self, document, desk, own, qtbot):
        desk.show_list()
        shown = desk.list
        assert shown.list.count() == 1 and "planted nowhere" in shown.list.item(0).text()
        layer = document.yard.pots[0].layers[0]
        document.edit("Plant", lambda y: change_layer(y, layer.id, cultivar_id=own.id))
        shown.buttons["remove"].click()
        assert document.yard.own_cultivars
        assert document.yard.pots[0].name in shown.findChild(QLabel, "caution").text()
        document.undo_stack.undo()
        shown.buttons["remove"].click()
        assert not document.yard.own_cultivars and shown.list.count() == 0

    def test_a_mixture_stands_there_is_changed_and_taken_out(self, document, desk, tmp_path):
        desk.new_mixture()
        dialog = desk.dialog
        dialog.name.setText("Sunrise")
        for (kind, share), name, bulbs in zip(
            dialog.rows, ("Apricot Beauty", "Tulipa 'Shirley'"), (12, 33.3), strict=False
        ):
            kind.setText(name)
            share.setValue(bulbs)
        assert [share.text() for _, share in dialog.rows[:2]] == ["12", "33.3"]
        dialog.ok.click()
        desk.show_list()
        shown = desk.list
        words = shown.list.item(0).text()
        assert "Sunrise" in words and "74 % 'Shirley' and 26 % 'Apricot Beauty'" in words
        shown.buttons["edit"].click()
        assert desk.dialog.objectName() == "mixture"
        desk.dialog.rows[1][1].setValue(12)
        desk.dialog.ok.click()
        assert "50 %" in shown.list.item(0).text() and shown.buttons["keep"].isEnabled()
        mixture = document.yard.own_cultivars
        shown.write(tmp_path / "kinds.csv")
        shown.buttons["remove"].click()
        assert not document.yard.own_cultivars
        # That there is none is no fault.
        assert shown.told.objectName() == "muted" and "no kinds" in shown.told.text()
        shown.take_in(tmp_path / "kinds.csv")
        assert document.yard.own_cultivars == mixture

    def test_a_table_goes_out_and_in(self, document, desk, own, tmp_path):
        desk.show_list()
        desk.list.write(tmp_path / "kinds.csv")
        document.undo_stack.undo()
        assert not document.yard.own_cultivars
        desk.list.take_in(tmp_path / "kinds.csv")
        assert document.yard.own_cultivars[0].name == own.name
        (tmp_path / "bad.csv").write_text("id,name\nx,\n")
        before = document.yard
        desk.list.take_in(tmp_path / "bad.csv")
        assert document.yard is before and "row 2" in desk.list.told.text()

    def test_a_kept_kind_is_on_other_shelves_and_copied_when_planted(
        self, document, desk, own, monkeypatch, tmp_path
    ):
        kept = tmp_path / "own-kinds.csv"
        monkeypatch.setattr("bloomline.plan.kinds.table.shared_path", lambda: kept)
        desk.keep(own.id)
        assert [each.id for each in load_shared()[0]] == [own.id]
        document.undo_stack.undo()  # the yard itself has it no more
        assert own.id not in [each.id for each in document.yard.own_cultivars]
        assert own.id in document.outlook.kinds
        layer = document.yard.pots[0].layers[0]
        document.edit("Plant", lambda y: change_layer(y, layer.id, cultivar_id=own.id))
        assert [each.id for each in document.yard.own_cultivars] == [own.id]

    def test_a_bad_kept_file_is_told_and_not_fatal(self, desk, monkeypatch, tmp_path, qtbot):
        bad = tmp_path / "own-kinds.csv"
        bad.write_text("nonsense\n1\n")
        monkeypatch.setattr("bloomline.plan.kinds.table.shared_path", lambda: bad)
        with qtbot.waitSignal(desk.told) as told:
            desk.load_kept()
        assert "can't be read" in told.args[0]


def test_a_mixture_of_an_own_kind_follows_it(document, desk, own, forecaster, qtbot):
    desk.new_mixture()
    dialog = desk.dialog
    dialog.name.setText("Two")
    dialog.rows[0][0].setText(own.name)
    dialog.rows[1][0].setText("Tulipa 'Negrita'")
    dialog.ok.click()
    taller = kind_of(
        PacketEntry("Tulipa", "Triumph", "Evening Tale", "April–May", height_cm=70.0),
        forecaster=forecaster,
        kept=own,
    )
    from bloomline.model.kind_edits import put_kind

    document.edit("Change", lambda yard: put_kind(yard, taller))
    mixture = document.yard.own_cultivars[1]
    assert mixture.height_cm == 70 and mixture.parts[0].kind.height_cm == 70
