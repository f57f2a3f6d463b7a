"""One lumped boat with a 12 V leak, cold, beside ngspice (a process, and the library in this one), scipy and numpy.

    OPENBLAS_NUM_THREADS=1 pytest tests/benchmarks/test_speed_lumped.py --benchmark-enable

Cold: from no start, on a system that is built. ngspice and scipy get help the engine does not need: ngspice a start
within a millivolt of the answer (it would not settle otherwise), scipy the same unknowns and an analytic Jacobian.
No time is asserted: machines differ. Ratios stand in each benchmark's extra_info, measured in the same run.
"""

from __future__ import annotations

import math
import shutil
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture
from scipy.optimize import root

from course.boats.datasets import load
from course.engine import Kinetics, Network, System, Water, isolator, law, solve, transfer_matrix, warm
from course.engine.companion import Point
from course.engine.netlist import netlist, read_voltages
from course.engine.solve import iterate
from course.engine.start import no_drop_start

PROGRAM = shutil.which("ngspice")
NAMES = ["nickel_aluminium_bronze"] * 2 + ["stainless_316_passive"] * 2 + ["zinc_anode"] * 3
NAMES += ["manganese_bronze"] * 2 + ["silicon_bronze"] * 2 + ["mild_steel"]
AREA = np.array([0.25, 0.25, 0.3, 0.3, 0.06, 0.06, 0.09, 0.15, 0.15, 0.02, 0.02, 2.0])  # m2, invented


def leaking_boat() -> System:
    """An invented boat of 12 patches: 12 V through 10 ohm onto a seacock with a poor bond; a pile by an isolator."""
    n, water = len(NAMES), Water(288.15, 33.0)
    at = np.array([[1 + 0.8 * k, (-1) ** k * 0.6, -0.5 - 0.02 * k] for k in range(n)])
    radii = np.sqrt(AREA / (4 * math.pi))
    transfer = transfer_matrix(at, 1 / (4 * math.pi * radii), radii, 3.6, 0.7) / water.conductivity
    bonds = [(k, n, 1 / (0.005 + 0.002 * k)) for k in range(n - 2)]
    wires = [*bonds, (n - 2, n, 1 / 25.0), (n - 1, n + 1, 1 / 0.05)]
    kinetics = [Kinetics(**load("metals")[name]["kinetics"]) for name in NAMES]
    network = Network(n + 2, wires, [(n, n - 2, 12.0, 10.0)], isolator(n, n + 1))
    return System(transfer, AREA, law(kinetics, water), np.arange(n), network)


@pytest.fixture(scope="module")
def boat() -> System:
    assert warm()
    return leaking_boat()


def seconds(act: Callable[[], object], times: int, runs: int = 60) -> float:
    """The quickest of some runs of `times` calls, for one call; other work on the machine passes by."""
    spent = []
    for _ in range(runs):
        begun = time.perf_counter()
        for _ in range(times):
            act()
        spent.append((time.perf_counter() - begun) / times)
    return min(spent)


