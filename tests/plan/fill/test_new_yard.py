"""What a new yard begins with: its spring, true pots, and pots under cover where frost kills."""

from __future__ import annotations

from datetime import date

import asking
import pytest

from bloomline.model.yard import PlaceChoice, Pot, Yard
from bloomline.plan.fill.answer import Answers
from bloomline.plan.fill.new_yard import default_season_year, shelter_words, sheltered
from bloomline.plan.fill.pot import suggest_pot
from bloomline.plan.fill.wishes import Wishes
from bloomline.plan.pot.fitting import shape_of
from bloomline.plan.pot.ready_pots import POT_FORMS, PotForm, ready_pot
from bloomline.plan.season.outlook import Outlook
from bloomline.reference.places import load_places

TODAY = date(2026, 9, 20)


def outlook_at(station: str, pot: Pot) -> Outlook:
    there = load_places().search(station)[0]
    place = PlaceChoice(
        station_id=there.station_id,
        name=there.name,
        latitude_deg=there.latitude_deg,
        longitude_deg=there.longitude_deg,
    )
    yard = Yard(name="Y", place=place, season_year=2027, pots=(pot,))
    return asking.outlook(yard, today=TODAY)


@pytest.mark.parametrize("form", POT_FORMS, ids=lambda form: form.id)
def test_measures_of_a_pot_hang_together(form: PotForm) -> None:
    for width in form.widths_cm:
        for material in form.materials:
            pot = ready_pot(form, width, material, pot_id="pot-1", name="P")
            assert pot.top_width_cm + 2 * pot.wall_cm == pytest.approx(width, abs=0.1)
            assert pot.bottom_width_cm < pot.top_width_cm
            assert pot.inside_height_cm < width * form.height
            assert pot.compost_depth_cm > 5
            if pot.top_length_cm is not None:
                assert pot.top_length_cm > pot.top_width_cm


def test_a_flower_pot_holds_what_pots_of_its_size_are_sold_to_hold() -> None:
    # Common practice, no source: a 30 cm pot is sold as one of about 12 to 15 litres, one of
    # 40 cm as about 25 to 35.
    litres = {
        width: shape_of(ready_pot(POT_FORMS[0], width, "plastic", pot_id="p", name="P")).volume_l
        for width in (28.0, 32.0, 40.0)
    }
    assert 8 < litres[28.0] < litres[32.0] < 20
    assert 25 < litres[40.0] < 35


@pytest.mark.parametrize(
    ("station", "sites"),
    [("Heathrow", {"open"}), ("Oslo", {"shed", "garage", "cold-greenhouse"})],
)
def test_pots_winter_under_cover_only_where_frost_would_kill(station: str, sites: set[str]) -> None:
    pot = ready_pot(POT_FORMS[0], 36.0, "fired-clay-twice", pot_id="pot-1", name="P")
    outlook = outlook_at(station, pot)
    asked, found = sheltered(outlook, lambda each: suggest_pot(each, "pot-1", Wishes()))
    assert found.answers
    (stands,) = asked.yard.pots
    assert stands.site in sites
    assert bool(shelter_words(asked.yard)) == (stands.site != "open")
    if stands.site != "open":
        assert stands.sheltered_until == date(2027, 4, 1)
    for layer in found.answers[0].layers:
        assert layer.layer.planted >= TODAY


def test_a_search_that_was_stopped_is_not_begun_again() -> None:
    pot = ready_pot(POT_FORMS[0], 36.0, "fired-clay-twice", pot_id="pot-1", name="P")
    asked = []

    def ask(outlook: Outlook) -> Answers:
        asked.append(outlook)
        return Answers((), Wishes(), stopped=True)

    outlook = outlook_at("Oslo", pot)
    assert sheltered(outlook, ask)[0] is outlook
    assert asked == [outlook]


def test_the_spring_meant_is_the_next_one() -> None:
    assert default_season_year(date(2026, 9, 20), southern=False) == 2027
    assert default_season_year(date(2027, 2, 1), southern=False) == 2027
    assert default_season_year(date(2026, 4, 20), southern=True) == 2026
    assert default_season_year(date(2026, 12, 1), southern=True) == 2027
