"""The details panel: shows the page of what is selected and keeps it up to date."""

from __future__ import annotations

from PySide6.QtCore import QEvent, Qt, Signal, Slot
from PySide6.QtGui import QAction, QFocusEvent
from PySide6.QtWidgets import QStackedWidget, QVBoxLayout, QWidget

from bloomline.model.yard import Yard
from bloomline.ui.details.companion_page import CompanionPage
from bloomline.ui.details.layer_page import LayerPage
from bloomline.ui.details.many_page import ManyPage, PartsPage, PotsPage
from bloomline.ui.details.page import Page
from bloomline.ui.details.pot_page import PotPage
from bloomline.ui.details.yard_page import YardPage
from bloomline.ui.document import Document
from bloomline.ui.season_service import SeasonService
from bloomline.ui.theme import current_theme, tone_of
from bloomline.words import tr


class DetailsPanel(QWidget):
    """Everything about what is selected: layer, companions or pot; else about the yard."""

    message = Signal(str)
    gap_asked = Signal(object, object)
    """What would fill bare days is wanted, from the first to the last."""
    """Something to be told in passing, such as why a value is refused."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self._document = document
        self._may_be_another = False
        self.setObjectName("details")
        self.setAccessibleName(tr("Details"))
        self.layer_page = LayerPage(document, service, self)
        self.pot_page = PotPage(document, service, self)
        self.companion_page = CompanionPage(document, service, self)
        self.yard_page = YardPage(document, service, self)
        self.pots_page = PotsPage(document, service, self)
        self.parts_page = PartsPage(document, service, self)
        self._pages = QStackedWidget(self)
        for page in (
            *(self.yard_page, self.pot_page, self.layer_page, self.companion_page),
            *(self.pots_page, self.parts_page),
        ):
            self._pages.addWidget(page)
            page.refused.connect(self.message)
            page.advice.gap_asked.connect(self.gap_asked)
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
        self._dress()
        self._show()

    def actions(self) -> list[QAction]:
        """Actions for the menus."""
        return [self.edit_action, self.lay_out_action]

    def stop(self) -> None:
        """Take over what is being typed, and end what is worked out beside the window."""
        self.flush()
        for page in self.findChildren(Page):
            page.stop()

    def flush(self) -> None:
        """Take over what is being typed, as before saving."""
        self.page.flush()

    def draft(self) -> Yard:
        """The yard with what is being typed, which the journal keeps."""
        yard = self._document.yard
        return self.page.draft(yard) if self._is_there(self.page) else yard

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
        if self._is_there(self.page):
            self.page.refresh()

    @Slot()
    def _follow_selection(self) -> None:
        # What was being typed belongs to what was selected before, if that is still there.
        if self._is_there(self.page):
            self.page.flush()
        self._show()

    def _is_there(self, page: Page) -> bool:
        yard, target = self._document.yard, page.target
        if isinstance(page, ManyPage):
            return page.is_there
        if page is self.pot_page:
            return any(pot.id == target for pot in yard.pots)
        if page is self.companion_page:
            return any(planting.id == target for _, planting in yard.companions())
        if page is self.layer_page:
            return any(layer.id == target for _, layer in yard.layers())
        return True

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
        self.layer_page.forget()
        self.companion_page.forget()
        self.pot_page.forget()
        self.pots_page.forget()
        self.parts_page.forget()
        self._pages.setCurrentWidget(page)

    @Slot()
    def _lay_out(self) -> None:
        pot_id = self._document.pot_id
        if pot_id is None:
            return
        self._document.select(pot_id=pot_id)
        self.pot_page.lay_out_properly()

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange and hasattr(self, "_pages"):
            self._dress()

    def _dress(self) -> None:
        """Show which card the keyboard is on."""
        sheet = f"QFrame#card:focus {{ border: 2px solid {tone_of(current_theme()).focus}; }}"
        if self.styleSheet() != sheet:
            self.setStyleSheet(sheet)
