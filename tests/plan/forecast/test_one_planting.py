"""Forecasts at real places: the catalogue's own dates, and what a gardener would expect."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from asking import (
    FIRST_DAY,
    GROUND,
    POT,
    TODAY,
    ask,
    catalogue,
    forecaster,
    garden,
    one_years_weather,
    solve,
)

from bloomline.errors import UsageError
from bloomline.plan.climate.garden import garden_at, garden_named
from bloomline.plan.climate.reference_garden import axis_day
from bloomline.plan.climate.surroundings import Standing
from bloomline.plan.climate.weather import RecordedWeather
from bloomline.plan.forecast import columns, one_planting
from bloomline.plan.forecast import forecaster as forecaster_module
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.forecast.one_planting import (
    Request,
    answered,
    forecast,
    forecast_many,
)
from bloomline.plan.forecast.outcomes import outcomes
from bloomline.plan.forecast.plantings import Planting
from bloomline.plan.forecast.solved import STAGES, Solved
from bloomline.reference.places import load_places

AUTUMN_PLANTED = [kind for kind in catalogue() if kind.season_planted == "autumn"]


def reference_days(kind):
    """Planting, first flower and end in the season of 2026/27, from the catalogue's row."""
    planted = axis_day(kind.ref_planted, first_day=FIRST_DAY)
    start = axis_day(kind.ref_start, first_day=FIRST_DAY, after=planted)
    return planted, start, start + kind.display_days


def on_axis(day):
    return (day - date(2026, 6, 1)).days


@pytest.mark.parametrize("standing", [POT, GROUND], ids=["pot", "ground"])
def test_the_reference_garden_gives_the_catalogues_own_dates(standing):
    rows = [(kind, *reference_days(kind)) for kind in AUTUMN_PLANTED]
    solved = solve(
        "London",
        *(
            (kind.id, date(2026, 6, 1) + timedelta(days=planted), {"standing": standing})
            for kind, planted, _, _ in rows
        ),
    )
    start, end = solved.bands("start"), solved.bands("end")
    off = np.array([start.p50[i] - (row[2] + 0.5) for i, row in enumerate(rows)])
    end_off = np.array([end.p50[i] - (row[3] + 0.5) for i, row in enumerate(rows)])
    whole = np.isfinite(solved.days.start).all(axis=1)
    assert whole.mean() > 0.5
    # The median year itself is exact: the need is solved from it.
    middle = np.median(solved.days.start[whole], axis=1)
    wanted = np.array([row[2] + 0.5 for row in rows])[whole]
    # (A day of frost adds no heat, so the need may have been met a little before.)
    assert np.mean(np.abs(middle - wanted) <= 0.01) > 0.95
    np.testing.assert_allclose(middle, wanted, atol=0.51)
    # The band's middle is drawn a little to the longer tail, most where dates are least sure.
    assert np.mean(np.abs(off) <= 1.0) > 0.65
    assert np.mean(np.abs(off) <= 2.5) > 0.97
    assert np.abs(off).max() < 7.5
    assert np.mean(np.abs(end_off) <= 2.0) > 0.92
    assert np.abs(end_off).max() < 7.5


def test_a_tulip_opens_later_in_minneapolis_and_its_display_is_shorter():
    london = ask("London", "tulipa-shirley", standing=GROUND)
    north = ask("Minneapolis", "tulipa-shirley", standing=GROUND)
    assert date(2027, 4, 10) <= london.start.p50 <= date(2027, 4, 20)
    # Local spring there is three to four weeks behind London's and then in a hurry.
    assert 14 <= (north.start.p50 - london.start.p50).days <= 35
    assert north.end.p50 - north.start.p50 < london.end.p50 - london.start.p50
    assert north.planted < london.planted
    assert north.cold_weeks > london.cold_weeks >= london.cold_weeks_needed


def test_too_little_cold_in_miami_is_said_and_pre_chilled_bulbs_flower():
    plain = ask("Miami", "tulipa-shirley")
    assert plain.start is plain.full is plain.end is plain.nose is plain.leaves_over is None
    assert plain.too_little_cold_share == 1.0
    assert "cold" in plain.reason and "0 of at least 13 weeks" in plain.reason
    (cold,) = [item for item in plain.advice if item.topic == "cold"]
    assert "Pre-chill" in cold.message and cold.source
    chilled = ask("Miami", "tulipa-shirley", prechill_weeks=14.0)
    assert chilled.reason is None and chilled.too_little_cold_share == 0.0
    assert chilled.start.p50 < date(2027, 2, 15)
    assert chilled.cold_weeks >= 14.0


