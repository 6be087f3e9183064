"""What the weather page works out beside the window."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from threading import Event

from PySide6.QtCore import QObject, Signal

from bloomline.files.weather_import import ImportChoices, ImportedWeather, ImportQuestion
from bloomline.model.yard import Yard
from bloomline.plan.drift import Departure, Drift, SoFar, departure, drift, so_far
from bloomline.plan.forecaster import Forecaster
from bloomline.plan.garden import garden_of
from bloomline.plan.own_weather import import_for
from bloomline.plan.weather import RecordedWeather
from bloomline.reference.catalogue import Catalogue


@dataclass(frozen=True, slots=True)
class Told:
    """What a season's weather tells."""

    drift: Drift
    so_far: dict[str, SoFar]
    departure: Departure


@dataclass(frozen=True, slots=True)
class Read:
    """A file that was read, with what was known about it."""

    path: Path
    choices: ImportChoices
    answer: ImportedWeather | ImportQuestion


class Progress(QObject):
    """Tells how far long work is, and whether it is still wanted."""

    moved = Signal(int)
    """Percent done."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.stop = Event()

    def tell(self, share: float) -> None:
        """Say how much is done, 0 to 1; may be called from any thread."""
        self.moved.emit(round(100 * share))


def read_file(path: Path, choices: ImportChoices, *, yard: Yard) -> Read:
    """Read a weather file for a yard. Raises what `import_for` raises."""
    return Read(path, choices, import_for(path, choices=choices, garden=garden_of(yard.place)))


def tell_weather(
    yard: Yard,
    recorded: RecordedWeather,
    *,
    catalogue: Catalogue,
    forecaster: Forecaster,
    progress: Progress,
) -> Told:
    """Drift, cold and heat so far, and the departure from normal. Raises StoppedError."""
    moved = drift(
        yard,
        recorded,
        catalogue=catalogue,
        forecaster=forecaster,
        progress=progress.tell,
        is_stopped=progress.stop.is_set,
    )
    had = so_far(yard, recorded, catalogue=catalogue, forecaster=forecaster)
    return Told(moved, {each.layer_id: each for each in had}, departure(yard, recorded))
