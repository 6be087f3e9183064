"""The start-date slider: when the selected layer, its pot or the whole yard is planted."""

from __future__ import annotations

from PySide6.QtCore import QSignalBlocker, Slot
from PySide6.QtGui import QStandardItemModel
from PySide6.QtWidgets import QComboBox, QSizePolicy, QVBoxLayout, QWidget

from bloomline.errors import BloomlineError
from bloomline.model import edits
from bloomline.model.yard import Pot, Yard
from bloomline.ui.conditions.planting import Movable, Target, movable
from bloomline.ui.conditions.slider import GestureSlider, SliderGroup
from bloomline.ui.document import Document
from bloomline.words import plural, short_day_words, short_span_words, tr

_TARGETS: tuple[Target, ...] = ("layer", "pot", "yard")


class StartPart(QWidget):
    """Slides the planting day of what is chosen beside it."""

    def __init__(self, document: Document, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._wanted: Target | None = None
        self._movable: Movable | None = None
        self.choice = QComboBox()
        self.choice.setObjectName("start_choice")
        self.choice.setAccessibleName(tr("What the planting day is changed for"))
        self.choice.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        for target in _TARGETS:
            self.choice.addItem("", target)
        self.slider = GestureSlider("start")
        self.slider.setObjectName("start_slider")
        self.slider.setAccessibleName(tr("Planting day"))
        self.group = SliderGroup(
            tr("Plan&ted"), slider=self.slider, ends=("", ""), beside=self.choice
        )
        box = QVBoxLayout(self)
        box.setContentsMargins(0, 0, 0, 0)
        box.addWidget(self.group)
        self.choice.activated.connect(self._choose)
        self.slider.slid.connect(self._slide)
        document.yard_changed.connect(self._show)
        document.selection_changed.connect(self._show)
        self._show()

    @property
    def target(self) -> Target:
        """What a slide changes."""
        for target in (self._wanted, *_TARGETS):
            if target is not None and self._is_there(target):
                return target
        return "yard"

    def _is_there(self, target: Target) -> bool:
        if target == "layer":
            return bool(self._document.selection.layers)
        return target == "yard" or self._document.pot_id is not None

    @Slot()
    def _show(self) -> None:
        document = self._document
        model = self.choice.model()
        assert isinstance(model, QStandardItemModel)
        for row, target in enumerate(_TARGETS):
            model.item(row).setEnabled(self._is_there(target))
        selection = document.selection
        wanted = set(selection.layers)
        many_layers, many_pots = len(selection.layers) > 1, len(selection.pots) > 1
        words = (
            tr("these layers") if many_layers else tr("this layer"),
            tr("these pots") if many_pots else tr("this pot"),
            tr("whole yard"),
        )
        for row, each in enumerate(words):
            self.choice.setItemText(row, each)
        with QSignalBlocker(self.choice):
            self.choice.setCurrentIndex(_TARGETS.index(self.target))
        try:
            self._movable = movable(
                document.outlook,
                self.target,
                pots=self._pots(),
                layers=[layer for _, layer in document.yard.layers() if layer.id in wanted]
                if wanted
                else [],
            )
        except BloomlineError as error:
            self._movable = None
            self.slider.setEnabled(False)
            self.group.say(str(error))
            return
        self._stand(self._movable)

    def _pots(self) -> list[Pot]:
        """The pots selected, or that of what was chosen last."""
        document = self._document
        names = document.selection.pots or (document.pot_id or "",)
        return [pot for pot in document.yard.pots if pot.id in names]

    def _stand(self, found: Movable) -> None:
        span = found.span
        self.group.first.setText(short_day_words(span.first))
        self.group.last.setText(short_day_words(span.last))
        self.slider.show_range(0, span.days, page=7, tick=7)
        middle = found.middle
        self.slider.setEnabled(middle is not None)
        stay = self._who_stays(found)
        if middle is None:
            self.slider.show_value(0)
            self.group.say(self._why_nothing(found), tip=stay)
            return
        self.slider.show_value(span.index_of(middle))
        words = short_span_words(min(found.days), max(found.days))
        if len(found.days) > 1:
            words += " · " + plural("{n} layer", "{n} layers", len(found.days))
        left = found.other_season + found.established
        if left:
            words += ", " + plural("{n} stays", "{n} stay", left)
        self.group.say(words, tip=stay)

    def _why_nothing(self, found: Movable) -> str:
        if self.target == "layer" and found.established:
            return tr("planted before this season")
        if found.other_season or found.established:
            return tr("nothing planted this autumn")
        return tr("nothing planted yet")

    def _who_stays(self, found: Movable) -> str:
        told = []
        if found.other_season:
            told.append(
                plural(
                    "{n} layer planted in another season keeps its day.",
                    "{n} layers planted in another season keep their day.",
                    found.other_season,
                )
            )
        if found.established:
            told.append(
                plural(
                    "{n} layer planted in an earlier year keeps its day.",
                    "{n} layers planted in earlier years keep their day.",
                    found.established,
                )
            )
        return " ".join(told)

    @Slot(int)
    def _choose(self, index: int) -> None:
        self._wanted = _TARGETS[index]
        self._show()

    @Slot(int, str)
    def _slide(self, index: int, gesture: str) -> None:
        found = self._movable
        if found is None or not found.layer_ids:
            return
        day = found.span.day_at(index)

        def plant(yard: Yard) -> Yard:
            return edits.set_planted(yard, found.layer_ids, day)

        self._document.edit(tr("Change planting day"), plant, gesture=gesture)
