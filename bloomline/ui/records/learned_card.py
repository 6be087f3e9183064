"""What the yard learned: its offset, the season with and without, and what is questioned."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import (
    QAbstractItemView,
    QCheckBox,
    QHBoxLayout,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QScrollArea,
    QVBoxLayout,
    QWidget,
)

from bloomline.plan.forecast.later import LaterItems
from bloomline.plan.records.stages import PRIOR_SD_DAYS
from bloomline.plan.season.lesson import Lesson
from bloomline.reference.sites import load_sites
from bloomline.ui.details.cards import Card, wrapping
from bloomline.ui.document import Document
from bloomline.ui.quiet_table import Line, QuietTable
from bloomline.ui.records.words import offset_words, plain_days, readable, record_words, signed_days
from bloomline.ui.theme import em
from bloomline.words import plural, short_day_words, short_span_words, tr

_ID_ROLE = Qt.ItemDataRole.UserRole
_MOST_QUESTIONS = 200


class LearnedCard(QScrollArea):
    """Cards below each other, for the side of the page."""

    correct_asked = Signal(str)
    confirm_asked = Signal(str)

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self.setObjectName("learned")
        self.setAccessibleName(tr("What the yard learned"))
        self.setWidgetResizable(True)
        self.setFrameShape(QScrollArea.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        holder = QWidget(self)
        self._column = QVBoxLayout(holder)
        self._column.setContentsMargins(0, 0, 0, 0)
        self._column.setSpacing(round(em() * 0.6))
        self._make_offset()
        self._make_questions()
        self._make_firsts()
        self._column.addStretch(1)
        self.setWidget(holder)
        document.use_records_changed.connect(self._follow_use)
        self.show_lesson(None)

    # Parts

    def _make_offset(self) -> None:
        card = Card(tr("What the yard learned"), self)
        self.words = wrapping("", "", card)
        self.offsets = QuietTable(
            card,
            name="learned_offsets",
            heads=(
                tr("Own offset"),
                tr("Days"),
                tr("Give or take"),
                tr("Records"),
            ),
            wide=0,
        )
        self.offsets.setAccessibleName(tr("The yard's own offset, without and with records"))
        self.note = wrapping(
            tr(
                "Days that flowers come later (+) or earlier (−) than the model says for this "
                "place. Give or take: in two cases of three it lies within that."
            ),
            "muted",
            card,
        )
        self.use = QCheckBox(tr("Forecasts use the records"), card)
        self.use.setObjectName("use_records")
        self.use.setChecked(self._document.use_records)
        self.use.toggled.connect(self._document.look_with_records)
        for widget in (self.words, self.offsets, self.note, self.use):
            card.column.addWidget(widget)
        self._column.addWidget(card)

    def _make_questions(self) -> None:
        card = Card(tr("Questions"), self)
        self.question_card = card
        self.question_words = wrapping("", "caution", card)
        self.questions = QListWidget(card)
        self.questions.setObjectName("questions")
        self.questions.setAccessibleName(tr("Entries that are questioned"))
        self.questions.setWordWrap(True)
        self.questions.setAlternatingRowColors(True)
        self.questions.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.questions.setVerticalScrollMode(QAbstractItemView.ScrollMode.ScrollPerPixel)
        self.questions.itemActivated.connect(self._correct)
        self.correct = QPushButton(tr("Correct…"), card)
        self.correct.setObjectName("question_correct")
        self.correct.clicked.connect(self._correct)
        self.right = QPushButton(tr("It is right"), card)
        self.right.setObjectName("question_right")
        self.right.clicked.connect(self._confirm)
        row = QHBoxLayout()
        row.addWidget(self.correct)
        row.addWidget(self.right)
        row.addStretch(1)
        card.column.addWidget(self.question_words)
        card.column.addWidget(self.questions)
        card.column.addLayout(row)
        self._column.addWidget(card)

    def _make_firsts(self) -> None:
        card = Card("", self)
        card.heading.setVisible(True)
        self.firsts_card = card
        self.firsts = QuietTable(
            card,
            name="learned_firsts",
            heads=(
                tr("Cultivar"),
                tr("Without"),
                tr("With records"),
                tr("Days"),
            ),
            wide=0,
        )
        self.firsts.setAccessibleName(tr("First flower without and with the records"))
        card.column.addWidget(self.firsts)
        self._column.addWidget(card)

    # What is shown

    def show_lesson(self, lesson: Lesson | None) -> None:
        """Show what was learned; None while it is worked out."""
        if lesson is None:
            self.words.setText(tr("Working it out…"))
            self.offsets.setVisible(False)
            self.question_card.hide()
            self.firsts_card.hide()
            return
        learned = lesson.learned
        self.words.setText(self._lesson_words(lesson))
        rows = [(tr("Without records"), signed_days(0.0, 1), self._pm(PRIOR_SD_DAYS), "")]
        if learned.n_records:
            rows.append(
                (
                    tr("With records"),
                    signed_days(learned.offset_days, 1),
                    self._pm(learned.sd_days),
                    str(learned.n_records),
                )
            )
            sites = load_sites()
            for site, (days, sd) in sorted(learned.by_site.items()):
                n = sum(fact.site == site for fact in learned.counted)
                name = tr("of these, {site}", site=tr(sites[site].label))
                rows.append((name, signed_days(days, 1), self._pm(sd), str(n)))
            rows += [
                (each.name, signed_days(each.days, 1), self._pm(each.sd_days), str(each.n_records))
                for each in learned.by_kind.values()
            ]
        self.offsets.show_lines([Line(each) for each in rows], right=(1, 2, 3))
        self.offsets.fit_height()
        self.offsets.setVisible(True)
        self._show_questions(lesson)
        self._show_firsts(lesson)

    @staticmethod
    def _pm(days: float) -> str:
        return f"± {plain_days(days)}"

    def _lesson_words(self, lesson: Lesson) -> str:
        learned = lesson.learned
        elsewhere = ""
        if learned.n_elsewhere:
            elsewhere = " " + plural(
                "Not counted here: {n} record of another place.",
                "Not counted here: {n} records of another place.",
                learned.n_elsewhere,
            )
        if not learned.n_records:
            return elsewhere.strip() or tr(
                "Nothing yet: no record stands beside a forecast. Note what you see, and "
                "forecasts come to fit this yard."
            )
        words = tr(
            "Flowers come {offset} here, give or take {sd} days, by {records}.",
            offset=offset_words(learned.offset_days),
            sd=plain_days(learned.sd_days),
            records=plural("{n} record", "{n} records", learned.n_records),
        )
        if learned.n_older:
            words += " " + plural(
                "No longer counted: {n} older record.",
                "No longer counted: {n} older records.",
                learned.n_older,
            )
        return words + elsewhere

    def _show_questions(self, lesson: Lesson) -> None:
        chosen = self._chosen()
        asked = lesson.learned.questions
        self.question_card.setVisible(bool(asked))
        self.question_words.setText(
            tr("Left out of the forecasts until they are corrected or confirmed.")
        )
        self.questions.clear()
        for question in asked[:_MOST_QUESTIONS]:
            fact = lesson.facts[question.record.id]
            words = (
                f"{record_words(question.record, fact.cultivar.name)}\n{readable(question.words)}"
            )
            item = QListWidgetItem(words, self.questions)
            item.setData(_ID_ROLE, question.record.id)
            if question.record.id == chosen:
                self.questions.setCurrentItem(item)
        if self.questions.currentItem() is None and self.questions.count():
            self.questions.setCurrentRow(0)
        rows = min(max(self.questions.count(), 1), 4)
        lines = 3 * self.questions.fontMetrics().lineSpacing()  # a name, and words that wrap once
        self.questions.setFixedHeight(round(rows * lines + em()))

    def _show_firsts(self, lesson: Lesson) -> None:
        flowering = [one for one in lesson.firsts if one.without or one.with_records]
        self.firsts_card.setVisible(bool(flowering))
        self.firsts_card.heading.setText(
            tr("First flower {year}, without and with the records", year=lesson.yard.season_year)
        )

        def line(at: int) -> Line:
            one = flowering[at]
            without, with_records = (
                "" if band is None else short_day_words(band.p50)
                for band in (one.without, one.with_records)
            )
            shift = "" if one.shift_days is None else signed_days(one.shift_days)
            bands = [
                words.format(band=short_span_words(band.p10, band.p90))
                for words, band in (
                    (tr("without: {band}"), one.without),
                    (tr("with: {band}"), one.with_records),
                )
                if band is not None
            ]
            tip = "\n".join([f"{one.name}, {one.pot_name}", *bands])
            return Line((one.name, without, with_records, shift), tip)

        self.firsts.show_lines(LaterItems(len(flowering), line), right=(3,))
        self.firsts.fit_height(most=10)

    # What is asked for

    def _chosen(self) -> str | None:
        item = self.questions.currentItem()
        return None if item is None else str(item.data(_ID_ROLE))

    @Slot()
    def _correct(self, *_: object) -> None:
        chosen = self._chosen()
        if chosen is not None:
            self.correct_asked.emit(chosen)

    @Slot()
    def _confirm(self) -> None:
        chosen = self._chosen()
        if chosen is not None:
            self.confirm_asked.emit(chosen)

    @Slot(bool)
    def _follow_use(self, use: bool) -> None:
        self.use.setChecked(use)
