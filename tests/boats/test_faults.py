"""Every fault: its laws, its signs, its limits, and that it gets worse as it gets worse.

Directions are common practice, no source, unless a test says otherwise; laws are the engine's.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import pytest
from pydantic import ValidationError

from course.boats.afloat import Afloat, Moment
from course.boats.description import COMMON_POINT, fleet_boat
from course.boats.faults import KINDS, Fault, candidates, fault_from, grid
from course.boats.faults.stray import Stray
from course.boats.personal import middle_berth
from course.boats.plan import SlipPlan
from course.boats.variation import dock_of, neighbour_of

BOATS = ("marsh_lantern", "winter_dunlin", "grey_shingle", "summer_hail")
NEIGHBOURS = (neighbour_of("steel_ketch"),)
DOCK = dock_of("cormorant_reach").model_copy(update={"resistance_ohm": 10.0})
STRAY = sorted(name for name, kind in KINDS.items() if issubclass(kind, Stray))


def plan(boat: str, *faults: Fault) -> SlipPlan:
    """A boat of the fleet in sea water, whatever her own water, beside a ketch."""
    return SlipPlan(
        exercise="none", seed="0", boat=fleet_boat(boat), berth=middle_berth("cormorant_reach"), faults=faults,
        neighbours=NEIGHBOURS, dock=DOCK,
    )  # fmt: skip


@lru_cache(maxsize=64)
def sound(boat: str, plugged: bool = False) -> tuple[Afloat, Moment]:
    afloat = Afloat(plan(boat))
    return afloat, afloat.steady(afloat.start._replace(shore_plugged=plugged))


def with_fault(boat: str, fault: Fault, plugged: bool = False) -> tuple[Afloat, Moment]:
    afloat = Afloat(plan(boat, fault))
    return afloat, afloat.steady(afloat.start._replace(shore_plugged=plugged))


def volts(afloat: Afloat, moment: Moment, member: str = COMMON_POINT) -> float:
    found = afloat.voltage(moment, member)
    assert found is not None
    return found


def rise(boat: str, fault: Fault, member: str = COMMON_POINT, plugged: bool = False) -> float:
    """How much less negative [V] a member reads with a fault; the water a metre beside moves far less."""
    return volts(*with_fault(boat, fault, plugged), member) - volts(*sound(boat, plugged), member)


def given(moment: Moment, body: str) -> float:
    return float(moment.solution.current[moment.bodies.index(body)])


def every(kind: str, boat: str = "marsh_lantern") -> list[Fault]:
    return [f for f in candidates(fleet_boat(boat), NEIGHBOURS) if f.kind == kind]


def one(kind: str, boat: str = "marsh_lantern", **fields: object) -> Fault:
    """The first candidate of a kind with the given fields."""
    return next(f for f in every(kind, boat) if all(getattr(f, k) == v for k, v in fields.items()))


ONE_EACH = [
    (boat, fault)
    for kind in KINDS
    for boat, found in [next(((b, every(kind, b)) for b in BOATS if every(kind, b)), ("", []))]
    for fault in {getattr(f, "path", getattr(f, "state", None)): f for f in reversed(found)}.values()
]


def test_every_kind_has_a_place_on_some_boat() -> None:
    assert {fault.kind for _, fault in ONE_EACH} == set(KINDS)


@pytest.mark.parametrize(("boat", "fault"), ONE_EACH, ids=lambda v: getattr(v, "id", v))
def test_laws_hold_with_every_fault(boat: str, fault: Fault) -> None:
    """What metals give the water others take up; every patch obeys its law; mending gives the sound boat back, to the solve's 1e-10 V."""
    afloat, moment = with_fault(boat, fault, plugged=True)
    current = moment.solution.current
    assert abs(current.sum()) < 1e-9 * max(1.0, np.abs(current).max())
    assert moment.solution.residual <= 1e-11
    assert np.isfinite(moment.solution.node_voltage).all()
    mended = afloat.steady(afloat.start._replace(shore_plugged=True, mended=frozenset({fault.id})))
    whole = sound(boat, plugged=True)[1].solution.node_voltage
    np.testing.assert_allclose(mended.solution.node_voltage, whole, atol=1e-9)


