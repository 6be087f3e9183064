from __future__ import annotations

import pytest
from filling_yards import ask, pot, yard
from hypothesis import given
from hypothesis import strategies as st

from bloomline.plan.fill.short_names import short_form

SPRING = "Ranunculus asiaticus (double spring-planted)"
AUTUMN = "Ranunculus asiaticus (double autumn-planted)"
TRAILING = "Begonia × tuberhybrida (double trailing mixed)"
UPRIGHT = "Begonia × tuberhybrida (double upright mixed)"


def short(name, *others, room):
    return short_form(name, others, room=room, measure=len)


@pytest.mark.parametrize(
    ("room", "shown"),
    [
        (50, SPRING),
        (38, "R. asiaticus (double spring-planted)"),
        (30, "R. asiaticus (…spring-planted)"),
        (20, "R. (…spring-planted)"),
    ],
)
def test_what_tells_kinds_apart_stays(room, shown):
    assert short(SPRING, AUTUMN, SPRING, room=room) == shown


def test_words_that_all_end_with_go_too():
    assert short(TRAILING, UPRIGHT, room=35) == "Begonia × tuberhybrida (…trailing…)"


def test_brackets_go_first_where_an_epithet_tells_the_kind():
    name, other = (f"Tulipa linifolia (Batalinii Group) '{e}'" for e in ("Bronze Charm", "Red"))
    assert short(name, other, room=34) == "Tulipa linifolia 'Bronze Charm'"
    assert short(name, other, room=20) == "T. 'Bronze Charm'"
    assert short(SPRING, name, room=25) == "Ranunculus asiaticus"


@given(st.integers(21, 60))
def test_no_two_kinds_of_the_catalogue_in_brackets_read_alike(room):
    names = [each.name for each in ask(yard(pot())).catalogue]
    bracketed = [each for each in names if each.endswith(")")]
    shown = [short_form(each, names, room=room, measure=len)[:room] for each in bracketed]
    assert len(set(shown)) == len(shown)
