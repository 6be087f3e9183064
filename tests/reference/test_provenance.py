from __future__ import annotations

from pathlib import Path

import pytest

from bloomline.data import data_root
from bloomline.reference.catalogue import load_catalogue
from bloomline.reference.checksums import folder_checksums, refresh, stated_checksums
from bloomline.reference.observations import load_observations

FOLDERS = ("places", "weather", "climate-checks", "observations", "rules", "catalogue")


@pytest.mark.parametrize("folder", FOLDERS)
def test_checksums_are_true(folder: str):
    path = Path(str(data_root("shared").joinpath(folder)))
    assert stated_checksums(path / "README.md") == folder_checksums(path), (
        "data changed: run python -m bloomline.reference.checksums shared"
    )


@pytest.mark.parametrize("folder", FOLDERS)
def test_readme_says_source_licence_date_and_every_file(folder: str):
    path = Path(str(data_root("shared").joinpath(folder)))
    text = (path / "README.md").read_text(encoding="utf-8")
    for word in ("Source", "Licence", "November 2026"):
        assert word in text
    for name in folder_checksums(path):
        described, _, _ = text.partition("## Checksums")
        assert name in described, f"{name} is not described"


def test_refresh_writes_what_the_check_reads(tmp_path: Path):
    (tmp_path / "a.csv").write_text("x\n1\n", encoding="utf-8")
    readme = tmp_path / "README.md"
    readme.write_text("# T\n\n## Checksums (SHA-256)\n\n```\n```\n", encoding="utf-8")
    assert refresh(tmp_path)
    assert not refresh(tmp_path)
    assert stated_checksums(readme) == folder_checksums(tmp_path)
    (tmp_path / "a.csv").write_text("x\n2\n", encoding="utf-8")
    assert stated_checksums(readme) != folder_checksums(tmp_path)


def test_observations_are_dated_and_placed():
    observations = load_observations()
    assert len(observations) == 117
    assert len({o.id for o in observations}) == 117
    catalogue = load_catalogue()
    for o in observations:
        assert o.source
        assert o.quality in {"A", "B", "C"}
        assert o.stage in {"first_flower", "full_bloom", "peak", "end", "range_start", "range_end"}
        assert o.established in {"yes", "no", ""}
        assert -60 <= o.latitude_deg <= 65
        if o.cultivar:
            catalogue.find(o.cultivar)
    best = [o for o in observations if o.quality == "A" and "Lefeber" in o.cultivar]
    assert len(best) >= 20
