"""A boat file: what is read, and the one sentence for each thing that cannot be."""

from __future__ import annotations

import copy
import math

import pytest
import yaml

from course.boats.datasets import datasets_folder, load
from course.boats.description import BoatError, boat_from_document, fleet_boat, read_boat
from course.engine import awg_diameter, conductor_resistance


@pytest.fixture
def document():
    path = datasets_folder() / "boats" / "marsh_lantern.yaml"
    return yaml.safe_load(path.read_text(encoding="utf-8"))


def refusal(document) -> str:
    with pytest.raises(BoatError) as caught:
        boat_from_document(document, "my_boat.yaml")
    message = str(caught.value)
    assert "\n" not in message
    assert message.startswith("my_boat.yaml: ")
    return message


def test_the_fleet_boat_is_read_whole():
    boat = fleet_boat("marsh_lantern")
    assert boat.hull.material == "fibreglass"
    assert {"propeller_port", "hull_anode", "engine_port", "common_bonding_point"} <= set(boat.members)


def test_a_negative_area_is_named_with_its_value(document):
    document["metals"][0]["wetted_area_m2"] = -0.2
    message = refusal(document)
    assert (
        message
        == "my_boat.yaml: metals, propeller_port, wetted_area_m2: it should be greater than 0, and is -0.2"
    )


def test_an_unknown_metal_is_answered_with_the_nearest(document):
    document["metals"][0]["metal"] = "nickel_aluminum_bronze"
    assert "did you mean 'nickel_aluminium_bronze'?" in refusal(document)


def test_a_wire_to_nowhere_is_answered_with_the_nearest(document):
    document["conductors"][0]["to"] = "engine_prt"
    message = refusal(document)
    assert "'engine_prt'" in message
    assert "did you mean 'engine_port'?" in message


def test_two_things_cannot_share_an_id(document):
    document["metals"].append(copy.deepcopy(document["metals"][0]))
    assert "'propeller_port' is used twice" in refusal(document)


def test_a_conductor_needs_one_resistance(document):
    document["conductors"][0]["contact_ohm"] = 0.1
    assert "needs either gauge_awg and length_m, or contact_ohm" in refusal(document)


def test_a_misspelt_field_is_refused(document):
    document["hull"]["lenght_m"] = 11.0
    assert "lenght_m" in refusal(document)


def test_a_file_that_is_no_yaml_or_not_there(tmp_path):
    broken = tmp_path / "torn.yaml"
    broken.write_text("hull: [", encoding="utf-8")
    with pytest.raises(BoatError, match=r"torn\.yaml is not readable YAML"):
        read_boat(broken)
    with pytest.raises(BoatError, match=r"gone\.yaml cannot be read: No such file"):
        read_boat(tmp_path / "gone.yaml")


def test_an_unknown_boat_is_answered_with_the_nearest():
    with pytest.raises(BoatError, match="did you mean 'marsh_lantern'"):
        fleet_boat("marsh_lanten")


@pytest.mark.parametrize("table", ["metals", "reference_cells", "criteria", "conductors", "marina"])
def test_every_row_of_a_table_has_source_and_status(table):
    for name, row in load(table).items():
        assert row.get("source"), f"{table}: {name} has no source"
        assert row.get("status"), f"{table}: {name} has no status"


def test_the_table_of_gauges_agrees_with_the_formula_the_engine_uses():
    """ASTM B258 diameters and public resistance tables (solid copper, 20 degC), which are rounded to three digits."""
    for row in load("conductors").values():
        gauge = row["gauge_awg"]
        assert conductor_resistance(gauge, 1.0, 293.15) == pytest.approx(row["ohm_per_m"], rel=0.01)
        assert math.pi / 4 * awg_diameter(gauge) ** 2 * 1e6 == pytest.approx(row["area_mm2"], rel=0.005)