@pytest.mark.parametrize(("boat", "fault"), ONE_EACH, ids=lambda v: getattr(v, "id", v))
def test_a_fault_is_told_in_words_and_survives_storage(boat: str, fault: Fault) -> None:
    assert fault_from(fault.model_dump()) == fault
    told = [fault.title, fault.mend, *fault.traces]
    assert all(text and "{" not in text for text in told)
    assert len(fault.traces) >= 2
    assert fault.group
    assert fault.part
    stored = SlipPlan.model_validate_json(plan(boat, fault).canonical_json())
    assert stored.faults == (fault,)


def test_a_severity_out_of_range_is_refused() -> None:
    with pytest.raises(
        ValidationError, match=r"joint_ohm of a high_resistance_bond is 0\.1; allowed is 1\.5"
    ):
        one("high_resistance_bond").weighed(0.1)


def test_a_grid_has_three_digits_and_its_ends() -> None:
    found = grid(0.02, 0.3)
    assert (found[0], found[-1]) == (0.02, 0.3)
    assert len(found) == 800 + 201
    assert list(found) == sorted(set(found))


@pytest.mark.parametrize("kind", ["broken_bond", "high_resistance_bond", "rudder_strap_parted"])
def test_a_bad_bond_lets_its_metal_go_and_spares_the_rest(kind: str) -> None:
    for fault in every(kind):
        wire = next(c for c in fleet_boat("marsh_lantern").conductors if c.id == fault.place)
        if wire.to.startswith(("engine", "strainer")):
            continue  # what is behind an engine has its own anode; a strainer is behind a hose
        assert rise("marsh_lantern", fault, wire.to) > 0.02
        assert rise("marsh_lantern", fault) < 1e-4


def test_a_bond_of_more_ohms_lets_go_more() -> None:
    fault = one("high_resistance_bond", place="bond_strut_port")
    wire = next(c for c in fleet_boat("marsh_lantern").conductors if c.id == fault.place)
    steps = [rise("marsh_lantern", fault.weighed(ohm), wire.to) for ohm in (1.5, 5.0, 15.0, 60.0)]
    assert steps == sorted(steps)
    assert steps[-1] > 3 * steps[0]


def test_a_shaft_without_contact_stands_apart() -> None:
    fault = one("shaft_without_brush", place="gearbox_port")
    afloat, moment = with_fault("marsh_lantern", fault)
    assert volts(afloat, moment, "shaft_port") - volts(afloat, moment) > 0.03
    steps = [rise("marsh_lantern", fault.weighed(ohm), "shaft_port") for ohm in (20.0, 100.0, 1000.0)]
    assert steps == sorted(steps)


@pytest.mark.parametrize("kind", ["anode_gone", "anode_painted", "anode_no_contact"])
def test_an_anode_lost_makes_her_less_negative(kind: str) -> None:
    for fault in every(kind):
        assert 0.0 < rise("marsh_lantern", fault) < 0.3


def test_more_paint_on_an_anode_and_a_worse_contact_lose_more() -> None:
    painted, loose = one("anode_painted", place="hull_anode"), one("anode_no_contact", place="hull_anode")
    for fault, values in ((painted, (0.9, 0.95, 0.99)), (loose, (10.0, 50.0, 2000.0))):
        steps = [rise("marsh_lantern", fault.weighed(value)) for value in values]
        assert steps == sorted(steps)
    gone = rise("marsh_lantern", one("anode_gone", place="hull_anode"))
    assert rise("marsh_lantern", loose.weighed(2000.0)) == pytest.approx(gone, rel=0.05)


def test_magnesium_in_salt_water_overprotects_and_goes_fast() -> None:
    wrong = one("anode_wrong_alloy", place="hull_anode", alloy="magnesium_anode")
    assert rise("marsh_lantern", wrong) < -0.2
    more = [rise("marsh_lantern", one("too_much_magnesium").weighed(length)) for length in (0.15, 0.3, 0.6)]
    assert more == sorted(more, reverse=True)
    assert more[0] < -0.2
    before, after = sound("marsh_lantern")[1], with_fault("marsh_lantern", wrong)[1]
    assert given(after, "hull_anode") > 3 * given(before, "hull_anode")


