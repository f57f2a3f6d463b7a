"""The marina: the same answer as one dense solve of everything, and what neighbours do to each other."""

from __future__ import annotations

import math
import runpy
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from course.engine import EngineError, Network, OutOfRange, Solution, Water, isolator, solve, transfer_matrix
from course.engine.bonding import joint
from course.engine.leakage import leak
from course.engine.marina import Marina, solve_marina
from course.engine.marina.craft import Craft
from course.engine.marina.field import Bed, survey
from course.engine.pieces import Pieces, assemble
from course.engine.shore import galvanic_isolator, isolation_transformer

MADE = runpy.run_path(str(Path(__file__).with_name("marinas.py")))
make, boat, pile = MADE["marina"], MADE["boat"], MADE["pile"]
WATER = Water(288.15, 35.0)
GRID = (
    1e-6  # relative: the grid's splines err by 2e-6 of the far field, itself a part of what drives a current
)
EXACT = 1e-9  # relative: without a grid only the tolerances of the two solves are between them


def gridded(marina: Marina) -> Marina:
    """The same marina made to use its grid, which a small one would not need."""
    marina.__dict__["field"] = marina.survey(few=0)
    assert marina.field.grid is not None
    return marina


def apart(one: Solution, two: Solution) -> float:
    """Largest difference of a current, in the largest current."""
    return float(np.abs(one.current - two.current).max() / np.abs(two.current).max())


@pytest.mark.parametrize(("boats", "seed", "salinity"), [(10, 1, 35.0), (12, 2, 0.3), (16, 3, 8.0)])
def test_small_marinas_agree_with_one_dense_solve(boats: int, seed: int, salinity: float) -> None:
    marina = make(boats, seed, salinity)
    found, whole = solve_marina(marina), solve(marina.system())
    assert apart(found, whole) < EXACT
    for name in ("polarisation", "water_potential", "node_voltage"):
        np.testing.assert_allclose(getattr(found, name), getattr(whole, name), atol=1e-9)
    assert abs(found.current.sum()) < 1e-10


@pytest.mark.parametrize(("boats", "salinity", "bed"), [(30, 35.0, 0.7), (24, 0.3, 0.9), (20, 35.0, -0.5)])
def test_marinas_on_a_grid_agree_with_one_dense_solve(boats: int, salinity: float, bed: float) -> None:
    marina = gridded(make(boats, boats, salinity, bed=bed))
    found, whole = solve_marina(marina), solve(marina.system())
    assert apart(found, whole) < GRID
    np.testing.assert_allclose(found.polarisation, whole.polarisation, atol=1e-6)
    assert abs(found.current.sum()) < 1e-10


@pytest.mark.parametrize(
    "bed", [Bed(3.0, 0.7), Bed(4.0, 0.94), Bed(6.0, -0.6), Bed(4.0, -0.95), Bed(math.inf, 0.0)]
)
def test_the_field_is_the_transfer_matrix(bed: Bed) -> None:
    """Own blocks to rounding, the rest to the grid's 5e-6; and reciprocal to rounding, grid and all."""
    marina = make(20, 5)
    at, radii = marina.positions, np.concatenate([c.radii for c in marina.crafts])
    alone = np.concatenate([c.self_resistance for c in marina.crafts])
    whole = transfer_matrix(at, alone, radii, bed.depth, bed.reflection) / 4.0
    rng = np.random.default_rng(0)
    for few in (0, 10_000):
        field = survey(at, alone, radii, marina.first_patch, bed, 4.0, few)
        others = whole.copy()
        for k in range(len(marina.crafts)):
            here = marina.patches(k)
            np.testing.assert_allclose(field.own_block(k), whole[here, here], rtol=1e-8, atol=1e-10)
            others[here, here] = 0.0
        one, two = rng.normal(size=(2, at.shape[0]))
        want = others @ one
        tolerance = 5e-6 if field.grid is not None else 1e-8
        assert np.abs(field.apply(one) - want).max() < tolerance * np.abs(want).max()
        assert two @ field.apply(one) == pytest.approx(one @ field.apply(two), rel=1e-10)


def unplugged(marina: Marina, craft: int) -> Network:
    """The shore network without what ends on a craft."""
    first, end = int(marina.first_node[craft]), int(marina.first_node[craft + 1])
    shore = marina.shore
    kept = [
        tuple(row for row in part if not (first <= row[0] < end or first <= row[1] < end))
        for part in (shore.branches, shore.sources, shore.diodes)
    ]
    return Network(shore.size, *kept, shore.temperature)


def test_after_a_switch_the_answer_is_that_of_a_fresh_solve() -> None:
    marina = make(14, 7)
    before = solve_marina(marina)
    for craft in (2, 5, 9):
        changed = marina.with_shore(unplugged(marina, craft))
        warm, whole = solve_marina(changed, before), solve(changed.system())
        assert apart(warm, whole) < EXACT
        np.testing.assert_allclose(warm.node_voltage, whole.node_voltage, atol=1e-9)
    again = solve_marina(marina, before)
    assert apart(again, before) < EXACT
    assert again.iterations <= 3


