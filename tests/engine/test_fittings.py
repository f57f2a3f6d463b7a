"""Fittings between metals, boat and shore: what conducts, what blocks, and which way the metal dies."""

from __future__ import annotations

import math

import numpy as np
import pytest

from course.engine import EngineError, OutOfRange, Solution, System, conductor_resistance, solve
from course.engine.bonding import (
    bonding_wire,
    joint,
    rudder_strap,
    shaft_brush,
    shaft_contact,
    shaft_contact_at_rest,
)
from course.engine.conductors import isolator
from course.engine.constants import BOLTZMANN_OVER_CHARGE
from course.engine.leakage import battery, bilge_water, leak, shared_return, wet_path, with_openings
from course.engine.pieces import Pieces, assemble
from course.engine.shore import (
    biased_resistance,
    dock_earth,
    galvanic_isolator,
    isolation_transformer,
    isolator_under_leakage,
    safety_earth,
)
from course.engine.tree import plant

BUS, THROUGH_HULL, SHORE = 6, 3, 7


def ohm(pieces: Pieces) -> float:
    (branch,) = pieces.branches
    return 1.0 / branch.conductance


def bonded(boat, *more: Pieces, nodes: int = 8, loose: tuple[int, ...] = ()) -> System:
    """The small boat's own bonding without the wires of `loose` fittings, and more."""
    system = boat.system()
    own = Pieces(tuple(b for b in system.network.branches if b.a not in loose))
    return System(system.transfer, system.area, system.law, system.node, assemble(nodes, (own, *more)))


def string_current(volts: float) -> float:
    """Current [A] of an isolator at a voltage, from its own characteristic."""
    tree = plant(assemble(2, [galvanic_isolator(0, 1)]), frozenset({0, 1}))
    return float((tree.diode_current * np.exp(np.array([volts, -volts]) / tree.diode_volts)) @ [1, -1])


def test_wires_and_joints_add_up() -> None:
    assert ohm(bonding_wire(0, 1, 8, 3.0, 0.001, 2)) == pytest.approx(conductor_resistance(8, 3.0) + 0.002)
    assert ohm(joint(0, 1, 4.0)) == pytest.approx(4.0)
    assert ohm(safety_earth(0, 1, 10, 15.0)) > ohm(safety_earth(0, 1, 6, 15.0))
    assert ohm(dock_earth(0, 1, 4, 50.0)) == pytest.approx(conductor_resistance(4, 50.0) + 0.002)


def test_a_worn_strap_resists_and_a_broken_one_is_gone() -> None:
    whole, worn = rudder_strap(0, 1, 8, 0.4), rudder_strap(0, 1, 8, 0.4, sound=0.1)
    assert ohm(worn) > ohm(whole)
    assert rudder_strap(0, 1, 8, 0.4, sound=0.0) == Pieces()


def test_a_shaft_conducts_as_much_as_it_touches() -> None:
    """The mean conductance; and at rest one of the two ends of it."""
    resistances = [ohm(shaft_contact(0, 1, share)) for share in (1.0, 0.5, 0.1, 0.0)]
    assert resistances == sorted(resistances)
    positions = np.arange(0.0, 1.0, 0.01)
    conductance = [1.0 / ohm(shaft_contact_at_rest(0, 1, float(p), 0.25)) for p in positions]
    assert np.mean(conductance) == pytest.approx(1.0 / ohm(shaft_contact(0, 1, 0.25)), rel=1e-6)
    assert set(np.round(conductance, 6)) == {100.0, 1e-5}


def test_a_brush_protects_a_shaft_that_hardly_touches(boat) -> None:
    touching = shaft_contact(2, BUS, 0.0)
    without = solve(bonded(boat, touching, loose=(2,))).polarisation[2]
    brushed = solve(bonded(boat, touching, shaft_brush(2, BUS), loose=(2,))).polarisation[2]
    assert brushed < without - 0.2  # V: the zincs reach the shaft


