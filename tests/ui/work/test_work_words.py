"""Kinds of task in words."""

from __future__ import annotations

from bloomline.plan.work.words import KINDS
from bloomline.reference.tasks import load_task_rules
from bloomline.ui.work.words import kind_words


def test_every_kind_of_task_has_words_of_its_own():
    """None falls back to its key, which no translation knows."""
    kinds = [rule.kind for rule in load_task_rules().rules]
    words = [kind_words(kind) for kind in kinds]
    assert len(set(words)) == len(kinds)
    from inspect import getsource

    source = getsource(kind_words)
    assert [kind for kind in kinds if f'"{kind}"' not in source] == []
    # The command line says the same.
    assert {kind: kind_words(kind) for kind in kinds} == KINDS