def test_an_impressed_system_set_high_overprotects_only_while_it_is_on() -> None:
    fault = one("impressed_current_high")
    drive = [rise("marsh_lantern", fault.weighed(ohm)) for ohm in (2.0, 6.0, 20.0)]
    assert drive == sorted(drive)
    assert drive[-1] < -0.1
    afloat, on = with_fault("marsh_lantern", fault)
    assert fault.circuit is not None
    off = afloat.steady(afloat.start._replace(open_breakers=frozenset({fault.circuit})))
    assert given(on, "impressed_anode") > 0.1
    assert abs(given(off, "impressed_anode")) < 1e-3
    assert abs(volts(afloat, off) - volts(*sound("marsh_lantern"))) < 1e-3


def test_unlike_metal_added_asks_more_of_the_anodes() -> None:
    added = [rise("marsh_lantern", one("dissimilar_fitting").weighed(area)) for area in (0.1, 0.3, 0.9)]
    assert 0.0 < added[0] < added[1] < added[2]


def test_copper_on_aluminium_makes_it_less_negative_and_eats_it() -> None:
    fault = one("copper_on_aluminium", "grey_shingle")
    steps = [rise("grey_shingle", fault.weighed(share), "hull") for share in (0.01, 0.05, 0.2)]
    assert 0.0 < steps[0] < steps[1] < steps[2]
    assert given(with_fault("grey_shingle", fault)[1], "hull_copper") < 0.0


def test_a_trim_tab_tied_to_its_actuator_takes_the_anodes_current() -> None:
    fault = one("trim_tab_tied", "summer_hail").weighed(0.05)
    assert rise("summer_hail", fault) > 0.001
    afloat, moment = with_fault("summer_hail", fault)
    assert given(moment, fault.place) < 0.0
    assert volts(afloat, moment, fault.place) == pytest.approx(volts(afloat, moment), abs=0.02)
    assert volts(*sound("summer_hail"), fault.place) > volts(*sound("summer_hail")) + 0.1


@pytest.mark.parametrize("kind", STRAY)
def test_onto_sound_bonds_it_goes_home_by_the_wire(kind: str) -> None:
    """Design, section 3: the breaker opens, or amperes run in a conductor, and little enters the water."""
    fault = one(kind, path="bonded")
    assert isinstance(fault, Stray)
    afloat, moment = with_fault("marsh_lantern", fault)
    before = sound("marsh_lantern")[1]
    gone = {body: given(moment, body) - given(before, body) for body in moment.bodies}
    carried = abs(afloat.current(moment, f"positive:{fault.feed}")) + 1e-9
    if kind in ("chafed_positive", "pump_shaft_short"):
        assert afloat.trips(afloat.start) == {fault.feed}
    else:
        assert afloat.trips(afloat.start) == frozenset()
    if fault.target in gone:
        assert gone[fault.target] < 0.02 * max(carried, 0.1)


@pytest.mark.parametrize("kind", STRAY)
def test_onto_poorly_bonded_metal_it_eats_it_and_the_rest_reads_more_negative(kind: str) -> None:
    """Design, section 3: 'a stray always reads positive' is a mistake."""
    fault = one(kind, path="poor")
    assert isinstance(fault, Stray)
    afloat, moment = with_fault("marsh_lantern", fault)
    before = sound("marsh_lantern")[1]
    assert afloat.trips(afloat.start) == frozenset()
    assert given(moment, fault.target) > given(before, fault.target) + 0.02
    assert rise("marsh_lantern", fault, fault.target) > 0.2
    assert rise("marsh_lantern", fault) < -0.005


@pytest.mark.parametrize("kind", STRAY)
def test_it_stops_with_its_breaker_and_with_the_battery_unless_fed_ahead(kind: str) -> None:
    fault = one(kind, path="poor")
    assert isinstance(fault, Stray)
    afloat, on = with_fault("marsh_lantern", fault)
    feed = next(c.feed for c in afloat.plan.boat.circuits if c.id == fault.feed)
    broken = afloat.steady(afloat.start._replace(open_breakers=frozenset({fault.feed})))
    dark = afloat.steady(afloat.start._replace(battery_on=False))
    assert given(broken, fault.target) < given(on, fault.target) - 0.02
    still = given(dark, fault.target) == given(on, fault.target)
    assert still == (feed == "battery")


