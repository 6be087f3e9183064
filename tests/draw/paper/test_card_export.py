"""Pictures of cards are named by their pots."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from card_yards import laid_out, pot_of

from bloomline.draw.paper.card import CardPage
from bloomline.draw.paper.card_export import page_paths, safe_name, write_cards
from bloomline.errors import UsageError


def _named(*pots: tuple[str, str, int]) -> tuple[CardPage, ...]:
    """Pages of pots of (id, name, number of pages)."""
    sample = laid_out("a5")[0]
    return tuple(
        replace(
            sample,
            card=replace(
                sample.card,
                pot=sample.card.pot.model_copy(update={"id": pot_id, "name": name}),
            ),
            page=number,
            pages=count,
        )
        for pot_id, name, count in pots
        for number in range(1, count + 1)
    )


def _names(*pots: tuple[str, str, int]) -> list[str]:
    return [path.name for path in page_paths(_named(*pots), Path("out/cards.png"))]


def test_a_picture_goes_by_its_pot() -> None:
    assert _names(("a", "Stone sink", 1), ("b", "Half barrel by the gate", 2)) == [
        "cards-stone-sink.png",
        "cards-half-barrel-by-the-gate.png",
        "cards-half-barrel-by-the-gate-2.png",
    ]


def _with_last(*pots: tuple[str, str, int]) -> list[str]:
    last = tuple(replace(_named(pots[0])[0], card=None, page=n, pages=2) for n in (1, 2))
    return [path.name for path in page_paths((*_named(*pots), *last), Path("cards.png"))]


def test_the_last_sheet_of_a_set_has_a_name_of_its_own() -> None:
    assert _with_last(("a", "Bowl", 1)) == [
        "cards.png",
        "cards-cautions.png",
        "cards-cautions-2.png",
    ]
    names = _with_last(("a", "Cautions", 2), ("b", "Bowl", 1))
    assert len(set(names)) == len(names) == 5
    assert names[:3] == ["cards-cautions.png", "cards-cautions-2.png", "cards-bowl.png"]


def test_a_single_pot_goes_by_the_name_that_was_given() -> None:
    assert _names(("a", "Stone sink", 2)) == ["cards.png", "cards-2.png"]


@pytest.mark.parametrize(
    "pots",
    [
        [("p1", "Bowl", 1), ("p2", "Bowl", 1), ("p3", "bowl", 2)],
        [("p1", "Bowl", 2), ("p2", "Bowl 2", 1), ("p3", "Bowl 2", 1)],
        [("2", "Bowl", 1), ("b", "Bowl 2", 1), ("c", "Bowl", 3), ("d", "Bowl c", 2)],
        [("p1", "???", 1), ("p2", "...", 1), ("p3", "P1", 1)],
        [("p1", "Ä", 1), ("p2", "a", 1), ("p3", "A" * 120, 1), ("p4", "A" * 119 + "b", 1)],
    ],
)
def test_names_never_meet_whatever_the_letters_case(pots) -> None:
    names = [name.casefold() for name in _names(*pots)]
    assert len(set(names)) == len(names) == sum(count for _, _, count in pots)


@pytest.mark.parametrize(
    ("name", "safe"),
    [
        ("Stone sink", "stone-sink"),
        ("../../etc/passwd", "etc-passwd"),
        ('CON: a "bowl" <1> | 2?*', "con-a-bowl-1-2"),
        ("Kübel am Tor", "kubel-am-tor"),
        ("白い鉢", "白い鉢"),
        ("...", ""),
        ("A" * 120, "a" * 60),
    ],
)
def test_safe_names(name, safe) -> None:
    assert safe_name(name) == safe


def test_a_long_name_in_another_script_stays_short_on_disk() -> None:
    assert 0 < len(safe_name("鉢" * 120).encode()) <= 120


def test_files_are_written_by_those_names(tmp_path: Path) -> None:
    pages = tuple(page for page in laid_out("a5") if pot_of(page) in ("one", "empty"))
    written = write_cards(pages, tmp_path / "c.svg", title="Cards")
    assert [path.name for path in written] == ["c-pan.svg", "c-empty-pot.svg"]
    assert sorted(path.name for path in tmp_path.iterdir()) == ["c-empty-pot.svg", "c-pan.svg"]
    with pytest.raises(UsageError):
        write_cards(pages, tmp_path / "c.txt", title="Cards")
