"""The waters that panels offer, by name: what the engine needs of each, and what a learner is told."""

from __future__ import annotations

from functools import cache

from course.boats.datasets import load, row
from course.engine import Water
from course.engine.weather import WaterYear, celsius


def water_names() -> tuple[tuple[str, str], ...]:
    """Return (words, id) of every water on offer."""
    return tuple((found["label"], name) for name, found in load("panel_waters").items())


def water_label(name: str) -> str:
    """Return a water in words. Raises UnknownName."""
    return str(row("panel_waters", name)["label"])


@cache
def water_named(name: str) -> Water:
    """Return a water at its mean temperature. Raises UnknownName, with the nearest, for another."""
    found = row("panel_waters", name)
    return Water(
        celsius(found["temperature_degC"]), found["salinity"], flow=found["flow_m_per_s"], ph=found["ph"]
    )


@cache
def year_named(name: str) -> WaterYear:
    """Return a water through its year. Raises UnknownName, with the nearest, for another."""
    found = row("panel_waters", name)
    return WaterYear(
        celsius(found["temperature_degC"]),
        found["salinity"],
        temperature_swing=found["temperature_swing_K"],
        flow=found["flow_m_per_s"],
        ph=found["ph"],
    )
