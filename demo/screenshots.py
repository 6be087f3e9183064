"""Makes pictures of the window with the demo yard: `python demo/screenshots.py [FOLDER]`.

No display is needed. Day, selection and sizes are fixed, so that two runs draw the same; each
picture comes from a process of its own, since the scale of the screen is read once.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import tempfile
import time
from datetime import date
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
YARD = ROOT / "demo" / "hollyhock-lane.bloomline"
DAY = date(2027, 4, 24)
TODAY = date(2026, 11, 20)
SELECTED = "Ice Follies"
LIMIT_S = 30.0

# name: (width, height, scale, theme)
PICTURES = {
    "window": (1280, 800, 1.0, "light"),
    "window-dark": (1280, 800, 1.0, "dark"),
    "window-wide": (1920, 1200, 1.0, "light"),
    "window-wide-dark": (1920, 1200, 1.0, "dark"),
    "window-200": (1280, 800, 2.0, "light"),
    "window-200-dark": (1280, 800, 2.0, "dark"),
}


def main() -> int:
    """Return 0 when all pictures are made."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("folder", nargs="?", type=Path, default=ROOT / "demo" / "pictures")
    parser.add_argument("--only", choices=PICTURES, action="append", help="make only this one")
    parser.add_argument("--here", choices=PICTURES, help=argparse.SUPPRESS)
    options = parser.parse_args()
    options.folder.mkdir(parents=True, exist_ok=True)
    if options.here:
        return picture(options.here, options.folder / f"{options.here}.png")
    for name in options.only or PICTURES:
        with tempfile.TemporaryDirectory() as home:
            command = [sys.executable, __file__, str(options.folder), "--here", name]
            done = subprocess.run(command, env=_environment(name, home), check=False)
        if done.returncode:
            return done.returncode
        print(options.folder / f"{name}.png")
    return 0


def _environment(name: str, home: str) -> dict[str, str]:
    own = dict.fromkeys(("XDG_CONFIG_HOME", "XDG_STATE_HOME", "XDG_DATA_HOME"), home)
    fixed = {
        "QT_QPA_PLATFORM": "offscreen",
        "QT_SCALE_FACTOR": str(PICTURES[name][2]),
        "LC_ALL": "C.UTF-8",
        "LANGUAGE": "en",
        "PYTHONPATH": str(ROOT),
    }
    return {**os.environ, **own, **fixed}


def picture(name: str, target: Path) -> int:
    """Open the window, bring it to the fixed state and write one picture."""
    from PySide6.QtCore import QLocale
    from PySide6.QtWidgets import QApplication

    from bloomline.draw.base.petals import DARK, LIGHT
    from bloomline.ui.app import application
    from bloomline.ui.theme import dress
    from bloomline.ui.window import MainWindow

    QLocale.setDefault(QLocale(QLocale.Language.English, QLocale.Country.UnitedKingdom))
    width, height, _, theme = PICTURES[name]
    app = application()
    dress(app, DARK if theme == "dark" else LIGHT)
    window = MainWindow()
    window.season._today = lambda: TODAY
    window.resize(width, height)
    window.start(YARD)
    window.show()
    end = time.monotonic() + LIMIT_S
    while window.service.report is None or not window.shelf.windows:
        if time.monotonic() > end:
            print("the season was not worked out in time", file=sys.stderr)
            return 1
        QApplication.processEvents()
        time.sleep(0.01)
    document = window.document
    document.look_at(DAY)
    for _, layer in document.yard.layers():
        if SELECTED in document.cultivar(layer.cultivar_id).name:
            document.select(layer_id=layer.id)
            break
    window.service.refresh()
    calm = time.monotonic() + 1.0
    while time.monotonic() < calm:
        QApplication.processEvents()
        time.sleep(0.01)
    image = window.grab().toImage()
    image.save(str(target))
    window.close()
    return 0


if __name__ == "__main__":
    sys.exit(main())
