from __future__ import annotations

from datetime import date

import pytest

from bloomline.draw.base.petals import Family, family_of
from bloomline.draw.season.days import BarDays
from bloomline.plan.forecast.report import Band
from bloomline.plan.season.shelf import ShelfWindow
from bloomline.reference.catalogue import load_catalogue
from bloomline.ui.shelf.entries import (
    Known,
    Order,
    ShelfFilter,
    count_in_month,
    entries_of,
    filtered,
    find_entries,
    kinds_of,
)
from bloomline.ui.shelf.strip import month_starts, scales_of, year_scale


@pytest.fixture(scope="module")
def entries():
    return entries_of(load_catalogue(), own=())


def names(found) -> list[str]:
    return [entry.cultivar.name for entry in found]


def window(cultivar_id: str, *, months=(), share=1.0, start=None, end=None) -> ShelfWindow:
    band = Band(start, start, start) if start else None
    over = Band(end, end, end) if end else None
    return ShelfWindow(
        cultivar_id=cultivar_id,
        planted=date(2026, 11, 1),
        start=band,
        end=over,
        reason=None if band else "no flower",
        share=share,
        cold_weeks=16.0,
        cold_weeks_needed=12.0,
        killed_share=0.0,
        months=frozenset(months),
    )


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("tete-a-tete", "Narcissus 'Tête-à-Tête'"),
        ("TÊTE", "Narcissus 'Tête-à-Tête'"),
        ("prinses irene", "Tulipa 'Prinses Irene'"),
        ("'Prinses", "Tulipa 'Prinses Irene'"),
        ("inses ir", "Tulipa 'Prinses Irene'"),
    ],
)
def test_part_of_a_name_finds_it_whatever_the_spelling(entries, text, name) -> None:
    assert name in names(filtered(entries, ShelfFilter(text=text)))


def test_every_synonym_finds_its_kind(entries) -> None:
    with_synonyms = [entry for entry in entries if entry.cultivar.synonyms]
    assert with_synonyms
    kinds = load_catalogue()
    for entry in with_synonyms:
        for synonym in entry.cultivar.synonyms:
            found = find_entries(entries, synonym, kinds=kinds)
            assert found is not None and entry.cultivar.id in found.ranks, synonym


def test_all_words_must_be_there(entries) -> None:
    both = filtered(entries, ShelfFilter(text="tulip purple"))
    assert both
    assert all(entry.cultivar.common_type == "tulip" for entry in both)
    assert filtered(entries, ShelfFilter(text="tulip zzz")) == ()


def test_each_filter_keeps_what_it_says_and_all_of_it(entries) -> None:
    def check(wanted: ShelfFilter, keeps) -> None:
        kept = filtered(entries, wanted)
        assert {e.cultivar.id for e in kept} == {e.cultivar.id for e in entries if keeps(e)}
        assert 0 < len(kept) < len(entries)

    check(ShelfFilter(kind="crocus"), lambda e: e.cultivar.common_type == "crocus")
    check(
        ShelfFilter(family=Family.BLUE),
        lambda e: family_of(e.cultivar.colour_hex) is Family.BLUE,
    )
    check(ShelfFilter(scented=True), lambda e: e.cultivar.scent > 0)
    check(ShelfFilter(pet_safe=True), lambda e: e.cultivar.toxic_pets == 0)
    check(
        ShelfFilter(height_from_cm=15, height_to_cm=30), lambda e: 15 <= e.cultivar.height_cm <= 30
    )
    check(ShelfFilter(height_to_cm=15), lambda e: e.cultivar.height_cm <= 15)


def test_month_and_flowering_well_go_by_the_windows_here(entries) -> None:
    three = entries[:3]
    ids = [entry.cultivar.id for entry in three]
    windows = {
        ids[0]: window(ids[0], months={4, 5}, start=date(2027, 4, 20), end=date(2027, 5, 9)),
        ids[1]: window(
            ids[1], months={4}, share=0.6, start=date(2027, 4, 2), end=date(2027, 4, 20)
        ),
        ids[2]: window(ids[2]),
    }
    may = filtered(three, ShelfFilter(month=5), known=Known(windows))
    assert [e.cultivar.id for e in may] == ids[:1]
    well = filtered(three, ShelfFilter(flowers_well=True), known=Known(windows))
    assert [e.cultivar.id for e in well] == ids[:1]
    assert count_in_month(three, 4, windows=windows) == 2
    ordered = filtered(three, ShelfFilter(), known=Known(windows))
    assert [e.cultivar.id for e in ordered] == [ids[1], ids[0], ids[2]]


def test_before_the_windows_are_known_nothing_is_hidden(entries) -> None:
    assert len(filtered(entries, ShelfFilter(month=5, flowers_well=True))) == len(entries)


def test_orders(entries) -> None:
    by_height = filtered(entries, ShelfFilter(), order=Order.HEIGHT)
    heights = [entry.cultivar.height_cm for entry in by_height]
    assert heights == sorted(heights)
    by_name = names(filtered(entries, ShelfFilter(kind="tulip"), order=Order.NAME))
    assert by_name.index("Tulipa 'Apricot Beauty'") < by_name.index("Tulipa 'Queen of Night'")


def test_own_kinds_stand_first_and_in_place_of_the_catalogues() -> None:
    catalogue = load_catalogue()
    mine = catalogue.get("tulipa-apricot-beauty").model_copy(update={"height_cm": 99.0})
    found = entries_of(catalogue, own=[mine])
    assert len(found) == len(catalogue)
    assert found[0].own and found[0].cultivar.height_cm == 99.0
    assert "tulip" in kinds_of(found)


def test_asking_counts_a_height_range_once() -> None:
    assert ShelfFilter(height_from_cm=1.0, height_to_cm=2.0, scented=True).count == 2
    assert ShelfFilter().is_empty and not ShelfFilter(text="a").is_empty


def test_the_strip_runs_from_january_to_december() -> None:
    starts = month_starts()
    # 31 + 28 + 31 days come before 1 April
    assert starts[0] == 0.0 and starts[3] == pytest.approx(90 / 365)
    leap = date(2028, 3, 1)
    assert year_scale(leap).x_of(leap) == pytest.approx(starts[2], abs=1 / 365)


def test_a_window_over_the_new_year_shows_at_both_ends() -> None:
    days = BarDays(date(2026, 12, 15), date(2026, 12, 22), date(2027, 1, 21), date(2027, 1, 30))
    left, right = scales_of(days, left=0.0, width=365.0)
    assert left.end_of(days.close) == pytest.approx(21.0)
    assert right.x_of(days.open) == pytest.approx(355.0)
    april = BarDays(*(date(2027, 4, day) for day in (1, 4, 15, 20)))
    assert len(scales_of(april, left=0.0, width=365.0)) == 1
