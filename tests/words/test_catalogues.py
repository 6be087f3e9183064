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


def _is_call_of(node: ast.AST, name: str) -> bool:
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == name


def _marked(tree: ast.Module) -> tuple[set[str], set[str]]:
    """Names at module level of a marked message, and of tables with some."""
    messages, tables = set(), set()
    for node in tree.body:
        if not isinstance(node, ast.Assign | ast.AnnAssign) or node.value is None:
            continue
        targets = node.targets if isinstance(node, ast.Assign) else [node.target]
        names = {each.id for each in targets if isinstance(each, ast.Name)}
        parts = (*getattr(node.value, "values", ()), *getattr(node.value, "elts", ()))
        if _is_call_of(node.value, "marked"):
            messages |= names
        elif any(_is_call_of(each, "marked") for each in parts):
            tables |= names
    return messages, tables


def _taken_plain(tree: ast.Module, messages: set[str], tables: set[str]) -> list[int]:
    """Lines where a marked message, or one out of a table, is handed to another call than `tr`."""
    return [
        value.lineno
        for node in ast.walk(tree)
        if isinstance(node, ast.Call) and not _is_call_of(node, "tr")
        for value in (*node.args, *(each.value for each in node.keywords))
        if (isinstance(value, ast.Name) and value.id in messages)
        or (
            isinstance(value, ast.Subscript)
            and isinstance(value.value, ast.Name)
            and value.value.id in tables
        )
    ]


def test_marked_messages_are_said_in_the_language_chosen(checkout: Path) -> None:
    """What a module marks for translation is translated where it is handed on."""
    trees = {
        path: ast.parse(path.read_text("utf-8"))
        for path in sorted((checkout / "bloomline").rglob("*.py"))
    }
    own = {path: _marked(tree) for path, tree in trees.items()}
    public = {name for names, _ in own.values() for name in names if not name.startswith("_")}
    assert len(public) > 3
    plain = [
        f"{path}:{line}"
        for path, tree in trees.items()
        for line in _taken_plain(tree, own[path][0] | public, own[path][1])
    ]
    assert plain == []


def test_no_plain_word_fills_a_gap(checkout: Path) -> None:
    """A word put into a message is a message itself."""
    plain = []
    for path in sorted((checkout / "bloomline").rglob("*.py")):
        for node in _calls(path):
            for filled in node.keywords:
                ends = [filled.value]
                while ends:
                    end = ends.pop()
                    if isinstance(end, ast.IfExp):
                        ends += [end.body, end.orelse]
                    elif isinstance(end, ast.BoolOp):
                        ends += end.values
                    elif (
                        isinstance(end, ast.Constant)
                        and isinstance(end.value, str)
                        and any(letter.isalpha() for letter in end.value)
                    ):
                        plain.append(f"{path}:{node.lineno}: {end.value}")
    assert plain == []


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
