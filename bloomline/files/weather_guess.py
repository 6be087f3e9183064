"""What the columns of a weather table are, in which order days and in which unit figures stand.

Names of columns are known in several languages; where they say nothing the values are asked,
and where these say nothing either, the person is.
"""

from __future__ import annotations

import itertools
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bloomline.files.weather_text import (
    DateOrder,
    WeatherTable,
    day_in_order,
    figure,
    is_missing,
    looks_like_day,
    parts_of_day,
    split_clock,
)

Unit = Literal["c", "f", "k", "tenths"]

_SAMPLE = 400
# Beginnings of words, folded: English, German, Dutch, French, Spanish, Italian, Portuguese,
# Danish, Norwegian, Swedish, Finnish, Polish, Czech. From general knowledge of the languages.
_DATE = ("date", "datum", "dat", "day", "dag", "tag", "jour", "fecha", "data", "dato", "paiva",
         "pvm", "dzien", "den", "yyyymmdd", "mess", "timestamp", "datetime")  # fmt: skip
_CLOCK = ("time", "hour", "hh", "zeit", "uhrzeit", "stunde", "uur", "heure", "hora", "ora",
          "klok", "tid", "time", "kello", "godz", "cas", "utc")  # fmt: skip
_MIN = ("min", "tmin", "tn", "tnk", "low", "lowest", "tief", "laag", "bas", "lag", "alin")
_MAX = ("max", "tmax", "tx", "txk", "high", "hoch", "hoog", "haut", "hog", "ylin")
_TEMP = ("temp", "tmp", "t2m", "tas", "tt", "ta", "lufttemp", "drybulb", "dry", "lampotila",
         "teplota", "luft", "air", "aussen")  # fmt: skip
_NOT = ("soil", "ground", "grass", "gras", "boden", "dew", "tau", "humid", "feucht", "wind",
        "rain", "regen", "niederschlag", "pluie", "precip", "press", "druck", "wet", "feel",
        "chill", "indoor", "innen", "inside", "quality", "qn", "flag", "station", "sun", "snow",
        "schnee", "sonn", "cloud", "erdb", "gust", "radiation", "count", "id", "stn", "lat",
        "lon")  # fmt: skip
_MEAN = ("mean", "avg", "average", "mittel", "moyen", "media", "gemiddeld", "tmk")


@dataclass(frozen=True, slots=True)
class Columns:
    """Places of the columns that count. `date` has one place, or three: year, month, day.

    Daily tables have `low` and `high`, tables of single readings `reading` and maybe `clock`.
    """

    date: tuple[int, ...]
    low: int | None = None
    high: int | None = None
    reading: int | None = None
    clock: int | None = None

    @property
    def of_figures(self) -> tuple[int, ...]:
        """The places of the temperatures."""
        places = (self.low, self.high) if self.reading is None else (self.reading,)
        return tuple(place for place in places if place is not None)


def folded(name: str) -> list[str]:
    """The words of a column's name, without case and accents."""
    plain = unicodedata.normalize("NFKD", name.casefold())
    kept = "".join(c if c.isalnum() or c == "." else " " for c in plain if c.isprintable()
                   and not unicodedata.combining(c))  # fmt: skip
    return kept.replace(".", " ").split()


def _begins(words: Sequence[str], beginnings: Sequence[str]) -> bool:
    return any(
        word == each or (len(each) > 2 and word.startswith(each))
        for word in words
        for each in beginnings
    )


def _names(words: Sequence[str], beginnings: Sequence[str]) -> bool:
    """Whether words hold a beginning anywhere a compound word may hide it."""
    return _begins(words, beginnings) or any(
        each in word for word in words for each in beginnings if len(each) > 2
    )


