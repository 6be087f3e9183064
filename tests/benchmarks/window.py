"""Prints how fast the window is: run by hand, `python tests/benchmarks/window.py`.

`start_ms` is a fresh interpreter from its start to the demo yard's season painted;
`start_cpu_ms` is the processor time of that, which a busy machine sways less, and
`start_main_ms` the part of the window's own thread: what remains is worked out beside it.
The steps are from one move of a slider (or of the day) to the repaint of timeline and yard with
the new season in them. All are medians, in the window as it is: shelf, strips and cards follow.
A rested step comes when all work beside the window has ended, so that what is prepared meanwhile
counts; the others come as soon as the one before is painted. A scrolled row and a scrolled yard
are one notch of the wheel, until that view alone is painted: a frame, of which 60 Hz leave 16 ms.
`cpu` is what a step costs one processor, which a busy machine sways less; `own` the part of the
window's own thread, without what is worked out beside it. `colours_ms` is from light to dark
colours and their first paint, with every page made.
"""

from __future__ import annotations

import argparse
import cProfile
import gc
import os
import pstats
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PySide6.QtCore import QObject
    from PySide6.QtWidgets import QScrollBar

    from bloomline.model.yard import Yard
    from bloomline.ui.window import MainWindow

ROOT = Path(__file__).resolve().parent.parent.parent
DEMO = ROOT / "demo" / "hollyhock-lane.bloomline"
LIMIT_MS = 30_000


def many_pots(yard: Yard, n_pots: int) -> Yard:
    """A yard that repeats the pots of another, each under its own id."""
    pots = []
    for number in range(n_pots):
        pot = yard.pots[number % len(yard.pots)]
        layers = tuple(one.model_copy(update={"id": f"{one.id}-{number}"}) for one in pot.layers)
        update = {"id": f"{pot.id}-{number}", "name": f"{pot.name} {number}", "layers": layers}
        pots.append(pot.model_copy(update=update))
    return yard.model_copy(update={"pots": tuple(pots), "records": ()})


class Watch:
    """Knows when the season was last told, and when timeline and yard were painted since.

    It waits in an event loop, as the program does: asking again and again would take the
    interpreter from the work beside.
    """

    def __init__(self, window: MainWindow) -> None:
        from PySide6.QtCore import QEvent, QEventLoop, QObject, QTimer

        watch = self

        class Filter(QObject):
            def eventFilter(self, watched: QObject, event: QEvent) -> bool:
                if event.type() == QEvent.Type.Paint:
                    watch._seen.add(watched)
                    if watch._is_told and watch._awaited <= watch._seen:
                        watch._end.start()  # it fires when the paint is over
                return False

        self.cpu_ms = self.own_ms = 0.0
        """What the last act cost, on all processors and of the window's thread."""
        self._seen: set[QObject] = set()
        self._is_told = False
        self._views: set[QObject] = {window.season.view.viewport(), window.yard.canvas}
        self._awaited = self._views
        self._filter = Filter()
        for view in self._views:
            view.installEventFilter(self._filter)
        self._loop = QEventLoop()
        self._end, self._limit = QTimer(), QTimer()
        for timer, after_ms in ((self._end, 0), (self._limit, LIMIT_MS)):
            timer.setSingleShot(True)
            timer.setInterval(after_ms)
            timer.timeout.connect(self._loop.quit)
        window.service.report_ready.connect(self._report)

    def _report(self, _report: object) -> None:
        self._is_told = True
        self._seen.clear()

    def until_painted(
        self, act: Callable[[], object], *, with_season: bool, view: QObject | None = None
    ) -> float:
        """Do something and wait for the repaint that shows it, of both views or of one. [ms]"""
        self._is_told = not with_season
        self._awaited = self._views if view is None else {view}
        self._seen.clear()
        self._limit.start()
        cpu, begin, own = time.process_time(), time.perf_counter(), time.thread_time()
        act()
        self._loop.exec()
        self.own_ms = 1000.0 * (time.thread_time() - own)
        taken = 1000.0 * (time.perf_counter() - begin)
        self.cpu_ms = 1000.0 * (time.process_time() - cpu)
        if taken > LIMIT_MS:
            raise SystemExit("the window did not repaint")
        return taken


