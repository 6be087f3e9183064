from __future__ import annotations

from PySide6.QtCore import QMimeData, QModelIndex, Qt

from bloomline.plan.carry.drops import Cargo
from bloomline.ui.cargo import MIME_TYPE, cargo_of, mime_of
from bloomline.ui.shelf.entries import entries_of
from bloomline.ui.shelf.model import Role, ShelfModel

MOVE = Qt.DropAction.MoveAction
NOWHERE = QModelIndex()


def filled(document) -> ShelfModel:
    model = ShelfModel(document)
    model.show(entries_of(document.catalogue, own=()))
    return model


def test_the_model_keeps_qts_rules(document, qtmodeltester) -> None:
    model = filled(document)
    qtmodeltester.check(model)
    model.show(model.entries[10:20])
    qtmodeltester.check(model)
    model.show(())
    qtmodeltester.check(model)


def test_a_drag_carries_the_kind(document) -> None:
    model = filled(document)
    data = model.mimeData([model.index(5)])
    assert data.hasFormat(MIME_TYPE)
    assert cargo_of(data) == Cargo("cultivar", model.entries[5].cultivar.id)
    assert model.supportedDragActions() == Qt.DropAction.CopyAction
    assert cargo_of(model.mimeData([])) is None


def test_a_layer_dropped_on_the_shelf_leaves_its_pot(document) -> None:
    model = filled(document)
    before = document.yard
    data = mime_of(Cargo("layer", "layer-1"))
    assert model.canDropMimeData(data, MOVE, -1, -1, NOWHERE)
    # Qt must not think that rows were moved: the yard changed, not the list.
    assert model.dropMimeData(data, MOVE, -1, -1, NOWHERE) is False
    assert all(layer.id != "layer-1" for _, layer in document.yard.layers())
    assert document.undo_stack.undoText() == "Take out Tulipa 'Queen of Night'"
    document.undo_stack.undo()
    assert document.yard == before


def test_what_makes_no_sense_is_refused_with_a_reason(document) -> None:
    model = filled(document)
    cases = {
        "on the shelf already": mime_of(Cargo("cultivar", "tulipa-apricot-beauty")),
        "delete it in the yard": mime_of(Cargo("pot", "pot-1")),
        "no layer called": mime_of(Cargo("layer", "layer-999")),
    }
    for words, data in cases.items():
        verdict = model.verdict_on(data)
        assert verdict is not None and not verdict.allowed and words in verdict.words
        assert not model.canDropMimeData(data, MOVE, -1, -1, NOWHERE)
        assert model.dropMimeData(data, MOVE, -1, -1, NOWHERE) is False
    foreign = QMimeData()
    foreign.setText("layer-1")
    assert model.verdict_on(foreign) is None
    assert not model.canDropMimeData(foreign, MOVE, -1, -1, NOWHERE)
    assert document.undo_stack.count() == 0


def test_words_for_tooltip_and_screen_reader(document) -> None:
    model = filled(document)
    row = model.row_of("tulipa-apricot-beauty")
    index = model.index(row)
    assert index.data(Role.WINDOW) is None
    assert "being worked out" in index.data(Qt.ItemDataRole.AccessibleTextRole)
    tip = index.data(Qt.ItemDataRole.ToolTipRole)
    assert "<i>Tulipa </i>'Apricot Beauty'" in tip.replace("&#x27;", "'")
    assert "published" in tip  # where its date comes from
    # The demo yard has pets.
    assert "upsets pets" in index.data(Qt.ItemDataRole.AccessibleTextRole)
    assert model.row_of("no-such-kind") is None
