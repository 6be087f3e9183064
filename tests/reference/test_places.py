from __future__ import annotations

import math

import numpy as np
import pytest

from bloomline.errors import DataError, UnknownNameError
from bloomline.model.place import Station
from bloomline.reference.place_names import tidy_name
from bloomline.reference.places import KM_PER_100_M, Places, load_places


@pytest.fixture(scope="module")
def places() -> Places:
    return load_places()


def test_all_stations_are_there_with_unique_ids(places: Places):
    assert len(places) == 5330
    ids = [station.station_id for station in places]
    assert len(set(ids)) == 5330
    # A yard file holds no longer id.
    assert max(len(i) for i in ids) <= 40


def test_values_are_those_of_places_on_earth(places: Places):
    for station in places:
        assert -90 <= station.latitude_deg <= 90
        assert -180 <= station.longitude_deg <= 180
        assert -430 <= station.elevation_m <= 4700
        assert len(station.tmax_c) == len(station.tmin_c) == 12
        assert all(lo < hi for lo, hi in zip(station.tmin_c, station.tmax_c, strict=True))
        assert min(station.tmin_c) > -75
        assert max(station.tmax_c) < 52
        assert station.name.strip() == station.name != ""
        assert "_" not in station.name
        assert station.country


def test_heathrow_normals_are_the_published_ones(places: Places):
    # Met Office, UK climate averages 1991-2020, Heathrow: mean maxima January 8.4, July 23.9;
    # minima January 2.7, July 14.2 (from memory of that page; WMO normals of the same service).
    heathrow = places.find("Heathrow")
    assert heathrow.tmax_c[0] == pytest.approx(8.4, abs=0.15)
    assert heathrow.tmax_c[6] == pytest.approx(23.9, abs=0.15)
    assert heathrow.tmin_c[0] == pytest.approx(2.7, abs=0.15)
    assert heathrow.tmin_c[6] == pytest.approx(14.2, abs=0.15)


@pytest.mark.parametrize(
    ("submitted", "country", "expected"),
    [
        ("AlgerDarElBeida", "Algeria", "Alger Dar El Beida"),
        ("ABERDEEN_DYCE", "United Kingdom", "Aberdeen Dyce"),
        ("AmsterdamSchipholAp", "Netherlands", "Amsterdam Schiphol Airport"),
        ("DeBiltAws", "Netherlands", "De Bilt"),
        ("IsleOfPortland", "United Kingdom", "Isle of Portland"),
        ("AultbeaNo2", "United Kingdom", "Aultbea No 2"),
        ("PORTLAND_INTL_JETPORT", "United States", "Portland International Jetport"),
        ("GRAND_JUNCTION_WALKER_FLD", "United States", "Grand Junction Walker Field"),
        ("FT_SMITH_RGNL_AP", "United States", "Fort Smith Regional Airport"),
        ("SUNDANCE_8_NNW", "United States", "Sundance 8 NNW"),
        ("GAYLORD_9SSW", "United States", "Gaylord 9 SSW"),
        ("MCGRATH_AP", "United States", "McGrath Airport"),
        ("KimberlyWO", "South Africa", "Kimberly"),
        ("Fort_Mcmurray_Cs", "Canada", "Fort McMurray"),
        ("Bagotville_A", "Canada", "Bagotville Airport"),
        ("Duesseldorf", "Germany", "Düsseldorf"),
        ("Hersfeld-Bad", "Germany", "Bad Hersfeld"),
        ("Itzehoe", "Germany", "Itzehoe"),
        ("Ueckermuende", "Germany", "Ueckermünde"),
        ("SANTIAGO_DEL_ESTERO_AERO", "Argentina", "Santiago del Estero Airport"),
        ("Aeropuerto_El_Eden__AUT_", "Colombia", "El Eden Airport"),
        ("San_Valentino_alla_Muta", "Italy", "San Valentino alla Muta"),
        ("Kiruna_Flygplats", "Sweden", "Kiruna Airport"),
        ("ТEJEN", "Turkmenistan", "Tejen"),
        ("BOBO-DIOULASSO", "Burkina Faso", "Bobo-Dioulasso"),
    ],
)
def test_names_become_readable(submitted: str, country: str, expected: str):
    assert tidy_name(submitted, country) == expected


def test_two_stations_of_one_place_stay_apart(places: Places):
    names = [s.name for s in places.in_country("Sweden") if s.name.startswith("Arvika")]
    assert names == ["Arvika", "Arvika (automatic)"]


