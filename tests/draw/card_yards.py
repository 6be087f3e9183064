"""Invented yards for planting cards: one, four and twelve layers, long names, an empty pot."""

from __future__ import annotations

from datetime import date
from functools import lru_cache
from typing import Literal

from bloomline.draw.paper.card import CardPage, card_pages
from bloomline.draw.paper.card_items import TextItem
from bloomline.draw.paper.card_sheets import CardPaper
from bloomline.model.yard import DisplayPlace, Layer, PlaceChoice, Pot, Settings, Yard
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.paper.card import PlantingCard, cards_for
from bloomline.plan.season.outlook import Outlook
from bloomline.reference.catalogue import load_catalogue

HEATHROW = PlaceChoice(
    station_id="00003772", name="Heathrow", latitude_deg=51.479, longitude_deg=-0.451
)
SOUTHERN = PlaceChoice(name="Hills above the bay", latitude_deg=-45.9, longitude_deg=170.5)
LONG_NAME = (
    "The very old terracotta pan with the chipped rim that grandmother brought back on the "
    "train and nobody dares to move"
)
UNBROKEN_NAME = "Donaudampfschifffahrtselektrizitaetenhauptbetriebswerkbauunterbeamtenkuebel"

KINDS = (
    "tulipa-queen-of-night",
    "tulipa-brown-sugar",
    "narcissus-ice-follies",
    "hyacinthus-orientalis-delft-blue",
    "tulipa-shirley",
    "narcissus-tete-a-tete",
    "narcissus-hawera",
    "tulipa-tarda",
    "muscari-armeniacum",
    "chionodoxa-forbesii-pink-giant",
    "crocus-tommasinianus-ruby-giant",
    "galanthus-nivalis",
)


def layers(
    *wanted: tuple[int, int, float], planted: date = date(2026, 11, 7), of: str = "x"
) -> tuple[Layer, ...]:
    """Layers of (which kind, how many, cover in cm)."""
    return tuple(
        Layer(
            id=f"{of}-{number}",
            cultivar_id=KINDS[kind],
            count=count,
            cover_cm=cover_cm,
            planted=planted,
        )
        for number, (kind, count, cover_cm) in enumerate(wanted)
    )


FOUR = ((0, 20, 24.0), (2, 12, 16.0), (5, 20, 10.0), (10, 30, 5.0))


def pots(planted: date = date(2026, 11, 7)) -> tuple[Pot, ...]:
    """Every kind of pot that a card has to stand."""
    usual = {"top_width_cm": 40.0, "bottom_width_cm": 34.0, "inside_height_cm": 42.0}
    twelve = tuple((k, 6 + k, 30.0 - 2.3 * k) for k in range(12))
    return (
        Pot(
            id="one",
            name="Pan",
            layers=layers((11, 36, 5.0), planted=planted, of="one"),
            crocks_cm=2,
            **usual | {"inside_height_cm": 15.0},
        ),
        Pot(
            id="four",
            name=LONG_NAME,
            layers=layers(*FOUR, planted=planted, of="four"),
            site="shed",
            sheltered_until=date(planted.year + 1, 2, 20)
            if planted.month > 6
            else date(planted.year, 8, 20),
            display_place="Front step",
            top_dressing="grit",
            top_dressing_cm=2,
            **usual,
        ),
        Pot(
            id="twelve",
            name="Twelve layers",
            layers=layers(*twelve, planted=planted, of="twelve"),
            **usual | {"top_width_cm": 50.0, "bottom_width_cm": 44.0, "inside_height_cm": 45.0},
        ),
        Pot(
            id="trough",
            name=UNBROKEN_NAME,
            shape="trough",
            layers=layers((4, 22, 14.0), (6, 26, 6.0), planted=planted, of="trough"),
            top_length_cm=70,
            bottom_length_cm=64,
            **usual | {"top_width_cm": 22.0, "bottom_width_cm": 18.0, "inside_height_cm": 25.0},
        ),
        Pot(
            id="long",
            name="Long trough",
            shape="trough",
            layers=layers((4, 160, 14.0), (8, 400, 6.0), planted=planted, of="long"),
            top_length_cm=200,
            bottom_length_cm=190,
            **usual | {"top_width_cm": 30.0, "bottom_width_cm": 28.0, "inside_height_cm": 30.0},
        ),
        Pot(id="empty", name="Empty pot", **usual),
    )


def outlook_on(yard: Yard) -> Outlook:
    """A yard looked at before it is planted."""
    return Outlook.of(
        yard, catalogue=load_catalogue(), forecaster=Forecaster(), today=date(2026, 9, 1)
    )


@lru_cache(maxsize=4)
def cards(
    units: Literal["metric", "imperial"] = "metric", *, southern: bool = False
) -> tuple[PlantingCard, ...]:
    """The cards of all those pots."""
    planted = date(2026, 5, 10) if southern else date(2026, 11, 7)
    yard = Yard(
        name="Bench yard",
        place=SOUTHERN if southern else HEATHROW,
        season_year=2026 if southern else 2027,
        pots=pots(planted),
        display_places=(DisplayPlace(name="Front step", exposure="west"),),
        settings=Settings(units=units),
    )
    return cards_for(outlook_on(yard), with_empty=True)


def laid_out(
    paper: CardPaper, units: Literal["metric", "imperial"] = "metric", *, southern: bool = False
) -> tuple[CardPage, ...]:
    """Those cards on paper."""
    made = cards(units, southern=southern)
    return card_pages(made, paper=paper, cultivar_of=load_catalogue().get)


def pot_of(page: CardPage) -> str:
    """The id of a page's pot; empty for the last sheet."""
    return "" if page.card is None else page.card.pot.id


def words_of(pages: tuple[CardPage, ...], pot_id: str) -> str:
    """All text on a pot's pages in the order of its drawing, with plain spaces.

    An empty id is for the last sheet.
    """
    words, at = "", (0, 0.0)
    for page in pages:
        for item in page.items if pot_of(page) == pot_id else ():
            if isinstance(item, TextItem):
                here = (page.page, item.baseline)
                words += ("" if here == at else " ") + item.text
                at = here
    return words.replace("\u00a0", " ")
