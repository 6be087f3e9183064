"""What stands on a label: the words, and the text of its code, so that no name is lost."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from bloomline.model.yard import Layer, Pot
from bloomline.plan.forecast.report import CompanionForecast, LayerForecast
from bloomline.plan.pot.fitting import CultivarOf
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.yard import season_report
from bloomline.plan.words.day_words import full_day_words
from bloomline.plan.words.units import Units, units_of


@dataclass(frozen=True, slots=True)
class Label:
    """One layer's label; `window` is the expected flowering in words, whole with its year.

    depth : compost over the tips, in words. is_planted : whether `planted` is past or planned.
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
    is_planted: bool = True

    @property
    def bulbs(self) -> str:
        """How many bulbs, in words."""
        return f"{self.count} {'bulb' if self.count == 1 else 'bulbs'}"

    @property
    def planting(self) -> str:
        """How many bulbs, and when they were planted or are to be."""
        deed = "planted" if self.is_planted else "to plant"
        return f"{self.bulbs}, {deed} {full_day_words(self.planted)}"

    def code_lines(self) -> tuple[str, ...]:
        """The plain text of the code, what matters most first."""
        return (
            self.name,
            f"Pot: {self.pot_name}",
            f"{'Planted' if self.is_planted else 'To plant'}: {self.planted.isoformat()}",
            f"Depth: {self.depth}",
            self.window.replace(" – ", " to "),
            f"Colour: {self.colour}",
            f"Kind: {self.kind}",
            self.bulbs,
        )


@dataclass(frozen=True, slots=True)
class PotContents:
    """What is in one pot, from the top layer down; `tops` tells of plants on top in words."""

    pot: Pot
    summary: str
    labels: tuple[Label, ...]
    tops: tuple[str, ...] = ()


def labels_for(outlook: Outlook, *, pot_ids: Collection[str] | None = None) -> tuple[Label, ...]:
    """Return a label for each layer that is not lifted, pot by pot from the top layer down.

    Raises UnknownNameError for a pot that isn't there or a cultivar no table holds.
    """
    return tuple(label for each in pot_contents(outlook, pot_ids=pot_ids) for label in each.labels)


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
        pot_name=pot.name,
        count=layer.count,
        planted=layer.planted,
        is_planted=layer.state != "planned",
    )


def window_words(forecast: LayerForecast | None) -> str:
    """The expected flowering, from the middle of the first flower to the middle of the last."""
    if forecast is None:
        return "Flowering: not known"
    if forecast.start is None or forecast.end is None:
        return f"No flower in the forecast: {forecast.reason or 'reason not known'}"
    return f"Flowers {span_words(forecast.start.p50, forecast.end.p50)}"


def top_words(forecast: CompanionForecast) -> str:
    """A companion on top of a pot in words, with its season."""
    words = f"On top: {forecast.count} × {forecast.name}"
    if forecast.first is None or forecast.last is None:
        return f"{words}, not in season"
    if forecast.goes_on:
        return f"{words}, from {forecast.first.day} {forecast.first:%b %Y} on"
    return f"{words}, by date {span_words(forecast.first, forecast.last)}"


def span_words(first: date, last: date) -> str:
    """Two days as a span, the year once: "5 Apr – 2 May 2027"."""
    begin = f"{first.day} {first:%b}"
    if first.year != last.year:
        begin += f" {first.year}"
    return f"{begin} – {last.day} {last:%b} {last.year}"
