"""What must hold for any kind, place, pot and day."""

from __future__ import annotations

import calendar
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
from asking import (
    FIRST_DAY,
    GROUND,
    POT,
    ask,
    catalogue,
    forecaster,
    garden,
    mirrored,
    one_years_weather,
    solve,
    steady,
)
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from bloomline.plan.climate.surroundings import Standing
from bloomline.plan.forecast.planting_day import usual_planting_day
from bloomline.plan.forecast.plantings import Planting

FIRST = date(2026, 6, 1)
AUTUMN = sorted(kind.id for kind in catalogue() if kind.season_planted == "autumn")
# Few different standings, so that their sums are made once.
STANDINGS = (POT, GROUND, Standing(radius_cm=9.0, material="metal", wall_cm=0.2))
PLACES = ("London", "Minneapolis")

kinds = st.sampled_from(sorted(kind.id for kind in catalogue()))
autumn_kinds = st.sampled_from(AUTUMN)
places = st.sampled_from(PLACES)
standings = st.sampled_from(STANDINGS)
autumn_days = st.integers(80, 240).map(lambda day: FIRST + timedelta(days=day))
any_days = st.integers(0, 364).map(lambda day: FIRST + timedelta(days=day))
few = settings(max_examples=30)


@given(kinds, places, standings, any_days, st.floats(0.0, 14.0), st.booleans())
@few
def test_bands_are_ordered_from_nose_to_yellow_leaves(
    cultivar_id, place, standing, planted, weeks, established
):
    answer = ask(
        place,
        cultivar_id,
        planted,
        standing=standing,
        prechill_weeks=weeks,
        established=established,
    )
    assert (answer.start is None) == (answer.reason is not None)
    bands = [answer.nose, answer.start, answer.full, answer.end, answer.leaves_over]
    shown = [band for band in bands if band is not None]
    if answer.start is None:
        assert not shown
    for band in shown:
        assert band.p10 <= band.p50 <= band.p90
    for part in ("p10", "p50", "p90"):
        days = [getattr(band, part) for band in shown]
        assert days == sorted(days)
    assert 0.0 <= answer.killed_share <= 1.0
    assert answer.killed_share + answer.too_little_cold_share <= 1.0 + 1e-9


@given(kinds, places, standings, any_days, st.integers(1, 90))
@few
def test_a_later_planting_never_flowers_earlier(cultivar_id, place, standing, planted, later):
    assume((planted - FIRST).days + later < 365)
    after = planted + timedelta(days=later)
    solved = solve(
        place,
        (cultivar_id, planted, {"standing": standing}),
        (cultivar_id, after, {"standing": standing}),
    )
    both = np.isfinite(solved.days.start).all(axis=0)
    assert (solved.days.start[1] >= solved.days.start[0] - 1e-6)[both].all()
    ends = np.isfinite(solved.days.end).all(axis=0)  # some fall beyond the axis
    assert (solved.days.end[1] >= solved.days.end[0] - 1e-6)[both & ends].all()
    if both.all():
        bands = solved.bands("start")
        for days in (bands.p10, bands.p50, bands.p90):
            assert days[1] >= days[0] - 1e-6


@given(kinds, st.sampled_from(("London", "Miami")), standings, any_days, st.floats(0.1, 14.0))
@few
def test_more_weeks_of_pre_chilling_never_delay(cultivar_id, place, standing, planted, weeks):
    rows = [
        (cultivar_id, planted, {"standing": standing, "prechill_weeks": more})
        for more in (0.0, weeks / 2, weeks)
    ]
    solved = solve(place, *rows)
    start = solved.days.start
    for more in (1, 2):
        known = np.isfinite(start[more - 1]) & np.isfinite(start[more])
        assert (start[more] <= start[more - 1] + 1e-6)[known].all()


def test_pre_chilling_never_makes_buds_fail_at_the_usual_planting_day():
    for place in ("London", "Minneapolis"):
        rows = []
        for cultivar_id in AUTUMN[::7]:
            kind = catalogue().get(cultivar_id)
            day = usual_planting_day(kind, garden=garden(place), first_day=FIRST_DAY)
            rows += [
                (cultivar_id, day, {"standing": GROUND, "prechill_weeks": weeks})
                for weeks in (0.0, 5.0, 14.0)
            ]
        blind = solve(place, *rows).blind.mean(axis=1).reshape(-1, 3)
        assert (np.diff(blind, axis=1) <= 0.05).all()


def test_pre_chilling_never_makes_buds_fail_after_an_early_planting():
    rows = [
        ("tulipa-prinses-irene", date(2026, 8, 20), {"standing": GROUND, "prechill_weeks": weeks})
        for weeks in (0.0, 4.0, 6.0, 8.0)
    ]
    share = solve("London", *rows).flowering_share()
    assert (np.diff(share) >= 0).all()


