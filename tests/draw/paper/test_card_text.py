"""Lines of styled text."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from bloomline.draw.paper.card_text import Piece, styled, wrap

NAMES = ("Tulipa 'Queen of Night'", "Crocus chrysanthus 'Cream Beauty'")


def _measure(text: str, bold: bool) -> float:
    return len(text) * (1.1 if bold else 1.0)


def _plain(lines: tuple[tuple[Piece, ...], ...]) -> list[str]:
    return ["".join(each.text for each in line).replace("\u00a0", " ") for line in lines]


def test_names_in_a_sentence_have_their_styles() -> None:
    pieces = styled("Set 3 of Tulipa 'Queen of Night', not Crocus.", NAMES)
    assert [(each.text, each.italic) for each in pieces] == [
        ("Set 3 of ", False),
        ("Tulipa ", True),
        ("'Queen of Night'", False),
        (", not ", False),
        ("Crocus", True),
        (".", False),
    ]


def test_a_name_within_a_word_is_no_name() -> None:
    assert [each.italic for each in styled("Tulipas and Crocuses", NAMES)] == [False]


def test_group_names_are_upright() -> None:
    pieces = styled("Muscari Azure Group", ("Muscari Azure Group",))
    assert [(each.text, each.italic) for each in pieces] == [
        ("Muscari ", True),
        ("Azure Group", False),
    ]


def test_figures_are_bold_where_they_are_found_first() -> None:
    pieces = styled("Fill to 5 cm; 5 cm it is.", (), strong=("5 cm",))
    assert [(each.text, each.bold) for each in pieces] == [
        ("Fill to ", False),
        ("5 cm", True),
        ("; 5 cm it is.", False),
    ]


def test_a_figure_stays_with_its_unit_and_a_day_with_its_month() -> None:
    lines = wrap(styled("aaaa 12½ in bbbb 22 April", ()), room=8.0, measure=_measure)
    assert _plain(lines) == ["aaaa", "12½ in", "bbbb", "22 April"]


@given(st.text(alphabet="ab' T", max_size=60), st.integers(3, 30))
def test_no_line_is_wider_than_the_room_and_nothing_is_lost(text: str, room: int) -> None:
    lines = wrap(styled(text, NAMES), room=room, measure=_measure)
    assert "".join(_plain(lines)).replace(" ", "") == text.replace(" ", "")
    for line in lines:
        assert sum(_measure(each.text, each.bold) for each in line) <= room
