"""Bare days as they are lived: small invented yards counted year by year, error by error."""

from __future__ import annotations

import json
from dataclasses import replace
from itertools import product

import numpy as np
import pytest
from asking import outlook, yard

from bloomline.cli.compare import comparison_lines, comparison_object
from bloomline.cli.season import season_lines, season_object
from bloomline.engine.bands import NORMAL_NODES
from bloomline.files.json_text import json_pieces
from bloomline.model.yard import PlaceChoice
from bloomline.plan.forecast.report import SeasonReport
from bloomline.plan.season.advice import advice_for
from bloomline.plan.season.scenarios import Scenario, compare
from bloomline.plan.season.solve import solve_yard, warmth_order
from bloomline.plan.season.words import bare_words, figure
from bloomline.plan.season.yard import report_of, season_report

POINTS = ("expected", "p10", "p90", "coldest", "warmest")


def at(of, name, latitude_deg, longitude_deg, elevation_m):
    place = PlaceChoice(
        name=name,
        latitude_deg=latitude_deg,
        longitude_deg=longitude_deg,
        elevation_m=elevation_m,
    )
    return of.model_copy(update={"place": place})


# A crocus, then nothing for weeks; no day of the crocus is in colour in most of the years.
GAP = yard(
    [
        ("tulipa-queen-of-night", "2026-11-15"),
        ("narcissus-geranium", "2026-10-15"),
        ("crocus-tommasinianus-ruby-giant", "2026-10-15"),
    ]
)
# A deep pot that is in colour for six weeks of a span of ten.
DEEP = at(
    yard(
        [
            ("tulipa-west-point", "2026-10-10"),
            ("narcissus-geranium", "2026-10-10"),
            ("crocus-vernus-pickwick", "2026-10-10"),
        ]
    ),
    "Bath",
    51.381,
    -2.359,
    40.0,
)
# Three pots whose gaps fall on other days each year, so that none is likely to be bare.
ELUSIVE = at(
    yard(
        [
            ("narcissus-avalanche", "2026-09-25"),
            ("crocus-tommasinianus", "2026-10-01"),
            ("galanthus-woronowii", "2026-09-25"),
        ],
        [("tulipa-queen-of-night", "2026-11-10")],
        [("muscari-aucheri-mount-hood", "2026-10-01")],
    ),
    "Bristol",
    51.45,
    -2.58,
    15.0,
)
YARDS = {"gap": GAP, "deep": DEEP, "elusive": ELUSIVE}


def report(of, **fields) -> SeasonReport:
    return season_report(outlook(of, **fields))


def counted(of, years):
    """Bare days and days of colour of some weather years, every combination of errors walked."""
    worked = solve_yard(outlook(of))
    solved = worked.solved
    kinds = sorted({planting.cultivar.id for planting in solved.plantings})
    noon = np.arange(worked.n_days) + 0.5
    start, end = solved.in_flower()
    found = []
    for year in years:
        bare, colour = [], []
        for nodes in product(NORMAL_NODES, repeat=len(kinds)):
            shown = np.zeros(worked.n_days, dtype=bool)
            for row, planting in enumerate(solved.plantings):
                shift = nodes[kinds.index(planting.cultivar.id)] * solved.uncertainty.cultivar[row]
                shown |= (start[row, year] + shift <= noon) & (noon < end[row, year] + shift)
            lit = np.flatnonzero(shown)
            colour.append(len(lit))
            bare.append(lit[-1] - lit[0] + 1 - len(lit) if len(lit) else np.nan)
        found.append((np.mean(bare), np.mean(colour)))
    return found


@pytest.mark.parametrize("name", ["gap", "deep"])
def test_every_year_is_counted_by_itself(name):
    of = YARDS[name]
    worked = solve_yard(outlook(of))
    order = warmth_order(worked.solved)
    found = report(of)
    by_hand = counted(of, [order[0], order[-1]])
    assert [found.bare_days.coldest, found.bare_days.warmest] == pytest.approx(
        [bare for bare, _ in by_hand]
    )
    assert [7 * found.weeks_of_colour.coldest, 7 * found.weeks_of_colour.warmest] == pytest.approx(
        [colour for _, colour in by_hand]
    )


