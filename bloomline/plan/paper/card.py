"""What a planting card says: one pot, in order of work from the bottom up."""

from __future__ import annotations

from dataclasses import dataclass

from bloomline.model.yard import Pot
from bloomline.plan.forecast.report import PotForecast
from bloomline.plan.paper import card_words as words
from bloomline.plan.paper.card_cautions import cautions
from bloomline.plan.paper.card_days import CardDay, CardLayer, DayWriter
from bloomline.plan.paper.card_words import CardSentence
from bloomline.plan.pot.compost import pot_compost
from bloomline.plan.pot.fitting import fit_pot
from bloomline.plan.pot.lifting import wants_wheels
from bloomline.plan.pot.weight import pot_weight
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.solve import winter_lows_c
from bloomline.plan.season.yard import season_report
from bloomline.plan.tops.companions import companion_of
from bloomline.plan.words.benches import pot_words
from bloomline.plan.words.units import Units, units_of
from bloomline.reference.rules import load_rules
from bloomline.words import listed


@dataclass(frozen=True, slots=True)
class PlantingCard:
    """All that stands on one pot's card.

    days : the work, a section for each day of planting, bulbs of a day from the deepest up.
    surface_cm : depth of the compost's surface below the rim. names : of plants beside the
    layers' own that its sentences may use. missing : why there is nothing to
    do, on a card without days; its other parts are empty then.
    """

    pot: Pot
    title: str
    about: str
    measures: str
    units: Units
    days: tuple[CardDay, ...]
    surface_cm: float
    cautions: tuple[CardSentence, ...] = ()
    ready: tuple[CardSentence, ...] = ()
    standing: tuple[CardSentence, ...] = ()
    names: tuple[str, ...] = ()
    missing: str = ""

    @property
    def layers(self) -> tuple[CardLayer, ...]:
        """The layers in the order of the work."""
        return tuple(each for day in self.days for each in day.steps if isinstance(each, CardLayer))

    @property
    def steps(self) -> tuple[str, ...]:
        """The work in its order, a step a text."""
        return tuple(
            f"{each.letter}: {each.name}. {each.mark}. {' '.join(one.text for one in each.work)}"
            if isinstance(each, CardLayer)
            else each.text
            for day in self.days
            for each in day.steps
        )

    @property
    def sentences(self) -> tuple[CardSentence, ...]:
        """Every sentence of the card."""
        steps = [each for day in self.days for each in day.steps]
        told = [
            one for each in steps for one in (each.work if isinstance(each, CardLayer) else (each,))
        ]
        return (*self.cautions, *self.ready, *told, *self.standing)


@dataclass(frozen=True, slots=True)
class CardNote:
    """What is told once for a set of cards: why, and for which pots; empty for all of them."""

    topic: str
    pots: str
    text: str


_TOPICS = ("Poison", "Weight", "Frost", "Depth", "Crocks", "Compost", "Days")
_DAYS = CardNote(
    "Days",
    "",
    "Flowering is a forecast, not a promise: in eight years of ten the first flower opens within "
    "the days in brackets.",
)


def card_notes(cards: tuple[PlantingCard, ...]) -> tuple[CardNote, ...]:
    """The reasons behind a set of cards, each once, for its last sheet."""
    pots: dict[tuple[str, str], list[str]] = {}
    for card in cards:
        for told in card.sentences:
            for why in told.why:
                titles = pots.setdefault((told.topic, why), [])
                if card.title not in titles:
                    titles.append(card.title)
    if not pots:
        return ()
    planted = sum(bool(card.days) for card in cards)
    notes = [
        # Poison is told by kind, and each card names its kinds.
        CardNote(topic, "" if topic == "Poison" or len(titles) == planted else listed(titles), text)
        for (topic, text), titles in pots.items()
    ]
    return tuple(sorted((*notes, _DAYS), key=lambda each: _TOPICS.index(each.topic)))


def cards_for(
    outlook: Outlook,
    *,
    pot_ids: tuple[str, ...] | None = None,
    units: Units | None = None,
    with_empty: bool = False,
) -> tuple[PlantingCard, ...]:
    """Cards of a yard's pots, in yard order, over all weather years. Raises UnknownNameError.

    units : those of the yard's settings when None. with_empty : also a card for a pot in which
    nothing is planned.
    """
    usual = outlook.usual
    wanted = tuple(pot.id for pot in usual.yard.pots) if pot_ids is None else pot_ids
    forecasts = {each.pot_id: each for each in season_report(usual).pots}
    written = units or units_of(usual.yard)
    made = (
        _card(usual, usual.yard.pot(pot_id), forecasts[pot_id], units=written) for pot_id in wanted
    )
    return tuple(card for card in made if with_empty or card.days)


def _card(outlook: Outlook, pot: Pot, forecast: PotForecast, *, units: Units) -> PlantingCard:
    yard, cultivar_of = outlook.yard, outlook.cultivar_of
    here = pot.model_copy(
        update={"layers": tuple(each for each in pot.layers if each.state != "lifted")}
    )
    surface_cm = pot.rim_gap_cm + pot.top_dressing_cm
    title = pot_words(pot)
    measures = words.measures(pot, units=units)
    about = words.about(yard.name, outlook.garden.label, yard.season_year)
    if not here.layers and not here.companions:
        missing = words.missing(was_planted=bool(pot.layers))
        return PlantingCard(here, title, about, measures, units, (), surface_cm, missing=missing)
    fit = fit_pot(here, cultivar_of=cultivar_of)
    compost = pot_compost(here, yard=yard, cultivar_of=cultivar_of)
    writer = DayWriter(
        here,
        fit,
        compost,
        forecasts={each.layer_id: each for each in forecast.layers},
        cultivar_of=cultivar_of,
        units=units,
    )
    weight = pot_weight(here, yard=yard, cultivar_of=cultivar_of)
    days = writer.days(has_wheels=wants_wheels(here, weight))
    return PlantingCard(
        pot=here,
        title=title,
        about=about,
        measures=measures,
        units=units,
        days=days,
        surface_cm=surface_cm,
        cautions=cautions(
            here,
            forecast.layers,
            weight=weight,
            yard=yard,
            cultivar_of=cultivar_of,
            units=units,
            lows_c=winter_lows_c(outlook),
        ),
        ready=words.ready(compost, yard=yard, units=units),
        standing=words.standing(
            here,
            forecast.layers,
            yard=yard,
            leaving=writer.still_on_top,
        ),
        names=(
            *(companion_of(each.companion_id).name for each in here.companions),
            *dict.fromkeys(each.genus for each in load_rules().toxicities()),
        ),
    )
