"""A two-metal couple solved apart from the engine: the law written afresh, roots by scipy.optimize.brentq."""

from __future__ import annotations

import math
from collections.abc import Callable

import gsw
import numpy as np
import pytest
from scipy import constants
from scipy.optimize import brentq

from course.boats.datasets import load
from course.engine import Kinetics, Network, System, Water, law, solve

FARADAY = constants.value("Faraday constant")


def law_by_hand(k: Kinetics, water: Water) -> Callable[[float], float]:
    """The electrode law as a chemist writes it: reciprocal sums of currents, at 20 degC, S 35 only."""
    assert water.temperature == 293.15
    assert water.salinity == 35.0
    at = k.corrosion_potential
    oxygen = (
        float(gsw.O2sol_SP_pt(35.0, 20.0)) * 1e-6 * float(gsw.rho_t_exact(gsw.SR_from_SP(35.0), 20.0, 0.0))
    )

    def decades(e: float, slope: float) -> float:
        return 10.0 ** ((e - at) / slope)

    def oxygen_reduction(e: float, transfer: float) -> float:
        limit = 4 * FARADAY * oxygen / (1 / transfer + 1 / k.film_transfer)
        return 1.0 / (1.0 / (k.oxygen_current / decades(e, k.oxygen_slope)) + 1.0 / limit)

    def side(e: float) -> float:
        hydrogen = k.hydrogen_current * 10.0 ** (-(e + 0.759) / k.hydrogen_slope)
        gas = k.gas_current * 10.0 ** ((e - 1.4) / k.gas_slope)
        if k.breakdown_potential is None:
            return gas - hydrogen
        pits = 0.02 / (1 - 0.02 / k.plateau) * 10.0 ** ((e - k.breakdown_potential) / k.breakdown_slope)
        return gas - hydrogen + 1.0 / (1.0 / pits + 1.0 / k.plateau)

    calibration = Water(293.15, 35.0, flow=3.0).mass_transfer
    rest = oxygen_reduction(at, calibration) - side(at)
    plateau = 1.5 * rest if k.passive else k.plateau
    start = 1.0 / (1.0 / rest - 1.0 / plateau)

    def density(e: float) -> float:
        anodic = 1.0 / (1.0 / (start * decades(e, k.anodic_slope)) + 1.0 / plateau)
        return anodic + side(e) - oxygen_reduction(e, water.mass_transfer) + 1e-5 * (e - at)

    return density


PAIRS = [
    ("zinc_anode", "nickel_aluminium_bronze", 0.05, 1.0),
    ("mild_steel", "copper", 1.0, 0.3),
    ("aluminium_5083", "stainless_316_passive", 2.0, 0.1),
    ("manganese_bronze", "stainless_316_passive", 0.2, 0.5),
]
WATER = Water(293.15, 35.0, flow=0.5)
TOP, BOTTOM = 0.9, -1.6  # V SHE: below argument 25 of every exponential


def kinetics(name: str) -> Kinetics:
    return Kinetics(**load("metals")[name]["kinetics"])


@pytest.mark.parametrize(("anode", "cathode", "small", "large"), PAIRS)
def test_without_resistance(anode: str, cathode: str, small: float, large: float) -> None:
    one, two = law_by_hand(kinetics(anode), WATER), law_by_hand(kinetics(cathode), WATER)
    mixed = brentq(lambda e: small * one(e) + large * two(e), BOTTOM, TOP, xtol=1e-14, rtol=1e-14)
    laws = law([kinetics(anode), kinetics(cathode)], WATER)
    system = System(np.eye(2) * 1e-9, np.array([small, large]), laws, np.zeros(2, dtype=int), Network(1))
    found = solve(system)
    np.testing.assert_allclose(found.polarisation, mixed, atol=1e-8)
    assert found.current[0] == pytest.approx(small * one(mixed), rel=1e-6)


@pytest.mark.parametrize("wire", [1e-3, 1.0, 100.0])
@pytest.mark.parametrize(("anode", "cathode", "small", "large"), PAIRS)
def test_with_resistance(anode: str, cathode: str, small: float, large: float, wire: float) -> None:
    """I such that E2(-I) - E1(I) = I (R11 + R22 - 2 R12 + wire), each E from its own law by an inner root."""
    one, two = law_by_hand(kinetics(anode), WATER), law_by_hand(kinetics(cathode), WATER)
    transfer = np.array([[0.8, 0.05], [0.05, 0.4]])
    loop = 0.8 + 0.4 - 0.1 + wire

    def held(density: Callable[[float], float], area: float, current: float) -> float:
        return brentq(lambda e: area * density(e) - current, BOTTOM, TOP, xtol=1e-15, rtol=1e-14)

    def unbalanced(current: float) -> float:
        return held(two, large, -current) - held(one, small, current) - current * loop

    most = 0.999 * -large * two(BOTTOM)
    most = min(most, 0.999 * small * one(TOP), 2.0 / loop)
    current = brentq(unbalanced, 0.0, most, xtol=1e-15, rtol=1e-13)
    laws = law([kinetics(anode), kinetics(cathode)], WATER)
    system = System(transfer, np.array([small, large]), laws, np.arange(2), Network(2, [(0, 1, 1.0 / wire)]))
    found = solve(system)
    assert found.current[0] == pytest.approx(current, rel=1e-8)
    assert found.current.sum() == pytest.approx(0.0, abs=1e-12)
    assert found.polarisation[0] == pytest.approx(held(one, small, current), abs=1e-9)
    assert found.polarisation[1] == pytest.approx(held(two, large, -current), abs=1e-8)
    assert math.isclose(float(found.node_voltage[0] - found.node_voltage[1]), -current * wire, rel_tol=1e-8)
