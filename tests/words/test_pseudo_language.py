"""Every text that people read went through a message: in a language that is none, it shows."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from bloomline.cli.main import main
from bloomline.reference.tasks import load_task_rules

Unmarked = Callable[..., set[str]]
YARD = "hollyhock-lane.bloomline"
COMMANDS = [
    "season YARD", "check YARD", "work YARD --today 2027-03-10",
    "work YARD --why --today 2027-03-10", "buy YARD", "succession YARD", "records YARD",
    "weather YARD", "layout YARD", "find YARD --colour white", "compare YARD --warmer 2",
    "climate|De Bilt", "cultivars --type tulip", "cultivars crocus --place Uppsala",
    "forecast --place Rothamsted|--cultivar|Red Emperor|--planted 2025-11-01",
]  # fmt: skip


@pytest.mark.parametrize("command", COMMANDS)
def test_every_line_of_a_command_is_a_message(
    command: str,
    checkout: Path,
    pseudo_language: str,
    unmarked: Unmarked,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("bloomline.cli.main.use_language", lambda _code: "fi")
    monkeypatch.chdir(checkout / "demo")
    arguments = [
        part
        for piece in command.split("|")
        for part in (
            piece.split() if "--" in piece or "YARD" in piece or " " not in piece else [piece]
        )
    ]
    main([YARD if each == "YARD" else each for each in arguments])
    said = capsys.readouterr()
    # A task's key may be cut where a line ends.
    keys = " ".join(each.kind for each in load_task_rules().rules).replace("-", " ")
    assert unmarked(said.out + said.err, keys) == set()
