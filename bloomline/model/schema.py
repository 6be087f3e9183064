"""The JSON Schema of a yard file, for editors and other programs."""

from __future__ import annotations

from typing import Any

from bloomline.model.yard import VERSION, Yard


def yard_schema() -> dict[str, Any]:
    """Return the schema of today's yard file, in JSON Schema draft 2020-12.

    It says what one part allows; that ids are unique and point at something is for the
    program to check. Unknown keys are refused, as the program refuses them in this version.
    """
    body = Yard.model_json_schema(mode="validation")
    for part in (body, *body["$defs"].values()):
        if part.get("type") == "object" and "properties" in part:
            part["additionalProperties"] = False
    body["required"] = ["format", "version", *body["required"]]
    body.pop("title", None)
    body.pop("description", None)
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:bloomline:yard:{VERSION}",
        "title": f"Yard file of bloomline, version {VERSION}",
        "description": "A place, its pots, their layers of bulbs, and what was seen of them. "
        "Lengths in centimetres, temperatures in degrees Celsius, days in ISO 8601.",
        **body,
    }
