"""A small bonded boat reads as a boat should: anodes on, off, half gone, a bond broken, a stray source."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from course.engine import Network, Solution, System, solve, transfer_to_points

CELL = 0.250  # V SHE, silver/silver-chloride in sea water at 25 degC; Batt and Robinson 2002
BESIDE = [[3.0, 2.0, -1.0]]
BUS, ZINCS = 6, (4, 5)


def reading(boat, node: int = BUS) -> float:
    """Metal at `node` against a silver/silver-chloride cell beside the boat [V]."""
    found = solve(boat.system())
    field = transfer_to_points(BESIDE, boat.positions, boat.radii, 3.5, 0.7) / boat.water.conductivity
    return float(found.node_voltage[node] - (field @ found.current)[0]) - CELL


def cut(boat, *fittings: int) -> None:
    boat.bond = tuple(math.inf if k in fittings else r for k, r in enumerate(boat.bond))


def test_anodes_pull_the_boat_down_by_more_than_200_mv(boat) -> None:
    """200 mV is common practice, no source."""
    on = reading(boat)
    cut(boat, *ZINCS)
    off = reading(boat)
    assert off - on > 0.2
    assert -1.03 < on < -0.80
    assert -0.35 < off < -0.10


def test_a_worn_anode_protects_less(boat) -> None:
    on = reading(boat)
    boat.area = tuple(a * 0.5 ** (2 / 3) if k in ZINCS else a for k, a in enumerate(boat.area))
    worn = reading(boat)
    cut(boat, *ZINCS)
    assert on < worn < reading(boat)


def test_a_broken_bond_leaves_a_fitting_to_itself_and_relieves_the_rest(boat) -> None:
    on = solve(boat.system())
    cut(boat, 0)
    broken = solve(boat.system())
    assert broken.node_voltage[0] - on.node_voltage[0] > 0.3
    assert broken.node_voltage[BUS] < on.node_voltage[BUS]
    assert abs(broken.current[0]) < 1e-9
    loss = boat.system().law.dissolution(broken.polarisation)
    assert loss[0] > 100.0 * boat.system().law.dissolution(on.polarisation)[0]


def test_currents_run_from_zinc_to_the_noble_metals(boat) -> None:
    current = solve(boat.system()).current
    assert (current[list(ZINCS)] > 0.0).all()
    assert (current[:4] < 0.0).all()


def test_a_noble_area_more_draws_the_boat_up(boat) -> None:
    before = reading(boat)
    boat.area = (*boat.area[:2], 4.0 * boat.area[2], *boat.area[3:])
    assert reading(boat) > before


def test_fresher_water_protects_less(boat) -> None:
    """Resistance holds the zinc back; before that the metals draw more, for fresher water holds more air."""
    found = []
    for salinity in (35.0, 10.0, 2.0, 0.5):
        boat.water = replace(boat.water, salinity=salinity)
        found.append(solve(boat.system()))
    far = [s.polarisation[2] for s in found]
    assert far == sorted(far)
    given = [s.current[list(ZINCS)].sum() for s in found]
    assert given[1] > given[0]
    assert given[3] < given[2]


def test_a_leak_into_an_unbonded_fitting_destroys_it_and_the_boat_reads_more_negative(boat) -> None:
    cut(boat, 3)
    before, sound = solve(boat.system()), reading(boat)
    boat.sources = [(BUS, 3, 12.0, 50.0)]
    leaking = solve(boat.system())
    law = boat.system().law
    assert leaking.current[3] > 0.05
    assert law.dissolution(leaking.polarisation)[3] > 100.0 * law.dissolution(before.polarisation)[3]
    assert reading(boat) < sound


def test_the_same_leak_into_a_bonded_fitting_returns_through_the_wire(boat) -> None:
    before = solve(boat.system())
    boat.sources = [(BUS, 3, 12.0, 50.0)]
    leaking = solve(boat.system())
    assert np.abs(leaking.current - before.current).max() < 0.02 * 12.0 / 50.0


def test_the_boat_answers_one_way_to_a_growing_leak(boat) -> None:
    cut(boat, 3)
    readings = []
    for ohm in (1e5, 1e4, 1e3, 1e2, 1e1):
        boat.sources = [(BUS, 3, 12.0, ohm)]
        readings.append(reading(boat))
    assert all(a > b for a, b in pairwise(readings))


def test_charge_balances_on_the_boat(boat) -> None:
    for broken in ((), (0,), ZINCS, (3,)):
        cut(boat, *broken)
        assert abs(float(solve(boat.system()).current.sum())) < 1e-10


def test_a_passive_network_gives_no_energy(circuit: Callable[[int], System]) -> None:
    """Without sources the metals pay for every watt lost in wires and water: -sum(I E) is that loss."""
    for seed in range(60):
        system = circuit(7000 + seed)
        network = Network(system.network.size, system.network.branches)
        alone = System(system.transfer, system.area, system.law, system.node, network)
        found = solve(alone)
        given = -float(found.current @ found.polarisation)
        water = float(found.current @ found.water_potential)
        drops = network.edge_currents(found.node_voltage)
        wires = float(sum(i * i / g for i, (_, _, g, _) in zip(drops, network.edges, strict=True)))
        assert given >= -1e-12
        assert given == pytest.approx(water + wires, rel=1e-6, abs=1e-9)


def test_small_signals_are_reciprocal(boat) -> None:
    """A small current between a and b moves c against d as much as one between c and d moves a against b."""
    boat.bond = (5.0,) * 6
    base = boat.system()
    pairs = ((0, 3), (2, 4))
    probe = 1e-4

    def moved(drive: tuple[int, int], look: tuple[int, int]) -> float:
        def solved(emf: float) -> Solution:
            resistors = [(a, b, emf if (a, b) == drive else 0.0, 1e6) for a, b in pairs]
            network = Network(base.network.size, base.network.branches, resistors)
            return solve(System(base.transfer, base.area, base.law, base.node, network))

        change = solved(probe * 1e6).node_voltage - solved(-probe * 1e6).node_voltage
        return float(change[look[1]] - change[look[0]])

    one, two = moved(pairs[0], pairs[1]), moved(pairs[1], pairs[0])
    assert abs(one) > 1e-8
    assert one == pytest.approx(two, rel=1e-4)