@pytest.mark.parametrize("name", list(YARDS))
def test_the_figures_of_all_years_are_those_of_each_one(name):
    of = YARDS[name]
    found = report(of)
    n_years = 21
    singles = [report(of, weather_year=rank) for rank in range(n_years)]
    for figures in ("bare_days", "weeks_of_colour", "weeks_of_scent", "crowded_days"):
        spread = getattr(found, figures)
        alone = [getattr(single, figures) for single in singles]
        for each in alone:
            assert {getattr(each, point) for point in POINTS} == {each.expected}
        values = np.array([each.expected for each in alone])
        assert spread.expected == pytest.approx(values.mean())
        # Hazen's plotting positions, by NumPy.
        assert [spread.p10, spread.p90] == pytest.approx(
            np.quantile(values, [0.1, 0.9], method="hazen").tolist()
        )
        assert (spread.coldest, spread.warmest) == pytest.approx((values[0], values[-1]))
        assert values.min() - 1e-9 <= spread.p10 <= spread.p90 <= values.max() + 1e-9
        assert values.min() - 1e-9 <= spread.expected <= values.max() + 1e-9


@pytest.mark.parametrize("name", ["gap", "deep"])
def test_a_gap_that_every_year_has_is_counted_and_hatched(name):
    found = report(YARDS[name])
    assert found.bare_days.p10 > 10
    (gap, *_) = sorted(found.bare, key=lambda stretch: -stretch.days)
    assert gap.days >= 30
    season = found.usual_season
    assert season.first <= gap.first < gap.last < season.last
    # It ends where narcissi are likely.
    narcissus = next(each for each in found.layers if each.name.startswith("Narcissus"))
    assert abs((narcissus.start.p50 - gap.last).days) <= 2


def test_bare_days_that_are_others_each_year_are_told_where_none_is_hatched():
    found = replace(report(ELUSIVE), bare=())
    assert found.bare_days.expected > 5
    words = "\n".join(season_lines(found))
    assert "No bare stretch" in words and "fall differently each year" in words
    told = [each.message for each in advice_for(outlook(ELUSIVE))]
    assert f"Counted year by year, {bare_words(found)}." in told


@pytest.mark.parametrize("name", list(YARDS))
@pytest.mark.parametrize("threshold", [0.2, 0.5, 0.8])
def test_hatched_are_the_unlikely_days_of_the_usual_season(name, threshold):
    of = YARDS[name]
    settings = of.settings.model_copy(update={"bare_threshold": threshold})
    found = report(of.model_copy(update={"settings": settings}))
    season = found.usual_season
    hatched = {
        day
        for stretch in found.bare
        for day in range(stretch.first.toordinal(), stretch.last.toordinal() + 1)
    }
    for day in range(season.first.toordinal(), season.last.toordinal() + 1):
        unlikely = found.coverage[day - found.first_day.toordinal()] < threshold - 1e-9
        near_end = min(day - season.first.toordinal(), season.last.toordinal() - day) < 2
        assert (day in hatched) == unlikely or (near_end and unlikely)
    assert not hatched - set(range(season.first.toordinal(), season.last.toordinal() + 1))
    # The median first flower of the yard is that of its earliest layer, or before it.
    starts = [layer.start.p50 for layer in found.layers if layer.start]
    ends = [layer.end.p50 for layer in found.layers if layer.end]
    # (Later where frost takes the earliest in some years: its dates are those of all years.)
    assert -4 <= (min(starts) - season.first).days <= 12
    assert -1 <= (season.last - max(ends)).days + 1 <= 12


