"""The details panel: shows the page of what is selected and keeps it up to date."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, TypeVar

from PySide6.QtCore import Qt, Signal, Slot
from PySide6.QtGui import QAction, QFocusEvent
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from bloomline.model.yard import Yard
from bloomline.ui.details.page import Page
from bloomline.ui.details.yard_page import YardPage
from bloomline.ui.document import Document
from bloomline.ui.season_service import SeasonService
from bloomline.ui.theme import em
from bloomline.words import tr

if TYPE_CHECKING:
    from bloomline.ui.details.companion_page import CompanionPage
    from bloomline.ui.details.layer_page import LayerPage
    from bloomline.ui.details.many_page import PartsPage, PotsPage
    from bloomline.ui.details.pot_page import PotPage

P = TypeVar("P", bound=Page)


class DetailsPanel(QWidget):
    """Everything about what is selected: layer, companions or pot; else about the yard.

    A page is made, and its module read, when it is first shown: five of the six are out of sight
    at the start, and their fields are most of the window's widgets.
    """

    message = Signal(str)
    """Something to be told in passing, such as why a value is refused."""
    gap_asked = Signal(object, object)
    """What would fill bare days is wanted, from the first to the last."""
    mixture_requested = Signal(str)
    """The bulbs of a layer are to be a mixture (layer id)."""
    record_asked = Signal(str)
    """A record is to be corrected (record id)."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._may_be_another = False
        self.setObjectName("details")
        self.setAccessibleName(tr("Details"))
        self._service = service
        self._made: list[Page] = []
        self._noting: QAction | None = None
        # As much as the widest page needs, so that none widens the panel when it is made.
        self.setMinimumWidth(round(14.5 * em()))
        self._pages = QStackedWidget(self)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._pages)
        self.edit_action = QAction(tr("&Edit the details"), self)
        self.edit_action.setObjectName("action_edit_details")
        self.edit_action.setShortcut("F4")
        self.edit_action.triggered.connect(self.start_editing)
        self.lay_out_action = QAction(tr("La&y out the layers properly"), self)
        self.lay_out_action.setObjectName("action_lay_out_layers")
        self.lay_out_action.triggered.connect(self._lay_out)
        document.yard_changed.connect(self._follow_yard)
        document.file_changed.connect(self._follow_file)
        document.selection_changed.connect(self._follow_selection)
        service.report_ready.connect(self._follow_report)
        self._show()

    # The pages

    @cached_property
    def yard_page(self) -> YardPage:
        """The page of the yard."""
        return self._take(YardPage(self._document, self._service, self._pages))

    @cached_property
    def pot_page(self) -> PotPage:
        """The page of one pot."""
        from bloomline.ui.details.pot_page import PotPage

        return self._take(PotPage(self._document, self._service, self._pages))

    @cached_property
    def layer_page(self) -> LayerPage:
        """The page of one layer."""
        from bloomline.ui.details.layer_page import LayerPage

        page = self._take(LayerPage(self._document, self._service, self._pages))
        page.mixture_requested.connect(self.mixture_requested)
        page.history.record_asked.connect(self.record_asked)
        if self._noting is not None:
            page.history.offer(self._noting)
        return page

    @cached_property
    def companion_page(self) -> CompanionPage:
        """The page of companions."""
        from bloomline.ui.details.companion_page import CompanionPage

        return self._take(CompanionPage(self._document, self._service, self._pages))

    @cached_property
    def pots_page(self) -> PotsPage:
        """The page of several pots."""
        from bloomline.ui.details.many_page import PotsPage

        return self._take(PotsPage(self._document, self._service, self._pages))

    @cached_property
    def parts_page(self) -> PartsPage:
        """The page of several layers and companions."""
        from bloomline.ui.details.many_page import PartsPage

        return self._take(PartsPage(self._document, self._service, self._pages))

    def _take(self, page: P) -> P:
        self._made.append(page)
        self._pages.addWidget(page)
        page.refused.connect(self.message)
        page.advice.gap_asked.connect(self.gap_asked)
        return page

    def offer(self, noting: QAction) -> None:
        """Put the action that notes what is seen beside a layer's history."""
        self._noting = noting

    def actions(self) -> list[QAction]:
        """Actions for the menus."""
        return [self.edit_action, self.lay_out_action]

    def stop(self) -> None:
        """Take over what is being typed, and end what is worked out beside the window."""
        self.flush()
        for page in self._made:
            page.stop()

    def flush(self) -> None:
        """Take over what is being typed, as before saving."""
        self.page.flush()

    def draft(self) -> Yard:
        """The yard with what is being typed, which the journal keeps."""
        yard = self._document.yard
        return self.page.draft(yard) if self.page.is_there else yard

    @property
    def page(self) -> Page:
        """The page that is shown."""
        page = self._pages.currentWidget()
        assert isinstance(page, Page)
        return page

    @Slot()
    def start_editing(self) -> None:
        """Put the keyboard into the first field of the page."""
        first = next(iter(self.page.form.fields.values()))
        first.editor.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def focusInEvent(self, event: QFocusEvent) -> None:
        super().focusInEvent(event)
        self.start_editing()

    @Slot(object)
    def _follow_yard(self, _yard: object) -> None:
        self._may_be_another = self._document.undo_stack.count() == 0
        self._show()

    @Slot()
    def _follow_file(self) -> None:
        # Another yard was opened: what was half typed belonged to the one before. (A file
        # that is only saved brings no new yard.)
        if self._may_be_another and self._document.undo_stack.count() == 0:
            self.page.settle()
        self._may_be_another = False

    @Slot(object)
    def _follow_report(self, _report: object) -> None:
        # A quick report comes before the yard's own signal has turned the page.
        if self.page.is_there:
            self.page.refresh()

    @Slot()
    def _follow_selection(self) -> None:
        # What was being typed belongs to what was selected before, if that is still there.
        if self.page.is_there:
            self.page.flush()
        self._show()

    def _show(self) -> None:
        layer_id, pot_id = self._document.layer_id, self._document.pot_id
        selection = self._document.selection
        if selection.is_many:
            many = self.pots_page if selection.pots else self.parts_page
            self._turn_to(many)
            many.show_selection(selection)
        elif layer_id is not None:
            self._turn_to(self.layer_page)
            self.layer_page.show_layer(layer_id)
        elif (companion_id := self._document.companion_id) is not None:
            self._turn_to(self.companion_page)
            self.companion_page.show_companion(companion_id)
        elif pot_id is not None:
            self._turn_to(self.pot_page)
            self.pot_page.show_pot(pot_id)
        else:
            self._turn_to(self.yard_page)
            self.yard_page.refresh()
        self.lay_out_action.setEnabled(pot_id is not None and not selection.is_many)

    def _turn_to(self, page: Page) -> None:
        if self._pages.currentWidget() is page:
            return
        # The pages out of sight forget what they showed: it may be gone when they come back.
        for made in self._made:
            made.forget()
        self._pages.setCurrentWidget(page)

    @Slot()
    def _lay_out(self) -> None:
        pot_id = self._document.pot_id
        if pot_id is None:
            return
        self._document.select(pot_id=pot_id)
        self.pot_page.lay_out_properly()
