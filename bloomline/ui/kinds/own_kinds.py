"""All kinds of the yard's own: change, mix, take out, exchange, keep for other yards."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QHBoxLayout,
    QLabel,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from bloomline.errors import BloomlineError
from bloomline.model.kind_edits import remove_kind, where_used
from bloomline.model.yard import OwnCultivar
from bloomline.plan.kinds.mixtures import parts_words
from bloomline.plan.kinds.packet import dates_words
from bloomline.plan.kinds.table import read_kinds, take_kinds, write_kinds
from bloomline.ui.document import Document
from bloomline.ui.dressed import say_as
from bloomline.ui.hands.plain import shown
from bloomline.ui.page_kit import ask_save_path, ask_table_path, start_folder
from bloomline.ui.theme import em
from bloomline.words import listed, plural, tr

_ID = int(Qt.ItemDataRole.UserRole)
_MOST_PLACES = 3


class OwnKindsDialog(QDialog):
    """The list, with what can be done with the chosen one."""

    edit_asked = Signal(str)
    keep_asked = Signal(str)
    new_asked = Signal()
    mix_asked = Signal()

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("own_kinds")
        self.setWindowTitle(tr("Own kinds"))
        self._document = document
        self.list = QListWidget(self)
        self.list.setObjectName("own_kinds_list")
        self.list.setAccessibleName(tr("Kinds of the yard's own"))
        self.list.setWordWrap(True)
        self.list.setAlternatingRowColors(True)
        self.list.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.told = QLabel(self)
        say_as(self.told, "muted")
        self.told.setWordWrap(True)
        self.told.setTextFormat(Qt.TextFormat.PlainText)
        side = QVBoxLayout()
        self.buttons: dict[str, QPushButton] = {}
        wanted: tuple[tuple[str, str, Callable[[], object]], ...] = (
            ("new", tr("From a &packet…"), self.new_asked.emit),
            ("mix", tr("A &mixture…"), self.mix_asked.emit),
            ("edit", tr("&Change…"), self._edit),
            ("remove", tr("&Take out"), self._remove),
            ("keep", tr("&Keep for other yards"), self._keep),
            ("import", tr("&Import…"), self.ask_import),
            ("export", tr("E&xport…"), self.ask_export),
        )
        for name, words, what in wanted:
            button = QPushButton(words, self)
            button.setObjectName(f"own_kinds_{name}")
            button.setAutoDefault(False)
            button.clicked.connect(lambda _=False, what=what: what())
            self.buttons[name] = button
            side.addWidget(button)
        side.addStretch(1)
        row = QHBoxLayout()
        row.addWidget(self.list, 1)
        row.addLayout(side)
        close = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        close.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.addLayout(row, 1)
        column.addWidget(self.told)
        column.addWidget(close)
        self.resize(round(em() * 44), round(em() * 24))
        self.list.itemActivated.connect(self._edit)
        self.list.currentRowChanged.connect(self._enable)
        document.yard_changed.connect(self._fill)
        document.refused.connect(self.complain)
        self._fill()

    @Slot(str)
    def complain(self, words: str) -> None:
        """Say under the list what could not be done."""
        self.tell(words, kind="caution")

    def tell(self, words: str, *, kind: str = "muted") -> None:
        """Say something under the list."""
        if self.told.objectName() != kind:
            say_as(self.told, kind)
        self.told.setText(shown(words))

    def chosen(self) -> str | None:
        """Id of the chosen kind."""
        item = self.list.currentItem()
        return None if item is None else str(item.data(_ID))

    @Slot()
    def _fill(self, *_: object) -> None:
        keep = self.chosen()
        self.list.clear()
        for kind in self._document.yard.own_cultivars:
            item = QListWidgetItem(f"{shown(kind.name)}\n{self._about(kind)}", self.list)
            item.setData(_ID, kind.id)
            if kind.id == keep:
                self.list.setCurrentItem(item)
        if self.list.currentItem() is None and self.list.count():
            self.list.setCurrentRow(0)
        if not self.list.count():
            self.tell(tr("This yard has no kinds of its own yet."))
        else:
            self.tell("")
        self._enable()

    def _about(self, kind: OwnCultivar) -> str:
        about = parts_words(kind) or dates_words(kind)
        places = where_used(self._document.yard, kind.id)
        if places:
            where = listed([shown(each) for each in places], most=_MOST_PLACES)
            return tr("{about}; in {places}", about=about, places=where)
        return tr("{about}; planted nowhere", about=about)

    @Slot()
    def _enable(self, *_: object) -> None:
        there = self.chosen() is not None
        for name in ("edit", "remove", "keep"):
            self.buttons[name].setEnabled(there)
        self.buttons["export"].setEnabled(bool(self._document.yard.own_cultivars))

    @Slot()
    def _edit(self, *_: object) -> None:
        chosen = self.chosen()
        if chosen is not None:
            self.edit_asked.emit(chosen)

    def _keep(self) -> None:
        chosen = self.chosen()
        if chosen is not None:
            self.keep_asked.emit(chosen)

    def _remove(self) -> None:
        chosen = self.chosen()
        if chosen is not None:
            self._document.edit(tr("Take out a kind"), lambda yard: remove_kind(yard, chosen))

    def ask_import(self) -> None:
        """Ask for a table and take its kinds in."""
        path = ask_table_path(self, title=tr("Import kinds"), document=self._document)
        if path is not None:
            self.take_in(path)

    def take_in(self, path: Path) -> None:
        """Take the kinds of a table in, as one step to undo; a bad table changes nothing."""
        try:
            kinds = read_kinds(path)
        except BloomlineError as error:
            self.complain(str(error))
            return
        self._document.edit(tr("Import kinds"), lambda yard: take_kinds(yard, kinds))
        self.tell(plural("{n} kind taken in.", "{n} kinds taken in.", len(kinds)))

    def ask_export(self) -> None:
        """Ask for a file and write all own kinds to it."""
        document = self._document
        stem = document.path.stem if document.path else "yard"
        path = ask_save_path(
            self,
            title=tr("Export kinds"),
            proposed=start_folder(document) / f"{stem}-kinds.csv",
            kind=tr("Table (*.csv)"),
        )
        if path is not None:
            self.write(path)

    def write(self, path: Path) -> None:
        """Write all own kinds to a table."""
        kinds = self._document.yard.own_cultivars
        try:
            write_kinds(path, kinds)
        except BloomlineError as error:
            self.complain(str(error))
            return
        self.tell(plural("{n} kind written.", "{n} kinds written.", len(kinds)))