def test_a_pot_freezes_through_in_minneapolis_and_the_ground_does_not():
    pot, ground = (ask("Minneapolis", "tulipa-shirley", standing=s) for s in (POT, GROUND))
    assert pot.killed_share > 0.9
    assert pot.start is None and "killed by frost" in pot.reason
    (frost,) = [item for item in pot.advice if item.topic == "frost"]
    assert frost.severity == "warning" and "-10 °C" in frost.message
    assert ground.killed_share == 0.0 and ground.start is not None
    assert not [item for item in ground.advice if item.topic == "frost"]


SHED = Standing(site="shed", sheltered_until=date(2027, 4, 1))


def test_a_shed_until_april_saves_pots_in_some_years():
    tough = "galanthus-nivalis"
    kept, open_air = (ask("Minneapolis", tough, standing=s).killed_share for s in (SHED, POT))
    assert kept < open_air


GARAGE = Standing(site="garage", sheltered_until=date(2027, 4, 1))


@pytest.mark.parametrize("kind", ["tulipa-shirley", "narcissus-ice-follies", "galanthus-nivalis"])
def test_a_garage_against_the_house_winters_pots_in_minneapolis(kind):
    # Ask Extension, question 371959 (Ramsey County, Minnesota, 2016): attached garages can work
    # well for tulips in a box.
    assert ask("Minneapolis", kind, standing=GARAGE).killed_share <= 0.05


def test_the_shelter_that_is_told_is_one_that_works():
    for standing, word in ((POT, "garage against the house"), (SHED, "garage against the house")):
        told = ask("Minneapolis", "narcissus-ice-follies", standing=standing)
        assert told.killed_share > 0.5 and word in told.reason
        assert any(word in item.message for item in told.advice)
    # No refuge is told of that is as deadly as where the pot stands.
    assert "winter the pot in a shed" not in told.reason


def test_nobody_is_told_to_carry_a_pot_into_the_shed_it_stands_in():
    told = ask("Minneapolis", "tulipa-shirley", standing=SHED)
    assert "pot in a shed" not in (told.reason or "")
    assert not any("pot in a shed" in item.message for item in told.advice)


@pytest.mark.parametrize("standing", [POT, GROUND], ids=["pot", "ground"])
@pytest.mark.parametrize("place", ["London", "Berlin", "Melbourne"])
def test_a_deeper_bulb_opens_a_few_days_later_and_one_at_its_usual_depth_as_ever(place, standing):
    # Cavins & Dole 2002, HortScience 37, 79-83: tulips and daffodils planted 15, 30 and 45 cm deep
    # flowered later the deeper they lay, all four cultivars; days aren't in the abstract.
    kind = "tulipa-queen-of-night"
    usual = catalogue().get(kind).cover_cm
    plain = ask(place, kind, standing=standing)
    days = []
    for cover in (0.0, usual - 10.0, usual, usual + 1.0, usual + 10.0, usual + 30.0):
        told = ask(place, kind, standing=standing, cover_cm=cover)
        days.append((told.start.p50 - plain.start.p50).days)
        assert told.nose.p50 <= told.start.p50 and told.nose.p50 >= plain.nose.p50 - timedelta(8)
    assert days == sorted(days)
    assert days[2] == days[3] == 0  # within a step of the usual depth
    assert 2 <= days[4] <= 7 and -7 <= days[1] <= -2


def test_a_depth_that_no_bulb_lies_at_is_refused():
    for cover in (-1.0, 151.0):
        with pytest.raises(UsageError, match="cm over the bulb"):
            ask("London", "tulipa-queen-of-night", cover_cm=cover)


def test_a_shed_does_not_force_bulbs():
    # In a dark, cool shed bulbs come at about the time of the open pot (common practice, no
    # source): a little warmer in winter, a little cooler in spring.
    for kind in ("galanthus-elwesii", "narcissus-tete-a-tete", "tulipa-apricot-beauty"):
        outside, inside = (
            ask("Berlin", kind, standing=Standing(site=site)).start.p50 for site in ("open", "shed")
        )
        assert abs((inside - outside).days) <= 14


