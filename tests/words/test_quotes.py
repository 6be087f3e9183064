"""What people read stands in quotation marks, never in Python's."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

from bloomline.errors import UnknownNameError
from bloomline.words import quoted


def _python_quotes(tree: ast.AST) -> list[int]:
    return [
        node.lineno
        for node in ast.walk(tree)
        if (isinstance(node, ast.FormattedValue) and node.conversion == ord("r"))
        or (isinstance(node, ast.Constant) and isinstance(node.value, str) and "!r}" in node.value)
    ]


def test_no_message_quotes_as_python_does(checkout: Path) -> None:
    found = [
        f"{path.relative_to(checkout)}:{line}"
        for path in sorted((checkout / "bloomline").rglob("*.py"))
        if "engine" not in path.parts  # which speaks to callers alone, and holds packed tables
        for line in _python_quotes(ast.parse(path.read_text(encoding="utf-8")))
    ]
    assert found == []


def test_the_guard_sees_both_kinds() -> None:
    assert _python_quotes(ast.parse("f'{name!r}'\ntr('no {name!r}', name=1)")) == [1, 2]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Sarah's bowl", "“Sarah's bowl”"),
        ('6" pot', '“6" pot”'),
        ("C:\\new", "“C:\\new”"),
        ("two\nlines", "“two\\nlines”"),
        ("a\u202eb", "“a\\u202eb”"),
    ],
)
def test_marks_stay_and_what_is_unseen_is_told(text: str, said: str) -> None:
    assert quoted(text) == said


def test_a_name_with_an_apostrophe_is_quoted_like_any_other() -> None:
    assert str(UnknownNameError("pot", "Sarah's")) == "no pot called “Sarah's”"