def by_scipy(system: System, method: str) -> tuple[float, bool]:
    """Seconds, and whether it came within a microvolt of the engine's answer."""
    answer, n, tree, reach, r = solve(system), system.law.size, system.tree, system.reach, system.transfer
    rows, volts, saturation = tree.diode_rows, tree.diode_volts, tree.diode_current

    def balance(x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        current, u = x[:n], x[n:]
        density, steep = system.law.evaluate(reach @ u - r @ current)
        d = (system.area * steep)[:, None]
        rise = np.exp(np.minimum(rows @ u / volts, 25.0))
        push, slope = saturation * (rise - 1.0), saturation / volts * rise
        network = tree.matrix @ u + reach.T @ current - tree.inflow + rows.T @ push
        stiff = tree.matrix + rows.T @ (slope[:, None] * rows)
        jacobian = np.block([[np.eye(n) + d * r, -d * reach], [reach.T, stiff]])
        return np.concatenate([current - system.area * density, network]), jacobian

    rest = np.zeros(n + system.network.size)
    rest[n] = float(np.median(system.law.floor_potential))

    def act() -> object:
        return root(balance, rest, jac=True, method=method, options={"xtol": 1e-13})

    with np.errstate(all="ignore"):
        found = act()
        spent = seconds(act, 1, 8)
    polarisation = reach @ found.x[n:] - r @ found.x[:n]
    return spent, bool(np.abs(polarisation - answer.polarisation).max() < 1e-6)


def ngspice_process(system: System) -> tuple[float, float]:
    """Seconds of one run of the program, and the largest difference of a node voltage [V]."""
    text = netlist(system, solve(system))
    spent, ran = [], None
    for _ in range(12):
        begun = time.perf_counter()
        ran = subprocess.run(
            [str(PROGRAM), "-b", "/dev/stdin"], input=text, capture_output=True, encoding="utf-8", check=False
        )
        spent.append(time.perf_counter() - begun)
    assert ran is not None
    _, node = read_voltages(ran.stdout, system)
    return min(spent), float(np.abs(node - solve(system).node_voltage).max())


@pytest.mark.benchmark(group="lumped boat with a 12 V leak")
def test_cold(benchmark: BenchmarkFixture, boat: System) -> None:
    found = benchmark(solve, boat)
    ours = seconds(lambda: solve(boat), 20)
    start = np.zeros(2)
    plain = seconds(lambda: iterate(boat, Point(no_drop_start(boat), start.copy())), 1)
    benchmark.extra_info["engine_us"] = round(ours * 1e6, 1)
    benchmark.extra_info["iterations"] = found.iterations
    benchmark.extra_info["numpy_twin_over_engine"] = round(plain / ours, 1)
    for method in ("hybr", "lm"):
        theirs, right = by_scipy(boat, method)
        benchmark.extra_info[f"scipy_{method}_over_engine"] = round(theirs / ours)
        benchmark.extra_info[f"scipy_{method}_right"] = right
    assert abs(float(found.current.sum())) < 1e-10


@pytest.mark.benchmark(group="lumped boat with a 12 V leak")
def test_warm_after_a_switch(benchmark: BenchmarkFixture, boat: System) -> None:
    """From the answer without the leak."""
    quiet = Network(boat.network.size, boat.network.branches, (), boat.network.diodes)
    before = solve(System(boat.transfer, boat.area, boat.law, boat.node, quiet))
    found = benchmark(solve, boat, before)
    np.testing.assert_allclose(found.polarisation, solve(boat).polarisation, atol=1e-9)


@pytest.mark.benchmark(group="lumped boat with a 12 V leak")
def test_built_and_solved(benchmark: BenchmarkFixture, boat: System) -> None:
    """Field, laws, network and tree from nothing, then solved: a new boat."""
    found = benchmark(lambda: solve(leaking_boat()))
    assert abs(float(found.current.sum())) < 1e-10


@pytest.mark.benchmark(group="lumped boat with a 12 V leak")
@pytest.mark.skipif(PROGRAM is None, reason="no ngspice on this machine: install the package ngspice")
def test_beside_an_ngspice_process(benchmark: BenchmarkFixture, boat: System) -> None:
    benchmark(solve, boat)
    ours = seconds(lambda: solve(boat), 20)
    theirs, difference = ngspice_process(boat)
    benchmark.extra_info["ngspice_process_over_engine"] = round(theirs / ours)
    assert difference < 1e-8


LIBRARY = """
import sys, time
from ngspice_library import Simulator
simulator = Simulator()
simulator.load(sys.stdin.read())
simulator.command("op")
print(simulator.voltage("n0"))
spent = []
for turn in range(200):
    begun = time.perf_counter()
    simulator.command(f"alter rs0 = {10.0 + 1e-9 * turn}")
    simulator.command("op")
    spent.append(time.perf_counter() - begun)
print(min(spent))
"""


@pytest.mark.benchmark(group="lumped boat with a 12 V leak")
def test_beside_the_ngspice_library(benchmark: BenchmarkFixture, boat: System) -> None:
    """In a process of its own, so that a fault of the library ends that one; its time is taken within."""
    here = Path(__file__).parent
    found = subprocess.run(
        [sys.executable, "-c", "import ngspice_library as n; print(n.installed())"],
        cwd=here,
        capture_output=True,
        encoding="utf-8",
        check=True,
    )
    if found.stdout.strip() == "None":
        pytest.skip("no ngspice library on this machine: install the package libngspice0")
    benchmark(solve, boat)
    ours = seconds(lambda: solve(boat), 20)
    ran = subprocess.run(
        [sys.executable, "-c", LIBRARY],
        input=netlist(boat, solve(boat)),
        cwd=here,
        capture_output=True,
        encoding="utf-8",
        check=True,
    )
    voltage, theirs = (float(word) for word in ran.stdout.split()[-2:])
    benchmark.extra_info["ngspice_library_over_engine"] = round(theirs / ours, 1)
    assert voltage == pytest.approx(float(solve(boat).node_voltage[0]), abs=1e-8)
