"""What the kit's panels ask of the boats: series, bonds, voyages, crevices, sizes, the pontoon; each against another road."""

from __future__ import annotations

import math

import numpy as np
import pytest

from course.boats.bond_survey import behind, bonds_of, potential_behind, survey
from course.boats.craft import craft_of
from course.boats.crevices import starved
from course.boats.datasets import load, row
from course.boats.description import fleet_boat
from course.boats.fitted import conductor_ohm
from course.boats.panel_plans import fleet_names, fleet_plan
from course.boats.quay import ARRANGEMENTS, quay, quay_boats
from course.boats.series import COMMON, loss_by_ratio, pair, series
from course.boats.sizing import Plate, sized
from course.boats.voyages import Leg, track
from course.boats.waters import water_named, water_names, year_named
from course.engine.constants import YEAR
from course.engine.film import Crevice, crevice_after, fresh_crevice
from course.engine.seasons import Spell, sail

BOAT = "marsh_lantern"


def test_flowing_sea_water_has_the_published_ranges() -> None:
    """mV vs SCE as published, moved by 241 mV (datasets/metals.yaml and reference_cells.yaml name the sources)."""
    places = series("sea_flowing")
    for name, found in load("metals").items():
        low, high = found["flowing_range_mV_SCE"]
        assert places[name].low * 1e3 == pytest.approx(low + 241.0)
        assert places[name].high * 1e3 == pytest.approx(high + 241.0)
        assert places[name].published


def test_other_waters_are_computed_and_keep_the_order_of_far_metals() -> None:
    for _, water in water_names():
        places = series(water)
        assert places["magnesium_anode"].high < places["mild_steel"].low < places["copper"].low
        assert all(place.low <= place.middle <= place.high for place in places.values())
    assert set(COMMON) <= set(load("metals"))


def test_who_suffers_and_how_it_goes_with_area() -> None:
    found = pair("sea_still", ("copper", "mild_steel"), (1.0, 0.01))
    assert (found.suffers, found.spared, found.sure) == ("mild_steel", "copper", 1.0)
    assert found.loss.middle > 10 * found.alone.middle
    ratios, losses = loss_by_ratio("sea_still", ("mild_steel", "copper"), 0.01)
    assert np.all(np.diff(losses.middle) > -1e-9)
    one = pair("sea_still", ("mild_steel", "copper"), (0.01, 0.01 * float(ratios[12])))
    assert losses.middle[12] == pytest.approx(float(one.loss.middle))


def test_the_survey_reads_wire_and_joint() -> None:
    boat = fleet_boat(BOAT)
    wire = next(w for w in boat.conductors if w.id == "bond_strut_port")
    bonds = {bond.member: bond for bond in survey(boat)}
    assert bonds["strut_port"].ohm == pytest.approx(conductor_ohm(wire))
    assert bonds["seacock_heads"].verdict == "not bonded"
    worse = {bond.member: bond for bond in survey(boat, {"bond_strut_port": 5.0})}["strut_port"]
    assert worse.ohm == pytest.approx(conductor_ohm(wire) + 5.0)
    assert worse.verdict == "poor"


def test_a_worse_joint_gives_away_protection() -> None:
    levels = [
        potential_behind(BOAT, "sea_still", "bond_strut_port", ohm)[0] for ohm in (0.01, 1.0, 30.0, 1e4)
    ]
    assert levels == sorted(levels)
    assert levels[1] - levels[0] < 0.03  # under 1 ohm counts as sound (common practice, no source)
    assert levels[-1] - levels[0] > 0.2


@pytest.mark.parametrize("name", [name for _, name in fleet_names()])
def test_every_boat_of_the_fleet_can_be_surveyed(name: str) -> None:
    boat = fleet_boat(name)
    assert survey(boat)
    for _, wire in bonds_of(boat)[:1]:
        here, best = potential_behind(name, "sea_still", wire, 0.01)
        assert -1.5 < here < 0.5
        assert -1.5 < best < 0.5
        assert behind(boat, wire) in {metal.id for metal in boat.metals}


def test_a_voyage_is_what_the_seasons_say() -> None:
    found = track(BOAT, (Leg(120.0, "sea_still", 1.0),))
    craft, ids = craft_of(fleet_plan(BOAT, "sea_still"))
    other = sail(craft, year_named("sea_still"), [Spell(120.0, 0, 1.0, 3.0, 0)])
    k = ids.index("hull_anode")
    assert found.mass["hull_anode"][1][-1] == pytest.approx(other.mass[-1, k], rel=1e-9)
    low, middle, high = (column[-1] for column in found.mass["hull_anode"])
    assert low < middle < high


