"""Asks what is told of a drop: at once what needs no season or list, the rest when it is known."""

from __future__ import annotations

import time
from collections import OrderedDict
from collections.abc import Hashable
from dataclasses import replace
from functools import partial

from PySide6.QtCore import QObject, Signal, Slot

from bloomline.errors import BloomlineError
from bloomline.plan.carry.telling import Drop, Told, tell
from bloomline.plan.pot.advice import Writing
from bloomline.ui.document import Document
from bloomline.ui.season_service import Beside
from bloomline.ui.units import units_of
from bloomline.words import short_day_words

_AT_ONCE_S = 0.02
_MOST_KEPT = 64

_Answer = tuple[Hashable, tuple[Told, ...]]


class Telling(QObject):
    """What is told of the drop that was asked about last."""

    told = Signal(object)
    """All that is told (a tuple of Told) of the drop asked about last, once it is known."""

    def __init__(self, document: Document, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._beside: Beside | None = None  # a thread, made when first needed
        self._last_s = 1.0
        self._asked: Hashable = None
        self._kept: OrderedDict[Hashable, tuple[Told, ...]] = OrderedDict()

    def of(self, drop: Drop | None) -> tuple[Told, ...]:
        """What is known of a drop now; what takes a forecast comes by `told` where it is slow."""
        if drop is None:
            self._asked = None
            return ()
        key = (drop.before, drop.pot_id, drop.part)
        self._asked = key
        if key in self._kept:
            self._kept.move_to_end(key)
            return self._kept[key]
        writing = self._writing()
        is_free = self._beside is None or not self._beside.is_busy
        if self._last_s < _AT_ONCE_S and is_free:
            begin = time.thread_time()
            answer = _work(key, drop, writing)
            self._last_s = time.thread_time() - begin
            return self._keep(*answer)
        try:
            known = tell(drop, whole=False, writing=writing)
        except BloomlineError:
            return ()
        if self._beside is None:
            self._beside = Beside(self)
            self._beside.answered.connect(self._take)
        self._beside.ask(partial(_work, key, drop, writing))
        return known

    def _keep(self, key: Hashable, told: tuple[Told, ...]) -> tuple[Told, ...]:
        self._kept[key] = told
        while len(self._kept) > _MOST_KEPT:
            self._kept.popitem(last=False)
        return told

    @Slot(object)
    def _take(self, answer: object) -> None:
        if self._beside is not None:
            self._last_s = self._beside.last_s
        if isinstance(answer, tuple):
            key, told = answer
            self._keep(key, told)
            if key == self._asked:
                self.told.emit(told)

    def _writing(self) -> Writing:
        units = units_of(self._document.yard)
        return Writing(
            length=lambda cm: units.length(cm, decimals=1),
            mass=lambda kg: units.mass(kg, decimals=0),
            day=short_day_words,
        )

    def stop(self) -> None:
        """End the work beside the window; safe to call twice."""
        if self._beside is not None:
            self._beside.stop()
            self._beside = None


def _work(key: Hashable, drop: Drop, writing: Writing) -> _Answer:
    try:
        return key, tell(drop, writing=writing)
    except BloomlineError as error:
        return key, _with_reason(drop, str(error), writing)


def _with_reason(drop: Drop, words: str, writing: Writing) -> tuple[Told, ...]:
    """What can be told where another part of the yard can't be worked out, and why not all."""
    try:
        known = tell(drop, whole=False, writing=writing)
    except BloomlineError:
        return ()
    return tuple(each if each.words else replace(each, words=words) for each in known)
