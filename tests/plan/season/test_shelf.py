from __future__ import annotations

from datetime import date, timedelta

import pytest
from asking import outlook, yard

from bloomline.model.yard import Record
from bloomline.plan.climate.garden import garden_at, garden_named
from bloomline.plan.climate.surroundings import Standing
from bloomline.plan.climate.weather import yard_axis_start
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.forecast.one_planting import Request, forecast
from bloomline.plan.forecast.planting_day import usual_planting_day
from bloomline.plan.forecast.report import Band
from bloomline.plan.season.shelf import ShelfWindow, months_of, shelf_windows
from bloomline.plan.season.solve import learned_of
from bloomline.plan.season.yard import season_report
from bloomline.reference.catalogue import Catalogue, load_catalogue

REFERENCE = "00003772"


@pytest.fixture(scope="module")
def forecaster() -> Forecaster:
    return Forecaster()


@pytest.fixture(scope="module")
def at_reference(forecaster: Forecaster) -> dict[str, ShelfWindow]:
    return shelf_windows(outlook(yard(), forecaster=forecaster))


def test_every_kind_of_the_catalogue_gets_a_window(at_reference) -> None:
    catalogue = load_catalogue()
    assert set(at_reference) == {cultivar.id for cultivar in catalogue}
    assert all((w.start is None) == (w.reason is not None) for w in at_reference.values())


@pytest.mark.parametrize(
    "cultivar_id", ["tulipa-apricot-beauty", "narcissus-hawera", "colchicum-autumnale"]
)
def test_the_window_is_the_one_that_a_single_forecast_gives(
    at_reference, forecaster, cultivar_id
) -> None:
    cultivar = load_catalogue().get(cultivar_id)
    garden = garden_named(REFERENCE)
    first_day = yard_axis_start(2027, garden=garden)
    planted = usual_planting_day(cultivar, garden=garden, first_day=first_day)
    single = forecast(
        Request(id="one", garden=garden, cultivar=cultivar, planted=planted, standing=Standing()),
        forecaster=forecaster,
        today=planted,
    )
    window = at_reference[cultivar_id]
    assert (window.planted, window.start, window.end) == (planted, single.start, single.end)
    assert window.cold_weeks == single.cold_weeks


def test_at_the_reference_garden_a_kind_opens_on_its_stated_day(at_reference) -> None:
    # The catalogue states first flower near London (sources in shared/catalogue, column
    # date_note); at that very garden the forecast must give it back.
    catalogue = load_catalogue()
    for cultivar_id in ("tulipa-apricot-beauty", "narcissus-hawera"):
        window = at_reference[cultivar_id]
        assert window.start is not None
        stated = catalogue.get(cultivar_id).ref_start.in_year(2027)
        assert abs((window.start.p50 - stated).days) <= 3


def test_a_place_without_winter_leaves_tulips_short_of_cold(forecaster) -> None:
    # Nairobi's mean temperature never falls under about 15 °C (WMO normals), and a tulip
    # wants at least 12 weeks at 2 to 9 °C.
    nairobi = garden_at(-1.3, longitude_deg=36.8, elevation_m=1700.0, name="Nairobi")
    windows = shelf_windows(outlook(yard(), forecaster=forecaster, garden=nairobi))
    window = windows["tulipa-apricot-beauty"]
    assert not window.flowers and not window.flowers_well
    assert window.cold_short
    assert window.reason is not None and "cold" in window.reason
    assert window.months == frozenset()


def test_nothing_on_the_shelf_is_no_work(forecaster) -> None:
    nothing = outlook(yard(), forecaster=forecaster, catalogue=Catalogue([]))
    assert shelf_windows(nothing) == {}


def _band(day: date) -> Band:
    return Band(day, day, day)


def test_months_run_from_first_flower_to_the_day_before_the_end() -> None:
    assert months_of(_band(date(2027, 3, 31)), _band(date(2027, 5, 1))) == {3, 4}
    assert months_of(_band(date(2026, 11, 20)), _band(date(2027, 1, 9))) == {11, 12, 1}
    assert months_of(_band(date(2027, 4, 5)), _band(date(2027, 4, 5))) == {4}
    assert months_of(None, None) == frozenset()


def test_a_learned_offset_moves_the_shelf_as_it_moves_the_yard(forecaster: Forecaster) -> None:
    kinds = ("tulipa-shirley", "narcissus-hawera", "tulipa-apricot-beauty", "narcissus-carlton")
    first = outlook(yard([(kind, "2026-11-01") for kind in kinds]), forecaster=forecaster)
    seen = [
        Record(
            id=f"record-{k}",
            layer_id=layer.layer_id,
            day=layer.start.p50 + timedelta(days=9),
            seen="first-flower",
        )
        for k, layer in enumerate(season_report(first).layers)
        if layer.start is not None
    ]
    noted = first.with_(yard=first.yard.model_copy(update={"records": tuple(seen)}))
    noted = noted.with_(today=date(2027, 6, 1))
    plain, moved = (
        shelf_windows(noted.with_(use_records=use))["tulipa-shirley"] for use in (False, True)
    )
    learned = learned_of(noted)
    days = learned.offset_at("open")
    assert days > 1.5 and learned.garden_sd_days(4.0) < 4.0
    assert plain.start is not None and moved.start is not None
    assert (moved.start.p50 - plain.start.p50).days == pytest.approx(days, abs=1.0)
    assert moved.start.p90 - moved.start.p10 <= plain.start.p90 - plain.start.p10


@pytest.mark.parametrize("place", ["Berlin", "Boston"])
def test_every_kind_moves_with_its_class_to_another_climate(
    at_reference, forecaster: Forecaster, place: str
) -> None:
    """At Berlin and Boston a kind opens as many days later (or earlier) as its class does.

    Within 16 days: early kinds of a class gain more than late ones. Kinds planted in spring and
    in autumn differ more than their class shows and are compared among themselves.
    """
    there = shelf_windows(outlook(yard(place=place), forecaster=forecaster))
    moved: dict[tuple[str, str, str], dict[str, int]] = {}
    for kind in load_catalogue():
        here, away = at_reference[kind.id].start, there[kind.id].start
        if here is not None and away is not None:
            of_class = moved.setdefault((kind.genus, kind.group, kind.season_planted), {})
            of_class[kind.id] = (away.p50 - here.p50).days
    assert sum(map(len, moved.values())) > 250
    for of_class in moved.values():
        middle = sorted(of_class.values())[len(of_class) // 2]
        for name, days in of_class.items():
            assert abs(days - middle) <= 16, (name, days, middle)


def test_at_the_reference_garden_every_kind_opens_on_its_day(at_reference) -> None:
    for kind in load_catalogue():
        start = at_reference[kind.id].start
        assert start is not None, kind.id
        off = (start.p50 - kind.ref_start.in_year(start.p50.year)).days
        # Begonias go out so late that their shortest time to the first flower comes first.
        assert abs(off) <= (12 if kind.genus == "Begonia" else 6), (kind.id, off)