def test_dates_are_those_of_all_years_and_the_loss_is_told_apart(monkeypatch):
    kind = catalogue().get("narcissus-tete-a-tete")
    for limit in np.arange(-14.0, 0.0):  # whatever frost takes about half of the years
        monkeypatch.setattr(columns, "lethal_c", lambda *_, limit=limit: limit)
        solved = forecaster().solve(
            [Planting(kind, date(2026, 10, 10), POT)], garden=garden("Boston"), first_day=FIRST_DAY
        )
        if solved.killed.mean() > 0.3:
            break
    assert 0.3 < solved.killed.mean() < 0.8
    lived, _ = solved.in_flower()
    assert np.isfinite(solved.days.start).all()
    np.testing.assert_array_equal(np.isnan(lived), solved.killed)
    np.testing.assert_array_equal(lived[~solved.killed], solved.days.start[~solved.killed])
    # Winters that kill are cold ones: mild years alone would date the flower too early.
    assert solved.days.start.mean() > np.nanmean(lived) + 1.0
    assert solved.flowering_share()[0] == pytest.approx(1.0 - solved.killed.mean())
    (told,) = outcomes(solved)
    assert told.killed_share == solved.killed.mean()
    assert (told.start is None) == (told.killed_share > 0.5)


def test_a_tulip_planted_in_april_has_a_reason_and_no_date():
    late = ask("London", "tulipa-shirley", "2027-04-15")
    assert late.start is None and late.end is None
    assert "plant earlier" in late.reason
    assert not any("flowering" in item.message for item in late.advice if item.topic == "planting")


def test_a_late_but_possible_planting_flowers_later_and_is_told_so():
    usual, late = (ask("London", "tulipa-shirley", day) for day in ("2026-11-15", "2027-01-20"))
    assert usual.start.p50 < late.start.p50
    assert any("later" in item.message for item in late.advice if item.topic == "planting")
    assert not any(item.topic == "planting" for item in usual.advice)


@pytest.mark.parametrize(
    ("cultivar_id", "planted", "months"),
    [
        ("lilium-star-gazer", "2027-03-15", (7, 8)),
        ("lilium-tiny-bee", "2027-04-10", (6, 7)),
        ("gladiolus-plum-tart", "2027-04-15", (7, 8)),
        ("dahlia-bishop-of-llandaff", "2027-05-01", (6, 7)),
    ],
)
def test_spring_planted_kinds_flower_in_summer(cultivar_id, planted, months):
    answer = ask("London", cultivar_id, planted)
    assert answer.reason is None
    assert (answer.start.p50.year, answer.start.p50.month) in [(2027, month) for month in months]
    assert answer.end.p50 > answer.start.p50
    assert not any(item.topic == "cold" for item in answer.advice)
    # The trade's store has given them their cold, so none is asked for.
    assert answer.cold_weeks_needed is None


@pytest.mark.parametrize(
    "cultivar_id", ["crocus-speciosus", "colchicum-autumnale", "sternbergia-lutea"]
)
def test_autumn_flowering_kinds_need_no_cold(cultivar_id):
    answer = ask("London", cultivar_id, "2026-08-15")
    assert answer.reason is None
    assert date(2026, 8, 25) < answer.start.p50 < date(2026, 11, 1)
    assert answer.cold_weeks_needed is None and answer.too_little_cold_share == 0.0
    in_spring = ask("London", cultivar_id, "2026-12-20")
    assert in_spring.start is None and "too late" in in_spring.reason


def test_established_bulbs_open_earlier_and_are_less_sure():
    new, old = (ask("London", "narcissus-ice-follies", established=e) for e in (False, True))
    assert 2 <= (new.start.p50 - old.start.p50).days <= 14
    assert old.start.p90 - old.start.p10 > new.start.p90 - new.start.p10


def test_without_a_day_the_usual_one_is_taken():
    answer = ask("London", "tulipa-shirley")
    assert answer.planted == catalogue().get("tulipa-shirley").ref_planted.in_year(2026)
    assert answer == ask("London", "tulipa-shirley", answer.planted)


