"""Facts of the trade that the course's own boats reproduce. Every one: common practice, no source; the numbers of a test's
bounds are ours, chosen wide, and none was used to fit anything.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pytest

from course.boats.afloat import Afloat, conductor_ohm
from course.boats.boat_systems import SHORE_EARTH
from course.boats.craft import craft_of
from course.boats.datasets import load, row
from course.boats.description import Boat, fleet_boat
from course.boats.faults import KINDS, Fault, candidates
from course.boats.faults.base import in_series
from course.boats.personal import middle_berth
from course.boats.plan import SlipPlan
from course.boats.surroundings import Neighbour
from course.boats.variation import dock_of
from course.engine import Water
from course.engine.seasons import Spell, sail
from course.engine.weather import DAY, WaterYear
from course.instruments.reference_cell import settled_potential
from instructor.boat.report import (
    anode_days,
    cell_volts,
    dissolution,
    hull_mV,
    loss_mm_per_year,
    without_anodes,
)
from instructor.boat.traces import neighbours_of, trace

SEA, RIVER, LAKE = "cormorant_reach", "sedge_mouth", "lark_water"
SEA_YEAR = WaterYear(temperature=288.15, salinity=32.0, flow=0.02)


def afloat(boat: Boat, marina: str, **berth: float) -> Afloat:
    place = middle_berth(marina).model_copy(update=berth)
    return Afloat(SlipPlan(exercise="-", seed="-", boat=boat, berth=place))


def with_alloy(boat: Boat, alloy: str) -> Boat:
    """The boat with anodes of the same size of another alloy: same dimensions, and so another mass."""
    density = {
        name: row("metals", name)["density_kg_m3"] for name in (alloy, *(a.alloy for a in boat.anodes))
    }
    changed = tuple(
        a.model_copy(update={"alloy": alloy, "mass_kg": a.mass_kg * density[alloy] / density[a.alloy]})
        for a in boat.anodes
    )
    return boat.model_copy(update={"anodes": changed})


def at(where: Afloat, member: str) -> float:
    """Potential of a metal against the water touching it [mV vs the open silver cell there]."""
    return 1000 * (where.steady(where.start).polarisation[member] - cell_volts(where))


def reading(where: Afloat) -> float:
    found = hull_mV(where, where.steady(where.start))
    assert found is not None
    return found


def anode_current(where: Afloat) -> float:
    """Current of metal lost by all anodes [A]."""
    lost = dissolution(where, where.steady(where.start))
    return sum(lost[anode.id] for anode in where.plan.boat.anodes)


def days_until_gone(boat: Boat, year: WaterYear, spell: Spell | None = None, marina: str = SEA) -> np.ndarray:
    """Days until each anode of a boat falls off, by the seasons."""
    craft, _ = craft_of(afloat(boat, marina).plan)
    voyage = sail(craft, year, [spell or Spell(3650.0)])
    return np.asarray(voyage.gone_at[craft.anodes] / DAY)


def a_fault(
    boat: Boat, kind: str, place: str, neighbours: tuple[Neighbour, ...] = (), **like: object
) -> Fault:
    return next(
        f
        for f in candidates(boat, neighbours)
        if f.kind == kind and f.place == place and all(getattr(f, k) == v for k, v in like.items())
    )


# --- which anode in which water ------------------------------------------------------------------------------------


def test_magnesium_belongs_in_fresh_water_and_zinc_goes_passive_there() -> None:
    """Common practice, no source. On the stern drive and the narrow hull in the lake only magnesium drives a useful current:
    its current is twice that of zinc or more, and only it moves the protected metal 100 mV from its potential without anodes."""
    for name, member in (("summer_hail", "drive"), ("alder_mist", "hull")):
        boat = fleet_boat(name)
        bare = at(afloat(without_anodes(boat), LAKE), member)
        shift, current = {}, {}
        for alloy in ("magnesium_anode", "zinc_anode"):
            where = afloat(with_alloy(boat, alloy), LAKE)
            moment = where.steady(where.start)
            given = dict(zip(moment.bodies, moment.solution.current, strict=True))
            shift[alloy] = bare - at(where, member)
            current[alloy] = sum(given[a.id] for a in boat.anodes)
        assert current["magnesium_anode"] > 2 * current["zinc_anode"], name
        assert shift["magnesium_anode"] > 100 > shift["zinc_anode"], name


def test_zinc_itself_is_hundreds_of_millivolts_nobler_in_fresh_water() -> None:
    """Common practice, no source: zinc goes passive. Its own potential, against hydrogen, rises by more than 100 mV."""
    from course.boats.afloat import kinetics_of
    from course.engine import free_corrosion_potential

    lake, sea = (Water(temperature=288.15, salinity=s) for s in (0.1, 35.0))
    zinc, magnesium = kinetics_of("zinc_anode"), kinetics_of("magnesium_anode")
    rise = free_corrosion_potential(zinc, lake) - free_corrosion_potential(zinc, sea)
    assert rise > 0.1
    assert free_corrosion_potential(magnesium, lake) - free_corrosion_potential(magnesium, sea) < 0.05


def test_aluminium_belongs_in_brackish_water() -> None:
    """Common practice, no source. In the river mouth aluminium holds the outboard and the aluminium hull inside their window,
    zinc leaves the outboard outside it, and magnesium overprotects both (window: criteria.yaml, aluminium_sea_water)."""
    window = row("criteria", "aluminium_sea_water")
    for name, member in (("foam_lark", "outboard"), ("grey_shingle", "hull")):
        boat = fleet_boat(name)
        found = {
            a: at(afloat(with_alloy(boat, a), RIVER), member)
            for a in ("aluminium_anode", "zinc_anode", "magnesium_anode")
        }
        assert window["protected_above_mV"] < found["aluminium_anode"] < window["protected_below_mV"], name
        assert found["zinc_anode"] > found["aluminium_anode"] + 50, name
        assert found["magnesium_anode"] < window["protected_above_mV"] - 50, name
    outboard = at(afloat(with_alloy(fleet_boat("foam_lark"), "zinc_anode"), RIVER), "outboard")
    assert outboard > window["protected_below_mV"]


def test_magnesium_in_salt_water_overprotects_and_is_soon_gone() -> None:
    """Common practice, no source. Anodes of the same size: with magnesium the cruiser reads past -1100 mV, and each lasts
    less than half as long as zinc; the shaft anodes are gone within three months."""
    boat = fleet_boat("marsh_lantern")
    light = with_alloy(boat, "magnesium_anode")
    assert reading(afloat(light, SEA)) < row("criteria", "fibreglass_mixed_metals")["protected_above_mV"]
    magnesium, zinc = days_until_gone(light, SEA_YEAR), days_until_gone(boat, SEA_YEAR)
    assert np.all(magnesium < zinc / 2)
    assert magnesium.min() < 90


def test_the_same_boat_reads_hundreds_of_millivolts_less_negative_in_fresh_water() -> None:
    """Common practice, no source: an anode cannot drive its current far through fresh water."""
    boat = fleet_boat("marsh_lantern")
    difference = reading(afloat(boat, LAKE)) - reading(afloat(boat, SEA))
    assert 200 < difference < 600


def test_an_open_silver_cell_errs_by_some_120_mV_in_fresh_water_and_a_saturated_one_does_not() -> None:
    """Common practice, no source (Nernst with S 0.2 gives 124 mV, derived): bounds 90 to 160 mV over the lake's range."""
    cells = load("reference_cells")
    sea = Water(temperature=288.15, salinity=35.0)
    for salinity in (0.08, 0.125, 0.2):
        lake = Water(temperature=288.15, salinity=salinity)
        error = {
            name: 1000 * (settled_potential(cells[name], lake) - settled_potential(cells[name], sea))
            for name in ("silver_chloride_sea_water", "silver_chloride_saturated")
        }
        assert (
            90 < error["silver_chloride_sea_water"] < 160
        )  # the cell is nobler there: the metal reads too negative
        assert abs(error["silver_chloride_saturated"]) < 1