def test_an_isolator_blocks_a_couple_and_passes_a_fault() -> None:
    """Trade description: conducts from 1.2 to 1.4 V; practice (memory): under 30 mA at 0.9 V."""
    assert string_current(0.3) < 1e-6
    assert string_current(0.9) < 0.030
    assert string_current(1.2) < 0.030 < string_current(1.4) < 1.0
    assert string_current(-0.9) == pytest.approx(-string_current(0.9))


def couple(boat, link: Pieces, emf: float = 0.0) -> float:
    """Current [A] from the zincs, on the shore's side of `link`, through the water to the boat."""
    zincs = joint(4, SHORE, 0.01) + joint(5, SHORE, 0.01)
    fault = (leak(BUS, SHORE, emf, 0.1),) if emf else ()
    found = solve(bonded(boat, zincs, link, *fault, loose=(4, 5)))
    return float(found.current[4:].sum())


def test_what_stops_a_couple_and_what_does_not(boat) -> None:
    wire = couple(boat, joint(BUS, SHORE, 0.05))
    assert wire > 0.05
    for stops in (
        galvanic_isolator(BUS, SHORE),
        galvanic_isolator(BUS, SHORE, "failed open"),
        isolation_transformer(BUS, SHORE),
        isolation_transformer(BUS, SHORE, insulation_resistance=1e6),
    ):
        assert abs(couple(boat, stops)) < 0.01 * wire
    for passes in (
        galvanic_isolator(BUS, SHORE, "failed short"),
        galvanic_isolator(BUS, SHORE, "bypassed"),
        isolation_transformer(BUS, SHORE, earth_carried_through=True),
    ):
        assert couple(boat, passes) > 0.9 * wire


def test_a_fault_at_battery_voltage_passes_an_isolator_and_not_a_transformer(boat) -> None:
    """12 V through 0.1 ohm from the boat to shore: an isolator clamps it under 2 V, a transformer leaves it whole."""

    def across(link: Pieces) -> float:
        found = solve(bonded(boat, joint(4, SHORE), link, leak(BUS, SHORE, 12.0, 0.1), loose=(4,)))
        return float(found.node_voltage[SHORE] - found.node_voltage[BUS])

    assert 1.4 < across(galvanic_isolator(BUS, SHORE)) < 2.0
    assert across(isolation_transformer(BUS, SHORE)) > 5.0


def cycle_mean(current: float, leakage: float) -> float:
    """Mean voltage [V] of the isolator over a cycle of current + alternating leakage, step by step."""
    first, _ = isolator(0, 1)
    volts = first.junctions * first.emission * BOLTZMANN_OVER_CHARGE * 298.15
    turn = (np.arange(4_000_000) + 0.5) / 4_000_000 * 2.0 * math.pi
    instant = current + math.sqrt(2.0) * leakage * np.sin(turn)
    return float(np.mean(volts * np.arcsinh(instant / (2.0 * first.saturation_current))))


@pytest.mark.parametrize("leakage", [0.005, 0.1, 3.0])
def test_leakage_biases_an_isolator_as_the_mean_over_a_cycle_says(leakage: float) -> None:
    """The slope at no current is exact; up to half the peak the declared model stays within 25 %."""
    small = 1e-3 * leakage
    assert cycle_mean(small, leakage) / small == pytest.approx(biased_resistance(leakage), rel=1e-3)
    direct = 0.5 * math.sqrt(2.0) * leakage
    assert direct * biased_resistance(leakage) == pytest.approx(cycle_mean(direct, leakage), rel=0.25)


def test_without_leakage_the_bias_is_nothing_and_with_it_the_couple_flows(boat) -> None:
    assert isolator_under_leakage(0, 1, 0.0) == galvanic_isolator(0, 1)
    flows = [couple(boat, isolator_under_leakage(BUS, SHORE, a)) for a in (0.0, 0.01, 0.1, 1.0)]
    assert flows == sorted(flows)
    assert flows[-1] > 30 * flows[0]
    assert flows[-1] < couple(boat, joint(BUS, SHORE, 1e-3))


def entering(found: Solution) -> float:
    return float(np.abs(found.current).sum() / 2.0)


