"""How far a long task is: told now and then, and never of a short one."""

from __future__ import annotations

import pytest

from bloomline.cli import progress
from bloomline.cli.progress import Progress


@pytest.mark.parametrize(
    ("seconds", "told"), [(0.1, []), (1.1, ["2 of 5 rows", "4 of 5 rows"]), (9.0, [1, 2, 3, 4])]
)
def test_it_is_told_every_two_seconds_on_standard_error(seconds, told, monkeypatch, capsys):
    clock = iter(seconds * n for n in range(9))
    monkeypatch.setattr(progress.time, "monotonic", lambda: next(clock))
    steps = Progress(5)
    for _ in range(5):
        steps.step()
    out, err = capsys.readouterr()
    assert out == ""
    lines = err.splitlines()
    assert len(lines) == len(told)
    assert all(str(words) in line for words, line in zip(told, lines, strict=True))