def open_window(yard: Path, folder: Path) -> tuple[MainWindow, Watch]:
    """The window with a yard, as the program opens it."""
    from bloomline.ui.app import application, hand_over_often
    from bloomline.ui.collecting import Collector
    from bloomline.ui.files.memory import Memory
    from bloomline.ui.window import MainWindow

    hand_over_often()
    gc.disable()  # as the program does: its collector takes over
    app = application()
    window = MainWindow(settings=Memory(folder / "window.json"), state=folder / "state")
    watch = Watch(window)
    window.resize(1280, 800)

    def show() -> None:
        window.start(yard)
        window.show()

    watch.until_painted(show, with_season=True)
    Collector(app).start()
    return window, watch


def close(window: MainWindow) -> None:
    """Close without asking, and be rid of it before another is opened."""
    import shiboken6

    window.document.undo_stack.setClean()
    window.close()
    # Here and now: left to the garbage collector it might go in a thread that works beside.
    shiboken6.delete(window)


def started_once(compiled: Path) -> tuple[float, float, float]:
    """Wall time, processor time and that of the window's thread of one start. [ms]

    Compiled as an installed program is.
    """
    environment = os.environ | {"PYTHONPYCACHEPREFIX": str(compiled)}
    environment.pop("PYTHONDONTWRITEBYTECODE", None)
    begin = time.perf_counter()
    child = subprocess.Popen(
        [sys.executable, __file__, "--start"],
        stdout=subprocess.PIPE,
        text=True,
        cwd=ROOT,
        env=environment,
    )
    assert child.stdout is not None
    line = child.stdout.readline()
    wall = 1000.0 * (time.perf_counter() - begin)
    child.wait()
    cpu, main_thread = (float(each) for each in line.split())
    return wall, cpu, main_thread


def rest(window: MainWindow) -> None:
    """Let the work beside the window come to its end."""
    from PySide6.QtWidgets import QApplication

    end = time.perf_counter() + LIMIT_MS / 1000.0
    while time.perf_counter() < end:
        QApplication.processEvents()
        shelf = window.shelf
        ahead = getattr(window.conditions, "ahead", None)  # older checkouts have none
        is_preparing = ahead is not None and ahead.is_busy
        if not (window.service.is_busy or shelf.season.is_busy or is_preparing):
            return
        time.sleep(0.005)


def steps(
    window: MainWindow, watch: Watch, runs: int, profiled: bool
) -> dict[str, list[tuple[float, float, float]]]:
    """Wall and processor times of each kind of step, and those of the window's thread. [ms]"""
    document, conditions = window.document, window.conditions

    def slide(slider: object, step: int) -> None:
        value, most = slider.value(), slider.maximum()  # type: ignore[attr-defined]
        slider.setSliderPosition(value + step if 0 <= value + step <= most else value - step)  # type: ignore[attr-defined]

    def region() -> None:
        slide(conditions.region.slider, 1)

    def start() -> None:
        slide(conditions.start.slider, 1)

    def year() -> None:
        rank = document.weather_year
        document.look_at_weather_year(0 if rank is None else (rank + 1) % 21)

    def day() -> None:
        document.look_at(document.day + timedelta(days=1))

    rows, across = window.season.view.scroll_bar, window.yard._across

    def scroll(bar: QScrollBar) -> None:
        by = 3 * bar.singleStep()  # a notch of the wheel
        bar.setValue(bar.value() + by if bar.value() + by <= bar.maximum() else bar.minimum())

    def down() -> None:
        scroll(rows)

    def along() -> None:
        scroll(across)

    found = {}
    for name, act, with_season, view in (
        ("region_step_ms", region, True, None),
        ("start_date_step_ms", start, True, None),
        ("year_step_ms", year, True, None),
        ("day_step_ms", day, False, None),
        ("rows_scrolled_ms", down, False, window.season.view.viewport()),
        ("yard_scrolled_ms", along, False, window.yard.canvas),
    ):
        rest(window)
        for _ in range(3):
            watch.until_painted(act, with_season=with_season, view=view)
        profile = cProfile.Profile()
        if profiled:
            profile.enable()
        found[name] = []
        for _ in range(runs):
            wall = watch.until_painted(act, with_season=with_season, view=view)
            found[name].append((wall, watch.cpu_ms, watch.own_ms))
        found[f"{name}_rested"] = []
        for _ in range(runs):
            rest(window)
            wall = watch.until_painted(act, with_season=with_season, view=view)
            found[f"{name}_rested"].append((wall, watch.cpu_ms, watch.own_ms))
        if profiled:
            profile.disable()
            print(name)
            pstats.Stats(profile).sort_stats("cumulative").print_stats(60)
        document.look_at_weather_year(None)
    return found


