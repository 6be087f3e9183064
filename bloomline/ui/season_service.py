"""Keeps the season of the open yard worked out: at once when quick, beside when not.

The newest request wins: while one is being worked out beside the window, later ones replace
each other, and an answer that is no longer wanted is dropped.
"""

from __future__ import annotations

import atexit
import time
from collections.abc import Callable
from functools import partial
from typing import ClassVar

from PySide6.QtCore import QObject, QThread, QTimer, Signal, Slot

from bloomline.errors import BloomlineError
from bloomline.model.yard import PlaceChoice
from bloomline.plan.forecast.report import SeasonReport
from bloomline.plan.season.outlook import Outlook, known
from bloomline.plan.season.yard import prepared_season, season_report
from bloomline.ui.document import Document
from bloomline.words import tr

_AT_ONCE_S = 0.02
"""Work that took less than this last time is done at once, without a round trip.

Counted in the time of its own thread: what the window paints meanwhile must not make it seem
slow, or one slow answer would keep quick work beside for good.
"""

_PATIENCE_S = 0.1
"""A window that closes waits so long for a job; a rota of a thousand pots takes half a minute."""


class _Worker(QObject):
    """Lives in the thread: takes a job, answers with its number."""

    done = Signal(int, object, float)

    @Slot(int, object)
    def work(self, number: int, job: Callable[[], object]) -> None:
        """Work one job out and hand its answer (or its error) over."""
        begin = time.thread_time()
        answer: object = BloomlineError(tr("An error in bloomline stopped this."))
        try:
            answer = job()
        except BloomlineError as error:
            answer = error
        finally:  # a fault of ours is told on its way out, and who asked waits no longer
            self.done.emit(number, answer, time.thread_time() - begin)


class _Crew(QObject):
    """A thread and who works in it; it may outlive its owner, so that a job under way can end.

    Qt takes the program down when a thread's object goes while the thread runs, and an owner may
    go at any time: a dialog that is closed, a page that is made anew, all of them at the end.
    """

    _there: ClassVar[set[_Crew]] = set()
    """All whose thread runs: held here, or Python would let go of those whose owner went."""

    def __init__(self) -> None:
        super().__init__()
        self.worker = _Worker()
        self._thread = QThread()
        self._has_ended = False
        self.worker.moveToThread(self._thread)
        self._thread.finished.connect(self.end)
        self._there.add(self)
        self._thread.start()

    @Slot()
    def leave(self) -> None:
        """End when the job under way is done; nobody waits for that."""
        self.has_ended_within(0.0)

    @Slot()
    def end(self) -> None:
        """End when the job under way is done, and wait for it."""
        self.has_ended_within(None)

    def has_ended_within(self, wait_s: float | None) -> bool:
        """End when the job under way is done; whether it was done so soon. None: wait for it."""
        if not self._has_ended:  # else the thread itself may be gone
            self._thread.quit()
            wait = self._thread.wait
            self._has_ended = wait() if wait_s is None else wait(round(1000.0 * wait_s))
            if self._has_ended:
                # Not at once: this may be the last that holds it, and it is being called.
                QTimer.singleShot(0, partial(self._there.discard, self))
        return self._has_ended

    @classmethod
    def all_there(cls) -> tuple[_Crew, ...]:
        """All whose thread may run."""
        return tuple(cls._there)


def end_all(wait_s: float | None = None) -> bool:
    """Let all work beside the window end, as the program does; whether it has, so soon."""
    end_s = None if wait_s is None else time.monotonic() + wait_s
    ended = [
        each.has_ended_within(None if end_s is None else max(end_s - time.monotonic(), 0.0))
        for each in _Crew.all_there()
    ]
    return all(ended)


atexit.register(end_all)


