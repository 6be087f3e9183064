"""What pages of the window have in common: worked out when shown and changed, and stopped."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import Signal, Slot
from PySide6.QtGui import QAction, QShowEvent
from PySide6.QtWidgets import QPushButton, QWidget

from bloomline.plan.season.outlook import Outlook
from bloomline.ui.document import Document
from bloomline.ui.page_commands import action_of, with_keys
from bloomline.ui.page_kit import Notice
from bloomline.ui.season_service import Beside, SeasonService


class PageFrame(QWidget):
    """A page that works things out beside the window, and only while it is shown.

    A page calls `_follow_document` when its parts stand, and says in `_work_out` what to ask.
    """

    message = Signal(str)
    """Something to be told in passing."""

    def __init__(
        self,
        document: Document,
        service: SeasonService,
        parent: QWidget | None = None,
        *,
        name: str,
    ) -> None:
        super().__init__(parent)
        self.setObjectName(name)
        self._document, self._service = document, service
        self._answered: Outlook | None = None
        self._stale = True
        self._stopped = False
        self._besides: list[Beside] = []
        self._actions: list[QAction] = []
        self.notice = Notice(self)

    def _beside(self, answered: Callable[[object], None]) -> Beside:
        """A worker beside the window that is stopped with the page."""
        beside = Beside(self)
        beside.answered.connect(answered)
        self._besides.append(beside)
        return beside

    def _action(self, name: str, what: Callable[[], object]) -> QAction:
        """An action of the page's table of commands; its keys work within the page."""
        action = action_of(name, self)
        action.triggered.connect(what)
        self.addAction(action)
        self._actions.append(action)
        return action

    def _button(self, action: QAction) -> QPushButton:
        button = QPushButton(action.icon(), action.text(), self)
        button.setObjectName(action.objectName().replace("action", "button"))
        button.setAutoDefault(False)
        button.setToolTip(with_keys(action))
        button.setEnabled(action.isEnabled())
        action.enabledChanged.connect(button.setEnabled)
        button.clicked.connect(action.trigger)
        return button

    def actions(self) -> list[QAction]:
        """What the page can do; all of it stands on the page itself."""
        return list(self._actions)

    def stop(self) -> None:
        """End the work beside the window; safe to call twice."""
        if not self._stopped:
            self._stopped = True
            for beside in self._besides:
                beside.stop()

    def _follow_document(self) -> None:
        self._document.outlook_changed.connect(self._follow)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if self._stale:
            self.refresh()

    @Slot(object)
    def _follow(self, _outlook: object) -> None:
        if self._outlook is self._answered:
            return  # only another weather year is looked at
        self._stale = True
        if self.isVisible():
            self.refresh()

    @Slot()
    def refresh(self) -> None:
        """Work everything out anew."""
        if not self._stopped:
            self._stale = False
            self._answered = self._outlook
            self._work_out()

    @property
    def _outlook(self) -> Outlook:
        """What the page answers from: the yard over all weather years."""
        return self._document.outlook.usual

    def _work_out(self) -> None:
        raise NotImplementedError
