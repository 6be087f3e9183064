"""A wheel, built and unpacked far from the checkout, brings all that the program reads."""

from __future__ import annotations

import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

SOURCES = ("bloomline", "resources", "shared", "pyproject.toml", "README.md", "LICENSE")


@pytest.fixture(scope="module")
def wheel(checkout: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    # A copy, since building leaves build/ behind, and a stale build/ ends up in the next wheel.
    source = tmp_path_factory.mktemp("source")
    for name in SOURCES:
        if (checkout / name).is_dir():
            ignore = shutil.ignore_patterns("__pycache__")
            shutil.copytree(checkout / name, source / name, ignore=ignore)
        else:
            shutil.copy(checkout / name, source / name)
    target = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "pip", "wheel", "--no-build-isolation", "--no-deps"]
    done = subprocess.run(
        [*command, "--quiet", "--wheel-dir", str(target), "."],
        cwd=source,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    (built,) = target.glob("bloomline-*.whl")
    return built


def test_the_wheel_holds_every_module_and_every_data_file(checkout: Path, wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        inside = set(archive.namelist())
    expected = set()
    for folder, prefix in (
        ("bloomline", "bloomline"),
        ("resources", "bloomline/_resources"),
        ("shared", "bloomline/_shared"),
    ):
        for path in (checkout / folder).rglob("*"):
            if path.is_file() and "__pycache__" not in path.parts:
                expected.add(f"{prefix}/{path.relative_to(checkout / folder).as_posix()}")
    assert sorted(expected - inside) == []


def test_data_is_found_in_the_unpacked_wheel(wheel: Path, tmp_path: Path) -> None:
    site = tmp_path / "site"
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(site)
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    code = (
        "import sys; sys.path.insert(0, sys.argv[1])\n"
        "from bloomline.data import data_root\n"
        "font = data_root('resources') / 'fonts' / 'SourceSans3_400Regular.ttf'\n"
        "print(font, len(font.read_bytes()), data_root('shared'), sep='\\n')\n"
    )
    # -S: an editable install of the checkout must not answer in the wheel's place.
    done = subprocess.run(
        [sys.executable, "-S", "-c", code, str(site)],
        cwd=elsewhere,
        capture_output=True,
        text=True,
        check=True,
    )
    font, size, shared = done.stdout.splitlines()
    assert Path(font).is_relative_to(site)
    assert int(size) > 100_000
    assert Path(shared) == site / "bloomline" / "_shared"
