from __future__ import annotations

from datetime import date, datetime

import pytest
from pydantic import ValidationError

from bloomline.errors import UnknownNameError
from bloomline.model.problems import describe
from bloomline.model.yard import Layer, OwnNormals, PlaceChoice, Pot, Record, Settings, Yard

PLACE = PlaceChoice(name="Ottermere", latitude_deg=52.4, longitude_deg=-1.3)
POT = {
    "id": "pot-1",
    "name": "Tub",
    "top_width_cm": 30,
    "bottom_width_cm": 24,
    "inside_height_cm": 30,
}
LAYER = {
    "id": "layer-1",
    "cultivar_id": "tulipa-shirley",
    "count": 12,
    "cover_cm": 15,
    "planted": date(2026, 11, 7),
}


def problems(kind, **fields):
    with pytest.raises(ValidationError) as caught:
        kind(**fields)
    return describe(caught.value)


def test_a_value_can_not_be_altered():
    pot = Pot(**POT)
    with pytest.raises(ValidationError):
        pot.name = "other"


def test_an_unknown_key_is_refused_with_what_comes_near():
    assert problems(Pot, **POT, materiel="wood") == [
        "unknown key “materiel” (did you mean “material”?)"
    ]


@pytest.mark.parametrize(
    ("field", "value", "told"),
    [
        ("top_width_cm", float("nan"), "top_width_cm: a finite number is wanted, not nan"),
        ("top_width_cm", float("inf"), "top_width_cm: a finite number is wanted, not inf"),
        ("top_width_cm", 3.9, "top_width_cm: a number of at least 4 is wanted, not 3.9"),
        ("top_width_cm", "30", "top_width_cm: a number is wanted, not “30”"),
        ("top_width_cm", True, "top_width_cm: a number is wanted, not true"),
        ("top_width_cm", 10**400, "top_width_cm: a number is wanted, not so big a number"),
        ("inside_height_cm", 200.1, "inside_height_cm: a number of at most 200 is wanted"),
        ("shape", "rond", "did you mean round?"),
        ("id", "Pot 1", "id: a short id is wanted"),
        ("name", "  ", "name: must not be blank"),
        ("name", "a\nb", "name: has a character that is not allowed here"),
        ("name", "\ud800", "name: text with a broken character"),
        (
            "sheltered_until",
            "2027-02-30",
            "sheltered_until: there is no such day, not “2027-02-30”",
        ),
        ("sheltered_until", "1.2.2027", "a day written like 2026-10-31 is wanted"),
        ("sheltered_until", 1798761600, "a day written like 2026-10-31 is wanted"),
        ("sheltered_until", datetime(2027, 2, 1, 12), "a day written like 2026-10-31 is wanted"),
        ("sheltered_until", "1899-12-31", "a day between 1900 and 2199 is wanted"),
        ("sheltered_until", date(2027, 2, 1), "this pot stands at open"),
        ("crocks_cm", 27, "leave 0.5 cm of the 30 cm height for compost"),
        ("top_length_cm", 60, "a pot of shape round has no lengths"),
        ("shape", "oval", "needs top_length_cm and bottom_length_cm"),
        ("layers", "abc", "layers: a list is wanted, not “abc”"),
    ],
)
def test_a_pot_that_can_not_be_is_refused_in_words(field, value, told):
    (problem,) = problems(Pot, **{**POT, field: value})
    assert told in problem


@pytest.mark.parametrize(("field", "value"), [("count", 0), ("count", 5001), ("count", 3.5)])
def test_a_layer_has_between_one_and_five_thousand_bulbs(field, value):
    assert problems(Layer, **{**LAYER, field: value})


@pytest.mark.parametrize("count", [1, 5000])
def test_the_bounds_of_the_count_are_allowed(count):
    assert Layer(**{**LAYER, "count": count}).count == count


def test_a_pot_holds_twelve_layers_and_no_more():
    layers = [{**LAYER, "id": f"layer-{k}"} for k in range(13)]
    assert len(Pot(**POT, layers=layers[:12]).layers) == 12
    assert problems(Pot, **POT, layers=layers) == ["layers: at most 12 entries are allowed"]


def test_the_compost_lies_between_crocks_and_rim():
    pot = Pot(**POT, crocks_cm=3, top_dressing_cm=1.5, rim_gap_cm=2)
    assert pot.compost_depth_cm == pytest.approx(30 - 3 - 1.5 - 2)


def test_own_normals_are_twelve_months_with_highs_above_lows():
    highs, lows = [10.0] * 12, [2.0] * 12
    assert len(OwnNormals(tmax_c=highs, tmin_c=lows).tmax_c) == 12
    assert "at least 12 entries" in problems(OwnNormals, tmax_c=highs[1:], tmin_c=lows)[0]
    lows[2] = 10.0
    assert "month 3" in problems(OwnNormals, tmax_c=highs, tmin_c=lows)[0]


def yard(**fields):
    return Yard(name="Yard", place=PLACE, season_year=2027, **fields)


def test_an_id_used_twice_is_told_with_both_places():
    pots = [{**POT, "layers": [LAYER]}, {**POT, "id": "pot-2", "layers": [LAYER]}]
    with pytest.raises(ValidationError) as caught:
        yard(pots=pots)
    assert describe(caught.value) == [
        "the id “layer-1” stands both at pots[0].layers[0].id and at pots[1].layers[0].id"
    ]


def test_pots_layers_and_records_share_their_ids():
    with pytest.raises(ValidationError, match=r"pots\[0\]\.id and at pots\[0\]\.layers\[0\]\.id"):
        yard(pots=[{**POT, "layers": [{**LAYER, "id": "pot-1"}]}])


def test_a_record_of_no_layer_is_refused():
    record = Record(id="record-1", day=date(2027, 3, 1), layer_id="layer-2", seen="full")
    with pytest.raises(ValidationError, match=r"records\[0\]\.layer_id.*did you mean “layer-1”"):
        yard(pots=[{**POT, "layers": [LAYER]}], records=[record])


def test_a_display_place_that_is_not_there_is_refused():
    with pytest.raises(ValidationError, match=r"pots\[0\]\.display_place"):
        yard(pots=[{**POT, "display_place": "Steps"}])


def test_looking_up_names_what_comes_near():
    here = yard(pots=[{**POT, "layers": [LAYER]}])
    assert here.pot("pot-1").name == "Tub"
    assert here.layer("layer-1")[1].count == 12
    with pytest.raises(UnknownNameError, match="did you mean pot-1"):
        here.pot("pot1")
    with pytest.raises(UnknownNameError):
        here.layer("pot-1")
    with pytest.raises(UnknownNameError):
        here.record("x")


def test_settings_have_the_usual_defaults():
    settings = Settings()
    assert (settings.bare_threshold, settings.crowd_limit, settings.pets) == (0.5, 5, False)
