"""Carrying a cultivar, a layer, companions or a pot over the yard, by hand or by keys.

Both ways ask the same judges, show the same marker and drop with the same edit.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date

from PySide6.QtCore import QObject, QPointF, Signal, Slot

from bloomline.draw.pot.layout import LayerSpots, cut_pot
from bloomline.errors import BloomlineError
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import PlaceChoice
from bloomline.plan.carry.drops import Cargo, Verdict, judge_beside, judge_on_pot
from bloomline.plan.carry.telling import Drop, Told, drop_of
from bloomline.plan.pot.fitting import fill_of
from bloomline.ui.document import Document
from bloomline.ui.shelf.planting import usual_day_at
from bloomline.ui.yard.arranging import Places
from bloomline.ui.yard.deeds import ids_of, select_new
from bloomline.ui.yard.ghost_card import CardText, card_text
from bloomline.ui.yard.scene import PotRow
from bloomline.ui.yard.telling import Telling
from bloomline.ui.yard.top_words import companion_name
from bloomline.ui.yard.tops import Top, top_after
from bloomline.ui.yard.words import kind_name
from bloomline.words import tr

_DEPTH_STEP_CM = 1.0


@dataclass(frozen=True, slots=True)
class Target:
    """Where a cargo would go: onto a pot at a depth below its rim, or into a gap of the row.

    place : in a yard that is arranged by place, the number of the place that a pot would go to.
    """

    pot_id: str | None = None
    depth_cm: float | None = None
    gap: int | None = None
    place: int | None = None


@dataclass(frozen=True, slots=True)
class Marker:
    """What to show while carrying.

    Where it would go, the verdict, the bulbs as they would lie or the companions as they would
    stand at `surface_cm` below the rim, and what is told of it.
    """

    target: Target
    verdict: Verdict
    ghost: LayerSpots | None
    point: QPointF | None
    told: tuple[Told, ...] = ()
    top: Top | None = None
    surface_cm: float = 0.0

    @property
    def text(self) -> CardText:
        """What the card says. What is told in lines needs no sentence as well."""
        title = self.verdict.name if self.told else self.verdict.words
        return card_text(title, self.told, allowed=self.verdict.allowed)


class Carrying(QObject):
    """What is being carried, and what a drop would do now."""

    changed = Signal()
    said = Signal(str)

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self.places: Places | None = None
        """Set while the yard is arranged by place."""
        self._cargo: Cargo | None = None
        self._copy = False
        self._by_keys = False
        self._marker: Marker | None = None
        self._telling = Telling(document, self)
        self._telling.told.connect(self._take_told)
        self._usual: tuple[tuple[PlaceChoice, int], Callable[[Cultivar], date]] | None = None
        document.outlook_changed.connect(self._judge_anew)
        document.yard_changed.connect(self._forget_lost)

    @property
    def marker(self) -> Marker | None:
        """What to show; None when nothing is carried over the yard."""
        return self._marker

    @property
    def by_keys(self) -> bool:
        """Whether something is carried by keys."""
        return self._by_keys

    @property
    def cargo(self) -> Cargo | None:
        """What is carried."""
        return self._cargo

    # By hand

    def over(
        self, row: PotRow, cargo: Cargo, point: QPointF, *, x: float, y: float, copy: bool
    ) -> bool:
        """Judge a drop at a point of the row; returns whether it is allowed."""
        self._cargo, self._copy, self._by_keys = cargo, copy, False
        if self.places is not None and cargo.kind == "pot" and not copy:
            target = Target(place=self.places.group_at(x))
        else:
            target = target_at(row, cargo, x=x, y=y)
        self._judge(target, point)
        return self._marker is not None and self._marker.verdict.allowed

    def leave(self) -> None:
        """Nothing is carried over the yard any more."""
        if self._marker is not None or self._cargo is not None:
            self._cargo, self._marker, self._by_keys = None, None, False
            self.changed.emit()

    def drop(self) -> bool:
        """Do what the marker says; returns whether the yard changed."""
        marker, cargo, copy = self._marker, self._cargo, self._copy
        self.leave()
        if marker is None or cargo is None or marker.verdict.apply is None:
            if marker is not None:
                self.said.emit(marker.verdict.words)
            return False
        known = ids_of(self._document.yard)
        if not self._document.edit(marker.verdict.name, marker.verdict.apply):
            return False
        if cargo.kind in ("cultivar", "companion") or copy:
            select_new(self._document, known)
        elif cargo.kind == "planting":
            self._document.select(companion_id=cargo.id)
        elif cargo.kind == "layer":
            self._document.select(layer_id=cargo.id)
        else:
            self._document.select(pot_id=cargo.id)
        self.said.emit(marker.verdict.words)
        return True

    # By keys

    def pick_up(self, *, copy: bool) -> None:
        """Take the selected layer or companions, else the pot, to be put down elsewhere."""
        layer_id, pot_id = self._document.layer_id, self._document.pot_id
        if pot_id is None:
            self.said.emit(tr("Select a pot, a layer or companions first"))
            return
        self._by_keys, self._copy = True, copy
        planting = self._document.selected_companion()
        if self.places is not None and not copy:
            self._cargo = Cargo("pot", pot_id)
            name = self._document.yard.pot(pot_id).name
            target = Target(place=self.places.group_of(pot_id))
        elif planting is not None:
            self._cargo = Cargo("planting", planting.id)
            name = companion_name(planting.companion_id)
            target = Target(pot_id=pot_id)
        elif layer_id is not None:
            self._cargo = Cargo("layer", layer_id)
            layer = self._document.yard.layer(layer_id)[1]
            name = kind_name(self._document, layer.cultivar_id)
            target = Target(pot_id=pot_id)
        else:
            self._cargo = Cargo("pot", pot_id)
            name = self._document.yard.pot(pot_id).name
            target = Target(gap=self._index_of(pot_id) + 1)
        self._judge(target, None)
        words = (
            tr("Copying {0}: choose where with the arrow keys, then paste; Escape cancels")
            if copy
            else tr("Carrying {0}: choose where with the arrow keys, then paste; Escape cancels")
        )
        self.said.emit(words.format(name))

    def step(self, along: int) -> None:
        """Carry on to the next pot or gap."""
        if self._marker is None:
            return
        target = self._marker.target
        pots = self._document.yard.pots
        if target.place is not None and self.places is not None:
            place = min(max(target.place + along, 0), self.places.count - 1)
            self._judge(Target(place=place), None)
        elif target.gap is not None:
            gap = min(max(target.gap + along, 0), len(pots))
            self._judge(Target(gap=gap), None)
        elif target.pot_id is not None:
            index = min(max(self._index_of(target.pot_id) + along, 0), len(pots) - 1)
            self._judge(Target(pot_id=pots[index].id), None)
        self._tell()

    def deepen(self, deeper: int) -> None:
        """Carry a layer deeper (1) or shallower (-1) over the same pot."""
        marker = self._marker
        if marker is None or marker.target.pot_id is None or not marker.verdict.allowed:
            return
        if self._cargo is not None and self._cargo.kind == "planting":
            return  # it stands on the surface
        verdict = marker.verdict
        middle = verdict.tip_from_rim_cm + 0.5 * verdict.bulb_height_cm
        depth = middle + deeper * _DEPTH_STEP_CM
        self._judge(Target(pot_id=marker.target.pot_id, depth_cm=depth), None)
        self._tell()

    def aim_at(self, pot_id: str) -> None:
        """Carry to a pot chosen otherwise, as by a click."""
        if self._by_keys and self._cargo is not None:
            if self._marker is not None and self._marker.target.place is not None and self.places:
                self._judge(Target(place=self.places.group_of(pot_id)), None)
                return
            is_pot = self._cargo.kind == "pot"
            target = Target(gap=self._index_of(pot_id)) if is_pot else Target(pot_id=pot_id)
            self._judge(target, None)

    def _tell(self) -> None:
        if self._marker is not None:
            words = self._marker.verdict.words
            told = self._marker.text
            self.said.emit("; ".join([words, *told.spoken_lines]) if told.lines else words)

    @Slot(object)
    def _take_told(self, told: object) -> None:
        """The season of what is carried has been worked out beside."""
        if self._marker is not None and isinstance(told, tuple):
            self._marker = replace(self._marker, told=told)
            self.changed.emit()
            if self._by_keys:
                self._tell()

    def stop(self) -> None:
        """Put down what is carried and end the work beside the window."""
        self.leave()
        self._telling.stop()

    # The judges

    def _judge(self, target: Target, point: QPointF | None) -> None:
        cargo = self._cargo
        if cargo is None:
            return
        old = self._marker
        try:
            verdict = self._verdict(cargo, target)
        except BloomlineError as error:
            verdict = Verdict(allowed=False, words=str(error))
        same = (
            old is not None
            and old.target.pot_id == target.pot_id
            and (old.verdict.cover_cm == verdict.cover_cm and old.verdict.words == verdict.words)
        )
        if same and old is not None:
            self._marker = replace(old, target=target, verdict=verdict, point=point)
        else:
            self._marker = self._marked(cargo, target, verdict, point)
        self.changed.emit()

    @Slot(object)
    def _judge_anew(self, _outlook: object) -> None:
        """Another yard, place or weather year: what was told is of another one."""
        marker, self._marker = self._marker, None
        if marker is not None:
            self._judge(marker.target, marker.point)

    def _marked(
        self, cargo: Cargo, target: Target, verdict: Verdict, point: QPointF | None
    ) -> Marker:
        drop = None
        if verdict.allowed and target.pot_id is not None:
            drop = drop_of(self._document.outlook, cargo, verdict=verdict, pot_id=target.pot_id)
        told = self._telling.of(drop)
        if drop is None or cargo.kind == "pot":
            return Marker(target, verdict, None, point, told)
        try:
            if cargo.kind in ("companion", "planting"):
                top, surface_cm = top_after(drop, cultivar_of=self._document.cultivar)
                return Marker(target, verdict, None, point, told, top, surface_cm)
            return Marker(target, verdict, self._ghost(drop), point, told)
        except BloomlineError:
            return Marker(target, verdict, None, point, told)

    def _verdict(self, cargo: Cargo, target: Target) -> Verdict:
        yard = self._document.yard
        if target.place is not None and self.places is not None:
            return self.places.judge(cargo.id, target.place)
        if target.pot_id is None:
            return judge_beside(yard, cargo, index=target.gap or 0, copy=self._copy)
        return judge_on_pot(
            yard,
            cargo,
            pot_id=target.pot_id,
            depth_from_rim_cm=target.depth_cm,
            copy=self._copy,
            cultivar_of=self._document.cultivar,
            usual_day=self._usual_day(),
        )

    def _ghost(self, drop: Drop) -> LayerSpots | None:
        """The carried bulbs as they would lie after the drop."""
        only = tuple(each for each in drop.pot.layers if each.id == drop.part_id)
        cut = cut_pot(
            drop.pot.model_copy(update={"layers": only}), cultivar_of=self._document.cultivar
        )
        return cut.layers[0] if cut.layers else None

    def _usual_day(self) -> Callable[[Cultivar], date]:
        yard = self._document.yard
        key = (yard.place, yard.season_year)
        if self._usual is None or self._usual[0] != key:
            self._usual = (key, usual_day_at(yard))
        return self._usual[1]

    def _forget_lost(self, _yard: object) -> None:
        """Put down what an undo or another edit took away."""
        cargo, marker = self._cargo, self._marker
        if cargo is None or marker is None:
            return
        here = ids_of(self._document.yard)
        gone = cargo.kind not in ("cultivar", "companion") and cargo.id not in here
        if gone or (marker.target.pot_id is not None and marker.target.pot_id not in here):
            self.leave()

    def _index_of(self, pot_id: str) -> int:
        pots = self._document.yard.pots
        return next((i for i, each in enumerate(pots) if each.id == pot_id), 0)


def target_at(row: PotRow, cargo: Cargo, *, x: float, y: float) -> Target:
    """Where a cargo dropped at a point would go.

    Bulbs go into the pot under the pointer, at its depth when it is inside; a pot goes into
    the nearest gap, whatever it is dropped on.
    """
    placed = row.pot_under(x)
    if cargo.kind == "pot" or placed is None:
        return Target(gap=row.gap_index(x))
    depth = placed.depth_cm(y, row.scale)
    fill = fill_of(placed.pot)
    inside = fill.rim_gap_cm <= depth <= placed.pot.inside_height_cm
    return Target(pot_id=placed.pot.id, depth_cm=depth if inside else None)
