"""Which place a typed name means: a town, a village or a weather station; one, or a choice."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from bloomline.errors import UnknownNameError, UsageError
from bloomline.model.garden_place import PlaceChoice
from bloomline.model.place import Station, Town
from bloomline.plan.climate.garden import great_circle_km
from bloomline.plan.climate.nearby import AT_STATION_KM
from bloomline.reference.folding import fold
from bloomline.reference.places import SAME_PLACE_KM, load_places
from bloomline.reference.towns import TownHit, load_towns
from bloomline.words import tr
from bloomline.words.language import wanted_country

CLEARLY = 10.0
"""A place of so many times the people of the next one of its name is meant. Judgement."""

_OTHER_NAME_COUNTS = 1.0 / 30.0
"""How much of its people a town brings to a name that is not its first. Judgement."""

_STATION_SPEAKS_KM = 25.0
_STATION_SCORE = 3.0
_LOOKED_AT = 40
_MOST_NEAR = 3
_MOST_TOLD, _MOST_STATIONS_TOLD = 6, 2

# Of Britain, Ireland, Canada and the Netherlands; then plain figures, as most countries have them.
_POSTCODE = re.compile(
    r"[a-z]{1,2}\d[a-z\d]?( ?\d[a-z]{2})?|[a-z]\d[\dw]( ?[a-z\d]{4})?|[a-z]\d[a-z]( ?\d[a-z]\d)?"
    r"|\d{4} ?[a-z]{2}|([a-z]{1,2}-)?\d{2,3}[ -]?\d{2,4}(-\d{3,4})?",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Found:
    """A place that a text may mean.

    label : for a list; name : to be typed back, and what a yard there is called by.
    people : of the town, 0 for a station. is_whole, is_word : how much of a name was given.
    town : None for a station that is no town.
    """

    label: str
    name: str
    country_code: str
    latitude_deg: float
    longitude_deg: float
    station_id: str | None
    people: float
    score: float
    is_whole: bool
    is_word: bool
    town: Town | None = None

    @property
    def choice(self) -> PlaceChoice:
        """The place of a yard there."""
        return PlaceChoice(
            station_id=self.station_id,
            name=self.name[:120],
            latitude_deg=round(self.latitude_deg, 3),
            longitude_deg=round(self.longitude_deg, 3),
        )


@dataclass(frozen=True, slots=True)
class Answer:
    """What a text may mean, best first.

    best : the one that is clearly meant; None leaves the choice to the gardener.
    note : a sentence where something is amiss; "" else.
    is_near : nothing has that name, and `found` are the names most like it.
    """

    text: str
    found: tuple[Found, ...]
    best: Found | None = None
    note: str = ""
    is_near: bool = False


def country_of(place: PlaceChoice) -> str:
    """The code of the country a yard is in."""
    return load_towns().nearest(place.latitude_deg, place.longitude_deg)[0].country_code


def system_country(told: str = "") -> str:
    """The code of the country that the system is set to, "" where it is set to none.

    told : by whoever knows the system better than its variables do.
    """
    wanted = told or wanted_country()
    try:
        return load_towns().country_code(wanted) if wanted else ""
    except UnknownNameError:
        return ""


def country_here(place: PlaceChoice | None, *, system_first: bool = False, system: str = "") -> str:
    """The country whose places come first: a yard's, or the system's.

    system_first : for a yard that is still to find its place. system : as `system_country`.
    """
    code = system_country(system) if system_first or place is None else ""
    return code or ("" if place is None else country_of(place))


def find_places(
    text: str, *, country_code: str = "", only: bool = False, limit: int = 12
) -> Answer:
    """Places whose name begins with a text, or has it; "Bath, UK" and "York England" too.

    country_code : the country one is in: its places come first, and of several of one name its
    own is meant. only : leave out all others.
    """
    plain = " ".join(text.split())
    if not fold(plain):
        return Answer(text, ())
    station = _by_id(plain)
    if station is not None:
        found = _of_station(station, plain, country_code)
        return Answer(text, (found,), best=found)
    if _POSTCODE.fullmatch(plain):
        return Answer(
            text,
            (),
            note=tr("“{text}” looks like a postcode. Type the town instead.", text=plain),
        )
    plain = _without_postcode(plain)
    every = _all(plain, country_code, most=max(limit, _LOOKED_AT))
    if only:
        every = [each for each in every if each.country_code == country_code]
    if not every:
        return _near(text, plain, country_code, only=only)
    best = _meant(every, country_code)
    # What is meant stands first: the list and Enter say the same.
    shown = every if best is None else [best, *(each for each in every if each is not best)]
    return Answer(
        text,
        tuple(shown[: max(limit, 0)]),
        best=best,
        note=""
        if best is not None
        else tr("“{text}” may be one of several places: choose one.", text=plain),
    )


def place_meant(text: str, *, country_code: str = "", only: bool = False) -> Found:
    """The one place that is clearly meant by a text.

    Raises UnknownNameError, with what else it could be, and UsageError for a postcode.
    """
    answer = find_places(text, country_code=country_code, only=only, limit=_LOOKED_AT)
    if answer.best is not None:
        return answer.best
    if not answer.found and answer.note and not answer.is_near:
        raise UsageError(answer.note)
    if answer.is_near:
        raise UnknownNameError("place", text, near=[f"“{each.name}”" for each in answer.found])
    towns = [each for each in answer.found if each.station_id is None or each.people > 0]
    stations = [each for each in answer.found if each not in towns]
    told = [*towns[:_MOST_TOLD], *stations[:_MOST_STATIONS_TOLD]]
    raise UnknownNameError("single place", text, near=[f"“{each.name}”" for each in told])


def _without_postcode(text: str) -> str:
    """The town of "1012 AB Amsterdam" and of "Bath BA1 2AB"."""
    words = text.split()
    for n in (2, 1):
        for part, rest in ((words[:n], words[n:]), (words[-n:], words[:-n])):
            if rest and _POSTCODE.fullmatch(" ".join(part).strip(",")):
                return " ".join(rest).strip(" ,")
    return text


def _by_id(text: str) -> Station | None:
    try:
        return load_places().get(text)
    except UnknownNameError:
        return None


def _all(text: str, country_code: str, *, most: int) -> list[Found]:
    """Towns and stations, best first; a station of a town's name, at the town, is the town."""
    hits = load_towns().search(text, country_code=country_code, limit=most)
    stations = load_places().search(text, limit=most)
    full_names = [hit.town.full_name for hit in hits]
    found = []
    for hit in hits:
        here = next((each for each in stations if _is_at(hit.town, each)), None)
        if here is not None:
            stations.remove(here)
        alone = full_names.count(hit.town.full_name) == 1
        found.append(_of_town(hit, here, name_alone=alone))
    found += [_of_station(station, text, country_code) for station in stations]
    return sorted(found, key=lambda each: -each.score)


