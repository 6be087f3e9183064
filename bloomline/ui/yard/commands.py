"""The yard's actions, with their keys and when they can be used."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject, Qt, SignalInstance, Slot
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QWidget

from bloomline.ui.document import Document
from bloomline.ui.yard.carrying import Carrying
from bloomline.ui.yard.deeds import Deeds
from bloomline.ui.yard.hand import YardHand
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
        panel: QWidget,
    ) -> None:
        super().__init__(panel)
        self._document = document
        self._canvas = canvas
        self._carrying = carrying
        self._deeds = deeds
        self.add = self._make("add_pot", tr("&Add pot"), deeds.add_pot, "Insert")
        self.duplicate = self._make("duplicate", tr("D&uplicate"), deeds.duplicate, "Ctrl+D")
        self.rename = self._make("rename_pot", tr("Re&name pot"), self._rename, "F2")
        self.delete = self._make("delete", tr("&Delete"), deeds.delete, "Delete")
        self.left = self._make("pot_left", tr("Move pot &left"), self._left, "Ctrl+Left")
        self.right = self._make("pot_right", tr("Move pot ri&ght"), self._right, "Ctrl+Right")
        self.shallower = self._make(
            "layer_shallower", tr("Lay s&hallower"), self._shallower, "Ctrl+Up"
        )
        self.deeper = self._make("layer_deeper", tr("Lay deepe&r"), self._deeper, "Ctrl+Down")
        self.cut = self._make("cut", tr("Cu&t"), self._cut, QKeySequence.StandardKey.Cut)
        self.copy = self._make("copy", tr("&Copy"), self._copy, QKeySequence.StandardKey.Copy)
        self.paste = self._make(
            "paste", tr("&Paste here"), self._paste, QKeySequence.StandardKey.Paste
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
            self.add, self.duplicate, self.rename, self.delete,
            self.left, self.right, self.shallower, self.deeper,
            self.cut, self.copy, self.paste, self.details,
            self.zoom_in, self.zoom_out, self.fit, self.fit_all,
        ]  # fmt: skip

    def menu(self) -> list[QAction | None]:
        """The context menu; None is a line between groups."""
        return [
            self.details, self.rename, self.duplicate, self.delete, None,
            self.shallower, self.deeper, self.left, self.right, None,
            self.cut, self.copy, self.paste, None, self.add,
        ]  # fmt: skip

    def buttons(self) -> list[QAction]:
        """What stands as buttons over the picture."""
        return [self.add, self.duplicate, self.delete, self.zoom_out, self.zoom_in, self.fit]

    @Slot()
    def _refresh(self) -> None:
        document = self._document
        pot, layer = document.selected_pot(), document.selected_layer()
        for action in (self.duplicate, self.rename, self.delete, self.cut, self.copy, self.details):
            action.setEnabled(pot is not None)
        index = next(
            (i for i, each in enumerate(document.yard.pots) if pot and each.id == pot.id), 0
        )
        self.left.setEnabled(pot is not None and index > 0)
        self.right.setEnabled(pot is not None and index < len(document.yard.pots) - 1)
        self.shallower.setEnabled(layer is not None)
        self.deeper.setEnabled(layer is not None)
        self.paste.setEnabled(self._carrying.by_keys)
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
    def _cut(self) -> None:
        self._carrying.pick_up(copy=False)

    @Slot()
    def _copy(self) -> None:
        self._carrying.pick_up(copy=True)

    @Slot()
    def _paste(self) -> None:
        self._carrying.drop()