def test_a_move_goes_on_with_what_is_left() -> None:
    found = track(BOAT, (Leg(60.0, "sea_still"), Leg(60.0, "lake")))
    at = int(np.searchsorted(found.days, found.starts[1], side="right"))
    middle = found.mass["hull_anode"][1]
    assert abs(middle[at] - middle[at - 1]) < 0.02 * middle[0]
    assert found.conductivity[-1] < 0.05 < 2.0 < found.conductivity[0]
    assert np.all(np.diff(middle) <= 1e-12)


def test_a_crevice_is_followed_exactly() -> None:
    """Many short steps and one long one: the model is exact for constant conditions."""
    found = starved("stainless_316", "sea_still", 0.7e-6, 0.01, 50.0, 20.0)
    water, data = water_named("sea_still"), row("crevices", "stainless_316")
    crevice = Crevice(0.7e-6, 0.01, 50.0, data["critical_chloride_mol_m3"])
    end = crevice_after(crevice, fresh_crevice(water), water, 20.0 * 86400.0)
    assert found.chloride[-1] == pytest.approx(end.chloride, rel=1e-6)
    assert (found.film[-1] < 0.5) == end.attacked == (found.attack < 20.0)


def test_a_tighter_gap_and_a_leaner_steel_fail_sooner() -> None:
    days = [starved("stainless_316", "sea_still", gap, 0.01, 50.0, 1.0).attack for gap in (2e-7, 5e-7, 5e-5)]
    assert days[0] < days[1] < days[2] == math.inf
    lean = starved("stainless_304", "sea_still", 5e-7, 0.01, 50.0, 1.0).attack
    assert lean < days[1]
    assert starved("stainless_304", "sea_still", 5e-7, 0.01, 50.0, 100.0, held=True).film[-1] == 1.0


@pytest.mark.parametrize("metal", list(load("crevices")))
def test_bare_metal_in_a_gap_is_lost_faster_than_with_its_film(metal: str) -> None:
    found = starved(metal, "sea_still", 1e-6, 0.01, 100.0, 1.0)
    assert found.loss.middle > found.sound.middle


def test_sizing_by_hand() -> None:
    """B401 by hand: 40 m2 bare steel, 3 years, 12 to 20 degC: 0.08 A/m2 on average, 2000 A h/kg, utilisation 0.8."""
    found = sized(40.0, "none", "sea_still", 3.0, "aluminium", Plate(0.3, 0.1, 0.035))
    hours = 3.0 * YEAR / 3600.0
    assert found.design.wanted.mean == pytest.approx(3.2)
    assert found.design.mass == pytest.approx(3.2 * hours / (2000.0 * 0.8))
    assert found.design.number >= math.ceil(found.design.mass / found.each)
    assert found.life >= 3.0 * YEAR
    half = sized(40.0, "none", "sea_still", 3.0, "aluminium", Plate(0.3, 0.1, 0.035), found.fitted // 2)
    assert half.life == pytest.approx(found.life * (found.fitted // 2) / found.fitted)


def test_no_lead_no_current() -> None:
    found = quay({}, "sea_still")
    assert [float(boat.earth.high) for boat in found.boats] == [0.0] * len(quay_boats())
    assert float(found.piles.middle) == 0.0


def test_current_that_comes_to_one_leaves_another() -> None:
    found = quay(dict.fromkeys((name for _, name in quay_boats()), "plain earth"), "sea_still")
    flows = [float(boat.earth.middle) for boat in found.boats]
    assert min(flows) < -0.05 < 0.05 < max(flows)
    pays = min(found.boats, key=lambda boat: float(boat.earth.middle))
    assert pays.loss.middle > 1.2 * pays.alone


@pytest.mark.parametrize("stops", ["isolator", "transformer", "unplugged"])
def test_what_stops_the_current(stops: str) -> None:
    plugged = dict.fromkeys((name for _, name in quay_boats()), "plain earth")
    before = {boat.name: boat for boat in quay(plugged, "sea_still").boats}["workboat"]
    after = {boat.name: boat for boat in quay({**plugged, "workboat": stops}, "sea_still").boats}["workboat"]
    assert abs(float(after.earth.middle)) < 1e-3 * abs(float(before.earth.middle))
    assert after.loss.middle == pytest.approx(
        after.alone, rel=0.15
    )  # the neighbours' field in the water is left
    assert stops in ARRANGEMENTS
