"""What an unknown flower in this yard could be: layers ranked by what was seen."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, timedelta
from math import erf, exp, sqrt

from bloomline.errors import UsageError
from bloomline.model.colours import Family, family_of
from bloomline.plan.forecast.report import Band, LayerForecast
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.yard import season_report
from bloomline.plan.words.benches import pot_words
from bloomline.words import plural, short_day_words, tr

_Z90 = 1.2815515655446004  # nine tenths of a normal distribution lie below it
_LEAST_SD_DAYS = 2.5
_DAY_TAIL = 0.002
"""Share of openings spread over the whole season: a forecast can be wrong by more than it says.
Judgement, no source."""
_SEASON_DAYS = 200.0
_SECOND_COLOUR = 0.4
_NEAR_COLOUR = 0.15
_OTHER_COLOUR = 0.01
_HEIGHT_SD = 0.30  # of the height in the tables; judgement
_SCENT = {0: 0.05, 1: 0.5, 2: 1.0}  # how likely a gardener calls it scented; judgement
_NEAR = (
    {Family.PINK, Family.RED},
    {Family.PINK, Family.PURPLE},
    {Family.PURPLE, Family.BLUE},
    {Family.PURPLE, Family.DARK},
    {Family.RED, Family.DARK},
    {Family.RED, Family.ORANGE},
    {Family.ORANGE, Family.YELLOW},
    {Family.YELLOW, Family.WHITE},
    {Family.PINK, Family.WHITE},
    {Family.GREEN, Family.WHITE},
    {Family.PINK, Family.ORANGE},
)
_WORDS = {
    "cream": Family.WHITE,
    "apricot": Family.ORANGE,
    "lilac": Family.PURPLE,
    "violet": Family.PURPLE,
    "mauve": Family.PURPLE,
    "black": Family.DARK,
    "maroon": Family.DARK,
    "dark": Family.DARK,
}


@dataclass(frozen=True, slots=True)
class Candidate:
    """A layer the flower could be: its share of all that it could be (0..1), and why."""

    layer_id: str
    pot_id: str
    name: str
    pot_name: str
    share: float
    why: tuple[str, ...]


def family_named(text: str) -> Family:
    """The colour family a word means. Raises UsageError."""
    word = text.strip().casefold()
    for family in Family:
        parts = family.value.replace(" and ", "|").split("|")
        if word == family.value or word in parts:
            return family
    if word in _WORDS:
        return _WORDS[word]
    known = ", ".join(family.value for family in Family)
    raise UsageError(
        tr("no colour is known as “{text}”; choose one of {known}", text=text, known=known)
    )


def find_unknown(
    outlook: Outlook,
    *,
    colour: Family | None = None,
    scent: bool | None = None,
    opened: date | None = None,
    height_cm: float | None = None,
    pots: Collection[str] | None = None,
    kind: str | None = None,
) -> tuple[Candidate, ...]:
    """Rank the layers that could be an unknown flower, over all years; None was not seen.

    opened : day of its first flower. pots : ids of the pots it can stand in.
    Raises UnknownNameError for a pot that isn't there, UsageError for a height not above 0 and
    for a day outside the season.
    """
    yard, cultivar_of = outlook.yard, outlook.cultivar_of
    report = season_report(outlook.usual)
    for pot_id in pots or ():
        yard.pot(pot_id)
    if height_cm is not None and not height_cm > 0:
        raise UsageError(
            tr("the height of a plant is above 0 cm, not {height_cm:g}", height_cm=height_cm)
        )
    if opened is not None and not report.first_day <= opened <= report.last_day:
        raise UsageError(
            tr(
                "{opened} lies outside the season {season_year} of this yard, "
                "which runs from {first_day} to {last_day}",
                opened=opened,
                season_year=report.season_year,
                first_day=report.first_day,
                last_day=report.last_day,
            )
        )
    names = {pot.id: pot_words(pot) for pot in yard.pots}
    found: list[tuple[float, LayerForecast, list[str]]] = []
    for layer in report.layers:
        if (pots is not None and layer.pot_id not in pots) or layer.pot_id not in names:
            continue
        cultivar = cultivar_of(layer.cultivar_id)
        weight, why = 1.0, []
        if kind is not None:
            is_part = kind.strip().casefold() in cultivar.common_type.casefold()
            if not is_part and not outlook.kinds.is_kind(cultivar, kind):
                continue
            why.append(cultivar.common_type)
        if opened is not None:
            chance, words = _opening(layer, opened)
            weight *= chance
            why.append(words)
        elif layer.start is None:
            weight *= 0.05
            why.append(tr("no flower in the forecast"))
        if colour is not None:
            weight *= sum(
                share * _colour_weight(one.colour_hex, one.second_colour_hex, colour)
                for one, share in cultivar.shares or ((cultivar, 1.0),)
            )
            why.append(tr("petals {colour}", colour=tr(cultivar.colour)))
        if scent is not None:
            share = _SCENT[cultivar.scent]
            weight *= share if scent else 1.05 - share
            why.append((tr("no scent"), tr("some scent"), tr("strong scent"))[cultivar.scent])
        if height_cm is not None:
            off = (height_cm - layer.height_cm) / (_HEIGHT_SD * layer.height_cm)
            weight *= exp(-0.5 * off * off)
            why.append(tr("about {height_cm:.0f} cm tall", height_cm=layer.height_cm))
        found.append((weight, layer, why))
    total = sum(weight for weight, _, _ in found)
    if total <= 0.0:
        return ()
    ranked = sorted(found, key=lambda each: -each[0])
    return tuple(
        Candidate(
            layer.layer_id,
            layer.pot_id,
            layer.name,
            names[layer.pot_id],
            weight / total,
            tuple(why),
        )
        for weight, layer, why in ranked
    )


def _colour_weight(colour_hex: str, second_hex: str | None, wanted: Family) -> float:
    first = family_of(colour_hex)
    if first is wanted:
        return 1.0
    if second_hex is not None and family_of(second_hex) is wanted:
        return _SECOND_COLOUR
    return _NEAR_COLOUR if {first, wanted} in _NEAR else _OTHER_COLOUR


def _opening(layer: LayerForecast, opened: date) -> tuple[float, str]:
    """How likely the first flower comes on a day, and the words for it."""
    if layer.start is None:
        return _DAY_TAIL / _SEASON_DAYS, tr("no flower in the forecast")
    start = layer.start
    likely = opening_chance(start, opened)
    off = (opened - start.p50).days
    band = tr("{day} to {day2}", day=_day(start.p10), day2=_day(start.p90))
    if off == 0:
        words = tr("expected to open on that very day")
    else:
        days = plural("{n} day", "{n} days", abs(off))
        words = (
            tr("opened {days} after the expected {day}", days=days, day=_day(start.p50))
            if off > 0
            else tr("opened {days} before the expected {day}", days=days, day=_day(start.p50))
        )
    return likely, tr("{words} (eight years of ten: {band})", words=words, band=band)


def opening_chance(start: Band, opened: date) -> float:
    """The chance [0..1] that the first flower comes on a day: two half bells through the band."""
    off = (opened - start.p50).days
    side = (start.p90 - start.p50) if off > 0 else (start.p50 - start.p10)
    sd = max(side / timedelta(days=1) / _Z90, _LEAST_SD_DAYS)
    bell = _below((off + 0.5) / sd) - _below((off - 0.5) / sd)
    return (1.0 - _DAY_TAIL) * bell + _DAY_TAIL / _SEASON_DAYS


def _below(z: float) -> float:
    return 0.5 * (1.0 + erf(z / sqrt(2.0)))


def _day(day: date) -> str:
    return short_day_words(day)
