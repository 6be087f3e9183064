"""What a packet's months mean at the reference garden, and how sure that is.

The months are for gardens of a country. There the typical kind of the class is forecast as if it
opened earlier and later, and the one whose flowers lie in the middle of the packet's months says
when it opens at the reference garden: the forecast turned round.
"""

from __future__ import annotations

import math
import statistics
from dataclasses import dataclass
from datetime import date

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.bands import yearly_median
from bloomline.errors import BloomlineError
from bloomline.model.cultivar import Cultivar, MonthDay
from bloomline.plan.climate.garden import Garden, garden_named
from bloomline.plan.climate.reference_garden import reference_garden
from bloomline.plan.climate.surroundings import Standing
from bloomline.plan.climate.weather import axis_start
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.forecast.planting_day import usual_planting_day
from bloomline.plan.forecast.plantings import Planting
from bloomline.plan.kinds.classes import Usual, day_after
from bloomline.plan.kinds.window import Span, window_days
from bloomline.reference.places import load_places
from bloomline.words import day_words, tr

Floats = NDArray[np.float64]

MOST_GARDENS = 5
"""So many stations of a country stand for its gardens."""
AGREES_SD = 2.0
"""A packet this many standard deviations from its class is questioned; judgement, no source."""
FURTHEST_DAYS = 75
"""From its class's usual time; what flowers further off is no kind of it. Judgement, no source."""

_STEPS = np.arange(-90.0, 91.0, 15.0)
_HIGHEST_M = 600.0  # few gardens of a country lie higher
_AUTUMN_BEFORE = date(2025, 10, 1)  # any year: the weather years are the same for all
_LEAST_SD_DAYS = 3.0
_ODD_SHARE, _ODD_SD_DAYS = 0.2, 25.0
"""So many kinds lie this far from their class, by error or by nature; judgement, no source."""
_GRID = np.arange(-160.0, 160.5, 0.5)


class NoSuchTimeError(BloomlineError):
    """The class doesn't flower at the time that a packet names, or not at all there."""


@dataclass(frozen=True, slots=True)
class PacketDates:
    """Reference dates from a packet. sd_days : of `start`, one standard deviation.

    apart_days : how much later than its class usually the packet says it flowers. agrees :
    whether that is usual for one of its class.
    """

    start: MonthDay
    end: MonthDay
    sd_days: float
    apart_days: float
    agrees: bool
    usual: MonthDay


def class_dates(usual: Usual) -> PacketDates:
    """The dates of a kind of which only the class is known."""
    kind = usual.typical
    return PacketDates(kind.ref_start, kind.ref_end, usual.sd_days, 0.0, True, kind.ref_start)


def packet_dates(span: Span, *, country: str, usual: Usual, forecaster: Forecaster) -> PacketDates:
    """The dates of a kind that flowers in a packet's months in a country.

    The middle of its flowers lies anywhere in the months alike, more or less so as the gardens
    of the country lie apart; before the packet was read it was that of its class. Both together,
    by Bayes' rule, are its dates and how sure they are.
    country : "" for the reference garden. Raises NoSuchTimeError, and UnknownNameError for a
    country.
    """
    kind = usual.typical
    there = [
        edges
        for garden in gardens_of(country)
        if (edges := _later_by(span, garden=garden, kind=kind, forecaster=forecaster)) is not None
    ]
    if not there:
        raise NoSuchTimeError(tr("kinds of this class hardly flower in {country}", country=country))
    first, last = np.median(np.array(there), axis=0)
    late = 0.5 * (first + last)
    if abs(late) > FURTHEST_DAYS:
        raise NoSuchTimeError(
            tr(
                "kinds of this class open about {day} near London; the months are "
                "{n} days from that: is it of another type?",
                day=day_words(kind.ref_start.in_year(2001)),
                n=round(abs(late)),
            )
        )
    among = statistics.pstdev([0.5 * sum(edges) for edges in there])
    mean, sd = _posterior(first, last, among_days=among, class_sd_days=usual.sd_days)
    mean = float(np.clip(mean, *_room(kind)))
    packet_sd = math.hypot((last - first) / math.sqrt(12.0), among)
    return PacketDates(
        start=day_after(kind.ref_start, mean),
        end=day_after(kind.ref_end, mean),
        sd_days=min(max(sd, _LEAST_SD_DAYS), 60.0),
        apart_days=late,
        agrees=abs(late) <= AGREES_SD * math.hypot(usual.sd_days, packet_sd),
        usual=kind.ref_start,
    )