# --- contact -------------------------------------------------------------------------------------------------------


def test_every_bond_of_a_sound_boat_is_well_under_one_ohm() -> None:
    """Common practice, no source: protected metals within 1 ohm of the anode."""
    for marina in load("marina").values():
        for name in marina["boats"]:
            assert max(conductor_ohm(c) for c in fleet_boat(name).conductors) < 1.0, name


def test_one_ohm_already_spoils_protection() -> None:
    """Common practice, no source. One ohm in the bond of a large tab costs it over 100 mV; in the one lead that a hanging
    anode serves the boat through, it costs the boat over 100 mV."""
    squall = fleet_boat("dawn_squall")
    loose = in_series(squall, "bond_tab_port", 1.0)
    assert at(afloat(loose, SEA), "trim_tab_port") > at(afloat(squall, SEA), "trim_tab_port") + 100
    others = {a.id for a in squall.anodes} - {"hanging_anode"}
    one = squall.model_copy(
        update={
            "anodes": tuple(a for a in squall.anodes if a.id not in others),
            "conductors": tuple(c for c in squall.conductors if c.to not in others),
        }
    )
    assert reading(afloat(in_series(one, "hanging_anode_lead", 1.0), SEA)) > reading(afloat(one, SEA)) + 100


def test_a_turning_shaft_is_no_reliable_contact() -> None:
    """Common practice, no source. Its collar anode gone and its gearbox riding on oil, shaft and propeller stand within
    100 mV of where no anode reaches them, though the rest of the boat is protected; a brush would have held them."""
    boat = fleet_boat("marsh_lantern")
    lost = a_fault(boat, "anode_gone", "shaft_anode_port").boat(boat)
    turning = a_fault(lost, "shaft_without_brush", "gearbox_port").boat(lost)
    where = afloat(turning, SEA)
    assert at(where, "propeller_port") > -400
    assert at(where, "strut_port") < -800
    brushed = fleet_boat("dawn_squall")
    lost = a_fault(brushed, "anode_gone", "shaft_anode_port").boat(brushed)
    turning = in_series(lost, "gearbox_port", 500.0)
    assert at(afloat(turning, SEA), "propeller_port") < -800