def test_label_holds_state_country_and_height(places: Places):
    assert places.find("Heathrow").label == "Heathrow, United Kingdom, 25 m"
    jetport = places.find("PORTLAND_INTL_JETPORT")
    assert jetport.label == "Portland International Jetport, Maine, United States, 14 m"


@pytest.mark.parametrize(
    ("text", "first"),
    [
        ("heath", "Heathrow"),
        ("HEATHROW", "Heathrow"),
        ("zuri", "Zürich Kloten"),
        ("zürich flunt", "Zürich Fluntern"),
        ("orly", "Paris Orly"),
        ("london, uk", "London"),
        ("perth, australia", "Perth Airport"),
        ("portland maine", "Portland International Jetport"),
        ("portland, oregon", "Portland International Airport"),
        ("lodz", "Łódź Lublinek"),
        ("AlgerDarElBeida", "Alger Dar El Beida"),
    ],
)
def test_search_finds_parts_without_accents(places: Places, text: str, first: str):
    assert places.search(text)[0].name == first


def test_search_puts_the_start_of_names_and_words_first(places: Places):
    names = [station.name for station in places.search("port", limit=200)]
    starts = [name.lower().startswith("port") for name in names]
    words = [" port" in f" {name.lower()}" for name in names]
    assert starts == sorted(starts, reverse=True)
    assert words == sorted(words, reverse=True)
    assert any(starts)
    assert not all(starts)


def test_search_of_nothing_finds_nothing(places: Places):
    assert places.search("") == []
    assert places.search("  ,  ") == []
    assert places.search("qqqqq") == []
    assert len(places.search("a", limit=7)) == 7


def test_find_by_id_name_and_label(places: Places):
    heathrow = places.find("Heathrow")
    assert places.find(heathrow.station_id) == heathrow
    assert places.get(heathrow.station_id) == heathrow
    assert places.find(heathrow.label) == heathrow
    assert places.find("heathrow, england") == heathrow


def test_every_label_finds_its_station_or_says_which_could_be_meant(places: Places):
    labels = {station.label: station for station in list(places)[::23]}
    unclear = {}
    for label, station in labels.items():
        try:
            assert places.find(label).country == station.country
        except UnknownNameError as error:
            unclear[label] = error.near
    assert len(unclear) <= len(labels) / 50
    assert all(unclear.values())


def test_a_town_with_several_stations_close_by_is_one_place(places: Places):
    assert places.find("Zurich").name.startswith("Zürich")
    assert places.find("berlin, germany").name.startswith("Berlin")


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Munich", "München (city)"),
        ("Vienna", "Wien Hohe Warte"),
        ("Prague", "Praha Libus"),
        ("Moscow", "Moskva (Moscow)"),
        ("Gothenburg", "Göteborg"),
        ("Paris", "Paris Montsouris"),
        ("New York", "New York Central Park"),
        ("Bournemouth", "Bournemouth Hurn"),
        ("Wien", "Wien Hohe Warte"),
        ("Genève", "Genève Cointrin"),
    ],
)
def test_towns_by_their_names_in_english_and_at_home(places: Places, text: str, name: str):
    assert places.find(text).name == name
    assert places.search(text.lower())[0].name == name


def test_a_name_in_two_countries_asks_which(places: Places):
    with pytest.raises(UnknownNameError, match=r"London, .*Canada.*London, United Kingdom"):
        places.find("London")
    assert places.find("London, Ontario").country == "Canada"


def test_unknown_place_names_what_is_near(places: Places):
    with pytest.raises(UnknownNameError, match="did you mean Heathrow, United Kingdom"):
        places.find("Heatrow")
    with pytest.raises(UnknownNameError):
        places.find("")


def test_an_id_given_to_many_stations_lists_some(places: Places):
    with pytest.raises(UnknownNameError, match="0-20000-0-99999-"):
        places.find("0-20000-0-99999")
    with pytest.raises(UnknownNameError):
        places.get("0-1-2-3")


def test_distance_is_the_great_circle(places: Places):
    # One degree of a meridian on the mean sphere (R1 = 6371.0088 km, IUGG) is 111.195 km.
    heathrow = places.find("Heathrow")
    north = places.distances_km(heathrow.latitude_deg + 1, heathrow.longitude_deg)
    index = [s.station_id for s in places].index(heathrow.station_id)
    assert north[index] == pytest.approx(111.195, abs=0.001)
    # Around the date line as well: two points 0.2 degrees apart on the equator.
    here = places.distances_km(0.0, 179.9)
    there = places.distances_km(0.0, -179.9)
    assert np.abs(here - there).max() <= 0.2 * 111.2


