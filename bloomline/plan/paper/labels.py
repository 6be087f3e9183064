"""What stands on a label: the words, and the text of its code, so that no name is lost."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, replace
from datetime import date

from bloomline.model.cultivar import Cultivar
from bloomline.model.yard import Layer, Pot
from bloomline.plan.forecast.report import CompanionForecast, LayerForecast
from bloomline.plan.pot.fitting import CultivarOf
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.yard import season_report
from bloomline.plan.words.benches import pot_words
from bloomline.plan.words.units import Units, units_of
from bloomline.words import full_day_words, plural, short_day_words, tr


@dataclass(frozen=True, slots=True)
class Label:
    """One layer's label; `window` is the expected flowering in words, whole with its year.

    shares : the kinds of a mixture. depth : compost over the tips, in words.
    is_planted : whether `planted` is past or planned. copies : equal pots that it is for.
    """

    layer_id: str
    pot_id: str
    name: str
    kind: str
    colour: str
    colour_hex: str
    second_colour_hex: str | None
    depth: str
    window: str
    pot_name: str
    count: int
    planted: date
    copies: int = 1
    is_planted: bool = True
    shares: tuple[tuple[Cultivar, float], ...] = ()

    @property
    def bulbs(self) -> str:
        """How many bulbs, in words."""
        return f"{self.count} {plural('bulb', 'bulbs', self.count)}"

    @property
    def planting(self) -> str:
        """How many bulbs, and when they were planted or are to be."""
        deed = tr("planted") if self.is_planted else tr("to plant")
        return f"{self.bulbs}, {deed} {full_day_words(self.planted)}"

    def code_lines(self) -> tuple[str, ...]:
        """The plain text of the code, what matters most first."""
        return (
            self.name,
            tr("Pot: {pot_name}", pot_name=self.pot_name),
            f"{(tr('Planted') if self.is_planted else tr('To plant'))}: {self.planted.isoformat()}",
            tr("Depth: {depth}", depth=self.depth),
            self.window.replace(" – ", " to "),
            tr("Colour: {colour}", colour=tr(self.colour)),
            tr("Kind: {kind}", kind=self.kind),
            self.bulbs,
        )


@dataclass(frozen=True, slots=True)
class PotContents:
    """What is in one pot, from the top layer down; `tops` tells of plants on top in words."""

    pot: Pot
    summary: str
    labels: tuple[Label, ...]
    tops: tuple[str, ...] = ()


def labels_for(
    outlook: Outlook, *, pot_ids: Collection[str] | None = None, every_pot: bool = False
) -> tuple[Label, ...]:
    """Return a label for each layer that is not lifted, pot by pot from the top layer down.

    every_pot : for a bench of equal pots as many labels as it has pots, one after the other; else
    one that says for how many it is. Raises UnknownNameError for a pot that isn't there or a
    cultivar no table holds.
    """
    contents = pot_contents(outlook, pot_ids=pot_ids)
    if not every_pot:
        return tuple(label for each in contents for label in each.labels)
    return tuple(
        replace(label, pot_name=each.pot.name, copies=1)
        for each in contents
        for _ in range(each.pot.copies)
        for label in each.labels
    )


def pot_contents(
    outlook: Outlook, *, pot_ids: Collection[str] | None = None
) -> tuple[PotContents, ...]:
    """Return what is in which pot over all weather years, in yard order, lifted layers left out.

    Raises UnknownNameError for a pot that isn't there or a cultivar no table holds.
    """
    yard, cultivar_of = outlook.yard, outlook.cultivar_of
    report = season_report(outlook.usual)
    for pot_id in pot_ids or ():
        yard.pot(pot_id)
    forecasts = {layer.layer_id: layer for layer in report.layers}
    shown = {pot.pot_id: pot for pot in report.pots}
    units = units_of(yard)
    return tuple(
        PotContents(
            pot,
            shown[pot.id].summary if pot.id in shown else "",
            tuple(
                _label(pot, layer, forecasts.get(layer.id), cultivar_of, units=units)
                for layer in sorted(pot.layers, key=lambda each: each.cover_cm)
                if layer.state != "lifted"
            ),
            tuple(top_words(each) for each in shown[pot.id].companions) if pot.id in shown else (),
        )
        for pot in yard.pots
        if pot_ids is None or pot.id in pot_ids
    )


def _label(
    pot: Pot,
    layer: Layer,
    forecast: LayerForecast | None,
    cultivar_of: CultivarOf,
    *,
    units: Units,
) -> Label:
    cultivar = cultivar_of(layer.cultivar_id)
    return Label(
        layer_id=layer.id,
        pot_id=pot.id,
        name=cultivar.name,
        kind=cultivar.common_type,
        colour=cultivar.colour,
        colour_hex=cultivar.colour_hex,
        second_colour_hex=cultivar.second_colour_hex,
        depth=units.over_tips(layer.cover_cm, count=layer.count),
        window=window_words(forecast),
        pot_name=pot_words(pot),
        count=layer.count,
        planted=layer.planted,
        copies=pot.copies,
        is_planted=layer.state != "planned",
        shares=cultivar.shares,
    )


def window_words(forecast: LayerForecast | None) -> str:
    """The expected flowering, from the middle of the first flower to the middle of the last."""
    if forecast is None:
        return tr("Flowering: not known")
    if forecast.start is None or forecast.end is None:
        return tr(
            "No flower in the forecast: {reason}", reason=forecast.reason or tr("reason not known")
        )
    return tr("Flowers {start}", start=span_words(forecast.start.p50, forecast.end.p50))


def top_words(forecast: CompanionForecast) -> str:
    """A companion on top of a pot in words, with its season."""
    words = tr(
        "On top: {count} × {forecast_name}", count=forecast.count, forecast_name=forecast.name
    )
    if forecast.first is None or forecast.last is None:
        return tr("{words}, not in season", words=words)
    if forecast.goes_on:
        return tr(
            "{words}, from {first} on",
            words=words,
            first=short_day_words(forecast.first, year=True),
        )
    return tr(
        "{words}, by date {first}", words=words, first=span_words(forecast.first, forecast.last)
    )


def span_words(first: date, last: date) -> str:
    """Two days as a span, the year once: "5 Apr – 2 May 2027"."""
    begin = short_day_words(first)
    if first.year != last.year:
        begin += f" {first.year}"
    return f"{begin} – {short_day_words(last, year=True)}"