@pytest.mark.parametrize(
    ("name", "member"), [("marsh_lantern", "rudder_port"), ("dawn_squall", "rudder_port")]
)
def test_a_rudder_post_needs_a_flexible_strap(name: str, member: str) -> None:
    """Common practice, no source: the strap parted, the rudder loses over 300 mV of protection."""
    boat = fleet_boat(name)
    strap = next(c.id for c in boat.conductors if c.to == member)
    parted = a_fault(boat, "rudder_strap_parted", strap).boat(boat)
    assert at(afloat(parted, SEA), member) > at(afloat(boat, SEA), member) + 300


# --- what shortens an anode's life ----------------------------------------------------------------------------------


def poorer_paint(boat: Boat) -> Boat:
    worn = tuple(m.model_copy(update={"bare_fraction": min(1.0, 1.6 * m.bare_fraction)}) for m in boat.metals)
    return boat.model_copy(update={"metals": worn})


@pytest.mark.parametrize(
    ("name", "boat", "worse"),
    [
        ("flow", "marsh_lantern", lambda b: (b, WaterYear(288.15, 32.0, flow=0.1), None)),
        ("use", "marsh_lantern", lambda b: (b, SEA_YEAR, Spell(3650.0, hours_under_way=4.0, speed=4.0))),
        ("paint", "winter_dunlin", lambda b: (poorer_paint(b), SEA_YEAR, None)),
        ("acid", "marsh_lantern", lambda b: (b, WaterYear(288.15, 32.0, flow=0.02, ph=6.0), None)),
    ],
)
def test_more_flow_more_use_poorer_paint_and_more_acid_water_each_shorten_anode_life(
    name: str, boat: str, worse: Callable[[Boat], tuple[Boat, WaterYear, Spell | None]]
) -> None:
    """Common practice, no source: every anode of the boat is gone sooner (acid in sea water: sooner by a little)."""
    sound = fleet_boat(boat)
    changed, year, spell = worse(sound)
    least = 0.0 if name == "acid" else 0.1
    before, after = days_until_gone(sound, SEA_YEAR), days_until_gone(changed, year, spell)
    assert np.all(after < before * (1 - least))


