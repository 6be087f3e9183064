from __future__ import annotations

import time

import pytest

from bloomline.model.colours import Family, family_of
from bloomline.plan.season.kinds_asked import KindsAsked, find_kinds, read_asked
from bloomline.reference.catalogue import load_catalogue, months_near_london

CATALOGUE = load_catalogue()


def found(text: str, **options):
    options = {"months_of": months_near_london, **options}
    ranks = find_kinds(CATALOGUE, text, **options).ranks
    return [CATALOGUE.get(name) for name in sorted(ranks, key=ranks.__getitem__)]


@pytest.mark.parametrize(
    ("text", "asked"),
    [
        ("tulip", KindsAsked(("tulip",))),
        ("White  Tulip", KindsAsked(("white", "tulip"))),
        ("tulips under 30 cm", KindsAsked(("tulips",), None, 30)),
        ("over 60cm lily", KindsAsked(("lily",), 60, None)),
        ("tulip 20-30 cm", KindsAsked(("tulip",), 20, 30)),
        ("20 to 30 cm", KindsAsked((), 20, 30)),
        ("tulip 20 cm", KindsAsked(("tulip",), 17, pytest.approx(23))),
        ("bulbs in april", KindsAsked(("april",))),
        ("the", KindsAsked(("the",))),  # a name may be made of nothing else
        ("", KindsAsked(())),
    ],
)
def test_what_is_typed_is_read(text, asked) -> None:
    assert read_asked(text) == asked


def test_inches_are_read_where_they_are_named_or_used() -> None:
    for text, inches in (("under 12 in", False), ("under 12 inches", False), ("under 12", True)):
        assert read_asked(text, inches=inches).height_to_cm == pytest.approx(30.48)


def test_an_english_name_finds_all_of_its_genus() -> None:
    narcissi = {c.id for c in CATALOGUE if c.genus == "Narcissus"}
    for text in ("daffodil", "Daffodils", "narcissi"):
        hits = found(text)
        assert narcissi <= {c.id for c in hits}
        first = hits[: len(narcissi)]
        assert {c.genus for c in first} == {"Narcissus"}


@pytest.mark.parametrize(
    ("text", "genus"),
    [("crocus", "Crocus"), ("lily", "Lilium"), ("hyacinths", "Hyacinthus"), ("iris", "Iris")],
)
def test_the_genus_that_is_named_comes_first(text, genus) -> None:
    hits = found(text)
    of_genus = [c.genus == genus for c in hits]
    assert all(of_genus[: sum(of_genus)]) and sum(of_genus) == sum(
        c.genus == genus for c in CATALOGUE
    )
    assert text == "iris" or not all(of_genus)  # others bear the word as well


def test_words_stand_in_any_order_and_all_must_fit() -> None:
    one, other = found("scented tulip"), found("Tulip scented")
    assert {c.id for c in one} == {c.id for c in other}
    assert {c.id for c in one} == {c.id for c in CATALOGUE if c.genus == "Tulipa" and c.scent}
    assert found("scented unscented") == []


def test_a_colour_and_a_month() -> None:
    hits = found("white april")
    assert hits and {c.id for c in hits} == {c.id for c in found("april white")}
    for kind in hits:
        assert 4 in months_near_london(kind) or "april" in kind.name.lower()
        told = f"{kind.name} {kind.colour} {' '.join(kind.synonyms)}".lower()
        assert "white" in told or family_of(kind.colour_hex) is Family.WHITE
    assert "Narcissus 'Thalia'" in {c.name for c in hits}


def test_months_are_those_of_the_garden_that_is_asked_for() -> None:
    spring_down_under = {10}
    hits = found("tulip october", months_of=lambda _kind: spring_down_under)
    assert len(hits) == sum(c.genus == "Tulipa" for c in CATALOGUE)
    assert found("tulip april", months_of=lambda _kind: spring_down_under) == []
    # While they are not known, a month hides nothing.
    assert found("tulip april", months_of=lambda _kind: None)


def test_heights_pets_and_shade() -> None:
    low = found("dwarf tulip")
    assert low and all(c.height_cm <= 25 or "dwarf" in c.group.lower() for c in low)
    assert all(c.height_cm <= 20 for c in found("narcissus up to 20 cm"))
    safe = found("pet safe muscari")
    assert safe and all(c.toxic_pets == 0 for c in safe)


def test_a_whole_name_comes_before_those_that_hold_it() -> None:
    assert found("purissima")[0].name == "Tulipa 'Purissima'"
    assert found("february gold")[0].name == "Narcissus 'February Gold'"
    assert found("queen")[0].name.startswith("Tulipa 'Queen of ")


def test_what_nothing_fits_gets_the_nearest_names() -> None:
    asked = find_kinds(CATALOGUE, "balerina", months_of=months_near_london)
    assert asked.ranks == {} and [CATALOGUE.get(n).name for n in asked.near] == [
        "Tulipa 'Ballerina'"
    ]
    assert len(find_kinds(CATALOGUE, "tulipa balarena", months_of=months_near_london).near) <= 3
    assert find_kinds(CATALOGUE, "zzzz", months_of=months_near_london).near == ()
    # What fits but is too tall is no wrong name.
    none = find_kinds(CATALOGUE, "crocus over 90 cm", months_of=months_near_london)
    assert none.ranks == {} and none.near == ()


def test_a_page_of_text_is_answered_at_once() -> None:
    begun = time.perf_counter()
    found("tulip april scented a b c " * 5_000)
    assert time.perf_counter() - begun < 1.0


def test_no_words_find_all() -> None:
    assert len(found("")) == len(CATALOGUE)
