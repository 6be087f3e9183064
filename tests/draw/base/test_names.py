from __future__ import annotations

import pytest

from bloomline.draw.base.names import NameRun, elide, fit_name, name_runs, wrapped


def italics(name: str) -> list[str]:
    return [run.text.strip() for run in name_runs(name) if run.italic]


@pytest.mark.parametrize(
    ("name", "italic"),
    [
        # Italic and upright as in the International Code of Nomenclature for Cultivated Plants,
        # 9th edition (from memory).
        ("Tulipa 'Apricot Beauty'", ["Tulipa"]),
        ("Iris reticulata 'Alida'", ["Iris reticulata"]),
        ("Anemone coronaria (De Caen Group) 'Mister Fokker'", ["Anemone coronaria"]),
        ("Galanthus nivalis f. pleniflorus 'Flore Pleno'", ["Galanthus nivalis", "pleniflorus"]),
        ("Viola × wittrockiana (winter pansy)", ["Viola", "wittrockiana"]),
        ("Viola cornuta hybrids (small-flowered viola)", ["Viola cornuta"]),
        ("Narcissus papyraceus", ["Narcissus papyraceus"]),
        ("Tulipa 'Bird's Nest'", ["Tulipa"]),
    ],
)
def test_latin_is_italic_and_the_rest_upright(name: str, italic: list[str]) -> None:
    assert italics(name) == italic
    assert "".join(run.text for run in name_runs(name)) == name


def test_shortened_genus_stays_italic() -> None:
    assert name_runs("T. 'Purissima'") == (NameRun("T. ", True), NameRun("'Purissima'", False))


@pytest.mark.parametrize(
    ("room", "shown"),
    [
        (60, "Anemone coronaria (De Caen Group) 'Mister Fokker'"),
        (40, "Anemone coronaria 'Mister Fokker'"),
        (30, "A. coronaria 'Mister Fokker'"),
        (20, "A. 'Mister Fokker'"),
        (12, "A. 'Mister…"),
    ],
)
def test_long_names_are_shortened_before_they_are_cut(room: float, shown: str) -> None:
    name = "Anemone coronaria (De Caen Group) 'Mister Fokker'"
    assert fit_name(name, room=room, measure=len) == shown


def test_elide() -> None:
    assert elide("Half barrel", room=11, measure=len) == "Half barrel"
    assert elide("Half barrel", room=6, measure=len) == "Half…"
    assert elide("Half barrel", room=0.5, measure=len) == ""


def test_wrapped_loses_no_word_that_has_room() -> None:
    assert wrapped("too late for the cold", room=9, measure=len) == ("too late", "for the", "cold")
    lines = wrapped("too late for the cold", room=9, measure=len, most_lines=2)
    assert lines == ("too late", "for the…")


def test_an_epithet_that_is_cut_stays_upright() -> None:
    runs = name_runs("T. 'Queen of Ni…")
    assert [(run.text, run.italic) for run in runs] == [("T. ", True), ("'Queen of Ni…", False)]
