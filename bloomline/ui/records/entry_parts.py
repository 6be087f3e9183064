"""Pieces of the entry dialog: which layer, which day, which stage, a note."""

from __future__ import annotations

from PySide6.QtCore import QDate, QSize, Qt, Signal, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QButtonGroup,
    QComboBox,
    QCompleter,
    QDateTimeEdit,
    QGridLayout,
    QPlainTextEdit,
    QSizePolicy,
    QToolButton,
    QWidget,
)

from bloomline.model.yard import Seen
from bloomline.plan.records.stages import SEEN_ORDER
from bloomline.ui.details.spin_fields import QuietDateEdit
from bloomline.ui.records.marks import stage_icon
from bloomline.ui.records.words import seen_words
from bloomline.ui.theme import current_theme, em, tone_of
from bloomline.words import tr


class LayerBox(QComboBox):
    """A layer by the names of its cultivar and pot; typing any part of them finds it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("entry_layer")
        self.setEditable(True)
        self.setInsertPolicy(QComboBox.InsertPolicy.NoInsert)
        self.setMaxVisibleItems(14)
        self.setMinimumContentsLength(28)
        self.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        completer = QCompleter(self.model(), self)
        completer.setCaseSensitivity(Qt.CaseSensitivity.CaseInsensitive)
        completer.setFilterMode(Qt.MatchFlag.MatchContains)
        completer.setMaxVisibleItems(12)
        self.setCompleter(completer)
        edit = self.lineEdit()
        assert edit is not None
        edit.setPlaceholderText(tr("Type part of a name"))
        edit.editingFinished.connect(self._settle)

    def layer_id(self) -> str | None:
        """The layer meant; None while the words name none."""
        at = self._meant()
        return None if at < 0 else str(self.itemData(at))

    def _meant(self) -> int:
        """The entry that is chosen, else the only one that holds what is typed; −1 for none."""
        text, at = self.currentText(), self.currentIndex()
        if at >= 0 and self.itemText(at) == text:
            return at
        typed = text.strip().casefold()
        if not typed:
            return -1
        names = [self.itemText(each).casefold() for each in range(self.count())]
        fits = [each for each, name in enumerate(names) if typed in name]
        exact = [each for each in fits if names[each] == typed]
        return (exact or fits)[0] if len(exact or fits) == 1 else -1

    @Slot()
    def _settle(self) -> None:
        """Write out the layer that is meant."""
        at = self._meant()
        if at >= 0:
            self.setCurrentIndex(at)
            self.setEditText(self.itemText(at))


class DayEdit(QuietDateEdit):
    """A day that steps by days over the ends of months, and tells every step at once."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("entry_day")
        self.setKeyboardTracking(True)
        self.setDateRange(QDate(1900, 1, 1), QDate(2200, 12, 31))

    def stepBy(self, steps: int) -> None:
        if self.currentSection() in (
            QDateTimeEdit.Section.DaySection,
            QDateTimeEdit.Section.NoSection,
        ):
            self.setDate(self.date().addDays(steps))
            self.setSelectedSection(QDateTimeEdit.Section.DaySection)
        else:
            super().stepBy(steps)

    def stepEnabled(self) -> QDateTimeEdit.StepEnabledFlag:
        return QDateTimeEdit.StepEnabledFlag.StepUpEnabled | (
            QDateTimeEdit.StepEnabledFlag.StepDownEnabled
        )


class StageButtons(QWidget):
    """Four large choices; one is always chosen."""

    chosen = Signal(object)
    """A stage (Seen)."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName(tr("What was seen"))
        self._group = QButtonGroup(self)
        self.buttons: dict[Seen, QToolButton] = {}
        row = QGridLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(round(em() * 0.4))
        for at, seen in enumerate(SEEN_ORDER):
            button = QToolButton(self)
            button.setObjectName(f"entry_{seen}")
            button.setIcon(stage_icon(seen))
            button.setIconSize(QSize(round(em() * 1.7), round(em() * 1.7)))
            # The digit as its mnemonic: Alt and the digit work while a field is typed in.
            button.setText(f"&{at + 1}  {seen_words(seen)}")
            button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextUnderIcon)
            button.setCheckable(True)
            button.setAccessibleName(seen_words(seen))
            button.setAccessibleDescription(tr("Key {digit}", digit=at + 1))
            button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
            button.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
            button.setMinimumSize(round(em() * 7.2), round(em() * 3.6))
            self._group.addButton(button, at)
            self.buttons[seen] = button
            row.addWidget(button, 0, at)
            row.setColumnStretch(at, 1)
        self._group.idClicked.connect(self._tell)
        self.choose("first-flower")
        self.dress()

    def dress(self) -> None:
        """Take the colours of light or dark."""
        tone = tone_of(current_theme())
        self.setStyleSheet(
            f"QToolButton {{ border: 1px solid {tone.line}; border-radius: 6px; padding: 5px;"
            f" background: {tone.panel}; color: {tone.ink}; }}"
            f"QToolButton:hover {{ border-color: {tone.muted}; }}"
            f"QToolButton:checked {{ border: 2px solid {tone.accent}; background: {tone.raised};"
            f" font-weight: 600; }}"
            f"QToolButton:focus {{ border: 2px solid {tone.focus}; }}"
        )

    def seen(self) -> Seen:
        """The stage chosen."""
        return SEEN_ORDER[max(0, self._group.checkedId())]

    def choose(self, seen: Seen) -> None:
        """Choose a stage."""
        self.buttons[seen].setChecked(True)

    @Slot(int)
    def _tell(self, at: int) -> None:
        self.chosen.emit(SEEN_ORDER[at])

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(Qt.Key(event.key()))
        if step is None:
            super().keyPressEvent(event)
            return
        at = (SEEN_ORDER.index(self.seen()) + step) % len(SEEN_ORDER)
        button = self.buttons[SEEN_ORDER[at]]
        button.setFocus(Qt.FocusReason.OtherFocusReason)
        button.click()


class NoteEdit(QPlainTextEdit):
    """A note of a line or two; Enter is done, Shift+Enter a new line."""

    done = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("entry_note")
        self.setTabChangesFocus(True)
        self.setPlaceholderText(tr("Shift+Enter for a new line"))
        self.setFixedHeight(round(em() * 3.4))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        is_enter = event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if is_enter and not event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            self.done.emit()
            return
        if event.modifiers() & Qt.KeyboardModifier.AltModifier and event.text().isdigit():
            event.ignore()  # a stage, not a digit of the note
            return
        super().keyPressEvent(event)
