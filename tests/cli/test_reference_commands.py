from __future__ import annotations

import csv
import io
import json

import pytest

from bloomline.cli.main import main


def run(capsys, *arguments: str):
    code = main([*arguments, "--format", "json"])
    out, err = capsys.readouterr()
    return code, json.loads(out) if out else None, err


def test_climate_of_a_place(capsys) -> None:
    code, climate, _ = run(capsys, "climate", "De Bilt", "--today", "2025-09-01")
    assert code == 0
    assert climate["station"] == {
        "id": "0-20000-0-06260",
        "name": "De Bilt",
        "country": "Netherlands",
        "latitude_deg": 52.099,
        "longitude_deg": 5.18,
        "elevation_m": 1.9,
    }
    assert [month["month"] for month in climate["months"]] == [*range(1, 13)]
    assert all(
        set(month) == {"month", "tmax_c", "tmin_c", "lowest_c", "frost_days", "cold_weeks"}
        for month in climate["months"]
    )
    # KNMI, climate table De Bilt 1991-2020: 6.1 and 0.9 °C in January, 58 days of frost a year.
    assert (climate["months"][0]["tmax_c"], climate["months"][0]["tmin_c"]) == (6.1, 0.9)
    assert sum(month["frost_days"] for month in climate["months"]) == pytest.approx(58, abs=8)
    assert climate["months"][0]["cold_weeks"] > climate["months"][4]["cold_weeks"]
    # No month has more weeks of cold than it has weeks.
    assert all(month["cold_weeks"] <= 31 / 7 for month in climate["months"])
    first, last = climate["first_frost"], climate["last_frost"]
    assert "2025-10-01" <= first["p10"] <= first["p50"] <= first["p90"] <= "2025-12-31"
    assert "2026-03-01" <= last["p10"] <= last["p50"] <= last["p90"] <= "2026-05-31"
    assert climate["winter_chill"]["chill_hours"] > 1000


def test_climate_tells_the_coldest_nights_and_their_zone(capsys) -> None:
    _, climate, _ = run(capsys, "climate", "De Bilt", "--today", "2025-09-01")
    lowest = [month["lowest_c"] for month in climate["months"]]
    # No year's lowest is above the mean of the years, nor below the lowest of all.
    assert min(lowest) <= climate["mean_annual_minimum_c"] < min(lowest[4:9])
    assert all(month["lowest_c"] < month["tmin_c"] for month in climate["months"])
    # Zone 8, -12.2 to -6.7 °C: USDA Plant Hardiness Zone Map.
    assert climate["hardiness_zone"] == "8"
    assert -12.2 <= climate["mean_annual_minimum_c"] < -6.7
    main(["climate", "De Bilt", "--today", "2025-09-01"])
    shown = capsys.readouterr().out
    assert f"{climate['mean_annual_minimum_c']:.1f} °C on average, hardiness zone 8" in shown
    assert f"{min(lowest):.1f}" in shown


def test_climate_of_a_position(capsys) -> None:
    code, there, _ = run(capsys, "climate", "--latitude", "52.1", "--longitude", "5.18")
    _, named, _ = run(capsys, "climate", "De Bilt")
    assert code == 0
    assert there["station"]["id"] == "0-20000-0-06260"
    assert there["months"][0] == named["months"][0]
    code, _, err = run(capsys, "climate", "--latitude", "52.1")
    assert code == 2
    assert "one is missing" in err
    code, _, err = run(capsys, "climate")
    assert code == 2
    assert "no place given" in err


def test_climate_by_id_and_at_another_height(capsys) -> None:
    _, low, _ = run(capsys, "climate", "0-20000-0-06260")
    _, high, _ = run(capsys, "climate", "De Bilt", "--elevation", "501.9")
    # 6.5 °C a kilometre: ICAO standard atmosphere, Doc 7488.
    assert high["months"][6]["tmax_c"] == pytest.approx(low["months"][6]["tmax_c"] - 3.25, abs=0.06)
    assert high["elevation_m"] == 501.9
    assert high["station"]["elevation_m"] == 1.9


