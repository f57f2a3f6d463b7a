"""How long a marina takes, beside one dense solve of everything, and how that grows.

    OPENBLAS_NUM_THREADS=1 pytest tests/benchmarks/test_marina.py --benchmark-enable

No time is asserted: machines differ. Ratios, growth exponent and memory stand in each benchmark's extra_info.
"""

from __future__ import annotations

import math
import runpy
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from course.engine import Network, solve
from course.engine.marina import Marina, solve_marina

MADE = Path(__file__).parents[1] / "engine" / "marinas.py"
make = runpy.run_path(str(MADE))["marina"]
PEAK = "import resource, runpy, sys; make = runpy.run_path(sys.argv[1])['marina']; "
PEAK += "from course.engine.marina import solve_marina; solve_marina(make(3)); "
PEAK += "before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss; solve_marina(make(int(sys.argv[2]))); "
PEAK += "print(before, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)"


def measuring(benchmark: BenchmarkFixture, full: int) -> int:
    """`full` boats where times are wanted; a few where this runs as a test."""
    return full if benchmark.enabled else 12


def quickest(act: Callable[[], object], times: int = 7) -> float:
    spent = []
    for _ in range(times):
        begun = time.perf_counter()
        act()
        spent.append(time.perf_counter() - begun)
    return min(spent)


def ready(boats: int) -> Marina:
    """A marina surveyed and wired, as it is once for all solves."""
    marina = make(boats)
    _ = marina.field, marina.wiring
    return marina


def unplugged(marina: Marina, craft: int) -> Network:
    """The shore network without the branches that end on a craft."""
    first, end = int(marina.first_node[craft]), int(marina.first_node[craft + 1])
    shore = marina.shore
    kept = [row for row in shore.branches if not (first <= row.a < end or first <= row.b < end)]
    assert len(kept) < len(shore.branches)
    return Network(shore.size, kept, shore.sources, shore.diodes, shore.temperature)


def on_a_lead(marina: Marina) -> int:
    """A boat whose earth is wired to the dock."""
    ends = {row.a for row in marina.shore.branches}
    firsts = marina.first_node
    return next(k for k in range(len(marina.crafts)) if ends & set(range(int(firsts[k]), int(firsts[k + 1]))))


@pytest.mark.benchmark(group="marina")
def test_all_boats_cold(benchmark: BenchmarkFixture) -> None:
    marina = ready(measuring(benchmark, 300))
    found = benchmark(solve_marina, marina)
    assert abs(found.current.sum()) < 1e-10
    benchmark.extra_info["patches"] = int(marina.area.size)
    if benchmark.enabled:
        benchmark.extra_info["set_up_s"] = round(quickest(lambda: ready(300), 2), 2)
        benchmark.extra_info["field_megabytes"] = round(marina.field.bytes_held / 1e6, 1)


@pytest.mark.benchmark(group="marina")
def test_after_one_switch(benchmark: BenchmarkFixture) -> None:
    """One boat unplugged: network rebuilt, checked and solved again from the answer before."""
    marina = ready(measuring(benchmark, 300))
    before = solve_marina(marina)
    craft = on_a_lead(marina)
    found = benchmark(lambda: solve_marina(marina.with_shore(unplugged(marina, craft)), before))
    assert np.abs(found.current - before.current).max() > 1e-6


@pytest.mark.benchmark(group="marina")
def test_beside_one_dense_solve(benchmark: BenchmarkFixture) -> None:
    """The same 50 boats in one dense system, already built."""
    marina = ready(measuring(benchmark, 50))
    system = marina.system()
    found = benchmark(solve_marina, marina)
    whole = solve(system)
    assert np.abs(found.current - whole.current).max() < 1e-6 * np.abs(whole.current).max()
    ours, dense = quickest(lambda: solve_marina(marina)), quickest(lambda: solve(system), 2)
    benchmark.extra_info["dense_over_marina"] = round(dense / ours, 1)


@pytest.mark.benchmark(group="marina")
def test_growth(benchmark: BenchmarkFixture) -> None:
    """Exponent of the time from 50 to 1,000 boats, by the quickest of seven solves of each."""
    sizes = (50, 100, 200, 500, 1000) if benchmark.enabled else (6, 12)
    marinas = [ready(size) for size in sizes]
    benchmark(solve_marina, marinas[-1])
    spent = [quickest(lambda m=m: solve_marina(m)) for m in marinas]  # type: ignore[misc]
    slope = math.log(spent[-1] / spent[0]) / math.log(sizes[-1] / sizes[0])
    fitted = np.polyfit(np.log(sizes), np.log(spent), 1)[0]
    benchmark.extra_info["ms"] = {size: round(1e3 * t, 1) for size, t in zip(sizes, spent, strict=True)}
    benchmark.extra_info["exponent_ends"] = round(slope, 2)
    benchmark.extra_info["exponent_fitted"] = round(float(fitted), 2)
    assert slope > 0.0 or not benchmark.enabled


@pytest.mark.benchmark(group="marina")
def test_peak_memory(benchmark: BenchmarkFixture) -> None:
    """Memory a marina adds to a process that has solved a small one, set-up and solve together."""
    boats = measuring(benchmark, 300)

    def run() -> tuple[int, int]:
        ran = subprocess.run(
            [sys.executable, "-c", PEAK, str(MADE), str(boats)],
            capture_output=True,
            encoding="utf-8",
            check=True,
        )
        before, after = ran.stdout.split()
        return int(before), int(after)

    before, after = benchmark.pedantic(run, rounds=1)
    benchmark.extra_info["boats"] = boats
    benchmark.extra_info["peak_megabytes"] = round(after / 1024)
    benchmark.extra_info["added_megabytes"] = round((after - before) / 1024)
    assert after >= before
