"""The start-date slider: when the selected layer, its pot or the whole yard is planted."""

from __future__ import annotations

from PySide6.QtCore import QSignalBlocker, Slot
from PySide6.QtGui import QStandardItemModel
from PySide6.QtWidgets import QComboBox, QSizePolicy, QVBoxLayout, QWidget

from bloomline.errors import BloomlineError
from bloomline.model import edits
from bloomline.model.yard import Yard
from bloomline.ui.conditions.planting import Movable, Target, movable
from bloomline.ui.conditions.slider import GestureSlider, SliderGroup
from bloomline.ui.conditions.words import day_text, span_text
from bloomline.ui.document import Document

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
        self.choice.setAccessibleName(self.tr("What the planting day is changed for"))
        self.choice.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        for words, target in zip(
            (self.tr("this layer"), self.tr("this pot"), self.tr("whole yard")),
            _TARGETS,
            strict=True,
        ):
            self.choice.addItem(words, target)
        self.slider = GestureSlider("start")
        self.slider.setObjectName("start_slider")
        self.slider.setAccessibleName(self.tr("Planting day"))
        self.group = SliderGroup(
            self.tr("Plan&ted"), slider=self.slider, ends=("", ""), beside=self.choice
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
            return self._document.layer_id is not None
        return target == "yard" or self._document.pot_id is not None

    @Slot()
    def _show(self) -> None:
        document = self._document
        model = self.choice.model()
        assert isinstance(model, QStandardItemModel)
        for row, target in enumerate(_TARGETS):
            model.item(row).setEnabled(self._is_there(target))
        with QSignalBlocker(self.choice):
            self.choice.setCurrentIndex(_TARGETS.index(self.target))
        try:
            self._movable = movable(
                document.outlook,
                self.target,
                pot=document.selected_pot(),
                layer=document.selected_layer(),
            )
        except BloomlineError as error:
            self._movable = None
            self.slider.setEnabled(False)
            self.group.say(str(error))
            return
        self._stand(self._movable)

    def _stand(self, found: Movable) -> None:
        span = found.span
        self.group.first.setText(day_text(span.first))
        self.group.last.setText(day_text(span.last))
        self.slider.show_range(0, span.days, page=7, tick=7)
        middle = found.middle
        self.slider.setEnabled(middle is not None)
        stay = self._who_stays(found)
        if middle is None:
            self.slider.show_value(0)
            self.group.say(self._why_nothing(found), tip=stay)
            return
        self.slider.show_value(span.index_of(middle))
        words = span_text(min(found.days), max(found.days))
        if len(found.days) > 1:
            words += " · " + self.tr("%n layer(s)", "", len(found.days))
        left = found.other_season + found.established
        if left:
            words += ", " + self.tr("%n left", "", left)
        self.group.say(words, tip=stay)

    def _why_nothing(self, found: Movable) -> str:
        if self.target == "layer" and found.established:
            return self.tr("planted before this season")
        if found.other_season or found.established:
            return self.tr("nothing planted this autumn")
        return self.tr("nothing planted yet")

    def _who_stays(self, found: Movable) -> str:
        told = []
        if found.other_season:
            told.append(
                self.tr(
                    "%n layer(s) planted in another season keep their day.", "", found.other_season
                )
            )
        if found.established:
            told.append(
                self.tr(
                    "%n layer(s) planted in earlier years keep their day.", "", found.established
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

        self._document.edit(self.tr("Change planting day"), plant, gesture=gesture)
