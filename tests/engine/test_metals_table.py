"""datasets/metals.yaml: every row is whole, sourced, and says what it was fitted to."""

from __future__ import annotations

import math
from dataclasses import fields

import pytest
import yaml

from course.boats.datasets import datasets_folder, load
from course.engine import Kinetics, Water, free_corrosion_potential, law, penetration_mm_per_year

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
ELECTRONS |= {"Sn": 2, "Pb": 2, "Mg": 2, "Ti": 4, "Ag": 1}
# g/mol, IUPAC standard atomic weights, abridged.
WEIGHTS = {"Fe": 55.845, "Cr": 51.996, "Ni": 58.693, "Mo": 95.95, "Mn": 54.938, "Cu": 63.546, "Zn": 65.38}
WEIGHTS |= {"Al": 26.982, "Si": 28.085, "Sn": 118.71, "Pb": 207.2, "Mg": 24.305, "Ti": 47.867, "Ag": 107.868}


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
    slow, fast = row["still_rate_mm_per_year"]
    assert 0.0 <= slow <= fast
    assert row["rate_source"]


@pytest.mark.parametrize("name", list(load("metals")))
def test_a_row_keeps_the_rate_it_was_fitted_to(name: str) -> None:
    """Weight loss alone in still sea water of 15 degC: guards the fit and proves nothing."""
    row = load("metals")[name]
    metal, still = Kinetics(**row["kinetics"]), Water(288.15, 35.0)
    loss = law([metal], still).dissolution([free_corrosion_potential(metal, still)])[0]
    rate = float(penetration_mm_per_year(loss, row["equivalent_weight_g"] * 1e-3, row["density_kg_m3"]))
    slow, fast = row["still_rate_mm_per_year"]
    assert slow <= rate <= fast


def test_every_parameter_in_use_has_unit_range_and_source() -> None:
    with (datasets_folder() / "metals.yaml").open(encoding="utf-8") as stream:
        told = yaml.safe_load(stream)["parameters"]
    used = {key for row in load("metals").values() for key in row["kinetics"]}
    assert used <= set(told)
    assert set(told) == {field.name for field in fields(Kinetics)}
    for entry in told.values():
        assert entry["unit"]
        assert entry["source"]
        assert len(entry["range"]) == 2
    for row in load("metals").values():
        for key, value in row["kinetics"].items():
            low, high = told[key]["range"]
            assert low <= value <= high


@pytest.mark.parametrize("name", list(load("metals")))
def test_the_stated_potential_is_the_range_midpoint_moved_to_hydrogen(name: str) -> None:
    """What was fitted; the aluminium anode's range is from memory and its middle was chosen by hand.

    A row that says otherwise (potential_from) must at least lie inside its range.
    """
    row = load("metals")[name]
    low, high = row["flowing_range_mV_SCE"]
    at = row["kinetics"]["corrosion_potential"] * 1e3 - CALOMEL
    if "potential_from" in row:
        assert low < at < high
        return
    slack = 6.0 if name == "aluminium_anode" else 0.06
    assert at == pytest.approx((low + high) / 2.0, abs=slack)


@pytest.mark.parametrize("name", [n for n, r in load("metals").items() if "composition_percent" in r])
def test_equivalent_weight_follows_from_the_composition(name: str) -> None:
    row = load("metals")[name]
    parts = row["composition_percent"]
    per_gram = sum(share * ELECTRONS[e] / WEIGHTS[e] for e, share in parts.items()) / sum(parts.values())
    assert math.isclose(row["equivalent_weight_g"], 1.0 / per_gram, rel_tol=1e-3)


def test_enough_metals() -> None:
    assert len(load("metals")) >= 45
