"""A slip of Marsh Lantern and the steps of a right reading; and a small invented boat for everything a bench can do."""

from __future__ import annotations

import pytest

from course.boats.description import boat_from_document
from course.boats.plan import Berth, Dock, Kit, Neighbour, NeighbourMetal, SlipPlan, Start
from course.instruments.slip import Slip
from graders.exercises import EXERCISES
from graders.personal import plan_for


@pytest.fixture(scope="session")
def plan():
    return plan_for(EXERCISES["03.1"], "ana", "CR26")


@pytest.fixture
def folder(tmp_path):
    place = tmp_path / "Ana's läroplats 03"
    place.mkdir()
    return place


@pytest.fixture
def slip(plan, folder):
    return Slip(plan, folder)


@pytest.fixture
def wired(slip):
    """The slip with leads plugged, clip on and cell hung, half an hour ago."""
    slip.turn_dial("2 V")
    slip.plug("cell lead", "COM")
    slip.plug("test lead", "V")
    slip.clip("common_bonding_point")
    slip.hang_cell(5.6, 1.0)
    slip.wait(30)
    return slip


def place(x, y, height):
    return {"x_m": x, "y_m": y, "height_m": height}


def bond(name, to, **more):
    wire = {"gauge_awg": 8, "length_m": 2.0, "joints_ohm": 0.002}
    return {"id": name, "from": "common_bonding_point", "to": to, **wire, **more}


def circuit(name, label, **more):
    return {"id": name, "label": label, "place": place(2.0, 0.3, 0.2), **more}


# Test Tern is an invented boat, small so that tests are fast; every number of hers is invented.
TERN = {
    "schema": 1, "id": "test_tern", "name": "Test Tern", "kind": "small fibreglass cruiser", "status": "invented",
    "hull": {"material": "fibreglass", "length_m": 6.0, "beam_m": 2.2, "draft_m": 0.6, "basis": "invented",
             "profile": [[0, 0.7], [6, 0.9], [5.4, 0], [3, -0.4], [0, -0.2]]},
    "common_bonding_point": place(1.5, 0.0, 0.1),
    "metals": [
        {"id": "propeller", "label": "propeller", "metal": "manganese_bronze", "shape": "propeller", "wetted_area_m2": 0.1,
         "place": place(0.3, 0.0, -0.5), "length_m": 0.35, "basis": "invented"},
        {"id": "shaft", "label": "shaft", "metal": "stainless_316_passive", "shape": "shaft", "wetted_area_m2": 0.08,
         "place": place(0.9, 0.0, -0.45), "length_m": 0.9, "basis": "invented"},
        {"id": "seacock", "label": "engine seacock", "metal": "silicon_bronze", "shape": "through_hull", "wetted_area_m2": 0.02,
         "place": place(2.5, 0.4, -0.3), "length_m": 0.1, "basis": "invented"},
    ],
    "inside": [{"id": "engine", "label": "engine", "shape": "engine", "place": place(1.9, 0.0, 0.0), "length_m": 0.8},
               {"id": "rail", "label": "handrail foot", "shape": "fitting", "place": place(4.0, 0.9, 0.9), "length_m": 0.1}],
    "anodes": [
        {"id": "hull_anode", "label": "hull anode", "alloy": "zinc_anode", "mounting": "flush_plate", "mass_kg": 2.0, "length_m": 0.2,
         "width_m": 0.1, "thickness_m": 0.02, "place": place(0.0, 0.2, -0.2)},
        {"id": "hanging_anode", "label": "hanging anode", "alloy": "zinc_anode", "mounting": "hanging", "mass_kg": 2.0, "length_m": 0.2,
         "width_m": 0.1, "thickness_m": 0.02, "place": place(2.5, 1.3, -0.6)},
    ],
    "conductors": [
        bond("bond_engine", "engine"), bond("bond_seacock", "seacock"),
        bond("hull_anode_lead", "hull_anode", openable=True, label="inside lead of the hull anode"),
        bond("hanging_anode_lead", "hanging_anode"),
        {"id": "gearbox", "from": "engine", "to": "shaft", "contact_ohm": 0.05, "label": "gearbox and coupling"},
        {"id": "taper", "from": "shaft", "to": "propeller", "contact_ohm": 0.001, "label": "propeller taper"},
    ],
    "clip_points": [
        {"id": "common_bonding_point", "at": "common_bonding_point", "label": "common bonding point"},
        {"id": "engine", "at": "engine", "label": "engine block"},
        {"id": "seacock", "at": "seacock", "label": "engine seacock"},
        {"id": "shaft", "at": "shaft", "label": "shaft, inboard end"},
        {"id": "hull_anode", "at": "hull_anode", "label": "stud of the hull anode"},
        {"id": "rail", "at": "rail", "label": "handrail foot"},
        {"id": "battery_positive", "at": "battery_positive", "label": "battery positive"},
        {"id": "battery_negative", "at": "common_bonding_point", "label": "battery negative"},
    ],
    "battery": {"negative_at": "common_bonding_point", "place": place(2.2, -0.5, 0.1)},
    "circuits": [
        circuit("bilge_pump", "Bilge pump", feed="battery", load_A=3.0, breaker_A=5.0, route="bilge"),
        circuit("lights", "Cabin lights", load_A=1.5, breaker_A=10.0),
        circuit("fridge", "Refrigerator", load_A=4.0, breaker_A=15.0, route="bilge"),
    ],
    "bilge": {"place": place(2.3, 0.0, -0.3), "length_m": 1.6, "water": "damp",
              "contacts": [{"to": "seacock", "cell_length_m": 0.3}, {"to": "engine", "cell_length_m": 0.2}]},
    "shore": {"arrangement": "isolator", "earth_at": "common_bonding_point", "inlet": place(1.0, 1.0, 0.7)},
}  # fmt: skip
BERTH = Berth(
    marina="Cormorant Reach", name="T1", water="sea water", depth_m=2.5, temperature_degC=15.0, salinity=33.0,
    flow_m_per_s=0.02, bed_reflection=0.5,
)  # fmt: skip
CELLS = ("silver_chloride_sea_water", "silver_chloride_saturated", "copper_sulphate", "zinc_sea_water")
KETCH = Neighbour(
    id="ketch", label="the steel ketch in the next berth", x_m=2.0, y_m=-6.0,
    metals=(NeighbourMetal(metal="mild_steel", area_m2=1.0),),
)  # fmt: skip


@pytest.fixture(scope="session")
def tern():
    """Test Tern as a boat."""
    return boat_from_document(TERN, "test_tern.yaml")


@pytest.fixture(scope="session")
def tern_plan(tern):
    """Return a function that makes a plan of Test Tern."""

    def make(*faults, kit=None, start=None, seed="tern", dock=True, neighbours=(KETCH,), **berth):
        return SlipPlan(
            exercise="bench", seed=seed, boat=tern, berth=BERTH.model_copy(update=berth), faults=faults,
            kit=kit or Kit(cells=CELLS, noise_mV=0.0), start=start or Start(), neighbours=neighbours, dock=Dock() if dock else None,
        )  # fmt: skip

    return make


@pytest.fixture
def bench(tern_plan, tmp_path):
    """Return a function that puts Test Tern, with any faults, on a bench of her own."""
    count = 0

    def make(*faults, **how):
        nonlocal count
        count += 1
        place = tmp_path / str(count)
        place.mkdir()
        return Slip(tern_plan(*faults, **how), place)

    return make
