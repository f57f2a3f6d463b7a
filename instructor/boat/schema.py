"""The JSON schema of a boat file: what an editor needs to complete and check it while it is written."""

from __future__ import annotations

from typing import Any

from course.boats.datasets import load
from course.boats.description import Boat

DIALECT = "https://json-schema.org/draft/2020-12/schema"
METAL_FIELDS = {"Metal": "metal", "RawWaterMetal": "metal", "Anode": "alloy"}


def boat_schema() -> dict[str, Any]:
    """Return the schema of a boat file, with the metals and anode alloys that the tables know as choices."""
    schema: dict[str, Any] = Boat.model_json_schema(by_alias=True)
    metals = sorted(load("metals"))
    anodes = sorted(
        {row["metal"] for row in load("anodes").values()} | {"zinc_anode_pure", "magnesium_az63_anode"}
    )
    for part, field in METAL_FIELDS.items():
        found = schema["$defs"][part]["properties"][field]
        found["enum"] = anodes if field == "alloy" else metals
        found["description"] = "a row of datasets/metals.yaml"
    return {"$schema": DIALECT, **schema, "title": "A boat of the course"}
