"""What can be done to pots and their parts without carrying them: each one step to undo."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from bloomline.errors import BloomlineError
from bloomline.model import edits
from bloomline.model.companion_edits import add_companion, remove_companion
from bloomline.model.many_edits import duplicate_all, remove_all
from bloomline.model.yard import Pot, Yard
from bloomline.ui.document import Document
from bloomline.ui.selection import many_words
from bloomline.ui.yard.scene import HandleKind, is_long
from bloomline.ui.yard.top_words import companion_name
from bloomline.ui.yard.words import kind_name
from bloomline.words import tr

_DEPTH_STEP_CM = 1.0
_SIZE_STEP_CM = 0.5
_SMALLEST_CM = 8.0
_WIDEST_CM = {True: 1000.0, False: 500.0}
_TALLEST_CM = 200.0


class Deeds(QObject):
    """Edits of the selected pot or layer."""

    said = Signal(str)
    """What was done or why not, for a status line."""

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document

    # Pots

    def add_pot(self) -> None:
        """Put a usual pot behind the selected one, or at the end, and select it."""
        yard = self._document.yard
        names = {pot.name for pot in yard.pots}
        number = len(yard.pots) + 1
        while (name := tr("Pot {number}", number=number)) in names:
            number += 1
        pot = Pot(
            id=edits.next_id(yard, "pot"),
            name=name,
            top_width_cm=30.0,
            bottom_width_cm=22.0,
            inside_height_cm=28.0,
            wall_cm=1.2,
            material="fired-clay-once",
            crocks_cm=2.0,
            rim_gap_cm=2.5,
        )
        index = self._index_of(self._document.pot_id)
        at = None if index is None else index + 1
        if self._document.edit(tr("Add pot"), lambda before: edits.add_pot(before, pot, index=at)):
            self._document.select(pot_id=pot.id)
            self.said.emit(tr("{name} added", name=name))

    def duplicate(self) -> None:
        """Copy all that is selected: layers and companions within their pots, or whole pots."""
        if self._document.selection.is_many:
            self._duplicate_many()
            return
        pot, layer = self._document.selected_pot(), self._document.selected_layer()
        if pot is None:
            return
        known = ids_of(self._document.yard)
        planting = self._document.selected_companion()
        if planting is not None:
            copy = planting.model_copy(
                update={"id": edits.next_id(self._document.yard, "companion")}
            )
            pot_id = pot.id
            done = self._document.edit(
                tr("Duplicate companions"), lambda yard: add_companion(yard, pot_id, copy)
            )
        elif layer is not None:
            layer_id, pot_id = layer.id, pot.id
            done = self._document.edit(
                tr("Duplicate layer"), lambda yard: edits.copy_layer(yard, layer_id, pot_id)
            )
        else:
            name = pot.id
            done = self._document.edit(
                tr("Duplicate pot"), lambda yard: edits.duplicate_pot(yard, name)
            )
        if done:
            select_new(self._document, known)

    def _duplicate_many(self) -> None:
        document, ids = self._document, self._document.selection.ids
        known, what = ids_of(document.yard), many_words(document.selection)
        name = tr("Duplicate {what}", what=what)
        if document.edit(name, lambda yard: duplicate_all(yard, ids)):
            document.select_all(new_ids(document.yard, known))
            self.said.emit(tr("Duplicated: {what}", what=what))

    def _delete_many(self) -> None:
        document, ids = self._document, self._document.selection.ids
        what = many_words(document.selection)
        if document.edit(tr("Delete {what}", what=what), lambda yard: remove_all(yard, ids)):
            self.said.emit(tr("Deleted: {what}; undo brings them back", what=what))

    def rename_pot(self, pot_id: str, name: str) -> None:
        """Give a pot another name."""
        name = name.strip()
        if not name:
            self.said.emit(tr("A pot needs a name; the old one is kept"))
            return
        self._document.edit(tr("Rename pot"), lambda yard: edits.rename_pot(yard, pot_id, name))

    def delete(self) -> None:
        """Delete all that is selected; where it was one, the next is selected then."""
        if self._document.selection.is_many:
            self._delete_many()
            return
        pot, layer = self._document.selected_pot(), self._document.selected_layer()
        if pot is None:
            return
        if self._document.companion_id is not None:
            self._delete_companions(pot)
            return
        if layer is not None:
            layer_id = layer.id
            rest = [each.id for each in pot.layers if each.id != layer_id]
            at = pot.layers.index(layer)
            name = kind_name(self._document, layer.cultivar_id)
            if self._document.edit(
                tr("Delete layer"), lambda yard: edits.remove_layer(yard, layer_id)
            ):
                after = rest[min(at, len(rest) - 1)] if rest else None
                self._document.select(pot_id=pot.id, layer_id=after)
                self.said.emit(tr("{name} taken out of {pot_name}", name=name, pot_name=pot.name))
            return
        index = self._index_of(pot.id) or 0
        pot_id = pot.id
        if self._document.edit(tr("Delete pot"), lambda yard: edits.remove_pot(yard, pot_id)):
            pots = self._document.yard.pots
            self._document.select(pot_id=pots[min(index, len(pots) - 1)].id if pots else None)
            self.said.emit(tr("{pot_name} deleted; undo brings it back", pot_name=pot.name))

    def _delete_companions(self, pot: Pot) -> None:
        planting = self._document.selected_companion()
        if planting is None:
            return
        planting_id = planting.id
        at = pot.companions.index(planting)
        rest = [each.id for each in pot.companions if each.id != planting_id]
        if self._document.edit(
            tr("Delete companions"), lambda yard: remove_companion(yard, planting_id)
        ):
            after = rest[min(at, len(rest) - 1)] if rest else None
            self._document.select(pot_id=pot.id, companion_id=after)
            name = companion_name(planting.companion_id)
            self.said.emit(tr("{name} taken out of {pot_name}", name=name, pot_name=pot.name))

    def move_pot(self, step: int) -> None:
        """Move the selected pot along the row."""
        pot = self._document.selected_pot()
        index = self._index_of(self._document.pot_id)
        if pot is None or index is None:
            return
        to = index + step
        if not 0 <= to < len(self._document.yard.pots):
            self.said.emit(tr("{pot_name} stands at the end already", pot_name=pot.name))
            return
        pot_id = pot.id
        self._document.edit(tr("Move pot"), lambda yard: edits.move_pot(yard, pot_id, to))

    # Layers

    def move_layer(self, deeper: int) -> None:
        """Lay the selected layer a step deeper (1) or shallower (-1).

        Where it would pass a neighbour, the two change places.
        """
        pot, layer = self._document.selected_pot(), self._document.selected_layer()
        if pot is None or layer is None:
            return
        at = pot.layers.index(layer)
        cover = layer.cover_cm + deeper * _DEPTH_STEP_CM
        beside = at - deeper  # layers lie from the deepest up
        layer_id, pot_id = layer.id, pot.id
        if 0 <= beside < len(pot.layers):
            other = pot.layers[beside].cover_cm
            if (cover - other) * deeper > 0.0:
                self._document.edit(
                    tr("Change order of layers"),
                    lambda yard: edits.move_layer(yard, layer_id, pot_id, index=beside),
                )
                return
        lowest = self._lowest_cover(pot, layer.cultivar_id)
        wanted = min(max(cover, 0.0), lowest)
        if (wanted - layer.cover_cm) * deeper <= 0.0:
            self.said.emit(
                tr("It lies on the crocks already")
                if deeper > 0
                else tr("It lies at the surface already")
            )
            return
        self._document.edit(
            tr("Change depth"),
            lambda yard: edits.change_layer(yard, layer_id, cover_cm=wanted),
        )

    def _lowest_cover(self, pot: Pot, cultivar_id: str) -> float:
        try:
            height = self._document.cultivar(cultivar_id).bulb_height_cm
        except BloomlineError:
            height = 0.0
        return max(int(2.0 * (pot.compost_depth_cm - height)) / 2.0, 0.0)

    # Sizes

    def resize(
        self, pot: Pot, handle: HandleKind, *, dx_cm: float, dy_cm: float, gesture: str
    ) -> None:
        """Change a pot's size by how far a handle was dragged from where the pot was `pot`.

        The rim's end widens the whole pot, the foot's end its bottom alone, the middle of the
        rim its height. All steps of one drag are one step to undo.
        """
        long = is_long(pot)
        ends = (
            ("top_length_cm", "bottom_length_cm") if long else ("top_width_cm", "bottom_width_cm")
        )
        top, bottom = float(getattr(pot, ends[0])), float(getattr(pot, ends[1]))
        fields: dict[str, float]
        if handle == "width":
            wide = _stepped(top + dx_cm, _SMALLEST_CM, _WIDEST_CM[long])
            fields = {ends[0]: wide, ends[1]: max(round(bottom * wide / top, 1), 2.0)}
        elif handle == "base":
            fields = {ends[1]: _stepped(bottom + dx_cm, 4.0, max(top, bottom))}
        else:
            least = pot.inside_height_cm - pot.compost_depth_cm + 1.0
            tall = _stepped(pot.inside_height_cm - dy_cm, least, _TALLEST_CM)
            fields = {"inside_height_cm": tall}
        pot_id = pot.id
        self._document.edit(
            tr("Resize pot"),
            lambda yard: edits.change_pot(yard, pot_id, **fields),
            gesture=gesture,
        )

    def _index_of(self, pot_id: str | None) -> int | None:
        pots = self._document.yard.pots
        return next((i for i, each in enumerate(pots) if each.id == pot_id), None)


def _stepped(value: float, least: float, most: float) -> float:
    stepped = round(value / _SIZE_STEP_CM) * _SIZE_STEP_CM
    return min(max(stepped, least), most)


def ids_of(yard: Yard) -> set[str]:
    """The ids of all pots, layers and companions."""
    pots = {pot.id for pot in yard.pots}
    companions = {planting.id for _, planting in yard.companions()}
    return pots | companions | {layer.id for _, layer in yard.layers()}


def new_ids(yard: Yard, known: set[str]) -> list[str]:
    """What an edit brought in, in the order of the yard: pots, else what lies in them."""
    pots = [pot.id for pot in yard.pots if pot.id not in known]
    layers = [layer.id for _, layer in yard.layers() if layer.id not in known]
    on_top = [planting.id for _, planting in yard.companions() if planting.id not in known]
    return pots or [*layers, *on_top]


def select_new(document: Document, known: set[str]) -> None:
    """Select what an edit brought in: a pot before its layers."""
    new = new_ids(document.yard, known)
    if new:
        document.select_all(new[:1])
