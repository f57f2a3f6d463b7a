"""Minutes after a switch: monotone, first order, and at rest where the steady solve is."""

from __future__ import annotations

import math

import numpy as np
import pytest

from course.engine import Kinetics, Network, System, Water, law, relax, settle, solve

FAST = 300.0  # F/m2


def test_a_settled_boat_stays(boat) -> None:
    system = boat.system()
    steady = solve(system)
    after = relax(system, steady.polarisation, np.full(6, FAST), 60.0, steady)
    np.testing.assert_allclose(after.polarisation, steady.polarisation, atol=1e-9)


def test_lifted_anodes_let_the_boat_drift_up_to_its_steady_state(boat) -> None:
    before = solve(boat.system())
    boat.bond = (*boat.bond[:4], math.inf, math.inf)
    system = boat.system()
    times = np.concatenate([np.arange(1.0, 61.0) * 60.0, [7200.0, 1e5, 1e7]])
    path = settle(system, before.polarisation, np.full(6, FAST), times)
    bus = np.array([s.node_voltage[6] for s in path])
    assert (np.diff(bus) >= -1e-9).all()
    assert bus[0] - before.node_voltage[6] < 0.5 * (bus[-1] - before.node_voltage[6])
    assert bus[-1] == pytest.approx(float(solve(system).node_voltage[6]), abs=1e-6)


def test_one_long_step_is_the_steady_solve(boat) -> None:
    system = boat.system()
    far = relax(system, np.zeros(6), np.full(6, FAST), 1e9)
    np.testing.assert_allclose(far.polarisation, solve(system).polarisation, atol=1e-6)


def test_an_instant_leaves_the_polarisation(boat) -> None:
    system = boat.system()
    held = np.linspace(-0.6, -0.2, 6)
    after = relax(system, held, np.full(6, 1e6), 1e-3)
    # A zinc held at -0.28 V gives 1e4 A/m2, and 1e4 * 1e-3 / 1e6 V is how far that takes it.
    np.testing.assert_allclose(after.polarisation, held, atol=2e-5)


def test_first_order_with_the_closed_form() -> None:
    """A lone patch near rest: E(t) - E* = (E0 - E*) exp(-t j'/C); a hundred backward-Euler steps give 1 %."""
    copper = Kinetics(-0.094, 0.013, 3e-5)
    laws = law([copper], Water(293.15, 35.0, flow=3.0))
    alone = System(np.eye(1) * 0.1, [0.1], laws, np.array([0]), Network(1))
    rest, start = copper.corrosion_potential, copper.corrosion_potential + 1e-4
    tau = FAST / float(laws.slope([rest])[0])
    path = settle(alone, [start], [FAST], np.linspace(tau / 100, tau, 100))
    left = float(path[-1].polarisation[0] - rest) / 1e-4
    assert left == pytest.approx(math.exp(-1.0), rel=0.01)


def test_halving_the_step_halves_the_error(boat) -> None:
    before = solve(boat.system()).polarisation
    boat.bond = (*boat.bond[:4], math.inf, math.inf)
    system = boat.system()
    ends = [
        settle(system, before, np.full(6, FAST), np.linspace(0, 600, n + 1)[1:])[-1] for n in (10, 20, 40)
    ]
    coarse, middle, fine = (float(e.node_voltage[6]) for e in ends)
    assert (coarse - middle) / (middle - fine) == pytest.approx(2.0, rel=0.25)