def test_acid_fresh_water_halves_the_life_of_magnesium() -> None:
    """Common practice, no source: pH 6 against pH 8 in the lake, on the narrow hull."""
    boat = fleet_boat("alder_mist")
    years = [WaterYear(286.15, 0.125, flow=0.0125, ph=ph) for ph in (8.0, 6.0)]
    neutral, acid = (days_until_gone(boat, year, marina=LAKE) for year in years)
    assert np.all(acid < 0.5 * neutral)


def test_saltier_water_shortens_anode_life() -> None:
    """Common practice, no source. From nearly fresh through brackish to salt the cruiser's zinc is lost two and three times as
    fast. Between salinity 10 and 35 it is not: there oxygen sets the demand, and salt water holds less of it (a finding)."""
    boat = fleet_boat("marsh_lantern")
    lost = [anode_current(afloat(boat, RIVER, salinity=s, flow_m_per_s=0.02)) for s in (0.3, 1.0, 3.0)]
    assert lost[1] > 1.3 * lost[0]
    assert lost[2] > 1.3 * lost[1]
    salt = anode_current(afloat(boat, SEA, salinity=35.0, flow_m_per_s=0.02))
    assert salt > 2 * lost[0]


# --- the shore lead -------------------------------------------------------------------------------------------------


def plugged(boat: Boat, arrangement: str, leaking: bool = False) -> Afloat:
    """The boat at the dock beside the two nearest neighbours, her lead plugged in."""
    assert boat.shore is not None
    boat = boat.model_copy(update={"shore": boat.shore.model_copy(update={"arrangement": arrangement})})
    beside = tuple(n.model_copy(update={"leak": None}) for n in neighbours_of(SEA))
    plan = afloat(boat, SEA).plan
    start = plan.start.model_copy(update={"shore_plugged": True})
    faults = ()
    if leaking:
        leak = KINDS["neighbour_leak"].at(boat, beside[0].id, label=beside[0].label)
        assert leak.span is not None
        faults = (leak.weighed(leak.span.low),)
    return Afloat(
        plan.model_copy(update={"dock": dock_of(SEA), "neighbours": beside, "start": start, "faults": faults})
    )


def shore_mA(where: Afloat) -> float:
    return abs(1000 * where.current(where.steady(where.start), SHORE_EARTH))


def test_plugging_in_beside_badly_protected_neighbours_eats_anodes() -> None:
    """Common practice, no source: half as fast again or more, on a plain earth; an isolator or a transformer stops it."""
    boat = fleet_boat("marsh_lantern")
    lost = {kind: anode_current(plugged(boat, kind)) for kind in ("none", "plain", "isolator", "transformer")}
    assert lost["plain"] > 1.5 * lost["none"]
    assert lost["isolator"] == pytest.approx(lost["none"], rel=0.02)
    assert lost["transformer"] == pytest.approx(lost["none"], rel=0.02)


def test_an_isolator_stops_that_and_not_a_stray_battery_voltage_and_a_transformer_stops_both() -> None:
    """Common practice, no source: an isolator blocks some 1.2 to 1.4 V. A hard leak in a neighbour (1 ohm) pulls the dock's
    earth further than that and drives current through it; a soft one (some 15 ohm) beside good piles does not (a finding).
    """
    boat = fleet_boat("marsh_lantern")
    quiet, stray = shore_mA(plugged(boat, "isolator")), shore_mA(plugged(boat, "isolator", leaking=True))
    assert quiet < 1.0
    assert stray > 10.0
    assert shore_mA(plugged(boat, "transformer", leaking=True)) < 1e-3


# --- how fast ------------------------------------------------------------------------------------------------------

