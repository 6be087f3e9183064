"""Draws the window's pages, dialogs and states as pictures, to be looked at by eye.

Run by hand: `python tests/benchmarks/looks.py FOLDER --size 1280x720 --scale 2 --dark --long`.
Needs no display. `--long` makes every word two fifths longer, as German is; `--only PART` draws
the states whose names hold it. What is cut, laid over another or too small is told of each state;
`tests/ui/window/test_looks.py` asks the same. States and faults are in `looking`.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
import tempfile
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from looking import (
    calm,
    faults_of,
    mnemonic_faults,
    speak_long,
    until,
    walk,
    watching_paint,
)

if TYPE_CHECKING:
    from PySide6.QtWidgets import QWidget

DEMO = Path(__file__).resolve().parents[2] / "demo" / "hollyhock-lane.bloomline"
DAY, TODAY = date(2027, 4, 24), date(2026, 11, 20)


def main() -> int:
    """Return 0 when all pictures are made and nothing was found amiss."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--size", default="1280x720")
    parser.add_argument("--scale", type=float, default=1.0)
    parser.add_argument("--dark", action="store_true")
    parser.add_argument("--long", action="store_true")
    parser.add_argument("--empty", action="store_true", help="start without a yard")
    parser.add_argument("--only", default="")
    options = parser.parse_args()
    width, height = map(int, options.size.split("x"))
    options.folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as home:
        _surround(Path(home), width, height, options.scale)
        return _draw(options, width, height, Path(home))


def _surround(home: Path, width: int, height: int, scale: float) -> None:
    """A screen of the size, and no folders of a person's own."""
    screen = {"name": "one", "x": 0, "y": 0, "logicalDpi": 96, "dpr": 1}
    screen |= {"width": round(width * scale), "height": round(height * scale)}
    (home / "screens.json").write_text(json.dumps({"screens": [screen]}))
    os.environ.update(
        dict.fromkeys(("XDG_CONFIG_HOME", "XDG_STATE_HOME", "XDG_DATA_HOME"), str(home))
    )
    os.environ["QT_QPA_PLATFORM"] = f"offscreen:configfile={home / 'screens.json'}"
    os.environ["QT_SCALE_FACTOR"] = str(scale)


def _draw(options: argparse.Namespace, width: int, height: int, home: Path) -> int:
    from PySide6.QtCore import QLocale
    from PySide6.QtWidgets import QApplication

    from bloomline.draw.base.petals import DARK, LIGHT
    from bloomline.ui.app import application
    from bloomline.ui.theme import dress
    from bloomline.ui.window import MainWindow

    QLocale.setDefault(QLocale(QLocale.Language.English, QLocale.Country.UnitedKingdom))
    app = application()
    if options.long:
        speak_long(home / "locale")
    dress(app, DARK if options.dark else LIGHT)
    window = MainWindow(state=home / "state")
    window.document._clock = lambda: TODAY
    window.resize(width, height)
    window.start(None if options.empty else DEMO)
    window.show()
    calm(window)
    if not options.empty:
        until(lambda: window.shelf.windows)
        window.document.look_at(DAY)
    count, small = [0], set[str]()

    def look(name: str, widget: QWidget) -> None:
        with watching_paint(small):
            picture = widget.grab()
        picture.save(str(options.folder / f"{name}.png"))
        faults = [*faults_of(widget), *mnemonic_faults(widget), *sorted(small)]
        small.clear()
        count[0] += len(faults)
        for fault in faults:
            print(f"{name} [{widget.width()}x{widget.height()}] {fault}", flush=True)

    if options.empty:
        look("empty", window)
    else:
        walk(window, look, wanted=lambda name: options.only in name)
        window.show_help()
        help_page = window._help
        if help_page is not None and options.only in "help":
            until(lambda: True, rest_s=0.5)
            look("help", help_page)
    window.document.undo_stack.setClean()
    window.close()
    QApplication.processEvents()
    return 1 if count[0] else 0


if __name__ == "__main__":
    sys.exit(main())
