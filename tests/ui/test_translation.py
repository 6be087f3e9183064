"""Words after a number are right English, in the program and in any language."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QLocale, QTranslator
from PySide6.QtWidgets import QApplication

from bloomline.ui import build_translations as build
from bloomline.ui.translation import install_words


def _plurals(checkout: Path) -> list[tuple[str, str, str | None]]:
    """(class, words, note) of every `self.tr("…%n…", note, count)`, read from the code itself."""
    found = []
    for path in build.sources(checkout / "bloomline"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for owner in ast.walk(tree):
            if isinstance(owner, ast.ClassDef):
                found += [(owner.name, *call) for call in _calls(owner)]
    return found


def _calls(owner: ast.ClassDef) -> Iterator[tuple[str, str | None]]:
    for node in ast.walk(owner):
        if (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Attribute)
            and node.func.attr == "tr"
            and len(node.args) > 2
        ):
            words, note = node.args[0], node.args[1]
            assert isinstance(words, ast.Constant) and isinstance(note, ast.Constant)
            yield words.value, note.value or None


@pytest.fixture
def words(qapp: QApplication) -> Iterator[list[QTranslator]]:
    installed = install_words(qapp, QLocale(QLocale.Language.English))
    yield installed
    for translator in installed:
        qapp.removeTranslator(translator)


def test_every_plural_of_the_code_has_its_two_english_forms(
    checkout: Path, words: list[QTranslator]
) -> None:
    plurals = _plurals(checkout)
    assert len(plurals) >= 8
    for context, source, note in plurals:
        for count in (1, 2, 0, 21):
            said = QCoreApplication.translate(context, source, note, count)
            assert said, (context, source)
            assert "(s)" not in said, f"{context}: {source!r} has no English plural"
            assert "%n" not in said
            if count != 1:
                assert re.search(rf"\b{count}\b", said), said


@pytest.mark.parametrize(
    ("count", "said"), [(0, "0 layers"), (1, "1 layer"), (2, "2 layers"), (17, "17 layers")]
)
def test_one_layer_but_many_layers(words: list[QTranslator], count: int, said: str) -> None:
    assert QCoreApplication.translate("StartPart", "%n layer(s)", "", count) == said


def test_english_stands_in_for_a_language_that_is_not_there(qapp: QApplication) -> None:
    installed = install_words(qapp, QLocale("fi"))
    try:
        assert QCoreApplication.translate("StartPart", "%n layer(s)", "", 1) == "1 layer"
    finally:
        for translator in installed:
            qapp.removeTranslator(translator)


def test_the_translations_are_up_to_date(checkout: Path) -> None:
    folder = checkout / "resources" / "translations"
    assert build.unfinished(folder / "bloomline_en.ts") == []
    assert build.stale(folder, checkout / "bloomline") == []


def test_regular_forms_fill_themselves(tmp_path: Path) -> None:
    room = tmp_path / "package" / "ui"
    room.mkdir(parents=True)
    (room / "made.py").write_text(
        "class Made:\n    def say(self, n):\n"
        "        return self.tr('%n bulb(s)', '', n), self.tr('%n geese', '', n)\n",
        encoding="utf-8",
    )
    assert build.build(tmp_path, tmp_path / "package") == ["%n geese"]
    text = (tmp_path / "bloomline_en.ts").read_text("utf-8")
    assert "<numerusform>%n bulb</numerusform>" in text
    assert "<numerusform>%n bulbs</numerusform>" in text


def test_a_missing_form_and_a_stale_file_are_told(checkout: Path, tmp_path: Path) -> None:
    ts = tmp_path / "bloomline_en.ts"
    whole = (checkout / "resources" / "translations" / "bloomline_en.ts").read_text("utf-8")
    ts.write_text(whole.replace(">%n layers<", "><"), encoding="utf-8")
    assert build.unfinished(ts) == ["%n layer(s)"]
    assert "bloomline_en.qm" in build.stale(tmp_path, checkout / "bloomline")
