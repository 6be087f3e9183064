"""One kind of bulb as the catalogue knows it, and the plants set on top of bulb pots."""

from __future__ import annotations

import calendar
import math
import re
from datetime import date
from functools import lru_cache
from typing import Annotated, Any, Literal, NamedTuple, Self

from pydantic import (
    BaseModel,
    ConfigDict,
    Field,
    PlainSerializer,
    PlainValidator,
    WithJsonSchema,
    model_validator,
)
from pydantic_core import PydanticCustomError

from bloomline.words import quoted

Basis = Literal["published", "relative", "class-typical", "memory"]
DateBasis = Literal["published", "relative", "class-typical", "memory", "packet"]
"""What dates stand on; "packet" is for kinds of a gardener's own alone."""
Light = Literal["sun", "part", "shade"]
Season = Literal["autumn", "spring", "summer"]
FlowersIn = Literal["winter", "spring", "summer", "autumn"]
FloweringLaw = Literal["spring", "summer", "autumn"]
PotLife = Literal["replace", "2-3 years", "long-lived"]

_FLOWERS_IN: tuple[FlowersIn, ...] = ("winter", "spring", "summer", "autumn")
_MONTH_DAY = re.compile(r"(\d\d)-(\d\d)", re.ASCII)
MAX_PARTS = 12
"""Of a mixture."""
_SHORTEST_DISPLAY_DAYS = 3
_LONGEST_DISPLAY_DAYS = 200


class MonthDay(NamedTuple):
    """A day of any year."""

    month: int
    day: int

    @classmethod
    def parse(cls, text: str) -> MonthDay:
        """Read MM-DD. Raises ValueError."""
        return _parsed(text)

    def in_year(self, year: int) -> date:
        """This day in a year; 29 February becomes the 28th where there is none."""
        last = calendar.monthrange(year, self.month)[1]
        return date(year, self.month, min(self.day, last))

    @property
    def day_of_year(self) -> int:
        """1 to 365, counted in a year without a leap day."""
        return _day_of_year(self)

    def __str__(self) -> str:
        return f"{self.month:02d}-{self.day:02d}"


@lru_cache(maxsize=366)  # a table says few days, and each of them often
def _parsed(text: str) -> MonthDay:
    match = _MONTH_DAY.fullmatch(text)
    if match:
        month, day = int(match[1]), int(match[2])
        if 1 <= month <= 12 and 1 <= day <= calendar.monthrange(2000, month)[1]:
            return MonthDay(month, day)
    raise ValueError(f"{quoted(text)} is no day of the year written like 04-17")


@lru_cache(maxsize=366)
def _day_of_year(day: MonthDay) -> int:
    return day.in_year(2001).timetuple().tm_yday


def _to_month_day(value: Any) -> MonthDay:
    if isinstance(value, MonthDay):
        return value
    try:
        return MonthDay.parse(str(value))
    except ValueError:
        raise PydanticCustomError(
            "month_day", "a day of the year written like 04-17 is wanted"
        ) from None


MonthDayField = Annotated[
    MonthDay,
    PlainValidator(_to_month_day),
    PlainSerializer(str),
    WithJsonSchema({"type": "string", "pattern": r"^\d\d-\d\d$"}),
]
"""A day of any year, written MM-DD."""

Slug = Annotated[str, Field(pattern=r"^[a-z0-9][a-z0-9_-]{0,63}$")]
Words = Annotated[str, Field(min_length=1, max_length=120)]
Note = Annotated[str, Field(max_length=500)]
Colour = Annotated[str, Field(pattern=r"^#[0-9A-Fa-f]{6}$")]


