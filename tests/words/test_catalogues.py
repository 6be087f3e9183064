"""Every message is found in the code, none is built in a way that can't be found."""

from __future__ import annotations

import ast
from pathlib import Path

from babel.messages.pofile import read_po

from bloomline.words import catalogues


def test_all_messages_are_found_and_every_call_names_one(checkout: Path) -> None:
    template = catalogues.messages(checkout)
    plurals = [each for each in template if isinstance(each.id, tuple)]
    assert len(template) > 2000
    assert len(plurals) > 40
    for one in plurals:
        assert "(s)" not in "".join(one.id)
    unnamed = []
    for path in sorted((checkout / "bloomline").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
                first = node.args[0] if node.args else None
                if node.func.id in ("tr", "plural", "context", "marked") and isinstance(
                    first, ast.JoinedStr
                ):
                    unnamed.append(f"{path}:{node.lineno}")
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
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                if (
                    any(each in node.value for each in ("%b", "%B", "%A", "%a "))
                    and len(node.value) < 20
                ):
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
