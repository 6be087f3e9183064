"""The window: one calm screen with shelf, season, yard and details, and its menus."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QByteArray, QSize, Qt, Slot
from PySide6.QtGui import QAction, QCloseEvent, QDragEnterEvent, QDropEvent
from PySide6.QtWidgets import (
    QApplication,
    QMainWindow,
    QPushButton,
    QSplitter,
    QVBoxLayout,
    QWidget,
)

from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.reference.catalogue import load_catalogue
from bloomline.ui.colours_menu import ask_system_for, chosen_theme
from bloomline.ui.conditions.looking import LookingBar
from bloomline.ui.conditions.strip import ConditionsStrip
from bloomline.ui.details.panel import DetailsPanel
from bloomline.ui.document import Document
from bloomline.ui.dressed import Splitter
from bloomline.ui.files.blank import blank_yard
from bloomline.ui.files.desk import FileDesk
from bloomline.ui.files.dropping import handle_file_drop
from bloomline.ui.files.memory import Memory, ProgramSettings
from bloomline.ui.fill.gap_column import GapColumn
from bloomline.ui.hands.filter import Hands
from bloomline.ui.hands.plain import shown
from bloomline.ui.hands.typing import commit_pending
from bloomline.ui.hands.undoing import Undoing
from bloomline.ui.kinds.desk import KindsDesk
from bloomline.ui.menu_bar import LEGEND_KEY, MenuBar
from bloomline.ui.pages import Pages, stop_part
from bloomline.ui.records.desk import RecordsDesk
from bloomline.ui.season.legend import Legend
from bloomline.ui.season.panel import SeasonPanel
from bloomline.ui.season_service import SeasonService
from bloomline.ui.shelf.panel import ShelfPanel
from bloomline.ui.shelf.planting import plant_in_selected_pot, stock_words
from bloomline.ui.stage.switches import StageSwitches
from bloomline.ui.theme import dress, em
from bloomline.ui.yard.panel import YardPanel
from bloomline.words import tr

if TYPE_CHECKING:
    from datetime import date

    from bloomline.model.yard import Yard
    from bloomline.ui.help.page import HelpPage

_MESSAGE_MS = 8000


class MainWindow(QMainWindow):
    """One yard in one window."""

    def __init__(
        self,
        *,
        forecaster: Forecaster | None = None,
        settings: ProgramSettings | None = None,
        state: Path | None = None,
    ) -> None:
        super().__init__()
        self.setObjectName("main_window")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose, False)
        self.settings: ProgramSettings = settings or Memory()
        self.document = Document(
            blank_yard(), catalogue=load_catalogue(), forecaster=forecaster, parent=self
        )
        self.service = SeasonService(self.document, parent=self)
        self.hands = Hands(self)
        self.undoing = Undoing(self.document, self)
        self.files = FileDesk(self.document, self, settings=self.settings, state=state, parent=self)
        self._make_frame()
        self.conditions = ConditionsStrip(self.document, self.service, self._centre)
        self.shelf_column = GapColumn(self.document, self._across)
        self.shelf = ShelfPanel(self.document, self.service, self.shelf_column)
        self.shelf_column.take(self.shelf)
        self._middle = self._splitter(Qt.Orientation.Vertical, "middle", self._across)
        self.season = SeasonPanel(self.document, self.service, self._middle, settings=self.settings)
        self.yard = YardPanel(self.document, self.service, self._middle)
        self.details = DetailsPanel(self.document, self.service, self._across)
        self.files.keeper.draft = self.details.draft
        self.records = RecordsDesk(self.document, self.service, self)
        self.kinds = KindsDesk(self.document, self)
        self.records.join(season=self.season, yard=self.yard, details=self.details)
        self.stage = StageSwitches(
            self.document, yard=self.yard, season=self.season, settings=self.settings, parent=self
        )
        self._help: HelpPage | None = None
        self._stopped = False
        self._lay_out()
        self._make_menus()
        self._share_commands()
        self._connect()
        self.setAcceptDrops(True)
        self._retitle()
        self._restore_layout()

    # Layout

    def _make_frame(self) -> None:
        """What holds the parts, there before them: each part is made where it is to stay.

        A widget that changes its parent is dressed anew with all that is in it.
        """
        self._centre = QWidget(self)
        self.setCentralWidget(self._centre)
        self._yard_page = QWidget()
        self.pages = Pages(self._yard_page, self.document, self.service, parent=self._centre)
        self._across = self._splitter(Qt.Orientation.Horizontal, "across", self._yard_page)

    def _lay_out(self) -> None:
        self._middle.setStretchFactor(0, 3)
        self._middle.setStretchFactor(1, 2)
        for place, stretch in enumerate((0, 1, 0)):
            self._across.setStretchFactor(place, stretch)
        column = QVBoxLayout(self._centre)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.conditions)
        # Made now, and as high as it can get, so that no message moves what stands over it.
        self.looking = LookingBar(self.document, self.statusBar())
        self.statusBar().addPermanentWidget(self.looking)
        self.statusBar().setMinimumHeight(self.looking.sizeHint().height() + 4)
        self.legend = Legend(self.service, self._yard_page)
        below = QVBoxLayout(self._yard_page)
        below.setContentsMargins(0, 0, 0, 0)
        below.setSpacing(0)
        below.addWidget(self._across, 1)
        below.addWidget(self.legend)
        self.stage.lanes.toggled.connect(self.legend.be_thin)
        self.legend.be_thin(self.stage.lanes.isChecked())
        column.addWidget(self.pages, 1)
        # Made with the frame, but last for the keyboard.
        last = self.previousInFocusChain()
        assert last is not None
        self.setTabOrder(last, self.pages.tabs)
        unit = em()
        self.resize(QSize(round(82 * unit), round(52 * unit)))
        self.setMinimumSize(QSize(round(48 * unit), round(32 * unit)))
        self._middle.setSizes([round(28 * unit), round(24 * unit)])
        self._across.setSizes([round(16 * unit), round(48 * unit), round(17 * unit)])

    def _splitter(self, orientation: Qt.Orientation, name: str, parent: QWidget) -> QSplitter:
        """A splitter; what is made in it stands in the order of making."""
        splitter = Splitter(orientation, parent)
        splitter.setObjectName(f"{name}_splitter")
        splitter.setHandleWidth(max(5, round(0.35 * em())))
        return splitter

    def _kept(
        self,
    ) -> tuple[tuple[str, Callable[[], QByteArray], Callable[[QByteArray], bool]], ...]:
        return (
            ("window/geometry", self.saveGeometry, self.restoreGeometry),
            ("window/across", self._across.saveState, self._across.restoreState),
            ("window/middle", self._middle.saveState, self._middle.restoreState),
        )

    def _restore_layout(self) -> None:
        for name, _, restore in self._kept():
            value = self.settings.value(name)
            if isinstance(value, str):
                restore(QByteArray.fromBase64(value.encode("ascii", "replace")))

    def _remember_layout(self) -> None:
        for name, save, _ in self._kept():
            self.settings.setValue(name, bytes(save().toBase64().data()).decode("ascii"))

    # Menus

    def _make_menus(self) -> None:
        self.menus = MenuBar(self)
        self.menus.language.told.connect(self.say)
        self.menus.colours.chosen.connect(self.take_colours)
        self.menuBar().setCornerWidget(self.pages.tabs)
        self.pages.tabs.setVisible(self.pages.tabs.count() > 1)

    def _share_commands(self) -> None:
        """Let what edits the yard work on its season as well."""
        commands = self.yard.commands
        commands.share_with(self.season.view, self.season.table_view)
        self.season.offer(commands.editing())
        self.yard.offer(self.details.lay_out_action)

    def all_actions(self) -> list[QAction]:
        """Every command of the menus and of the Yard page, in order."""
        return self.menus.commands()

    # What happens

    def _connect(self) -> None:
        self.document.file_changed.connect(self._retitle)
        self.document.yard_changed.connect(self._retitle)
        self.document.undo_stack.cleanChanged.connect(self._retitle)
        self.document.refused.connect(self.say)
        self.service.failed.connect(self.say)
        self.shelf.plant_requested.connect(self._plant)
        self.shelf_column.message.connect(self.say)
        self.shelf_column.marked.connect(self.season.view.mark_gap)
        self.season.view.gap_asked.connect(self.fill_gap)
        self.details.gap_asked.connect(self.fill_gap)
        self.shelf.packet_requested.connect(self.kinds.open_packet)
        self.kinds.told.connect(self.say)
        self.kinds.made.connect(self.shelf.show_cultivar)
        self.kinds.plant_asked.connect(self._plant)
        self.details.mixture_requested.connect(self.kinds.mix_layer)
        self.details.message.connect(self.say)
        self.files.told.connect(self.say)
        self.undoing.told.connect(self.say)
        self.hands.typed.connect(self._take_typing)
        self.season.details_requested.connect(self._show_details)
        self.season.first_yard_requested.connect(self.files.new_yard)
        self.season.add_pot_requested.connect(self._add_pot)
        self.yard.details_requested.connect(self._show_details)
        self.yard.said.connect(self.say)
        self.stage.said.connect(self.say)
        self.pages.page_made.connect(self._take_page)
        self.pages.currentChanged.connect(self._turn_page)
        self.season.empty.open_requested.connect(self.files.open)
        self.season.empty.recent_requested.connect(self.files.open_recent)
        self.document.file_changed.connect(self._list_recent)

    def start(self, path: Path | None) -> None:
        """Work the season out, open a yard if one is given, offer what a crash left behind."""
        opened = path is not None and self.files.open_path(path)
        if not opened:
            self.service.refresh()
        self._list_recent()
        self.season.setFocus(Qt.FocusReason.OtherFocusReason)
        self.kinds.load_kept()
        self.files.offer_recovery()

    @Slot()
    def _take_typing(self) -> None:
        self.setWindowModified(self.files.is_unsaved)
        self.undoing.refresh()
        self.files.refresh()
        self.files.keeper.typed()

    @Slot()
    def _retitle(self, *_: object) -> None:
        self.setWindowModified(self.files.is_unsaved)
        self.setWindowTitle(f"{shown(self.document.title)}[*] — bloomline")
        self.setWindowFilePath(str(self.document.path) if self.document.path else "")

    @Slot(str)
    def say(self, words: str) -> None:
        """Show a sentence in the status line."""
        self.statusBar().showMessage(shown(words), _MESSAGE_MS)

    @Slot(str)
    def _plant(self, cultivar_id: str) -> None:
        reason = plant_in_selected_pot(self.document, cultivar_id)
        words = reason or stock_words(self.document, cultivar_id)
        if words:
            self.say(words)

    @Slot()
    def _show_details(self, *_: object) -> None:
        self.menus.show_details.setChecked(True)
        self.details.setFocus(Qt.FocusReason.ShortcutFocusReason)

    @Slot(bool)
    def take_legend(self, wanted: bool) -> None:
        """Show or hide the legend, and remember it."""
        self.legend.setVisible(wanted)
        if self.settings.value(LEGEND_KEY) is not wanted:
            self.settings.setValue(LEGEND_KEY, wanted)

    @Slot(QWidget)
    def _take_page(self, page: QWidget) -> None:
        told = getattr(page, "message", None)
        if told is not None:
            told.connect(self.say)

    @Slot(int)
    def _turn_page(self, place: int) -> None:
        self.yard.commands.show_in_sight(place == 0)

    @Slot()
    def _list_recent(self) -> None:
        self.season.empty.show_recent(self.files.recent.paths())

    @Slot()
    def _add_pot(self) -> None:
        for action in self.yard.actions():
            if action.objectName() == "action_add_pot":
                action.trigger()

    @Slot()
    def export_chart(self) -> None:
        """Open the export dialog for the season as it is shown."""
        self._open_chart(to_print=False)

    @Slot()
    def print_chart(self) -> None:
        """Open the same dialog with Print at hand."""
        self._open_chart(to_print=True)

    def _open_chart(self, *, to_print: bool) -> None:
        if self.service.report is None:
            self.say(tr("The season is still being worked out"))
            return
        commit_pending(self)
        from bloomline.ui.export.dialog import ExportDialog

        dialog = ExportDialog(
            self.document,
            self,
            settings=self.settings,
            by_first_flower=self.season.by_first_flower,
            to_print=to_print,
        )
        dialog.exec()
        dialog.stop()
        dialog.deleteLater()

    @Slot()
    def print_cards(self) -> None:
        """Show planting cards on the page Print."""
        self._show_paper("cards")

    @Slot()
    def print_labels(self) -> None:
        """Show labels on the page Print."""
        self._show_paper("labels")

    def _show_paper(self, what: str) -> None:
        from bloomline.ui.labels.page import LabelsPage

        page = self.pages.go_to("labels")
        assert isinstance(page, LabelsPage)
        page.choices.choose(what)
        page.print_button.setFocus(Qt.FocusReason.ShortcutFocusReason)

    @Slot()
    def print_tasks(self) -> None:
        """Show the tasks, with the keyboard on Print."""
        self._show_button("work", "button_work_print")

    @Slot()
    def print_shopping(self) -> None:
        """Show what is to be bought, with the keyboard on Print."""
        self._show_button("buy", "button_buy_print")

    def _show_button(self, page: str, name: str) -> None:
        button = self.pages.go_to(page).findChild(QPushButton, name)
        if isinstance(button, QPushButton):
            button.setFocus(Qt.FocusReason.ShortcutFocusReason)

    @Slot(object, object)
    def fill_gap(self, first: date, last: date) -> None:
        """Show in the place of the shelf what would fill some days."""
        self.menus.show_shelf.setChecked(True)
        self.shelf_column.open_gap(first, last)

    @Slot()
    def search_shelf(self) -> None:
        """Put the keyboard into the shelf's search, wherever it is now."""
        self.pages.go_to("yard")
        self.menus.show_shelf.setChecked(True)
        self.shelf_column.search()

    @Slot()
    def show_help(self) -> None:
        """Open the page with first steps, keys and sources."""
        if self._help is None:
            from bloomline.ui.help.page import HelpPage

            self._help = HelpPage(self.menus.key_groups(), self)
        self._help.show()
        self._help.raise_()

    @Slot()
    def show_about(self) -> None:
        """Open the box with version, licences and the safety note."""
        from bloomline.ui.help.about import AboutBox

        box = AboutBox(self)
        box.exec()
        box.deleteLater()

    @Slot()
    def take_colours(self) -> None:
        """Take the colours chosen, or again those of the system."""
        ask_system_for(chosen_theme(self.settings))
        self.dress_anew()

    @Slot()
    def dress_anew(self) -> None:
        """Follow the system from light to dark or back, unless colours of its own are chosen."""
        app = QApplication.instance()
        if isinstance(app, QApplication):
            dress(app, chosen_theme(self.settings))

    def rescue(self) -> Yard:
        """The yard as it is, with what is being typed, for the crash path to keep."""
        return self.details.draft()

    # Files dropped on the window, and its end

    def dragEnterEvent(self, event: QDragEnterEvent) -> None:
        if handle_file_drop(event.mimeData()) is not None:
            event.acceptProposedAction()

    def dropEvent(self, event: QDropEvent) -> None:
        path = handle_file_drop(event.mimeData())
        if path is not None:
            event.acceptProposedAction()
            self.files.open_path(path)

    def stop(self) -> None:
        """End all work beside the window; safe to call twice."""
        if self._stopped:
            return
        self._stopped = True
        self.pages.currentChanged.disconnect(self._turn_page)  # they go one by one
        self.hands.stop()
        self.undoing.stop()
        for part in (
            self.records,
            self.kinds,
            self.stage,
            self.pages,
            self.conditions,
            self.shelf_column,
            self.season,
            self.yard,
            self.details,
            self.files,
        ):
            stop_part(part)
        self.service.stop()

    def closeEvent(self, event: QCloseEvent) -> None:
        if not self.files.maybe_close():
            event.ignore()
            return
        self._remember_layout()
        self.stop()
        if self._help is not None:
            self._help.close()
        event.accept()
