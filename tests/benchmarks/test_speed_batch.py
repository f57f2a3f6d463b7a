"""A thousand unlike boats together, set-up included, beside the same boats one by one.

    OPENBLAS_NUM_THREADS=1 pytest tests/benchmarks/test_speed_batch.py --benchmark-enable

Set-up is everything from arrays of parameters: oxygen, conductivity and laws of a thousand waters and twelve
thousand metals, networks, checks. No time is asserted: machines differ.
"""

from __future__ import annotations

import math
import time

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from course.boats.datasets import load
from course.engine import Kinetics, solve, transfer_matrix, warm
from course.engine.batch import Batch, kinetics_table, solve_batch
from course.engine.waters import Waters

BOATS, PATCHES = 1000, 12


def parameters(boats: int) -> dict[str, np.ndarray]:
    """Arrays of invented boats: a 12 V leak each, an isolator, a neighbour; 5 % of the wires open."""
    rng = np.random.default_rng(12)
    kinds = kinetics_table([Kinetics(**row["kinetics"]) for row in load("metals").values()])
    area = 10.0 ** rng.uniform(-2.5, -0.2, (boats, PATCHES))
    at = np.array([[1.0 + 0.8 * k, (-1) ** k * 0.6, -0.5 - 0.03 * k] for k in range(PATCHES)])
    widest = np.sqrt(area.max(axis=0) / (4.0 * math.pi))
    shared = transfer_matrix(at, 1.0 / (4.0 * math.pi * widest), widest, 3.6, 0.7)
    transfer = np.repeat(shared[None], boats, axis=0)
    own = 1.0 / (4.0 * math.pi * np.sqrt(area / (4.0 * math.pi))) - 1.0 / (4.0 * math.pi * widest)
    transfer[:, np.arange(PATCHES), np.arange(PATCHES)] += own
    conductance = 10.0 ** rng.uniform(0.0, 3.0, (boats, PATCHES + 1))
    conductance[rng.random(conductance.shape) < 0.05] = 0.0
    kinetics = kinds[rng.integers(0, len(kinds), (boats, PATCHES))]
    kinetics[:, :, 1] *= np.exp(rng.normal(0.0, 0.3, (boats, PATCHES)))
    return {
        "temperature": rng.uniform(276.0, 302.0, boats),
        "salinity": np.exp(rng.uniform(math.log(0.3), math.log(36.0), boats)),
        "flow": rng.uniform(0.0, 4.0, boats),
        "saturation": rng.uniform(0.3, 1.1, boats),
        "area": area,
        "transfer": transfer,
        "kinetics": kinetics,
        "conductance": conductance,
        "resistance": 10.0 ** rng.uniform(0.5, 4.0, (boats, 1)),
    }


def fleet(given: dict[str, np.ndarray]) -> Batch:
    bus, shore, neighbour, cable = PATCHES, PATCHES + 1, PATCHES + 2, PATCHES + 3
    waters = Waters(given["temperature"], given["salinity"], given["flow"], given["saturation"])
    wires = [*((k, bus if k < PATCHES - 1 else neighbour) for k in range(PATCHES)), (shore, neighbour)]
    return Batch(
        waters,
        given["transfer"],
        given["area"],
        given["kinetics"],
        np.arange(PATCHES),
        PATCHES + 4,
        wires=np.array(wires),
        conductance=given["conductance"],
        sources=np.array([(bus, 3), (cable, bus)]),
        emf=np.array([12.0, 0.0]),
        resistance=np.concatenate([given["resistance"], np.full_like(given["resistance"], 1e4)], axis=1),
        diodes=np.array([(bus, shore), (shore, bus)]),
        saturation=np.full(2, 2.5e-9),
        emission=np.full(2, 3.0),
    )


@pytest.mark.benchmark(group="batch")
def test_a_thousand_boats(benchmark: BenchmarkFixture) -> None:
    assert warm()
    given = parameters(BOATS)
    found = benchmark(lambda: solve_batch(fleet(given)))
    few = 20
    batch = fleet(given)
    begun = time.perf_counter()
    alone = [solve(batch.system(boat)) for boat in range(few)]
    single = (time.perf_counter() - begun) / few
    if benchmark.stats is not None:
        best = benchmark.stats.stats.min
        benchmark.extra_info["boats_per_second_best"] = round(BOATS / best)
        benchmark.extra_info["boats_per_second_median"] = round(BOATS / benchmark.stats.stats.median)
        benchmark.extra_info["one_by_one_over_batch"] = round(single * BOATS / best, 1)
    begun = time.process_time()
    solve_batch(fleet(given))
    benchmark.extra_info["processor_us_a_boat"] = round((time.process_time() - begun) / BOATS * 1e6, 1)
    benchmark.extra_info["iterations_mean"] = round(float(found.iterations.mean()), 1)
    for boat, one in enumerate(alone):
        np.testing.assert_allclose(found.node_voltage[boat], one.node_voltage, atol=1e-9)
