"""The yard document: a place, its pots, the layers of bulbs in them, and what was seen.

All values are frozen; a change makes a new yard (see `bloomline.model.edits`). Lengths are
in centimetres, temperatures in degrees Celsius, days are calendar days.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterator
from typing import Annotated, Literal, Self

from pydantic import ConfigDict, Field, StringConstraints, ValidationInfo, model_validator
from pydantic_core import PydanticCustomError

from bloomline.errors import UnknownNameError
from bloomline.model.companion import MAX_COMPANIONS, CompanionPlanting
from bloomline.model.cultivar import Cultivar, MonthDayField
from bloomline.model.garden_place import OwnNormals as OwnNormals
from bloomline.model.garden_place import PlaceChoice as PlaceChoice
from bloomline.model.links import check_links
from bloomline.model.parts import Day, Flag, Line, Name, Number, Part, Slug, Text, Whole
from bloomline.model.spot import Spot
from bloomline.model.stage import MAX_DISPLAY_PLACES as MAX_DISPLAY_PLACES
from bloomline.model.stage import MAX_FIXED_STANDS as MAX_FIXED_STANDS
from bloomline.model.stage import DisplayPlace as DisplayPlace
from bloomline.model.stage import FixedStand
from bloomline.model.store import (
    MAX_IN_CUPBOARD,
    MAX_PRICES,
    InStock,
    Price,
    Supplies,
)
from bloomline.model.weather import OwnWeather
from bloomline.model.wish import MAX_WISHES, SeasonWish

FORMAT = "bloomline-yard"
VERSION = "1.0"

MAX_POTS = 10_000
"""Rows of a yard; each may stand for many pots."""
MAX_COPIES = 100_000
"""Pots that one row stands for."""
MAX_LAYERS = 12
MAX_BULBS = 5_000
"""In one layer."""
MAX_RECORDS = 50_000
MAX_OWN_CULTIVARS = 2_000
MAX_DONE_TASKS = 50_000
MAX_TASK_KINDS = 200
MAX_SEEN_TASKS = 60_000

Shape = Literal["round", "square", "oval", "trough"]
Material = Literal[
    "fired-clay-once",
    "fired-clay-twice",
    "glazed",
    "wood",
    "plastic",
    "resin",
    "metal",
    "stone",
    "fibreglass",
]
Site = Literal["open", "warm-wall", "cold-frame", "cold-greenhouse", "shed", "garage"]
LayerState = Literal["planned", "planted", "flowering", "lifted"]
Seen = Literal["nose", "first-flower", "full", "over"]
Units = Literal["metric", "imperial"]

LONG_SHAPES: frozenset[str] = frozenset({"oval", "trough"})
SHELTERED_SITES: frozenset[str] = frozenset({"cold-frame", "cold-greenhouse", "shed", "garage"})
INDOOR_SITES: frozenset[str] = frozenset({"shed", "garage"})
"""Under a roof and dark: no wind, no wet, no squirrels."""


class Settings(Part):
    """How this yard is judged and shown.

    A day is bare when its chance of colour is below `bare_threshold`, crowded when more than
    `crowd_limit` layers are in flower at once. `tasks_off` are kinds of task that the work list
    leaves out.
    """

    bare_threshold: Annotated[Number, Field(ge=0.01, le=0.99)] = 0.5
    crowd_limit: Annotated[Whole, Field(ge=1, le=1000)] = 5
    pets: Flag = False
    units: Units | None = None
    tasks_off: Annotated[tuple[Slug, ...], Field(max_length=MAX_TASK_KINDS)] = ()


class Money(Part):
    """The currency of prices, and what may be spent in it."""

    currency: Annotated[str, StringConstraints(strict=True, pattern=r"^[A-Z]{3}$")] = "GBP"
    budget: Annotated[Number, Field(ge=0, le=10_000_000)] | None = None


class Layer(Part):
    """Bulbs of one cultivar at one depth; `cover_cm` is the soil from tip to compost surface.

    `lifted_on` is the day on which they leave the pot for good, planned or done; None for those
    that stay as long as their kind does.
    """

    id: Slug
    cultivar_id: Slug
    count: Annotated[Whole, Field(ge=1, le=MAX_BULBS)]
    cover_cm: Annotated[Number, Field(ge=0, le=150)]
    planted: Day
    prechill_weeks: Annotated[Number, Field(ge=0, le=40)] = 0.0
    prechill_temperature_c: Annotated[Number, Field(ge=-5, le=25)] | None = None
    lifted_on: Day | None = None
    state: LayerState = "planned"
    notes: Text = ""

    @model_validator(mode="after")
    def _leaves_after_it_came(self) -> Self:
        if self.lifted_on is not None and self.lifted_on <= self.planted:
            raise PydanticCustomError(
                "lifted_before_planted", "lifted_on must lie after the day of planting"
            )
        return self


class Pot(Part):
    """A container, its inside measures and its layers from the deepest up.

    Oval pots and troughs have a length beside their width. A pot wintered in a shed, garage,
    cold frame or cold greenhouse comes in from the open on the day `sheltered_from`, None where
    it has stood there from the start, and goes out again on `sheltered_until`.
    `display_place` is where it is usually shown. `compost_recipe` is the id of its mix, None for
    the yard's; `to_buy` is true for a pot that still has to be bought.

    `copies` is how many equal pots it stands for, as a bench of them does: every other field,
    its layers and their bulbs are of one of them, and whatever is summed counts each.
    """

    id: Slug
    name: Name
    copies: Annotated[Whole, Field(ge=1, le=MAX_COPIES)] = 1
    shape: Shape = "round"
    top_width_cm: Annotated[Number, Field(ge=4, le=500)]
    bottom_width_cm: Annotated[Number, Field(ge=2, le=500)]
    top_length_cm: Annotated[Number, Field(ge=4, le=1000)] | None = None
    bottom_length_cm: Annotated[Number, Field(ge=2, le=1000)] | None = None
    inside_height_cm: Annotated[Number, Field(ge=4, le=200)]
    wall_cm: Annotated[Number, Field(gt=0, le=30)] = 1.0
    material: Material = "fired-clay-once"
    site: Site = "open"
    sheltered_from: Day | None = None
    sheltered_until: Day | None = None
    crocks_cm: Annotated[Number, Field(ge=0, le=100)] = 0.0
    top_dressing: Annotated[Line, Field(max_length=120)] | None = None
    top_dressing_cm: Annotated[Number, Field(ge=0, le=30)] = 0.0
    rim_gap_cm: Annotated[Number, Field(ge=0, le=50)] = 2.5
    successive: Flag = True
    display_place: Name | None = None
    compost_recipe: Slug | None = None
    to_buy: Flag | None = None
    layers: Annotated[tuple[Layer, ...], Field(max_length=MAX_LAYERS)] = ()
    companions: Annotated[tuple[CompanionPlanting, ...], Field(max_length=MAX_COMPANIONS)] = ()
    notes: Text = ""

    def site_on(self, day: Day) -> Site:
        """Where it stands on a day: in the open before it comes under cover and once it is out.

        As the forecast has it, which warms the days from `sheltered_from` until the one before
        `sheltered_until`.
        """
        came, goes = self.sheltered_from, self.sheltered_until
        is_out = (came is not None and day < came) or (goes is not None and day >= goes)
        return "open" if is_out else self.site

    @property
    def compost_depth_cm(self) -> float:
        """Depth of compost, from the crocks to the surface under any top dressing [cm]."""
        return self.inside_height_cm - self.crocks_cm - self.top_dressing_cm - self.rim_gap_cm

    @model_validator(mode="after")
    def _fits_together(self) -> Self:
        long = self.shape in LONG_SHAPES
        lengths = (self.top_length_cm, self.bottom_length_cm)
        if long and None in lengths:
            raise PydanticCustomError(
                "length_missing",
                "a pot of shape {shape} needs top_length_cm and bottom_length_cm",
                {"shape": self.shape},
            )
        if not long and lengths != (None, None):
            raise PydanticCustomError(
                "length_unwanted",
                "a pot of shape {shape} has no lengths, only widths",
                {"shape": self.shape},
            )
        if self.compost_depth_cm < 1.0:
            raise PydanticCustomError(
                "no_room_for_compost",
                "crocks, top dressing and rim gap leave {left} cm of the {height} cm height for "
                "compost; at least 1 cm is needed",
                {"left": f"{self.compost_depth_cm:g}", "height": f"{self.inside_height_cm:g}"},
            )
        for field in ("sheltered_from", "sheltered_until"):
            if getattr(self, field) is not None and self.site not in SHELTERED_SITES:
                raise PydanticCustomError(
                    "not_sheltered",
                    "{field} is for a cold frame, a cold greenhouse, a shed or a garage, "
                    "and this pot stands at {site}",
                    {"field": field, "site": self.site},
                )
        if (
            self.sheltered_from is not None
            and self.sheltered_until is not None
            and self.sheltered_until <= self.sheltered_from
        ):
            raise PydanticCustomError(
                "sheltered_backwards", "sheltered_until must lie after sheltered_from"
            )
        return self


class Record(Part):
    """What was seen of a layer on a day.

    Of a bench of equal pots each may have its own; `note` then says which pot it was.
    `confirmed` is true once the gardener has said that an odd day is right. `seen_at` is where
    the yard was then, None where that is where it is now.
    """

    id: Slug
    day: Day
    layer_id: Slug
    seen: Seen
    note: Text = ""
    photo: Line | None = None
    confirmed: Flag | None = None
    seen_at: Spot | None = None


TaskKey = Annotated[str, StringConstraints(strict=True, pattern=r"^[a-z0-9][a-z0-9:_-]{0,199}$")]
"""What a task is called from one reckoning to the next: kind, pot or layer, season."""


class DoneTask(Part):
    """A task of the year's work that was done on a day; one that recurs has several."""

    task_key: TaskKey
    day: Day
    note: Text = ""


