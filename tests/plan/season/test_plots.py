"""What is kept from one look at a yard to the next gives the answers of a first look."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from asking import TODAY, catalogue, outlook, yard

from bloomline.model import edits
from bloomline.model.yard import OwnCultivar
from bloomline.plan.forecast.forecaster import Forecaster
from bloomline.plan.season.outlook import Outlook
from bloomline.plan.season.plots import PlotKeep
from bloomline.plan.season.solve import solve_yard
from bloomline.plan.season.yard import season_report

ROWS = [
    ("tulipa-negrita", "2026-11-14"),
    ("narcissus-tete-a-tete", "2026-10-10"),
    ("crocus-speciosus", "2026-08-15"),
]


def three_pots():
    one = yard(ROWS)
    (pot,) = one.pots
    pots = tuple(
        pot.model_copy(
            update={
                "id": f"pot-{at}",
                "layers": tuple(
                    each.model_copy(update={"id": f"{each.id}-{at}"}) for each in pot.layers
                ),
            }
        )
        for at in range(3)
    )
    return one.model_copy(update={"pots": pots})


def own_kind(of, **fields):
    base = catalogue().get("tulipa-negrita").model_dump() | {"id": "own-negrita", **fields}
    return of.model_copy(update={"own_cultivars": (OwnCultivar.model_validate(base),)})


def plots_of(keep, of):
    return keep.of(of, catalogue())


def test_layers_planted_alike_are_one_plot():
    plots = plots_of(PlotKeep(), three_pots())
    assert len(plots.plots) == 3
    assert plots.n_layers.tolist() == [3, 3, 3]
    assert plots.numbers == ((0, 1, 2),) * 3
    assert plots.of_layer.tolist() == [0, 1, 2] * 3


def test_the_same_pots_are_read_once():
    keep, of = PlotKeep(), three_pots()
    plots = plots_of(keep, of)
    assert plots_of(keep, edits.set_season_year(of, 2028)) is plots
    edited = edits.set_planted(of, [of.pots[1].layers[0].id], date(2026, 12, 1))
    after = plots_of(keep, edited)
    assert after is not plots
    assert after.of_pot[id(edited.pots[0])] is plots.of_pot[id(of.pots[0])]
    assert len(after.plots) == 4
    assert plots_of(keep, of) is plots


def test_what_all_pots_rest_on_makes_them_read_anew():
    keep, of = PlotKeep(), three_pots()
    plots = plots_of(keep, of)
    warmer = plots_of(keep, edits.set_site_offset(of, "open", 2.0))
    assert {plot.standing.site_offset_c for plot in warmer.plots} == {2.0}
    assert {plot.standing.site_offset_c for plot in plots_of(keep, of).plots} == {0.0}
    mine = own_kind(of)
    layer = mine.pots[0].layers[0]
    mine = edits.change_layer(mine, layer.id, cultivar_id="own-negrita")
    tall = own_kind(mine, height_cm=99.0)
    for seen in (mine, tall, mine):
        kinds = {plot.cultivar.id: plot.cultivar for plot in plots_of(keep, seen).plots}
        assert kinds["own-negrita"] is seen.own_cultivars[0]
    assert [plot.cultivar.id for plot in plots_of(keep, of).plots] == [
        plot.cultivar.id for plot in plots.plots
    ]


def plain(report):
    return [
        (layer.layer_id, layer.start, layer.end, layer.reason, layer.advice, layer.chance.tolist())
        for layer in report.layers
    ] + [report.weeks_of_colour, report.bare_days, report.crowded_days, report.coverage.tolist()]


def steps(of):
    """A yard after one edit after another, as a gardener makes them."""
    first, second = of.pots[0].layers[0].id, of.pots[1].layers[1].id
    yield (of := edits.set_planted(of, [first], date(2026, 12, 1)))
    yield (of := edits.change_pot(of, "pot-1", site="warm-wall"))
    yield (of := edits.change_layer(of, second, prechill_weeks=4.0))
    yield (of := edits.remove_layer(of, first))
    yield (of := edits.change_pot(of, "pot-2", top_width_cm=60.0))
    yield (of := edits.change_layer(of, second, lifted_on=date(2027, 4, 1)))
    yield (of := edits.set_site_offset(of, "open", 1.5))
    yield (of := edits.set_season_year(of, 2028))
    yield edits.set_season_year(of, 2027)


def test_a_yard_edited_again_and_again_is_answered_like_a_fresh_one():
    of = three_pots()
    here = outlook(of)
    season_report(here)
    for edited in steps(of):
        here = here.with_(yard=edited)
        fresh = Outlook.of(edited, catalogue=catalogue(), forecaster=Forecaster(), today=TODAY)
        assert plain(season_report(here)) == plain(season_report(fresh))


@pytest.mark.parametrize("days", [1, 40])
def test_an_edit_solves_the_rows_it_changed_alone(monkeypatch, days):
    from bloomline.plan.forecast import forecaster as module

    solved = []
    real = module.flowering_days

    def counting(sums, *, plantings, **laws):
        solved.append(len(plantings.zone))
        return real(sums, plantings=plantings, **laws)

    monkeypatch.setattr(module, "flowering_days", counting)
    of = three_pots()
    here = outlook(of)
    before = solve_yard(here)
    solved.clear()
    layer = of.pots[0].layers[0]
    edited = edits.set_planted(of, [layer.id], layer.planted + timedelta(days=days))
    after = solve_yard(here.with_(yard=edited))
    assert solved == [1]
    # Of what stayed, the very days; and nothing is solved to see them again.
    kept = [after.solved.plantings.index(each) for each in before.solved.plantings]
    assert np.array_equal(after.solved.days.start[kept], before.solved.days.start, equal_nan=True)
    solve_yard(here.with_(yard=edited).with_(today=date(2026, 9, 2)))
    assert solved == [1]
