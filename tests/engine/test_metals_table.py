"""datasets/metals.yaml: every row is whole, sourced, and says what it was fitted to."""

from __future__ import annotations

import math

import pytest

from course.boats.datasets import load
from course.engine import Kinetics

FAMILIES = {
    "zinc",
    "aluminium",
    "magnesium",
    "steel",
    "stainless",
    "copper_alloy",
    "nickel_alloy",
    "titanium",
    "carbon",
    "lead_tin",
}
CALOMEL = 241.0  # mV SHE at 25 degC, saturated calomel; Int. J. Corrosion 2010, article 756950, table 2
ELECTRONS = {"Fe": 2, "Cr": 3, "Ni": 2, "Mo": 3, "Mn": 2, "Cu": 1, "Zn": 2, "Al": 3, "Si": 4}
ELECTRONS |= {"Sn": 2, "Pb": 2, "Mg": 2, "Ti": 4}
# g/mol, IUPAC standard atomic weights, abridged.
WEIGHTS = {"Fe": 55.845, "Cr": 51.996, "Ni": 58.693, "Mo": 95.95, "Mn": 54.938, "Cu": 63.546, "Zn": 65.38}
WEIGHTS |= {"Al": 26.982, "Si": 28.085, "Sn": 118.71, "Pb": 207.2, "Mg": 24.305, "Ti": 47.867}


@pytest.mark.parametrize("name", list(load("metals")))
def test_a_row_is_whole(name: str) -> None:
    row = load("metals")[name]
    Kinetics(**row["kinetics"])
    assert row["family"] in FAMILIES
    for key in ("label", "source", "fitted_to"):
        assert isinstance(row[key], str)
        assert row[key]
    assert row["status"] in {"read", "derived", "memory", "fitted", "declared", "invented"}
    low, high = row["flowing_range_mV_SCE"]
    assert low < high
    assert 1000 < row["density_kg_m3"] < 12000
    assert 1 <= row["pseudo_capacitance_F_m2"] <= 5000


@pytest.mark.parametrize("name", list(load("metals")))
def test_the_stated_potential_is_the_range_midpoint_moved_to_hydrogen(name: str) -> None:
    """What was fitted; the aluminium anode's range is from memory and its middle was chosen by hand."""
    row = load("metals")[name]
    middle = sum(row["flowing_range_mV_SCE"]) / 2.0
    slack = 6.0 if name == "aluminium_anode" else 0.06
    assert row["kinetics"]["corrosion_potential"] * 1e3 - CALOMEL == pytest.approx(middle, abs=slack)


@pytest.mark.parametrize("name", [n for n, r in load("metals").items() if "composition_percent" in r])
def test_equivalent_weight_follows_from_the_composition(name: str) -> None:
    row = load("metals")[name]
    parts = row["composition_percent"]
    per_gram = sum(share * ELECTRONS[e] / WEIGHTS[e] for e, share in parts.items()) / sum(parts.values())
    assert math.isclose(row["equivalent_weight_g"], 1.0 / per_gram, rel_tol=1e-3)


def test_enough_metals() -> None:
    assert len(load("metals")) >= 18
