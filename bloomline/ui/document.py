"""The open yard: its value, its undo stack, what is selected and which day is looked at.

Views read from here and listen to its signals; every change goes through `edit`, so that all
of it can be undone and the rules of an edit are asked in one place.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Iterable, Sequence
from datetime import date
from pathlib import Path
from typing import Literal

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoCommand, QUndoStack

from bloomline.errors import BloomlineError
from bloomline.model.companion import CompanionPlanting
from bloomline.model.cultivar import Cultivar
from bloomline.model.edits import set_place
from bloomline.model.kind_edits import with_kinds_used
from bloomline.model.yard import Layer, OwnCultivar, PlaceChoice, Pot, Yard
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.season.outlook import Outlook
from bloomline.reference.catalogue import Catalogue
from bloomline.ui.selection import NOTHING, Selection, kinds_in, selection_of, stretched, toggled
from bloomline.words import tr

_MERGE_BASE = 0x1000
_MOST_PLACES = 7
_MOST_LAYERS_KEPT = 12_000


class _Change(QUndoCommand):
    """One step of the undo stack: the yard before and after.

    Steps of one gesture carry the same key and merge into one.
    """

    def __init__(
        self, document: Document, name: str, before: Yard, after: Yard, key: str | None
    ) -> None:
        super().__init__(name)
        self._document = document
        self._before = before
        self._after = after
        self._key = key

    def id(self) -> int:
        return -1 if self._key is None else _MERGE_BASE

    def mergeWith(self, other: QUndoCommand) -> bool:
        if not isinstance(other, _Change) or other._key != self._key or self._key is None:
            return False
        self._after = other._after
        return True

    def redo(self) -> None:
        self._document._show(self._after)

    def undo(self) -> None:
        self._document._show(self._before)


class Document(QObject):
    """A yard being worked on."""

    outlook_changed = Signal(object)
    """The yard is looked at in another way (Outlook): told before what it was that changed."""
    yard_changed = Signal(object)
    """The yard has a new value (Yard)."""
    selection_changed = Signal()
    day_changed = Signal(object)
    """The day looked at (date)."""
    weather_year_changed = Signal(object)
    """Rank of the single weather year looked at, or None for all."""
    place_looked_at_changed = Signal(object)
    """The season is looked at as at another place (PlaceChoice), or None: where the yard is."""
    use_records_changed = Signal(bool)
    """Whether forecasts use what the yard's records taught."""
    file_changed = Signal()
    """Another file, or saved under another name."""
    refused = Signal(str)
    """An edit was refused; the words say why."""

    def __init__(
        self,
        yard: Yard,
        *,
        catalogue: Catalogue,
        forecaster: Forecaster | None = None,
        clock: Callable[[], date] = date.today,
        parent: QObject | None = None,
    ) -> None:
        """Open a yard. forecaster : the only one of the window."""
        super().__init__(parent)
        self._clock = clock
        self._outlook = Outlook.of(
            yard, catalogue=catalogue, forecaster=forecaster or Forecaster(), today=clock()
        )
        self._listed = catalogue
        self._kept_kinds: tuple[OwnCultivar, ...] = ()
        self.path: Path | None = None
        self.seen: str | None = None
        self.undo_stack = QUndoStack(self)
        self._pot_id: str | None = None
        self._layer_id: str | None = None
        self._companion_id: str | None = None
        self._selection = NOTHING
        self._anchor: str | None = None
        self._day = date(yard.season_year, 4, 15)
        self._day_from: Literal["opening", "offer", "hand"] = "opening"
        self._weather_year: int | None = None
        self._use_records = True
        self._place_looked_at: PlaceChoice | None = None
        self._elsewhere: OrderedDict[PlaceChoice, Outlook] = OrderedDict()
        self._moved: dict[PlaceChoice, Yard] = {}
        self._elsewhere_of = self._outlook
        self._counted: tuple[object, int] = (None, 0)

    # What it is

    @property
    def yard(self) -> Yard:
        """The yard as it is now."""
        return self._outlook.yard

    @property
    def outlook(self) -> Outlook:
        """What every page answers from. On another day than before it is another one."""
        self._look()
        return self._outlook

    def _look(self, **changes: object) -> None:
        today = self._clock()
        if today != self._outlook.today:
            changes["today"] = today
        if changes:
            self._outlook = self._outlook.with_(**changes)
            self.outlook_changed.emit(self._outlook)

    @property
    def catalogue(self) -> Catalogue:
        """The catalogue that the yard's cultivars come from."""
        return self._outlook.catalogue

    def cultivar(self, cultivar_id: str) -> Cultivar:
        """A cultivar by id: the yard's own or the catalogue's. Raises UnknownNameError."""
        return self._outlook.cultivar_of(cultivar_id)

    def offer_kept(self, kinds: tuple[OwnCultivar, ...]) -> None:
        """Put the gardener's kinds for all yards beside the catalogue.

        A yard that comes to use one gets a copy with the same edit, so that its file stands alone.
        """
        if kinds != self._kept_kinds:
            self._kept_kinds = kinds
            self._look(catalogue=self._listed.with_own(kinds))
            self.yard_changed.emit(self.yard)

    @property
    def title(self) -> str:
        """What to call it in a title bar."""
        return self.path.name if self.path else self.yard.name

    @property
    def is_clean(self) -> bool:
        """Whether all changes are saved."""
        return self.undo_stack.isClean()

    # Changing it

    def edit(
        self, name: str, change: Callable[[Yard], Yard], *, gesture: str | None = None
    ) -> bool:
        """Apply a change as one step that can be undone.

        gesture : steps with the same word, one after another, become one step (the moves of
        one slider drag). Returns whether the yard changed; a refusal is told by `refused`.
        """
        before = self.yard
        try:
            after = with_kinds_used(change(before), self._kept_kinds)
        except BloomlineError as error:
            self.refused.emit(str(error))
            return False
        if after is before or after == before:
            return False
        self.undo_stack.push(_Change(self, name, before, after, gesture))
        return True

    def replace(self, yard: Yard, *, path: Path | None, seen: str | None) -> None:
        """Open another yard in place of this one; there is nothing to undo then."""
        self.undo_stack.clear()
        # Clearing an empty stack leaves the mark of a recovered yard, which is in no file, on it.
        self.undo_stack.setClean()
        self.path, self.seen = path, seen
        self._pot_id = self._layer_id = self._companion_id = None
        self._selection, self._anchor = NOTHING, None
        self._day = date(yard.season_year, 4, 15)
        self._day_from = "opening"
        self.look_at_place(None)
        self._show(yard, weather_year=None)
        self.file_changed.emit()
        self.weather_year_changed.emit(None)
        self.day_changed.emit(self._day)

    def saved_as(self, path: Path, seen: str) -> None:
        """Note that the yard as it is now lies in a file."""
        self.path, self.seen = path, seen
        self.undo_stack.setClean()
        self.file_changed.emit()

    def _show(self, yard: Yard, **changes: object) -> None:
        moved = yard.place != self.yard.place
        self._outlook = self._outlook.with_(yard=yard, **changes)
        if moved:
            self.look_at_place(None)  # who moves the yard, by undo too, wants to see it there
        # First the selection: who follows the yard may ask for what is selected.
        if self._forget_lost_selection():
            self.selection_changed.emit()
        self.outlook_changed.emit(self._outlook)
        self.yard_changed.emit(yard)

    # What is selected

    @property
    def pot_id(self) -> str | None:
        """Id of the selected pot (of the pot of the layer or companions when those are).

        Where several things are selected, this and the next two tell the one chosen last.
        """
        return self._pot_id

    @property
    def layer_id(self) -> str | None:
        """Id of the selected layer, if one is."""
        return self._layer_id

    @property
    def companion_id(self) -> str | None:
        """Id of the selected planting of companions, if one is."""
        return self._companion_id

    @property
    def selection(self) -> Selection:
        """All that is selected."""
        return self._selection

    def selected_pot(self) -> Pot | None:
        """The selected pot."""
        return self.yard.pot(self._pot_id) if self._pot_id else None

    def selected_layer(self) -> Layer | None:
        """The selected layer."""
        return self.yard.layer(self._layer_id)[1] if self._layer_id else None

    def selected_companion(self) -> CompanionPlanting | None:
        """The selected planting of companions."""
        return self.yard.companion(self._companion_id)[1] if self._companion_id else None

    def select(
        self,
        *,
        pot_id: str | None = None,
        layer_id: str | None = None,
        companion_id: str | None = None,
    ) -> None:
        """Select a layer or companions (and their pot), a pot, or nothing.

        A view may still show what an edit has just removed: of a part that is gone its pot is
        selected, if that is there.
        """
        kinds = kinds_in(self.yard)
        pot_id, layer_id, companion_id = (
            each if each in kinds else None for each in (pot_id, layer_id, companion_id)
        )
        if layer_id is not None:
            companion_id = None
        name = self._anchor = layer_id or companion_id or pot_id
        if name is None:
            chosen = NOTHING
        elif name == layer_id:
            chosen = Selection(layers=(name,))
        else:
            chosen = (
                Selection(companions=(name,)) if name == companion_id else Selection(pots=(name,))
            )
        if self._put_selection(chosen, name):
            self.selection_changed.emit()

    def select_all(self, ids: Iterable[str], *, current: str | None = None) -> None:
        """Select pots, or layers and companions.

        current : the one that the others must be like, and that is looked at; else the last.
        """
        kinds, names = kinds_in(self.yard), list(ids)
        current = current if current in kinds else next(iter(names[::-1]), None)
        if current is None:
            self.select()
            return
        self._anchor = current
        self._choose(selection_of(names, kinds, like=current), current)

    def select_too(self, name: str) -> None:
        """Add a pot, layer or companions to what is selected, or leave it out again."""
        kinds = kinds_in(self.yard)
        if name in kinds:
            self._anchor = name
            self._choose(toggled(self._selection, name, kinds), name)

    def select_up_to(self, name: str, order: Sequence[str]) -> None:
        """Select all from the last one chosen alone up to this one, in the order shown."""
        kinds = kinds_in(self.yard)
        if name in kinds and name in order:
            self._choose(stretched(self._anchor, name, order, kinds), name)

    def _choose(self, chosen: Selection, current: str) -> None:
        if self._put_selection(chosen, current):
            self.selection_changed.emit()

    def _put_selection(self, chosen: Selection, current: str | None) -> bool:
        """Take a selection without telling; whether it is another one."""
        name = current if current in chosen else next(iter(chosen.ids[::-1]), None)
        pot_id = layer_id = companion_id = None
        if name is not None and name in chosen.layers:
            pot_id, layer_id = self.yard.layer(name)[0].id, name
        elif name is not None and name in chosen.companions:
            pot_id, companion_id = self.yard.companion(name)[0].id, name
        else:
            pot_id = name
        before = (self._pot_id, self._layer_id, self._companion_id, self._selection)
        self._pot_id, self._layer_id, self._companion_id = pot_id, layer_id, companion_id
        self._selection = chosen
        return before != (pot_id, layer_id, companion_id, chosen)

    def _forget_lost_selection(self) -> bool:
        if self._pot_id is None and not self._selection.ids:
            return False
        kinds, current = kinds_in(self.yard), self._layer_id or self._companion_id or self._pot_id
        left = [name for name in self._selection.ids if name in kinds]
        if left:
            return self._put_selection(selection_of(left, kinds, like=left[-1]), current)
        # Of a part that is gone its pot stays selected.
        is_there = self._pot_id is not None and kinds.get(self._pot_id) == "pot"
        pots = (self._pot_id,) if self._pot_id is not None and is_there else ()
        return self._put_selection(Selection(pots=pots), self._pot_id)

    # What is looked at

    @property
    def day(self) -> date:
        """The day on which the yard is shown."""
        return self._day

    @property
    def day_is_chosen(self) -> bool:
        """Whether someone has chosen the day looked at since the yard was opened."""
        return self._day_from == "hand"

    def offer_day(self, day: date | None) -> None:
        """Show the yard on a day worth seeing, unless one has been chosen since it was opened."""
        if day is not None and self._day_from == "opening":
            self.look_at(day)
            self._day_from = "offer"

    def look_at(self, day: date) -> None:
        """Show the yard on another day."""
        self._day_from = "hand"
        if day != self._day:
            self._day = day
            self.day_changed.emit(day)

    @property
    def weather_year(self) -> int | None:
        """Rank of the single weather year looked at (0 the coldest), or None for all."""
        return self._outlook.weather_year

    def look_at_weather_year(self, rank: int | None) -> None:
        """Look at one weather year, or at all of them."""
        if rank != self.weather_year:
            self._look(weather_year=rank)
            self.weather_year_changed.emit(rank)

    @property
    def use_records(self) -> bool:
        """Whether forecasts use what the yard's records taught."""
        return self._outlook.use_records

    def look_with_records(self, use: bool) -> None:
        """Show forecasts with what the records taught, or without, to see what it changes."""
        if use != self.use_records:
            self._look(use_records=use)
            self.use_records_changed.emit(use)

    @property
    def place_looked_at(self) -> PlaceChoice | None:
        """The place as at which the season is looked at, None for where the yard is."""
        return self._place_looked_at

    def look_at_place(self, place: PlaceChoice | None) -> None:
        """Look at the season as at another place; the yard stays where it is."""
        if place == self.yard.place:
            place = None
        if place != self._place_looked_at:
            self._place_looked_at = place
            self.place_looked_at_changed.emit(place)

    @property
    def seen_outlook(self) -> Outlook:
        """How the season is looked at: at the yard's own place, or as at another one."""
        return self.outlook_at(self._place_looked_at)

    def outlook_at(self, place: PlaceChoice | None) -> Outlook:
        """How the season would be looked at as at a place, None for where the yard is.

        The same value for the same place while nothing else changes, so that what was worked out
        there serves again; the places asked for last are kept, fewer the larger the yard.
        """
        if place is None or place == self.yard.place:
            return self._outlook
        kept = self._elsewhere
        if self._elsewhere_of is not self._outlook:
            same = self._elsewhere_of.yard is self.yard
            self._moved = {each: outlook.yard for each, outlook in kept.items()} if same else {}
            kept.clear()
            self._elsewhere_of = self._outlook
        if place not in kept:
            moved = self._moved.get(place) or set_place(self.yard, place)
            kept[place] = self._outlook.with_(yard=moved)
        kept.move_to_end(place)
        while len(kept) > self.places_kept:
            kept.popitem(last=False)
        return kept[place]

    @property
    def places_kept(self) -> int:
        """How many places beside the yard's own keep what was worked out there; 2 at least."""
        pots = self.yard.pots
        if self._counted[0] is not pots:
            self._counted = pots, sum(len(pot.layers) for pot in pots)
        return max(2, min(_MOST_PLACES, _MOST_LAYERS_KEPT // max(self._counted[1], 1)))

    def set_place(self, place: PlaceChoice, *, gesture: str | None = None) -> bool:
        """Move the yard to another place."""
        from bloomline.model import edits

        return self.edit(
            tr("Change place"), lambda yard: edits.set_place(yard, place), gesture=gesture
        )
