"""How long the field takes: a hull once, the resolved boat after a change, and its map; finite elements beside.

    OPENBLAS_NUM_THREADS=1 pytest tests/benchmarks/test_field.py --benchmark-enable

No time is asserted: machines differ, and this one may be busy. Percentiles and ratios stand in extra_info.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from course.boats.afloat import Setting
from course.boats.boat_panels import boat_panels
from course.boats.description import fleet_boat
from course.boats.personal import middle_berth
from course.boats.plan import SlipPlan
from course.boats.resolved import Resolved
from course.engine import Network, Solution, System, Water, solve
from course.engine.field import Basin, PlaneMap, plane_map, water_field, with_moved

FRAMES = 700
PLAN = SlipPlan(
    exercise="none", seed="0", boat=fleet_boat("marsh_lantern"), berth=middle_berth("cormorant_reach")
)


@pytest.fixture(scope="module")
def boat() -> Resolved:
    return Resolved(PLAN)


def cell_plane(boat: Resolved, fully: bool) -> PlaneMap:
    """The plane the cell is dragged on, 2.1 m to port; a coarse one where nothing is measured."""
    columns, rows = (200, 100) if fully else (40, 25)
    return plane_map(boat.field, [-1.0, 2.1, -0.02], [13.2, 0, 0], [0, 0, -3.5], columns, rows)


@pytest.mark.benchmark(group="field")
def test_hull_of_1500_panels_once(benchmark: BenchmarkFixture) -> None:
    """Geometry to transfer matrix, surface and bed included, with the boat's 158 patches."""
    panels, _ = boat_panels(PLAN.boat, 36, 17)
    basin = Basin(True, PLAN.berth.depth_m, PLAN.berth.bed_reflection)
    water_field(panels, basin)  # the compiler's work is not the field's
    begun = time.process_time()
    water_field(panels, basin)
    benchmark.extra_info["own_s"] = round(time.process_time() - begun, 2)  # where others share the machine
    field = benchmark(water_field, panels, basin)
    benchmark.extra_info.update(panels=panels.size, hull=int((panels.body >= 0).sum()), patches=field.patches)
    assert 1400 <= panels.size <= 1700
    np.testing.assert_allclose(field.strength.sum(axis=0), 1.0, atol=1e-12)


def changes(boat: Resolved) -> Iterator[Callable[[], System]]:
    """Sliders dragged for twenty frames each, and switches thrown: each a change from nothing to a system."""
    start = boat.lumped.start
    network = boat.lumped.system(start).network
    branches = network.branches

    def wire(number: int, factor: float) -> Network:
        rows = [(a, b, g * factor if n == number else g) for n, (a, b, g) in enumerate(branches)]
        return Network(network.size, rows, network.sources, network.diodes)

    turn = 0
    while True:
        number = (7 * turn) % len(branches)
        swing = 1.0 + 0.5 * np.sin(0.314 * np.arange(20))
        for s in swing:  # a joint corrodes and is cleaned
            yield lambda s=s, n=number: boat.system(start, network=wire(n, 0.1 * s))
        for s in swing:  # the tide: salinity 10 to 30
            yield lambda s=s: boat.system(start, Water(boat.water.temperature, 20.0 * s))
        for s in swing:  # paint wears
            yield lambda s=s: boat.system(start, area=boat.area * s)
        for k in range(5):  # a link opened, and closed again
            yield lambda n=number + k: boat.system(start, network=wire(n % len(branches), 1e-6))
            yield lambda: boat.system(start)
        turn += 1


def frames(boat: Resolved, after: Callable[[Solution], object], count: int) -> list[float]:
    """Milliseconds of each of `count` changes, solved from the last answer."""
    last = solve(boat.system(boat.lumped.start))
    spent = []
    for make, _ in zip(changes(boat), range(count), strict=False):
        begun = time.perf_counter()
        last = solve(make(), last)
        after(last)
        spent.append(1e3 * (time.perf_counter() - begun))
    return spent


def tell(benchmark: BenchmarkFixture, spent: list[float]) -> None:
    for percent in (1, 25, 50, 99, 100):
        benchmark.extra_info[f"ms_p{percent}"] = round(float(np.percentile(spent, percent)), 3)


