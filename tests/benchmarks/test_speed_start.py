"""How long until the engine is there: its import, the first solve, and its kernel from the cache or from nothing.

    pytest tests/benchmarks/test_speed_start.py --benchmark-enable
    pytest tests/benchmarks/test_speed_start.py --benchmark-enable -m long      # compiling, a minute or more

Each figure is a fresh process. No time is asserted: machines differ.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from course.engine import warm

BOAT = """
import time
begun = time.perf_counter()
import course.engine
imported = time.perf_counter() - begun
from course.engine import *
import numpy as np
water, metals = Water(288.15, 33.0), [Kinetics(-0.75, 0.1, 1e-5), Kinetics(0.05, 0.02, 3e-5)]
network = Network(3, [(0, 2, 50.0), (1, 2, 50.0)], [(2, 1, 12.0, 1e4)])
system = System(np.eye(2) * 0.5, np.array([0.05, 0.2]), law(metals, water), np.arange(2), network)
"""
FIRST = BOAT + "begun = time.perf_counter(); solve(system); print(imported, time.perf_counter() - begun)"
KERNEL = (
    BOAT + "begun = time.perf_counter(); assert warm(); solve(system); print(time.perf_counter() - begun)"
)


def figures(text: str, **environment: str) -> list[float]:
    ran = subprocess.run(
        [sys.executable, "-P", "-c", text],
        env={**os.environ, **environment},
        capture_output=True,
        encoding="utf-8",
        check=True,
    )
    return [float(word) for word in ran.stdout.split()]


@pytest.mark.benchmark(group="start")
def test_import_and_first_solve(benchmark: BenchmarkFixture) -> None:
    """The time of the benchmark is that of the whole process; the figures asked for are in extra_info."""
    times: list[list[float]] = []
    benchmark.pedantic(lambda: times.append(figures(FIRST)), rounds=1 if benchmark.disabled else 7)
    benchmark.extra_info["import_s"] = round(min(t[0] for t in times), 3)
    benchmark.extra_info["first_solve_s"] = round(min(t[1] for t in times), 4)
    assert times


@pytest.mark.benchmark(group="start")
def test_kernel_from_a_warm_cache(benchmark: BenchmarkFixture) -> None:
    """numba's import, the machine code from the cache, and one solve by it."""
    assert warm()
    times: list[list[float]] = []
    benchmark.pedantic(lambda: times.append(figures(KERNEL)), rounds=1 if benchmark.disabled else 5)
    benchmark.extra_info["kernel_loaded_s"] = round(min(t[0] for t in times), 3)
    assert times


@pytest.mark.long
@pytest.mark.benchmark(group="start")
def test_kernel_from_nothing(benchmark: BenchmarkFixture, tmp_path: Path) -> None:
    """Compiled into an empty cache."""
    times: list[list[float]] = []
    benchmark.pedantic(lambda: times.append(figures(KERNEL, NUMBA_CACHE_DIR=str(tmp_path))), rounds=1)
    benchmark.extra_info["compiled_s"] = round(times[0][0], 1)
    assert times