def test_climate_in_the_south_has_its_frost_in_july(capsys) -> None:
    _, climate, _ = run(capsys, "climate", "Canberra", "--today", "2025-03-01")
    assert "2025-03-01" < climate["first_frost"]["p50"] < climate["last_frost"]["p50"]
    assert climate["last_frost"]["p50"] < "2025-12-01"
    assert climate["months"][6]["cold_weeks"] > climate["months"][0]["cold_weeks"]


def test_climate_without_frost_says_why(capsys) -> None:
    _, climate, _ = run(capsys, "climate", "Darwin Airport")
    assert (climate["first_frost"], climate["last_frost"]) == (None, None)
    assert climate["first_frost_reason"] == "no frost in any of the years"
    assert sum(month["cold_weeks"] for month in climate["months"]) < 0.1


def test_climate_without_summer_says_why(capsys) -> None:
    _, climate, _ = run(capsys, "climate", "Zermatt", "--elevation", "4300")
    assert climate["first_frost"] is None
    assert climate["last_frost_reason"] == "frost comes in every month of the year"


def test_climate_of_no_place(capsys) -> None:
    code, climate, err = run(capsys, "climate", "Sappora")
    assert (code, climate) == (2, None)
    assert "no place called “Sappora”; did you mean" in err


def test_climate_table(capsys) -> None:
    assert main(["climate", "De Bilt", "--today", "2025-09-01"]) == 0
    out = capsys.readouterr().out
    assert "First frost: " in out
    assert max(len(line) for line in out.splitlines()) <= 100


def test_places_by_name_country_and_position(capsys) -> None:
    code, found, _ = run(capsys, "places", "zurich")
    assert code == 0
    assert found
    assert found[0]["name"] == "Zürich"
    assert all(p["country"] == "Switzerland" for p in found if p["kind"] == "station")
    _, near, err = run(capsys, "places", "--near", "52.1,5.18", "--limit", "3")
    assert near[0]["name"] == "De Bilt"
    assert [place["distance_km"] for place in near] == sorted(p["distance_km"] for p in near)
    assert len(near) == 3
    _, dutch, err = run(capsys, "places", "--country", "Netherlands", "--limit", "5")
    assert len(dutch) == 5
    assert "--limit shows more" in err
    _, both, _ = run(capsys, "places", "--country", "Japan", "--near", "52.1,5.18")
    assert {place["country"] for place in both} == {"Japan"}


def test_places_that_are_none(capsys) -> None:
    assert run(capsys, "places", "qqzzxx")[:2] == (1, [])
    assert run(capsys, "places", "--near", "5.2,952")[0] == 2
    assert run(capsys, "places", "--country", "Neverland")[0] == 2


def test_cultivars_pass_every_filter(capsys) -> None:
    code, found, _ = run(
        *(capsys, "cultivars", "--type", "tulip", "--colour", "white", "--height-max", "40"),
    )
    assert code == 0
    assert found
    assert all(
        each["type"] == "tulip" and "white" in each["colour"] and each["height_cm"] <= 40
        for each in found
    )
    _, scented, _ = run(capsys, "cultivars", "--scent", "--month", "3")
    assert scented
    assert all(each["scent"] > 0 for each in scented)
    _, safe, _ = run(capsys, "cultivars", "--pet-safe")
    assert safe
    assert all(each["toxic_pets"] == 0 for each in safe)


def test_cultivars_here(capsys) -> None:
    _, found, _ = run(
        *(capsys, "cultivars", "thalia", "--place", "De Bilt", "--today", "2025-09-01"),
    )
    (thalia,) = [each for each in found if each["id"] == "narcissus-thalia"]
    assert "2026-03-15" < thalia["start"]["p50"] < thalia["end"]["p50"] < "2026-06-01"
    month = str(int(thalia["start"]["p50"][5:7]))
    _, in_month, _ = run(
        *(capsys, "cultivars", "thalia", "--place", "De Bilt", "--today", "2025-09-01"),
        *("--month", month),
    )
    assert thalia in in_month
    assert run(
        *(capsys, "cultivars", "thalia", "--place", "De Bilt", "--today", "2025-09-01"),
        *("--month", "8"),
    )[:2] == (1, [])