@pytest.mark.benchmark(group="field")
def test_resolved_boat_after_a_slider_or_a_switch(benchmark: BenchmarkFixture, boat: Resolved) -> None:
    count = FRAMES if benchmark.enabled else 10
    tell(benchmark, frames(boat, lambda _: None, count))
    steps = changes(boat)
    before = solve(boat.system(boat.lumped.start))
    found = benchmark(lambda: solve(next(steps)(), before))
    assert abs(found.current.sum()) < 1e-9


@pytest.mark.benchmark(group="field")
def test_resolved_boat_and_the_map_of_the_water(benchmark: BenchmarkFixture, boat: Resolved) -> None:
    water_map = cell_plane(boat, benchmark.enabled)
    count = FRAMES if benchmark.enabled else 10
    kappa = boat.water.conductivity
    tell(
        benchmark,
        frames(boat, lambda found: water_map.potential(boat.pool.of_panels(found.current), kappa), count),
    )
    benchmark.extra_info.update(rank=water_map.rank, error=water_map.error)
    found = solve(boat.system(boat.lumped.start))
    shown = benchmark(water_map.potential, boat.pool.of_panels(found.current), kappa)
    some = water_map.points[::24, ::39].reshape(-1, 3)
    probes = boat.water_potential(boat.lumped.start, found, some)
    np.testing.assert_allclose(shown[::24, ::39].ravel(), probes, atol=2e-4 * np.abs(probes).max())


@pytest.mark.benchmark(group="field")
def test_making_the_map(benchmark: BenchmarkFixture, boat: Resolved) -> None:
    drawn = benchmark.pedantic(cell_plane, (boat, benchmark.enabled), rounds=2)
    assert drawn.wet.all()


@pytest.mark.benchmark(group="field")
def test_an_anode_lifted_and_lowered(benchmark: BenchmarkFixture, boat: Resolved) -> None:
    start = boat.lumped.start
    lifted = Setting(start.open_links, frozenset({"hanging_anode"}))
    found = benchmark(lambda: solve(boat.system(lifted)))
    assert found.node_voltage[0] > solve(boat.system(start)).node_voltage[0]


@pytest.mark.benchmark(group="field")
def test_an_anode_moved(benchmark: BenchmarkFixture, boat: Resolved) -> None:
    """One patch of the hanging anode elsewhere: its column anew, the hull's factors as they were."""
    patch = boat.owners.index("hanging_anode")
    panels = boat.field.panels
    elsewhere = panels.take(panels.patch == patch).moved([0.4, 0.1, -0.2])
    moved = benchmark(with_moved, boat.field, patch, elsewhere)
    assert moved.transfer[patch, patch] == pytest.approx(boat.field.transfer[patch, patch], rel=0.1)


@pytest.mark.benchmark(group="field")
def test_banded_sphere_beside_finite_elements(benchmark: BenchmarkFixture) -> None:
    """The sphere hull of the outside checks: our field once and re-solve, over the finite elements' time."""
    pytest.importorskip("skfem")
    from tests.outside.fem import panels_of_sphere
    from tests.outside.fem import test_axisymmetric as sphere

    laws, kappa = sphere.laws(sphere.COUPLES[0]), sphere.SEA.conductivity / 30
    n = 25 if benchmark.enabled else 10
    begun = time.perf_counter()
    theirs = sphere.solve_by_fem(sphere.BANDS, laws, kappa, n)
    fem = time.perf_counter() - begun
    begun = time.perf_counter()
    system, _, _ = panels_of_sphere.sphere_system(sphere.BANDS, laws, kappa, 16, sphere.AROUND)
    once = time.perf_counter() - begun
    found = benchmark(solve, system)
    begun = time.perf_counter()
    for _ in range(5):
        solve(system)
    again = (time.perf_counter() - begun) / 5
    benchmark.extra_info.update(
        fem_s=round(fem, 2),
        fem_unknowns=int(theirs.unknowns),
        field_once_s=round(once, 2),
        fem_over_field_and_solve=round(fem / (once + again), 1),
        fem_over_resolve=round(fem / again),
    )
    assert found.node_voltage[0] == pytest.approx(theirs.bus, abs=1e-3)
