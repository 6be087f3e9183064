"""Values that are worked out when they are asked for are the same as those made at once."""

from __future__ import annotations

from collections import Counter
from dataclasses import FrozenInstanceError, dataclass, fields, replace

import pytest

from bloomline.plan.forecast.later import LaterItems, later


@dataclass(frozen=True)
class Answer:
    name: str
    square: int = 0
    cube: int = 0
    words: tuple[str, ...] = ()


def answer_of(number, calls=None):
    def work_out(name):
        if calls is not None:
            calls[name] += 1
        if name == "words":
            return {"words": (str(number),)}
        return {"square": number**2, "cube": number**3}

    return later(Answer)(work_out, {"name": f"n{number}"})


def test_it_is_the_dataclass_with_its_fields():
    made = answer_of(3)
    assert isinstance(made, Answer)
    assert {each.name: getattr(made, each.name) for each in fields(made)} == {
        "name": "n3",
        "square": 9,
        "cube": 27,
        "words": ("3",),
    }
    with pytest.raises(FrozenInstanceError):
        made.square = 4
    with pytest.raises(AttributeError):
        _ = made.height


def test_what_comes_of_one_work_is_worked_out_once():
    calls = Counter()
    made = answer_of(3, calls)
    assert calls == {}
    assert (made.cube, made.square, made.cube) == (27, 9, 27)
    assert calls == {"cube": 1}
    assert made.name == "n3" and calls == {"cube": 1}


def test_another_value_of_a_field_replaces_what_would_be_worked_out():
    changed = replace(answer_of(3), square=10)
    assert (changed.name, changed.square, changed.cube) == ("n3", 10, 27)


def test_items_are_made_one_by_one_and_kept():
    calls = Counter()

    def square(at):
        calls[at] += 1
        return at**2

    items = LaterItems(5, square)
    assert len(items) == 5 and calls == {}
    assert items[3] == 9 and items[3] == 9 and items[-1] == 16
    assert calls == {3: 1, 4: 1}
    assert list(items) == [0, 1, 4, 9, 16] and items[1:3] == [1, 4]
    assert set(calls.values()) == {1} or calls[0] == 1
    with pytest.raises(IndexError):
        _ = items[5]
