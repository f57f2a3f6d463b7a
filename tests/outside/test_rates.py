"""Corrosion of steel and behaviour of couples against what was published and not fitted.

Fitted (datasets/metals.yaml): 0.1 to 0.2 mm a year of bare steel in still sea water at 15 degC.
"""

from __future__ import annotations

import numpy as np
import pytest

from course.boats.datasets import load
from course.engine import (
    Kinetics,
    Network,
    Solution,
    System,
    Water,
    free_corrosion_potential,
    law,
    penetration_mm_per_year,
    solve,
)

CALOMEL = 0.241  # V SHE; Int. J. Corrosion 2010, article 756950, table 2
STILL = Water(288.15, 35.0)


def metal(name: str) -> Kinetics:
    return Kinetics(**load("metals")[name]["kinetics"])


def rate(name: str, potential: float, water: Water) -> float:
    """mm a year at `potential` [V SHE]."""
    row = load("metals")[name]
    loss = law([metal(name)], water).dissolution([potential])[0]
    return float(penetration_mm_per_year(loss, row["equivalent_weight_g"] * 1e-3, row["density_kg_m3"]))


def couple(one: str, two: str, area: tuple[float, float], water: Water) -> Solution:
    """Two metals wired together with no resistance to speak of in the water."""
    transfer = np.eye(2) * 1e-9
    network = Network(2, [(0, 1, 1e6)])
    return solve(
        System(transfer, np.array(area), law([metal(one), metal(two)], water), np.arange(2), network)
    )


def test_steel_in_still_sea_water_keeps_the_rate_it_was_fitted_to() -> None:
    """0.1 to 0.2 mm a year: fitted, so this guards the fit and proves nothing."""
    for flow in (0.0, 0.02):
        water = Water(288.15, 35.0, flow=flow)
        assert 0.1 < rate("mild_steel", free_corrosion_potential(metal("mild_steel"), water), water) < 0.2


def test_where_steel_slows_to_a_micrometre_a_year() -> None:
    """0.001 mm/yr at -0.770 V SCE (natural) and -0.790 (sterile): Batt and Robinson, J. Corrosion Sci. Eng.
    4.

    The slope came from the same paper, the rest potential and rate did not; 20 mV either side.
    """
    low, high = -0.790 - 0.02, -0.770 + 0.02
    assert rate("mild_steel", low + CALOMEL, STILL) < 0.001 < rate("mild_steel", high + CALOMEL, STILL)


def test_protected_steel_hardly_corrodes() -> None:
    """0.001 mm/yr (detection limit) at -0.85 V SCE and below: Batt and Robinson."""
    assert rate("mild_steel", -0.85 + CALOMEL, STILL) < 0.001


def test_free_potential_of_steel_in_still_natural_sea_water() -> None:
    """About -0.675 V SCE: Batt and Robinson; 30 mV, since the paper says about."""
    found = free_corrosion_potential(metal("mild_steel"), STILL) - CALOMEL
    assert found == pytest.approx(-0.675, abs=0.03)


def test_initial_current_demand_of_bare_steel() -> None:
    """0.15 (tropical) to 0.25 A/m2 (arctic), 0-30 m: DNV-RP-B401 in transcription; 0.235 on a platform:
    Hartt.

    Design values are kinetics to tens of per cent: the prediction at -0.80 V vs Ag/AgCl, between no flow and
    1 m/s at 12 degC, must overlap them.
    """
    demand = [
        -float(law([metal("mild_steel")], Water(285.15, 35.0, flow=u)).current_density([-0.80 + 0.25])[0])
        for u in (0.0, 1.0)
    ]
    assert demand[0] < 0.25
    assert demand[1] > 0.15


def test_the_catchment_rule() -> None:
    """Cathode current density is the oxygen limit whatever metal and area ratio; the anode's follows the
    ratio.

    Tsujino and Miyase, Corrosion 38 (1982) 226, abstract.
    """
    for cathode in ("copper", "nickel_aluminium_bronze", "graphite"):
        found = {ratio: couple("mild_steel", cathode, (1.0, ratio), STILL) for ratio in (0.05, 0.5)}
        dense = {ratio: -float(s.current[1]) / ratio for ratio, s in found.items()}
        assert dense[0.05] == pytest.approx(dense[0.5], rel=0.12)
        anode = float(found[0.5].current[0] / found[0.05].current[0])
        assert anode == pytest.approx(10.0, rel=0.12)


def test_aluminium_suffers_more_from_naval_brass_than_from_steel() -> None:
    """Al 5086 with naval brass, then 1040 steel: NPS-69PS-78-001 (1978), abstract; titanium is disputed."""
    brass = couple("aluminium_5083", "naval_brass", (1.0, 1.0), STILL).current[0]
    steel = couple("aluminium_5083", "mild_steel", (1.0, 1.0), STILL).current[0]
    assert brass > steel > 0.0


def test_carbon_fibre_drives_steel() -> None:
    """Over 0.85 V apart and steel rate over 1.5 times, equal areas: Sun, Hu and Wang (2021), abstract."""
    apart = free_corrosion_potential(metal("graphite"), STILL) - free_corrosion_potential(
        metal("mild_steel"), STILL
    )
    assert apart > 0.85
    found = couple("mild_steel", "graphite", (1.0, 1.0), STILL)
    free = rate("mild_steel", free_corrosion_potential(metal("mild_steel"), STILL), STILL)
    assert rate("mild_steel", float(found.polarisation[0]), STILL) > 1.5 * free
