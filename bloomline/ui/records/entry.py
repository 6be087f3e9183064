"""Quick entry: what was seen of which layer on which day, held against the forecast at once."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import partial

from pydantic import ValidationError
from PySide6.QtCore import QDate, QEvent, Qt, Slot
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import (
    QCheckBox,
    QDialog,
    QDialogButtonBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from bloomline.errors import BloomlineError
from bloomline.model.edits import add_record, change_record, next_id
from bloomline.model.problems import describe
from bloomline.model.yard import Record, Seen
from bloomline.plan.records.stages import SEEN_ORDER
from bloomline.plan.season.lesson import EntryVerdict, judge
from bloomline.plan.words.benches import pot_words
from bloomline.ui.document import Document
from bloomline.ui.dressed import CardFrame, say_as
from bloomline.ui.page_kit import start_folder
from bloomline.ui.records.entry_parts import DayEdit, LayerBox, NoteEdit, StageButtons
from bloomline.ui.records.photo import PhotoField
from bloomline.ui.records.words import forecast_words, readable, seen_words
from bloomline.ui.season_service import Beside, SeasonService
from bloomline.ui.theme import em
from bloomline.words import short_day_words, tr

_NEW_ID = "record-new"
_NEAR_DAYS = 200


@dataclass(frozen=True, slots=True)
class EntryStart:
    """What an entry begins with. layer_id, seen : None lets the dialog choose."""

    layer_id: str | None = None
    day: date | None = None
    seen: Seen | None = None


class EntryDialog(QDialog):
    """Notes one thing seen, or corrects it. What can hardly be right is questioned first."""

    def __init__(
        self,
        document: Document,
        service: SeasonService,
        *,
        record: Record | None = None,
        wish: EntryStart | None = None,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setObjectName("record_entry")
        self._document, self._service = document, service
        self._today, self._record = document.outlook.today, record
        self._verdict: EntryVerdict | None = None
        self._sure_of: Record | None = None
        self._is_due = False  # accepted as soon as the verdict is there
        self._beside = Beside(self)
        self._beside.answered.connect(self._take)
        title = tr("Note what is seen") if record is None else tr("Correct a record")
        self.setWindowTitle(title)
        self._make_parts()
        self._lay_out()
        self._fill(wish or EntryStart())
        self._connect()
        self._ask()

    # Parts

    def _make_parts(self) -> None:
        self.layer = LayerBox(self)
        self.layer.setAccessibleName(tr("Layer"))
        for pot, layer in self._document.yard.layers():
            name = self._document.cultivar(layer.cultivar_id).name
            self.layer.addItem(f"{name}, {pot_words(pot)}", layer.id)
        self.stages = StageButtons(self)
        self.day = DayEdit(self)
        self.day.setAccessibleName(tr("Day"))
        self.today = QPushButton(tr("&Today"), self)
        self.today.setObjectName("entry_today")
        self.looked_at = QPushButton(self)
        self.looked_at.setObjectName("entry_looked_at")
        for button in (self.today, self.looked_at):
            button.setAutoDefault(False)
        self.note = NoteEdit(self)
        self.note.setAccessibleName(tr("Note"))
        self.photo = PhotoField(self._document.path, start_folder(self._document), self)
        self.forecast = QLabel(self)
        self.forecast.setObjectName("entry_forecast")
        self.same = QLabel(self)
        say_as(self.same, "muted")
        for label in (self.forecast, self.same):
            label.setWordWrap(True)
            label.setTextFormat(Qt.TextFormat.PlainText)
        self.same.hide()
        self.question = CardFrame(self)
        self.question_words = QLabel(self.question)
        say_as(self.question_words, "warning")
        self.question_words.setWordWrap(True)
        self.question_words.setTextFormat(Qt.TextFormat.PlainText)
        self.sure = QCheckBox(tr("I &saw it on this day"), self.question)
        self.sure.setObjectName("entry_sure")
        inner = QVBoxLayout(self.question)
        inner.addWidget(self.question_words)
        inner.addWidget(self.sure)
        self.question.hide()
        self.refusal = QLabel(self)
        say_as(self.refusal, "caution")
        self.refusal.setWordWrap(True)
        self.refusal.hide()
        self.buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel, self)
        words = tr("&Note it") if self._record is None else tr("K&eep")
        self.keep = self.buttons.addButton(words, QDialogButtonBox.ButtonRole.AcceptRole)
        self.keep.setObjectName("entry_keep")
        self.keep.setDefault(True)

    def _lay_out(self) -> None:
        gap = round(em() * 0.6)
        days = QHBoxLayout()
        days.addWidget(self.day, 1)
        days.addWidget(self.today)
        days.addWidget(self.looked_at)
        form = QFormLayout()
        form.setVerticalSpacing(gap)
        form.setFieldGrowthPolicy(QFormLayout.FieldGrowthPolicy.AllNonFixedFieldsGrow)
        form.addRow(tr("&Layer"), self.layer)
        form.addRow(tr("&Day"), days)
        form.addRow("", self.forecast)
        form.addRow("", self.same)
        form.addRow(tr("N&ote"), self.note)
        form.addRow("", self.photo)
        # A row of a layout has no buddy of its own.
        for row, buddy in ((1, self.day),):
            item = form.itemAt(row, QFormLayout.ItemRole.LabelRole)
            label = None if item is None else item.widget()
            if isinstance(label, QLabel):
                label.setBuddy(buddy)
        column = QVBoxLayout(self)
        column.setSpacing(gap)
        column.addWidget(self.stages)
        column.addLayout(form)
        column.addWidget(self.question)
        column.addWidget(self.refusal)
        column.addStretch(1)
        column.addWidget(self.buttons)
        self.setMinimumWidth(round(em() * 34))

    def _connect(self) -> None:
        self.layer.currentIndexChanged.connect(self._ask)
        self.layer.editTextChanged.connect(self._ask)
        self.day.dateChanged.connect(self._ask)
        self.stages.chosen.connect(self._ask)
        self.today.clicked.connect(self._choose_today)
        self.looked_at.clicked.connect(self._choose_looked_at)
        self.note.done.connect(self.accept)
        self.sure.toggled.connect(self._forgive)
        self.buttons.accepted.connect(self.accept)
        self.buttons.rejected.connect(self.reject)

    def _fill(self, wish: EntryStart) -> None:
        record, looked_at = self._record, self._document.day
        layer_id = record.layer_id if record else wish.layer_id
        self.layer.setCurrentIndex(-1 if layer_id is None else self.layer.findData(layer_id))
        day = record.day if record else wish.day or self._today
        self.day.setDate(QDate(day.year, day.month, day.day))
        self.today.setVisible(record is None)
        is_other = looked_at < self._today and (self._today - looked_at).days < _NEAR_DAYS
        self.looked_at.setVisible(record is None and is_other)
        self.looked_at.setText(tr("Day loo&ked at: {day}", day=short_day_words(looked_at)))
        if record is not None:
            self.note.setPlainText(record.note)
            self.photo.show_photo(record.photo)
            self.sure.setChecked(bool(record.confirmed))
        self.stages.choose(record.seen if record else wish.seen or self._next_stage(layer_id))
        if record is not None and record.confirmed:
            self._sure_of = self.entered()
        where: QWidget = self.stages.buttons[self.stages.seen()] if layer_id else self.layer
        where.setFocus(Qt.FocusReason.OtherFocusReason)

    def _next_stage(self, layer_id: str | None) -> Seen:
        """The stage after the last one noted of the layer lately; first flower without any."""
        near = [
            SEEN_ORDER.index(record.seen)
            for record in self._document.yard.records
            if record.layer_id == layer_id and 0 <= (self._today - record.day).days < _NEAR_DAYS
        ]
        if not near:
            return "first-flower"
        return SEEN_ORDER[min(max(near) + 1, len(SEEN_ORDER) - 1)]

    # What is entered

    def entered(self) -> Record | None:
        """The record as it stands in the fields; None while no layer is chosen."""
        layer_id = self.layer.layer_id()
        if layer_id is None:
            return None
        shown = self.day.date()
        return Record(
            id=self._record.id if self._record else _NEW_ID,
            day=date(shown.year(), shown.month(), shown.day()),
            layer_id=layer_id,
            seen=self.stages.seen(),
        )

    @Slot()
    def _choose_today(self) -> None:
        self._choose_day(self._today)

    @Slot()
    def _choose_looked_at(self) -> None:
        self._choose_day(self._document.day)

    def _choose_day(self, day: date) -> None:
        self.day.setDate(QDate(day.year, day.month, day.day))
        self.day.setFocus(Qt.FocusReason.OtherFocusReason)

    @Slot(bool)
    def _forgive(self, is_sure: bool) -> None:
        self._sure_of = self.entered() if is_sure else None
        self.refusal.hide()

    # Held against the forecast

    @Slot()
    def _ask(self, *_: object) -> None:
        entered = self.entered()
        self._is_due = False
        self.refusal.hide()
        if entered is None:
            self._verdict = None
            self._beside.drop()
            self.forecast.setText("")
            self._show_question("")
            return
        if self._verdict is not None and self._verdict.record == entered:
            return
        self._verdict = None
        if not self.forecast.text():
            self.forecast.setText(tr("Working out the forecast…"))
        self._beside.ask(partial(judge, self._document.outlook, entered))

    @Slot(object)
    def _take(self, answer: object) -> None:
        if isinstance(answer, BloomlineError):
            self.forecast.setText(str(answer))
            self._show_question("")
            self._close_if_due()
            return
        if not isinstance(answer, EntryVerdict) or answer.record != self.entered():
            return
        self._verdict = answer
        self.forecast.setText(forecast_words(answer))
        self.forecast.setAccessibleName(self.forecast.text())
        seen = [short_day_words(each.day) for each in answer.same]
        words = ""
        if seen:
            words = tr(
                "Noted already for {year}: {what}, {days}",
                year=answer.season_year,
                what=seen_words(answer.record.seen).lower(),
                days=", ".join(seen[:4]),
            )
        self.same.setText(words)
        self.same.setVisible(bool(words))
        self._show_question(answer.question)
        self._close_if_due()

    def _show_question(self, words: str) -> None:
        words = readable(words)
        self.question_words.setText(words)
        self.question.setAccessibleName(words)
        self.question.setVisible(bool(words))
        if words and self._sure_of != self.entered():
            self.sure.setChecked(False)  # it was said of another day

    def _close_if_due(self) -> None:
        if self._is_due:
            self._is_due = False
            self.accept()

    # Keys and ends

    def keyPressEvent(self, event: QKeyEvent) -> None:
        # Only keys that no field wanted come here: a digit typed into a note stays there.
        digit = event.key() - int(Qt.Key.Key_1)
        if 0 <= digit < len(SEEN_ORDER) and not event.modifiers() & ~(
            Qt.KeyboardModifier.KeypadModifier | Qt.KeyboardModifier.AltModifier
        ):
            self.stages.buttons[SEEN_ORDER[digit]].click()
            return
        super().keyPressEvent(event)

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "stages"):
            self.stages.dress()

    def _refuse(self, words: str, where: QWidget) -> None:
        self.refusal.setText(words)
        self.refusal.setAccessibleName(words)
        self.refusal.show()
        where.setFocus(Qt.FocusReason.OtherFocusReason)

    def accept(self) -> None:
        entered = self.entered()
        if entered is None:
            self._refuse(tr("Choose a layer from the list."), self.layer)
            return
        if self._verdict is None and self._beside.is_busy:
            self._is_due = True  # the answer is a moment away
            return
        for each in self._verdict.same if self._verdict else ():
            if each.day == entered.day:
                self._refuse(tr("This is noted already."), self.day)
                return
        is_odd = self._verdict is not None and bool(self._verdict.question)
        if is_odd and not self.sure.isChecked():
            self._refuse(tr("Correct it, or tick that you saw it on this day."), self.sure)
            return
        confirmed = True if is_odd else None
        if self._record is not None and self._sure_of == entered:
            confirmed = self._record.confirmed or confirmed
        if self._keep(entered, confirmed=confirmed):
            super().accept()

    def _keep(self, entered: Record, *, confirmed: bool | None) -> bool:
        note = self.note.toPlainText().strip()
        fields = {
            "day": entered.day,
            "layer_id": entered.layer_id,
            "seen": entered.seen,
            "note": note,
            "photo": self.photo.kept,
            "confirmed": confirmed,
        }
        yard = self._document.yard
        words = tr("Correct a record")
        try:
            if self._record is not None:
                after = change_record(yard, self._record.id, **fields)
            else:
                words, name = tr("Note what is seen"), next_id(yard, "record")
                after = add_record(yard, Record.model_validate({"id": name, **fields}))
        except BloomlineError as error:
            self._refuse(str(error), self.note)
            return False
        except ValidationError as error:  # a note or path that a yard's file can't hold
            self._refuse("; ".join(describe(error)[:2]), self.note)
            return False
        self._document.edit(words, lambda _yard: after)
        return True

    def done(self, result: int) -> None:
        self.stop()
        super().done(result)

    def stop(self) -> None:
        """End the work beside the window; safe to call twice."""
        self._beside.stop()
        self.photo.stop()
