"""Cut, copy and paste of pots, layers and companions, also from one window to another."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from bloomline.errors import BloomlineError
from bloomline.model.many_edits import remove_all
from bloomline.ui import clipboard
from bloomline.ui.document import Document
from bloomline.ui.yard.deeds import ids_of, new_ids
from bloomline.words import tr

if TYPE_CHECKING:
    from bloomline.model.parcel import Parcel


class Pasting(QObject):
    """What the clipboard takes from the yard and brings into it."""

    said = Signal(str)
    """What was done or why not, for a status line."""

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document

    def copy(self) -> bool:
        """Put copies of all that is selected onto the clipboard."""
        from bloomline.plan.carry.parcels import parcel_name

        found = self._take(with_records=False)
        if found is not None:
            self.said.emit(tr("Copied: {what}", what=parcel_name(found)))
        return found is not None

    def cut(self) -> bool:
        """Take all that is selected onto the clipboard, with its records."""
        from bloomline.plan.carry.parcels import parcel_name

        found = self._take(with_records=True)
        if found is None:
            return False
        ids, what = self._document.selection.ids, parcel_name(found)
        if not self._document.edit(tr("Cut {what}", what=what), lambda yard: remove_all(yard, ids)):
            return False
        self.said.emit(tr("Cut: {what}; paste it, or undo brings it back", what=what))
        return True

    def _take(self, *, with_records: bool) -> Parcel | None:
        from bloomline.model.parcel import parcel_of

        ids = self._document.selection.ids
        if not ids:
            self.said.emit(tr("Select a pot, a layer or companions first"))
            return None
        try:
            found = parcel_of(self._document.yard, ids, with_records=with_records)
            clipboard.put(found, self._document)
        except BloomlineError as error:
            self.said.emit(str(error))
            return None
        return found

    def paste(self) -> bool:
        """Put what lies on the clipboard behind the selected pots, or into each of them."""
        from bloomline.model.parcel import without_records
        from bloomline.plan.carry.parcels import parcel_name, pasted

        document = self._document
        try:
            parcel = clipboard.parcel()
        except BloomlineError as error:
            self.said.emit(tr("Nothing is pasted. {why}", why=str(error)))
            return False
        if parcel.is_empty:
            self.said.emit(tr("There is nothing of a yard on the clipboard"))
            return False
        pots = document.selection.pots or ((document.pot_id,) if document.pot_id else ())
        places = [at for at, pot in enumerate(document.yard.pots) if pot.id in pots]
        change = pasted(
            parcel,
            index=places[-1] + 1 if places else None,
            pot_ids=pots,
            cultivar_of=document.cultivar,
            in_catalogue=document.catalogue.__contains__,
        )
        known, what = ids_of(document.yard), parcel_name(parcel)
        if not document.edit(tr("Paste {what}", what=what), change):
            return False
        new = new_ids(document.yard, known)
        document.select_all(new, current=new[0])
        if parcel.records:
            # A second time they are copies: what was seen was seen once.
            clipboard.put(without_records(parcel), document)
        self.said.emit(tr("Pasted: {what}", what=what))
        return True