def test_a_changed_craft_is_solved_anew() -> None:
    marina = make(10, 8)
    before = solve_marina(marina)
    old = marina.crafts[4]
    opened = replace(old, network=Network(old.network.size, old.network.branches[1:], old.network.sources))
    changed = marina.with_craft(4, opened)
    found, whole = solve_marina(changed, before), solve(changed.system())
    assert apart(found, whole) < EXACT
    assert apart(found, before) > 1e-6


def test_an_inlet_behind_an_isolator_on_board_and_a_dry_dock_are_solved_too() -> None:
    """A node that no patch touches but through diodes; a dock with nothing in the water; a loose node."""
    rng = np.random.default_rng(4)
    crafts = []
    for _ in range(3):
        plain = boat(rng, WATER)
        inlet = plain.network.size
        network = Network(inlet + 2, plain.network.branches, (), isolator(inlet - 1, inlet))
        crafts.append(replace(plain, network=network))
    first = np.cumsum([2, *(c.network.size for c in crafts)])
    ties = [joint(0, int(first[k + 1]) - 2, 0.05) for k in range(3)]
    shore = assemble(int(first[-1]), [*ties, joint(0, 1, 0.02)])
    marina = Marina(crafts, [[0, 0, 0], [4, 6, 0.3], [1, 12, 3.1]], WATER.conductivity, shore, 2, 4.0, 0.7)
    found, whole = solve_marina(marina), solve(marina.system())
    assert apart(found, whole) < EXACT
    np.testing.assert_allclose(found.node_voltage, whole.node_voltage, atol=1e-6)  # nodes held by 1e-8 S
    assert found.node_voltage[int(first[1]) - 1] == 0.0


def pair(*between: Pieces, extra: tuple[Craft, ...] = (), seed: int = 11) -> tuple[Marina, int, int]:
    """Two boats a berth apart: one with zincs, one whose zincs are gone; their earths."""
    rng = np.random.default_rng(seed)
    sound, bare = boat(rng, WATER), boat(rng, WATER)
    gone = MADE["law"]([MADE["KINETICS"]["silicon_bronze"]] * bare.law.size, WATER)
    crafts = [sound, replace(bare, law=gone), *extra]
    first = np.cumsum([1, *(c.network.size for c in crafts)])
    shore = assemble(int(first[-1]), between)
    berths = [[0.0, 6.0 * k, 0.0] for k in range(len(crafts))]
    marina = Marina(crafts, berths, WATER.conductivity, shore, 1, 4.0, 0.7)
    return marina, int(first[1]) - 1, int(first[2]) - 1


def given(marina: Marina) -> float:
    """Current [A] that the boat with zincs gives the rest of the marina through the water."""
    return float(solve_marina(marina).current[marina.patches(0)].sum())


def earths() -> tuple[int, int]:
    _, one, two = pair()
    return one, two


def test_dock_earth_makes_one_boats_zincs_serve_the_next() -> None:
    one, two = earths()
    alone = pair()[0]
    wired = pair(joint(one, 0, 0.05), joint(two, 0, 0.05))[0]
    assert abs(given(alone)) < 1e-10
    assert given(wired) > 0.05
    loss = [
        float((m.area * m.law.dissolution(solve_marina(m).polarisation))[m.patches(0)].sum())
        for m in (alone, wired)
    ]
    assert loss[1] > 1.2 * loss[0]


def test_isolator_and_transformer_stop_it_and_bypasses_bring_it_back() -> None:
    """A steel ladder that touches the dock, a sheathed cable, a rafted neighbour, a carried-through earth."""
    one, two = earths()
    wired = given(pair(joint(one, 0, 0.05), joint(two, 0, 0.05))[0])
    isolated = galvanic_isolator(one, 0), joint(two, 0, 0.05)
    assert given(pair(*isolated)[0]) < 0.05 * wired
    assert abs(given(pair(isolation_transformer(one, 0), joint(two, 0, 0.05))[0])) < 1e-9
    cable = joint(one, 0, 0.3)  # the metal sheath of a data cable, beside the isolator
    assert given(pair(*isolated, cable)[0]) > 0.4 * wired
    rafted = joint(one, two, 0.05)  # a chain from boat to boat
    assert given(pair(*isolated, rafted)[0]) > 0.9 * wired
    carried = isolation_transformer(one, 0, earth_carried_through=True)
    assert given(pair(carried, joint(two, 0, 0.05))[0]) > 0.9 * wired


def test_a_steel_ladder_takes_current_only_from_what_is_wired_to_it() -> None:
    one, _ = earths()
    ladder = pile(WATER)
    marina = pair(extra=(ladder,))[0]
    foot = int(marina.first_node[2])
    joined = pair(joint(one, 0, 0.05), joint(0, foot, 0.01), extra=(ladder,))[0]
    behind = pair(galvanic_isolator(one, 0), joint(0, foot, 0.01), extra=(ladder,))[0]
    assert given(joined) > 0.1  # A: zincs protect the marina's steel
    assert given(behind) < 0.05 * given(joined)
    steel = joined.patches(2)
    assert solve_marina(joined).polarisation[steel] < solve_marina(behind).polarisation[steel]


