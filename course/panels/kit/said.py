"""Numbers in words: potentials against the chosen cell, bands, currents of any size. And the cells on offer."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from course.boats.datasets import load, row
from course.boats.waters import water_named
from course.engine.uncertainty import Band
from course.instruments.reference_cell import settled_potential
from course.panels.kit.scales import MINUS, plain

CELLS = (
    "silver_chloride_sea_water",
    "silver_chloride_saturated",
    "copper_sulphate",
    "saturated_calomel",
    "zinc_sea_water",
)


def cell_names() -> tuple[tuple[str, str], ...]:
    """Return (words, id) of the reference cells a panel offers."""
    rows = load("reference_cells")
    return tuple((rows[name]["label"], name) for name in CELLS if name in rows)


def short(cell: str) -> str:
    """Return a cell's short name, for an axis."""
    return str(row("reference_cells", cell)["short"])


def in_cell(potential: Any, cell: str, water: str) -> Any:
    """Return potentials [V SHE] as a cell hung in the water reads them [mV]."""
    offset = settled_potential(row("reference_cells", cell), water_named(water))
    return (np.asarray(potential) - offset) * 1e3


def mv(value: float) -> str:
    """Return millivolts in words, to the millivolt."""
    return f"{MINUS if round(value) < 0 else ''}{abs(value):.0f} mV"


def amperes(value: float) -> str:
    """Return a current in words, in the unit that suits it."""
    size = abs(value)
    for unit, factor in (("A", 1.0), ("mA", 1e-3), ("µA", 1e-6)):
        if size >= factor * 0.9995:
            return f"{plain(value / factor)} {unit}"
    return "under 1 µA" if size > 0.0 else "nothing"


def between(band: Band, unit: str, digits: int = 2) -> str:
    """Return a band of one number in words."""
    low, middle, high = (float(v) for v in (band.low, band.middle, band.high))
    if max(abs(low), abs(high)) == 0.0 or math.isclose(low, high, rel_tol=0.02):
        return f"{plain(middle, digits)} {unit}"
    return f"{plain(middle, digits)} {unit} (band {plain(low, digits)} to {plain(high, digits)})"


def amperes_between(band: Band) -> str:
    """Return a band of currents in words."""
    low, middle, high = (float(v) for v in (band.low, band.middle, band.high))
    if middle < 0.0:
        low, high = high, low  # the smaller current first, whichever way it flows
    return f"{amperes(middle)} (band {amperes(low)} to {amperes(high)})"


def thickness(band: Band) -> str:
    """Return a band of metal loss [mm/yr] in words; a thousandth of a millimetre is next to nothing."""
    if float(band.high) < 1e-3:
        return "next to nothing (under 0.001 mm a year)"
    return between(band, "mm a year")
