"""Yards for the tests of files: one small, and a strategy that draws any yard there can be."""

from __future__ import annotations

from datetime import date

from hypothesis import strategies as st

from bloomline.model.garden_place import HIGHEST_M, LOWEST_M
from bloomline.model.yard import (
    DisplayPlace,
    Layer,
    Money,
    OwnNormals,
    PlaceChoice,
    Pot,
    Record,
    Settings,
    Yard,
)


def small_yard(**fields):
    layer = Layer(
        id="layer-1", cultivar_id="tulipa-shirley", count=9, cover_cm=15, planted=date(2026, 11, 7)
    )
    pot = Pot(
        id="pot-1",
        name="Tub “blue”",
        top_width_cm=40,
        bottom_width_cm=30.5,
        inside_height_cm=35,
        layers=(layer,),
    )
    values = {
        "name": "Småll yard",
        "place": PlaceChoice(name="Ottermere", latitude_deg=52.4, longitude_deg=-1.3),
        "season_year": 2027,
        "pots": (pot,),
        **fields,
    }
    return Yard(**values)


_characters = st.characters(exclude_categories=("Cs", "Cc"), exclude_characters="\u2028\u2029")
_name = st.text(_characters, min_size=1, max_size=20).filter(lambda text: text.strip())
_text = st.text(_characters | st.sampled_from("\n\t"), max_size=30)
_day = st.dates(date(1900, 1, 1), date(2199, 12, 31))


def _number(low, high):
    return st.floats(low, high, allow_nan=False) | st.integers(int(low) + 1, int(high)).map(float)


@st.composite
def any_yard(draw):
    ids = (f"{word}-{number}" for number in range(10_000) for word in ("a", "b"))
    places = draw(st.lists(_name.map(str.strip), max_size=2, unique=True))

    def layer():
        return Layer(
            id=next(ids),
            cultivar_id=draw(st.from_regex(r"[a-z0-9][a-z0-9_-]{0,63}", fullmatch=True)),
            count=draw(st.integers(1, 5000)),
            cover_cm=draw(_number(0, 150)),
            planted=draw(_day),
            prechill_weeks=draw(_number(0, 40)),
            prechill_temperature_c=draw(st.none() | _number(-5, 25)),
            state=draw(st.sampled_from(["planned", "planted", "flowering", "lifted"])),
            notes=draw(_text),
        )

    def pot():
        long = draw(st.booleans())
        sheltered = draw(st.booleans())
        return Pot(
            id=next(ids),
            name=draw(_name),
            shape=draw(st.sampled_from(["oval", "trough"] if long else ["round", "square"])),
            top_width_cm=draw(_number(4, 500)),
            bottom_width_cm=draw(_number(2, 500)),
            top_length_cm=draw(_number(4, 1000)) if long else None,
            bottom_length_cm=draw(_number(2, 1000)) if long else None,
            inside_height_cm=draw(_number(10, 200)),
            site=draw(st.sampled_from(["shed", "cold-frame"] if sheltered else ["open"])),
            sheltered_from=draw(st.none() | st.dates(date(1900, 1, 1), date(1949, 12, 31)))
            if sheltered
            else None,
            sheltered_until=draw(st.none() | st.dates(date(1950, 1, 1), date(2199, 12, 31)))
            if sheltered
            else None,
            top_dressing=draw(st.none() | _name),
            successive=draw(st.booleans()),
            display_place=draw(st.sampled_from([None, *places])),
            layers=[layer() for _ in range(draw(st.integers(0, 3)))],
            notes=draw(_text),
        )

    pots = [pot() for _ in range(draw(st.integers(0, 3)))]
    layers = [item.id for item in pots for item in item.layers]
    records = [
        Record(
            id=next(ids),
            day=draw(_day),
            layer_id=draw(st.sampled_from(layers)),
            seen="full",
            note=draw(_text),
        )
        for _ in range(draw(st.integers(0, 3)) if layers else 0)
    ]
    lows = draw(st.lists(_number(-80, 30), min_size=12, max_size=12))
    return Yard(
        name=draw(_name),
        place=PlaceChoice(
            station_id=draw(st.none() | st.just("00003544")),
            name=draw(_name),
            latitude_deg=draw(_number(-90, 90)),
            longitude_deg=draw(_number(-180, 180)),
            elevation_m=draw(st.none() | _number(LOWEST_M, HIGHEST_M)),
            own_normals=draw(
                st.none() | st.just(OwnNormals(tmax_c=[low + 5 for low in lows], tmin_c=lows))
            ),
        ),
        season_year=draw(st.integers(1901, 2198)),
        site_offsets=draw(
            st.dictionaries(st.sampled_from(["open", "shed", "warm-wall"]), _number(-15, 15))
        ),
        display_places=[DisplayPlace(name=name) for name in places],
        settings=Settings(units=draw(st.sampled_from([None, "metric", "imperial"]))),
        money=Money(budget=draw(st.none() | _number(0, 1e7))),
        pots=pots,
        records=records,
        notes=draw(_text),
    )