def _posterior(
    first: float, last: float, *, among_days: float, class_sd_days: float
) -> tuple[float, float]:
    """Mean and standard deviation of how much later than its class a kind is, on a grid.

    first, last : edges between which it lies, blurred by how far gardens lie apart.
    """
    blur = math.hypot(among_days, _LEAST_SD_DAYS)
    inside = _below((_GRID - first) / blur) - _below((_GRID - last) / blur)
    sds = np.array([class_sd_days, math.hypot(class_sd_days, _ODD_SD_DAYS)])[:, None]
    shares = np.array([1.0 - _ODD_SHARE, _ODD_SHARE])[:, None]
    prior = (shares / sds * np.exp(-0.5 * (_GRID / sds) ** 2)).sum(axis=0)
    weight = prior * np.maximum(inside, 1e-12)
    weight /= weight.sum()
    mean = float(weight @ _GRID)
    return mean, math.sqrt(float(weight @ (_GRID - mean) ** 2))


def _below(scores: Floats) -> Floats:
    """Share of a normal distribution below scores."""
    return np.array([0.5 * (1.0 + math.erf(each / math.sqrt(2.0))) for each in scores.tolist()])


def gardens_of(country: str) -> tuple[Garden, ...]:
    """Gardens that stand for a country, from one end of it to the other; "" is near London."""
    if not country:
        return (reference_garden(),)
    stations = load_places().in_country(country)
    low = [station for station in stations if station.elevation_m <= _HIGHEST_M] or stations
    ordered = sorted(low, key=lambda station: (station.latitude_deg, station.station_id))
    count = min(MOST_GARDENS, len(ordered))
    places = [int((i + 0.5) * len(ordered) / count) for i in range(count)]
    return tuple(garden_named(ordered[at].station_id) for at in places)


def _later_by(
    span: Span, *, garden: Garden, kind: Cultivar, forecaster: Forecaster
) -> tuple[float, float] | None:
    """How much later than its class a kind opens at the reference garden if the middle of its
    flowers is the first, and the last, moment of a span at another; None where none flowers.
    [days]
    """
    first_day = axis_start(_AUTUMN_BEFORE, garden=garden)
    least, most = _room(kind)
    steps = _STEPS[(least <= _STEPS) & (most >= _STEPS)]
    kinds = [_shifted(kind, float(step)) for step in steps]
    plantings = [
        Planting(each, usual_planting_day(each, garden=garden, first_day=first_day), Standing())
        for each in kinds
    ]
    solved = forecaster.solve(plantings, garden=garden, first_day=first_day)
    start, end = (np.where(np.isfinite(d), d, np.inf) for d in (solved.days.start, solved.days.end))
    middles = 0.5 * (yearly_median(start) + yearly_median(end))
    known = solved.flowers() & np.isfinite(middles)
    if not known.any():
        return None
    steps, middles = steps[known], np.maximum.accumulate(middles[known])
    usual = float(np.interp(0.0, steps, middles))
    middle = _nearest(span, solved.first_ordinal, usual)
    half = 0.5 * window_days(*span)
    return _inverse(middle - half, middles, steps), _inverse(middle + half, middles, steps)


def _room(kind: Cultivar) -> tuple[float, float]:
    """How much earlier and later a kind can open in the season after its planting. [days]"""
    lead = (kind.ref_start.day_of_year - kind.ref_planted.day_of_year) % 365
    return min(kind.least_days - lead, 0.0), max(360.0 - kind.display_days - lead, 0.0)


def _shifted(kind: Cultivar, days: float) -> Cultivar:
    return kind.model_copy(
        update={
            "ref_start": day_after(kind.ref_start, days),
            "ref_end": day_after(kind.ref_end, days),
        }
    )


def _nearest(span: Span, first_ordinal: int, day: float) -> float:
    """The middle of a span on the axis, in the year in which it is nearest to a day of it."""
    begin = date.fromordinal(first_ordinal)
    length = window_days(*span)
    tries = [
        (span[0].in_year(begin.year + year) - begin).days + 0.5 * length for year in (-1, 0, 1, 2)
    ]
    return min(tries, key=lambda each: abs(each - day))


def _inverse(wanted: float, middles: Floats, steps: Floats) -> float:
    """The step whose middle is wanted; beyond the steps as far again as it lies beyond them."""
    if wanted < middles[0]:
        return float(steps[0] - (middles[0] - wanted))
    if wanted > middles[-1]:
        return float(steps[-1] + (wanted - middles[-1]))
    return float(np.interp(wanted, middles, steps))