def test_cultivars_table_and_csv(capsys) -> None:
    assert main(["cultivars", "crocus"]) == 0
    out = capsys.readouterr().out
    assert "near London" in out
    assert max(len(line) for line in out.splitlines()) <= 102
    assert main(["cultivars", "crocus", "--format", "csv"]) == 0
    rows = list(csv.DictReader(io.StringIO(capsys.readouterr().out)))
    assert rows
    assert all(len(row) == 13 for row in rows)


@pytest.mark.parametrize(
    ("place", "told"),
    [
        ("York", "“York, England, United Kingdom”, “York, Pennsylvania, United States”"),
        ("Portland", "“Portland, Oregon, United States”, “Portland, Maine, United States”"),
        ("Edinbrugh", "did you mean “Edinburgh, Scotland, United Kingdom”"),
        ("BA1 2AB", "looks like a postcode. Type the town instead."),
    ],
)
def test_a_place_that_is_not_clear_is_bad_use_with_what_could_be_typed(capsys, place, told) -> None:
    code, climate, err = run(capsys, "climate", place)
    assert (code, climate) == (2, None)
    assert told in err


def test_the_country_of_a_place(capsys, monkeypatch) -> None:
    code, york, err = run(capsys, "climate", "York", "--country", "UK")
    assert code == 0
    assert "“York” is taken as York, England, United Kingdom, about 17 m" in err
    assert sum(each["weight"] for each in york["stations"]) == pytest.approx(1.0, abs=0.01)
    assert york["station"]["id"] == york["stations"][0]["id"]
    assert york["height_is_guessed"]
    # The system's country stands where none is given.
    monkeypatch.setenv("LC_ALL", "en_GB.UTF-8")
    assert run(capsys, "climate", "York")[1]["months"] == york["months"]
    monkeypatch.setenv("LC_ALL", "en_AU.UTF-8")
    assert run(capsys, "climate", "York")[1]["station"]["country"] == "Australia"
    # A station's name from elsewhere is told, however exact.
    assert "“De Bilt” is taken as De Bilt, Netherlands" in run(capsys, "climate", "De Bilt")[2]
    assert run(capsys, "climate", "York", "--country", "Neverland")[0] == 2
    assert run(capsys, "climate", "--country", "UK")[0] == 2


def test_the_table_tells_stations_weights_and_distances(capsys) -> None:
    assert main(["climate", "Birmingham", "--country", "GB", "--today", "2025-09-01"]) == 0
    out = capsys.readouterr().out
    assert "normals 1991–2020 of 6 stations" in out
    assert "Church Lawford" in out and " 41 km" in out and " 40 %" in out
    assert "41 km away: take the dates with care" in out
    assert max(len(line) for line in out.splitlines()) <= 101


def test_cultivars_by_words_in_any_order(capsys) -> None:
    _, one, _ = run(capsys, "cultivars", "scented tulip under 20 cm")
    _, other, _ = run(capsys, "cultivars", "tulip under 20 cm scented")
    assert [each["id"] for each in one] == [each["id"] for each in other]
    assert one and all(
        each["type"] == "tulip" and each["scent"] and each["height_cm"] <= 20 for each in one
    )
    _, crocuses, _ = run(capsys, "cultivars", "crocus")
    assert crocuses[0]["type"] == "crocus"
    _, old, _ = run(capsys, "cultivars", "Schizostylis")
    assert [each["id"] for each in old] == ["hesperantha-coccinea-major"]


def test_a_month_among_the_words_is_that_of_the_place(capsys) -> None:
    there = ("--place", "Christchurch Airport", "--today", "2026-03-01")
    code, south, _ = run(capsys, "cultivars", "white triumphator october", *there)
    assert code == 0 and [each["id"] for each in south] == ["tulipa-white-triumphator"]
    assert run(capsys, "cultivars", "white triumphator april", *there)[0] == 1
    assert run(capsys, "cultivars", "white triumphator april")[0] == 0


def test_a_wrong_name_is_told_the_nearest(capsys) -> None:
    assert main(["cultivars", "balerina"]) == 1
    assert "did you mean Tulipa 'Ballerina'?" in capsys.readouterr().err