def test_a_positive_on_bonded_metal_goes_home_through_the_wire(boat) -> None:
    """Hundreds of amperes in the wire, little more than before in the water; a poor bond turns it round."""
    before = solve(bonded(boat))
    faulty = bonded(boat, leak(BUS, THROUGH_HULL, 12.0, 0.01))
    found = solve(faulty)
    assert 100.0 < faulty.network.edge_currents(found.node_voltage)[THROUGH_HULL] < 1200.0
    wet = solve(bonded(boat, leak(BUS, THROUGH_HULL, 12.0, 0.01), joint(THROUGH_HULL, BUS, 1e3), loose=(3,)))
    assert entering(wet) > 20 * entering(before)
    assert wet.current[THROUGH_HULL] > 0.95 * entering(wet)
    sound = solve(bonded(boat, leak(BUS, THROUGH_HULL, 12.0, 10.0)))  # a wet 10 ohm, the bond good
    assert entering(sound) < 1.2 * entering(before)


def test_the_leaking_metal_dies_while_the_bonded_system_reads_more_negative(boat) -> None:
    before = solve(bonded(boat, loose=(THROUGH_HULL,)))
    system = bonded(boat, leak(BUS, THROUGH_HULL, 12.0, 50.0), loose=(THROUGH_HULL,))
    after = solve(system)
    kept = [k for k in range(6) if k != THROUGH_HULL]
    assert (after.polarisation[kept] < before.polarisation[kept]).all()
    assert after.polarisation[THROUGH_HULL] > before.polarisation[THROUGH_HULL] + 0.1
    loss = system.law.dissolution(after.polarisation) / system.law.dissolution(before.polarisation)
    assert loss[THROUGH_HULL] > 100.0
    reverse = solve(bonded(boat, leak(BUS, THROUGH_HULL, -12.0, 50.0), loose=(THROUGH_HULL,)))
    assert reverse.current[THROUGH_HULL] < before.current[THROUGH_HULL]


def test_a_battery_and_a_wet_path_are_a_leak(boat) -> None:
    apart = bonded(boat, battery(BUS, 7, 12.0, 0.01), wet_path(7, THROUGH_HULL, 49.99), loose=(THROUGH_HULL,))
    once = bonded(boat, leak(BUS, THROUGH_HULL, 12.0, 50.0), loose=(THROUGH_HULL,))
    np.testing.assert_allclose(solve(apart).current, solve(once).current, atol=1e-10)


def test_a_splice_in_the_bilge_feeds_what_the_bilge_wets(boat) -> None:
    bilge, positive = 7, 8
    wet = bilge_water(bilge, {THROUGH_HULL: 0.2, BUS: 0.01}, 3.0)
    splice = battery(BUS, positive, 12.0) + wet_path(positive, bilge, 20.0)
    dry = solve(bonded(boat, loose=(THROUGH_HULL,)))
    found = solve(bonded(boat, wet, splice, nodes=9, loose=(THROUGH_HULL,)))
    assert found.node_voltage[bilge] > found.node_voltage[THROUGH_HULL] > dry.node_voltage[THROUGH_HULL]
    assert found.current[THROUGH_HULL] > dry.current[THROUGH_HULL] + 0.05
    deeper = bilge_water(bilge, {THROUGH_HULL: 0.2, BUS: 1.0}, 3.0)  # the bus wetted well: home inside
    spared = solve(bonded(boat, deeper, splice, nodes=9, loose=(THROUGH_HULL,)))
    assert spared.current[THROUGH_HULL] < found.current[THROUGH_HULL]


def test_an_opening_lets_bilge_current_out_and_drives_every_metal_cathodic(boat) -> None:
    """12 V into bilge water that reaches the sea through a hose: the metals outside receive it."""
    system = boat.system()
    n, bilge = 6, 7
    area = np.append(system.area, 1e-3)
    transfer = np.zeros((n + 1, n + 1))
    transfer[:n, :n], transfer[n, n] = system.transfer, 1.0 / (4.0 * 4.3 * 0.018)
    laws = with_openings(system.law, [1e4])
    splice = leak(BUS, bilge, 12.0, 10.0)
    network = assemble(8, [Pieces(system.network.branches), splice])
    found = solve(System(transfer, area, laws, np.append(system.node, bilge), network))
    before = solve(system)
    assert found.current[n] > 0.3  # A leave through the hose
    assert (found.polarisation[:n] < before.polarisation).all()
    assert abs(found.current.sum()) < 1e-10
    assert laws.dissolution(found.polarisation)[n] == 0.0


