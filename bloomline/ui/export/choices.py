"""What a chart shows and how large it is; the last choices are remembered."""

from __future__ import annotations

from datetime import date
from typing import Any, cast

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtWidgets import (
    QCheckBox,
    QComboBox,
    QFormLayout,
    QHBoxLayout,
    QLabel,
    QLineEdit,
    QListWidget,
    QListWidgetItem,
    QPushButton,
    QSpinBox,
    QVBoxLayout,
    QWidget,
)

from bloomline.draw.base.petals import ThemeName
from bloomline.model.yard import Yard
from bloomline.plan.words.benches import pot_words
from bloomline.ui.export.jobs import ChartWish, Format
from bloomline.ui.files.memory import ProgramSettings
from bloomline.words import tr

_KEY = "export_choices"
_FORMATS: tuple[Format, ...] = ("png", "svg", "pdf")
_THEMES: tuple[ThemeName, ...] = ("light", "dark")


class ChoicesPanel(QWidget):
    """The controls at the left of the export."""

    changed = Signal()

    def __init__(
        self,
        yard: Yard,
        *,
        settings: ProgramSettings,
        today: date,
        by_first_flower: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        """by_first_flower : how the season is sorted in the window now."""
        super().__init__(parent)
        self._settings = settings
        self._today = today
        self.format = QComboBox(self)
        self.format.setObjectName("export_format")
        self.format.addItems(
            [
                tr("PNG, picture"),
                tr("SVG, drawing"),
                tr("PDF, page"),
            ]
        )
        self.width_px = QSpinBox(self)
        self.width_px.setObjectName("export_width")
        self.width_px.setRange(800, 8000)
        self.width_px.setSingleStep(100)
        self.width_px.setSuffix(tr(" px"))
        self.width_px.setToolTip(tr("At 96 dots an inch; more width spreads the days out"))
        self.dpi = QSpinBox(self)
        self.dpi.setObjectName("export_dpi")
        self.dpi.setRange(72, 600)
        self.dpi.setSingleStep(24)
        self.dpi.setSuffix(tr(" dpi"))
        self.dpi.setToolTip(tr("Dots an inch: 96 for screens, 300 for print"))
        self.a4 = QCheckBox(tr("Fit to an A4 page"), self)
        self.a4.setObjectName("export_a4")
        self.theme = QComboBox(self)
        self.theme.setObjectName("export_theme")
        self.theme.addItems([tr("Light"), tr("Dark")])
        self.title = QLineEdit(self)
        self.title.setObjectName("export_title")
        self.title.setMaxLength(120)
        self.title.setPlaceholderText(yard.name)
        self.today_line = QCheckBox(tr("Line at toda&y"), self)
        self.today_line.setObjectName("export_today")
        self.planted = QCheckBox(tr("Planting &days"), self)
        self.planted.setObjectName("export_planted")
        self.by_first_flower = QCheckBox(tr("Pots by first flow&er"), self)
        self.by_first_flower.setObjectName("export_by_first_flower")
        self.by_first_flower.setToolTip(tr("Else in the order in which they stand in the yard"))
        self.by_first_flower.setChecked(by_first_flower)
        self.pots = QListWidget(self)
        self.pots.setObjectName("export_pots")
        self.pots.setAccessibleName(tr("Pots in the chart"))
        for pot in yard.pots:
            item = QListWidgetItem(pot_words(pot))
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(Qt.CheckState.Checked)
            item.setData(Qt.ItemDataRole.UserRole, pot.id)
            self.pots.addItem(item)
        self._lay_out()
        self._recall()
        self._refresh()
        self.format.currentIndexChanged.connect(self._refresh)
        self.width_px.valueChanged.connect(self._refresh)
        self.dpi.valueChanged.connect(self._refresh)
        self.theme.currentIndexChanged.connect(self._refresh)
        self.title.textChanged.connect(self._refresh)
        for box in (self.a4, self.today_line, self.planted, self.by_first_flower):
            box.toggled.connect(self._refresh)
        self.pots.itemChanged.connect(self._refresh)

    def _lay_out(self) -> None:
        form = QFormLayout()
        form.setContentsMargins(0, 0, 0, 0)
        form.addRow(tr("&Format"), self.format)
        form.addRow(tr("&Width"), self.width_px)
        form.addRow(tr("&Resolution"), self.dpi)
        form.addRow("", self.a4)
        form.addRow(tr("&Background"), self.theme)
        form.addRow(tr("T&itle"), self.title)
        form.addRow(tr("Show"), self.today_line)
        form.addRow("", self.planted)
        form.addRow("", self.by_first_flower)
        every = QPushButton(tr("&All"), self)
        every.setObjectName("export_all")
        every.setAutoDefault(False)
        every.setAccessibleName(tr("Tick all pots"))
        every.clicked.connect(self._tick_all)
        none = QPushButton(tr("&None"), self)
        none.setObjectName("export_none")
        none.setAutoDefault(False)
        none.setAccessibleName(tr("Tick no pot"))
        none.clicked.connect(self._tick_none)
        head = QHBoxLayout()
        label = QLabel(tr("P&ots"), self)
        label.setBuddy(self.pots)
        head.addWidget(label)
        head.addStretch(1)
        head.addWidget(every)
        head.addWidget(none)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.addLayout(form)
        layout.addLayout(head)
        layout.addWidget(self.pots, 1)

    @Slot()
    def _tick_all(self) -> None:
        self._tick(Qt.CheckState.Checked)

    @Slot()
    def _tick_none(self) -> None:
        self._tick(Qt.CheckState.Unchecked)

    def _tick(self, state: Qt.CheckState) -> None:
        self.pots.blockSignals(True)
        for row in range(self.pots.count()):
            self.pots.item(row).setCheckState(state)
        self.pots.blockSignals(False)
        self._refresh()

    @Slot()
    @Slot(int)
    @Slot(str)
    @Slot(bool)
    @Slot(QListWidgetItem)
    def _refresh(self, _what: object = None) -> None:
        kind = _FORMATS[self.format.currentIndex()]
        self.dpi.setEnabled(kind == "png")
        self.a4.setVisible(kind == "pdf")
        self.changed.emit()

    def wish(self) -> ChartWish:
        """What is chosen now. All pots ticked is told as None."""
        ticked = tuple(
            str(item.data(Qt.ItemDataRole.UserRole))
            for row in range(self.pots.count())
            if (item := self.pots.item(row)).checkState() is Qt.CheckState.Checked
        )
        kind = _FORMATS[self.format.currentIndex()]
        return ChartWish(
            format=kind,
            width=float(self.width_px.value()),
            dpi=float(self.dpi.value()) if kind == "png" else 96.0,
            theme=_THEMES[self.theme.currentIndex()],
            title=self.title.text().strip() or None,
            pot_ids=None if len(ticked) == self.pots.count() else ticked,
            today=self._today if self.today_line.isChecked() else None,
            show_planted=self.planted.isChecked(),
            a4=kind == "pdf" and self.a4.isChecked(),
            by_first_flower=self.by_first_flower.isChecked(),
        )

    def remember(self) -> None:
        """Keep the choices for next time; which pots and the title belong to this yard alone."""
        self._settings.setValue(
            _KEY,
            {
                "format": _FORMATS[self.format.currentIndex()],
                "width": self.width_px.value(),
                "dpi": self.dpi.value(),
                "theme": _THEMES[self.theme.currentIndex()],
                "today": self.today_line.isChecked(),
                "planted": self.planted.isChecked(),
                "a4": self.a4.isChecked(),
            },
        )

    def _recall(self) -> None:
        kept = self._settings.value(_KEY)
        found: dict[str, Any] = cast("dict[str, Any]", kept) if isinstance(kept, dict) else {}
        self.format.setCurrentIndex(_index(_FORMATS, found.get("format")))
        self.theme.setCurrentIndex(_index(_THEMES, found.get("theme")))
        self.width_px.setValue(_whole(found.get("width"), 1600))
        self.dpi.setValue(_whole(found.get("dpi"), 96))
        self.today_line.setChecked(found.get("today") is True)
        self.planted.setChecked(found.get("planted") is True)
        self.a4.setChecked(found.get("a4") is not False)


def _index(names: tuple[str, ...], name: object) -> int:
    return names.index(name) if isinstance(name, str) and name in names else 0


def _whole(value: object, default: int) -> int:
    is_whole = isinstance(value, int) and not isinstance(value, bool)
    return value if is_whole and isinstance(value, int) else default
