"""The yard's actions, with their keys and when they can be used."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Qt, SignalInstance, Slot
from PySide6.QtGui import QAction, QGuiApplication, QKeySequence
from PySide6.QtWidgets import QApplication, QWidget

from bloomline.ui.clipboard import has_parcel
from bloomline.ui.document import Document
from bloomline.ui.hands.typing import to_text
from bloomline.ui.yard.benches import Benches
from bloomline.ui.yard.carrying import Carrying
from bloomline.ui.yard.choosing import name_of, order_of, parts_of
from bloomline.ui.yard.deeds import Deeds
from bloomline.ui.yard.hand import YardHand
from bloomline.ui.yard.pasting import Pasting
from bloomline.words import tr

_Key = QKeySequence.StandardKey | str


class Commands(QObject):
    """Actions of the yard; their enabled state follows what is selected and carried."""

    def __init__(
        self,
        document: Document,
        canvas: YardHand,
        carrying: Carrying,
        deeds: Deeds,
        pasting: Pasting,
        panel: QWidget,
    ) -> None:
        super().__init__(panel)
        self._pasting = pasting
        self._is_in_sight = True
        self._row_views: tuple[QWidget, ...] = ()
        self._document = document
        self._canvas = canvas
        self._carrying = carrying
        self._deeds = deeds
        self.add = self._make("add_pot", tr("&Add pot"), deeds.add_pot, "Insert")
        self.duplicate = self._make("duplicate", tr("Dupl&icate"), self._duplicate, "Ctrl+D")
        self.benches = Benches(document, panel)
        self.bench = self._make("make_bench", tr("Make a &bench of…"), self.benches.make, "Ctrl+B")
        self.split = self._make("split_bench", tr("Split &off a bench…"), self.benches.split, "")
        self.join = self._make("join_pots", tr("&Join equal pots"), self.benches.join, "")
        self.rename = self._make("rename_pot", tr("Re&name pot"), self._rename, "F2")
        self.delete = self._make("delete", tr("&Delete"), self._delete, "Delete")
        self.left = self._make("pot_left", tr("Move pot &left"), self._left, "Ctrl+Left")
        self.right = self._make("pot_right", tr("Move pot ri&ght"), self._right, "Ctrl+Right")
        self.shallower = self._make(
            "layer_shallower", tr("Lay s&hallower"), self._shallower, "Ctrl+Up"
        )
        self.deeper = self._make("layer_deeper", tr("Lay deepe&r"), self._deeper, "Ctrl+Down")
        keys = QKeySequence.StandardKey
        self.cut = self._make("cut", tr("Cu&t"), self._cut, keys.Cut)
        self.copy = self._make("copy", tr("&Copy"), self._copy, keys.Copy)
        self.paste = self._make("paste", tr("&Paste"), self._paste, keys.Paste)
        self.select_all = self._make(
            "select_all", tr("Select &all"), self._select_all, keys.SelectAll
        )
        self.carry = self._make("carry", tr("&Move with the arrow keys"), self._carry, "M")
        self.carry_copy = self._make(
            "carry_copy", tr("Move a cop&y with the arrow keys"), self._carry_copy, "Shift+M"
        )
        self.zoom_in = self._make("zoom_in", tr("&Zoom in"), canvas.zoom_in, "+")
        self.zoom_in.setShortcuts([QKeySequence("+"), QKeySequence("="), QKeySequence("Ctrl++")])
        self.zoom_out = self._make("zoom_out", tr("Zoom &out"), canvas.zoom_out, "-")
        self.zoom_out.setShortcuts([QKeySequence("-"), QKeySequence("Ctrl+-")])
        self.zoom_in.setIconText("+")
        self.zoom_out.setIconText("−")
        self.fit = self._make("zoom_fit", tr("&Fit height"), canvas.fit, "Ctrl+0")
        self.fit.setIconText(tr("Fit"))
        self.fit_all = self._make("zoom_all", tr("F&it whole yard"), canvas.fit_all, "Ctrl+9")
        self.details = self._make("to_details", tr("Sho&w details"), canvas.details_requested, "")
        document.selection_changed.connect(self._refresh)
        document.yard_changed.connect(self._refresh)
        carrying.changed.connect(self._refresh)
        QGuiApplication.clipboard().dataChanged.connect(self._offer_paste)
        self._refresh()

    def _make(
        self, name: str, text: str, do: Callable[[], object] | SignalInstance, key: _Key
    ) -> QAction:
        action = QAction(text, self)
        action.setObjectName(f"action_{name}")
        if key:
            action.setShortcut(QKeySequence(key))
        action.setShortcutContext(Qt.ShortcutContext.WidgetWithChildrenShortcut)
        action.triggered.connect(do)
        return action

    def all(self) -> list[QAction]:
        """Every action, in the order of a menu."""
        return [
            self.add, self.duplicate, self.bench, self.split, self.join, self.rename, self.delete,
            self.left, self.right, self.shallower, self.deeper,
            self.cut, self.copy, self.paste, self.select_all,
            self.carry, self.carry_copy, self.details,
            self.zoom_in, self.zoom_out, self.fit, self.fit_all,
        ]  # fmt: skip

    def menu(self) -> list[QAction | None]:
        """The context menu; None is a line between groups."""
        return [
            self.details, self.rename, None,
            self.cut, self.copy, self.paste, self.duplicate, self.delete, self.select_all, None,
            self.bench, self.split, self.join, None,
            self.shallower, self.deeper, self.left, self.right,
            self.carry, self.carry_copy, None,
            self.add, self.fit, self.fit_all,
        ]  # fmt: skip

    def editing(self) -> list[QAction | None]:
        """What the Edit menu has, and what the season's rows can do as well."""
        return [
            self.cut, self.copy, self.paste, self.duplicate, self.delete, None,
            self.select_all, None, *self.of_benches(),
        ]  # fmt: skip

    def of_benches(self) -> list[QAction]:
        """What makes one row of many equal pots, and several again."""
        return [self.bench, self.split, self.join]

    def share_with(self, *views: QWidget) -> None:
        """Let views of layers in rows have the keys of the Edit menu as well."""
        self._row_views = (*self._row_views, *views)
        for view in views:
            view.addActions([each for each in self.editing() if each is not None])

    def show_in_sight(self, is_in_sight: bool) -> None:
        """Rest while another page is shown: nothing is to change unseen."""
        self._is_in_sight = is_in_sight
        self._refresh()

    def buttons(self) -> list[QAction]:
        """What stands as buttons over the picture."""
        return [self.add, self.duplicate, self.delete, self.zoom_out, self.zoom_in, self.fit]

    @Slot()
    def _refresh(self) -> None:
        document = self._document
        pot, layer = document.selected_pot(), document.selected_layer()
        seen, many = self._is_in_sight, document.selection.is_many
        for action in (self.duplicate, self.delete, self.cut, self.copy):
            action.setEnabled(seen and pot is not None)
        self.bench.setEnabled(seen and bool(self.benches.pots))
        self.split.setEnabled(seen and self.benches.can_split)
        self.join.setEnabled(seen and bool(self.benches.pots))
        self.details.setEnabled(pot is not None)
        for action in (self.rename, self.carry, self.carry_copy):
            action.setEnabled(pot is not None and not many)
        self.select_all.setEnabled(seen and bool(document.yard.pots))
        index = next(
            (i for i, each in enumerate(document.yard.pots) if pot and each.id == pot.id), 0
        )
        one = pot is not None and not many
        self.left.setEnabled(one and index > 0)
        self.right.setEnabled(one and index < len(document.yard.pots) - 1)
        self.shallower.setEnabled(one and layer is not None)
        self.deeper.setEnabled(one and layer is not None)
        self._offer_paste()
        for action in (self.zoom_in, self.zoom_out, self.fit, self.fit_all):
            action.setEnabled(bool(document.yard.pots))

    @Slot()
    def _rename(self) -> None:
        if self._document.pot_id is not None:
            self._canvas.rename(self._document.pot_id)

    @Slot()
    def _left(self) -> None:
        self._deeds.move_pot(-1)

    @Slot()
    def _right(self) -> None:
        self._deeds.move_pot(1)

    @Slot()
    def _shallower(self) -> None:
        self._deeds.move_layer(-1)

    @Slot()
    def _deeper(self) -> None:
        self._deeds.move_layer(1)

    @Slot()
    def _offer_paste(self) -> None:
        is_there = self._carrying.by_keys or has_parcel()
        self.paste.setEnabled(self._is_in_sight and is_there)

    @Slot()
    def _carry(self) -> None:
        self._canvas.setFocus()
        self._carrying.pick_up(copy=False)

    @Slot()
    def _carry_copy(self) -> None:
        self._canvas.setFocus()
        self._carrying.pick_up(copy=True)

    @Slot()
    def _cut(self) -> None:
        if not to_text("cut"):
            self._pasting.cut()

    @Slot()
    def _copy(self) -> None:
        if not to_text("copy"):
            self._pasting.copy()

    @Slot()
    def _paste(self) -> None:
        if to_text("paste"):
            return
        if self._carrying.by_keys:
            self._carrying.drop()
        else:
            self._pasting.paste()

    @Slot()
    def _duplicate(self) -> None:
        self._deeds.duplicate()

    @Slot()
    def _delete(self) -> None:
        if not to_text("del"):
            self._deeds.delete()

    @Slot()
    def _select_all(self) -> None:
        """All pots; where a layer is selected, all of its pot, and once more all of the yard.

        In the season's rows and their table all of them.
        """
        if to_text("selectAll"):
            return
        document, pot = self._document, self._document.selected_pot()
        in_rows = QApplication.focusWidget() in self._row_views
        if not in_rows and (not document.selection.parts or pot is None):
            document.select_all([each.id for each in document.yard.pots], current=document.pot_id)
            return
        parts = parts_of(pot)[1:] if pot is not None else []
        order = [name for name in map(name_of, parts) if name is not None]
        if in_rows or set(order) <= set(document.selection.parts):
            order = order_of(document.yard.pots, pots=False)
        document.select_all(order, current=document.layer_id or document.companion_id)
