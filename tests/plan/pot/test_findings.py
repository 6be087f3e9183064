"""What does not fit, lies wrong or comes too early in a pot, and the one change that mends it."""

from __future__ import annotations

import time
from datetime import date, timedelta

import odd_pots
import pytest
from asking import catalogue, outlook
from hypothesis import given, settings
from hypothesis import strategies as st
from odd_pots import CROCUS, NARCISSUS, TULIP, deep_pot, layer, yard_of

from bloomline.model.advice import Severity
from bloomline.model.edits import change_pot
from bloomline.plan.paper.card import cards_for
from bloomline.plan.pot.finding import PotFinding
from bloomline.plan.pot.findings import pot_findings
from bloomline.plan.season.advice import advice_for
from bloomline.plan.shop.buying import shopping_list


def found_in(pot, **more) -> tuple[PotFinding, ...]:
    return pot_findings(pot, cultivar_of=catalogue().get, **more)


def codes(pot, **more) -> set[str]:
    return {each.code for each in found_in(pot, **more)}


def mended(pot, code: str):
    """The pot after the change that one of its findings of a code offers."""
    finding = next(each for each in found_in(pot) if each.code == code)
    assert finding.mending is not None, finding
    return finding.mending.apply(yard_of(pot)).pots[0]


@pytest.mark.parametrize("pot", [odd_pots.overfull(), odd_pots.impossible_counts()])
def test_bulbs_without_room_are_told_with_the_number_that_fits(pot) -> None:
    found = [each for each in found_in(pot) if each.code == "too_many"]
    assert len(found) == 3
    for each in found:
        assert each.severity is Severity.WARNING
        values = dict(each.values)
        assert values["count"] > values["fit_at_most"] > values["fit_well"] > 0
        assert f"{values['fit_well']} fit well" in each.advice.message
        assert each.mending.words == f"Plant {values['fit_well']} instead of {values['count']}"
        after = each.mending.apply(yard_of(pot))
        assert after.layer(each.layer_ids[0])[1].count == values["fit_well"]
        left = found_in(after.pots[0])
        assert each.layer_ids not in {e.layer_ids for e in left if e.code in ("too_many", "tight")}


def test_bulbs_in_the_ground_are_noted_anew_only_where_they_cannot_be() -> None:
    first = found_in(odd_pots.impossible_counts("planted"))[0]
    assert first.mending.words.startswith("Note ")
    tight = deep_pot(layer(1, TULIP, 20, 20, state="planted"))
    (each,) = [e for e in found_in(tight) if e.code == "tight"]
    assert each.mending is None


@pytest.mark.parametrize("state", ["planned", "planted"])
def test_covers_deeper_than_the_pot_are_mended_in_one_change(state: str) -> None:
    pot = odd_pots.too_deep(state)
    found = found_in(pot)
    assert [each.code for each in found] == ["in_crocks"] * 3  # said once a layer, nothing beside
    assert len({each.mending for each in found}) == 1
    after = mended(pot, "in_crocks")
    assert all(each.severity is Severity.NOTE for each in found_in(after))
    assert after.layers[0].cover_cm + 5 < after.compost_depth_cm
    assert {each.state for each in after.layers} == {state}


def test_a_crocus_below_tulips_is_told_and_laid_on_top() -> None:
    pot = odd_pots.crocus_lowest()
    days = {"layer-1": 1.0, "layer-2": 40.0, "layer-3": 60.0}
    assert {"too_deep", "later_above_earlier"} <= codes(pot, flowering_days=days)
    finding = next(e for e in found_in(pot, flowering_days=days) if e.code == "too_deep")
    after = finding.mending.apply(yard_of(pot)).pots[0]
    assert [each.cultivar_id for each in after.layers] == [TULIP, NARCISSUS, CROCUS]
    assert not {"too_deep", "later_above_earlier"} & codes(after, flowering_days=days)


def test_upper_layers_due_before_a_lower_one_are_told_and_wait_for_it() -> None:
    pot = odd_pots.wrong_days()
    (finding,) = [each for each in found_in(pot) if each.code == "planted_before_lower"]
    assert finding.layer_ids == ("layer-2", "layer-3", "layer-1")
    assert finding.severity is Severity.WARNING
    told = finding.advice.message
    assert "9 October 2026" in told and "6 November 2026" in told
    after = mended(pot, "planted_before_lower")
    assert {each.planted for each in after.layers} == {date(2026, 11, 6)}
    assert "planted_before_lower" not in codes(after)


def test_nothing_goes_under_bulbs_in_the_ground() -> None:
    (finding,) = [
        each
        for each in found_in(odd_pots.wrong_days(upper_state="planted"))
        if each.code == "planted_before_lower"
    ]
    assert "in the ground already" in finding.advice.message
    assert finding.mending is None
    assert "planted_before_lower" not in codes(odd_pots.wrong_days("planted", "planted"))


def test_bulbs_that_are_out_before_are_no_upper_layer() -> None:
    pot = odd_pots.wrong_days()
    gone = [
        each.model_copy(update={"lifted_on": date(2026, 11, 1)}) if each.id != "layer-1" else each
        for each in pot.layers
    ]
    pot = pot.model_copy(update={"layers": tuple(gone)})
    assert "planted_before_lower" not in codes(pot)


