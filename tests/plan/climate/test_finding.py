"""Which place a typed name means: one that is clear, or a choice; never another land unsaid."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bloomline.errors import UnknownNameError, UsageError
from bloomline.model.yard import PlaceChoice
from bloomline.plan.climate.finding import country_here, country_of, find_places, place_meant
from bloomline.plan.climate.garden import garden_of
from bloomline.reference.places import load_places


@pytest.mark.parametrize(
    ("text", "country_code", "name"),
    [
        ("Bath", "", "Bath, England, United Kingdom"),
        ("Bath", "US", None),  # Maine, New York, Pennsylvania
        ("York", "", None),
        ("York", "GB", "York, England, United Kingdom"),
        ("York", "AU", "York, Western Australia, Australia"),
        ("Birmingham", "", None),
        ("Birmingham", "GB", "Birmingham, England, United Kingdom"),
        ("Edinburgh", "", "Edinburgh, Scotland, United Kingdom"),
        ("Manchester", "GB", "Manchester, England, United Kingdom"),
        ("Vancouver", "CA", "Vancouver, British Columbia, Canada"),
        ("Vancouver", "", None),
        ("München", "GB", "München, Bavaria, Germany"),
        ("Den Haag", "", "Den Haag, South Holland, Netherlands"),
        ("Portland", "US", None),
        ("Portland, Maine", "US", "Portland, Maine, United States"),
        ("Christchurch", "NZ", "Christchurch, Canterbury, New Zealand"),
        ("Christchurch", "GB", "Christchurch, England, United Kingdom"),
        ("Sapporo", "", "Sapporo, Hokkaido, Japan"),
        ("Richmond", "GB", None),
        ("Heathrow", "", "Heathrow, United Kingdom"),  # a station, and a town of Florida
        ("De Bilt", "", "De Bilt, Utrecht, Netherlands"),
        ("1012 AB Amsterdam", "", "Amsterdam, North Holland, Netherlands"),
    ],
)
def test_one_that_is_clear_or_a_choice(text, country_code, name):
    answer = find_places(text, country_code=country_code)
    assert (answer.best and answer.best.name) == name
    assert answer.found
    if answer.best is None:
        assert "choose one" in answer.note
        assert len({each.name for each in answer.found}) >= 2
    else:
        assert answer.found[0] is answer.best and not answer.note


def test_what_is_offered_can_be_typed_back():
    for text, code in (("Portland", "US"), ("York", ""), ("Richmond", "GB"), ("Aberdeen", "")):
        for each in find_places(text, country_code=code, limit=8).found:
            if each.station_id is None and each.is_whole:
                again = find_places(each.name, country_code=code).best
                assert again is not None
                spot = (again.latitude_deg, again.longitude_deg)
                assert spot == (each.latitude_deg, each.longitude_deg)


def test_only_leaves_out_other_countries():
    answer = find_places("Portland", country_code="GB", only=True)
    assert {each.country_code for each in answer.found} == {"GB"}
    assert answer.best is not None
    with pytest.raises(UnknownNameError):
        place_meant("Sapporo", country_code="GB", only=True)


def test_towns_that_share_all_but_the_county_are_told_apart():
    names = [each.name for each in find_places("Richmond", country_code="GB").found[:2]]
    assert names == [
        "Richmond, Greater London, England, United Kingdom",
        "Richmond, North Yorkshire, England, United Kingdom",
    ]


@pytest.mark.parametrize(
    "text",
    [
        *("BA1 2AB", "YO1", "sw1a 1aa", "80331", "1012 AB", "10115", "97201", "97201-1234"),
        *("V6B 1A1", "D02 X285", "060-0001", "SE-114 55", "00-001", "8001"),
    ],
)
def test_a_postcode_is_told_to_take_the_town(text):
    answer = find_places(text)
    assert not answer.found and "postcode" in answer.note
    with pytest.raises(UsageError, match="postcode"):
        place_meant(text)


@pytest.mark.parametrize("text", ["Y", "Ay", "Bath", "Ii", "00003772"])
def test_names_and_ids_are_no_postcodes(text):
    assert "postcode" not in find_places(text).note


def test_an_unknown_name_gets_the_three_nearest():
    answer = find_places("Edinbrugh", country_code="GB")
    assert answer.is_near and answer.best is None and len(answer.found) == 3
    assert answer.found[0].name == "Edinburgh, Scotland, United Kingdom"
    with pytest.raises(UnknownNameError, match="Edinburgh, Scotland"):
        place_meant("Edinbrugh")
    assert find_places("qqxxyyzz").found == ()


def test_stations_stay_findable():
    station = load_places().find("De Bilt")
    for text in ("De Bilt", station.station_id, "DeBiltAws", "de bilt, netherlands"):
        assert place_meant(text).station_id == station.station_id
    labels = [each.label for each in find_places("Aberdeen", country_code="GB").found]
    assert any("Aberdeen Dyce" in label and label.endswith("weather station") for label in labels)


def test_a_town_is_a_position_and_a_station_its_id():
    town = place_meant("Bath").choice
    assert town.station_id is None and town.elevation_m is None
    assert (town.latitude_deg, town.longitude_deg) == pytest.approx((51.375, -2.362), abs=0.002)
    assert len(garden_of(town).stations) > 1
    station = place_meant("Rothamsted").choice
    assert garden_of(station).station_id == station.station_id
    assert len(garden_of(station).stations) == 1


def test_the_country_of_a_yard_and_of_the_system(monkeypatch):
    yard = PlaceChoice(name="Home", latitude_deg=45.5, longitude_deg=-73.6)
    assert country_of(yard) == "CA"
    monkeypatch.setenv("LC_ALL", "de_AT.UTF-8")
    assert country_here(None) == "AT"
    assert country_here(yard) == "CA"
    assert country_here(yard, system_first=True) == "AT"
    monkeypatch.setenv("LC_ALL", "C.UTF-8")
    assert country_here(None) == ""
    assert country_here(yard, system_first=True) == "CA"


@given(st.text(max_size=10), st.sampled_from(["", "GB", "US"]))
def test_any_text_has_an_answer(text, country_code):
    answer = find_places(text, country_code=country_code, limit=3)
    assert len(answer.found) <= 3
    if answer.best is not None:
        assert answer.found[0] is answer.best
    elif text.strip() and answer.found:
        assert answer.note
