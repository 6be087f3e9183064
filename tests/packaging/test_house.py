"""What modules take from one another, beyond what import-linter is asked."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path


def imports_of(path: Path) -> Iterator[ast.ImportFrom]:
    """Every `from … import …` of our own, those inside functions and for types too."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "bloomline":
            yield node


def test_no_module_takes_a_private_name_of_another(checkout: Path) -> None:
    taken = [
        f"{path.relative_to(checkout)}:{node.lineno}: {node.module}.{alias.name}"
        for path in sorted((checkout / "bloomline").rglob("*.py"))
        for node in imports_of(path)
        for alias in node.names
        if alias.name.startswith("_") and alias.name != "__version__"
    ]
    assert taken == []
