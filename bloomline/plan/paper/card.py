"""What a planting card says: one pot, in order of work from the bottom up."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from bloomline.engine.packing import smallest_distance_cm
from bloomline.engine.potshape import Section
from bloomline.model.yard import Layer, Pot
from bloomline.plan.forecast.report import LayerForecast, PotForecast
from bloomline.plan.paper import card_words as words
from bloomline.plan.paper.card_words import CardSentence
from bloomline.plan.pot.compost import pot_compost
from bloomline.plan.pot.fill_marks import fill_marks
from bloomline.plan.pot.fitting import CultivarOf, LayerFit, fit_pot, pot_positions_cm
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.solve import winter_lows_c
from bloomline.plan.season.yard import season_report
from bloomline.plan.tops.companions import companion_of
from bloomline.plan.words.units import Units, units_of
from bloomline.reference.rules import load_rules

_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True, slots=True)
class CardLayer:
    """One layer on the card, named by a letter. [cm]

    base_cm, tip_cm : depth below the rim. loose_l : compost that goes in up to its base. [L]
    spacing_cm : from middle to middle, the nearest two; None for a single bulb.
    positions_cm : shape (n, 2), from the middle of the pot; fewer than `count` where not all fit.
    work : what to do. expected : when it flowers.
    """

    letter: str
    name: str
    count: int
    base_cm: float
    tip_cm: float
    loose_l: float
    spacing_cm: float | None
    bulb_diameter_cm: float
    section: Section
    positions_cm: NDArray[np.float64]
    colour_hex: str
    work: tuple[CardSentence, ...]
    expected: str


@dataclass(frozen=True, slots=True)
class PlantingCard:
    """All that stands on one pot's card. Layers are in order of work: the deepest first.

    surface_cm : depth of the compost's surface below the rim. names : of plants beside the
    layers' own that its sentences may use. missing : why there is nothing to
    do, on a card without layers; its other parts are empty then.
    """

    pot: Pot
    title: str
    about: str
    measures: str
    units: Units
    layers: tuple[CardLayer, ...]
    surface_cm: float
    cautions: tuple[CardSentence, ...] = ()
    ready: tuple[CardSentence, ...] = ()
    before: tuple[CardSentence, ...] = ()
    after: tuple[CardSentence, ...] = ()
    standing: tuple[CardSentence, ...] = ()
    names: tuple[str, ...] = ()
    missing: str = ""

    @property
    def steps(self) -> tuple[str, ...]:
        """The work in its order, a step a text."""
        return (
            *(each.text for each in self.before),
            *(
                " ".join((f"{layer.letter}: {layer.name}.", *(each.text for each in layer.work)))
                for layer in self.layers
            ),
            *(each.text for each in self.after),
        )


def cards_for(
    outlook: Outlook, *, pot_ids: tuple[str, ...] | None = None, units: Units | None = None
) -> tuple[PlantingCard, ...]:
    """Cards of a yard's pots, in yard order, over all weather years. Raises UnknownNameError.

    units : those of the yard's settings when None.
    """
    usual = outlook.usual
    wanted = tuple(pot.id for pot in usual.yard.pots) if pot_ids is None else pot_ids
    forecasts = {each.pot_id: each for each in season_report(usual).pots}
    written = units or units_of(usual.yard)
    return tuple(
        _card(usual, usual.yard.pot(pot_id), forecasts[pot_id], units=written) for pot_id in wanted
    )


def _card(outlook: Outlook, pot: Pot, forecast: PotForecast, *, units: Units) -> PlantingCard:
    yard, cultivar_of = outlook.yard, outlook.cultivar_of
    here = pot.model_copy(
        update={"layers": tuple(each for each in pot.layers if each.state != "lifted")}
    )
    surface_cm = pot.rim_gap_cm + pot.top_dressing_cm
    title, measures = pot.name, words.measures(pot, units=units)
    about = words.about(yard.name, outlook.garden.label, yard.season_year)
    if not here.layers:
        missing = words.missing(was_planted=bool(pot.layers))
        return PlantingCard(here, title, about, measures, units, (), surface_cm, missing=missing)
    # The order of work is that of depth, whatever the order in the file.
    fit = fit_pot(here, cultivar_of=cultivar_of)
    order = sorted(range(len(fit.layers)), key=lambda i: -fit.layers[i].base_from_rim_cm)
    places = pot_positions_cm(fit)
    compost = pot_compost(here, yard=yard, cultivar_of=cultivar_of)
    marks = fill_marks(here, [fit.layers[i] for i in order], compost)
    by_id = {each.layer_id: each for each in forecast.layers}
    layers = tuple(
        _layer(
            letter,
            here.layers[i],
            fit.layers[i],
            places[i],
            mark.loose_l,
            forecast=by_id.get(here.layers[i].id),
            cultivar_of=cultivar_of,
            units=units,
        )
        for letter, i, mark in zip(_LETTERS, order, marks, strict=False)
    )
    return PlantingCard(
        pot=here,
        title=title,
        about=about,
        measures=measures,
        units=units,
        layers=layers,
        surface_cm=surface_cm,
        cautions=words.cautions(
            here,
            forecast.layers,
            yard=yard,
            cultivar_of=cultivar_of,
            units=units,
            lows_c=winter_lows_c(outlook),
        ),
        ready=words.ready(compost, yard=yard, units=units),
        before=words.before(here, yard=yard, cultivar_of=cultivar_of, units=units),
        after=words.after(here, compost, marks[-1], units=units),
        standing=words.standing(here, forecast.layers, yard=yard),
        names=(
            *(companion_of(each.companion_id).name for each in here.companions),
            *dict.fromkeys(each.genus for each in load_rules().toxicities()),
        ),
    )


def _layer(
    letter: str,
    layer: Layer,
    fit: LayerFit,
    positions: NDArray[np.float64],
    loose_l: float,
    *,
    forecast: LayerForecast | None,
    cultivar_of: CultivarOf,
    units: Units,
) -> CardLayer:
    cultivar = cultivar_of(fit.cultivar_id)
    spacing_cm = smallest_distance_cm(positions) if len(positions) > 1 else None
    return CardLayer(
        letter=letter,
        name=cultivar.name,
        count=fit.count,
        base_cm=fit.base_from_rim_cm,
        tip_cm=fit.tip_from_rim_cm,
        loose_l=loose_l,
        spacing_cm=spacing_cm,
        bulb_diameter_cm=fit.bulb_diameter_cm,
        section=fit.section,
        positions_cm=positions,
        colour_hex=cultivar.colour_hex,
        work=words.layer_work(
            fit,
            loose_l=loose_l,
            placed=len(positions),
            spacing_cm=spacing_cm,
            has_flat_side=cultivar.genus == "Tulipa",
            units=units,
        ),
        expected=words.expected(layer, forecast),
    )
