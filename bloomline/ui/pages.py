"""The window's pages beside the yard: made when first shown, ended with the window."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from importlib import import_module

from PySide6.QtCore import QObject, Qt, Signal, Slot
from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QStackedWidget, QTabBar, QWidget

from bloomline.ui.document import Document
from bloomline.ui.season_service import SeasonService
from bloomline.words import tr


@dataclass(frozen=True, slots=True)
class PageSpec:
    """A page: its stable name, where it is made, and its title in the user's language."""

    name: str
    module: str
    class_name: str
    title: Callable[[], str]


PAGES: tuple[PageSpec, ...] = (
    PageSpec("fill", "bloomline.ui.fill.page", "FillPage", lambda: tr("Plan")),
    PageSpec("work", "bloomline.ui.work.page", "WorkPage", lambda: tr("Work")),
    PageSpec("stage", "bloomline.ui.stage.page", "StagePage", lambda: tr("Stage")),
    PageSpec("buy", "bloomline.ui.buy.page", "BuyPage", lambda: tr("Buy")),
    PageSpec("records", "bloomline.ui.records.page", "RecordsPage", lambda: tr("Records")),
    PageSpec("labels", "bloomline.ui.labels.page", "LabelsPage", lambda: tr("Print")),
    PageSpec("weather", "bloomline.ui.weather.page", "WeatherPage", lambda: tr("Weather")),
    PageSpec("compare", "bloomline.ui.compare.page", "ComparePage", lambda: tr("Compare")),
)
"""In the order of their tabs. Modules are loaded on first show, so that a start is quick."""


class Pages(QStackedWidget):
    """The yard and the pages beside it, with a tab and an action each."""

    page_made = Signal(QWidget)
    """A page was shown for the first time."""

    def __init__(
        self,
        yard: QWidget,
        document: Document,
        service: SeasonService,
        *,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(parent)
        self.setObjectName("pages")
        self._document = document
        self._service = service
        self._made: dict[str, QWidget] = {}
        self._yard = yard
        self.addWidget(yard)
        self.tabs = QTabBar(parent)
        self.tabs.setObjectName("page_tabs")
        self.tabs.setAccessibleName(tr("Pages"))
        self.tabs.setDrawBase(False)
        self.tabs.setExpanding(False)
        self.tabs.setUsesScrollButtons(False)
        self.tabs.setElideMode(Qt.TextElideMode.ElideNone)
        self._group = QActionGroup(self)
        titles = [tr("Yard"), *(spec.title() for spec in PAGES)]
        names = ["yard", *(spec.name for spec in PAGES)]
        for place, (name, title) in enumerate(zip(names, titles, strict=True)):
            self.tabs.addTab(title)
            action = QAction(title, self._group)
            action.setObjectName(f"action_page_{name}")
            action.setShortcut(QKeySequence(f"Alt+{place + 1}"))
            action.setCheckable(True)
            action.setChecked(place == 0)
            action.setData(place)
        self.tabs.currentChanged.connect(self.show_page)
        self._group.triggered.connect(self._show_chosen)

    def actions_of_pages(self) -> list[QAction]:
        """One action a page, that of the yard first."""
        return self._group.actions()

    @Slot(QAction)
    def _show_chosen(self, action: QAction) -> None:
        self.show_page(int(action.data()))

    @Slot(int)
    def show_page(self, place: int) -> None:
        """Show a page by its place among the tabs, the yard's being 0; make it if it is new."""
        widget = self._yard if place == 0 else self._page(PAGES[place - 1])
        self.setCurrentWidget(widget)
        self.tabs.setCurrentIndex(place)
        self._group.actions()[place].setChecked(True)

    def go_to(self, name: str) -> QWidget:
        """Show a page by its name."""
        names = ["yard", *(spec.name for spec in PAGES)]
        self.show_page(names.index(name))
        shown = self.currentWidget()
        assert shown is not None
        return shown

    def page(self, name: str) -> QWidget:
        """A page by its name, made if it is new."""
        return self._page(next(spec for spec in PAGES if spec.name == name))

    def _page(self, spec: PageSpec) -> QWidget:
        if spec.name not in self._made:
            make = getattr(import_module(spec.module), spec.class_name)
            page: QWidget = make(self._document, self._service, self)
            page.setWindowTitle(spec.title())
            self._made[spec.name] = page
            self.addWidget(page)
            self.page_made.emit(page)
        return self._made[spec.name]

    def stop(self) -> None:
        """End what the pages work on beside the window."""
        for page in self._made.values():
            stop_part(page)


def stop_part(part: QObject) -> None:
    """End what a part of the window works on, if it works on anything."""
    end: object = getattr(part, "stop", None)
    if callable(end):
        end()
