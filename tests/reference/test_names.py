"""Names as people write them: words in any order, older and English names, slips of a letter."""

from __future__ import annotations

import csv
import time
from collections import Counter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bloomline.data import data_root
from bloomline.errors import UnknownNameError
from bloomline.model.cultivar import Cultivar
from bloomline.reference.catalogue import Catalogue, load_catalogue
from bloomline.reference.cultivar_names import names_of, spaced

CATALOGUE = load_catalogue()
KINDS = list(CATALOGUE)


def meant(text: str, among: Catalogue = CATALOGUE) -> list[str]:
    """The one name found, or all that are asked about."""
    try:
        return [among.find(text).name]
    except UnknownNameError as unsure:
        return list(unsure.near)


@pytest.mark.parametrize(
    ("text", "cultivar_id"),
    [
        ("tete a tete", "narcissus-tete-a-tete"),
        ("teteatete", "narcissus-tete-a-tete"),
        ("Jetfire daffodil", "narcissus-jetfire"),
        ("N. 'Jetfire'", "narcissus-jetfire"),
        ("white triumphator tulip", "tulipa-white-triumphator"),
        ("tulips, White Triumphator", "tulipa-white-triumphator"),
        ("Casablanca lily", "lilium-casa-blanca"),
        ("Kings blood", "tulipa-kingsblood"),
        ("purissima tulip", "tulipa-purissima"),  # not 'Yellow Purissima'
        ("praestans tulip", "tulipa-praestans-fusilier"),
        ("snakes head fritillary", "fritillaria-meleagris"),
        ("queen of the night tulip", "tulipa-queen-of-night"),
        ("Joan of Arc crocus", "crocus-vernus-jeanne-darc"),
        ("yellow mammoth", "crocus-luteus-golden-yellow"),
        ("nerine", "nerine-bowdenii"),
        ("regal lily", "lilium-regale"),
        # One letter wrong, missing, too many, or in its neighbour's place.
        ("Balerina", "tulipa-ballerina"),
        ("Purissima tulip", "tulipa-purissima"),
        ("triumphator whtie", "tulipa-white-triumphator"),
        ("jetfier", "narcissus-jetfire"),
        ("Narcissus 'Tahiiti'", "narcissus-tahiti"),
        # Hyacinthoides: Grundmann and others, Taxon 59(1), 2010, 68-82 (synonyms, as quoted in an
        # encyclopaedia).
        ("Scilla non-scripta", "hyacinthoides-non-scripta"),
        ("Endymion non-scriptus", "hyacinthoides-non-scripta"),
        # Horticultural Flora of South-eastern Australia, volume 5, 2005: Gladiolus callianthus,
        # synonym Acidanthera bicolor, peacock gladiolus; accepted name Gladiolus murielae.
        ("Acidanthera bicolor", "gladiolus-murielae"),
        ("Gladiolus callianthus", "gladiolus-murielae"),
        ("peacock gladiolus", "gladiolus-murielae"),
        # Goldblatt and Manning, Novon 6, 1996, 263.
        ("Schizostylis coccinea 'Major'", "hesperantha-coccinea-major"),
        # World Checklist of Selected Plant Families, Royal Botanic Gardens, Kew, 2012 (as quoted).
        ("Galtonia candicans", "ornithogalum-candicans"),
        ("Hyacinthus candicans", "ornithogalum-candicans"),
        # Plants of the World Online, Royal Botanic Gardens, Kew (as quoted): Anemonoides.
        ("Anemonoides nemorosa 'Robinsoniana'", "anemone-nemorosa-robinsoniana"),
        # From memory, no source.
        ("Brodiaea laxa", "triteleia-laxa-koningin-fabiola"),
        ("Leopoldia macrocarpa Golden Fragrance", "muscari-macrocarpum-golden-fragrance"),
        ("Lilium tigrinum", "lilium-lancifolium-splendens"),
        ("Scilla campanulata 'Excelsior'", "hyacinthoides-hispanica-excelsior"),
        ("Gladiolus nanus 'Nymph'", "gladiolus-nymph-nanus-group"),
    ],
)
def test_a_name_as_people_write_it_finds_the_kind(text: str, cultivar_id: str) -> None:
    assert CATALOGUE.find(text).id == cultivar_id


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("China Pink", {"Tulipa 'China Pink'", "Hyacinthus orientalis 'China Pink'"}),
        ("triumphator", {"Tulipa 'White Triumphator'"}),  # a part of a name is asked about
        ("Tulipa 'Pride'", {"Tulipa 'Apricot Pride'"}),
        ("bluebell", {"Hyacinthoides non-scripta", "Hyacinthoides hispanica 'Excelsior'"}),
    ],
)
def test_what_could_be_several_or_is_a_part_is_asked(text: str, names: set[str]) -> None:
    with pytest.raises(UnknownNameError) as asked:
        CATALOGUE.find(text)
    assert set(asked.value.near) == names


