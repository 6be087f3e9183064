"""Works the window at random with mouse, wheel and keys, on all its pages, and counts faults.

Run by hand: `python tests/benchmarks/monkey.py --seconds 300`. It clicks (also with Ctrl and Shift,
so that many are selected, and with the right button), drags, drops kinds of the shelf on the yard,
types, copies, cuts and pastes, and works in the dialogs that open before it accepts or closes
them; questions and dialogs of the system's files and printers are closed. A fault is an exception,
a message of Qt's, an event that takes longer than `--stall` (of the window's own thread, or by the
clock while the program had at least half a processor, so that other work on the machine blames
nobody), a yard that cannot be saved and read back, or a stack of steps whose undoing does not lead
back to the yard that was opened.
"""

from __future__ import annotations

import argparse
import faulthandler
import gc
import os
import random
import sys
import tempfile
import time
import traceback
from collections import Counter
from dataclasses import dataclass, field
from pathlib import Path
from types import TracebackType

ROOT = Path(__file__).resolve().parent.parent.parent
DEMO = ROOT / "demo" / "hollyhock-lane.bloomline"
STALL_S = 3.0
# A deed that is not over by then never will be: every thread's place is printed, and the run ends.
HUNG_S = 60.0
_EXPECTED = ("This plugin does not support",)


@dataclass
class Monkey:
    """What was done, and what went wrong."""

    done: Counter[str] = field(default_factory=Counter)
    dialogs: Counter[str] = field(default_factory=Counter)
    steps: int = 0
    longest_s: float = 0.0
    longest_what: str = ""
    named: str = ""
    faults: list[str] = field(default_factory=list)

    def line(self) -> str:
        """What to print."""
        done = ", ".join(f"{count} {name}" for name, count in sorted(self.done.items()))
        return (
            f"{sum(self.done.values())} deeds ({done}), {sum(self.dialogs.values())} dialogs "
            f"closed, {self.steps} steps undone and done again, longest {self.longest_s:.2f} s "
            f"({self.longest_what}), {len(self.faults)} faults"
        )


@dataclass(frozen=True)
class _Clock:
    wall_s: float
    program_s: float
    thread_s: float

    @classmethod
    def now(cls) -> _Clock:
        return cls(time.perf_counter(), time.process_time(), time.thread_time())

    def own_s(self) -> float:
        """Seconds since then that are the program's doing, not that of others on the machine."""
        now = _Clock.now()
        wall_s = now.wall_s - self.wall_s
        was_served = now.program_s - self.program_s > 0.5 * wall_s
        return wall_s if was_served else now.thread_s - self.thread_s


