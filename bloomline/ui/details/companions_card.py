"""What stands on top of a pot: its companions, their room, and planting more."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import (
    QHBoxLayout,
    QPushButton,
    QSizePolicy,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from bloomline.errors import BloomlineError
from bloomline.model.companion import CompanionPlanting
from bloomline.model.yard import Pot
from bloomline.plan.tops.stand import fullest_share
from bloomline.reference.catalogue import load_companions
from bloomline.ui.details.cards import Card, wrapping
from bloomline.ui.dressed import say_as
from bloomline.ui.shelf.filters import QuietComboBox
from bloomline.ui.theme import em
from bloomline.ui.yard.top_words import companion_name
from bloomline.words import short_day_words, tr


class CompanionsCard(Card):
    """The companions of a pot. It changes nothing itself."""

    picked = Signal(str)
    """A planting whose details are wanted (id)."""
    removed = Signal(str)
    """A planting to be taken away (id)."""
    wanted = Signal(str)
    """A companion to be planted (its id)."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__("", parent)
        self.heading.setText(tr("On top, season by date"))
        self.heading.setVisible(True)
        self.setAccessibleName(tr("Companions on top of the pot"))
        self._rows = QVBoxLayout()
        self._rows.setSpacing(round(em() * 0.2))
        self.column.addLayout(self._rows)
        self._lines: list[QWidget] = []
        self._shown: tuple[CompanionPlanting, ...] = ()
        self.share = wrapping("", "muted", self)
        self.column.addWidget(self.share)
        self.kinds = QuietComboBox(self)
        self.kinds.setObjectName("companion_kinds")
        self.kinds.setAccessibleName(tr("Companion to plant"))
        self.kinds.setSizeAdjustPolicy(
            QuietComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon
        )
        self.kinds.setMinimumContentsLength(8)
        self.kinds.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        for companion in load_companions():
            self.kinds.addItem(companion.name, companion.id)
        self.add = QPushButton(tr("Plant on top"), self)
        self.add.setObjectName("add_companion")
        self.add.setToolTip(
            tr("As many as take a third of the surface, on their usual day for these bulbs")
        )
        self.add.clicked.connect(self._want)
        self.column.addWidget(self.kinds)
        self.column.addWidget(self.add, 0, Qt.AlignmentFlag.AlignLeft)

    def show_pot(self, pot: Pot, *, southern: bool) -> None:
        """Show the companions of a pot."""
        if pot.companions != self._shown:
            self._shown = pot.companions
            for line in self._lines:
                line.hide()
                line.deleteLater()
            self._lines = [self._line(planting) for planting in pot.companions]
            for line in self._lines:
                self._rows.addWidget(line)
        words, grave = self._share_words(pot, southern=southern)
        kind = "caution" if grave else "muted"
        self.share.setText(words)
        if self.share.objectName() != kind:
            say_as(self.share, kind)

    def _line(self, planting: CompanionPlanting) -> QWidget:
        line = QWidget(self)
        column = QVBoxLayout(line)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        row = QHBoxLayout()
        column.addLayout(row)
        row.setContentsMargins(0, 0, 0, 0)
        row.setSpacing(round(em() * 0.2))
        days = tr("from {day}", day=short_day_words(planting.planted, year=True))
        if planting.taken_out is not None:
            days = tr(
                "{first} to {last}",
                first=short_day_words(planting.planted, year=True),
                last=short_day_words(planting.taken_out, year=True),
            )
        name = companion_name(planting.companion_id)
        words = tr("{count} × {name}", count=planting.count, name=name)
        button = QPushButton(words.replace("&", "&&"), line)
        button.setObjectName(f"companion_{planting.id}")
        button.setToolTip(f"{words}, {days}")
        button.setAccessibleName(f"{words}, {days}")
        button.setAccessibleDescription(tr("Shows the details of these companions"))
        button.setStyleSheet("text-align: left; padding: 3px 8px;")
        button.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        button.setProperty("planting_id", planting.id)
        button.clicked.connect(self._pick)
        away = QToolButton(line)
        away.setObjectName(f"remove_{planting.id}")
        away.setText("×")
        away.setToolTip(tr("Take {name} away", name=name))
        away.setAccessibleName(tr("Take {name} away", name=name))
        away.setProperty("planting_id", planting.id)
        away.clicked.connect(self._take_away)
        row.addWidget(button, 1)
        row.addWidget(away)
        column.addWidget(wrapping(days, "muted", line))
        return line

    def _share_words(self, pot: Pot, *, southern: bool) -> tuple[str, bool]:
        if not pot.companions:
            return tr("None yet: pansies, primulas, forget-me-nots and others."), False
        try:
            share = fullest_share(pot, southern=southern)
        except BloomlineError as error:
            return str(error), True
        percent = f"{100 * share:.0f}"
        if share > 1.0:
            return (
                tr(
                    "Too close: at their usual spacing they would take {percent} % "
                    "of the surface. Plant fewer, or bulbs have no way up between "
                    "them.",
                    percent=percent,
                ),
                True,
            )
        return (
            tr("They take {percent} % of the surface at their usual spacing.", percent=percent),
            False,
        )

    @Slot()
    def _pick(self) -> None:
        self.picked.emit(self._sender_id())

    @Slot()
    def _take_away(self) -> None:
        self.removed.emit(self._sender_id())

    def _sender_id(self) -> str:
        button = self.sender()
        return str(button.property("planting_id")) if button is not None else ""

    @Slot()
    def _want(self) -> None:
        companion_id = self.kinds.currentData()
        if isinstance(companion_id, str):
            self.wanted.emit(companion_id)