def test_an_unknown_name_gets_three_at_most_and_the_nearest_first() -> None:
    with pytest.raises(UnknownNameError) as asked:
        CATALOGUE.find("Tulipa 'Ballerima Twist'")
    assert 1 <= len(asked.value.near) <= 3
    assert asked.value.near[0] == "Tulipa 'Ballerina'"


@given(st.sampled_from(KINDS), st.data())
def test_the_words_of_a_name_may_stand_in_any_order(kind: Cultivar, data: st.DataObject) -> None:
    words = data.draw(st.permutations(spaced(kind.name).split()))
    assert kind.name in meant(" ".join(words))


@given(st.sampled_from(KINDS), st.data())
def test_one_slip_finds_the_kind_or_asks_for_it(kind: Cultivar, data: st.DataObject) -> None:
    text = spaced(kind.name)
    long = [word for word in text.split() if len(word) >= 7]
    if not long:
        return
    word = data.draw(st.sampled_from(long))
    at = data.draw(st.integers(1, len(word) - 2))
    slip = word[:at] + word[at + 1 :]
    found = meant(text.replace(word, slip, 1))
    # A name cut short may be another's: then that one is meant.
    others = {c.name for c in CATALOGUE if slip in " ".join(names_of(c).whole).split()}
    assert kind.name in found or others & set(found), (text, slip)


@settings(max_examples=200)
@given(st.text(max_size=60))
def test_any_text_finds_one_or_says_what_is_near(text: str) -> None:
    assert len(meant(text)) <= 7  # six and how many more
    for rank in CATALOGUE.index.search(spaced(text).split()).values():
        assert rank in (0, 1, 2, 3)


def test_a_page_of_text_is_no_name_and_is_told_so_at_once() -> None:
    begun = time.perf_counter()
    assert len(meant("tulipa purisima " * 20_000)) <= 7
    assert len(meant("x" * 300_000)) <= 7
    assert time.perf_counter() - begun < 2.0


def test_the_table_of_names_stands_for_kinds_that_are_there() -> None:
    with data_root("shared").joinpath("catalogue", "synonyms.csv").open(encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    assert {row["kind"] for row in rows} == {"botanical", "common", "cultivar"}
    assert Counter(row["basis"] for row in rows).keys() == {"published", "memory"}
    stray = []
    of_name: dict[str, set[str]] = {}
    for row in rows:
        assert row["source"] and ("memory" in row["source"]) == (row["basis"] == "memory")
        now, _, group = row["now"].partition(": ")
        kinds = [
            c
            for c in CATALOGUE
            if any(
                f"{form} ".startswith(f"{spaced(now)} ")
                for form in map(spaced, (c.name, *c.synonyms))
            )
            and (not group or c.group == group)
        ]
        if not kinds:
            stray.append(row["was"])
            continue
        found = CATALOGUE.index.search(spaced(row["was"]).split())
        assert {c.id for c in kinds} <= set(found), row["was"]
        of_name.setdefault(row["was"], set()).update(c.name for c in kinds)
    for was, names in of_name.items():
        assert set(meant(was)) & names, was
    assert stray == ["Leopoldia comosa"]  # for kinds of one's own


def test_a_key_press_is_answered_at_once_among_thousands_of_kinds() -> None:
    """50 ms for the catalogue and 2,000 kinds of one's own, typing errors included."""
    own = [
        kind.model_copy(
            update={"id": f"own-{n}", "name": f"{kind.genus} 'Mine {n * 7919 % 99991:x}w{n}'"}
        )
        for n, kind in zip(range(2000), KINDS * 4, strict=False)
    ]
    many = CATALOGUE.with_own(own)
    assert len(many) == len(CATALOGUE) + 2000 == len(many.index)
    for text in ("t", "tu", "scented tulip", "white april", "balerrina tulp", "qwertz asdfgh"):
        words = text.split()
        best = 1.0
        for _ in range(3):
            begun = time.perf_counter()
            if not many.index.search(words):
                assert many.index.mended(words) or many.index.nearest(text) is not None
            best = min(best, time.perf_counter() - begun)
        assert best < 0.050, (text, best)


def test_own_kinds_are_found_by_their_names_and_the_others_keep_theirs() -> None:
    mine = CATALOGUE.get("tulipa-abba").model_copy(
        update={"id": "own-1", "name": "Tulipa 'Auntie Flo'", "synonyms": ("Flo’s red",)}
    )
    both = CATALOGUE.with_own([mine])
    assert both.find("auntie flo tulip") is mine
    assert both.find("flos red") is mine
    assert both.find("abba").id == "tulipa-abba"
    assert CATALOGUE.with_own([]) is CATALOGUE