def guess_columns(table: WeatherTable) -> Columns | None:
    """The columns by their names, else by their values; None where neither tells."""
    days = _day_columns(table)
    if not days:
        return None
    words = [folded(name) for name in table.header]
    # A name weighs more than a few odd cells, which are told of when they are read.
    least = 0.3 if table.has_names else 0.9
    numeric = [
        i for i in range(len(table.header)) if i not in days and _is_numeric(table, i, least=least)
    ]
    if table.has_names:
        clock = next((i for i, each in enumerate(words) if i not in days and _begins(each, _CLOCK)),
                     None)  # fmt: skip
        fit = [i for i in numeric if i != clock and not _begins(words[i], _NOT)]
        low = [i for i in fit if _names(words[i], _MIN) and not _names(words[i], _MAX)]
        high = [i for i in fit if _names(words[i], _MAX) and not _names(words[i], _MIN)]
        if len(low) == 1 and len(high) == 1:
            return Columns(days, low=low[0], high=high[0])
        if low or high:
            return None
        warm = [i for i in fit if _names(words[i], _TEMP) and not _begins(words[i], _MEAN)]
        if len(warm) == 1 and _is_of_readings(table, days, clock):
            return Columns(days, reading=warm[0], clock=clock)
        numeric = fit
    return _by_values(table, days, numeric)


def _day_columns(table: WeatherTable) -> tuple[int, ...]:
    rows = [cells for _, cells in table.rows[:_SAMPLE]]
    words = [folded(name) for name in table.header]
    good = [
        i
        for i in range(len(table.header))
        if sum(looks_like_day(row[i]) for row in rows if i < len(row)) > len(rows) / 2
    ]
    named = [i for i in good if _begins(words[i], _DATE)]
    if good:
        return ((named or good)[0],)
    return _year_month_day(table, rows)


def _year_month_day(table: WeatherTable, rows: Sequence[tuple[str, ...]]) -> tuple[int, ...]:
    for i in range(len(table.header) - 2):
        fit = 0
        for row in rows:
            numbers = [figure(cell) for cell in row[i : i + 3]]
            if len(numbers) == 3 and None not in numbers:
                year, month, day = (number or 0 for number in numbers)
                fit += 1800 <= year <= 2199 and 1 <= month <= 12 and 1 <= day <= 31
        if fit > len(rows) / 2:
            return (i, i + 1, i + 2)
    return ()


def _is_numeric(table: WeatherTable, place: int, *, least: float) -> bool:
    rows = table.rows[:_SAMPLE]
    good = sum(place < len(cells) and figure(cells[place]) is not None for _, cells in rows)
    gone = sum(place >= len(cells) or is_missing(cells[place]) for _, cells in rows)
    return good > 0 and good + gone >= least * len(rows)


def _is_of_readings(table: WeatherTable, days: tuple[int, ...], clock: int | None) -> bool:
    cells = [row for _, row in table.rows[:_SAMPLE]]
    keys = [" ".join(split_clock(row[i])[0] for i in days if i < len(row)) for row in cells]
    at = days[0]
    has_clock = len(days) == 1 and any(
        at < len(row) and split_clock(row[at])[1] for row in cells[:5]
    )
    return len(set(keys)) * 3 <= len(keys) or has_clock


def _by_values(
    table: WeatherTable, days: tuple[int, ...], numeric: Sequence[int]
) -> Columns | None:
    """Two columns of which one is never above the other are the extremes; one is readings."""
    if len(numeric) == 1 and _is_of_readings(table, days, None):
        return Columns(days, reading=numeric[0])
    if len(numeric) not in (2, 3):
        return None
    values = column_values(table, numeric)
    whole = values[np.isfinite(values).all(axis=1)]
    if len(whole) < 5:
        return None
    order = np.argsort(whole.mean(axis=0))
    if not (np.diff(whole[:, order], axis=1) >= 0).all():
        return None
    spread = whole[:, order[-1]] - whole[:, order[0]]
    if not (spread > 0).any():
        return None
    return Columns(days, low=numeric[int(order[0])], high=numeric[int(order[-1])])


