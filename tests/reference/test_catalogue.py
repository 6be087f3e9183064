from __future__ import annotations

import math
from pathlib import Path

import pytest

from bloomline.errors import DataError, FileProblemError, UnknownNameError
from bloomline.model.cultivar import Cultivar, MonthDay
from bloomline.reference.catalogue import Catalogue, load_catalogue, load_companions
from bloomline.reference.rules import load_rules


@pytest.fixture(scope="module")
def catalogue() -> Catalogue:
    return load_catalogue()


def own(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "own.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_all_rows_load_with_unique_names(catalogue: Catalogue):
    assert len(catalogue) >= 550
    assert len({c.name for c in catalogue}) == len(catalogue)


def test_names_follow_the_code(catalogue: Catalogue):
    # ICNCP: epithet in single quotation marks after the botanical name, no double quotes.
    for c in catalogue:
        assert c.name.startswith(c.genus)
        assert c.name.count("'") in (0, 2)
        assert '"' not in c.name
        assert "  " not in c.name
        assert c.id.startswith(c.genus.lower())


def test_every_date_and_chill_figure_says_where_it_comes_from(catalogue: Catalogue):
    for c in catalogue:
        assert c.date_note, c.id
        assert c.chill_note, c.id
        assert "README" not in c.date_note + c.chill_note
        assert 3 <= c.ref_sd_days <= 20
        if c.date_basis == "relative":
            assert c.date_note.startswith("relative to")
    bases = {c.date_basis for c in catalogue}
    assert bases == {"published", "relative", "class-typical", "memory"}


def test_a_gardener_would_believe_the_figures(catalogue: Catalogue):
    for c in catalogue:
        # A bulb is about a ball of density near 1; crowns and tubers are flat.
        ball_g = math.pi / 6 * c.bulb_diameter_cm**3
        assert 0.3 < c.grams_per_bulb / ball_g < 1.7, c.id
        assert c.spacing_cm >= c.bulb_diameter_cm, c.id
        assert c.cover_cm <= 20, c.id
        assert c.spread_cm <= max(c.height_cm, 25), c.id
        if c.season_planted == "autumn" and c.genus != "Cyclamen":
            # First season: flowers follow planting by 2 to 10 months.
            wait = (c.ref_start.day_of_year - c.ref_planted.day_of_year) % 365
            assert 60 < wait < 310, c.id
        if c.chill_weeks_best is not None:
            assert 6 <= c.chill_weeks_best <= 18, c.id


def test_hardiness_and_lowest_air_agree_with_the_zone_table(catalogue: Catalogue):
    rules = load_rules()
    for plant in (*catalogue, *load_companions()):
        assert rules.zone_lowest_c(str(plant.hardiness_usda_min)) == plant.lowest_air_c


@pytest.mark.parametrize(
    ("name", "zone"),
    [
        # Cornell University, home gardening growing guide: Cyclamen coum, zones 5 to 9.
        ("Cyclamen coum", 5),
        # Kwantlen Polytechnic University, plant database: Cyclamen hederifolium zone 5, Scilla
        # siberica zone 2.
        ("Cyclamen hederifolium", 5),
        ("Scilla siberica", 2),
        # From Crete: a US shop has zones 6 to 10 (read as an excerpt).
        ("Tulipa saxatilis", 6),
    ],
)
def test_hardiness_is_that_of_published_guides(catalogue: Catalogue, name: str, zone: int):
    assert catalogue.find(name).hardiness_usda_min == zone


def test_zone_bounds_are_steps_of_ten_fahrenheit():
    # USDA Plant Hardiness Zone Map: zone z starts at -60 + 10 (z - 1) °F.
    for zone in range(1, 14):
        exact_c = (-60 + 10 * (zone - 1) - 32) / 1.8
        assert load_rules().zone_lowest_c(str(zone)) == pytest.approx(exact_c, abs=0.6)


def test_harm_agrees_with_the_rules(catalogue: Catalogue):
    rules = load_rules()
    for c in catalogue:
        harm = rules.toxicity(c.genus, c.group)
        assert harm is not None, c.id
        assert harm.level == c.toxic_pets, c.id


def test_first_flowers_follow_those_of_kew(catalogue: Catalogue):
    # Royal Botanic Gardens Kew, first flowers: Crocus tommasinianus 26 January (mean 1950s-2011);
    # Crocus chrysanthus 2 and 15 February, winter aconite 11 and 29 January (2000s and 1980s;
    # Horticulture Week, March 2010). Bulbs in their first season come up to two weeks later.
    for name, early, late in (
        ("Crocus tommasinianus", "01-26", "02-09"),
        ("Crocus chrysanthus", "02-02", "02-24"),
        ("Eranthis hyemalis", "01-11", "02-12"),
    ):
        start = catalogue.find(name).ref_start
        assert MonthDay.parse(early) <= start <= MonthDay.parse(late), name


def test_tulip_classes_open_in_their_usual_order(catalogue: Catalogue):
    # RHS classes from early to late (trade usage and RHS trial reports name the order).
    order = ("Kaufmanniana", "Fosteriana", "Triumph", "Darwin hybrid", "Single Late")
    middles = []
    for group in order:
        starts = sorted(c.ref_start.day_of_year for c in catalogue if c.group == group)
        middles.append(starts[len(starts) // 2])
    assert middles == sorted(middles)


@pytest.mark.parametrize(
    ("text", "cultivar_id"),
    [
        ("tulipa-madame-lefeber", "tulipa-madame-lefeber"),
        ("Tulipa 'Madame Lefeber'", "tulipa-madame-lefeber"),
        ("madame lefeber", "tulipa-madame-lefeber"),
        ("'Red Emperor'", "tulipa-madame-lefeber"),
        ("Tulipa 'Red Emperor'", "tulipa-madame-lefeber"),
        ("Tulipa \u2018Red Emperor\u2019", "tulipa-madame-lefeber"),
        ("tulip RED EMPEROR", "tulipa-madame-lefeber"),
        ("Narcissus Tete-a-Tete", "narcissus-tete-a-tete"),
        ("tête à tête", "narcissus-tete-a-tete"),
        ("daffodil 'Jetfire'", "narcissus-jetfire"),
        ("Heart's Delight", "tulipa-hearts-delight"),
        ("Tulipa 'Heart\u2019s Delight'", "tulipa-hearts-delight"),
        ("Crocus x luteus 'Golden Yellow'", "crocus-luteus-golden-yellow"),
        ("Crocus × luteus Golden Yellow", "crocus-luteus-golden-yellow"),
        ("Stargazer", "lilium-star-gazer"),
        ("W. P. Milner", "narcissus-w-p-milner"),
        ("Crocus tommasinianus", "crocus-tommasinianus"),
        ("Galanthus nivalis", "galanthus-nivalis"),
        ("Eranthis hyemalis", "eranthis-hyemalis"),
        ("Narcissus pseudonarcissus", "narcissus-pseudonarcissus-subsp-lobularis"),
        ("Crocus chrysanthus", "crocus-chrysanthus-cream-beauty"),
        ("Scilla siberica", "scilla-siberica-spring-beauty"),
        ("paperwhite", "narcissus-papyraceus-paperwhite"),
        ("Princess Irene", "tulipa-prinses-irene"),
        # Kew's checklist of monocots has Chionodoxa within Scilla (Pacific Bulb Society
        # mailing list, 2015); Anemone blanda is an Anemonoides of some floras.
        ("Scilla forbesii", "chionodoxa-forbesii"),
        ("Scilla luciliae", "chionodoxa-forbesii"),
        ("Chionodoxa luciliae", "chionodoxa-forbesii"),
        ("Chionodoxa siehei", "chionodoxa-forbesii"),
        ("Scilla sardensis", "chionodoxa-sardensis"),
        ("Scilla forbesii 'Pink Giant'", "chionodoxa-forbesii-pink-giant"),
        ("Anemonoides blanda", "anemone-blanda-blue-shades"),
        ("Anemonoides 'Charmer'", "anemone-blanda-charmer"),
        ("Anemonoides blanda 'White Splendour'", "anemone-blanda-white-splendour"),
    ],
)
def test_any_usual_name_finds_the_cultivar(catalogue: Catalogue, text: str, cultivar_id: str):
    assert catalogue.find(text).id == cultivar_id


def test_every_name_and_id_finds_its_own_row(catalogue: Catalogue):
    for c in catalogue:
        assert catalogue.find(c.id) is c
        assert catalogue.find(c.name) is c
        assert catalogue.find(c.name.replace("'", "").upper()) is c


def _meant(catalogue: Catalogue, text: str) -> list[str]:
    try:
        return [catalogue.find(text).name]
    except UnknownNameError as unsure:
        return list(unsure.near)


def test_every_other_name_finds_its_row_or_asks_among_several(catalogue: Catalogue):
    for c in catalogue:
        for name in c.synonyms:
            # Brackets say of whom a name is used: "(unnamed)", "(wrongly)", "(of gardens)".
            assert c.name in _meant(catalogue, name.partition(" (")[0]), name


@pytest.mark.parametrize("text", ["Scilla section Chionodoxa", "Scilla sect. Chionodoxa"])
def test_a_section_lists_its_plants(catalogue: Catalogue, text: str):
    assert {c.genus for c in catalogue.search(text)} == {"Chionodoxa"}
    assert len(catalogue.search(text)) == 4


def test_a_name_two_plants_share_asks_which(catalogue: Catalogue):
    with pytest.raises(UnknownNameError) as caught:
        catalogue.find("Mount Hood")
    assert set(caught.value.near) == {"Narcissus 'Mount Hood'", "Muscari aucheri 'Mount Hood'"}
    assert catalogue.find("Muscari 'Mount Hood'").genus == "Muscari"


def test_the_name_of_a_kind_lists_some_of_its_cultivars(catalogue: Catalogue):
    with pytest.raises(UnknownNameError, match=r"Tulipa '.*, \d{2,3} more\?"):
        catalogue.find("tulip")
    assert catalogue.find("Puschkinia").id == "puschkinia-scilloides-var-libanotica"
    assert catalogue.find("snowdrop").id == "galanthus-nivalis"


def test_near_misses_are_named(catalogue: Catalogue):
    with pytest.raises(UnknownNameError, match="did you mean Tulipa 'Ballerina'"):
        catalogue.find("Tulipa 'Balarina tall'")
    with pytest.raises(UnknownNameError) as caught:
        catalogue.find("zzzz")
    assert caught.value.near == ()
    with pytest.raises(UnknownNameError):
        catalogue.find("")
    with pytest.raises(UnknownNameError, match="tulipa"):
        catalogue.get("tulipa-apeldorn")


def test_search_filters(catalogue: Catalogue):
    assert len(catalogue.search()) == len(catalogue)
    early = catalogue.search(month=2, pet_safe=False, height_max_cm=15)
    assert early
    assert all(c.height_cm <= 15 and c.toxic_pets for c in early)
    assert all(c.ref_start.month <= 2 <= c.ref_end.month for c in early)
    white = catalogue.search("white", common_type="daffodil", scent_min=2)
    assert white
    assert all(c.genus == "Narcissus" and c.scent == 2 for c in white)
    assert catalogue.search("queen")[0].name.startswith("Tulipa 'Queen of ")
    assert catalogue.search(colour="blue", height_min_cm=40)
    assert catalogue.search("no such thing at all") == []
    safe = catalogue.search(pet_safe=True)
    assert {c.toxic_pets for c in safe} == {0}


def test_shape_of_a_bulb(catalogue: Catalogue):
    # A top-size tulip bulb (circumference 12 cm) is about 4 cm wide (common practice).
    tulip = catalogue.find("Apricot Beauty")
    assert tulip.bulb_diameter_cm == pytest.approx(3.82, abs=0.01)
    assert tulip.bulb_height_cm == pytest.approx(1.15 * 3.82, abs=0.02)
    crocus = catalogue.find("Crocus tommasinianus")
    assert crocus.bulb_height_cm < crocus.bulb_diameter_cm


def test_established_bulbs_open_earlier_most_of_all_the_small_ones(catalogue: Catalogue):
    for c in catalogue:
        assert 0 <= c.established_shift_days <= 21
        assert c.established_sd_days >= 5
    assert catalogue.find("Galanthus nivalis").established_shift_days >= 7
    assert catalogue.find("Apeldoorn").established_shift_days <= 7


def test_own_table_merges_over(catalogue: Catalogue, tmp_path: Path):
    path = own(
        tmp_path,
        "id,genus,name,common_type,colour,colour_hex,height_cm,spread_cm,bulb_circumference_cm,"
        "cover_cm,spacing_cm,ref_start_md,ref_end_md,hardiness_usda_min,grams_per_bulb,"
        "chill_weeks_min,chill_weeks_best\n"
        "tulipa-purissima,,,,,,44,,,,,03-30,04-20,,,,\n"
        "my-allium,Allium,Allium 'Back Step',allium,blue,#4455AA,50,10,6,8,7,05-20,06-10,"
        "5,3,12,14\n"
        "narcissus-thalia,,,,,,,,,,,,,,,none,none\n",
    )
    merged = load_catalogue(path)
    assert len(merged) == len(catalogue) + 1
    changed = merged.get("tulipa-purissima")
    assert (changed.height_cm, str(changed.ref_start)) == (44, "03-30")
    assert changed.colour == catalogue.get("tulipa-purissima").colour
    fresh = merged.find("back step")
    assert fresh.toxic_pets == 2  # an onion harms dogs and cats, also where the row says nothing
    assert fresh.lowest_air_c == -29
    assert fresh.date_basis == "memory"
    assert str(fresh.ref_planted) == "10-15"
    assert merged.get("narcissus-thalia").chill_weeks_best is None
    assert load_catalogue() is not merged
    assert len(load_catalogue()) == len(catalogue)


@pytest.mark.parametrize(
    ("table", "told"),
    [
        ("id,height_cm\ntulipa-abba,abc\n", r"row 2 \(tulipa-abba\): height_cm: “abc”: .*number"),
        ("id,height_cm\ntulipa-abba,900\n", r"height_cm: “900”: .*less than or equal to 250"),
        ('id,height_cm\ntulipa-abba,"12,5"\n', "write a point"),
        ("id,height_cm\ntulipa-abba,nan\n", "height_cm: “nan”"),
        ("id,ref_start_md\ntulipa-abba,13-40\n", "ref_start_md: “13-40”: .*04-17"),
        ("id,ref_start_md\ntulipa-abba,05-20\n", "342 days of flower"),
        ("id,colour_hex\ntulipa-abba,red\n", "colour_hex: “red”"),
        ("id,spacing_cm\ntulipa-abba,1\n", "less than the bulb is wide"),
        ("id,light\ntulipa-abba,gloom\n", "light: “gloom”: .*'sun', 'part' or 'shade'"),
        ("id,chill_weeks_best\ntulipa-abba,none\n", "both be given or both be empty"),
        ("id,chill_weeks_best\ntulipa-abba,3\n", "must not be more than"),
        ("id,heigth_cm\ntulipa-abba,3\n", "“heigth_cm”: no such column; did you mean “height_cm”"),
        ("height_cm\n3\n", "column “id” is missing"),
        ("id,height_cm\n,3\n", "row 2: id: empty"),
        ("id,height_cm\ntulipa-abba,30\ntulipa-abba,31\n", "row 3: id: .*already in row 2"),
        ("id,height_cm\nbrand-new,30\n", r"row 2 \(brand-new\): genus: empty"),
        ("id,height_cm\ntulipa-abba,30,7\n", "row 2: 3 cells, but 2 columns"),
    ],
)
def test_mistakes_in_an_own_table_are_named(tmp_path: Path, table: str, told: str):
    with pytest.raises(DataError, match=told) as caught:
        load_catalogue(own(tmp_path, table))
    assert "own.csv" in str(caught.value)


def test_every_bad_row_is_told_not_only_the_first(tmp_path: Path):
    table = "id,height_cm\ntulipa-abba,x\ntulipa-verona,30\ntulipa-foxtrot,y\n"
    with pytest.raises(DataError) as caught:
        load_catalogue(own(tmp_path, table))
    assert [p.split(":")[0] for p in caught.value.problems] == [
        "row 2 (tulipa-abba)",
        "row 4 (tulipa-foxtrot)",
    ]


@pytest.mark.parametrize(
    ("raw", "told"),
    [
        (b"", "empty"),
        (b"\n\n", "empty"),
        (b"id,height_cm\ntulipa-abba,\xff\n", "not UTF-8"),
        (b"id,height_cm\ntulipa-abba,\x00\n", "not a text table"),
        (b"id,id\na,b\n", "named twice"),
        (b'id,height_cm\n"tulipa-abba,3\n', "CSV"),
    ],
)
def test_files_that_are_no_table(tmp_path: Path, raw: bytes, told: str):
    path = tmp_path / "own.csv"
    path.write_bytes(raw)
    with pytest.raises(FileProblemError, match=told):
        load_catalogue(path)


@pytest.mark.parametrize(
    "table",
    [
        "id,height_cm,cover_cm\ntulipa-abba,31,14.5\n",
        "id;height_cm;cover_cm\ntulipa-abba;31;14.5\n",
        "id\theight_cm\tcover_cm\ntulipa-abba\t31\t14.5\n",
        "\ufeffid,height_cm,cover_cm\r\n tulipa-abba , 31 ,14.5\r\n\r\n",
        'id,height_cm,cover_cm,date_note\ntulipa-abba,31,14.5,"seen, at the gate"',
    ],
)
def test_tables_as_spreadsheets_write_them(tmp_path: Path, table: str):
    abba = load_catalogue(own(tmp_path, table)).get("tulipa-abba")
    assert (abba.height_cm, abba.cover_cm) == (31, 14.5)


def test_missing_file(tmp_path: Path):
    with pytest.raises(FileProblemError, match="can't be read"):
        load_catalogue(tmp_path / "nowhere.csv")


def test_a_table_of_headings_alone_changes_nothing(catalogue: Catalogue, tmp_path: Path):
    assert len(load_catalogue(own(tmp_path, "id,height_cm\n"))) == len(catalogue)


def test_with_own_takes_the_place_of_one_id(catalogue: Catalogue):
    old = catalogue.get("tulipa-abba")
    new = old.model_copy(update={"height_cm": 31.0})
    assert catalogue.with_own([new]).get("tulipa-abba").height_cm == 31
    assert catalogue.get("tulipa-abba") is old


def test_day_of_any_year():
    assert str(MonthDay.parse("02-29")) == "02-29"
    assert MonthDay(2, 29).in_year(2025).isoformat() == "2025-02-28"
    assert MonthDay(2, 29).in_year(2024).isoformat() == "2024-02-29"
    assert MonthDay(12, 31).day_of_year == 365
    for text in ("2-9", "02-30", "00-10", "13-01", "0217", ""):
        with pytest.raises(ValueError, match="04-17"):
            MonthDay.parse(text)


def test_a_display_over_new_year_is_allowed(catalogue: Catalogue):
    fields = catalogue.get("cyclamen-coum").model_dump()
    fields |= {"ref_start": "12-10", "ref_end": "02-20"}
    winter = Cultivar.model_validate(fields)
    assert winter.display_days == 72
    assert winter.flowers_in == "winter"


def test_cultivar_round_trips_through_json(catalogue: Catalogue):
    for c in list(catalogue)[::37]:
        assert Cultivar.model_validate_json(c.model_dump_json()) == c


def test_companions_load():
    companions = load_companions()
    assert len(companions) == 27
    assert len({c.id for c in companions}) == 27
    assert all(c.source for c in companions)


def test_wallflowers_are_not_called_harmless():
    # Erysimum cheiri holds cardiac steroids: Research Journal of Pharmacognosy 6(2), 2019, 85-95.
    flowers = [c for c in load_companions() if c.name.startswith("Erysimum")]
    assert len(flowers) == 2
    assert all(c.toxic_pets == 1 and "cardiac" in c.toxic_note for c in flowers)