@pytest.mark.parametrize("width", [201, 380, 400, 500])
def test_a_pot_of_absurd_size_is_questioned_with_a_tenth(width: float) -> None:
    pot = odd_pots.too_wide(width)
    (finding,) = [each for each in found_in(pot) if each.code == "size_doubtful"]
    tenth = f"{width / 10:g} cm"
    assert finding.advice.message == f"{width:g} cm wide at the top: was {tenth} meant?"
    after = finding.mending.apply(yard_of(pot)).pots[0]
    assert (after.top_width_cm, after.bottom_width_cm) == (width / 10, 28)
    assert "size_doubtful" not in codes(after)


def test_a_mistyped_height_is_questioned_only_where_a_tenth_can_be() -> None:
    (finding,) = [
        each
        for each in found_in(odd_pots.deep_pot(inside_height_cm=160, crocks_cm=0))
        if each.code == "size_doubtful"
    ]
    assert finding.mending.apply(yard_of(deep_pot(inside_height_cm=160))).pots[0]
    assert "size_doubtful" not in codes(deep_pot(inside_height_cm=160, crocks_cm=30))


def test_lifted_bulbs_are_in_nobodys_way() -> None:
    pot = odd_pots.overfull()
    lifted = tuple(each.model_copy(update={"state": "lifted"}) for each in pot.layers)
    assert found_in(pot.model_copy(update={"layers": lifted})) == ()


KINDS = (TULIP, NARCISSUS, CROCUS, "hyacinthus-orientalis-delft-blue", "tulipa-tarda")


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.tuples(
            st.sampled_from(KINDS),
            st.integers(1, 300),
            st.sampled_from([0.0, 3.0, 5.0, 8.0, 12.0, 20.0, 30.0, 60.0]),
            st.integers(0, 40),
            st.sampled_from(["planned", "planned", "planted"]),
        ),
        min_size=1,
        max_size=4,
    ),
    st.sampled_from([18.0, 30.0, 45.0, 350.0]),
)
def test_every_change_offered_mends_what_it_is_offered_for(rows, width) -> None:
    """Whatever the pot: the finding is gone, and no new grave one has come."""
    layers = [
        layer(at, kind, count, cover, planted=odd_pots.AUTUMN + timedelta(days=day), state=state)
        for at, (kind, count, cover, day, state) in enumerate(rows)
    ]
    layers.sort(key=lambda each: -each.cover_cm)
    pot = deep_pot(*layers, top_width_cm=width, bottom_width_cm=min(width, 60))
    before = found_in(pot)
    grave = {each.key for each in before if each.severity is not Severity.NOTE}
    for each in before:
        if each.mending is None:
            continue
        after = each.mending.apply(yard_of(pot)).pots[0]
        left = found_in(after, with_mending=False)
        assert each.key not in {e.key for e in left}
        if each.code not in ("size_doubtful",):  # the pot as it was meant shows what fits in it
            assert {e.key for e in left if e.severity is not Severity.NOTE} <= grave


# The same words everywhere


@pytest.mark.parametrize(
    ("pot", "code"),
    [
        (odd_pots.overfull(), "too_many"),
        (odd_pots.impossible_counts(), "too_many"),
        (odd_pots.too_deep(), "in_crocks"),
        (odd_pots.wrong_days(), "planted_before_lower"),
        (odd_pots.too_wide(), "size_doubtful"),
    ],
)
def test_details_card_and_list_say_what_check_says(pot, code: str) -> None:
    yard = yard_of(pot)
    looked_at = outlook(yard)
    finding = next(each for each in found_in(pot) if each.code == code)
    details = advice_for(looked_at, pot_id=pot.id)
    assert finding.advice in details
    if finding.layer_ids:
        one = advice_for(looked_at, layer_id=finding.layer_ids[0])
        assert finding.advice in one
    (card,) = cards_for(looked_at)
    told = " ".join(each.text for each in card.cautions)
    assert finding.mending.words.split(" on ")[0] in told
    if code != "planted_before_lower":  # the card writes days in full
        assert finding.advice.message in told
    listed = " ".join(each.message for each in shopping_list(looked_at).advice)
    assert (finding.advice.message in listed) == (code == "too_many")


def test_absurd_sizes_take_no_time() -> None:
    """All that the window and commands ask of a pot ten metres long, well under a second."""
    pot = deep_pot(
        layer(1, TULIP, 5000, 20),
        layer(2, NARCISSUS, 5000, 12),
        layer(3, CROCUS, 5000, 5),
        shape="oval",
        top_width_cm=500,
        bottom_width_cm=500,
        top_length_cm=1000,
        bottom_length_cm=1000,
    )
    began = time.perf_counter()
    assert "size_doubtful" in codes(pot)
    assert time.perf_counter() - began < 1.0
    smaller = change_pot(yard_of(pot), "pot-1", shape="round").pots[0]
    assert "size_doubtful" in codes(smaller)