@given(autumn_kinds, places, autumn_days, st.integers(0, 20), st.floats(0.5, 10.0))
@few
def test_warmth_after_the_cold_need_is_met_never_delays(cultivar_id, place, planted, year, warmer):
    row = (cultivar_id, planted, {"standing": GROUND})
    measured = solve(place, row, recorded=one_years_weather(place, year))
    met = measured.days.cold_met[0, 0]
    if catalogue().get(cultivar_id).needs_cold:
        assume(np.isfinite(met))
    else:
        met = float((planted - FIRST).days)
    warm = one_years_weather(place, year, warmer_from=FIRST_DAY + int(met), warmer_c=warmer)
    warmed = solve(place, row, recorded=warm)
    was, now = np.nan_to_num([measured.days.start[0], warmed.days.start[0]], nan=1e9)
    assert (now <= was + 1e-6).all()


def half_a_year_on(day):
    """The same day of the month, six months later."""
    year, month = divmod(day.year * 12 + day.month - 1 + 6, 12)
    last = calendar.monthrange(year, month + 1)[1]
    return date(year, month + 1, min(day.day, last))


@given(
    st.sampled_from([kind for kind in AUTUMN if catalogue().get(kind).needs_cold]),
    places,
    st.sampled_from((POT, GROUND)),
    st.integers(122, 200),
)
@settings(max_examples=50)
def test_half_a_year_turns_a_northern_place_into_a_southern_one(
    cultivar_id, place, standing, index
):
    kind = catalogue().get(cultivar_id)
    planted = FIRST + timedelta(days=index)
    north, south = (
        forecaster().solve(
            [Planting(kind, day, standing)], garden=here, first_day=np.datetime64(first_day)
        )
        for here, day, first_day in (
            (steady(place), planted, "2026-06-01"),
            (mirrored(place), half_a_year_on(planted), "2026-12-01"),
        )
    )
    assert abs(north.flowering_share()[0] - south.flowering_share()[0]) <= 0.2
    if north.flowering_share()[0] != south.flowering_share()[0] or not north.flowering_share()[0]:
        return
    start, end = north.bands("start"), north.bands("end")
    if not start.p10[0] > 245:
        # Months differ in length, and before February a day's warmth stands for many days.
        return
    southern_start, southern_end = south.bands("start"), south.bands("end")
    for part in ("p10", "p50", "p90"):
        for here, there in ((start, southern_start), (end, southern_end)):
            wanted = half_a_year_on(north.date_of(getattr(here, part)[0]))
            # Three days, and the rounding to whole days.
            assert abs((south.date_of(getattr(there, part)[0]) - wanted).days) <= 4


@given(autumn_kinds, places)
@few
def test_the_usual_planting_day_is_half_a_year_on_in_the_south(cultivar_id, place):
    kind = catalogue().get(cultivar_id)
    first_days = (FIRST_DAY, np.datetime64("2026-12-01"))
    north, south = (
        (usual_planting_day(kind, garden=here, first_day=first) - first.astype(object)).days
        for here, first in zip((garden(place), mirrored(place)), first_days, strict=True)
    )
    assert abs(north - south) <= 3


@given(kinds, places, standings)
@few
def test_established_bulbs_open_as_much_earlier_as_their_kind_says(cultivar_id, place, standing):
    kind = catalogue().get(cultivar_id)
    day = usual_planting_day(kind, garden=garden(place), first_day=FIRST_DAY)
    solved = solve(
        place,
        (cultivar_id, day, {"standing": standing}),
        (cultivar_id, day, {"standing": standing, "established": True}),
    )
    start = solved.days.start
    both = np.isfinite(start).all(axis=0)
    if kind.established_shift_days >= 0:
        assert (start[1] <= start[0] + 1e-6)[both].all()
    else:
        assert (start[1] >= start[0] - 1e-6)[both].all()
    assert solved.uncertainty.cultivar[1] >= solved.uncertainty.cultivar[0]


@given(autumn_kinds, places, autumn_days, st.sampled_from((0.0, -1.5, -3.0)))
@few
def test_a_colder_spot_never_kills_in_fewer_years(cultivar_id, place, planted, offset):
    solved = solve(
        place,
        *(
            (cultivar_id, planted, {"standing": replace(POT, site_offset_c=by)})
            for by in (0.0, offset)
        ),
    )
    assert (solved.killed[1] >= solved.killed[0]).all()


@given(autumn_kinds, autumn_days)
@few
def test_the_ground_never_kills_where_a_pot_does_not(cultivar_id, planted):
    solved = solve(
        "Minneapolis",
        (cultivar_id, planted, {"standing": POT}),
        (cultivar_id, planted, {"standing": GROUND}),
    )
    # Bulbs that wait for a second winter in the ground meet its frost, the others don't.
    first_winter = np.isfinite(solved.days.start[1])
    assert (solved.killed[1] <= solved.killed[0])[first_winter].all()


@given(kinds, places, any_days)
@few
def test_every_year_flowers_or_has_one_reason_why_not(cultivar_id, place, planted):
    solved = solve(place, (cultivar_id, planted, {}))
    reasons = solved.blind.astype(int) + solved.killed + solved.too_late
    start, end = solved.in_flower()
    np.testing.assert_array_equal(reasons, np.isnan(start).astype(int))
    np.testing.assert_array_equal(reasons, np.isnan(end).astype(int))
    for name in ("nose", "full"):
        np.testing.assert_array_equal(
            np.isnan(getattr(solved.days, name)), np.isnan(solved.days.start)
        )
