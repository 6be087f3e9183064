"""A yard's colour by day against counting every node, year and day by hand."""

from __future__ import annotations

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bloomline.engine.bands import NORMAL_NODES
from bloomline.engine.in_flower import InFlower
from bloomline.engine.season import (
    Run,
    YearlySeason,
    bare_days,
    bare_runs,
    crowded_runs,
    garden_spread,
    range_of_years,
    runs_where,
    years_by_warmth,
)


def windows(seed, *, n, n_years):
    rng = np.random.default_rng(seed)
    start = rng.uniform(5, 60, (n, n_years))
    end = start + rng.uniform(2, 15, (n, n_years))
    gone = rng.random((n, n_years)) < 0.15
    start[gone] = np.nan
    end[gone] = np.nan
    return start, end, rng.uniform(0, 6, n)


def in_flower(start, *, end, cultivar, sd, n_days):
    return InFlower(
        start,
        end=end,
        cultivar=np.asarray(cultivar),
        cultivar_sd_days=np.asarray(sd, dtype=float),
        n_days=n_days,
    )


def yearly(start, *, layers=None, **fields):
    rows = np.arange(len(start))
    many = np.ones(len(start), dtype=int) if layers is None else layers
    return YearlySeason(in_flower(start, **fields), rows, layers=many)


def realisations(start, end, cultivar, sd, *, n_days, layers):
    """Layers in flower on each day for every combination of the cultivars' nodes in one year."""
    noon = np.arange(n_days) + 0.5
    names = sorted(set(cultivar))
    for nodes in itertools.product(NORMAL_NODES, repeat=len(names)):
        error = dict(zip(names, nodes, strict=True))
        shown = np.zeros(n_days, dtype=int)
        for row in range(len(start)):
            shift = error[cultivar[row]] * sd[row]
            shown += layers[row] * (
                (start[row] + shift <= noon) & (noon < end[row] + shift)
            ).astype(int)
        yield shown


def inside_of(shown):
    """Whether each day lies from the first to the last day with a flower."""
    inside = np.zeros(len(shown), dtype=bool)
    lit = np.flatnonzero(shown)
    if len(lit):
        inside[lit[0] : lit[-1] + 1] = True
    return inside


@given(
    seed=st.integers(0, 10_000),
    cultivar=st.lists(st.integers(0, 2), min_size=1, max_size=5),
    limit=st.integers(0, 4),
)
@settings(max_examples=25, deadline=None)
def test_each_year_counts_what_all_combinations_of_errors_count(seed, cultivar, limit):
    n, n_years, n_days = len(cultivar), 2, 80
    start, end, sd = windows(seed, n=n, n_years=n_years)
    rng = np.random.default_rng(seed + 1)
    start -= rng.choice([0.0, 12.0])  # some begin before the axis
    end -= rng.choice([0.0, 4.0])  # some last no day
    layers = rng.integers(1, 4, n)
    got = yearly(start, end=end, cultivar=cultivar, sd=sd, n_days=n_days, layers=layers)
    colour, begun, goes_on = got.colour(), got.begun(), got.goes_on()
    crowd = got.crowd(limit=limit)
    season = Run(3, 40)
    found = bare_days(colour, begun=begun, goes_on=goes_on, garden_sd_days=0.0, season=season)
    for year in range(n_years):
        all_shown = np.array(
            list(
                realisations(
                    start[:, year], end[:, year], cultivar, sd, n_days=n_days, layers=layers
                )
            )
        )
        inside = np.array([inside_of(shown) for shown in all_shown])
        np.testing.assert_allclose(colour[year], (all_shown > 0).mean(axis=0), atol=1e-12)
        np.testing.assert_allclose(crowd[year], (all_shown > limit).mean(axis=0), atol=1e-12)
        np.testing.assert_allclose(
            begun[year], np.logical_or.accumulate(inside, axis=1).mean(axis=0), atol=1e-12
        )
        # A season without a flower counts the usual one.
        bare = [
            float((within & (shown == 0)).sum()) if shown.any() else float(season.days)
            for within, shown in zip(inside, all_shown, strict=True)
        ]
        assert found.by_year[year] == pytest.approx(np.mean(bare))


