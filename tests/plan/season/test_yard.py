"""A yard's season: the demo, single rules, and one answer with the forecast of one layer."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np
import pytest
from asking import TODAY, catalogue, forecaster, garden, one_years_weather, outlook, yard

from bloomline.errors import UnknownNameError
from bloomline.files.yardfile import load_yard
from bloomline.model.yard import Layer, OwnCultivar, Pot, Settings
from bloomline.plan.climate.garden import garden_named, garden_of
from bloomline.plan.climate.surroundings import standing_of
from bloomline.plan.forecast.one_planting import Request, forecast
from bloomline.plan.forecast.report import SeasonReport
from bloomline.plan.season.yard import season_report, solve_yard


def report(of, **fields) -> SeasonReport:
    return season_report(outlook(of, **fields))


def only(result):
    (layer,) = result.layers
    return layer


@pytest.fixture(scope="session")
def demo(checkout):
    return load_yard(checkout / "demo" / "hollyhock-lane.bloomline").yard


@pytest.fixture(scope="session")
def demo_report(demo):
    return report(demo)


class TestDemo:
    def test_it_has_one_bare_and_one_crowded_stretch_to_find(self, demo_report):
        (bare,) = demo_report.bare
        assert bare.days >= 10
        (crowd,) = demo_report.crowded
        assert len(crowd.layer_ids) > demo_report.crowd_limit
        assert len(demo_report.pots) >= 6 and len(demo_report.layers) >= 16

    def test_every_layer_flowers_or_says_why_not(self, demo_report):
        for layer in demo_report.layers:
            assert (layer.start is None) == (layer.reason is not None)
        assert sum(layer.start is not None for layer in demo_report.layers) >= 14

    def test_a_layers_forecast_is_that_of_the_single_planting(self, demo):
        here = garden_of(demo.place)
        by_id = {layer.layer_id: layer for layer in report(demo, use_records=False).layers}
        compared = 0
        for pot, layer in demo.layers():
            answer = by_id[layer.id]
            if answer.established:
                continue
            alone = forecast(
                Request(
                    id=layer.id,
                    garden=here,
                    cultivar=catalogue().get(layer.cultivar_id),
                    planted=layer.planted,
                    standing=standing_of(pot, site_offset_c=demo.site_offsets.get(pot.site, 0.0)),
                    prechill_weeks=layer.prechill_weeks,
                    cover_cm=layer.cover_cm,
                ),
                forecaster=forecaster(),
                today=TODAY,
            )
            for name in (
                "start",
                "full",
                "end",
                "nose",
                "leaves_over",
                "reason",
                "cold_weeks",
                "cold_weeks_needed",
                "killed_share",
                "too_little_cold_share",
                "cold_met_on",
            ):
                assert getattr(answer, name) == getattr(alone, name), (layer.id, name)
            compared += 1
        assert compared >= 14

    def test_the_same_yard_gives_the_same_report_with_another_forecaster(self, demo, demo_report):
        again = season_report(outlook(demo))
        np.testing.assert_array_equal(again.coverage, demo_report.coverage)
        assert again.bare == demo_report.bare and again.crowded == demo_report.crowded
        assert [layer.start for layer in again.layers] == [x.start for x in demo_report.layers]

    def test_daily_arrays_agree_with_one_another(self, demo_report):
        chance = np.stack([layer.chance for layer in demo_report.layers])
        n_days = len(demo_report.coverage)
        assert chance.shape == (len(demo_report.layers), n_days)
        assert demo_report.last_day == demo_report.first_day + timedelta(days=n_days - 1)
        np.testing.assert_allclose(demo_report.expected_layers, chance.sum(axis=0))
        for values in (chance, demo_report.coverage):
            assert values.min() >= 0.0 and values.max() <= 1.0 + 1e-12
        # The yard's chance puts the garden's error on top of the cultivars', a layer's takes
        # both at once; the two differ by less than a twentieth.
        assert (demo_report.coverage <= chance.sum(axis=0) + 0.05).all()
        assert (demo_report.coverage >= chance.max(axis=0) - 0.07).all()
        assert demo_report.coverage.sum() == pytest.approx(
            7 * demo_report.weeks_of_colour.expected, abs=0.2
        )

    def test_stretches_are_read_from_the_daily_arrays(self, demo_report):
        first = demo_report.first_day
        (bare,) = demo_report.bare
        inside = slice((bare.first - first).days, (bare.last - first).days + 1)
        assert (demo_report.coverage[inside] < demo_report.bare_threshold).all()
        assert demo_report.coverage[inside.start - 1] >= demo_report.bare_threshold
        assert demo_report.coverage[inside.stop] >= demo_report.bare_threshold
        season = demo_report.usual_season
        assert season.first < bare.first and bare.last < season.last
        (crowd,) = demo_report.crowded
        likely = np.stack([layer.chance for layer in demo_report.layers]) >= 0.5
        named = {
            layer.layer_id
            for layer, row in zip(demo_report.layers, likely, strict=True)
            if row[(crowd.first - first).days : (crowd.last - first).days + 1].any()
        }
        assert named == set(crowd.layer_ids)

    def test_layers_of_a_pot_are_in_order_of_first_flower(self, demo_report):
        for pot in demo_report.pots:
            starts = [layer.start.p50 for layer in pot.layers if layer.start is not None]
            assert starts == sorted(starts)

    def test_a_pot_shows_colour_no_longer_than_its_layers_and_the_yard_no_less(self, demo_report):
        for pot in demo_report.pots:
            whole = sum(layer.chance.sum() for layer in pot.layers) / 7.0
            longest = max(layer.chance.sum() for layer in pot.layers) / 7.0
            assert longest - 0.05 <= pot.weeks_of_colour.expected <= whole + 0.05
            assert pot.weeks_of_scent.expected <= pot.weeks_of_colour.expected + 1e-9
            assert pot.weeks_of_colour.expected <= demo_report.weeks_of_colour.expected + 0.05
        assert demo_report.weeks_of_scent.expected <= demo_report.weeks_of_colour.expected

    def test_another_garden_can_be_looked_at(self, demo, demo_report):
        harsh = report(demo, garden=garden("Minneapolis"))
        assert harsh.station_id == garden("Minneapolis").station_id
        starts = {layer.layer_id: layer.start for layer in demo_report.layers}
        for layer in harsh.layers:
            if layer.start and starts[layer.layer_id] and layer.start.p50 < date(2027, 6, 1):
                assert layer.start.p50 > starts[layer.layer_id].p50


def test_the_coldest_and_the_warmest_year_are_found_by_their_winter_and_spring():
    one = yard([("tulipa-shirley", "2026-11-15")])
    worked = solve_yard(outlook(one))
    means = []
    for low, high in zip(worked.solved.weather.tmin_c, worked.solved.weather.tmax_c, strict=True):
        total = 0.0
        for day in range(183, 335):  # 1 December to 1 May
            total += (low[day] + high[day]) / 2
        means.append(total)
    days = worked.solved.days
    length = days.end[0] - days.start[0]
    weeks = report(one).pots[0].weeks_of_colour
    # Days are counted whole, by their noons.
    assert 7 * weeks.coldest == pytest.approx(length[int(np.argmin(means))], abs=0.5)
    assert 7 * weeks.warmest == pytest.approx(length[int(np.argmax(means))], abs=0.5)
    assert 7 * weeks.expected == pytest.approx(length.mean(), abs=0.2)


def test_only_scented_kinds_give_weeks_of_scent():
    for kind in [catalogue().get(name) for name in ("tulipa-shirley", "crocus-speciosus")]:
        day = kind.ref_planted.in_year(2026).isoformat()
        pot = report(yard([(kind.id, day)])).pots[0]
        assert pot.weeks_of_colour.expected > 1.0
        assert (pot.weeks_of_scent == pot.weeks_of_colour) == (kind.scent > 0)
        assert (pot.weeks_of_scent.expected == 0.0) == (kind.scent == 0)


def test_an_empty_yard_is_answered():
    nothing = report(yard())
    assert nothing.pots == () and nothing.layers == ()
    assert nothing.bare == () and nothing.crowded == ()
    assert not nothing.coverage.any() and len(nothing.coverage) > 365
    assert nothing.weeks_of_colour.expected == 0.0


def test_a_pot_without_layers_stands_among_the_others():
    both = report(yard([], [("tulipa-shirley", "2026-11-15")], []))
    assert [len(pot.layers) for pot in both.pots] == [0, 1, 0]
    assert both.pots[0].weeks_of_colour.expected == 0.0
    assert both.pots[1].weeks_of_colour.expected > 1.0
    alone = report(yard([("tulipa-shirley", "2026-11-15")]))
    np.testing.assert_array_equal(both.coverage, alone.coverage)


def test_an_unknown_cultivar_is_named():
    with pytest.raises(UnknownNameError, match="tulipa-shirly") as caught:
        report(yard([("tulipa-shirly", "2026-11-15")]))
    assert "tulipa-shirley" in caught.value.near


def test_the_yards_own_cultivar_goes_before_the_catalogues():
    kind = catalogue().get("tulipa-shirley")
    own = OwnCultivar(**{**kind.model_dump(), "ref_start": "05-05", "ref_end": "05-20"})
    plain = only(report(yard([("tulipa-shirley", "2026-11-15")])))
    mine = only(report(yard([("tulipa-shirley", "2026-11-15")], own_cultivars=(own,))))
    assert (mine.start.p50 - plain.start.p50).days >= 15


def test_a_layer_from_before_the_season_is_established():
    new, old = (
        only(report(yard([("narcissus-ice-follies", day)]))) for day in ("2026-10-15", "2023-10-20")
    )
    assert old.established and not new.established
    assert old.start.p50 < new.start.p50
    assert old.planted == date(2023, 10, 20)
    # Weeks in the refrigerator years ago no longer count.
    here = yard([("tulipa-shirley", "2023-11-15")])
    chilled = here.pots[0].layers[0].model_copy(update={"prechill_weeks": 12.0})
    pot = here.pots[0].model_copy(update={"layers": (chilled,)})
    assert only(report(here.model_copy(update={"pots": (pot,)}))).start == only(report(here)).start


@pytest.mark.parametrize(
    "planted",
    [
        pytest.param(
            "2027-11-15",
        ),
        "2027-12-20",
        "2028-11-15",
    ],
)
def test_a_layer_planted_after_the_season_has_a_reason_and_no_colour(planted):
    layer = only(report(yard([("tulipa-shirley", planted)])))
    assert layer.start is None and layer.end is None
    assert not layer.chance.any()
    assert not layer.established
    assert layer.reason and "planted" in layer.reason and "cold" not in layer.reason
    assert layer.too_little_cold_share == 0.0


def test_a_southern_yard_shows_its_own_spring():
    result = report(
        yard([("narcissus-ice-follies", "2027-05-10")], place="Melbourne", season_year=2027)
    )
    assert result.first_day == date(2026, 12, 1)
    layer = only(result)
    assert date(2027, 8, 1) < layer.start.p50 < date(2027, 10, 15)
    assert not layer.established
    older = only(report(yard([("narcissus-ice-follies", "2025-05-10")], place="Melbourne")))
    assert older.established and older.start.p50.year == 2027


def test_equal_layers_in_two_pots_have_equal_answers_and_no_more_colour():
    row = ("tulipa-shirley", "2026-11-15")
    single, double = report(yard([row])), report(yard([row], [row]))
    first, second = double.layers
    assert first.start == second.start == only(single).start
    np.testing.assert_array_equal(first.chance, second.chance)
    np.testing.assert_array_equal(double.coverage, single.coverage)
    np.testing.assert_allclose(double.expected_layers, 2 * single.expected_layers)


def test_each_of_many_pots_has_the_weeks_that_it_has_alone(demo):
    together = report(demo, use_records=False)
    for pot, found in zip(demo.pots, together.pots, strict=True):
        alone = report(demo.model_copy(update={"pots": (pot,), "records": ()}), use_records=False)
        (single,) = alone.pots
        assert found.weeks_of_colour == single.weeks_of_colour
        assert found.weeks_of_scent == single.weeks_of_scent
    copies = tuple(
        pot.model_copy(
            update={
                "id": f"{pot.id}-{k}",
                "layers": tuple(
                    layer.model_copy(update={"id": f"{layer.id}-{k}"}) for layer in pot.layers
                ),
            }
        )
        for k in range(3)
        for pot in demo.pots
    )
    many = report(demo.model_copy(update={"pots": copies, "records": ()}), use_records=False)
    for k, found in enumerate(many.pots):
        single = together.pots[k % len(demo.pots)]
        assert found.weeks_of_colour == single.weeks_of_colour
        assert found.weeks_of_scent == single.weeks_of_scent


def test_layers_meant_to_follow_that_flower_together_clash():
    rows = [("tulipa-negrita", "2026-11-14"), ("tulipa-abu-hassan", "2026-11-14")]
    together = report(yard(rows))
    (clash,) = together.pots[0].clashes
    assert set(clash.layer_ids) == {"layer-0-0", "layer-0-1"}
    assert clash.days > 7
    starts = [layer.start.p50 for layer in together.layers]
    ends = [layer.end.p50 for layer in together.layers]
    assert clash.first == max(starts) and clash.last == min(ends)
    on_purpose = together_on_purpose(yard(rows))
    assert report(on_purpose).pots[0].clashes == ()
    apart = yard([("crocus-speciosus", "2026-08-15"), ("tulipa-negrita", "2026-11-14")])
    assert report(apart).pots[0].clashes == ()


def test_a_layer_that_does_not_flower_clashes_with_none():
    # In Cairo the paperwhite flowers and the late tulip lacks its winter.
    rows = [("narcissus-papyraceus-paperwhite", "2026-10-20"), ("tulipa-shirley", "2026-11-10")]
    (pot,) = report(yard(rows), garden=garden_named("Cairo")).pots
    assert sum(layer.start is None for layer in pot.layers) == 1
    assert pot.clashes == ()


def together_on_purpose(of):
    pots = tuple(pot.model_copy(update={"successive": False}) for pot in of.pots)
    return of.model_copy(update={"pots": pots})


def test_settings_decide_what_is_bare_and_what_is_a_crowd():
    rows = [
        ("crocus-speciosus", "2026-08-15"),
        ("tulipa-shirley", "2026-11-15"),
        ("tulipa-shirley", "2026-11-15"),
    ]
    pots = [[row] for row in rows]
    calm = report(yard(*pots, settings=Settings(crowd_limit=5, bare_threshold=0.2)))
    strict = report(yard(*pots, settings=Settings(crowd_limit=1, bare_threshold=0.5)))
    assert calm.crowded == () and len(strict.crowded) == 1
    assert set(strict.crowded[0].layer_ids) == {"layer-1-0", "layer-2-0"}
    assert sum(s.days for s in strict.bare) > sum(s.days for s in calm.bare) > 0
    assert strict.bare_days == calm.bare_days  # counted, whatever is hatched
    assert strict.crowded_days.expected > calm.crowded_days.expected == 0.0


def test_a_site_the_gardener_has_corrected_opens_earlier():
    row = [("tulipa-shirley", "2026-11-15")]
    plain, warm = (only(report(yard(row, site_offsets=offsets))) for offsets in ({}, {"open": 2.0}))
    assert 3 <= (plain.start.p50 - warm.start.p50).days <= 30
    other = only(report(yard(row, site_offsets={"shed": 2.0})))
    assert other.start == plain.start


def test_own_weather_is_said_and_changes_the_season():
    one = yard([("tulipa-shirley", "2026-11-15")])
    plain = report(one)
    season = one_years_weather("London", 3)
    own = report(one, recorded=season)
    assert "recorded days" in own.weather_label and "recorded" not in plain.weather_label
    before, after = only(plain).start, only(own).start
    assert after.p90 - after.p10 < before.p90 - before.p10
    assert own.weeks_of_colour.coldest == pytest.approx(own.weeks_of_colour.warmest)


def test_pets_in_the_yard_make_poison_a_warning():
    row = [("narcissus-ice-follies", "2026-10-15")]

    def severity(pets):
        layer = only(report(yard(row, settings=Settings(pets=pets))))
        (poison,) = [item for item in layer.advice if item.topic == "poison"]
        return poison.severity

    order = ["note", "caution", "warning"]
    assert order.index(severity(True)) > order.index(severity(False))


def test_a_layer_carries_what_a_view_shows():
    kind = catalogue().get("tulipa-shirley")
    layer = only(report(yard([("tulipa-shirley", "2026-11-15")])))
    assert (layer.pot_id, layer.layer_id, layer.count) == ("pot-0", "layer-0-0", 10)
    assert (layer.name, layer.colour_hex) == (kind.name, kind.colour_hex)
    assert layer.date_source.startswith(kind.date_basis)


def test_the_summary_of_a_pot_says_material_size_and_site():
    layer = Layer(
        id="layer-1", cultivar_id="tulipa-shirley", count=5, cover_cm=10, planted=date(2026, 11, 1)
    )
    trough = Pot(
        id="pot-1",
        name="Trough",
        shape="trough",
        top_width_cm=26,
        bottom_width_cm=22,
        top_length_cm=80,
        bottom_length_cm=74,
        inside_height_cm=30,
        material="wood",
        site="shed",
        sheltered_until=date(2027, 3, 1),
        layers=(layer,),
    )
    summary = report(yard(trough)).pots[0].summary
    assert "26 × 80 × 30 cm" in summary and "trough" in summary and "shed" in summary
