from __future__ import annotations

import pytest

from bloomline.errors import DataError, UnknownNameError
from bloomline.reference.rules import load_rules
from bloomline.reference.tasks import load_task_rules, read_aftercare, read_task_rules

GOOD = {
    "#": "2",
    "kind": "water",
    "title": "Water {what}",
    "reason": "Dry.",
    "anchor": "planted",
    "together_days": "",
    "together": "",
    "earliest_days": "-1",
    "best_days": "0",
    "latest_days": "2",
    "repeat_days": "",
    "minutes": "3",
    "seconds_per_bulb": "",
    "overdue_days": "7",
    "threshold": "",
    "threshold_unit": "",
    "source": "common practice, no source",
    "basis": "common practice",
}


def test_every_task_has_a_source_and_a_basis():
    rules = load_task_rules()
    assert len(rules.rules) >= 25
    for rule in rules.rules:
        assert rule.source
        assert rule.basis in ("published", "common practice", "memory")
        assert rules.rule(rule.kind) is rule
    assert rules.order("order") < rules.order("plant") < rules.order("lift")


def test_feeding_keeps_to_the_published_days_between():
    """RHS, Bulbs: aftercare: every 7 to 10 days (also in figures.csv)."""
    every = load_rules().figure("feed_every_days")
    repeat = load_task_rules().rule("feed").repeat_days
    assert every.low <= repeat <= every.high


def test_the_rests_of_kinds_are_those_of_the_rules():
    """Figures, care, dry_summer_rest: tulip, dwarf iris, allium, hyacinth dry; others not."""
    rules = load_task_rules()
    for genus in ("Tulipa", "Allium", "Hyacinthus"):
        assert rules.aftercare(genus).rest == "dry"
    assert rules.aftercare("Iris", "Reticulata group").rest == "dry"
    for genus in ("Galanthus", "Leucojum", "Fritillaria", "Camassia"):
        assert rules.aftercare(genus).rest == "moist"
    assert rules.aftercare("Anemone", "Coronaria").rest == "dry"
    assert rules.aftercare("Anemone", "Blanda").rest == "keep"
    assert rules.aftercare("Unheardof").rest == "keep"


def test_a_good_row_is_read():
    (rule,) = read_task_rules([GOOD])
    assert (rule.earliest_days, rule.best_days, rule.latest_days) == (-1, 0, 2)
    assert rule.repeat_days is None
    with pytest.raises(DataError, match="no threshold"):
        _ = rule.limit


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"best_days": "9"}, "in this order"),
        ({"title": "Water {0}"}, "no name to fill in"),
        ({"title": ""}, "are wanted"),
        ({"basis": "hearsay"}, "hearsay"),
        ({"minutes": "-1"}, "below 0"),
        ({"minutes": "soon"}, "soon"),
        ({"repeat_days": "-3"}, "at least 1"),
        ({"together": "first"}, "together"),
        ({"together_days": "3", "together": "middle"}, "together"),
    ],
)
def test_bad_rows_are_named(change, words):
    with pytest.raises(DataError, match=words) as caught:
        read_task_rules([{**GOOD, **change}])
    assert "row 2" in str(caught.value)


def test_a_kind_stands_once():
    with pytest.raises(DataError, match="water stands twice"):
        read_task_rules([GOOD, GOOD])


def test_unknown_kinds_and_rests_are_refused():
    with pytest.raises(UnknownNameError, match="no kind of task"):
        load_task_rules().rule("prune")
    row = {
        "#": "2",
        "genus": "",
        "group": "",
        "rest": "wet",
        "mesh": "1",
        "dead_head": "1",
        "leaves": "with",
        "pests": "",
        "source": "",
        "basis": "",
    }
    with pytest.raises(DataError, match="row 2"):
        read_aftercare([row])
