"""The shelf's filters: kind, colour, height, month in flower, and six yes-or-no questions.

Most of them are folded away behind a button that tells how many are set, so that the list has
the height.
"""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QSize, Qt, Signal, Slot
from PySide6.QtGui import QIcon, QKeyEvent, QPainter, QPaintEvent, QPalette, QPixmap
from PySide6.QtWidgets import (
    QComboBox,
    QSizePolicy,
    QStyle,
    QStyleOptionComboBox,
    QStylePainter,
    QToolButton,
    QWidget,
)

from bloomline.draw.base.petals import SAMPLE_OF_FAMILY, Family, petal
from bloomline.ui.shelf.entries import Entry, Order, ShelfFilter, kinds_of
from bloomline.ui.shelf.flow import FlowLayout
from bloomline.ui.shelf.paint import paint_petal_dot
from bloomline.ui.theme import current_theme, em, tone_of
from bloomline.ui.units import Units
from bloomline.words import month_words, tr

_HEIGHT_STEPS_CM = ((None, 15.0), (15.0, 30.0), (30.0, 50.0), (50.0, 80.0), (80.0, None))
_HEIGHT_STEPS_IN = ((None, 6.0), (6.0, 12.0), (12.0, 20.0), (20.0, 32.0), (32.0, None))


