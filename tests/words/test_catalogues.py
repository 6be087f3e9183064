"""Every message is found in the code, none is built in a way that can't be found."""

from __future__ import annotations

import ast
from pathlib import Path
from string import Formatter

from babel.messages.pofile import read_po

from bloomline.words import catalogues


def _calls(path: Path) -> list[ast.Call]:
    """Every call of the layer's functions in a module."""
    return [
        node
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Name)
        and node.func.id in ("tr", "plural", "context", "marked")
    ]


def _first_is_built(node: ast.Call) -> bool:
    return bool(node.args) and isinstance(node.args[0], ast.JoinedStr)


def test_every_gap_is_filled_where_the_message_stands(checkout: Path) -> None:
    """A message with values names them all, and no others."""
    amiss = []
    for path in sorted((checkout / "bloomline").rglob("*.py")):
        for node in _calls(path):
            names = {each.arg for each in node.keywords}
            plural = isinstance(node.func, ast.Name) and node.func.id == "plural"
            texts = [each.value for each in node.args if isinstance(each, ast.Constant)]
            gaps = {
                gap
                for text in texts
                if isinstance(text, str)
                for _, gap, _, _ in Formatter().parse(text)
                if gap is not None
            }
            if (names or plural) and None not in names and gaps - {"n"} != names - {"n"}:
                amiss.append(f"{path}:{node.lineno}: {gaps} {names}")
    assert amiss == []


def test_all_messages_are_found_and_every_call_names_one(checkout: Path) -> None:
    template = catalogues.messages(checkout)
    plurals = [each for each in template if isinstance(each.id, tuple)]
    assert len(template) > 2000
    assert len(plurals) > 40
    for one in plurals:
        assert "(s)" not in "".join(one.id)
    unnamed = []
    for path in sorted((checkout / "bloomline").rglob("*.py")):
        unnamed += [f"{path}:{node.lineno}" for node in _calls(path) if _first_is_built(node)]
    assert unnamed == []


def test_days_are_written_in_one_place(checkout: Path) -> None:
    """No other module formats months or weekdays, by C's locale, Qt's or names of its own."""
    found = []
    for path in sorted((checkout / "bloomline").rglob("*.py")):
        text = path.read_text("utf-8")
        name = path.relative_to(checkout).as_posix()
        if any(each in text for each in ("month_name", "month_abbr", "day_name[", "onthName(")):
            found.append(name)
        for node in ast.walk(ast.parse(text)):
            value = node.value if isinstance(node, ast.Constant) else None
            short = isinstance(value, str) and len(value) < 20
            if short and any(each in value for each in ("%b", "%B", "%A", "%a ")):
                found.append(f"{name}:{node.lineno}")
    assert found == []


def test_what_is_translated_stays_and_what_is_new_is_added(tmp_path: Path, checkout: Path) -> None:
    po = catalogues.begin("fi", tmp_path)
    files = catalogues.update(checkout, tmp_path)
    assert set(files) == {tmp_path / "bloomline.pot", po, po.with_suffix(".mo")}
    text = (
        files[po].decode("utf-8").replace('msgid "Over"\nmsgstr ""', 'msgid "Over"\nmsgstr "Ohi"')
    )
    po.write_text(text, "utf-8")
    again = catalogues.update(checkout, tmp_path)[po]
    (tmp_path / "again.po").write_bytes(again)
    with (tmp_path / "again.po").open("rb") as file:
        assert read_po(file, locale="fi").get("Over").string == "Ohi"
    assert again.decode("utf-8") == text
