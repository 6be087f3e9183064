"""Fields of the dialogs for own kinds: each with a line below for what is questioned."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPixmap, QValidator
from PySide6.QtWidgets import QComboBox, QCompleter, QFormLayout, QLabel, QVBoxLayout, QWidget

from bloomline.ui.dressed import say_as
from bloomline.ui.theme import em
from bloomline.ui.units import LengthSpinBox, Units
from bloomline.words import tr


class UsualLength(LengthSpinBox):
    """A length that may be left as it is usual for the class; 0 stands for that."""

    def show_usual(self, usual_cm: float, units: Units) -> None:
        """Show what is usual while nothing is typed."""
        shown = units.length(usual_cm, decimals=1)
        self.setSpecialValueText(tr("as usual: {length}", length=shown))

    def given_cm(self) -> float | None:
        """The length that was typed; None while it is as usual. [cm]"""
        return self.length_cm if self.length_cm > 0.0 else None

    def validate(self, text: str, pos: int) -> tuple[QValidator.State, str, int]:
        if text in ("", self.specialValueText()):
            return QValidator.State.Acceptable, text, pos
        return super().validate(text, pos)

    def valueFromText(self, text: str) -> float:
        if text in ("", self.specialValueText()):
            return 0.0
        return super().valueFromText(text)


class AskedRow:
    """A field in a form, and the words under it."""

    def __init__(self, form: QFormLayout, label: str, field: QWidget, *, about: str = "") -> None:
        holder = QWidget()
        column = QVBoxLayout(holder)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(round(em() * 0.1))
        column.addWidget(field)
        self.field = field
        self.words = QLabel(holder)
        say_as(self.words, "caution")
        self.words.setWordWrap(True)
        self.words.setTextFormat(Qt.TextFormat.PlainText)
        self.words.hide()
        column.addWidget(self.words)
        form.addRow(label, holder)
        told = form.labelForField(holder)
        if isinstance(told, QLabel):
            told.setBuddy(field)
        field.setAccessibleName(label.replace("&", ""))
        if about:
            field.setToolTip(about)
            field.setAccessibleDescription(about)

    def tell(self, words: str) -> None:
        """Show what is questioned; nothing for no words."""
        words = words[:1].upper() + words[1:]
        if words != self.words.text() or bool(words) == self.words.isHidden():
            self.words.setText(words)
            # A form gives a row no more height than one line wants.
            self.words.setMinimumHeight(self.words.heightForWidth(self.field.width()))
            self.words.setVisible(bool(words))


def swatch(colour_hex: str, second_hex: str | None = None) -> QIcon:
    """A small picture of petals."""
    side = round(em())
    picture = QPixmap(QSize(side, side) * 2)
    picture.setDevicePixelRatio(2.0)
    picture.fill(Qt.GlobalColor.transparent)
    painter = QPainter(picture)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.setPen(QColor("#777777"))
    painter.setBrush(QColor(colour_hex))
    painter.drawEllipse(1, 1, side - 2, side - 2)
    if second_hex is not None:
        painter.setBrush(QColor(second_hex))
        painter.drawPie(1, 1, side - 2, side - 2, -90 * 16, 180 * 16)
    painter.end()
    return QIcon(picture)


def search_box(parent: QWidget, *, letters: int = 20) -> QComboBox:
    """A list that is also typed in, with what holds the letters offered."""
    box = QComboBox(parent)
    box.setEditable(True)
    box.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
    box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
    box.setMinimumContentsLength(letters)
    box.setMaxVisibleItems(14)
    completer = QCompleter(box.model(), box)
    box.setCompleter(completer)
    completer.setFilterMode(Qt.MatchFlag.MatchContains)
    completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
    completer.setCompletionMode(QCompleter.CompletionMode.PopupCompletion)
    return box
