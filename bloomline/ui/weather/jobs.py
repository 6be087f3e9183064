"""What the weather page works out beside the window."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

from bloomline.files.weather_import import ImportChoices, ImportedWeather, ImportQuestion
from bloomline.model.yard import Yard
from bloomline.plan.climate.garden import garden_of
from bloomline.plan.climate.own_weather import import_for
from bloomline.plan.season.drift import Departure, Drift, SoFar, departure, drift, so_far
from bloomline.plan.season.outlook import Outlook
from bloomline.ui.progress import Progress


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


def read_file(path: Path, choices: ImportChoices, *, yard: Yard) -> Read:
    """Read a weather file for a yard. Raises what `import_for` raises."""
    garden = garden_of(yard.place)
    return Read(path, choices, import_for(path, choices=choices, garden=garden, today=date.today()))


def tell_weather(outlook: Outlook, *, progress: Progress) -> Told:
    """Drift, cold and heat so far, and the departure from normal, of an outlook with recorded days.

    Raises StoppedError.
    """
    moved = drift(outlook, progress=progress.tell, is_stopped=progress.stop.is_set)
    strayed = departure(outlook)
    assert strayed is not None
    return Told(moved, {each.layer_id: each for each in so_far(outlook)}, strayed)
