"""Mixtures: planted as one, in flower as what they are."""

from __future__ import annotations

from datetime import timedelta

import numpy as np
import pytest
from asking import catalogue, outlook, yard
from hypothesis import given, settings
from hypothesis import strategies as st

from bloomline.errors import EditRefusedError
from bloomline.files.yardfile import dump_yard, parse_yard
from bloomline.model.cultivar import MixPart
from bloomline.model.kind_edits import put_kind
from bloomline.model.mixing import mixture_of, remade
from bloomline.plan.season.yard import season_report

EARLY, LATE = "tulipa-apricot-beauty", "tulipa-queen-of-night"
WINTER = "galanthus-elwesii"


def mixture(*parts, name="Tulipa (mixed)", mix_id="own-mix"):
    return mixture_of(mix_id, name, [MixPart(kind=catalogue().get(k), share=s) for k, s in parts])


def season(layers, *own, **fields):
    return season_report(outlook(yard(layers, own_cultivars=own), **fields))


def test_a_mixture_of_one_is_that_kind():
    one = mixture((EARLY, 7))
    (mixed,) = season([(one.id, "2026-11-15")], one).layers
    (alone,) = season([(EARLY, "2026-11-15")]).layers
    for stage in ("nose", "start", "full", "end", "leaves_over", "reason", "cold_weeks"):
        assert getattr(mixed, stage) == getattr(alone, stage), stage
    np.testing.assert_allclose(mixed.chance, alone.chance)
    one_yard, alone_yard = (
        season([(one.id, "2026-11-15")], one),
        season([(EARLY, "2026-11-15")]),
    )
    np.testing.assert_allclose(one_yard.coverage, alone_yard.coverage)
    assert one_yard.weeks_of_colour == alone_yard.weeks_of_colour


def test_it_opens_with_its_first_part_and_ends_with_its_last():
    both = mixture((EARLY, 40), (LATE, 60))
    (mixed,) = season([(both.id, "2026-11-15")], both).layers
    early, late = season([(EARLY, "2026-11-15"), (LATE, "2026-11-15")]).layers
    assert abs((mixed.start.p50 - early.start.p50).days) <= 1
    assert abs((mixed.end.p50 - late.end.p50).days) <= 1
    assert early.full.p50 < mixed.full.p50 < late.full.p50
    np.testing.assert_allclose(mixed.chance, 0.4 * early.chance + 0.6 * late.chance, atol=1e-9)
    assert [(part.share, part.colour_hex) for part in mixed.parts] == [
        (pytest.approx(0.4), early.colour_hex),
        (pytest.approx(0.6), late.colour_hex),
    ]


def test_a_gap_between_the_parts_stays_bare():
    both = mixture((WINTER, 1), (LATE, 1))
    apart = season([(both.id, "2026-10-20")], both)
    two = season([(WINTER, "2026-10-20"), (LATE, "2026-10-20")])
    assert apart.bare_days.expected > 20
    assert apart.bare_days.expected == pytest.approx(two.bare_days.expected, abs=3)
    assert apart.weeks_of_colour.expected == pytest.approx(two.weeks_of_colour.expected, abs=0.5)


def test_one_weather_year_and_lifting_cut_the_parts_too():
    both = mixture((EARLY, 1), (LATE, 1))
    (one_year,) = season([(both.id, "2026-11-15")], both, weather_year=3).layers
    assert one_year.parts[0].chance.shape == one_year.chance.shape
    here = yard([(both.id, "2026-11-15")], own_cultivars=(both,))
    (usual,) = season_report(outlook(here)).layers
    lift = usual.start.p50 + timedelta(days=12)
    layer = here.pots[0].layers[0].model_copy(update={"lifted_on": lift})
    lifted = here.model_copy(
        update={"pots": (here.pots[0].model_copy(update={"layers": (layer,)}),)}
    )
    report = season_report(outlook(lifted))
    (cut,) = report.layers
    beyond = (lift - report.first_day).days + 12
    assert cut.chance[beyond:].max() < 0.02 < usual.chance[beyond:].max()


def test_room_is_for_the_widest_and_the_tallest_bulb():
    kinds = [catalogue().get(k) for k in (WINTER, LATE)]
    both = mixture((WINTER, 3), (LATE, 1))
    assert both.bulb_diameter_cm == max(k.bulb_diameter_cm for k in kinds)
    assert both.bulb_height_cm == pytest.approx(max(k.bulb_height_cm for k in kinds))
    assert both.cover_cm == max(k.cover_cm for k in kinds)
    assert both.toxic_pets == max(k.toxic_pets for k in kinds)
    grams = 0.75 * kinds[0].grams_per_bulb + 0.25 * kinds[1].grams_per_bulb
    assert both.grams_per_bulb == pytest.approx(grams)


def test_a_changed_kind_changes_the_mixtures_that_hold_it():
    both = mixture((EARLY, 1), (LATE, 1))
    taller = both.parts[0].kind.model_copy(update={"height_cm": 95.0})
    assert remade(both, taller).height_cm == 95
    assert remade(both, catalogue().get(WINTER)) is both
    own = mixture((EARLY, 1), mix_id=EARLY).model_copy(update={"height_cm": 95.0, "parts": ()})
    here = put_kind(yard([], own_cultivars=(both,)), own)
    assert here.own_cultivars[0].height_cm == 95


def test_kinds_of_opposite_seasons_are_no_mixture():
    with pytest.raises(EditRefusedError, match="days of flower"):
        mixture((WINTER, 1), ("dahlia-bishop-of-llandaff", 1))
    with pytest.raises(EditRefusedError, match="name"):
        mixture((WINTER, 1), name="x" * 200)


def test_nothing_and_mixtures_make_no_mixture():
    both = mixture((EARLY, 1), (LATE, 1))
    for parts in ([], [MixPart.model_construct(kind=both, share=1.0)]):
        with pytest.raises(EditRefusedError, match="mixture"):
            mixture_of("own-a", "a", parts)


@settings(max_examples=40, deadline=None)
@given(
    st.lists(
        st.tuples(st.sampled_from(list(catalogue())), st.floats(0.5, 500)),
        min_size=1,
        max_size=5,
        unique_by=lambda part: part[0].id,
    )
)
def test_what_follows_from_the_parts_of_any_mixture(parts):
    """Shares add up to 1, it holds the room of each part, and their order says nothing."""
    spring = [part for part in parts if part[0].flowers_in == parts[0][0].flowers_in]
    made, turned = (
        mixture_of("own-m", "m", [MixPart(kind=kind, share=share) for kind, share in some])
        for some in (spring, spring[::-1])
    )
    assert sum(share for _, share in made.shares) == pytest.approx(1.0)
    for kind, _ in spring:
        assert made.bulb_diameter_cm >= kind.bulb_diameter_cm - 1e-9
        assert made.bulb_height_cm >= kind.bulb_height_cm - 1e-9
        assert made.height_cm >= kind.height_cm
        assert made.lowest_air_c >= kind.lowest_air_c
        assert made.toxic_pets >= kind.toxic_pets
    sds = [kind.ref_sd_days for kind, _ in spring]
    assert min(sds) - 1e-9 <= made.ref_sd_days <= max(sds) + 1e-9
    for name in ("height_cm", "bulb_height_per_width", "cover_cm", "spacing_cm", "toxic_pets"):
        assert getattr(made, name) == getattr(turned, name)
    assert parse_yard(dump_yard(yard([], own_cultivars=(made,))), name="x").own_cultivars == (made,)