class QuietComboBox(QComboBox):
    """A list that a wheel over it doesn't change while the panel is scrolled."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def paintEvent(self, event: QPaintEvent) -> None:
        # The style cuts a long entry off in the middle of a letter.
        painter = QStylePainter(self)
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        field = self.style().subControlRect(
            QStyle.ComplexControl.CC_ComboBox,
            option,
            QStyle.SubControl.SC_ComboBoxEditField,
            self,
        )
        room = field.width() - 2
        if not option.currentIcon.isNull():
            room -= option.iconSize.width() + 4
        words = option.currentText
        if self.currentIndex() < 0:
            words = self.placeholderText()
            muted = option.palette.color(QPalette.ColorRole.PlaceholderText)
            option.palette.setColor(QPalette.ColorRole.ButtonText, muted)
        option.currentText = self.fontMetrics().elidedText(words, Qt.TextElideMode.ElideRight, room)
        painter.drawComplexControl(QStyle.ComplexControl.CC_ComboBox, option)
        painter.drawControl(QStyle.ControlElement.CE_ComboBoxLabel, option)


class FilterRow(QWidget):
    """What the gardener asks the shelf for, beside the words searched."""

    changed = Signal()

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._units = Units()
        self.kind = self._list(tr("Kind of bulb"), "filter_kind")
        self.colour = self._list(tr("Colour of the petals"), "filter_colour")
        self.month = self._list(tr("Month in flower here"), "filter_month")
        self.height_range = self._list(tr("Height of the plants"), "filter_height")
        self.scented = self._button(tr("Scented"), tr("Only kinds with a scent"), "filter_scented")
        self.pet_safe = self._button(
            tr("Pet safe"),
            tr("Only kinds with no known harm to pets"),
            "filter_pet_safe",
        )
        self.well = self._button(
            tr("Flowers well here"),
            tr(
                "Only kinds that get their cold here, stand the frost in a pot and flower in "
                "nine years of ten"
            ),
            "filter_flowers_well",
        )
        self.cupboard = self._button(
            tr("In the cupboard"),
            tr("Only kinds of which bulbs lie in the cupboard"),
            "filter_cupboard",
        )
        self.bare = self._button(
            tr("When the yard is bare"),
            tr(
                "Only kinds that flower on bare days of this season, those that fill most of them "
                "first"
            ),
            "filter_bare",
        )
        self.companions = self._button(
            tr("Companions"),
            tr(
                "Plants that are not bulbs, set on top of a pot: their season goes by date, "
                "without cold or heat sums"
            ),
            "filter_companions",
        )
        self.order = self._list(tr("Order of the shelf"), "shelf_order")
        self.clear = QToolButton(self)
        self.clear.setObjectName("filter_clear")
        self.clear.setText(tr("Clear"))
        self.clear.setToolTip(tr("Take all filters off"))
        self.clear.setAccessibleName(tr("Take all filters off"))
        self.clear.setVisible(False)
        self.clear.clicked.connect(self.reset)
        for box in (self.kind, self.colour, self.month, self.height_range):
            box.setMinimumContentsLength(12)  # two to a line
        self.more = QToolButton(self)
        self.more.setObjectName("filter_more")
        self.more.setCheckable(True)
        self.more.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.more.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.more.toggled.connect(self._fold)
        self.folded: tuple[QComboBox | QToolButton, ...] = (
            self.kind,
            self.colour,
            self.month,
            self.height_range,
            self.scented,
            self.pet_safe,
            self.well,
            self.cupboard,
            self.bare,
        )
        flow = FlowLayout(self, gap=max(round(em() * 0.25), 3))
        for widget in (self.companions, self.order, self.clear, *self.folded):
            flow.addWidget(widget)
        flow.begin_line(self.kind)
        policy = self.sizePolicy()
        policy.setVerticalPolicy(QSizePolicy.Policy.Minimum)
        policy.setHeightForWidth(True)
        self.setSizePolicy(policy)
        self._fill_fixed()
        self._dress()
        self._fold(False)
        self._tell_set()

    @property
    def _questions(self) -> tuple[QToolButton, ...]:
        """The yes-or-no questions, that for companions last."""
        bulbs = (self.scented, self.pet_safe, self.well, self.cupboard, self.bare)
        return (*bulbs, self.companions)

    def tab_chain(self) -> tuple[QWidget, ...]:
        """The controls in the order in which they are seen."""
        return (self.more, self.companions, self.order, self.clear, *self.folded)

    @Slot(bool)
    def _fold(self, is_open: bool) -> None:
        """Show or hide the filters behind the button."""
        for widget in self.folded:
            widget.setVisible(is_open)
        self.more.setArrowType(Qt.ArrowType.DownArrow if is_open else Qt.ArrowType.RightArrow)
        self.updateGeometry()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape and self.more.isChecked():
            self.more.setChecked(False)
            self.more.setFocus(Qt.FocusReason.OtherFocusReason)
            return
        super().keyPressEvent(event)

    def _set_words(self) -> list[str]:
        """What is asked for behind the button, in words."""
        boxes = (self.kind, self.colour, self.month, self.height_range)
        words = [box.currentText() for box in boxes if box.isEnabled() and box.currentIndex() > 0]
        buttons = self._questions[:-1]
        return words + [each.text() for each in buttons if each.isEnabled() and each.isChecked()]

    def _tell_set(self) -> None:
        """Tell on the button how many filters are set, and which."""
        words = self._set_words()
        text = tr("Filters")
        self.more.setText(f"{text} · {len(words)}" if words else text)
        self.more.setAccessibleName(self.more.text())
        told = (
            tr("Set: {filters}", filters=", ".join(words))
            if words
            else tr(
                "Kind, colour, month, height, scent, pets, what flowers well here or on bare days, "
                "and the cupboard"
            )
        )
        self.more.setToolTip(told)
        self.more.setAccessibleDescription(told)
        if self.more.property("some") is not bool(words):
            self.more.setProperty("some", bool(words))
            self.more.style().unpolish(self.more)
            self.more.style().polish(self.more)

    def _list(self, name: str, object_name: str) -> QComboBox:
        box = QuietComboBox(self)
        box.setObjectName(object_name)
        box.setAccessibleName(name)
        box.setToolTip(name)
        # As wide as its usual words; long ones show whole in the open list.
        box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        box.setMinimumContentsLength(9)
        box.view().setMinimumWidth(round(em() * 11))
        box.currentIndexChanged.connect(self._tell)
        return box

    def _button(self, text: str, about: str, object_name: str) -> QToolButton:
        button = QToolButton(self)
        button.setObjectName(object_name)
        button.setText(text)
        button.setCheckable(True)
        button.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        button.setToolTip(about)
        button.setAccessibleName(text)
        button.setAccessibleDescription(about)
        button.toggled.connect(self._tell)
        return button

    def _fill_fixed(self) -> None:
        families = {
            Family.WHITE: tr("white and cream"),
            Family.YELLOW: tr("yellow"),
            Family.ORANGE: tr("orange and apricot"),
            Family.PINK: tr("pink"),
            Family.RED: tr("red"),
            Family.PURPLE: tr("lilac and purple"),
            Family.BLUE: tr("blue"),
            Family.DARK: tr("nearly black"),
            Family.GREEN: tr("green"),
        }
        self.colour.addItem(tr("Any colour"), None)
        for family, name in families.items():
            self.colour.addItem(_family_icon(family), name, family)
        self.month.addItem(tr("Any month"), None)
        for month in range(1, 13):
            self.month.addItem(tr("In {month}", month=month_words(month)), month)
        self.order.addItem(tr("Earliest first"), Order.FLOWERING)
        self.order.addItem(tr("By name"), Order.NAME)
        self.order.addItem(tr("Lowest first"), Order.HEIGHT)
        self._fill_heights()

    def _fill_heights(self) -> None:
        box, keep = self.height_range, self.height_range.currentIndex()
        box.blockSignals(True)
        box.clear()
        box.addItem(tr("Any height"), (None, None))
        steps = _HEIGHT_STEPS_IN if self._units.imperial else _HEIGHT_STEPS_CM
        for low, high in steps:
            ends = tuple(None if n is None else self._units.length_cm(n) for n in (low, high))
            if low is None:
                words = tr("Up to {to}", to=self._units.length(ends[1] or 0.0))
            elif high is None:
                words = tr("Over {low}", low=self._units.length(ends[0] or 0.0))
            else:
                words = tr("{low} to {to}", low=f"{low:g}", to=self._units.length(ends[1] or 0.0))
            box.addItem(words, ends)
        box.setCurrentIndex(max(keep, 0))
        box.blockSignals(False)

    def show_units(self, units: Units) -> None:
        """Write heights in other units."""
        if units != self._units:
            self._units = units
            self._fill_heights()

    def show_kinds(self, entries: Iterable[Entry]) -> None:
        """Offer the kinds that are on the shelf; what was chosen stays."""
        kinds = kinds_of(entries)
        if kinds == tuple(self.kind.itemData(i) for i in range(1, self.kind.count())):
            return
        chosen = self.kind.currentData()
        self.kind.blockSignals(True)
        self.kind.clear()
        self.kind.addItem(tr("Any kind"), None)
        for kind in kinds:
            self.kind.addItem(kind, kind)
        self.kind.setCurrentIndex(max(self.kind.findData(chosen), 0) if chosen else 0)
        self.kind.blockSignals(False)

    def wanted(self, text: str) -> ShelfFilter:
        """What is asked for, together with the words searched."""
        low, high = self.height_range.currentData() or (None, None)
        return ShelfFilter(
            text=text,
            kind=self.kind.currentData() if self.kind.isEnabled() else None,
            family=self.colour.currentData(),
            scented=self.scented.isChecked(),
            height_from_cm=low,
            height_to_cm=high,
            month=self.month.currentData(),
            pet_safe=self.pet_safe.isChecked(),
            flowers_well=self.well.isEnabled() and self.well.isChecked(),
            in_cupboard=self.cupboard.isEnabled() and self.cupboard.isChecked(),
            when_bare=self.bare.isEnabled() and self.bare.isChecked(),
        )

    def chosen_order(self) -> Order:
        """How to sort."""
        order = self.order.currentData()
        return order if isinstance(order, Order) else Order.FLOWERING

    @Slot()
    def reset(self) -> None:
        """Take all filters off; the order stays."""
        self.blockSignals(True)
        for box in (self.kind, self.colour, self.month, self.height_range):
            box.setCurrentIndex(0)
        for button in self._questions:
            button.setChecked(False)
        self.blockSignals(False)
        self._tell()

    def restyle(self) -> None:
        """Paint the colour samples for the theme as it is now."""
        for row in range(1, self.colour.count()):
            self.colour.setItemIcon(row, _family_icon(Family(self.colour.itemData(row))))
        self._dress()

    def _dress(self) -> None:
        """Make it plain which questions are asked: filled and bold, not a shade darker."""
        tone = tone_of(current_theme())
        sheet = f"""
        QToolButton {{ background: {tone.panel}; color: {tone.ink}; padding: 1px 7px;
            border: 1px solid {tone.muted}; border-radius: 9px; }}
        QToolButton:hover {{ border-color: {tone.accent}; }}
        QToolButton:checked {{ background: {tone.accent}; color: {tone.on_accent};
            border-color: {tone.accent}; font-weight: 600; }}
        QToolButton:disabled {{ color: {tone.muted}; border-color: {tone.line}; }}
        QToolButton#filter_more {{ border-radius: 4px; padding: 2px 7px;
            border-color: {tone.line}; }}
        QToolButton#filter_more:checked {{ background: {tone.panel}; color: {tone.ink};
            border-color: {tone.line}; font-weight: 400; }}
        QToolButton#filter_more[some="true"] {{ border: 2px solid {tone.accent};
            font-weight: 600; padding: 1px 6px; }}
        QToolButton#filter_more:focus {{ border: 2px solid {tone.focus}; padding: 1px 6px; }}
        QToolButton:focus {{ border: 2px solid {tone.focus}; padding: 0px 6px; }}
        """
        for button in (*self._questions, self.clear, self.more):
            if button.styleSheet() != sheet:
                button.setStyleSheet(sheet)

    @Slot()
    def _tell(self) -> None:
        # The kinds, the cold and the cupboard are those of bulbs.
        for control in (self.kind, self.well, self.cupboard, self.bare):
            control.setEnabled(not self.companions.isChecked())
        self.clear.setVisible(self.companions.isChecked() or not self.wanted("").is_empty)
        self._tell_set()
        self.changed.emit()


def _family_icon(family: Family) -> QIcon:
    """A petal of the family with its mark, in sizes for plain and for dense screens."""
    icon = QIcon()
    side = round(em())
    for ratio in (1, 2, 3):
        pixmap = QPixmap(QSize(side * ratio, side * ratio))
        pixmap.setDevicePixelRatio(ratio)
        pixmap.fill(Qt.GlobalColor.transparent)
        painter = QPainter(pixmap)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        look = petal(SAMPLE_OF_FAMILY[family], theme=current_theme())
        paint_petal_dot(painter, pixmap.rect().toRectF().center() / ratio, side / 2, look)
        painter.end()
        icon.addPixmap(pixmap)
    return icon
