"""Boats of the fleet put into one of the panels' waters, for panels that show a whole boat."""

from __future__ import annotations

from functools import lru_cache

from course.boats.datasets import datasets_folder, row
from course.boats.description import Boat, fleet_boat
from course.boats.plan import Berth, SlipPlan, Start

DEPTH_M, BED_REFLECTION = (
    3.5,
    0.5,
)  # of an ordinary berth of Cormorant Reach (invented, inside datasets/marina.yaml)


def fleet_names() -> tuple[tuple[str, str], ...]:
    """Return (name and kind, id) of every boat of the fleet."""
    found = [
        (path.stem, fleet_boat(path.stem)) for path in sorted((datasets_folder() / "boats").glob("*.yaml"))
    ]
    return tuple((f"{boat.name}, {boat.kind}", name) for name, boat in found)


def panel_plan(boat: Boat, water: str, lifted: tuple[str, ...] = ()) -> SlipPlan:
    """Return a plan with `boat` at rest in a water of the panels. Raises UnknownName for another water."""
    found = row("panel_waters", water)
    berth = Berth(
        marina="Cormorant Reach",
        name="as chosen",
        water=found["label"],
        depth_m=DEPTH_M,
        temperature_degC=found["temperature_degC"],
        salinity=found["salinity"],
        flow_m_per_s=found["flow_m_per_s"],
        bed_reflection=BED_REFLECTION,
    )
    return SlipPlan(exercise="panel", seed="panel", boat=boat, berth=berth, start=Start(lifted_anodes=lifted))


@lru_cache(maxsize=64)
def fleet_plan(boat: str, water: str) -> SlipPlan:
    """Return a plan with a boat of the fleet. Raises BoatError or UnknownName, with the nearest name."""
    return panel_plan(fleet_boat(boat), water)
