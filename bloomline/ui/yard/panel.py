"""The yard's panel: heading, buttons, the picture with its scroll bars, and its actions."""

from __future__ import annotations

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import (
    QGridLayout,
    QHBoxLayout,
    QLabel,
    QPushButton,
    QScrollBar,
    QVBoxLayout,
    QWidget,
)

from bloomline.ui.document import Document
from bloomline.ui.dressed import SwitchButton, say_as
from bloomline.ui.season_service import SeasonService
from bloomline.ui.theme import em
from bloomline.ui.yard.arranging import Grouping
from bloomline.ui.yard.carrying import Carrying
from bloomline.ui.yard.commands import Commands
from bloomline.ui.yard.deeds import Deeds
from bloomline.ui.yard.hand import YardHand
from bloomline.ui.yard.pasting import Pasting
from bloomline.words import tr


class YardPanel(QWidget):
    """The yard of pots."""

    details_requested = Signal()
    """The gardener wants the details of what is selected."""
    said = Signal(str)
    """Words about what was done or refused, for a status line."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.setObjectName("yard_panel")
        self._document = document
        self._deeds = Deeds(document, self)
        self._carrying = Carrying(document, self)
        self.canvas = YardHand(document, service, self._carrying, self._deeds, self)
        self._pasting = Pasting(document, self)
        self.commands = Commands(
            document, self.canvas, self._carrying, self._deeds, self._pasting, self
        )
        self.canvas.menu_actions = self.commands.menu()
        for action in self.commands.all():
            self.addAction(action)
        self._offered: list[QAction] = []
        self._heading = QLabel(self)
        say_as(self._heading, "heading")
        self._across = QScrollBar(Qt.Orientation.Horizontal, self)
        self._across.setAccessibleName(tr("Scroll along the yard"))
        self._up = QScrollBar(Qt.Orientation.Vertical, self)
        self._up.setAccessibleName(tr("Scroll up to the tops of the plants"))
        self._following = False
        self._empty = self._make_empty_state()
        self._lay_out()
        self._connect()
        self._show_day()
        self._show_view()

    def actions(self) -> list[QAction]:
        """What can be done in the yard, for the window's menus."""
        return self.commands.all()

    def offer(self, action: QAction) -> None:
        """Put another part's action into the context menu of pots and layers, on top."""
        self._offered.append(action)
        self.canvas.menu_actions = [*self._offered, None, *self.commands.menu()]

    def put_switch(self, action: QAction) -> None:
        """Let a switch stand as a button before the others over the picture."""
        button = SwitchButton(self)
        button.setDefaultAction(action)
        button.setObjectName(action.objectName().replace("action", "button"))
        button.setAccessibleName(action.text().replace("&", ""))
        button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        button.setMinimumHeight(round(1.6 * em()))
        item = self._top.itemAt(1)
        following = None if item is None else item.widget()
        self._top.insertWidget(1, button)
        before = None if following is None else following.previousInFocusChain()
        if before is not None:
            QWidget.setTabOrder(before, button)

    def arrange(self, grouping: Grouping | None) -> None:
        """Arrange the picture by place, or in the yard's order again."""
        self.canvas.arrange(grouping)
        self._show_day()

    def stop(self) -> None:
        """Put down what is carried and end what is worked out of it beside the window."""
        self._carrying.stop()

    def _make_empty_state(self) -> QWidget:
        empty = QWidget(self.canvas)
        empty.setObjectName("yard_empty")
        words = QLabel(tr("No pots yet: add one, then drag bulbs from the shelf onto it."), empty)
        words.setWordWrap(True)
        words.setAlignment(Qt.AlignmentFlag.AlignCenter)
        button = QPushButton(tr("Add a pot"), empty)
        button.setObjectName("add_first_pot")
        button.clicked.connect(self._deeds.add_pot)
        layout = QVBoxLayout(empty)
        layout.addWidget(words)
        layout.addWidget(button, 0, Qt.AlignmentFlag.AlignHCenter)
        return empty

    def _lay_out(self) -> None:
        top = QHBoxLayout()
        top.setContentsMargins(round(0.6 * em()), round(0.2 * em()), round(0.4 * em()), 0)
        top.addWidget(self._heading, 1)
        self._top = top
        for action in self.commands.buttons():
            button = SwitchButton(self)
            button.setDefaultAction(action)
            words = action.text().replace("&", "")
            button.setAccessibleName(words)
            button.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            keys = action.shortcut().toString(QKeySequence.SequenceFormat.NativeText)
            button.setToolTip(f"{words} ({keys})" if keys else words)
            button.setMinimumSize(round(1.6 * em()), round(1.6 * em()))
            top.addWidget(button)
        grid = QGridLayout()
        grid.setSpacing(0)
        grid.addWidget(self.canvas, 0, 0)
        grid.addWidget(self._up, 0, 1)
        grid.addWidget(self._across, 1, 0)
        whole = QVBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(round(0.2 * em()))
        whole.addLayout(top)
        whole.addLayout(grid, 1)
        self.setFocusProxy(self.canvas)
        self.setAccessibleName(tr("Yard"))

    def _connect(self) -> None:
        self.canvas.details_requested.connect(self.details_requested)
        self.canvas.view_changed.connect(self._show_view)
        self._deeds.said.connect(self.said)
        self.commands.benches.said.connect(self.said)
        self._carrying.said.connect(self.said)
        self._pasting.said.connect(self.said)
        self._across.valueChanged.connect(self._scroll)
        self._up.valueChanged.connect(self._scroll)
        self._document.day_changed.connect(self._show_day)
        self._document.yard_changed.connect(self._show_view)

    @Slot()
    def _show_day(self) -> None:
        day = self._document.day
        words = tr("Yard on {day}", day=day)
        if self.canvas.grouping is not None:
            words = tr("Yard by place on {day}", day=day)
        self._heading.setText(words)
        self._heading.setToolTip(
            tr("The pots as they stand on the day of the line in the season; F8 explains the marks")
        )

    @Slot()
    def _show_view(self) -> None:
        canvas, camera = self.canvas, self.canvas.camera
        self._following = True
        most = round(camera.most_scroll(canvas.width(), canvas.row.width))
        self._across.setRange(0, most)
        self._across.setPageStep(canvas.width())
        self._across.setSingleStep(round(3 * em()))
        self._across.setValue(round(camera.scroll))
        self._across.setVisible(most > 0)
        lift = round(camera.most_lift(canvas.height(), em(), canvas.tallest_cm))
        self._up.setRange(0, lift)
        self._up.setPageStep(canvas.height())
        self._up.setSingleStep(round(2 * em()))
        self._up.setValue(lift - round(camera.lift))
        self._up.setVisible(lift > 0)
        self._following = False
        is_empty = not self._document.yard.pots
        self._empty.setVisible(is_empty)
        if is_empty:
            width = min(round(26 * em()), canvas.width())
            high = self._empty.sizeHint().height()
            room = round(canvas.height() - camera.label_lines * em())
            self._empty.setGeometry(
                (canvas.width() - width) // 2, max((room - high) // 2, 0), width, high
            )

    @Slot(int)
    def _scroll(self, _value: int) -> None:
        if not self._following:
            self.canvas.scroll_to(self._across.value(), self._up.maximum() - self._up.value())