def column_values(table: WeatherTable, places: Sequence[int]) -> NDArray[np.float64]:
    """Figures of columns, NaN where there are none; shape (n_rows, n_places)."""
    return np.array(
        [
            [
                np.nan
                if i >= len(cells) or is_missing(cells[i]) or (v := figure(cells[i])) is None
                else v
                for i in places
            ]
            for _, cells in table.rows
        ]
    )


def guess_date_order(texts: Sequence[str]) -> DateOrder | None:
    """The order of day and month; None where both readings make sense."""
    parts = [found for text in texts if (found := parts_of_day(text)) is not None]
    open_ones = [each for each in parts if not each[3]]
    if not open_ones:
        return "ymd" if any(each[3] == "ymd" for each in parts) else "dmy"
    if any(each[0] > 12 for each in open_ones):
        return "dmy"
    if any(each[1] > 12 for each in open_ones):
        return "mdy"
    steps = {order: _share_of_next_days(texts, order) for order in ("dmy", "mdy")}
    if abs(steps["dmy"] - steps["mdy"]) > 0.5:
        return "dmy" if steps["dmy"] > steps["mdy"] else "mdy"
    return None


def _share_of_next_days(texts: Sequence[str], order: Literal["dmy", "mdy"]) -> float:
    days: list[date] = []
    for text in texts:
        if parts_of_day(text) is None:  # a line that holds no day at all tells nothing
            continue
        try:
            day = day_in_order(text, order)
        except ValueError:
            return 0.0
        if not days or day != days[-1]:
            days.append(day)
    if len(days) < 3:
        return 0.0
    steps = [abs((after - before).days) for before, after in itertools.pairwise(days)]
    return sum(step == 1 for step in steps) / len(steps)


def unit_by_name(names: Sequence[str]) -> Unit | None:
    """The unit that names of columns state; None where they state none or disagree."""
    found = {_unit_in(name) for name in names} - {None}
    return found.pop() if len(found) == 1 else None


def _unit_in(name: str) -> Unit | None:
    plain = name.casefold().replace("º", "°").replace(" ", "")
    words = folded(name.replace("°", " "))
    if (
        "0.1" in plain
        or "1/10" in plain
        or "0,1" in plain
        or "tenth" in plain
        or "zehntel" in plain
    ):
        return "tenths"
    if any(word in ("f", "degf", "fahrenheit") for word in words):
        return "f"
    if any(word in ("c", "degc", "celsius") for word in words):
        return "c"
    if any(word in ("k", "degk", "kelvin") for word in words):
        return "k"
    return None


_FAR_OFF = 15.0


def unit_by_values(values: NDArray[np.float64]) -> Unit | None:
    """The unit in which figures make sense as air temperatures; None where several do.

    values : finite figures, any shape. Bounds are judgement, no source: air between −60 and
    50 °C; a stretch of days whose mean is above 22 "degrees" may as well be in °F. Figures far
    from all others, such as 999 for a broken sensor, say nothing of the unit.
    """
    middle = np.median(values)
    apart = np.abs(values - middle)
    usual = float(np.median(apart))
    if usual > 0.0:
        values = values[apart <= _FAR_OFF * usual]
    low, high, mean = float(values.min()), float(values.max()), float(values.mean())
    if low > 180.0:
        return "k" if high < 340.0 else None
    is_whole = bool((values == np.round(values)).all())
    if high <= 50.0 and low >= -60.0 and mean <= 22.0:
        # Tenths of a frosty week may look like degrees, but swing by far more.
        return None if is_whole and high - low > 70.0 else "c"
    if is_whole and (high > 125.0 or low < -75.0):
        return "tenths" if high <= 500.0 and low >= -600.0 else None
    if not is_whole and 50.0 < high <= 125.0 and low >= -75.0:
        return "f"
    return None


def in_celsius(value: float, unit: Unit) -> float:
    """A figure in degrees Celsius. Source: definitions of the units (NIST SP 811, B.8)."""
    if unit == "f":
        return (value - 32.0) / 1.8
    if unit == "k":
        return value - 273.15
    return value / 10.0 if unit == "tenths" else value
