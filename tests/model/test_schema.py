from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

from bloomline.model.schema import yard_schema

DEMO = Path(__file__).parents[2] / "demo" / "hollyhock-lane.bloomline"
SAMPLE = Path(__file__).parent / "versions" / "1.bloomline"
Validator = jsonschema.Draft202012Validator


def errors(document):
    checker = Validator(yard_schema(), format_checker=Validator.FORMAT_CHECKER)
    return [(error.json_path, error.validator) for error in checker.iter_errors(document)]


def test_the_schema_is_sound_and_names_itself():
    schema = yard_schema()
    Validator.check_schema(schema)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema["$id"].startswith("urn:")
    assert json.loads(json.dumps(schema)) == schema


@pytest.mark.parametrize("path", [DEMO, SAMPLE], ids=lambda path: path.name)
def test_yard_files_fulfil_it(path):
    assert errors(json.loads(path.read_text("utf-8"))) == []


@pytest.mark.parametrize(
    ("spoil", "found"),
    [
        (lambda yard: yard.pop("format"), ("$", "required")),
        (lambda yard: yard.update(format="other"), ("$.format", "const")),
        (lambda yard: yard.update(extra=1), ("$", "additionalProperties")),
        (lambda yard: yard["pots"][0].update(nam="x"), ("$.pots[0]", "additionalProperties")),
        (
            lambda yard: yard["pots"][0].update(top_width_cm=1),
            ("$.pots[0].top_width_cm", "minimum"),
        ),
        (
            lambda yard: yard["pots"][0]["layers"][0].update(planted="2026-13-01"),
            ("$.pots[0].layers[0].planted", "format"),
        ),
        (lambda yard: yard["records"][0].update(seen="bud"), ("$.records[0].seen", "enum")),
    ],
)
def test_it_finds_what_is_wrong(spoil, found):
    yard = json.loads(DEMO.read_text("utf-8"))
    spoil(yard)
    assert errors(yard) == [found]
