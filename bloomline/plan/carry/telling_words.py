"""The words of what is told of a drop before it is done."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from bloomline.model.advice import Severity
from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Pot
from bloomline.plan.forecast.advice import harm_words, poison_advice, wants_gloves
from bloomline.plan.forecast.report import CompanionForecast, LayerForecast, SeasonReport
from bloomline.plan.pot.advice import Writing
from bloomline.plan.season.advice import clash_words
from bloomline.plan.tops.companions import companion_of
from bloomline.words import listed, tr

_MOST_NAMED = 3


def depth_words(layer: Layer, cultivar: Cultivar, *, writing: Writing) -> str:
    """How deep bulbs would lie, and what is usual for their kind."""
    return tr(
        "{cover} of compost over the tips; {usual} is usual",
        cover=writing.length(layer.cover_cm),
        usual=writing.length(cultivar.cover_cm),
    )


def opens_words(forecast: LayerForecast, *, writing: Writing) -> str:
    """When a layer flowers, or why it doesn't."""
    if forecast.start is None or forecast.end is None:
        reason = forecast.reason or ""
        return f"{reason[:1].upper()}{reason[1:]}."
    return tr(
        "Opens {start}, over {end}.",
        start=writing.day(forecast.start.p50),
        end=writing.day(forecast.end.p50),
    )


def together_words(
    forecast: LayerForecast, report: SeasonReport, *, pot: Pot, writing: Writing
) -> str:
    """With what else of its pot a layer flowers; "" where nothing overlaps.

    Where layers are to flower in turn, the clashes of the report, in the details' own words; where
    they may flower together, who does, from the same median days.
    """
    if pot.successive:
        names = {each.layer_id: each.name for each in report.layers}
        here = next(each for each in report.pots if each.pot_id == pot.id)
        clashes = [each for each in here.clashes if forecast.layer_id in each.layer_ids]
        return " ".join(clash_words(each, names, writing=writing) for each in clashes)
    others = [name for name, _, _ in _overlaps(forecast, report)]
    if not others:
        return ""
    if len(others) > _MOST_NAMED:
        others = [*others[:_MOST_NAMED], tr("others")]
    first = min(begin for _, begin, _ in _overlaps(forecast, report))
    last = max(end for _, _, end in _overlaps(forecast, report))
    return tr(
        "In flower with {names}, from {first} to {last}.",
        names=listed(others),
        first=writing.day(first),
        last=writing.day(last),
    )


def _overlaps(forecast: LayerForecast, report: SeasonReport) -> Iterator[tuple[str, date, date]]:
    """Other layers of the same pot that flower on the same days, and which days those are."""
    if forecast.start is None or forecast.end is None:
        return
    for other in report.layers:
        if other.pot_id != forecast.pot_id or other.layer_id == forecast.layer_id:
            continue
        if other.start is None or other.end is None:
            continue
        first = max(forecast.start.p50, other.start.p50)
        last = min(forecast.end.p50, other.end.p50)
        if first < last:
            yield other.name, first, last


def top_season_words(forecast: CompanionForecast, *, writing: Writing) -> str:
    """When companions are in season."""
    if forecast.first is None or forecast.last is None:
        return tr("Not in season in the year shown.")
    words = (
        tr("In leaf from {first} to {last}, by date.")
        if forecast.is_leaf
        else tr("In flower from {first} to {last}, by date.")
    )
    return words.format(first=writing.day(forecast.first), last=writing.day(forecast.last))


def harm_of(cultivar: Cultivar, *, pets: bool) -> tuple[str, Severity | None]:
    """What bulbs do to who eats them, and how strongly it is told here."""
    told = poison_advice(cultivar, pets=pets)
    if not told:
        return tr("not known to harm pets or children"), None
    words = (
        tr("{harm}. Keep it from children and animals; wear gloves.")
        if wants_gloves(cultivar)
        else tr("{harm}. Keep it from children and animals.")
    )
    return words.format(harm=harm_words(cultivar)), told[0].severity


def harm_of_companion(companion_id: str, *, pets: bool) -> tuple[str, Severity | None]:
    """The same of companions."""
    companion = companion_of(companion_id)
    if not companion.toxic_pets:
        return tr("not known to harm pets or children"), None
    severe = companion.toxic_pets >= 2
    words = tr(
        "Keep pets and children from eating it: {toxic_note}.", toxic_note=tr(companion.toxic_note)
    )
    if pets:
        return words, Severity.WARNING if severe else Severity.CAUTION
    return words, Severity.CAUTION if severe else Severity.NOTE
