"""The season's own weather: import it, keep it with the yard, see how dates have moved."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from PySide6.QtCore import QEvent, Qt, Slot
from PySide6.QtWidgets import (
    QAbstractItemView,
    QFileDialog,
    QHBoxLayout,
    QLabel,
    QSizePolicy,
    QStackedWidget,
    QTabWidget,
    QVBoxLayout,
    QWidget,
)

from bloomline.errors import BloomlineError, StoppedError
from bloomline.files.weather_import import ImportChoices, ImportedWeather
from bloomline.model.weather_edits import add_weather, clear_weather
from bloomline.plan.climate.own_weather import bridged, is_of_here, kept_weather
from bloomline.plan.forecast.later import LaterItems
from bloomline.plan.forecast.report import Band
from bloomline.ui.document import Document
from bloomline.ui.dressed import Splitter, say_as
from bloomline.ui.page_frame import PageFrame
from bloomline.ui.page_kit import EmptyState, start_folder
from bloomline.ui.progress import WorkingRow
from bloomline.ui.quiet_table import Line, QuietTable
from bloomline.ui.season_service import SeasonService
from bloomline.ui.theme import em
from bloomline.ui.weather.climate_view import ClimateView, PlaceYear, place_year
from bloomline.ui.weather.drift_chart import DriftChart
from bloomline.ui.weather.jobs import Read, Told, read_file, tell_weather
from bloomline.ui.weather.question import QuestionDialog
from bloomline.words import number_words, plural, short_day_words, tr

_MOST_BAD = 5
"""So many bad lines of a table are told one by one."""


class WeatherPage(PageFrame):
    """What the season's weather has been, and what it did to the expected dates."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(document, service, parent, name="weather_page")
        self.setAccessibleName(tr("Weather"))
        self.told: Told | None = None
        self._dialog: QuestionDialog | None = None
        self._asked: Read | None = None
        self._telling = self._beside(self._take)
        self._reading = self._beside(self._take_file)
        self._looking = self._beside(self._take_year)
        self._make_parts()
        self._make_actions()
        self._lay_out()
        self._show_kept()
        self._follow_document()
        document.selection_changed.connect(self._follow_selection)

    def _make_parts(self) -> None:
        self.kept = QLabel(self)
        say_as(self.kept, "heading")
        self.kept.setWordWrap(True)
        self.kept.setTextFormat(Qt.TextFormat.PlainText)
        self.strayed = QLabel(self)
        self.strayed.setWordWrap(True)
        self._working = WorkingRow(
            self,
            name="weather",
            what=tr("Working out how dates moved"),
            stop=tr("Stop working out how dates moved"),
        )
        self.bar, self.cancel = self._working.bar, self._working.cancel
        self.chart = DriftChart(self)
        self.table = QuietTable(
            self,
            name="weather_table",
            heads=(
                tr("Cultivar"),
                tr("First said"),
                tr("Now"),
                tr("Days"),
                tr("Cold weeks, of"),
                tr("Heat so far"),
            ),
            wide=0,
        )
        self.table.setAccessibleName(tr("What the weather did to each layer"))
        self.table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.table.row_chosen.connect(self._choose)
        self.empty = EmptyState(
            tr(
                "This yard keeps no weather yet. Import daily minima and maxima from a table "
                "(CSV, hourly or daily) or an EPW file, and its days count as facts."
            ),
            tr("Import weather…"),
            self,
        )
        self.empty.button.clicked.connect(self.ask_import)
        self.climate = ClimateView(self)

    def _make_actions(self) -> None:
        self._take_in = self._action("action_import_weather", self.ask_import)
        self._clear = self._action("action_clear_weather", self.forget)

    def _lay_out(self) -> None:
        gap = round(em() * 0.6)
        self._head = QWidget(self)
        head = QHBoxLayout(self._head)
        head.setContentsMargins(0, 0, 0, 0)
        head.addWidget(self.kept, 1)
        head.addWidget(self._button(self._clear))
        head.addWidget(self._button(self._take_in))
        split = Splitter(Qt.Orientation.Horizontal, self)
        split.addWidget(self.chart)
        split.addWidget(self.table)
        split.setSizes([620, 580])
        full = QWidget(self)
        inner = QVBoxLayout(full)
        inner.setContentsMargins(0, 0, 0, 0)
        inner.setSpacing(gap)
        inner.addWidget(self._head)
        inner.addWidget(self.strayed)
        inner.addWidget(self._working)
        self._stack = QStackedWidget(self)
        self._stack.addWidget(self.empty)
        self._stack.addWidget(full)
        self._stack.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Maximum)
        self.tabs = QTabWidget(self)
        self.tabs.setObjectName("weather_tabs")
        self.tabs.setDocumentMode(True)
        self.tabs.tabBar().setDrawBase(False)
        self.tabs.setAccessibleName(tr("Views of the weather"))
        self.tabs.addTab(split, tr("How dates moved"))
        self.tabs.addTab(self.climate, tr("The year at this place"))
        column = QVBoxLayout(self)
        column.setContentsMargins(gap, gap, gap, gap)
        column.addWidget(self.notice)
        column.addWidget(self._stack)
        column.addWidget(self.tabs, 1)

    def stop(self) -> None:
        """End the work beside the window."""
        self._working.drop()
        super().stop()

    # Importing

    @Slot()
    def ask_import(self) -> None:
        """Ask for a file and import it."""
        name, _ = QFileDialog.getOpenFileName(
            self,
            tr("Import weather"),
            str(start_folder(self._document)),
            tr("Weather tables (*.csv *.txt *.tsv *.dat *.epw);;All files (*)"),
            options=QFileDialog.Option.ReadOnly,  # no deleting or renaming from there
        )
        if name:
            self.import_file(Path(name))

    def import_file(self, path: Path, choices: ImportChoices | None = None) -> None:
        """Read a weather file beside the window, and keep its days with the yard."""
        self._reading.ask(
            partial(read_file, path, choices or ImportChoices(), yard=self._document.yard)
        )

    @Slot(object)
    def _take_file(self, read: object) -> None:
        if isinstance(read, BloomlineError):
            self.notice.tell(str(read))
            return
        if not isinstance(read, Read):
            return
        if isinstance(read.answer, ImportedWeather):
            self._keep(read.answer)
            return
        self._asked = read
        self._dialog = QuestionDialog(
            read.answer,
            choices=read.choices,
            season_year=self._document.yard.season_year,
            parent=self,
        )
        self._dialog.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._dialog.accepted.connect(self._take_answer)
        self._dialog.open()

    @Slot()
    def _take_answer(self) -> None:
        if self._dialog is not None and self._asked is not None:
            self.import_file(self._asked.path, self._dialog.choices)
            self._dialog = None

    def _keep(self, imported: ImportedWeather) -> None:
        try:
            weather = kept_weather(imported)
        except BloomlineError as error:
            self.notice.tell(str(error))
            return
        self._document.edit(tr("Import weather"), lambda yard: add_weather(yard, weather))
        words = tr(
            "Imported {days} from {label}.",
            days=plural("{n} day", "{n} days", len(imported.daily.days)),
            label=imported.label,
        )
        bad = imported.daily.bad
        told = [*imported.notes, *bad[:_MOST_BAD]]
        if len(bad) > _MOST_BAD:
            told.append(tr("Lines left out in all: {n}", n=len(bad)))
        self.notice.tell(" ".join([words, *(f"{each[:1].upper()}{each[1:]}." for each in told)]))

    @Slot()
    def forget(self) -> None:
        """Forget the weather that is kept; undo brings it back."""
        self._document.edit(tr("Forget weather"), clear_weather)

    # Telling

    @Slot(object)
    def _follow(self, yard: object) -> None:
        self._show_kept()
        super()._follow(yard)

    def _show_kept(self) -> None:
        weather = self._document.yard.weather
        self._clear.setEnabled(weather is not None)
        self._stack.setCurrentIndex(0 if weather is None else 1)
        self.tabs.setTabVisible(0, weather is not None)
        if weather is None:
            return
        kept = bridged(weather)
        words = tr(
            "{label}: {recorded} from {first} to {last}",
            label=weather.label,
            recorded=plural("{n} recorded day", "{n} recorded days", kept.n_recorded),
            first=short_day_words(kept.first_day, year=True),
            last=short_day_words(kept.last_day, year=True),
        )
        if kept.n_bridged:
            words += plural(
                ", {n} missing day bridged", ", {n} missing days bridged", kept.n_bridged
            )
        if kept.n_missing:
            words += plural(
                ", {n} day left to the weather years",
                ", {n} days left to the weather years",
                kept.n_missing,
            )
        if not is_of_here(self._document.yard):
            words += ". " + tr("They are of another place and don't count here.")
        self.kept.setText(words)
        self.kept.setToolTip(weather.note)

    def _work_out(self) -> None:
        outlook = self._outlook
        self._working.drop()  # what is under way is of an older yard
        self._looking.ask(partial(place_year, outlook))
        if outlook.recorded is None or self._document.yard.weather is None:
            self._telling.drop()
            self.told = None
            return
        self._telling.ask(partial(tell_weather, outlook, progress=self._working.begin()))

    def changeEvent(self, event: QEvent) -> None:
        super().changeEvent(event)
        if event.type() == QEvent.Type.PaletteChange:
            self.chart.update()

    @Slot(object)
    def _take_year(self, answer: object) -> None:
        if isinstance(answer, PlaceYear):
            self.climate.show_year(answer)
        else:
            self.notice.tell(str(answer))

    @Slot(object)
    def _take(self, answer: object) -> None:
        if isinstance(answer, StoppedError) and not self._working.is_cancelled:
            return  # a newer answer is on its way
        self._working.hide()
        if isinstance(answer, StoppedError):
            self.strayed.setText(tr("Stopped; change the yard or show the page again."))
            self._stale = True
            return
        if not isinstance(answer, Told):
            self.notice.tell(str(answer))
            return
        self.told = answer
        self.strayed.setText(self._departure(answer))
        self.chart.show_drift(answer.drift)
        self._fill(answer)
        self._follow_selection()

    def _departure(self, told: Told) -> str:

        def degrees(n_days: int) -> str:
            value = told.departure.over(n_days)
            sign = "+" if value >= 0 else "−"
            return f"{sign}{number_words(abs(value), 1)} °C"

        words = tr(
            "Against normal: {day} on the last day, {week} over a week, {month} over a month.",
            day=degrees(1),
            week=degrees(7),
            month=degrees(30),
        )
        if not told.drift.cutoffs:
            words += " " + tr("None of these days falls in the season shown.")
        return words

    def _fill(self, told: Told) -> None:
        def line(at: int) -> Line:
            layer = told.drift.layers[at]
            had = told.so_far[layer.layer_id]
            moved = layer.moved_days
            cold = number_words(had.cold_weeks, 1)
            if had.cold_weeks_needed is None:
                of = tr("none needed")
            else:
                needed = had.cold_weeks_needed
                of = f"{cold} / {number_words(needed, 0 if needed % 1 == 0 else 1)}"
            cells = (
                layer.name,
                self._day(layer.expected[0]),
                self._day(layer.expected[-1]),
                "" if moved is None else f"{moved:+d}".replace("-", "−") if moved else "0",
                of,
                "" if had.heat_share is None else f"{100 * had.heat_share:.0f} %",
            )
            return Line(cells, layer.pot_name)

        self.table.show_lines(LaterItems(len(told.drift.layers), line), right=(3, 4, 5))

    def _day(self, band: Band | None) -> str:
        return tr("no flower") if band is None else short_day_words(band.p50)

    @Slot(int)
    def _choose(self, row: int) -> None:
        if self.told is not None and row >= 0:
            layer_id = self.told.drift.layers[row].layer_id
            self.chart.choose(layer_id)
            self._document.select(layer_id=layer_id)

    @Slot()
    def _follow_selection(self) -> None:
        layer_id = self._document.layer_id
        self.chart.choose(layer_id)
        layers = () if self.told is None else self.told.drift.layers
        row = next((at for at, each in enumerate(layers) if each.layer_id == layer_id), -1)
        if row not in (-1, self.table.row):
            self.table.choose(row)