def test_the_order_of_dates_and_what_an_answer_carries():
    answer = ask("London", "tulipa-shirley")
    order = [answer.nose, answer.start, answer.full, answer.end, answer.leaves_over]
    for part in ("p10", "p50", "p90"):
        days = [getattr(band, part) for band in order]
        assert days == sorted(days)
    assert answer.planted < answer.cold_met_on < answer.start.p50
    assert any(item.topic == "poison" for item in answer.advice)
    assert all(item.message and item.severity for item in answer.advice)


@pytest.mark.parametrize(
    ("place", "planted"), [("Melbourne", "2026-06-16"), ("London", "2027-02-15")]
)
def test_cold_is_not_said_to_be_met_after_the_flower(place, planted):
    answer = ask(place, "tulipa-shirley", planted)
    assert answer.start is not None
    assert answer.cold_met_on is None or answer.cold_met_on <= answer.start.p90


def test_the_south_flowers_in_its_own_spring():
    answer = ask("Melbourne", "narcissus-ice-follies", "2026-05-16")
    assert date(2026, 8, 1) < answer.start.p50 < date(2026, 10, 15)
    assert ask("Melbourne", "narcissus-ice-follies").planted.month in (4, 5, 6)


def test_a_far_station_is_told():
    lonely = garden_at(-30.0, longitude_deg=-110.0, elevation_m=0.0)
    assert lonely.station_is_far
    (far,) = [i for i in ask(lonely, "crocus-speciosus").advice if i.topic == "place"]
    assert lonely.station_name in far.message and f"{lonely.distance_km:.0f} km" in far.message
    near = ask("London", "tulipa-shirley")
    assert not any(item.topic == "place" for item in near.advice)


@pytest.mark.parametrize("weeks", [-0.1, 41.0])
def test_impossible_pre_chilling_is_refused(weeks):
    with pytest.raises(UsageError, match="pre-chilling"):
        ask("London", "tulipa-shirley", prechill_weeks=weeks)


@pytest.mark.parametrize("day", ["1899-12-31", "2200-01-01"])
def test_planting_days_of_another_age_are_refused(day):
    with pytest.raises(UsageError, match="outside 1900 to 2199"):
        ask("London", "tulipa-shirley", day)


@pytest.mark.parametrize("day", ["1900-11-01", "2199-11-01", "2028-02-29", "2026-06-01"])
def test_any_day_of_the_range_is_answered(day):
    answer = ask("London", "tulipa-shirley", day)
    assert (answer.start is None) == (answer.reason is not None)


class TestOwnWeather:
    def test_a_whole_measured_season_narrows_the_band_and_moves_the_date(self):
        plain = ask("London", "tulipa-shirley", "2026-11-15")
        years = solve("London", ("tulipa-shirley", date(2026, 11, 15), {})).days.start[0]
        for year in (int(np.argmin(years)), int(np.argmax(years))):
            own = ask(
                "London",
                "tulipa-shirley",
                "2026-11-15",
                recorded=one_years_weather("London", year),
            )
            assert own.start.p90 - own.start.p10 < plain.start.p90 - plain.start.p10
            assert on_axis(own.start.p50) == pytest.approx(years[year], abs=1.0)
        assert years.max() - years.min() > 10.0

    def test_each_further_month_of_weather_leaves_less_open(self):
        season = one_years_weather("London", 4)
        widths = []
        for days in (0, 200, 260, 310):
            part = RecordedWeather(season.days[:days], season.tmin_c[:days], season.tmax_c[:days])
            answer = solve(
                "London", ("tulipa-shirley", date(2026, 11, 15), {}), recorded=part
            ).days.start[0]
            widths.append(answer.max() - answer.min())
        assert widths[0] > widths[2] > widths[3]
        assert widths[3] < 0.5 * widths[0]

    def test_weather_of_another_season_changes_nothing(self):
        season = one_years_weather("London", 4)
        long_ago = RecordedWeather(season.days - 3653, season.tmin_c + 5, season.tmax_c + 5)
        plain = ask("London", "tulipa-shirley", "2026-11-15")
        assert ask("London", "tulipa-shirley", "2026-11-15", recorded=long_ago) == plain


