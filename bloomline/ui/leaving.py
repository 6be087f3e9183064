"""Ends the program in order when the system asks for it, as on logging out or Ctrl+C.

No question can be asked then: what is not saved is kept for the next start to offer.
"""

from __future__ import annotations

import contextlib
import signal
import socket
from types import FrameType

from PySide6.QtCore import QCoreApplication, QObject, QSocketNotifier, Slot

from bloomline.errors import BloomlineError
from bloomline.ui.window import MainWindow

_ASKED = tuple(
    getattr(signal, name) for name in ("SIGTERM", "SIGINT", "SIGHUP") if hasattr(signal, name)
)


class Leaving(QObject):
    """Waits for the system's wish to end; made in the main thread, lives with the window.

    A signal's handler runs only when the interpreter does, which sleeps in Qt's event loop:
    a socket that the system writes to wakes it.
    """

    def __init__(self, window: MainWindow) -> None:
        super().__init__(window)
        self._window = window
        self._wakes, self._wakened = socket.socketpair()
        for end in (self._wakes, self._wakened):
            end.setblocking(False)
        self._before = signal.set_wakeup_fd(self._wakes.fileno(), warn_on_full_buffer=False)
        self._handlers = {each: signal.signal(each, _awake) for each in _ASKED}
        self._notifier = QSocketNotifier(self._wakened.fileno(), QSocketNotifier.Type.Read, self)
        self._notifier.activated.connect(self._leave)

    @Slot()
    def _leave(self) -> None:
        with contextlib.suppress(OSError):
            self._wakened.recv(64)
        files = self._window.files
        if files.is_unsaved:
            with contextlib.suppress(BloomlineError):
                files.keeper.write_now()
        files.stop(keep_journal=files.is_unsaved)
        self._window.stop()
        self._window.hide()
        QCoreApplication.exit(0)

    def stop(self) -> None:
        """Give the signals back; safe to call twice."""
        if not self._handlers:
            return
        self._notifier.setEnabled(False)
        for each, handler in self._handlers.items():
            signal.signal(each, handler)
        self._handlers = {}
        signal.set_wakeup_fd(self._before)
        self._wakes.close()
        self._wakened.close()


def _awake(_number: int, _frame: FrameType | None) -> None:
    """Nothing: the socket has been written to already."""