class MixPart(BaseModel):
    """A kind in a mixture. share : bulbs or a share of them, by the sum of all parts."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False, defer_build=True)

    kind: Cultivar
    share: Annotated[float, Field(gt=0, le=10_000)]


class Cultivar(BaseModel):
    """A bulb one can plant: what it is, when it opens near London, what it needs.

    `ref_start` and `ref_end` are the first good flower and the end of useful display of bulbs in
    their first season, planted on `ref_planted` near London in an average year of 1991–2020;
    `ref_sd_days` is the likely error of `ref_start` (one standard deviation, without the spread
    between years). `flowering_law` says what brings it to flower: cold and then warmth (spring),
    warmth alone (summer), or the cooling of the year (autumn); `least_days` is the shortest
    time from planting to its first flower, `leaf_days` that at 10 °C from the last flower to
    yellow leaves (None: as usual). `chill_weeks_*` are None where no cold is needed.
    From the second year on it opens `established_shift_days` earlier, give or take
    `established_sd_days`. A mixture has `parts`, whose flowers are its own; its other fields
    follow from them (`model.mixing`), so that it can be planted, bought and labelled as one.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False, defer_build=True)

    id: Slug
    genus: Annotated[str, Field(pattern=r"^[A-Z][a-z]+$", max_length=40)]
    group: Note = ""
    division: Annotated[int | None, Field(ge=1, le=20)] = None
    name: Words
    common_type: Words
    colour: Words
    colour_hex: Colour
    second_colour_hex: Colour | None = None
    height_cm: Annotated[float, Field(ge=3, le=250)]
    spread_cm: Annotated[float, Field(ge=2, le=100)]
    bulb_circumference_cm: Annotated[float, Field(ge=2, le=80)]
    cover_cm: Annotated[float, Field(ge=0, le=40)]
    spacing_cm: Annotated[float, Field(ge=1, le=100)]
    scent: Annotated[int, Field(ge=0, le=2)] = 0
    ref_start: MonthDayField
    ref_end: MonthDayField
    ref_sd_days: Annotated[float, Field(ge=1, le=60)]
    date_basis: DateBasis
    date_note: Note = ""
    ref_planted: MonthDayField
    chill_weeks_min: Annotated[float | None, Field(ge=0, le=30)] = None
    chill_weeks_best: Annotated[float | None, Field(ge=0, le=30)] = None
    chill_basis: Basis
    chill_note: Note = ""
    hardiness_usda_min: Annotated[int, Field(ge=1, le=13)]
    lowest_air_c: Annotated[float, Field(ge=-60, le=20)]
    toxic_pets: Annotated[int, Field(ge=0, le=2)]
    toxic_note: Note
    light: Light = "sun"
    season_planted: Season = "autumn"
    perennial_in_pot: PotLife = "replace"
    grams_per_bulb: Annotated[float, Field(gt=0, le=3000)]
    typical_pack: Annotated[int, Field(ge=1, le=1000)] = 1
    typical_price_gbp: Annotated[float | None, Field(ge=0, le=1000)] = None
    price_basis: Basis = "memory"
    synonyms: tuple[Words, ...] = ()
    established_shift_days: Annotated[float, Field(ge=-30, le=60)]
    established_sd_days: Annotated[float, Field(ge=0, le=60)]
    bulb_height_per_width: Annotated[float, Field(gt=0.2, le=3)]
    flowering_law: FloweringLaw = "spring"
    least_days: Annotated[float, Field(ge=0, le=200)] = 28
    leaf_days: Annotated[float | None, Field(ge=5, le=400)] = None
    parts: Annotated[tuple[MixPart, ...], Field(max_length=MAX_PARTS)] = ()

    @model_validator(mode="before")
    @classmethod
    def _law_of_its_season(cls, given: Any) -> Any:
        """A kind noted before there were laws follows that of the season it is planted in."""
        if not isinstance(given, dict) or "flowering_law" in given:
            return given
        law = {"summer": "autumn", "spring": "summer"}.get(given.get("season_planted", ""))
        return {**given, "flowering_law": law} if law else given

    @model_validator(mode="after")
    def _agree(self) -> Self:
        if not _SHORTEST_DISPLAY_DAYS <= self.display_days <= _LONGEST_DISPLAY_DAYS:
            raise PydanticCustomError(
                "display",
                "ref_start_md {start} to ref_end_md {end} is {days} days of flower; "
                "between 3 and 200 are wanted",
                {"start": str(self.ref_start), "end": str(self.ref_end), "days": self.display_days},
            )
        if (self.chill_weeks_min is None) != (self.chill_weeks_best is None):
            raise PydanticCustomError(
                "chill", "chill_weeks_min and chill_weeks_best must both be given or both be empty"
            )
        if (self.chill_weeks_min or 0) > (self.chill_weeks_best or 0):
            raise PydanticCustomError(
                "chill", "chill_weeks_min must not be more than chill_weeks_best"
            )
        if self.spacing_cm < self.bulb_diameter_cm:
            raise PydanticCustomError(
                "spacing",
                "spacing_cm {spacing} is less than the bulb is wide ({width} cm)",
                {"spacing": self.spacing_cm, "width": round(self.bulb_diameter_cm, 1)},
            )
        if any(part.kind.parts for part in self.parts):
            raise PydanticCustomError("nested", "a mixture can't be a part of a mixture")
        if len({part.kind.id for part in self.parts}) < len(self.parts):
            raise PydanticCustomError("same_id", "a mixture names one of its kinds twice")
        return self

    @property
    def shares(self) -> tuple[tuple[Cultivar, float], ...]:
        """The kinds of a mixture with their shares, which add up to 1; empty for one kind."""
        whole = sum(part.share for part in self.parts)
        return tuple((part.kind, part.share / whole) for part in self.parts)

    @property
    def needs_cold(self) -> bool:
        """Whether it flowers well only after weeks of cold."""
        return self.chill_weeks_best is not None

    @property
    def display_days(self) -> int:
        """Days of flower at the reference garden."""
        return (self.ref_end.day_of_year - self.ref_start.day_of_year) % 365

    @property
    def flowers_in(self) -> FlowersIn:
        """Season of the first flower near London; December to February is winter."""
        return _FLOWERS_IN[self.ref_start.month % 12 // 3]

    @property
    def bulb_diameter_cm(self) -> float:
        """Width of the bulb, from its circumference."""
        return self.bulb_circumference_cm / math.pi

    @property
    def bulb_height_cm(self) -> float:
        """Height of the bulb, from its width and the usual shape of its kind."""
        return self.bulb_diameter_cm * self.bulb_height_per_width


class Companion(BaseModel):
    """A plant set on top of a bulb pot, in leaf or flower from `season_start` to `season_end`.

    Both the season and the planting time may run over the new year.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False, defer_build=True)

    id: Slug
    name: Words
    colour: Words
    colour_hex: Colour
    height_cm: Annotated[float, Field(ge=3, le=150)]
    spread_cm: Annotated[float, Field(ge=2, le=100)]
    spacing_cm: Annotated[float, Field(ge=1, le=100)]
    season_start: MonthDayField
    season_end: MonthDayField
    scent: Annotated[int, Field(ge=0, le=2)]
    toxic_pets: Annotated[int, Field(ge=0, le=2)]
    toxic_note: Note
    light: Light
    planted_from: MonthDayField
    planted_to: MonthDayField
    hardiness_usda_min: Annotated[int, Field(ge=1, le=13)]
    lowest_air_c: Annotated[float, Field(ge=-60, le=20)]
    basis: Literal["published", "common practice", "memory"]
    source: Note

    @property
    def is_leaf(self) -> bool:
        """Whether it is grown for its leaves, so that it brings no flowers."""
        return self.colour.endswith(" leaf")

    @property
    def is_all_year(self) -> bool:
        """Whether its season is the whole year."""
        return (self.season_start, self.season_end) == ((1, 1), (12, 31))