def colours(window: MainWindow) -> list[float]:
    """What the window's thread takes from light to dark and back, with every page made. [ms]"""
    from PySide6.QtWidgets import QApplication

    from bloomline.draw.base.petals import DARK, LIGHT
    from bloomline.ui.app import application
    from bloomline.ui.pages import PAGES
    from bloomline.ui.theme import dress

    for spec in PAGES:
        window.pages.go_to(spec.name)
        rest(window)
    window.pages.go_to("yard")
    rest(window)
    found = []
    for theme in (DARK, LIGHT) * 3:
        begin = time.thread_time()
        dress(application(), theme)
        QApplication.processEvents()
        found.append(1000.0 * (time.thread_time() - begin))
        rest(window)
    return found


def main() -> None:
    """Measure and print."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("--start", action="store_true", help=argparse.SUPPRESS)
    parser.add_argument("--runs", type=int, default=25, help="steps of each kind")
    parser.add_argument("--starts", type=int, default=5, help="fresh starts")
    parser.add_argument("--pots", type=int, default=200, help="size of the large yard")
    parser.add_argument("--only", default="", help="the yard whose label holds this")
    parser.add_argument("--profile", action="store_true", help="show what the steps cost")
    options = parser.parse_args()
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    sys.path.insert(0, str(ROOT))
    with tempfile.TemporaryDirectory() as kept:
        folder = Path(kept)
        if options.start:
            window, _ = open_window(DEMO, folder)
            print(1000.0 * time.process_time(), 1000.0 * time.thread_time(), flush=True)
            close(window)
            return
        # The first start compiles; it does not count.
        starts = [started_once(folder) for _ in range(options.starts + 1)][1:]
        if starts:
            for at, name in enumerate(("start_ms", "start_cpu_ms", "start_main_ms")):
                some = [each[at] for each in starts]
                print(f"{name} {statistics.median(some):.0f} (least {min(some):.0f})")
        from bloomline.files.yardfile import load_yard, save_yard

        large = folder / "large.bloomline"
        save_yard(large, many_pots(load_yard(DEMO).yard, options.pots), seen=None)
        for label, path in (("demo", DEMO), (f"{options.pots} pots", large)):
            if options.only not in label:
                continue
            window, watch = open_window(path, folder)
            for name, times in steps(window, watch, options.runs, options.profile).items():
                walls, cpus, owns = (sorted(each) for each in zip(*times, strict=True))
                print(
                    f"{name} {label} {statistics.median(walls):.1f} (nine in ten "
                    f"{walls[int(0.9 * len(walls))]:.1f}, least {walls[0]:.1f}; "
                    f"cpu {statistics.median(cpus):.1f}, least {cpus[0]:.1f}; "
                    f"own {statistics.median(owns):.1f}, least {owns[0]:.1f})",
                    flush=True,
                )
            if label == "demo":
                owns = sorted(colours(window))
                print(f"colours_ms {label} own {statistics.median(owns):.0f}, least {owns[0]:.0f}")
            close(window)


if __name__ == "__main__":
    main()