def test_a_neighbours_leak_eats_metal_on_the_way_and_charge_still_balances() -> None:
    """12 V from one boat's battery into her own unbonded fitting: what is bonded ashore receives it."""
    one, two = earths()
    links = joint(one, 0, 0.05), joint(two, 0, 0.05)
    quiet = pair(*links)[0]
    hull = quiet.crafts[1]
    loose = [b for b in hull.network.branches if 0 not in b[:2]]
    bonding_point = hull.network.size - 2
    cut = replace(hull, network=Network(hull.network.size, loose))
    fed = replace(
        hull, network=assemble(hull.network.size, [Pieces(tuple(loose)), leak(bonding_point, 0, 12.0, 20.0)])
    )
    before, after = (solve_marina(quiet.with_craft(1, craft)) for craft in (cut, fed))
    fitting = quiet.patches(1).start
    assert after.current[fitting] > before.current[fitting] + 0.1
    received = (after.current - before.current)[quiet.patches(0)].sum()
    assert received < -1e-3
    assert abs(after.current.sum()) < 1e-10


def test_refusals() -> None:
    rng = np.random.default_rng(1)
    one = boat(rng, WATER)
    size = one.network.size + 1
    with pytest.raises(EngineError, match="needs at least one craft"):
        Marina([], np.zeros((0, 3)), 4.0, Network(1))
    with pytest.raises(EngineError, match="the shore network has 3 nodes; the dock and its crafts have"):
        Marina([one], [[0, 0, 0]], 4.0, Network(3))
    with pytest.raises(OutOfRange, match="the conductivity of the water is 0 S/m"):
        Marina([one], [[0, 0, 0]], 0.0, Network(size))
    with pytest.raises(OutOfRange, match=r"craft 0 has a patch at z = -1\.1"):
        Marina([one], [[0, 0, 0]], 4.0, Network(size), water_depth=0.5)
    with pytest.raises(OutOfRange, match="berth number 0, 2 is nan"):
        Marina([one], [[0, 0, math.nan]], 4.0, Network(size))
    with pytest.raises(OutOfRange, match=r"the bed reflection is 1; allowed is -1 to 0\.95"):
        Marina([one], [[0, 0, 0]], 4.0, Network(size), 1, 4.0, 1.0)
    with pytest.raises(OutOfRange, match="the area of patch number 0 is -1 m2"):
        replace(one, area=-np.ones(one.law.size))
    marina = make(3, 1)
    with pytest.raises(EngineError, match="the marina has no craft 1 with a node 99"):
        marina.node(1, 99)
    with pytest.raises(EngineError, match="the positions of craft 0 changed; build another marina"):
        marina.with_craft(0, replace(marina.crafts[0], positions=marina.crafts[0].positions - 0.01))
    with pytest.raises(EngineError, match="the start belongs to a marina with other patches or nodes"):
        solve_marina(marina, solve_marina(make(4, 1)))


def wrecked(seed: int) -> Marina:
    """Five boats in water from nearly fresh to sea, three of them with broken bonds and two leaks of 12 or 24 V."""
    rng = np.random.default_rng(seed)
    marina = make(5, 1000 + seed, float(np.exp(rng.uniform(np.log(0.1), np.log(35.0)))))
    for number in range(3):
        craft = marina.crafts[number]
        size = craft.network.size
        ends = [tuple(int(k) for k in rng.choice(size, 2, replace=False)) for _ in range(2)]
        leaks = [(a, b, float(rng.choice([-24, -12, 12, 24])), 10.0 ** rng.uniform(-2, 5)) for a, b in ends]
        wires = [
            (a, b, 10.0 ** rng.uniform(-2, 4)) for a, b, _ in craft.network.branches if rng.random() < 0.8
        ]
        marina = marina.with_craft(number, replace(craft, network=Network(size, wires, leaks)))
    return marina


def test_hard_faults_are_solved_too() -> None:
    for seed in range(20):
        marina = wrecked(seed)
        found, whole = solve_marina(marina), solve(marina.system())
        assert apart(found, whole) < EXACT, f"marina {seed}"
        assert abs(found.current.sum()) < 1e-10


@pytest.mark.parametrize("spread", [(60.0, 1.0), (0.0, 9.0)])
def test_rivers_and_far_apart_clusters_have_a_field(spread: tuple[float, float]) -> None:
    """Berths stretched along or across: a grid is laid under whatever there is."""
    marina = make(20, 5)
    berths = marina.berths * [1.0 + spread[0], 1.0 + spread[1], 1.0]
    moved = Marina(marina.crafts, berths, 4.0, marina.shore, marina.dock_nodes, 4.0, 0.9)
    grid, near = moved.survey(few=0), moved.survey(few=10_000)
    current = np.random.default_rng(1).normal(size=moved.area.size)
    exact = near.apply(current)
    assert np.abs(grid.apply(current) - exact).max() < 5e-6 * np.abs(exact).max()
