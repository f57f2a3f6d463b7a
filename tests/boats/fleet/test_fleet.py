"""The twelve boats: what each must have, that each is sound and rightly protected, and that each of her faults can be solved."""

from __future__ import annotations

import math
from functools import cache

import jsonschema
import pytest
import yaml

from course.boats.afloat import Afloat
from course.boats.datasets import datasets_folder, load, row
from course.boats.description import Boat, fleet_boat
from course.boats.faults import candidates
from instructor.boat.report import afloat_in, cell_volts, hull_mV
from instructor.boat.schema import boat_schema
from instructor.boat.traces import beside_the_dock, trace
from instructor.boat.warnings import warnings

FLEET = {name: marina for marina, place in load("marina").items() for name in place["boats"]}
SALT = [name for name, marina in FLEET.items() if marina != "lark_water"]
KINDS = (
    "fibreglass twin-inboard cruiser", "single-screw displacement trawler yacht in steel", "aluminium workboat",
    "wooden sloop with bronze fastenings", "sailing yacht with an aluminium saildrive", "outboard-powered open boat",
    "stern-drive runabout", "catamaran with two small diesels", "lake pontoon boat", "canal-style steel narrow hull",
    "racing yacht with a carbon rig and keel bolts", "sports cruiser with stainless trim tabs",
)  # fmt: skip
PROTECTED = {  # what must be protected on each hull, and by which criterion
    "winter_dunlin": ("hull", "steel_small_craft"),
    "grey_shingle": ("hull", "aluminium_sea_water"),
    "pale_whimbrel": ("saildrive", "aluminium_sea_water"),
    "foam_lark": ("outboard", "aluminium_sea_water"),
    "amber_dusk": ("propeller", "wood_mixed_metals"),
    "marsh_lantern": ("strut_port", "fibreglass_mixed_metals"),
    "dawn_squall": ("strut_port", "fibreglass_mixed_metals"),
    "long_sandbar": ("strut_port", "fibreglass_mixed_metals"),
    "cold_spindrift": ("strut", "fibreglass_mixed_metals"),
}


@cache
def sound(name: str) -> Afloat:
    return afloat_in(fleet_boat(name), FLEET[name])


def test_there_are_twelve_kinds() -> None:
    assert sorted(fleet_boat(name).kind for name in FLEET) == sorted(KINDS)


def test_shore_power_is_arranged_in_every_way() -> None:
    found = {boat.shore.arrangement for boat in map(fleet_boat, FLEET) if boat.shore is not None}
    assert found == {"none", "plain", "isolator", "transformer"}


@pytest.mark.parametrize("name", FLEET)
def test_a_boat_has_all_that_a_case_needs(name: str) -> None:
    boat = fleet_boat(name)
    assert len(boat.circuits) >= 10
    assert boat.raw_water
    assert boat.anodes
    assert boat.battery is not None
    assert boat.bilge is not None
    assert boat.shore is not None
    assert boat.hull.displacement_kg is not None
    assert boat.history.endswith(".")
    assert "\n" not in boat.history
    assert all(part.basis for part in (*boat.metals, *boat.raw_water))
    assert {"common_bonding_point", "battery_positive"} <= {point.at for point in boat.clip_points}


@pytest.mark.parametrize("name", FLEET)
def test_the_anodes_are_right_for_the_water(name: str) -> None:
    water = {
        "cormorant_reach": "sea_water",
        "sedge_mouth": "brackish_water",
        "lark_water": "soft_fresh_water",
    }[FLEET[name]]
    right = {load("anodes")[kind]["metal"] for kind in row("waters", water)["anodes"]}
    iron = {"mild_steel"} if name == "amber_dusk" else set()  # in wood, by intent
    assert {anode.alloy for anode in fleet_boat(name).anodes} <= right | iron


@pytest.mark.parametrize("name", FLEET)
def test_nothing_about_her_looks_implausible(name: str) -> None:
    assert warnings(sound(name)) == []


@pytest.mark.parametrize("name", PROTECTED)
def test_a_sound_boat_is_protected_and_not_overprotected(name: str) -> None:
    """By the criterion for her hull and water in datasets/criteria.yaml, at the metal itself."""
    member, rule = PROTECTED[name]
    where, criterion = sound(name), row("criteria", rule)
    found = 1000 * (where.steady(where.start).polarisation[member] - cell_volts(where))
    assert criterion["protected_above_mV"] <= found <= criterion["protected_below_mV"]


@pytest.mark.parametrize("name", SALT)
def test_every_fault_of_a_boat_can_be_solved_and_told(name: str) -> None:
    """One of each kind and path: finite readings, and words without a gap. Fresh water is in the long test below."""
    _try_all(fleet_boat(name), name, every=False)


@pytest.mark.long
@pytest.mark.parametrize("name", FLEET)
def test_every_fault_at_every_place(name: str) -> None:
    _try_all(fleet_boat(name), name, every=True)


def _try_all(boat: Boat, name: str, every: bool) -> None:
    alone, docked, seen = sound(name), beside_the_dock(boat, FLEET[name]), set()
    for fault in candidates(boat, docked.plan.neighbours):
        key = (fault.kind, getattr(fault, "path", ""))
        if key in seen and not every:
            continue
        seen.add(key)
        found = trace(docked if fault.kind == "neighbour_leak" else alone, fault)
        assert found.hull is None or math.isfinite(found.hull), fault.id
        assert math.isfinite(found.mm_per_year), fault.id
        assert "{" not in fault.title + fault.mend + "".join(fault.traces), fault.id
        assert fault.part, fault.id


@pytest.mark.parametrize("name", ["dawn_squall", "long_sandbar"])
def test_the_path_of_a_stray_decides(name: str) -> None:
    """Onto sound bonding a hard short trips; where the bond is bad the fitting is eaten and the bonded metal reads more negative
    (common practice, no source)."""
    boat, before = fleet_boat(name), hull_mV(sound(name), sound(name).steady(sound(name).start))
    assert before is not None
    shorts = [f for f in candidates(boat) if f.kind == "chafed_positive"]
    bonded = next(f for f in shorts if f.path == "bonded")  # type: ignore[attr-defined]
    poor = next(f for f in shorts if f.path == "poor")  # type: ignore[attr-defined]
    assert trace(sound(name), bonded).trips
    eaten = trace(sound(name), poor)
    assert not eaten.trips
    assert eaten.hull is not None
    assert eaten.place is not None
    assert eaten.hull < before - 20
    assert eaten.place > before + 300
    assert eaten.mm_per_year > 1


@pytest.mark.parametrize("name", FLEET)
def test_the_schema_takes_the_fleet(name: str) -> None:
    path = datasets_folder() / "boats" / f"{name}.yaml"
    jsonschema.validate(yaml.safe_load(path.read_text(encoding="utf-8")), boat_schema())


@pytest.mark.parametrize(
    ("part", "field", "value"),
    [
        ("metals", "metal", "silicone_bronze"),
        ("anodes", "alloy", "gunmetal"),
        ("metals", "shape", "sail"),
        ("circuits", "load", 3),
    ],
)
def test_the_schema_refuses_what_the_course_does(part: str, field: str, value: object) -> None:
    path = datasets_folder() / "boats" / "dawn_squall.yaml"
    document = yaml.safe_load(path.read_text(encoding="utf-8"))
    document[part][0][field] = value
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(document, boat_schema())