def test_a_year_in_which_frost_takes_everything_counts_the_whole_usual_season():
    def taken(worked, lost):
        killed = np.broadcast_to(lost, worked.solved.killed.shape)
        return replace(worked, solved=replace(worked.solved, killed=killed))

    plain = solve_yard(outlook(GAP))
    order = warmth_order(plain.solved)
    lost = np.zeros(len(order), dtype=bool)
    lost[order[:2]] = True  # the two coldest
    some = taken(plain, lost)
    found = report_of(some)
    usual = found.usual_season
    assert found.bare_days.coldest == usual.days
    assert found.weeks_of_colour.coldest == 0.0
    kept = [report(GAP, weather_year=rank).bare_days.expected for rank in range(2, len(order))]
    assert found.bare_days.expected == pytest.approx((sum(kept) + 2 * usual.days) / len(order))
    # That year by itself says the same.
    single = solve_yard(outlook(GAP, weather_year=0))
    assert single.every_year is not None
    alone = report_of(replace(taken(single, True), every_year=some.solved))
    assert alone.bare_days.expected == usual.days
    assert alone.usual_season == usual
    assert [(stretch.first, stretch.last) for stretch in alone.bare] == [(usual.first, usual.last)]


def test_a_yard_that_never_flowers_has_no_season():
    never = report(yard([("tulipa-shirley", "2026-11-15")], place="Miami"))
    assert never.usual_season is None and never.bare == ()
    assert {getattr(never.bare_days, point) for point in POINTS} == {0.0}
    assert season_object(never)["usual_season"] is None
    assert bare_words(never) == ""


@pytest.mark.parametrize("name", ["gap", "deep"])
def test_the_only_pot_has_the_weeks_of_the_yard(name):
    found = report(YARDS[name])
    (pot,) = found.pots
    for figures in ("weeks_of_colour", "weeks_of_scent"):
        mine, whole = getattr(pot, figures), getattr(found, figures)
        assert [getattr(mine, point) for point in POINTS] == pytest.approx(
            [getattr(whole, point) for point in POINTS]
        )


def test_killed_years_show_nothing_even_where_they_keep_their_dates():
    worked = solve_yard(outlook(GAP))
    killed = worked.solved.killed.copy()
    killed[1, 4] = True
    start, end = replace(worked.solved, killed=killed).in_flower()
    assert np.isnan(start[1, 4]) and np.isnan(end[1, 4])
    assert np.isfinite(worked.solved.days.start[1, 4])
    assert np.isfinite(start[1, 5])


def test_command_line_and_words_give_the_same_figures():
    found = report(GAP)
    answer = json.loads("".join(json_pieces(season_object(found))))
    for name in ("bare_days", "weeks_of_colour", "weeks_of_scent", "crowded_days"):
        assert answer[name] == {
            point: round(getattr(getattr(found, name), point), 1) for point in POINTS
        }
    for pot in answer["pots"]:
        assert set(pot["weeks_of_colour"]) == set(pot["weeks_of_scent"]) == set(POINTS)
    bare = found.bare_days
    (row,) = [line for line in season_lines(found) if line.startswith("bare days")]
    mean, p10, p90, coldest, warmest = (figure(getattr(bare, point)) for point in POINTS)
    assert row.split()[2:] == [mean, f"{p10}–{p90}", coldest, warmest]
    words = bare_words(found)
    assert words.startswith(f"{mean} bare days")
    assert f"{p10}–{p90} in eight years of ten" in words
    assert f"{coldest} in the coldest winter, {warmest} in the warmest" in words
    single = report(GAP, weather_year=0)
    assert "in this year alone" in "\n".join(season_lines(single))
    assert "in this weather year alone" in bare_words(single)
    compared = compare(outlook(GAP), Scenario(), Scenario(weather_year="coldest"))
    (row,) = [line for line in comparison_lines(compared) if line.startswith("bare days")]
    assert row.split()[2:4] == [mean, coldest]
    assert int(row.split()[4]) == int(coldest) - int(mean)
    sides = comparison_object(compared)
    assert sides["difference"]["bare_days"] == round(
        sides["b"]["bare_days"] - sides["a"]["bare_days"], 1
    )
