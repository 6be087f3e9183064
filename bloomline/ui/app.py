"""Starts the window: application, looks, crash path, the yard to open."""

from __future__ import annotations

import gc
import os
import sys
from pathlib import Path

from PySide6.QtCore import QCoreApplication, Qt
from PySide6.QtGui import QGuiApplication, QIcon, QPixmapCache
from PySide6.QtWidgets import QApplication

from bloomline import __version__
from bloomline.ui import crash
from bloomline.ui.clipboard import leave_text
from bloomline.ui.collecting import Collector
from bloomline.ui.colours_menu import ask_system_for, chosen_theme
from bloomline.ui.files.memory import Memory
from bloomline.ui.icons import icon
from bloomline.ui.leaving import Leaving
from bloomline.ui.season_service import end_all
from bloomline.ui.theme import dress
from bloomline.ui.translation import install_words
from bloomline.ui.units import follow_system
from bloomline.ui.window import MainWindow

_PATIENCE_S = 1.0  # for work beside the window that is still under way when it has closed


def application() -> QApplication:
    """The running application, or a new one with its name, font and colours."""
    running = QApplication.instance()
    if isinstance(running, QApplication):
        return running
    QGuiApplication.setHighDpiScaleFactorRoundingPolicy(
        Qt.HighDpiScaleFactorRoundingPolicy.PassThrough
    )
    app = QApplication(sys.argv[:1])
    QCoreApplication.setApplicationName("bloomline")
    QCoreApplication.setApplicationVersion(__version__)
    QGuiApplication.setApplicationDisplayName("bloomline")
    QGuiApplication.setDesktopFileName("bloomline")
    app.setWindowIcon(application_icon())
    # The timeline keeps its parts painted: at 200 % on a large screen some 40 MB.
    QPixmapCache.setCacheLimit(65_536)
    memory = Memory()
    theme = chosen_theme(memory)
    ask_system_for(theme)
    dress(app, theme)
    follow_system()
    chosen = memory.value("language")
    install_words(app, chosen if isinstance(chosen, str) else None)
    return app


def application_icon() -> QIcon:
    """A pot with layered bulbs and one flower."""
    return icon("bloomline")


def hand_over_often() -> None:
    """Let window and work beside it take turns more often than the usual 5 ms.

    The season is worked out beside the window, and a slider is to keep moving meanwhile.
    """
    sys.setswitchinterval(0.0005)


def run(path: Path | None) -> int:
    """Open the window, with a yard if one is given, and stay until it closes."""
    hand_over_often()
    gc.disable()  # the collector below takes over
    app = application()
    window = MainWindow()
    crash.install(window.rescue, parent=window)
    app.styleHints().colorSchemeChanged.connect(window.dress_anew)
    leaving = Leaving(window)
    window.start(path)
    window.show()
    app.aboutToQuit.connect(leave_text)
    Collector(app).start()
    code = app.exec()
    leaving.stop()
    if not end_all(_PATIENCE_S):
        # Answers that nobody will see: the program ends without them.
        for stream in (sys.stdout, sys.stderr):
            if stream is not None:  # as on Windows, without a console
                stream.flush()
        os._exit(code)
    return code


def main() -> int:
    """Open the window with the file named on the command line, if there is one."""
    return run(Path(sys.argv[1]) if len(sys.argv) > 1 else None)