class SeenTask(Part):
    """The best day of a task as it was last looked at.

    `basis` says in short what the day rested on, so that a later look can tell why it moved;
    `sequence` counts how often it has moved.
    """

    task_key: TaskKey
    best: Day
    basis: Line = ""
    sequence: Annotated[Whole, Field(ge=0, le=2_000_000_000)] = 0


class Packet(Part):
    """What a packet says of the time of flowers: first and last day, and in which country."""

    first: MonthDayField
    last: MonthDayField
    country: Annotated[Line, Field(max_length=120)] = ""


class OwnCultivar(Part, Cultivar):
    """A cultivar the catalogue lacks, or a mixture, as the gardener describes it.

    `packet` is what its dates were worked out from, so that they can be looked at again.
    """

    model_config = ConfigDict(extra="allow")  # as in every part, to keep a newer file's keys

    packet: Packet | None = None


class Yard(Part):
    """A whole yard, as one file holds it.

    `season_year` is the year whose spring is shown. `site_offsets` warms or cools a site
    against the program's own figure [°C]. `calendar_id` is what its tasks are known by in
    calendar programs, whatever the yard is called by then.
    """

    format: Literal["bloomline-yard"] = "bloomline-yard"
    version: Annotated[str, StringConstraints(strict=True, pattern=r"^\d{1,4}\.\d{1,4}$")] = VERSION
    name: Name
    place: PlaceChoice
    season_year: Annotated[Whole, Field(ge=1901, le=2198)]
    site_offsets: dict[Site, Annotated[Number, Field(ge=-15, le=15)]] = Field(default_factory=dict)
    display_places: Annotated[tuple[DisplayPlace, ...], Field(max_length=MAX_DISPLAY_PLACES)] = ()
    fixed_stands: Annotated[tuple[FixedStand, ...], Field(max_length=MAX_FIXED_STANDS)] = ()
    settings: Settings = Settings()
    money: Money = Money()
    supplies: Supplies = Supplies()
    pots: Annotated[tuple[Pot, ...], Field(max_length=MAX_POTS)] = ()
    records: Annotated[tuple[Record, ...], Field(max_length=MAX_RECORDS)] = ()
    own_cultivars: Annotated[tuple[OwnCultivar, ...], Field(max_length=MAX_OWN_CULTIVARS)] = ()
    cupboard: Annotated[tuple[InStock, ...], Field(max_length=MAX_IN_CUPBOARD)] = ()
    prices: Annotated[tuple[Price, ...], Field(max_length=MAX_PRICES)] = ()
    done: Annotated[tuple[DoneTask, ...], Field(max_length=MAX_DONE_TASKS)] = ()
    seen_tasks: Annotated[tuple[SeenTask, ...], Field(max_length=MAX_SEEN_TASKS)] = ()
    calendar_id: Slug | None = None
    weather: OwnWeather | None = None
    wishes: Annotated[tuple[SeasonWish, ...], Field(max_length=MAX_WISHES)] = ()
    notes: Text = ""

    def display_place(self, name: str) -> DisplayPlace:
        """Return the display place of this name. Raises UnknownNameError."""
        for place in self.display_places:
            if place.name == name:
                return place
        raise unknown("display place", name, [place.name for place in self.display_places])

    @property
    def pot_count(self) -> int:
        """How many pots stand in the yard, every copy counted."""
        return sum(pot.copies for pot in self.pots)

    def layers(self) -> Iterator[tuple[Pot, Layer]]:
        """Yield every layer with its pot, pot by pot, from the deepest up."""
        for pot in self.pots:
            for layer in pot.layers:
                yield pot, layer

    def companions(self) -> Iterator[tuple[Pot, CompanionPlanting]]:
        """Yield every companion planting with its pot."""
        for pot in self.pots:
            for planting in pot.companions:
                yield pot, planting

    def companion(self, planting_id: str) -> tuple[Pot, CompanionPlanting]:
        """Return the companion planting with this id and its pot. Raises UnknownNameError."""
        for pot, planting in self.companions():
            if planting.id == planting_id:
                return pot, planting
        raise unknown("companion", planting_id, [each.id for _, each in self.companions()])

    def pot(self, pot_id: str) -> Pot:
        """Return the pot with this id. Raises UnknownNameError."""
        for pot in self.pots:
            if pot.id == pot_id:
                return pot
        raise unknown("pot", pot_id, [pot.id for pot in self.pots])

    def layer(self, layer_id: str) -> tuple[Pot, Layer]:
        """Return the layer with this id and its pot. Raises UnknownNameError."""
        for pot, layer in self.layers():
            if layer.id == layer_id:
                return pot, layer
        raise unknown("layer", layer_id, [layer.id for _, layer in self.layers()])

    def record(self, record_id: str) -> Record:
        """Return the record with this id. Raises UnknownNameError."""
        for record in self.records:
            if record.id == record_id:
                return record
        raise unknown("record", record_id, [record.id for record in self.records])

    @model_validator(mode="after")
    def _hangs_together(self, info: ValidationInfo) -> Self:
        # An edit that can't touch ids or what they point at says so, and is spared the walk.
        if not (info.context or {}).get("links_checked"):
            check_links(self)
        return self


def unknown(what: str, name: str, known: list[str]) -> UnknownNameError:
    """Make the error for a name that isn't there, with what comes near to it."""
    return UnknownNameError(what, name, near=difflib.get_close_matches(name, known, n=3))