@pytest.mark.parametrize("kind", STRAY)
def test_a_leak_of_fewer_ohms_eats_more(kind: str) -> None:
    fault = one(kind, path="poor")
    assert isinstance(fault, Stray)
    assert fault.span is not None
    values = [grid(fault.span.low, fault.span.high)[k] for k in (-1, len(grid(*fault.span[1:])) // 2, 0)]
    if kind == "shared_return":
        values.reverse()  # more ohms in the return, more drop along it
    eaten = [given(with_fault("marsh_lantern", fault.weighed(value))[1], fault.target) for value in values]
    assert eaten == sorted(eaten)
    assert eaten[-1] > 1.5 * eaten[0]


def test_a_breaker_that_no_fault_hangs_on_changes_nothing_and_costs_nothing() -> None:
    fault = one("bilge_splice", path="poor")
    afloat, moment = with_fault("marsh_lantern", fault)
    other = afloat.start._replace(open_breakers=frozenset({"radio", "windlass"}), battery_on=True)
    assert afloat.steady(other).solution is moment.solution
    plain = Afloat(plan("marsh_lantern").model_copy(update={"dock": None, "neighbours": ()}))
    dark = plain.start._replace(battery_on=False, shore_plugged=True, open_breakers=frozenset({"radio"}))
    assert plain.steady(dark).solution is plain.steady(plain.start).solution


def test_an_isolator_parts_her_from_the_dock_and_a_failed_one_does_not() -> None:
    """Common practice, no source: an isolator stops galvanic current; failed open it stops the safety earth too."""
    short, gone, opened = (one("isolator_fault", state=s) for s in ("failed short", "missing", "failed open"))
    assert (
        abs(
            sound("marsh_lantern", plugged=True)[0].current(
                sound("marsh_lantern", plugged=True)[1], "shore_earth"
            )
        )
        < 1e-4
    )
    for fault in (short, gone):
        afloat, moment = with_fault("marsh_lantern", fault, plugged=True)
        assert abs(afloat.current(moment, "shore_earth")) > 0.02
        assert rise("marsh_lantern", fault, plugged=True) > 0.01
    assert short.group == gone.group != opened.group
    afloat, moment = with_fault("marsh_lantern", opened, plugged=True)
    assert abs(afloat.current(moment, "shore_earth")) < 1e-9


def test_wiring_wrong_ashore_is_told_and_warned_of_and_changes_no_reading() -> None:
    for fault in every("shore_wiring"):
        assert rise("marsh_lantern", fault, plugged=True) == 0.0
        assert any("Caution" in trace for trace in fault.traces)
        assert "licensed" in fault.mend


def test_a_neighbours_leak_comes_in_by_the_shore_lead_alone_and_by_no_breaker() -> None:
    """Common practice, no source: an isolator does not stop battery voltage, a transformer does; her metal is the one eaten."""
    fault = one("neighbour_leak").weighed(5.0)
    afloat, moment = with_fault("marsh_lantern", fault, plugged=True)
    assert (
        abs(rise("marsh_lantern", fault, plugged=False)) < 5e-3
    )  # the field of her leak in the water, no more
    assert rise("marsh_lantern", fault, plugged=True) < -0.1
    assert afloat.current(moment, "shore_earth") > 0.1
    circuits = frozenset(c.id for c in afloat.plan.boat.circuits)
    all_off = afloat.start._replace(shore_plugged=True, battery_on=False, open_breakers=circuits)
    assert afloat.steady(all_off).solution is moment.solution
    assert given(moment, "neighbour:steel_ketch:0") > 0.1
    boat = fleet_boat("marsh_lantern")
    assert boat.shore is not None
    apart = boat.model_copy(update={"shore": boat.shore.model_copy(update={"arrangement": "transformer"})})
    safe = Afloat(plan("marsh_lantern", fault).model_copy(update={"boat": apart}))
    assert safe.current(safe.steady(safe.start._replace(shore_plugged=True)), "shore_earth") == pytest.approx(
        0.0, abs=1e-9
    )
