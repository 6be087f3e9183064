from __future__ import annotations

from pathlib import Path

import pytest

from bloomline.data import data_root
from bloomline.plan.climate.garden import great_circle_km
from bloomline.reference.catalogue import load_catalogue
from bloomline.reference.checksums import folder_checksums, refresh, stated_checksums
from bloomline.reference.observations import load_observations, load_usual_seasons

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
    assert len(observations) == len({o.id for o in observations}) >= 150
    catalogue = load_catalogue()
    for o in observations:
        assert o.source
        assert o.quality in {"A", "B", "C"}
        assert o.stage in {"first_flower", "full_bloom", "peak", "end", "range_start", "range_end"}
        assert o.established in {"yes", "no", ""}
        assert -60 <= o.latitude_deg <= 71
        if o.cultivar:
            catalogue.find(o.cultivar)
    best = [o for o in observations if o.quality == "A" and "Lefeber" in o.cultivar]
    assert len(best) >= 30


def test_no_sighting_is_counted_twice():
    seen = [
        (o.cultivar, o.stage, round(o.latitude_deg), round(o.longitude_deg), o.year, o.seen_on)
        for o in load_observations()
        if o.cultivar
    ]
    assert len(seen) == len(set(seen))


def test_usual_seasons_name_known_kinds_and_say_what_they_rest_on():
    seasons = load_usual_seasons()
    assert len(seasons) == len({s.id for s in seasons}) >= 120
    catalogue = load_catalogue()
    for s in seasons:
        catalogue.find(s.kind)
        assert bool(s.source) == (s.basis == "published")
        assert s.basis in {"published", "memory"}
        # A window, not a year: from two weeks (what a garden diary can tell) to nine.
        length = (s.opens_to.day_of_year - s.opens_from.day_of_year) % 365
        assert 13 <= length <= 70, s
    assert sum(s.basis == "published" for s in seasons) >= 30


def test_what_is_held_out_lies_elsewhere_than_what_is_fitted():
    placed = [*load_observations(), *load_usual_seasons()]
    assert {p.aside for p in placed} == {"fit", "held_out"}
    fit, held = ([p for p in placed if p.aside == side] for side in ("fit", "held_out"))
    assert min(len(fit), len(held)) >= 0.35 * len(placed)
    for a in fit:
        for b in held:
            apart = great_circle_km(
                a.latitude_deg, a.longitude_deg, b.latitude_deg, b.longitude_deg
            )
            assert apart > 60.0, (a.place, b.place)
