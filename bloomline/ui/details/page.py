"""What the pages of the details have in common: a scrolled column that follows the yard."""

from __future__ import annotations

import contextlib
import time
from collections.abc import Callable

from PySide6.QtCore import QSize, Qt, QTimer, Signal, Slot
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QFrame, QLabel, QScrollArea, QVBoxLayout, QWidget

from bloomline.errors import BloomlineError
from bloomline.model.advice import Advice
from bloomline.model.mending import Mending
from bloomline.model.yard import Yard
from bloomline.plan.carry.collision import Choice, Conflict
from bloomline.plan.pot.advice import Writing
from bloomline.plan.season.advice import advice_for
from bloomline.plan.season.outlook import Outlook, known
from bloomline.plan.season.yard import season_report
from bloomline.ui.details.cards import AdviceList, wrapping
from bloomline.ui.details.fields import Field
from bloomline.ui.details.form import Form
from bloomline.ui.details.money_line import MoneyLine
from bloomline.ui.details.spin_fields import LengthField
from bloomline.ui.details.words import friendly
from bloomline.ui.document import Document
from bloomline.ui.dressed import say_as
from bloomline.ui.season_service import SeasonService
from bloomline.ui.successions import conflicts_now
from bloomline.ui.theme import em
from bloomline.ui.units import Units, units_of
from bloomline.words import short_day_words, tr

_REST_MS = 120
_LONG_S = 0.005

_Asked = tuple[Outlook, str | None, str | None, bool, Units]


