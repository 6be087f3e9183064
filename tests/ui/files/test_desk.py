"""Open, save and every way in which work could be lost."""

from __future__ import annotations

import errno
import json
import os
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QMimeData, QProcess, QSettings, QUrl
from PySide6.QtWidgets import QFileDialog
from pytestqt.qtbot import QtBot

from bloomline.errors import DataError
from bloomline.files.yardfile import dump_yard, load_yard, save_yard
from bloomline.model import edits
from bloomline.ui.document import Document
from bloomline.ui.files.desk import FileDesk
from bloomline.ui.files.dropping import handle_file_drop
from bloomline.ui.files.names import file_stem
from bloomline.ui.files.questions import words_of


def _rename(document: Document, name: str) -> None:
    assert document.edit("Rename", lambda yard: edits.rename_yard(yard, name))


@pytest.fixture
def saved(desk: FileDesk, document: Document, tmp_path: Path, hand: Any) -> Path:
    path = tmp_path / "yard.bloomline"
    hand.choose(path)
    assert desk.save_as()
    return path


def test_a_saved_yard_opens_equal(desk: FileDesk, document: Document, saved: Path) -> None:
    before = document.yard
    assert document.is_clean
    assert document.path == saved
    assert load_yard(saved).yard == before
    _rename(document, "Other")
    assert desk.save()
    assert document.is_clean
    assert load_yard(saved).yard.name == "Other"
    assert desk.recent.paths() == [saved]


def test_a_name_without_a_suffix_gets_one(desk: FileDesk, tmp_path: Path, hand: Any) -> None:
    hand.choose(tmp_path / "plain")
    assert desk.save_as()
    assert (tmp_path / "plain.bloomline").exists()


def test_opening_replaces_an_untouched_yard(
    make_desk: Callable[[Document], FileDesk], empty_document: Document, tmp_path: Path, hand: Any
) -> None:
    desk = make_desk(empty_document)
    other = edits.rename_yard(empty_document.yard, "From disk")
    path = tmp_path / "a.bloomline"
    save_yard(path, other, seen=None)
    hand.choose(path)
    assert desk.open()
    assert empty_document.yard == other
    assert empty_document.path == path
    assert empty_document.is_clean


@pytest.mark.parametrize(
    ("button", "leaves", "name"),
    [("save", True, "Changed"), ("discard", True, None), ("cancel", False, None)],
)
def test_unsaved_changes_are_asked_for(
    desk: FileDesk,
    document: Document,
    saved: Path,
    hand: Any,
    button: str,
    leaves: bool,
    name: str | None,
) -> None:
    before = document.yard.name
    assert desk.maybe_close()
    _rename(document, "Changed")
    hand.press("question_unsaved", button)
    assert desk.maybe_close() is leaves
    assert load_yard(saved).yard.name == (name or before)
    assert document.yard.name == "Changed"


def test_closing_with_save_on_a_yard_without_a_file_asks_for_a_name(
    desk: FileDesk, document: Document, tmp_path: Path, hand: Any
) -> None:
    _rename(document, "Kept")
    hand.press("question_unsaved", "save")
    hand.choose(tmp_path / "kept.bloomline")
    assert desk.maybe_close()
    assert load_yard(tmp_path / "kept.bloomline").yard.name == "Kept"


def test_a_name_not_chosen_leaves_the_window_open(
    desk: FileDesk, document: Document, hand: Any
) -> None:
    _rename(document, "Kept")
    hand.press("question_unsaved", "save")
    hand.do("file_dialog", lambda shown: shown.reject())
    assert not desk.maybe_close()


