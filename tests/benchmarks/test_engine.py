"""How long the engine takes, beside scipy's own root finders on the same circuit in the same run.

    OPENBLAS_NUM_THREADS=1 pytest tests/benchmarks/test_engine.py --benchmark-enable

No time is asserted: machines differ. The ratio to scipy stands in each benchmark's extra_info.
"""

from __future__ import annotations

import math
import time
from collections.abc import Callable

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from scipy.optimize import root

from course.boats.datasets import load
from course.engine import Kinetics, Network, Solution, System, Water, law, relax, solve, transfer_matrix, warm


@pytest.fixture(scope="module", autouse=True)
def ready() -> None:
    """The compiled kernel, where it can be."""
    warm()


NAMES = ["nickel_aluminium_bronze"] * 2 + ["stainless_316_passive"] * 2 + ["zinc_anode"] * 3
NAMES += ["manganese_bronze"] * 2 + ["silicon_bronze"] * 3 + ["mild_steel", "naval_brass"]
AREA = np.array(
    [0.25, 0.25, 0.3, 0.3, 0.06, 0.06, 0.09, 0.15, 0.15, 0.02, 0.02, 0.02, 0.01, 0.015]
)  # m2, invented


def twin_screw(salinity: float = 33.0, leak: float = 1e4, temperature: float = 288.15) -> System:
    """An invented boat of 14 patches and 20 nodes; `leak` [ohm] from a 12 V battery into a through-hull."""
    n = len(NAMES)
    water = Water(temperature, salinity)
    at = np.array([[1 + 0.7 * k, (-1) ** k * 0.6, -0.5 - 0.02 * k] for k in range(n)])
    radii = np.sqrt(AREA / (4 * math.pi))
    transfer = transfer_matrix(at, 1 / (4 * math.pi * radii), radii, 3.6, 0.7) / water.conductivity
    wires = [(k, n + k % 2, 1 / (0.005 + 0.002 * k)) for k in range(n)]
    wires += [(n, n + 1, 100.0), (n + 1, n + 2, 50.0), (n + 2, n + 3, 50.0), (n + 3, n + 4, 20.0)]
    wires += [(n + 4, n + 5, 5.0)]
    kinetics = [Kinetics(**load("metals")[name]["kinetics"]) for name in NAMES]
    network = Network(n + 6, wires, [(n + 1, 3, 12.0, leak)])
    return System(transfer, AREA, law(kinetics, water), np.arange(n), network)


def by_scipy(system: System, method: str) -> tuple[np.ndarray, bool, float]:
    """(polarisation, close to the engine's, seconds) with the same unknowns, start and analytic Jacobian."""
    found = solve(system)
    n, tree, reach, r = system.law.size, system.tree, system.reach, system.transfer

    def balance(x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        current, u = x[:n], x[n:]
        density, steep = system.law.evaluate(reach @ u - r @ current)
        d = (system.area * steep)[:, None]
        value = np.concatenate(
            [current - system.area * density, tree.matrix @ u + reach.T @ current - tree.inflow]
        )
        return value, np.block([[np.eye(n) + d * r, -d * reach], [reach.T, tree.matrix]])

    rest = np.concatenate([np.zeros(n), np.zeros(system.network.size)])
    rest[n] = float(np.median(system.law.floor_potential))
    begun = time.perf_counter()
    answer = root(balance, rest, jac=True, method=method, options={"xtol": 1e-13})
    spent = time.perf_counter() - begun
    polarisation = reach @ answer.x[n:] - r @ answer.x[:n]
    return polarisation, bool(np.abs(polarisation - found.polarisation).max() < 1e-6), spent


def note(benchmark: BenchmarkFixture, act: Callable[[], Solution], system: System) -> None:
    """Put scipy's time and success beside the engine's, measured now."""
    begun = time.perf_counter()
    for _ in range(20):
        act()
    ours = (time.perf_counter() - begun) / 20
    for method in ("hybr", "lm"):
        _, right, theirs = by_scipy(system, method)
        benchmark.extra_info[f"scipy_{method}_over_engine"] = round(theirs / ours, 1)
        benchmark.extra_info[f"scipy_{method}_right"] = right


@pytest.mark.benchmark(group="engine")
def test_cold(benchmark: BenchmarkFixture) -> None:
    system = twin_screw()
    found = benchmark(solve, system)
    note(benchmark, lambda: solve(system), system)
    assert abs(found.current.sum()) < 1e-10


@pytest.mark.benchmark(group="engine")
def test_cold_with_a_hard_leak(benchmark: BenchmarkFixture) -> None:
    system = twin_screw(leak=10.0)
    found = benchmark(solve, system)
    note(benchmark, lambda: solve(system), system)
    assert abs(found.current.sum()) < 1e-10


@pytest.mark.benchmark(group="engine")
def test_warm_after_a_change_of_water(benchmark: BenchmarkFixture) -> None:
    before, system = solve(twin_screw()), twin_screw(salinity=30.0)
    found = benchmark(solve, system, before)
    note(benchmark, lambda: solve(system, before), system)
    np.testing.assert_allclose(found.polarisation, solve(system).polarisation, atol=1e-9)


@pytest.mark.benchmark(group="engine")
def test_relaxation_step(benchmark: BenchmarkFixture) -> None:
    """A hundred steps of a minute in a row; the figure is for one of them times a hundred."""
    system = twin_screw()
    begun = solve(system).polarisation + np.linspace(-0.2, 0.1, len(NAMES))
    capacitance = np.full(len(NAMES), 300.0)

    def hundred() -> Solution:
        last, at = None, begun
        for _ in range(100):
            last = relax(system, at, capacitance, 60.0, last)
            at = last.polarisation
        assert last is not None
        return last

    found = benchmark(hundred)
    benchmark.extra_info["steps"] = 100
    assert np.isfinite(found.current).all()


@pytest.mark.benchmark(group="engine")
def test_building_a_boat(benchmark: BenchmarkFixture) -> None:
    """Field, laws and network from nothing, as after a change of boat."""
    temperatures = iter(np.linspace(280.0, 300.0, 1_000_000))
    system = benchmark(lambda: twin_screw(temperature=float(next(temperatures))))
    assert system.law.size == len(NAMES)