class Page(QScrollArea):
    """A page of the details. It holds no copy of what it shows: `refresh` reads the yard."""

    refused = Signal(str)
    """A value was refused; the words say why."""

    def __init__(
        self, document: Document, service: SeasonService, parent: QWidget | None = None
    ) -> None:
        super().__init__(parent)
        self.document = document
        self.service = service
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        body = QWidget(self)
        body.setObjectName("details_body")
        self._body = body
        self.column = QVBoxLayout(body)
        gap = round(em() * 0.5)
        self.column.setContentsMargins(gap, gap, gap, gap)
        self.column.setSpacing(gap)
        self.title = wrapping("", "heading", body)
        self.title.setTextFormat(Qt.TextFormat.RichText)
        self.subtitle = QLabel(body)
        say_as(self.subtitle, "muted")
        self.subtitle.setWordWrap(True)
        self.subtitle.setTextFormat(Qt.TextFormat.PlainText)
        self.column.addWidget(self.title)
        self.column.addWidget(self.subtitle)
        self.money = MoneyLine(service, body)
        self.column.addWidget(self.money)
        self.form = Form(body)
        self.advice = AdviceList(body)
        self.advice.mended.connect(self.mend)
        self._units: Units | None = None
        self._asked: _Asked
        self._advised: _Asked | None = None
        # Advice that nobody sees is late where it takes long: a slider moves its own views first.
        self._advice_s = 0.0
        self._late = QTimer(self)
        self._late.setSingleShot(True)
        self._late.setInterval(_REST_MS)
        self._late.timeout.connect(self._advise)
        self.verticalScrollBar().valueChanged.connect(self._hurry)
        self._names: dict[str, str] = {}
        self.setWidget(body)

    def minimumSizeHint(self) -> QSize:
        # Fields cut off at the side would be worse than a panel that takes its room.
        body = self._body.minimumSizeHint().width()
        return QSize(body + self.verticalScrollBar().sizeHint().width(), round(em() * 10))

    # For the pages to fill in

    @property
    def target(self) -> str | None:
        """Id of what the page shows; None where there is nothing to show."""
        return None

    @property
    def is_there(self) -> bool:
        """Whether the yard still holds what is shown."""
        return True

    def forget(self) -> None:
        """Show nothing any more: it may be gone when the page comes back."""

    def change(self, key: str, value: object) -> Callable[[Yard], Yard]:
        """The edit that gives a value of the target another value."""
        raise NotImplementedError

    def values(self) -> dict[str, object]:
        """What the fields show."""
        raise NotImplementedError

    def show_rest(self) -> None:
        """Show what is no field."""

    def show_units(self, units: Units) -> None:
        """Write fields in other units."""
        for field in self.form.fields.values():
            if isinstance(field, LengthField):
                field.show_units(units)

    # Shared

    def listen(self, names: dict[str, str]) -> None:
        """Take over changes of the fields; `names` are what each is called in the undo menu."""
        self._names = names
        for field in self.form.fields.values():
            field.chosen.connect(self._commit)

    @property
    def units(self) -> Units:
        """The units of the yard."""
        return units_of(self.document.yard)

    def writing(self) -> Writing:
        """How advice writes its figures."""
        units = self.units
        return Writing(
            length=lambda cm: units.length(cm, decimals=1),
            mass=lambda kg: units.mass(kg, decimals=0),
            day=lambda day: short_day_words(day, year=True),
        )

    def refresh(self) -> None:
        """Show the yard as it is now; what is being typed stays."""
        if self.units != self._units:
            self._units = self.units
            self.show_units(self._units)
        for key, value in self.values().items():
            self.form.fields[key].show(value)
        self.show_rest()
        self._show_money()

    def _show_money(self) -> None:
        target = self.target
        if target is not None and self.is_priced:
            part_id = None if self.is_whole_yard else target
            self.money.ask(self.document.outlook, part_id)

    @property
    def is_priced(self) -> bool:
        """Whether the page tells what that which it shows costs."""
        return True

    @property
    def is_whole_yard(self) -> bool:
        """Whether the page is about the yard, not about a part of it."""
        return False

    def stop(self) -> None:
        """End what is worked out beside the window, or waits."""
        self._late.stop()
        self.money.stop()

    def flush(self) -> None:
        """Take over what is being typed."""
        for field in self.form.fields.values():
            field.flush()

    def draft(self, yard: Yard) -> Yard:
        """A yard with what is being typed here, as far as it would be taken."""
        if self.target is None:
            return yard
        for field in self.form.fields.values():
            if field.draft is not None:
                with contextlib.suppress(BloomlineError):
                    yard = self.change(field.key, field.draft)(yard)
        return yard

    def settle(self) -> None:
        """Show another target: complaints and half-typed values belong to the one before."""
        self.form.forget_problems()
        for key, value in self.values().items():
            self.form.fields[key].stroke += 1
            self.form.fields[key].show(value, anyway=True)
        self.refresh()

    @Slot(object)
    def _commit(self, value: object) -> None:
        field = self.sender()
        if not isinstance(field, Field) or self.target is None:
            return
        self.form.complain(field.key, "")
        gesture = f"details:{self.target}:{field.key}:{field.stroke}"
        self.give(field.key, value, gesture=gesture)

    def give(self, key: str, value: object, *, gesture: str | None = None) -> bool:
        """Give the target another value; a refusal is told under the field, which goes back."""
        change = self.change(key, value)
        try:
            after = change(self.document.yard)
        except BloomlineError as error:
            words = friendly(str(error), key=key, units=self.units)
            self.form.fields[key].show(self.values()[key], anyway=True)
            self.form.complain(key, words)
            self.refused.emit(words)
            return False
        name = tr("Change {what}", what=self._names.get(key, key))
        changed = self.document.edit(name, lambda _yard: after, gesture=gesture)
        self._hurry()
        if not changed:
            # Same as before: a typed variant of it is put right.
            self.form.fields[key].show(self.values()[key], anyway=True)
        return changed

    def advise(self, *, layer_id: str | None = None, pot_id: str | None = None) -> None:
        """Show the advice on a layer, a pot or the yard."""
        outlook = self.document.outlook
        with_season = known(season_report, outlook) is not None
        # The same as last time, as when the season is looked at as at another place.
        asked = (outlook, layer_id, pot_id, with_season, self.units)
        if asked == self._advised:
            return
        before, self._asked = self._advised, asked
        # The season is a moment away: advice without it would only stand until then.
        is_same = before is not None and before[1:3] == (layer_id, pot_id)
        if is_same and not with_season and self.service.is_busy:
            self._late.start()
            return
        is_seen = not self.advice.isVisible() or not self.advice.visibleRegion().isEmpty()
        if self._advice_s > _LONG_S and not is_seen:
            self._late.start()
        else:
            self._advise()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._hurry()

    @Slot()
    def _hurry(self, *_: object) -> None:
        """What comes into sight now, or was changed here, is not late any more."""
        if self._late.isActive():
            self._advise()

    @Slot()
    def _advise(self) -> None:
        self._late.stop()
        outlook, layer_id, pot_id, with_season, _ = self._advised = self._asked
        found: tuple[Advice, ...] = ()
        begin = time.thread_time()
        try:
            found = advice_for(
                outlook,
                layer_id=layer_id,
                pot_id=pot_id,
                writing=self.writing(),
                with_season=with_season,
            )
        except BloomlineError as error:
            self.refused.emit(str(error))
        self.advice.show_advice(found)
        self.advice.setVisible(bool(found))
        self._advice_s = time.thread_time() - begin

    # Plantings that are due while their pot isn't free

    def conflicts_of(self, pot_id: str, part_id: str | None = None) -> list[Conflict]:
        """The conflicts of a pot, or those in which one of its layers or companions has a part."""
        return [
            each
            for each in conflicts_now(self.document, pot_id=pot_id)
            if part_id is None or part_id in (*each.new_ids, *each.blocking_ids)
        ]

    @Slot(object)
    def settle_conflict(self, choice: Choice) -> None:
        """Take a way out, as one step to undo."""
        self.document.edit(choice.title, choice.apply)
        self._hurry()

    @Slot(object)
    def mend(self, mending: Mending) -> None:
        """Make the change that mends something found, as one step to undo."""
        self.document.edit(mending.words, mending.apply)
        self._hurry()