def test_nearest_without_height_is_the_nearest_over_ground(places: Places):
    (station, distance), (_, second) = places.nearest(51.48, -0.45, limit=2)
    assert station.name == "Heathrow"
    assert distance == pytest.approx(0.5, abs=0.5)
    assert second > distance
    distances = [km for _, km in places.nearest(46.0, 8.0, limit=30)]
    assert distances == sorted(distances)


def test_height_turns_away_from_a_summit(places: Places):
    # Garmisch (719 m) lies at the foot of the Zugspitze (2,964 m).
    zugspitze = places.find("Zugspitze")
    at = (zugspitze.latitude_deg, zugspitze.longitude_deg)
    assert places.nearest(*at)[0][0].name == "Zugspitze"
    valley, distance = places.nearest(*at, elevation_m=720)[0]
    assert valley.name == "Garmisch-Partenkirchen"
    assert 5 < distance < 15
    assert places.nearest(*at, elevation_m=2960)[0][0].name == "Zugspitze"


def test_height_counts_at_a_right_angle_to_distance(places: Places):
    ranked = places.nearest(46.5, 8.0, elevation_m=1000, limit=40)
    badness = [math.hypot(km, (s.elevation_m - 1000) / 100 * KM_PER_100_M) for s, km in ranked]
    assert badness == sorted(badness)
    ground = places.distances_km(46.5, 8.0)
    ids = [s.station_id for s in places]
    assert all(km == pytest.approx(ground[ids.index(s.station_id)]) for s, km in ranked)


def test_within_a_radius(places: Places):
    close = places.within(51.5, -0.1, 60)
    assert {"Heathrow", "Northolt", "London"} <= {s.name for s, _ in close}
    assert all(km <= 60 for _, km in close)
    assert [km for _, km in close] == sorted(km for _, km in close)
    assert places.within(0.0, -30.0, 1.0) == []


@pytest.mark.parametrize(("lat", "lon"), [(91, 0), (-90.5, 0), (0, 361), (math.nan, 0)])
def test_a_point_off_the_earth_is_refused(places: Places, lat: float, lon: float):
    with pytest.raises(DataError, match="itude"):
        places.nearest(lat, lon)


def test_countries_by_other_names(places: Places):
    british = places.in_country("UK")
    assert british == places.in_country("united kingdom")
    assert {s.country for s in british} == {"United Kingdom"}
    assert len(places.in_country("Turkey")) == 213
    assert "Türkiye" in places.countries()
    with pytest.raises(UnknownNameError, match="did you mean Germany"):
        places.in_country("Germanny")


def test_every_american_and_canadian_station_has_a_state(places: Places):
    for country in ("United States", "Canada"):
        assert all(station.region for station in places.in_country(country))
    # Rough bounds of three states (public atlas).
    for name, south, north, west, east in (
        ("Maine", 43, 47.5, -71.1, -66.9),
        ("Texas", 25.8, 36.6, -106.7, -93.5),
        ("British Columbia", 48.2, 60.0, -139.1, -114.0),
    ):
        inside = [s for s in places if s.region == name]
        assert inside
        for s in inside:
            assert south <= s.latitude_deg <= north
            assert west <= s.longitude_deg <= east


def test_heights_agree_with_the_normals_of_the_neighbours(places: Places):
    # ISO 2533: 6.5 K per km. A height wrong by kilometres shows as a year too warm or too cold.
    stations = [s for s in places if abs(s.latitude_deg) > 30]
    for station in stations[::7]:
        around = places.nearest(station.latitude_deg, station.longitude_deg, limit=6)
        others = [s for s, km in around if s.station_id != station.station_id and km < 400]
        level = [sum(s.tmax_c + s.tmin_c) / 24 + 0.0065 * s.elevation_m for s in others]
        own = sum(station.tmax_c + station.tmin_c) / 24 + 0.0065 * station.elevation_m
        assert not level or min(abs(own - other) for other in level) < 8, station.label


def test_one_row_is_a_table_too():
    row = ("1", "A", "", "X", "1", "2", "3", "A", "")
    places = Places([row], np.zeros((1, 2, 12), dtype=np.int16), {})
    assert places.find("a") == Station("1", "A", "X", 1, 2, 3, (0.0,) * 12, (0.0,) * 12, "", "A")
