"""A small window with all that is known of a kind on the shelf."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QTextBrowser, QVBoxLayout, QWidget

from bloomline.ui.hands.plain import shown
from bloomline.ui.theme import em
from bloomline.words import tr


class FactsDialog(QDialog):
    """Shows facts that can be read at leisure and copied."""

    def __init__(self, name: str, html: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("shelf_facts")
        self.setWindowTitle(shown(name))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.text = QTextBrowser(self)
        self.text.setAccessibleName(tr("Facts about {name}", name=name))
        self.text.setHtml(html)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close, self)
        buttons.rejected.connect(self.reject)
        column = QVBoxLayout(self)
        column.addWidget(self.text)
        column.addWidget(buttons)
        self.resize(round(em() * 30), round(em() * 24))
