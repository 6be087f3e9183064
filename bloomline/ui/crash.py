"""An error that nobody caught: logged, the yard rescued, and told with words to pass on."""

from __future__ import annotations

import contextlib
import platform
import secrets
import sys
import threading
import traceback
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from types import TracebackType

from PySide6.QtCore import QObject, Qt, QThread, Signal, Slot, qVersion
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import (
    QApplication,
    QDialog,
    QHBoxLayout,
    QLabel,
    QPlainTextEdit,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from bloomline import __version__
from bloomline.files.journal import state_folder
from bloomline.files.yardfile import SUFFIX, save_yard
from bloomline.model.yard import Yard
from bloomline.ui import theme
from bloomline.ui.dressed import say_as
from bloomline.words import tr

_LOG = "errors.log"
_LOG_LIMIT = 512 * 1024
_MOST_RESCUES = 20
_MOST_TOLD = 5  # dialogs a session; what fails again and again is only logged

Traceback = TracebackType | None


class CrashHook(QObject):
    """Stands in for Python's own hooks; never raises, never calls itself."""

    _reported = Signal(str, str)

    def __init__(
        self,
        yard_of: Callable[[], Yard | None],
        *,
        folder: Path | None = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._yard_of = yard_of
        self._folder = folder or state_folder()
        self._is_busy = False
        self._told: set[str] = set()
        self._rescued: tuple[Yard, Path] | None = None
        self._before = (sys.excepthook, threading.excepthook)
        # Queued: an error in a slot of a half-painted window is told once that slot has ended,
        # and one of another thread is told in the window's.
        self._reported.connect(self._tell, Qt.ConnectionType.QueuedConnection)

    def install(self) -> None:
        """Take the hooks over."""
        sys.excepthook = self.handle
        threading.excepthook = self._handle_thread

    def remove(self) -> None:
        """Give the hooks back."""
        sys.excepthook, threading.excepthook = self._before

    def _handle_thread(self, args: threading.ExceptHookArgs) -> None:
        if args.exc_value is not None:
            self.handle(args.exc_type, args.exc_value, args.exc_traceback)

    def handle(self, kind: type[BaseException], error: BaseException, trace: Traceback) -> None:
        """Log an error, rescue the yard, and have it told."""
        if not issubclass(kind, Exception):  # the user or the system wants an end
            sys.__excepthook__(kind, error, trace)
            return
        if self._is_busy:
            # The handling itself failed: Python's own words are all that is left.
            sys.__excepthook__(kind, error, trace)
            return
        self._is_busy = True
        try:
            self._handle(kind, error, trace)
        except Exception:
            with contextlib.suppress(Exception):
                sys.__excepthook__(kind, error, trace)
                traceback.print_exc()
        finally:
            self._is_busy = False

    def _handle(self, kind: type[BaseException], error: BaseException, trace: Traceback) -> None:
        words = "".join(traceback.format_exception(kind, error, trace))
        with contextlib.suppress(Exception):
            sys.__excepthook__(kind, error, trace)
        report = report_of(words)
        self._log(report)
        # An error of another thread may find the yard in the middle of a change; its value is
        # frozen, so whichever is there is whole.
        rescued = self._rescue()
        at = traceback.extract_tb(trace)[-1:] if trace else []
        key = f"{kind.__name__}:{at[0].filename}:{at[0].lineno}" if at else kind.__name__
        if key not in self._told and len(self._told) < _MOST_TOLD:
            self._told.add(key)
            self._reported.emit(report, str(rescued) if rescued else "")

    def _log(self, report: str) -> None:
        file = self._folder / _LOG
        with contextlib.suppress(OSError):
            self._folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            if file.exists() and file.stat().st_size > _LOG_LIMIT:
                file.replace(file.with_suffix(".log.1"))
            with file.open("a", encoding="utf-8", errors="backslashreplace") as log:
                log.write(report + "\n" + "-" * 60 + "\n")

    def _rescue(self) -> Path | None:
        try:
            yard = self._yard_of()
            if yard is None:
                return None
            if self._rescued is not None and self._rescued[0] is yard:
                # What fails at every repaint must not push other rescued yards out.
                return self._rescued[1]
            folder = self._folder / "rescued"
            folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            stamp = datetime.now().strftime("%Y-%m-%d-%H%M%S")
            file = folder / f"{stamp}-{secrets.token_hex(2)}{SUFFIX}"
            save_yard(file, yard, seen=None)
            self._rescued = (yard, file)
            for old in sorted(folder.glob(f"*{SUFFIX}"))[:-_MOST_RESCUES]:
                old.unlink(missing_ok=True)
            return file
        except Exception:
            return None

    @Slot(str, str)
    def _tell(self, report: str, rescued: str) -> None:
        app = QApplication.instance()
        if not isinstance(app, QApplication) or QThread.currentThread() is not app.thread():
            return
        dialog = CrashDialog(report, rescued=rescued, parent=QApplication.activeWindow())
        dialog.exec()
        dialog.deleteLater()


class CrashDialog(QDialog):
    """Says what happened and where the yard is safe; the report can be copied."""

    def __init__(self, report: str, *, rescued: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setObjectName("crash")
        self.setWindowTitle(tr("Something went wrong"))
        head = QLabel(tr("An error in bloomline stopped what you just did."), self)
        say_as(head, "heading")
        head.setWordWrap(True)
        if rescued:
            words = tr(
                "A copy of your yard is safe in {path}. You may go on; save under "
                "another name if something looks odd.",
                path=rescued,
            )
        else:
            words = tr("You may go on; save under another name if something looks odd.")
        where = QLabel(words, self)
        where.setWordWrap(True)
        where.setTextInteractionFlags(
            Qt.TextInteractionFlag.TextSelectableByMouse
            | Qt.TextInteractionFlag.TextSelectableByKeyboard
        )
        self.report = QPlainTextEdit(report, self)
        self.report.setReadOnly(True)
        self.report.setTabChangesFocus(True)
        self.report.setAccessibleName(tr("Report"))
        copy = QPushButton(tr("&Copy the report"), self)
        copy.setObjectName("copy_report")
        copy.setAutoDefault(False)
        copy.clicked.connect(self._copy)
        close = QPushButton(tr("&Go on"), self)
        close.setObjectName("go_on")
        close.setDefault(True)
        close.clicked.connect(self.accept)
        row = QHBoxLayout()
        row.addWidget(copy)
        row.addStretch(1)
        row.addWidget(close)
        layout = QVBoxLayout(self)
        layout.addWidget(head)
        layout.addWidget(where)
        layout.addWidget(self.report, 1)
        layout.addLayout(row)
        em = theme.em()
        self.resize(round(36 * em), round(20 * em))

    @Slot()
    def _copy(self) -> None:
        QGuiApplication.clipboard().setText(self.report.toPlainText())


def report_of(words: str) -> str:
    """A traceback with what one needs to know besides; home folders are left out."""
    with contextlib.suppress(RuntimeError):
        home = str(Path.home())
        if len(home) > 1:
            words = words.replace(home, "~")
    when = datetime.now().astimezone().isoformat(timespec="seconds")
    return (
        f"bloomline {__version__} · Qt {qVersion()} · Python {platform.python_version()} · "
        f"{platform.system()} {platform.release()} · {when}\n\n{words}"
    )


def install(
    yard_of: Callable[[], Yard | None],
    *,
    folder: Path | None = None,
    parent: QObject | None = None,
) -> CrashHook:
    """Catch what nobody else catches from now on.

    yard_of : the yard as it is, to be rescued. The hook must be kept (a parent does that).
    """
    hook = CrashHook(yard_of, folder=folder, parent=parent or QApplication.instance())
    hook.install()
    return hook