WALL_MM = 3.0  # of a seacock or a strut arm, before it fails


def test_a_stray_leak_drives_metal_near_battery_voltage() -> None:
    """Common practice, no source. A hard leak onto a small unbonded fitting puts more than half the battery's voltage on it."""
    boat = fleet_boat("foam_lark")
    feed = next(c for c in boat.circuits if c.route == "bilge" and c.feed == "panel")
    hard = [f for f in KINDS["chafed_positive"].onto(boat, feed, "transducer") if f.path == "poor"]  # type: ignore[attr-defined]
    span = hard[0].span
    assert span is not None
    where = Afloat(afloat(boat, RIVER).plan.model_copy(update={"faults": (hard[0].weighed(span.low),)}))
    volts = where.voltage(where.steady(where.start), "transducer")
    ground = where.voltage(where.steady(where.start), "powerhead")
    assert volts is not None
    assert ground is not None
    assert boat.battery is not None
    assert volts - ground > 0.5 * boat.battery.emf_V


def test_stray_current_takes_days_a_couple_months_or_years_general_corrosion_decades() -> None:
    """Common practice, no source. Time to lose 3 mm: a seacock under a stray leak, a strut coupled to bronze and stainless
    without an anode, a seacock left alone."""
    boat = fleet_boat("dawn_squall")
    sound = afloat(boat, SEA)
    leak = a_fault(boat, "pump_shaft_short", "seacock_cooler", path="poor", feed="bilge_pump_forward")
    stray = trace(sound, leak)
    assert "seacock" in stray.sufferer
    assert 0.05 < WALL_MM / stray.mm_per_year * 365 < 60
    bare = afloat(without_anodes(boat), SEA)
    lost, areas = dissolution(bare, bare.steady(bare.start)), {b.id: b.area for b in bare.bodies(bare.start)}
    couple = loss_mm_per_year("manganese_bronze", lost["strut_port"], areas["strut_port"])
    assert 0.25 < WALL_MM / couple < 20
    lone = afloat(fleet_boat("cold_spindrift"), SEA)
    lost, areas = dissolution(lone, lone.steady(lone.start)), {b.id: b.area for b in lone.bodies(lone.start)}
    assert WALL_MM / loss_mm_per_year("gunmetal", lost["seacock_heads"], areas["seacock_heads"]) > 20


# --- what needs how much ---------------------------------------------------------------------------------------------


def test_stainless_trim_tabs_tied_to_the_bonding_raise_the_anode_demand() -> None:
    """Common practice, no source: by a third or more, on the sports cruiser."""
    boat = fleet_boat("dawn_squall")
    free = tuple(c for c in boat.conductors if c.id not in ("bond_tab_port", "bond_tab_starboard"))
    apart = boat.model_copy(update={"conductors": free})
    assert anode_current(afloat(boat, SEA)) > 1.33 * anode_current(afloat(apart, SEA))


def test_a_compatible_set_of_metals_on_a_wooden_hull_may_need_no_protection() -> None:
    """Common practice, no source. The wooden sloop without her iron: no metal loses 0.06 mm a year; the sports cruiser, bronze
    struts bonded to stainless, loses more than five times that."""
    worst = {}
    for name in ("amber_dusk", "dawn_squall"):
        where = afloat(without_anodes(fleet_boat(name)), SEA)
        lost = dissolution(where, where.steady(where.start))
        areas = {b.id: b.area for b in where.bodies(where.start)}
        worst[name] = max(loss_mm_per_year(m.metal, lost[m.id], areas[m.id]) for m in where.plan.boat.metals)
    assert worst["amber_dusk"] < 0.06
    assert worst["dawn_squall"] > 5 * worst["amber_dusk"]


def test_a_healthy_anode_lasts_a_season_on_every_boat() -> None:
    """Common practice, no source: anodes are sized for a season at least. Half a year, at the rate of the moment."""
    for marina, place in load("marina").items():
        for name in place["boats"]:
            where = afloat(fleet_boat(name), marina)
            assert min(anode_days(where, where.steady(where.start)).values()) > 182, name