def run(
    seconds: float,
    *,
    seed: int = 1,
    yard: Path = DEMO,
    n_pots: int = 0,
    stall_s: float = STALL_S,
) -> Monkey:
    """Let it loose for a while on a copy of a yard, or on a made one of so many pots."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from large_yard import nursery
    from PySide6.QtCore import (
        QEvent,
        QPoint,
        QPointF,
        Qt,
        QTimer,
        QtMsgType,
        qInstallMessageHandler,
    )
    from PySide6.QtGui import (
        QContextMenuEvent,
        QDragEnterEvent,
        QDragLeaveEvent,
        QDragMoveEvent,
        QDropEvent,
        QInputMethodEvent,
    )
    from PySide6.QtPrintSupport import QAbstractPrintDialog
    from PySide6.QtTest import QTest
    from PySide6.QtWidgets import (
        QApplication,
        QDialog,
        QFileDialog,
        QMenu,
        QMessageBox,
        QWidget,
    )

    from bloomline.files.yardfile import load_yard, save_yard
    from bloomline.plan.carry.drops import Cargo
    from bloomline.ui.app import application, hand_over_often
    from bloomline.ui.cargo import mime_of
    from bloomline.ui.clipboard import leave_text
    from bloomline.ui.collecting import Collector
    from bloomline.ui.window import MainWindow

    rng, monkey = random.Random(seed), Monkey()
    hand_over_often()
    gc.disable()  # as the program does: its collector takes over
    app = application()

    def message(kind: QtMsgType, _where: object, words: str) -> None:
        if kind == QtMsgType.QtFatalMsg:
            print(f"Qt: {words}", file=sys.stderr, flush=True)
            faulthandler.dump_traceback()
        if kind != QtMsgType.QtDebugMsg and not words.startswith(_EXPECTED):
            monkey.faults.append(f"Qt: {words}")

    def exception(
        kind: type[BaseException], value: BaseException, at: TracebackType | None
    ) -> None:
        monkey.faults.append("".join(traceback.format_exception(kind, value, at, limit=-4)))

    before_hook, sys.excepthook = sys.excepthook, exception
    before_handler = qInstallMessageHandler(message)
    key = Qt.Key
    keys = [
        *(key.Key_Tab, key.Key_Backtab, key.Key_Return, key.Key_Space, key.Key_Escape),
        *(key.Key_Up, key.Key_Down, key.Key_Left, key.Key_Right, key.Key_Home, key.Key_End),
        *(key.Key_PageUp, key.Key_PageDown, key.Key_Delete, key.Key_Insert, key.Key_Backspace),
        *(key.Key_F2, key.Key_F4, key.Key_F9, key.Key_F10),
    ]
    modifiers = [
        Qt.KeyboardModifier.NoModifier,
        Qt.KeyboardModifier.ShiftModifier,
        Qt.KeyboardModifier.ControlModifier,
        Qt.KeyboardModifier.AltModifier,
    ]

    worked: Counter[int] = Counter()

    def close_what_opened() -> None:
        popup = app.activePopupWidget()
        if popup is not None and rng.random() < (0.9 if isinstance(popup, QMenu) else 0.5):
            popup.close()
        dialog = app.activeModalWidget()
        if not isinstance(dialog, QDialog):
            worked.clear()
            return
        system = isinstance(dialog, QFileDialog | QMessageBox | QAbstractPrintDialog)
        if system or worked[id(dialog)] > 12:
            monkey.dialogs[dialog.objectName() or type(dialog).__name__] += 1
            dialog.reject()
            worked.clear()
            return
        worked[id(dialog)] += 1
        # Not from within this timer, which stands still while a dialog opened here waits.
        worker.start()

    def work_in() -> None:
        """A click, a key or some letters within the dialog that is open."""
        dialog = app.activeModalWidget()
        if not isinstance(dialog, QDialog):
            return
        monkey.done["deeds in dialogs"] += 1
        way = rng.random()
        at = QPoint(rng.randrange(dialog.width()), rng.randrange(dialog.height()))
        widget = dialog.childAt(at) or dialog
        if way < 0.5:
            QTest.mouseClick(
                widget, Qt.MouseButton.LeftButton, modifiers[0], widget.mapFrom(dialog, at)
            )
        elif way < 0.75:
            focus = app.focusWidget() or widget
            QTest.keyClicks(focus, rng.choice(("7", "2.5", "thalia", "tulip", "-3", "0")))
        else:
            focus = app.focusWidget() or widget
            QTest.keyClick(focus, rng.choice(keys), rng.choice(modifiers[:2]))

    def chosen(window: MainWindow) -> tuple[QWidget, QPoint]:
        at = QPoint(rng.randrange(window.width()), rng.randrange(window.height()))
        widget = window.childAt(at) or window
        return widget, widget.mapFrom(window, at)

    def drop(window: MainWindow) -> None:
        """Carry a kind over the yard's picture, and let go there or leave."""
        canvas = window.yard.canvas
        kinds = [each.id for each in window.document.catalogue]
        data = mime_of(Cargo("cultivar", rng.choice(kinds)))
        actions = Qt.DropAction.CopyAction | Qt.DropAction.MoveAction
        left, none = Qt.MouseButton.LeftButton, modifiers[0]

        def anywhere() -> QPoint:
            return QPoint(rng.randrange(canvas.width()), rng.randrange(canvas.height()))

        at = anywhere()
        QApplication.sendEvent(canvas, QDragEnterEvent(at, actions, data, left, none))
        for _ in range(2):
            at = anywhere()
            QApplication.sendEvent(canvas, QDragMoveEvent(at, actions, data, left, none))
        if rng.random() < 0.7:
            QApplication.sendEvent(canvas, QDropEvent(QPointF(at), actions, data, left, none))
        else:
            QApplication.sendEvent(canvas, QDragLeaveEvent())

    def deed(window: MainWindow) -> str:
        way = rng.random()
        if way < 0.03:
            window.pages.go_to("yard")
            drop(window)
            return "drops"
        if way < 0.06:
            widget, at = chosen(window)
            event = QContextMenuEvent(
                QContextMenuEvent.Reason.Mouse, at, widget.mapToGlobal(at), modifiers[0]
            )
            QApplication.sendEvent(widget, event)
            return "context menus"
        if way < 0.10:
            focus = app.focusWidget() or window
            letter = rng.choice((key.Key_C, key.Key_X, key.Key_V, key.Key_V, key.Key_D, key.Key_A))
            QTest.keyClick(focus, letter, modifiers[2])
            return "copies, cuts and pastes"
        if way < 0.30:
            widget, at = chosen(window)
            button = Qt.MouseButton.LeftButton
            if rng.random() < 0.1:
                QTest.mouseDClick(widget, button, modifiers[0], at)
                return "double clicks"
            QTest.mouseClick(widget, button, rng.choice(modifiers[:3]), at)
            return "clicks"
        if way < 0.42:
            widget, at = chosen(window)
            QTest.mousePress(widget, Qt.MouseButton.LeftButton, modifiers[0], at)
            for _ in range(3):
                at += QPoint(rng.randint(-60, 60), rng.randint(-40, 40))
                QTest.mouseMove(widget, at)
            QTest.mouseRelease(widget, Qt.MouseButton.LeftButton, modifiers[0], at)
            return "drags"
        if way < 0.52:
            at = QPointF(rng.randrange(window.width()), rng.randrange(window.height()))
            QTest.wheelEvent(window.windowHandle(), at, QPoint(0, rng.choice((-120, 120))))
            return "turns of the wheel"
        focus = app.focusWidget() or window
        if way < 0.66:
            words = rng.choice(("12", "3.5", "tulip", "Süd & <b>", "0", "-7", "水"))
            if words.isascii():
                QTest.keyClicks(focus, words)
            else:  # as an input method hands it over
                typed = QInputMethodEvent()
                typed.setCommitString(words)
                QApplication.sendEvent(focus, typed)
            return "words"
        if way < 0.74:
            QTest.keyClick(focus, rng.choice((key.Key_Z, key.Key_Y)), modifiers[2])
            return "undos and redos"
        if way < 0.80:
            rng.choice(window.pages.actions_of_pages()).trigger()
            return "pages"
        if way < 0.84:
            offered = [each for each in window.all_actions() if each.isEnabled()]
            action = rng.choice(offered)
            # Those end the program, start another one or hand something to the system.
            if action.objectName() not in ("action_close", "action_help"):
                action.trigger()
                monkey.named = action.objectName()
            return "actions"
        QTest.keyClick(focus, rng.choice(keys), rng.choice(modifiers[:2]))
        return "keys"

    worker = QTimer()
    worker.setSingleShot(True)
    worker.setInterval(0)
    worker.timeout.connect(work_in)
    closer = QTimer()
    closer.setInterval(40)
    closer.timeout.connect(close_what_opened)
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "own.bloomline"
        if n_pots:
            save_yard(file, nursery(n_pots), seen=None)
        else:
            file.write_bytes(yard.read_bytes())
        window = MainWindow(state=Path(folder) / "state")
        window.resize(1280, 800)
        window.show()
        window.start(file)
        Collector(app).start()
        opened = window.document.yard
        same = [True]
        closer.start()
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            monkey.named = ""
            faulthandler.dump_traceback_later(HUNG_S, exit=True)
            begin, inner = _Clock.now(), monkey.done["deeds in dialogs"]
            try:
                what = deed(window)
            except Exception:  # none ends the run, with work still under way beside
                what = "deeds that failed"
                monkey.faults.append(traceback.format_exc(limit=-4))
            app.processEvents()
            # As the program's own loop does: a dialog that is over must not get keys any more.
            app.sendPostedEvents(None, QEvent.Type.DeferredDelete)
            took = begin.own_s()
            if monkey.done["deeds in dialogs"] > inner:
                took = 0.0  # a dialog was open for as long as it was worked in
            monkey.done[what] += 1
            if took > monkey.longest_s:
                monkey.longest_s, monkey.longest_what = took, monkey.named or what
            if took > stall_s:
                monkey.faults.append(f"{monkey.named or what} took {took:.1f} s")
            if window.document.path != file:
                same[0] = False  # a new yard
        faulthandler.dump_traceback_later(HUNG_S, exit=True)
        closer.stop()
        worker.stop()
        for _ in range(20):  # one may ask before it closes
            if isinstance(left := app.activeModalWidget(), QDialog):
                left.reject()
            app.processEvents()
        stack = window.document.undo_stack
        monkey.steps = stack.count()
        now = window.document.yard
        if same[0]:
            while stack.canUndo():
                stack.undo()
            if window.document.yard != opened:
                monkey.faults.append("all steps undone, it is another yard than was opened")
            while stack.canRedo():
                stack.redo()
        again = Path(folder) / "again.bloomline"
        now = window.document.yard
        save_yard(again, now, seen=None)
        if load_yard(again).yard != now:
            monkey.faults.append("saved and read again, it is another yard")
        stack.setClean()
        window.stop()
        window.hide()
        window.deleteLater()
        for each in QApplication.topLevelWidgets():
            if each is not window and each.isVisible():
                each.close()
        app.processEvents()
    leave_text()  # as the program does when it ends
    faulthandler.cancel_dump_traceback_later()
    qInstallMessageHandler(before_handler)
    sys.excepthook = before_hook
    return monkey


def main() -> None:
    """Print the counts, and every fault."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--seconds", type=float, default=300.0)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--yard", type=Path, default=DEMO, help="a copy of it is worked on")
    parser.add_argument("--pots", type=int, default=0, help="a made yard of so many instead")
    parser.add_argument("--stall", type=float, default=STALL_S, help="seconds that are a fault")
    args = parser.parse_args()
    faulthandler.enable()
    monkey = run(args.seconds, seed=args.seed, yard=args.yard, n_pots=args.pots, stall_s=args.stall)
    print(monkey.line())
    print(dict(monkey.dialogs))
    for fault, count in Counter(monkey.faults).most_common():
        print(f"{count} ×", fault)
    raise SystemExit(1 if monkey.faults else 0)


if __name__ == "__main__":
    main()