def test_a_large_crowd_is_counted_in_steps_that_keep_the_mean():
    # Against drawing the cultivars' errors at random: 40 kinds of 20 to 60 layers.
    rng = np.random.default_rng(5)
    n, n_days = 40, 70
    start, sd = rng.uniform(20, 40, (n, 1)), rng.uniform(1, 6, n)
    end = start + rng.uniform(5, 15, (n, 1))
    layers = rng.integers(20, 60, n)
    found = yearly(start, end=end, cultivar=range(n), sd=sd, n_days=n_days, layers=layers)
    shift = rng.choice(NORMAL_NODES, (4000, n)) * sd
    noon = np.arange(n_days) + 0.5
    count = np.zeros((4000, n_days))
    for row in range(n):
        opens, closes = (each[row, 0] + shift[:, row, None] for each in (start, end))
        count += layers[row] * ((opens <= noon) & (noon < closes))
    for limit in (49, 120, 400, 700):
        drawn = (count > limit).mean(axis=0)
        np.testing.assert_allclose(found.crowd(limit=limit)[0], drawn, atol=0.05)
    # What is sure stays sure, one layer above the limit or at it.
    alone = yearly(
        np.array([[10.0]]),
        end=np.array([[15.0]]),
        cultivar=[0],
        sd=[0.0],
        n_days=20,
        layers=np.array([200]),
    )
    assert alone.crowd(limit=199).sum() == 5.0
    assert alone.crowd(limit=200).sum() == 0.0


@given(st.integers(0, 10_000), st.floats(0.5, 9.0))
@settings(max_examples=10, deadline=None)
def test_what_is_not_known_of_the_garden_changes_no_number_of_days(seed, garden_sd):
    start, end, sd = windows(seed, n=3, n_years=1)
    start, end = start + 40.0, end + 40.0
    if not np.isfinite(start).any():
        return
    counts = []
    for node in NORMAL_NODES:
        moved = yearly(
            start + node * garden_sd,
            end=end + node * garden_sd,
            cultivar=[0, 1, 2],
            sd=sd,
            n_days=160,
        )
        counts.append(
            bare_days(
                moved.colour(),
                begun=moved.begun(),
                goes_on=moved.goes_on(),
                garden_sd_days=0.0,
                season=None,
            ).by_year[0]
        )
    # Only where noons fall within an interval differs: no more than a day at each of its ends.
    assert max(counts) - min(counts) <= 2.0
    assert np.mean(counts) == pytest.approx(counts[3], abs=1.0)


def test_a_gap_is_bare_though_no_day_is_ever_likely_to_be_in_colour():
    # By hand: five days in flower, five without, five in flower; each year long after the other.
    start = np.array([[10.0, 60.0, 35.0], [20.0, 70.0, 45.0]])
    found = yearly(start, end=start + 5, cultivar=[0, 1], sd=[0.0, 0.0], n_days=90)
    colour, begun, goes_on = found.colour(), found.begun(), found.goes_on()
    bare = bare_days(colour, begun=begun, goes_on=goes_on, garden_sd_days=0.0, season=None)
    assert bare.by_year.tolist() == [5.0, 5.0, 5.0]
    assert bare.season == Run(35, 49)  # that of the middle year
    chance = colour.mean(axis=0)
    assert chance.max() == pytest.approx(1 / 3)
    assert bare_runs(chance, season=bare.season) == [Run(35, 49)]
    assert bare_runs(chance, season=bare.season, threshold=0.3) == [Run(40, 44)]