class TestManyAtOnce:
    def requests(self):
        kinds = [kind for kind in catalogue() if kind.genus in ("Tulipa", "Crocus")][:24]
        return [
            Request(
                id=str(i),
                garden=garden(("London", "Minneapolis")[i % 2]),
                cultivar=kind,
                planted=date(2026, 10, 1) + timedelta(days=i),
                standing=(POT, GROUND)[i // 2 % 2],
            )
            for i, kind in enumerate(kinds)
        ]

    def test_weather_and_sums_are_made_once_for_each_place(self, monkeypatch):
        made = {"weather_for": 0, "prepare": 0}

        def counted(name):
            real = getattr(forecaster_module, name)

            def call(*args, **kwargs):
                made[name] += 1
                return real(*args, **kwargs)

            return call

        for name in made:
            monkeypatch.setattr(forecaster_module, name, counted(name))
        fresh = Forecaster()
        forecast_many(self.requests(), forecaster=fresh, today=TODAY)
        assert made == {"weather_for": 2, "prepare": 2}
        forecast_many(self.requests(), forecaster=fresh, today=TODAY)
        assert made == {"weather_for": 2, "prepare": 2}
        fresh.forget()
        forecast_many(self.requests()[:1], forecaster=fresh, today=TODAY)
        assert made == {"weather_for": 3, "prepare": 3}

    def test_order_is_kept_and_each_answer_is_the_single_one(self):
        requests = self.requests()
        answers = forecast_many(requests, forecaster=forecaster(), today=TODAY)
        assert [answer.id for answer in answers] == [request.id for request in requests]
        for request, answer in list(zip(requests, answers, strict=True))[::5]:
            (alone,) = forecast_many([request], forecaster=Forecaster(), today=TODAY)
            assert alone == answer

    def test_answers_do_not_hang_on_how_many_are_worked_out_at_once(self, monkeypatch):
        requests = [each for each in self.requests()[:7] for _ in range(2)]
        at_once = forecast_many(requests, forecaster=forecaster(), today=TODAY)
        monkeypatch.setattr(one_planting, "_AT_ONCE", 2)
        assert forecast_many(requests, forecaster=forecaster(), today=TODAY) == at_once

    def test_columns_say_what_each_answer_says(self):
        requests = self.requests()
        far = replace(requests[0], garden=garden_named("Darwin Airport"), planted=date(2027, 3, 1))
        seen = 0
        for some in answered([*requests, far], forecaster=forecaster(), today=TODAY):
            said, one_by_one = some.outcomes, list(some)
            for stage in ("start", "full", "end"):
                for name, dates in zip(("p10", "p50", "p90"), said.dates(stage), strict=True):
                    bands = [getattr(answer, stage) for answer in one_by_one]
                    assert some.column(dates) == [band and getattr(band, name) for band in bands]
            for name in ("cold_weeks", "too_little_cold_share", "killed_share", "cold_met_on"):
                column = some.column(getattr(said, name))
                assert column == [getattr(answer, name) for answer in one_by_one]
            for name in ("reason", "cold_weeks_needed"):
                column = [getattr(said, name)(row) for row in some.rows]
                assert column == [getattr(answer, name) for answer in one_by_one]
            assert list(some.advice) == [answer.advice for answer in one_by_one]
            assert [answer.planted for answer in one_by_one] == list(some.planted)
            seen += len(some)
        assert seen == len(requests) + 1
        assert one_by_one[0].start is None  # the last garden has no winter

    def test_without_growth_only_noses_and_leaves_are_left_out(self):
        requests = self.requests()
        whole = forecast_many(requests, forecaster=forecaster(), today=TODAY)
        without = {}
        for some in answered(requests, forecaster=Forecaster(), today=TODAY, growth=False):
            without.update(zip(some.numbers, some, strict=True))
        for number, answer in enumerate(whole):
            assert (answer.nose is None) == (answer.start is None)
            assert without[number] == replace(answer, nose=None, leaves_over=None)
        # Neither takes the other's table for its own.
        fresh = Forecaster()
        for growth in (False, True, False):
            (some,) = answered(requests[:1], forecaster=fresh, today=TODAY, growth=growth)
            assert all((answer.nose is not None) == growth for answer in some)

    def test_equal_plantings_have_equal_answers(self):
        row = ("tulipa-shirley", date(2026, 11, 15), {})
        other = ("tulipa-shirley", date(2026, 11, 16), {})
        solved = solve("London", row, other, row)
        alone = solve("London", row)
        for name in ("nose", "start", "full", "end", "leaves_over", "cold_weeks"):
            values = getattr(solved.days, name)
            np.testing.assert_array_equal(values[0], values[2])
            np.testing.assert_array_equal(values[0], getattr(alone.days, name)[0])

    def test_nothing_asked_is_nothing_answered(self):
        assert forecast_many([], forecaster=forecaster(), today=TODAY) == []
        assert solve("London").days.start.shape == (0, 21)


def test_bulbs_that_stay_in_the_ground_open_later_where_winters_are_colder() -> None:
    # Published for Britain's common snowdrop (phenology networks, from memory): the south-west
    # first, then the south-east, the Midlands and the north. New bulbs may differ, since they
    # are planted earlier where the soil cools earlier.
    opened = []
    for place in ("Plymouth", "Heathrow", "Church Lawford", "Leeming"):
        answer = forecast(
            Request(
                id=place,
                garden=garden_named(load_places().find(place).station_id),
                cultivar=catalogue().get("galanthus-nivalis"),
                standing=Standing(where="ground"),
                established=True,
            ),
            forecaster=forecaster(),
            today=TODAY,
        )
        assert answer.start is not None
        opened.append(answer.start.p50)
    assert opened == sorted(opened)
    assert 8 <= (opened[-1] - opened[0]).days <= 45


def test_colchicum_keeps_its_leaves_into_early_summer() -> None:
    # Common practice, no source: leaves come in spring and die down about June.
    solved = solve("London", ("colchicum-autumnale", date(2026, 8, 20), {}))
    over = solved.date_of(float(solved.bands("leaves_over").p50[0]))
    assert date(2027, 5, 15) < over < date(2027, 7, 1)


def test_what_records_teach_opens_no_flower_before_its_planting():
    planting = Planting(
        catalogue().get("tulipa-apricot-beauty"),
        date(2027, 3, 1),
        POT,
        prechill_weeks=14.0,
        shift_days=-60.0,
    )
    solved = forecaster().solve([planting], garden=garden("London"), first_day=FIRST_DAY)
    planted = on_axis(planting.rooted)
    least = planting.cultivar.least_days
    assert least > 20
    assert np.isfinite(solved.days.start).any()
    assert np.nanmin(solved.days.nose) >= planted
    assert np.nanmin(solved.days.start) == planted + least
    # Nor does what is not known of its date.
    for band in (solved.bands("start"), solved.bands("end")):
        assert band.p10[0] >= planted + least
    assert solved.bands("nose").p10[0] >= planted


def _years_without(solved: Solved, lost: int) -> Solved:
    """The same answer with no flower in the first so many years."""
    years = np.arange(solved.days.start.shape[1]) < lost
    gone = {stage: np.where(years, np.nan, getattr(solved.days, stage)) for stage in STAGES}
    return replace(solved, days=replace(solved.days, **gone), too_late=solved.too_late | years)


@pytest.mark.parametrize(("lost", "flowers"), [(0, True), (7, True), (10, True), (11, False)])
def test_what_opens_in_most_years_is_said_to_flower(lost, flowers):
    # 21 years: with 11 lost, less than half are left.
    solved = solve("London", ("tulipa-apeldoorn", date(2026, 11, 10), {}))
    (answer,) = outcomes(_years_without(solved, lost))
    assert (answer.start is not None) == flowers
    assert (answer.reason is None) == flowers


@pytest.mark.parametrize(("lost", "told"), [(0, False), (1, False), (2, True), (8, True)])
def test_frost_is_told_from_one_winter_in_twenty_on(lost, told):
    solved = solve("London", ("tulipa-apeldoorn", date(2026, 11, 10), {}))
    killed = (np.arange(solved.killed.shape[1]) < lost)[None, :]
    (answer,) = outcomes(replace(solved, killed=killed))
    assert any(advice.topic == "frost" for advice in answer.advice) == told
    assert answer.killed_share == pytest.approx(lost / 21)