def test_a_second_file_may_open_in_another_window(
    desk: FileDesk,
    document: Document,
    saved: Path,
    hand: Any,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    second = tmp_path / "second.bloomline"
    save_yard(second, edits.rename_yard(document.yard, "Second"), seen=None)
    started: list[list[str]] = []
    monkeypatch.setattr(
        QProcess, "startDetached", lambda program, args: not started.append([program, *args])
    )
    hand.press("question_where", "elsewhere")
    assert not desk.open_path(second)
    assert started == [[sys.executable, "-m", "bloomline", str(second)]]
    assert document.path == saved
    hand.press("question_where", "cancel")
    assert not desk.open_path(second)
    hand.press("question_where", "here")
    assert desk.open_path(second)
    assert document.yard.name == "Second"


def test_opening_here_asks_about_unsaved_changes(
    desk: FileDesk, document: Document, saved: Path, hand: Any, tmp_path: Path
) -> None:
    second = tmp_path / "second.bloomline"
    save_yard(second, edits.rename_yard(document.yard, "Second"), seen=None)
    _rename(document, "Changed")
    hand.press("question_where", "here")
    hand.press("question_unsaved", "cancel")
    assert not desk.open_path(second)
    assert document.yard.name == "Changed"


def test_a_bad_file_is_told_and_the_yard_stays(
    make_desk: Callable[[Document], FileDesk], empty_document: Document, tmp_path: Path, hand: Any
) -> None:
    desk = make_desk(empty_document)
    before = empty_document.yard
    content = json.loads(dump_yard(before))
    content["season_year"] = "soon"
    content["pots"] = [{"id": "pot-1"}]
    bad = tmp_path / "bad.bloomline"
    bad.write_text(json.dumps(content))
    hand.press("problem", "cancel")
    assert not desk.open_path(bad)
    assert "season_year" in hand.texts[-1] and "pots[0]" in hand.texts[-1]
    hand.press("problem", "cancel")
    assert not desk.open_path(tmp_path / "nowhere.bloomline")
    assert "there is no such file" in hand.texts[-1]
    assert empty_document.yard is before


def test_many_problems_are_shortened_but_all_there() -> None:
    head, lines, details = words_of(DataError("x", [f"problem {i}" for i in range(30)]))
    assert "x" in head
    assert lines.count("•") == 8 and "22" in lines
    assert details.count("problem") == 30


def test_revert_brings_the_saved_yard_back(
    desk: FileDesk, document: Document, saved: Path, hand: Any
) -> None:
    before = document.yard
    assert not desk.action_revert.isEnabled()
    _rename(document, "Changed")
    assert desk.action_revert.isEnabled()
    hand.press("question_revert", "cancel")
    assert not desk.revert()
    hand.press("question_revert", "discard")
    assert desk.revert()
    assert document.yard == before
    assert document.is_clean


def _change_on_disk(path: Path, name: str) -> None:
    save_yard(path, edits.rename_yard(load_yard(path).yard, name), seen=None)


def test_a_file_changed_on_disk_is_reloaded_when_wanted(
    desk: FileDesk, document: Document, saved: Path, hand: Any, qtbot: QtBot
) -> None:
    hand.press("question_reload", "reload")
    _change_on_disk(saved, "From outside")
    qtbot.waitUntil(lambda: document.yard.name == "From outside", timeout=5000)
    assert document.is_clean


def test_keeping_mine_asks_again_only_when_saving(
    desk: FileDesk, document: Document, saved: Path, hand: Any, qtbot: QtBot
) -> None:
    mine = document.yard
    hand.press("question_reload", "keep")
    _change_on_disk(saved, "From outside")
    qtbot.waitUntil(lambda: "question_reload" in hand.seen, timeout=5000)
    assert document.yard == mine
    assert desk.is_unsaved
    desk._watch.check()  # a second look asks nothing, or `hand` would fail
    hand.press("question_overwrite", "cancel")
    assert not desk.save()
    assert load_yard(saved).yard.name == "From outside"
    hand.press("question_overwrite", "overwrite")
    assert desk.save()
    assert load_yard(saved).yard == mine


def test_saving_over_a_changed_file_can_go_elsewhere_or_reload(
    desk: FileDesk, document: Document, saved: Path, hand: Any, tmp_path: Path
) -> None:
    _rename(document, "Mine")
    _change_on_disk(saved, "Theirs")
    hand.press("question_overwrite", "save_as")
    hand.choose(tmp_path / "mine.bloomline")
    assert desk.save()
    assert load_yard(saved).yard.name == "Theirs"
    assert load_yard(tmp_path / "mine.bloomline").yard.name == "Mine"
    _rename(document, "Mine again")
    _change_on_disk(tmp_path / "mine.bloomline", "Theirs again")
    hand.press("question_overwrite", "reload")
    assert desk.save()
    assert document.yard.name == "Theirs again"


def test_a_file_that_is_gone_makes_the_yard_unsaved(
    desk: FileDesk, document: Document, saved: Path, qtbot: QtBot
) -> None:
    with qtbot.waitSignal(desk.told, timeout=5000) as told:
        saved.unlink()
    assert "gone" in told.args[0]
    assert desk.is_unsaved
    assert desk.save()
    assert load_yard(saved).yard == document.yard


def test_a_read_only_folder_is_told(
    desk: FileDesk, document: Document, saved: Path, hand: Any
) -> None:
    # A folder in place of the file fails for every user, root as well.
    _rename(document, "Changed")
    saved.unlink()
    saved.mkdir()
    hand.press("problem", "cancel")
    assert not desk.save()
    assert "folder" in hand.texts[-1]
    assert desk.is_unsaved


def test_recent_files_mark_missing_ones_and_can_be_forgotten(
    desk: FileDesk, document: Document, saved: Path, hand: Any, tmp_path: Path
) -> None:
    for name in ("a", "b"):
        hand.choose(tmp_path / f"{name}.bloomline")
        assert desk.save_as()
    (tmp_path / "a.bloomline").unlink()
    desk.recent_menu.fill()
    entries = [(a.text(), a.isEnabled()) for a in desk.recent_menu.actions() if a.data()]
    assert entries == [
        ("&1  b.bloomline", True),
        ("&2  a.bloomline (missing)", False),
        ("&3  yard.bloomline", True),
    ]
    forget = desk.recent_menu.actions()[-1]
    forget.trigger()
    assert desk.recent.paths() == []


def test_a_chosen_recent_file_opens(
    desk: FileDesk, document: Document, saved: Path, hand: Any, tmp_path: Path
) -> None:
    hand.choose(tmp_path / "b.bloomline")
    assert desk.save_as()
    desk.recent_menu.fill()
    hand.press("question_where", "here")
    desk.recent_menu.actions()[1].trigger()
    assert document.path == saved


def test_only_one_yard_file_can_be_dropped(tmp_path: Path) -> None:
    def mime(*names: str) -> QMimeData:
        data = QMimeData()
        data.setUrls([QUrl.fromLocalFile(str(tmp_path / name)) for name in names])
        return data

    assert handle_file_drop(mime("my yard.bloomline")) == tmp_path / "my yard.bloomline"
    assert handle_file_drop(mime("a.BLOOMLINE")) == tmp_path / "a.BLOOMLINE"
    assert handle_file_drop(mime("a.txt")) is None
    assert handle_file_drop(mime("a.bloomline", "b.bloomline")) is None
    assert handle_file_drop(QMimeData()) is None
    web = QMimeData()
    web.setUrls([QUrl("https://example.org/a.bloomline")])
    assert handle_file_drop(web) is None


def test_odd_settings_do_no_harm(tmp_path: Path) -> None:
    from bloomline.ui.files.memory import Memory
    from bloomline.ui.files.recent import RecentFiles

    file = tmp_path / "window.json"
    for content in ("[1]", "{", '{"recent_files": [1, "", null, "/x"]}', "\x00"):
        file.write_text(content)
        paths = RecentFiles(Memory(file)).paths()
        assert paths in ([], [Path("/x")])
    memory = Memory(file)
    RecentFiles(memory).add(tmp_path / "a")
    assert RecentFiles(Memory(file)).paths() == [Path(os.path.abspath(tmp_path / "a"))]


@pytest.mark.parametrize(
    ("name", "stem"),
    [
        ("9 Hollyhock Lane, Ottermere", "9 Hollyhock Lane, Ottermere"),
        ("Front/back: <2027>?", "Front-back- -2027--"),
        (" .. ", "yard"),
        ("x" * 120, "x" * 80),
    ],
)
def test_a_yard_without_a_file_is_offered_a_name_that_can_be_written(
    tmp_path: Path, name: str, stem: str
) -> None:
    assert file_stem(name) == stem
    (tmp_path / f"{stem}.bloomline").touch()


def test_other_keepers_of_settings_serve_as_well(tmp_path: Path) -> None:
    from bloomline.ui.files.recent import RecentFiles

    file = str(tmp_path / "settings.ini")
    for count in (1, 2):
        recent = RecentFiles(QSettings(file, QSettings.Format.IniFormat))
        recent.add(tmp_path / f"{count}.bloomline")
        settings = QSettings(file, QSettings.Format.IniFormat)
        assert len(RecentFiles(settings).paths()) == count
    RecentFiles(settings).clear()
    settings.sync()
    assert RecentFiles(QSettings(file, QSettings.Format.IniFormat)).paths() == []


def test_a_full_disk_is_told_and_everything_stays(
    desk: FileDesk,
    document: Document,
    saved: Path,
    hand: Any,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    before = saved.read_bytes()
    _rename(document, "Changed")

    def full(_handle: int) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("bloomline.files.atomic.os.fsync", full)
    hand.press("problem", "cancel")
    assert not desk.save()
    assert "no space left" in hand.texts[-1] and saved.name in hand.texts[-1]
    assert desk.is_unsaved and document.yard.name == "Changed"
    monkeypatch.undo()
    assert saved.read_bytes() == before
    assert [each.name for each in saved.parent.glob(".*")] == []
    assert desk.save()


def test_a_folder_without_rights_is_told_and_everything_stays(
    desk: FileDesk,
    document: Document,
    saved: Path,
    hand: Any,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # As the system answers in such a folder; who tests as root may write everywhere.
    _rename(document, "Changed")
    real = os.open

    def refused(path: Any, flags: int, *more: Any, **named: Any) -> int:
        if flags & os.O_CREAT and Path(path).parent == saved.parent:
            raise PermissionError(errno.EACCES, "Permission denied")
        return real(path, flags, *more, **named)

    monkeypatch.setattr(os, "open", refused)
    hand.press("problem", "cancel")
    assert not desk.save()
    assert "permission denied" in hand.texts[-1]
    assert desk.is_unsaved and document.yard.name == "Changed"


def test_the_open_dialog_can_neither_delete_nor_rename(desk: FileDesk, hand: Any) -> None:
    read_only: list[bool] = []

    def look(shown: Any) -> None:
        read_only.append(shown.testOption(QFileDialog.Option.ReadOnly))
        shown.reject()

    hand.do("file_dialog", look)
    assert not desk.open()
    assert read_only == [True]