def test_bare_days_that_are_others_each_year_are_counted_though_none_is_unlikely():
    # By hand: in colour from day 10 to 40 but for five days, which are others each year.
    gap = np.array([15.0, 22.0, 29.0])
    start = np.stack([np.full(3, 10.0), gap + 5])
    end = np.stack([gap, np.full(3, 40.0)])
    found = yearly(start, end=end, cultivar=[0, 1], sd=[0.0, 0.0], n_days=60)
    colour, begun, goes_on = found.colour(), found.begun(), found.goes_on()
    bare = bare_days(colour, begun=begun, goes_on=goes_on, garden_sd_days=0.0, season=None)
    assert bare.by_year.tolist() == pytest.approx([5.0, 5.0, 5.0])
    assert bare.season == Run(10, 39)
    assert bare_runs(colour.mean(axis=0), season=bare.season) == []


def test_a_year_without_any_flower_is_bare_for_the_whole_usual_season():
    start = np.array([[10.0, 12.0, np.nan, 14.0]])
    found = yearly(start, end=start + 6, cultivar=[0], sd=[0.0], n_days=40)
    bare = bare_days(
        found.colour(),
        begun=found.begun(),
        goes_on=found.goes_on(),
        garden_sd_days=0.0,
        season=None,
    )
    assert bare.season == Run(12, 17)
    assert bare.by_year.tolist() == [0.0, 0.0, 6.0, 0.0]
    never = yearly(
        np.full((2, 3), np.nan),
        end=np.full((2, 3), np.nan),
        cultivar=[0, 1],
        sd=[1.0, 1.0],
        n_days=40,
    )
    none = bare_days(
        never.colour(),
        begun=never.begun(),
        goes_on=never.goes_on(),
        garden_sd_days=2.0,
        season=None,
    )
    assert none.season is None and none.by_year.tolist() == [0.0, 0.0, 0.0]
    assert bare_runs(np.zeros(40), season=None) == []


def test_layers_of_one_cultivar_err_together():
    start = np.array([[20.0], [20.0]])

    def colour(rows, cultivar):
        some = start[:rows]
        sd = np.full(rows, 5.0)
        return yearly(some, end=some + 8, cultivar=cultivar, sd=sd, n_days=50).colour()

    shared, single, apart = colour(2, [0, 0]), colour(1, [0]), colour(2, [0, 1])
    np.testing.assert_array_equal(shared, single)
    assert (apart >= single).all()
    np.testing.assert_allclose(apart, 1 - (1 - single) ** 2)


def test_an_empty_yard_has_no_colour():
    none = np.zeros((0, 5))
    empty = yearly(none, end=none, cultivar=np.zeros(0, int), sd=[], n_days=30)
    for table in (empty.colour(), empty.begun(), empty.goes_on(), empty.crowd(limit=0)):
        assert table.shape == (5, 30)
        assert not table.any()


def test_the_gardens_error_blurs_but_neither_makes_nor_takes_colour():
    by_day = np.zeros((2, 100))
    by_day[0, 40:60] = 1.0
    by_day[1, 30:35] = 0.5
    blurred = garden_spread(by_day, garden_sd_days=3.0)
    np.testing.assert_allclose(blurred.sum(axis=1), by_day.sum(axis=1))
    for day in (25, 33, 38, 41, 50, 59, 61):
        expected = np.mean(
            [np.interp(day - 3.0 * node, np.arange(100), by_day[0]) for node in NORMAL_NODES]
        )
        assert blurred[0, day] == pytest.approx(expected)
    np.testing.assert_array_equal(garden_spread(by_day, garden_sd_days=0.0), by_day)
    np.testing.assert_allclose(garden_spread(by_day[1], garden_sd_days=3.0), blurred[1])


@given(st.lists(st.booleans(), max_size=40))
def test_runs_are_the_groups_of_true_days(flags):
    expected, day = [], 0
    for value, group in itertools.groupby(flags):
        length = len(list(group))
        if value:
            expected.append(Run(day, day + length - 1))
        day += length
    assert runs_where(np.array(flags, dtype=bool)) == expected
    assert sum(run.days for run in expected) == sum(flags)


