"""The package as listed, as locked, and as imported."""

from __future__ import annotations

import hashlib
import json
import re
import subprocess
import sys
import tomllib
from pathlib import Path, PurePosixPath
from typing import Any

import pytest
from setuptools import find_packages

import bloomline
from bloomline.data import data_root

HEAVY = ("PySide6", "shiboken6", "pyqtgraph", "numpy", "scipy", "pydantic")


@pytest.fixture(scope="module")
def project(checkout: Path) -> dict[str, Any]:
    return tomllib.loads((checkout / "pyproject.toml").read_text(encoding="utf-8"))


def test_the_package_list_is_what_is_on_disk(checkout: Path, project: dict[str, Any]) -> None:
    listed = project["tool"]["setuptools"]["packages"]
    on_disk = find_packages(str(checkout), include=["bloomline", "bloomline.*"])
    assert sorted(listed) == sorted([*on_disk, "bloomline._resources", "bloomline._shared"])


def test_every_folder_with_python_files_is_a_package(checkout: Path) -> None:
    # find_packages passes over a folder without __init__.py, and so would the wheel.
    folders = {path.parent for path in (checkout / "bloomline").rglob("*.py")}
    assert [str(each) for each in sorted(folders) if not (each / "__init__.py").exists()] == []


@pytest.mark.parametrize("kind", ["resources", "shared"])
def test_the_wheel_takes_every_data_file_along(
    checkout: Path, project: dict[str, Any], kind: str
) -> None:
    patterns = project["tool"]["setuptools"]["package-data"][f"bloomline._{kind}"]
    # PurePath.match knows ** as one folder only, so compare names: every pattern is **/NAME.
    names = [pattern.removeprefix("**/") for pattern in patterns]
    left_out = [
        str(path.relative_to(checkout))
        for path in sorted((checkout / kind).rglob("*"))
        if path.is_file()
        and "__pycache__" not in path.parts
        and path.name != "__init__.py"
        and not any(PurePosixPath(path.name).match(name) for name in names)
    ]
    assert left_out == []


@pytest.mark.parametrize("kind", ["resources", "shared"])
def test_data_is_found_in_this_environment(kind: Any) -> None:
    assert data_root(kind).joinpath("__init__.py").is_file()


def test_data_is_found_in_a_bare_checkout(checkout: Path, tmp_path: Path) -> None:
    # -S leaves site-packages out, so nothing is installed; the checkout is the current folder.
    code = "from bloomline.data import data_root; print(data_root('resources'))"
    found = subprocess.run(
        [sys.executable, "-S", "-c", code], cwd=checkout, capture_output=True, text=True, check=True
    )
    assert Path(found.stdout.strip()) == checkout / "resources"


def test_fonts_are_the_files_that_their_readme_lists() -> None:
    fonts = data_root("resources") / "fonts"
    table = re.findall(
        r"^\| `(\S+)` \| (\d+) \| `(\w{64})` \|$",
        (fonts / "README.md").read_text(encoding="utf-8"),
        flags=re.MULTILINE,
    )
    actual = [
        (each.name, str(len(each.read_bytes())), hashlib.sha256(each.read_bytes()).hexdigest())
        for each in fonts.iterdir()
        if each.name != "README.md"
    ]
    assert sorted(actual) == sorted(table)


def test_importing_bloomline_imports_nothing_heavy() -> None:
    code = "import bloomline, json, sys; print(json.dumps(sorted(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    modules = json.loads(done.stdout)
    assert "bloomline" in modules
    assert [name for name in HEAVY if name in modules] == []


def test_the_changelog_names_this_version_or_what_is_to_come(checkout: Path) -> None:
    text = (checkout / "CHANGELOG.md").read_text(encoding="utf-8")
    assert "## Unreleased" in text or f"## {bloomline.__version__}" in text


def _locked(path: Path) -> dict[str, frozenset[str]]:
    """Return the hashes of each requirement line."""
    joined = path.read_text(encoding="utf-8").replace("\\\n", " ")
    locked = {}
    for line in joined.splitlines():
        requirement, *hashes = re.split(r"\s+--hash=sha256:", line.strip())
        locked[requirement] = frozenset(hashes)
    return locked


LOCKS = ("requirements.lock", "requirements-test.lock")


@pytest.mark.parametrize("name", LOCKS)
def test_a_lock_holds_names_versions_markers_and_hashes_only(checkout: Path, name: str) -> None:
    locked = _locked(checkout / ".ci" / name)
    assert locked
    for requirement, hashes in locked.items():
        assert re.fullmatch(
            r"[a-z0-9-]+==[0-9][0-9a-z.+!]*( ; [a-z_]+ [<>=!]+ '[\w.]+'"
            r"( (and|or) [a-z_]+ [<>=!]+ '[\w.]+')*)?",
            requirement,
        ), requirement
        assert hashes, requirement
        assert all(re.fullmatch(r"[0-9a-f]{64}", each) for each in hashes), requirement


def test_the_test_lock_holds_all_of_the_run_lock(checkout: Path) -> None:
    run, test = (_locked(checkout / ".ci" / name) for name in LOCKS)
    assert run.items() <= test.items()


@pytest.mark.parametrize(("name", "extra"), [(LOCKS[0], "build"), (LOCKS[1], "test")])
def test_a_lock_meets_every_requirement_of_the_project(
    checkout: Path, project: dict[str, Any], name: str, extra: str
) -> None:
    from packaging.requirements import Requirement
    from packaging.utils import canonicalize_name

    pins: dict[str, list[str]] = {}
    for requirement in _locked(checkout / ".ci" / name):
        pinned = Requirement(requirement)
        version = next(iter(pinned.specifier)).version
        pins.setdefault(canonicalize_name(pinned.name), []).append(version)
    wanted = [
        *project["project"]["dependencies"],
        *project["project"]["optional-dependencies"][extra],
    ]
    for line in wanted:
        requirement = Requirement(line)
        if requirement.name == "bloomline":
            continue
        versions = pins.get(canonicalize_name(requirement.name), [])
        assert any(requirement.specifier.contains(each) for each in versions), line