class Beside(QObject):
    """Runs jobs beside the window, one at a time; only the newest waiting one is kept."""

    answered = Signal(object)
    busy_changed = Signal(bool)
    _send = Signal(int, object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._crew = _Crew()
        self.destroyed.connect(self._crew.leave)
        self._send.connect(self._crew.worker.work)
        self._crew.worker.done.connect(self._take)
        self._number = 0
        self._running = False
        self._waiting: Callable[[], object] | None = None
        self.last_s = 0.0

    @property
    def is_busy(self) -> bool:
        """Whether a job is being worked out."""
        return self._running

    def ask(self, job: Callable[[], object]) -> None:
        """Work a job out; it replaces one that has not begun."""
        if self._running:
            self._waiting = job
            return
        self._start(job)

    def drop(self) -> None:
        """Forget what is running and waiting: its answer will not be told."""
        self._number += 1
        self._waiting = None

    def _start(self, job: Callable[[], object]) -> None:
        self._number += 1
        self._running = True
        self.busy_changed.emit(True)
        self._send.emit(self._number, job)

    @Slot(int, object, float)
    def _take(self, number: int, answer: object, seconds: float) -> None:
        self._running = False
        self.last_s = seconds
        waiting, self._waiting = self._waiting, None
        if waiting is not None:
            # The answer is shown all the same: while a slider moves, a late picture is better
            # than none.
            if number == self._number:
                self.answered.emit(answer)
            self._start(waiting)
            return
        self.busy_changed.emit(False)
        if number == self._number:
            self.answered.emit(answer)

    def stop(self) -> None:
        """Work no more; what is under way may end by itself. Safe to call twice."""
        self.drop()
        self._crew.has_ended_within(_PATIENCE_S)

    def finish(self) -> None:
        """Work no more once what is under way has ended, and wait for that."""
        self.drop()
        self._crew.end()


class SeasonService(QObject):
    """The season report of the open document, always the newest."""

    report_ready = Signal(object)
    """A SeasonReport for the document as it is now."""
    failed = Signal(str)
    busy_changed = Signal(bool)
    prepared = Signal(object)
    """What `prepare` asked for is there."""

    def __init__(self, document: Document, *, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._document = document
        self._beside = Beside(self)
        self._beside.answered.connect(self._take)
        self._beside.busy_changed.connect(self.busy_changed)
        self._report: SeasonReport | None = None
        # What the last report was of: another place needs its weather made, which is no quick work.
        self._last_place: PlaceChoice | None = None
        self._last_s = 1.0
        # Of its own, so that a step to a place that nobody expected does not wait for it.
        self._ahead = Beside(self)
        self._ahead.answered.connect(self.prepared)
        document.outlook_changed.connect(self._ask)
        document.place_looked_at_changed.connect(self._ask)

    @property
    def report(self) -> SeasonReport | None:
        """The last report; None before the first."""
        return self._report

    @property
    def is_busy(self) -> bool:
        """Whether a report is being worked out beside the window."""
        return self._beside.is_busy

    @Slot()
    def refresh(self) -> None:
        """Work the report out anew."""
        self._ask(None)

    @Slot(object)
    def _ask(self, _what: object) -> None:
        outlook = self._document.seen_outlook
        job = partial(season_report, outlook)
        is_same_place = outlook.yard.place == self._last_place
        self._last_place = outlook.yard.place
        at_hand = known(season_report, outlook)
        if at_hand is not None and not self._beside.is_busy:
            self._show(at_hand)
        elif is_same_place and self._last_s < _AT_ONCE_S and not self._beside.is_busy:
            begin = time.thread_time()
            try:
                answer: object = job()
            except BloomlineError as error:
                answer = error
            self._last_s = time.thread_time() - begin
            self._show(answer)
        else:
            self._beside.ask(job)

    def prepare(self, outlook: Outlook) -> None:
        """Work a season out that may be asked for next, while there is time."""
        if known(season_report, outlook) is None:
            self._ahead.ask(partial(prepared_season, outlook))

    @property
    def is_preparing(self) -> bool:
        """Whether a season that nobody has asked for yet is being worked out."""
        return self._ahead.is_busy

    @Slot(object)
    def _take(self, answer: object) -> None:
        self._last_s = self._beside.last_s
        self._show(answer)

    def _show(self, answer: object) -> None:
        if isinstance(answer, SeasonReport):
            self._report = answer
            self.report_ready.emit(answer)
        else:
            self.failed.emit(str(answer))

    def stop(self) -> None:
        """End the work beside the window."""
        self._ahead.stop()
        self._beside.stop()