def test_a_shared_return_lifts_what_is_earthed_at_its_end(boat) -> None:
    """20 A down 20 milliohm: 0.4 V; the metal at the far end feeds the water."""
    shared = shared_return(BUS, THROUGH_HULL, 0.02, 20.0)
    found = solve(bonded(boat, shared, loose=(THROUGH_HULL,)))
    lifted = found.node_voltage[THROUGH_HULL] - found.node_voltage[BUS]
    assert lifted == pytest.approx(0.4, abs=0.02)
    idle = solve(bonded(boat, shared_return(BUS, THROUGH_HULL, 0.02, 0.0), loose=(THROUGH_HULL,)))
    assert found.current[THROUGH_HULL] > idle.current[THROUGH_HULL]


@pytest.mark.parametrize(
    ("act", "says"),
    [
        (lambda: joint(0, 1, -1.0), "the resistance of the joint is -1 ohm; allowed is 1e-06 to 1e"),
        (lambda: bonding_wire(0, 1, 8, 0.0), "the length of the bonding wire is 0 m; allowed is 0.001 to"),
        (lambda: shaft_contact(0, 1, 1.2), "the share of the time in contact is 1.2; allowed is 0 to 1."),
        (lambda: shaft_contact(0, 1, 0.5, 1.0, 0.1), "resistance out of contact is 0.1 ohm; allowed is 1 to"),
        (lambda: shaft_contact_at_rest(0, 1, math.nan, 0.5), "the turns of the shaft is nan turns"),
        (lambda: shaft_brush(0, 1, 0.0), "the resistance of the brush is 0 ohm; allowed is 0.0001 to"),
        (lambda: rudder_strap(0, 1, 8, 1.0, 2.0), "the sound share of the strap is 2; allowed is 0 to 1."),
        (
            lambda: safety_earth(0, 1, 10, 0.0),
            "the length of the shore lead is 0 m; allowed is 0.1 to 200 m.",
        ),
        (lambda: dock_earth(0, 1, 99, 5.0), "the wire gauge is 99 AWG; allowed is -3 to 40 AWG."),
        (lambda: isolation_transformer(0, 1, insulation_resistance=5.0), "is 5 ohm; allowed is 1000 or more"),
        (lambda: biased_resistance(-0.1), "the alternating leakage current is -0.1 A; allowed is 0 to 20 A."),
        (lambda: battery(0, 1, 1e5), "the emf of the battery is 100000 V; allowed is 0 to 1000 V."),
        (lambda: wet_path(0, 1, 0.0), "the resistance of the wet path is 0 ohm; allowed is 0.001 to"),
        (lambda: leak(0, 1, 12.0, math.nan), "the resistance of the leak is nan ohm"),
        (lambda: bilge_water(0, {1: 0.2}, 0.0), "the conductivity of the bilge water is 0 S/m"),
        (lambda: bilge_water(0, {1: -0.2}, 1.0), "cell length of the contact with node 1 is -0.2 m"),
        (lambda: shared_return(0, 1, 1.0, 100.0), "the drop along the shared return is 100 V; allowed is"),
    ],
)
def test_refusals(act, says: str) -> None:
    with pytest.raises(OutOfRange) as raised:
        act()
    assert says in str(raised.value)


def test_an_unknown_state_is_refused_and_names_are_checked_by_the_network() -> None:
    with pytest.raises(EngineError, match="cannot be 'tired'; allowed is healthy, failed short, failed open"):
        galvanic_isolator(0, 1, "tired")  # type: ignore[arg-type]
    with pytest.raises(EngineError, match="branch 0 ends on node 9; the nodes are 0 to 2"):
        assemble(3, [joint(0, 9)])
