"""Where own kinds come from in the window: actions for menus and keys, and their dialogs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Qt, Signal, Slot
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QDialog, QWidget

from bloomline.errors import BloomlineError
from bloomline.model.edits import change_layer
from bloomline.model.kind_edits import own_kind, put_kind
from bloomline.model.yard import Yard
from bloomline.plan.kinds.prices import with_pack
from bloomline.plan.kinds.table import keep_shared, load_shared
from bloomline.ui.document import Document
from bloomline.words import tr

if TYPE_CHECKING:
    from bloomline.ui.kinds.mixture_dialog import MixtureDialog
    from bloomline.ui.kinds.own_kinds import OwnKindsDialog
    from bloomline.ui.kinds.packet_dialog import PacketDialog


class KindsDesk(QObject):
    """Opens the dialogs for own kinds, one at a time, and makes edits of what they give."""

    told = Signal(str)
    made = Signal(str)
    """A kind is new on the shelf, or another (its id)."""
    plant_asked = Signal(str)
    """Plant this kind in the selected pot (its id)."""

    def __init__(self, document: Document, widget: QWidget) -> None:
        super().__init__(widget)
        self._document, self._widget = document, widget
        self.dialog: QDialog | None = None
        self.list: OwnKindsDialog | None = None
        self.packet_action = QAction(tr("A &kind from its packet…"), self)
        self.packet_action.setObjectName("action_packet")
        self.packet_action.setShortcut(QKeySequence("Ctrl+K"))
        self.packet_action.triggered.connect(self.new_packet)
        self.mix_action = QAction(tr("A &mixture…"), self)
        self.mix_action.setObjectName("action_mixture")
        self.mix_action.triggered.connect(self.new_mixture)
        self.list_action = QAction(tr("O&wn kinds…"), self)
        self.list_action.setObjectName("action_own_kinds")
        self.list_action.triggered.connect(self.show_list)

    def actions(self) -> list[QAction]:
        """Actions for the menus."""
        return [self.packet_action, self.mix_action, self.list_action]

    def load_kept(self) -> None:
        """Offer the kinds kept for all yards; what is wrong with their file is told."""
        kinds, problem = load_shared()
        self._document.offer_kept(kinds)
        if problem:
            self.told.emit(tr("Kinds kept for all yards can't be read: {problem}", problem=problem))

    # Packets

    @Slot()
    def new_packet(self) -> None:
        """Make a kind from its packet."""
        self.open_packet("")

    @Slot(str)
    def open_packet(self, name: str) -> None:
        """Make a kind from its packet, by a name that is in no list."""
        self._open_packet(name=name)

    def _open_packet(self, *, name: str = "", kind_id: str | None = None) -> None:
        from bloomline.ui.kinds.packet_dialog import PacketDialog

        if self.dialog is not None:
            return
        document = self._document
        pot = document.selected_pot()
        dialog = PacketDialog(
            document.outlook,
            name=name,
            kept=None if kind_id is None else own_kind(document.yard, kind_id),
            plant_in="" if pot is None else pot.name,
            can_mix=True,
            parent=self._parent(),
        )
        dialog.accepted.connect(lambda: self._take_packet(dialog))
        dialog.mixture_requested.connect(self._mix_named)
        self._show(dialog)

    def _take_packet(self, dialog: PacketDialog) -> None:
        made = dialog.made
        if made is None:
            return
        kind = made.kind

        def change(yard: Yard) -> Yard:
            return with_pack(put_kind(yard, kind), kind.id, pack=made.pack, price=made.price)

        is_new = all(each.id != kind.id for each in self._document.yard.own_cultivars)
        name = tr("Add a kind") if is_new else tr("Change a kind")
        self._document.edit(name, change)
        self.made.emit(kind.id)
        if dialog.plants:
            self.plant_asked.emit(kind.id)

    # Mixtures

    @Slot()
    def new_mixture(self) -> None:
        """Mix kinds into one that can be planted."""
        self._open_mixture()

    @Slot(str)
    def _mix_named(self, name: str) -> None:
        self._open_mixture(name=name)

    @Slot(str)
    def mix_layer(self, layer_id: str) -> None:
        """Make the bulbs of a layer a mixture, or change the mixture that they are."""
        layer = self._document.yard.layer(layer_id)[1]
        known = [each.id for each in self._document.yard.own_cultivars if each.parts]
        if layer.cultivar_id in known:
            self._open_mixture(kind_id=layer.cultivar_id)
        else:
            self._open_mixture(layer_id=layer_id)

    def _open_mixture(
        self, *, name: str = "", kind_id: str | None = None, layer_id: str | None = None
    ) -> None:
        from bloomline.ui.kinds.mixture_dialog import MixtureDialog

        if self.dialog is not None:
            return
        document = self._document
        begin = None
        if layer_id is not None:
            begin = document.cultivar(document.yard.layer(layer_id)[1].cultivar_id)
        dialog = MixtureDialog(
            document.outlook,
            kept=None if kind_id is None else own_kind(document.yard, kind_id),
            begin_with=begin,
            name=name,
            parent=self._parent(),
        )
        dialog.accepted.connect(lambda: self._take_mixture(dialog, layer_id))
        self._show(dialog)

    def _take_mixture(self, dialog: MixtureDialog, layer_id: str | None) -> None:
        mixture = dialog.made
        if mixture is None:
            return

        def change(yard: Yard) -> Yard:
            mixed = put_kind(yard, mixture)
            if layer_id is None:
                return mixed
            return change_layer(mixed, layer_id, cultivar_id=mixture.id)

        self._document.edit(tr("Mix kinds"), change)
        self.made.emit(mixture.id)

    # The list

    @Slot()
    def show_list(self) -> None:
        """Show all kinds of the yard's own."""
        from bloomline.ui.kinds.own_kinds import OwnKindsDialog

        if self.list is not None:
            return
        dialog = OwnKindsDialog(self._document, self._widget)
        dialog.edit_asked.connect(self.edit)
        dialog.new_asked.connect(self.new_packet)
        dialog.mix_asked.connect(self.new_mixture)
        dialog.keep_asked.connect(self.keep)
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.finished.connect(self._list_closed)
        self.list = dialog
        dialog.open()

    @Slot(str)
    def edit(self, kind_id: str) -> None:
        """Change an own kind, by its packet or its parts."""
        if own_kind(self._document.yard, kind_id).parts:
            self._open_mixture(kind_id=kind_id)
        else:
            self._open_packet(kind_id=kind_id)

    @Slot(str)
    def keep(self, kind_id: str) -> None:
        """Keep a kind for all yards."""
        kind = own_kind(self._document.yard, kind_id)
        try:
            keep_shared([kind])
        except (BloomlineError, OSError) as error:
            told = tr("It can't be kept: {error}", error=error)
            (self.told.emit if self.list is None else self.list.complain)(told)
            return
        self._document.offer_kept(load_shared()[0])
        told = tr("{name} is kept for your other yards.", name=kind.name)
        (self.told.emit if self.list is None else self.list.tell)(told)

    def _parent(self) -> QWidget:
        return self._widget if self.list is None else self.list

    def _show(self, dialog: QDialog) -> None:
        dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        dialog.finished.connect(self._closed)
        self.dialog = dialog
        dialog.open()

    @Slot(int)
    def _closed(self, _result: int) -> None:
        self.dialog = None

    @Slot(int)
    def _list_closed(self, _result: int) -> None:
        self.list = None

    def stop(self) -> None:
        """End what runs; safe to call twice."""
        for dialog in (self.dialog, self.list):
            if dialog is not None:
                dialog.reject()
