"""Desktop entry, metadata and file type agree with the program and with the standards."""

from __future__ import annotations

import configparser
import shutil
import subprocess
import tomllib
from pathlib import Path
from xml.etree import ElementTree

import pytest

from bloomline import __version__
from bloomline.files.yardfile import SUFFIX

_MIME = "{http://www.freedesktop.org/standards/shared-mime-info}"


@pytest.fixture(scope="module")
def folder(checkout: Path) -> Path:
    return checkout / "resources" / "desktop"


@pytest.fixture(scope="module")
def entry(folder: Path) -> configparser.SectionProxy:
    parser = configparser.ConfigParser(interpolation=None)
    parser.optionxform = str  # type: ignore[assignment,method-assign]
    parser.read(folder / "bloomline.desktop", encoding="utf-8")
    return parser["Desktop Entry"]


def test_the_entry_starts_the_program_with_the_file(
    entry: configparser.SectionProxy, checkout: Path
) -> None:
    project = tomllib.loads((checkout / "pyproject.toml").read_text(encoding="utf-8"))
    command, argument = entry["Exec"].split()
    assert command in project["project"]["scripts"]
    assert argument == "%f"
    assert (checkout / "resources" / "icons" / f"{entry['Icon']}.svg").exists()


def test_entry_metadata_and_file_type_agree(
    folder: Path, entry: configparser.SectionProxy, checkout: Path
) -> None:
    meta = ElementTree.parse(folder / "bloomline.metainfo.xml").getroot()
    kind = ElementTree.parse(folder / "bloomline-mime.xml").getroot().find(f"{_MIME}mime-type")
    assert kind is not None
    name = kind.get("type")
    assert entry["MimeType"] == f"{name};"
    assert meta.findtext("provides/mediatype") == name
    glob = kind.find(f"{_MIME}glob")
    assert glob is not None and glob.get("pattern") == f"*{SUFFIX}"
    assert meta.findtext("launchable") == "bloomline.desktop"
    assert meta.findtext("name") == entry["Name"]
    project = tomllib.loads((checkout / "pyproject.toml").read_text(encoding="utf-8"))
    assert meta.findtext("project_license") == project["project"]["license"]
    release = meta.find("releases/release")
    assert release is not None and release.get("version") == __version__


@pytest.mark.may_skip
@pytest.mark.parametrize(
    ("tool", "arguments", "file"),
    [
        ("desktop-file-validate", [], "bloomline.desktop"),
        ("appstreamcli", ["validate", "--no-net"], "bloomline.metainfo.xml"),
    ],
)
def test_the_validators_of_the_standards_find_nothing(
    folder: Path, tool: str, arguments: list[str], file: str
) -> None:
    # Source: freedesktop.org's own validators of the Desktop Entry and AppStream standards.
    if shutil.which(tool) is None:
        pytest.skip(f"{tool} is not installed")
    done = subprocess.run(
        [tool, *arguments, str(folder / file)], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
