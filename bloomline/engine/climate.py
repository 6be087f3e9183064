"""From twelve monthly means to many plausible years of daily temperatures.

A place is known by its monthly normals. Smooth daily curves that keep each month's mean carry
the seasons; the day-to-day weather comes from the recorded departures of a reference station,
season by season, scaled to how variable the place is. Nothing is drawn at random: the same
place gives the same years everywhere.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from bloomline.engine.variability import VariabilityLaw, bent, continents, spread

Floats = NDArray[np.float64]
Days = NDArray[np.datetime64]

LAPSE_C_PER_M = -0.0065
"""Temperature change with height in the ICAO standard atmosphere (ISO 2533:1975), °C per m."""

SEASON_DAYS = 600
"""Length of a season's axis: from early summer to the midwinter of the year after the next.

What is planted on the last day of its first year still has eight months to flower in."""

WINTER_FROM = 36
"""Day of the axis, half a month after the longest day, from which a year holds one whole winter."""

_NORTHERN_START_MONTH = 6
_SOUTHERN_START_MONTH = 12


def lapse_c(rise_m: ArrayLike) -> Floats:
    """Temperature change for a rise of `rise_m` metres. [°C, negative upwards]

    Source: ISO 2533:1975 standard atmosphere, -6.5 K per km below 11 km.
    """
    return np.asarray(rise_m, dtype=np.float64) * LAPSE_C_PER_M


@lru_cache(maxsize=2)
def _curve_operator(year_length: int) -> Floats:
    """Matrix (year_length, 12) that turns monthly means into a smooth daily curve.

    Twelve harmonic terms are solved so that the mean of the daily values over every month is
    the given monthly mean. The sixth harmonic enters as a sine: its cosine is zero in the
    middle of every month and could carry nothing.
    """
    day = np.arange(year_length) + 0.5
    angle = 2.0 * np.pi * day / year_length
    terms = [np.ones_like(angle)]
    for order in range(1, 6):
        terms += [np.cos(order * angle), np.sin(order * angle)]
    terms.append(np.sin(6 * angle))
    basis = np.stack(terms, axis=1)
    february = 29 if year_length == 366 else 28
    lengths = [31, february, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
    starts = np.concatenate([[0], np.cumsum(lengths)[:-1]])
    month_means = np.add.reduceat(basis, starts, axis=0) / np.array(lengths)[:, None]
    operator: Floats = basis @ np.linalg.inv(month_means)
    return operator


def daily_curve(monthly: ArrayLike, *, leap: bool = False) -> Floats:
    """Smooth daily values whose mean over each month is the given monthly value.

    monthly : shape (..., 12). Returns shape (..., 365), or (..., 366) when `leap`.
    """
    values = np.asarray(monthly, dtype=np.float64)
    if values.shape[-1] != 12:
        raise ValueError(f"twelve monthly values are needed, got {values.shape[-1]}")
    return values @ _curve_operator(366 if leap else 365).T


def day_of_year(days: Days) -> NDArray[np.int64]:
    """Day of the year, 1 for 1 January. days : shape (n,) of datetime64[D]."""
    in_days = days.astype("datetime64[D]")
    since_new_year: NDArray[np.int64] = (in_days - in_days.astype("datetime64[Y]")).astype(np.int64)
    return since_new_year + 1


def curve_on_days(monthly: ArrayLike, days: Days) -> Floats:
    """The smooth curve on calendar days. monthly : (..., 12); returns (..., n_days)."""
    years = days.astype("datetime64[Y]").astype(np.int64) + 1970
    leap = (years % 4 == 0) & ((years % 100 != 0) | (years % 400 == 0))
    index = day_of_year(days) - 1
    common = daily_curve(monthly)
    if not leap.any():
        return common[..., index]
    with_leap_day = daily_curve(monthly, leap=True)
    return np.where(leap, with_leap_day[..., index], common[..., np.minimum(index, 364)])


def season_start(planted: np.datetime64, *, latitude_deg: float) -> np.datetime64:
    """First day of the season's axis that holds a planting day.

    The axis begins on 1 June in the north and on 1 December in the south: after spring's
    flowers and before the first planting of autumn-flowering bulbs.
    """
    month = _NORTHERN_START_MONTH if latitude_deg >= 0 else _SOUTHERN_START_MONTH
    day = planted.astype("datetime64[D]")
    year = int(day.astype("datetime64[Y]").astype(np.int64)) + 1970
    start = np.datetime64(f"{year:04d}-{month:02d}-01", "D")
    if start > day:
        start = np.datetime64(f"{year - 1:04d}-{month:02d}-01", "D")
    return start


@dataclass(frozen=True, slots=True)
class Departures:
    """Departures of a reference station from its own smooth curves, season by season. [°C]

    tmin_c, tmax_c : shape (n_years, SEASON_DAYS); day 0 is 1 June.
    """

    tmin_c: Floats
    tmax_c: Floats

    @property
    def n_years(self) -> int:
        """How many seasons there are."""
        return len(self.tmin_c)


def season_departures(
    tmin_c: ArrayLike, *, tmax_c: ArrayLike, first_day: np.datetime64, n_years: int = 21
) -> Departures:
    """Cut a daily record into seasons of departures from its own mean year.

    tmin_c, tmax_c : shape (n_days,), a record without gaps from `first_day` on. Where the
    last season runs over the end of the record, departures of the record's first years on
    the same calendar days close it, so that every season has its full length.

    Raises ValueError when the record is too short for `n_years` seasons.
    """
    low = np.asarray(tmin_c, dtype=np.float64)
    high = np.asarray(tmax_c, dtype=np.float64)
    days = first_day.astype("datetime64[D]") + np.arange(len(low))
    first_year = int(days[0].astype("datetime64[Y]").astype(np.int64)) + 1970
    starts = [
        np.datetime64(
            f"{first_year + i + (days[0] > np.datetime64(f'{first_year}-06-01')):04d}-06-01"
        )
        for i in range(n_years)
    ]
    if starts[-1] + 366 > days[-1]:
        raise ValueError(f"the record ends too early for {n_years} seasons")
    months = days.astype("datetime64[M]").astype(np.int64) % 12
    series = []
    for values in (low, high):
        monthly = [float(values[months == m].mean()) for m in range(12)]
        departure = values - curve_on_days(monthly, days)
        overrun = int((starts[-1] + SEASON_DAYS - 1 - days[-1]).astype(np.int64))
        if overrun > 0:
            again = days[-1] + 1 - np.timedelta64(round(365.25 * (n_years - 1)), "D")
            at = int((again - days[0]).astype(np.int64))
            departure = np.concatenate([departure, departure[at : at + overrun]])
        at_start = [int((s - days[0]).astype(np.int64)) for s in starts]
        series.append(np.stack([departure[a : a + SEASON_DAYS] for a in at_start]))
    return Departures(tmin_c=series[0], tmax_c=series[1])


@dataclass(frozen=True, slots=True, eq=False)
class WeatherYears:
    """Daily temperatures of a place in many years, all on one calendar axis. [°C]

    first_day : the axis' first calendar day. tmin_c, tmax_c : shape (n_years, n_days).
    known : shape (n_days,), True where the days are the place's own recorded weather.
    """

    first_day: np.datetime64
    latitude_deg: float
    tmin_c: Floats
    tmax_c: Floats
    known: NDArray[np.bool_]

    @property
    def days(self) -> Days:
        """The calendar days of the axis, shape (n_days,)."""
        return self.first_day + np.arange(self.tmin_c.shape[1])

    @property
    def n_years(self) -> int:
        """How many weather years there are."""
        return len(self.tmin_c)

    @property
    def mean_c(self) -> Floats:
        """Daily mean as the middle of minimum and maximum, shape (n_years, n_days)."""
        return 0.5 * (self.tmin_c + self.tmax_c)


@dataclass(frozen=True, slots=True, eq=False)
class _Axis:
    """What all places share on one calendar axis.

    to_days : shape (n_days, 12), turns monthly means into the smooth curve on the axis' days.
    calendar : month of each day, 0 to 11. month : its month, counted from the axis' first.
    """

    to_days: Floats
    calendar: NDArray[np.int64]
    month: NDArray[np.int64]
    calendar_days: NDArray[np.int64]
    month_days: NDArray[np.int64]

    def curve(self, monthly: Floats) -> Floats:
        """The smooth curve of monthly values, shape (12,), on the days."""
        values: Floats = self.to_days @ monthly
        return values

    def centred(self, departure: Floats) -> Floats:
        """Departures without a mean in any month; changes and returns what it is given.

        A smooth curve takes most of the mean, so that no step comes between months; what is
        left where a calendar month comes twice on the axis, a tenth of a degree or so, is taken
        month by month.
        """
        mean_year = departure.mean(axis=0)
        by_calendar = np.bincount(self.calendar, weights=mean_year, minlength=12)
        smooth = self.curve(by_calendar / self.calendar_days)
        departure -= smooth + self._month_means(mean_year - smooth)
        return departure

    def positive(self, day_range: Floats) -> Floats:
        """Ranges of days made positive, their month means kept; changes and returns its own.

        day_range : shape (n_years, n_days). [°C] A scaled cold night may come out above a
        scaled dull day; half a degree keeps the order, and the other days of the month give it
        back in proportion.
        """
        wanted = np.maximum(self._month_means(day_range.mean(axis=0)), 0.02)
        least = np.minimum(0.5, 0.5 * wanted)
        day_range -= least
        np.maximum(day_range, 0.0, out=day_range)
        mean_excess = np.maximum(self._month_means(day_range.mean(axis=0)), 1e-9)
        day_range *= (wanted - least) / mean_excess
        day_range += least
        return day_range

    def _month_means(self, values: Floats) -> Floats:
        means: Floats = (np.bincount(self.month, weights=values) / self.month_days)[self.month]
        return means


@lru_cache(maxsize=16)
def _axis(first_day: int, n_days: int) -> _Axis:
    """The axis of `n_days` from `first_day`, in days since 1970."""
    days = np.datetime64(first_day, "D") + np.arange(n_days)
    months = days.astype("datetime64[M]").astype(np.int64)
    calendar, month = months % 12, months - months[0]
    return _Axis(
        to_days=np.ascontiguousarray(curve_on_days(np.eye(12), days).T),
        calendar=calendar,
        month=month,
        calendar_days=np.maximum(np.bincount(calendar, minlength=12), 1),
        month_days=np.bincount(month),
    )


def weather_years(
    tmin_c: ArrayLike,
    *,
    tmax_c: ArrayLike,
    latitude_deg: float,
    longitude_deg: float | None = None,
    first_day: np.datetime64,
    departures: Departures,
    rise_m: float = 0.0,
    law: VariabilityLaw | None = None,
) -> WeatherYears:
    """Weather years of a place from its monthly normals.

    tmin_c, tmax_c : shape (12,), mean daily minimum and maximum of January to December. [°C]
    longitude_deg : east positive; tells the continent (`continents`), where it is known.
    rise_m : how far the garden lies above the station. [m]
    first_day : first day of the axis, as `season_start` gives it.

    The mean over the years of each month of the axis is the given monthly value, and each day's
    maximum lies above its minimum. Maxima stray by the same law as minima, so that a cold spell
    is as long and as deep by day as by night.

    Raises ValueError when a month's maximum is not above its minimum.
    """
    low12 = np.asarray(tmin_c, dtype=np.float64)
    high12 = np.asarray(tmax_c, dtype=np.float64)
    if low12.shape != (12,) or high12.shape != (12,):
        raise ValueError("twelve monthly minima and maxima are needed")
    if not (high12 > low12).all():
        raise ValueError("each month's mean maximum must be above its mean minimum")
    start = first_day.astype("datetime64[D]")
    axis = _axis(int(start.astype(np.int64)), departures.tmin_c.shape[1])
    low, high = axis.curve(low12), axis.curve(high12)
    scale, bend = spread(
        low,
        low12,
        law or VariabilityLaw(),
        continents(latitude_deg, longitude_deg=longitude_deg),
    )
    tmin = low + axis.centred(bent(departures.tmin_c, scale, bend))
    tmax = high + axis.centred(bent(departures.tmax_c, scale, bend))
    tmax = tmin + axis.positive(tmax - tmin)
    change = float(lapse_c(rise_m))
    return WeatherYears(
        first_day=start,
        latitude_deg=latitude_deg,
        tmin_c=tmin + change,
        tmax_c=tmax + change,
        known=np.zeros(len(low), dtype=bool),
    )


def with_recorded_days(
    weather: WeatherYears, *, days: Days, tmin_c: ArrayLike, tmax_c: ArrayLike
) -> WeatherYears:
    """Put recorded days in place of the same days of every weather year.

    days, tmin_c, tmax_c : shape (n,). Days outside the axis are left out.
    """
    at = (days.astype("datetime64[D]") - weather.first_day).astype(np.int64)
    inside = (at >= 0) & (at < weather.tmin_c.shape[1])
    if not inside.any():
        return weather
    at = at[inside]
    tmin = weather.tmin_c.copy()
    tmax = weather.tmax_c.copy()
    tmin[:, at] = np.asarray(tmin_c, dtype=np.float64)[inside]
    tmax[:, at] = np.asarray(tmax_c, dtype=np.float64)[inside]
    known = weather.known.copy()
    known[at] = True
    return WeatherYears(
        first_day=weather.first_day,
        latitude_deg=weather.latitude_deg,
        tmin_c=tmin,
        tmax_c=tmax,
        known=known,
    )


def frost_days(weather: WeatherYears) -> Floats:
    """Mean number of days a month with a minimum below 0 °C, January to December. [days]

    Counted over the axis' first twelve months. Returns shape (12,).
    """
    months = weather.days[:365].astype("datetime64[M]").astype(np.int64) % 12
    frosty = (weather.tmin_c[:, :365] < 0.0).mean(axis=0)
    counted: Floats = np.bincount(months, weights=frosty, minlength=12).astype(np.float64)
    return counted


def lowest_c(weather: WeatherYears) -> Floats:
    """Lowest minimum of all years in each month, January to December. [°C]

    Over the axis' first twelve months. Returns shape (12,).
    """
    months = weather.days[:365].astype("datetime64[M]").astype(np.int64) % 12
    lowest = weather.tmin_c[:, :365].min(axis=0)
    return np.array([lowest[months == month].min() for month in range(12)])


def annual_minima_c(weather: WeatherYears) -> Floats:
    """Lowest minimum of each year, from one midsummer to the next. [°C], shape (n_years,)

    A calendar year would cut winters in two and could take both of its halves from one.
    """
    minima: Floats = weather.tmin_c[:, WINTER_FROM : WINTER_FROM + 365].min(axis=1)
    return minima
