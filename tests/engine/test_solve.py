"""The one answer, always found: from any start, by either road, with every law obeyed."""

from __future__ import annotations

import sys
from collections.abc import Callable

import numpy as np
import pytest

from course.engine import Network, NotConverged, Solution, System, isolator, solve
from course.engine.companion import Point
from course.engine.energy import State, descend
from course.engine.solve import iterate

Maker = Callable[[int], System]
SAME = 1e-9  # V


def scattered(system: System, seed: int) -> Point:
    rng = np.random.default_rng(seed)
    return Point(rng.uniform(-3.0, 3.0, system.law.size), np.zeros(len(system.network.diodes)))


def apart(one: Solution, two: Solution) -> float:
    names = ("node_voltage", "water_potential", "polarisation")
    return max(float(np.abs(getattr(one, name) - getattr(two, name)).max()) for name in names)


def test_random_circuits_have_one_answer_from_two_starts(circuit: Maker) -> None:
    for seed in range(300):
        system = circuit(seed)
        cold, far = solve(system), iterate(system, scattered(system, seed))
        assert far is not None, f"circuit {seed} did not settle from a scattered start"
        assert apart(cold, far) < SAME, f"circuit {seed}"
        assert np.isfinite(cold.current).all()


def test_every_law_is_obeyed(circuit: Maker) -> None:
    """Current by the law, potential by the transfer matrix, and Kirchhoff at every node."""
    for seed in range(100):
        system = circuit(1000 + seed)
        found = solve(system)
        drawn = system.area * system.law.current_density(found.polarisation)
        largest = np.abs(found.current).max() + 1e-6
        assert np.abs(drawn - found.current).max() < 1e-8 * largest
        np.testing.assert_allclose(system.transfer @ found.current, found.water_potential, atol=1e-12)
        metal = found.node_voltage[system.node]
        np.testing.assert_allclose(metal - found.water_potential, found.polarisation, atol=1e-11)


def test_kirchhoff_at_every_node(circuit: Maker) -> None:
    """Wire currents carry digits of node voltages over 1e-4 ohm, hence 1e-9 A."""
    for seed in range(60):
        system = circuit(2000 + seed)
        if system.network.diodes:
            continue
        found = solve(system)
        inflow = system.network.injection() - system.network.admittance() @ found.node_voltage
        np.add.at(inflow, system.node, -found.current)
        scale = 1.0 + np.abs(system.network.admittance()).max() * np.abs(found.node_voltage).max()
        assert np.abs(inflow).max() < 1e-13 * scale + 1e-9


def test_charge_balances(circuit: Maker) -> None:
    for seed in range(200):
        assert abs(float(solve(circuit(3000 + seed)).current.sum())) < 1e-10


def test_the_energy_line_search_alone_finds_the_answer(circuit: Maker) -> None:
    """The fallback, made to work from scattered starts."""
    for seed in range(40):
        system = circuit(4000 + seed)
        lower = descend(system, scattered(system, seed))
        assert lower is not None
        again = iterate(system, lower)
        assert again is not None
        assert apart(solve(system), again) < SAME


def test_the_answer_is_the_bottom_of_the_energy(circuit: Maker) -> None:
    rng = np.random.default_rng(5)
    for seed in range(20):
        system = circuit(5000 + seed)
        found = solve(system)
        u = np.linalg.solve(system.tree.basis, found.node_voltage)
        bottom = State(system, found.current, u)
        for _ in range(5):
            move = rng.normal(size=found.current.size) * np.abs(found.current)
            turn = rng.normal(size=u.size) * 1e-2
            trial = State(system, found.current + move, u + turn)
            assert trial.energy() >= bottom.energy() - 1e-9 * (1.0 + abs(bottom.energy()))


def test_a_warm_start_gives_the_same_answer_sooner(boat) -> None:
    first = solve(boat.system())
    boat.bond = (0.01, 0.05, 0.02, 0.02, 0.005, 0.005)
    changed = boat.system()
    warm, cold = solve(changed, first), solve(changed)
    assert apart(warm, cold) < SAME
    assert warm.iterations <= cold.iterations
    assert solve(changed, cold).iterations <= 2


def test_nodes_that_touch_nothing_stay_at_remote_water(boat) -> None:
    system = boat.system()
    network = Network(10, system.network.branches, (), ((7, 8, 2.5e-9, 1.5, 2),))
    alone = System(system.transfer, system.area, system.law, system.node, network)
    found = solve(alone)
    assert found.node_voltage[9] == 0.0
    assert np.abs(found.node_voltage[7:9]).max() < 1e-12
    assert abs(found.current.sum()) < 1e-10


def test_an_isolator_blocks_galvanic_voltage_and_passes_a_fault(boat) -> None:
    """Zincs beside bronze through an isolator: next to nothing flows; a fault of 20 A leaves under 2 V."""
    system = boat.system()
    wires = [w for w in system.network.branches if w.a < 4]
    zincs = [(4, 7, 100.0), (5, 7, 100.0)]

    def solved(*sources: tuple[int, int, float, float], closed: bool = False) -> Solution:
        joint = [(6, 7, 100.0)] if closed else []
        strings = () if closed else isolator(6, 7)
        network = Network(8, [*wires, *zincs, *joint], sources, strings)
        return solve(System(system.transfer, system.area, system.law, system.node, network))

    blocked, bonded = solved().current[4:].sum(), solved(closed=True).current[4:].sum()
    assert bonded > 0.05
    assert 0.0 <= blocked < 1e-2 * bonded
    fault = solved((6, 7, 12.0, 0.5))
    assert 1.2 < fault.node_voltage[7] - fault.node_voltage[6] < 2.0


def test_failure_says_what_was_tried(boat, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys.modules["course.engine.solve"], "iterate", lambda *_: None)
    monkeypatch.setattr(sys.modules["course.engine.solve"], "kernel_for", lambda _: None)
    with pytest.raises(
        NotConverged, match="6 patches and 7 nodes did not settle; tried 200 limited Newton steps"
    ):
        solve(boat.system())


def test_laws_may_change_under_one_system(circuit: Maker) -> None:
    system = circuit(1)
    stored = system.law.with_storage(np.full(system.law.size, 5.0), np.zeros(system.law.size))
    fresh = System(system.transfer, system.area, stored, system.node, system.network)
    assert apart(solve(system.with_law(stored)), solve(fresh)) < SAME