def _is_at(town: Town, station: Station) -> bool:
    return fold(town.name) == fold(station.name) and _apart_km(town, station) <= AT_STATION_KM


def _apart_km(a: Town | Station | Found, b: Town | Station | Found) -> float:
    return great_circle_km(a.latitude_deg, a.longitude_deg, b.latitude_deg, b.longitude_deg)


def _of_town(hit: TownHit, station: Station | None, *, name_alone: bool) -> Found:
    town = hit.town
    name = town.full_name if name_alone else town.fullest_name
    label = name
    if town.found_as:
        rest = name.removeprefix(town.name)
        name, label = f"{town.found_as}{rest}", f"{town.found_as} ({town.name}){rest}"
    spot: Town | Station = town if station is None else station
    return Found(
        label=label,
        name=name,
        country_code=town.country_code,
        latitude_deg=spot.latitude_deg,
        longitude_deg=spot.longitude_deg,
        station_id=None if station is None else station.station_id,
        people=max(town.population, 1) * (1.0 if hit.is_first_name else _OTHER_NAME_COUNTS),
        score=hit.score,
        is_whole=hit.is_whole,
        is_word=hit.is_word,
        town=town,
    )


def _of_station(station: Station, text: str, country_code: str) -> Found:
    try:
        code = load_towns().country_code(station.country)
    except UnknownNameError:
        code = ""
    wanted, name = fold(text.split(",")[0]), fold(station.name)
    is_whole = wanted in (name, fold(station.submitted_name), station.station_id)
    score = _STATION_SCORE + (3.0 if is_whole else 1.0 if name.startswith(wanted) else 0.0)
    parts = (station.name, station.region, station.country)
    return Found(
        label=tr("{station}, weather station", station=station.label),
        name=", ".join(part for part in parts if part),
        country_code=code,
        latitude_deg=station.latitude_deg,
        longitude_deg=station.longitude_deg,
        station_id=station.station_id,
        people=0.0,
        score=score + (2.5 if code and code == country_code else 0.0),
        is_whole=is_whole,
        is_word=f" {wanted} " in f" {name} ",
    )


def _meant(found: Sequence[Found], country_code: str) -> Found | None:
    """The place that is clearly meant: by its whole name, else by whole words, else the only one.

    A place of one's own country comes before all others.
    """
    for rivals in (
        [each for each in found if each.is_whole],
        [each for each in found if each.is_word],
        list(found),
    ):
        if not rivals:
            continue
        own = [each for each in rivals if each.country_code == country_code]
        return _clearest(own or rivals)
    return None


def _clearest(rivals: Sequence[Found]) -> Found | None:
    weighed = sorted(((_weight(each), each) for each in rivals), key=lambda pair: -pair[0])
    weight, best = weighed[0]
    others = [w for w, each in weighed[1:] if _apart_km(best, each) > SAME_PLACE_KM]
    return best if not others or weight >= CLEARLY * max(others[0], 1.0) else None


def _weight(found: Found) -> float:
    """People that speak for a place; for a station those of the town it stands by."""
    if found.people > 0:
        return found.people
    near = load_towns().most_people_near(
        found.latitude_deg, found.longitude_deg, within_km=_STATION_SPEAKS_KM
    )
    return float(near)


def _near(text: str, plain: str, country_code: str, *, only: bool) -> Answer:
    towns = load_towns().near(plain, country_code=country_code, limit=20 if only else _MOST_NEAR)
    if only:
        towns = [town for town in towns if town.country_code == country_code]
    found = tuple(
        _of_town(TownHit(town, False, False, True, 0.0), None, name_alone=True)
        for town in towns[:_MOST_NEAR]
    )
    note = (
        tr("No place is called “{text}”. Is one of these meant?", text=plain)
        if found
        else tr("No place called “{text}” is known. Try a larger town near it.", text=plain)
    )
    return Answer(text, found, note=note, is_near=True)