@given(st.lists(st.floats(0.0, 1.0), min_size=1, max_size=40), st.floats(0.01, 0.99), st.data())
def test_bare_stretches_are_the_unlikely_days_of_the_season(coverage, threshold, data):
    first = data.draw(st.integers(0, len(coverage) - 1))
    season = Run(first, data.draw(st.integers(first, len(coverage) - 1)))
    runs = bare_runs(np.array(coverage), season=season, threshold=threshold)
    bare = {day for run in runs for day in range(run.first, run.last + 1)}
    expected, day = set(), season.first
    for unlikely, group in itertools.groupby(
        coverage[season.first : season.last + 1], key=lambda chance: chance < threshold - 1e-9
    ):
        days = [day + i for i, _ in enumerate(group)]
        day = days[-1] + 1
        at_an_end = days[0] == season.first or days[-1] == season.last
        if unlikely and (len(days) > 2 or not at_an_end):
            expected.update(days)
    assert bare == expected


def test_crowds_are_likely_stretches_and_a_lull_ends_none():
    chance = np.zeros(30)
    chance[2:20] = 0.9
    assert crowded_runs(chance) == [Run(2, 19)]
    chance[8:10] = 0.49
    assert crowded_runs(chance) == [Run(2, 19)]
    chance[8:11] = 0.49
    assert crowded_runs(chance) == [Run(2, 7), Run(11, 19)]
    assert crowded_runs(chance, likely=0.4) == [Run(2, 19)]
    assert crowded_runs(np.zeros(30)) == []


@given(
    st.lists(st.floats(0.0, 90.0), min_size=1, max_size=30),
)
def test_the_range_of_years_is_hazens(values):
    # Against NumPy's quantile with Hazen's plotting positions (i + 0.5)/n (Hazen 1914).
    p10, p90 = range_of_years(np.array([values]))
    expected = np.quantile(np.array(values), [0.1, 0.9], method="hazen")
    np.testing.assert_allclose([p10[0], p90[0]], expected, rtol=1e-9, atol=1e-9)
    assert min(values) - 1e-9 <= p10[0] <= p90[0] + 1e-9 <= max(values) + 2e-9


@given(
    seed=st.integers(0, 10_000),
    cultivar=st.lists(st.integers(0, 3), min_size=1, max_size=7),
    n_most=st.integers(1, 7),
)
@settings(max_examples=40, deadline=None)
def test_groups_have_the_colour_that_each_has_alone(seed, cultivar, n_most):
    start, end, sd = windows(seed, n=len(cultivar), n_years=3)
    rng = np.random.default_rng(seed)
    start -= rng.choice([0.0, 12.0])
    groups = rng.integers(-1, len(cultivar), (70, n_most))
    groups[0] = -1
    names = np.array(cultivar)
    table = in_flower(start, end=end, cultivar=names, sd=sd, n_days=80)
    got = table.days_of_groups(groups)
    assert got.shape == (70, 3)
    for found, group in zip(got[:12], groups, strict=False):
        rows = np.unique(group[group >= 0])
        alone = YearlySeason(table, rows, layers=np.ones(len(rows), dtype=int)).colour()
        np.testing.assert_allclose(found, alone.sum(axis=1), atol=1e-9)


def test_years_are_ordered_by_the_warmth_of_the_days_asked_for():
    mean_c = np.full((4, 100), 5.0)
    mean_c[:, 30:60] += np.array([3.0, -2.0, 0.0, 1.0])[:, None]
    mean_c[1, :30] += 50.0
    assert years_by_warmth(mean_c, first=30, last=60).tolist() == [1, 2, 3, 0]
    assert years_by_warmth(mean_c[:, :60], first=0, last=30).tolist() == [0, 2, 3, 1]
    # The first day counts, the last doesn't.
    mean_c[2, 60] = -1e6
    assert years_by_warmth(mean_c, first=30, last=60).tolist() == [1, 2, 3, 0]
