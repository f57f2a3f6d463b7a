"""``wetslip boat check``: a sound boat is described, an unsound one refused in one sentence."""

from __future__ import annotations

import json
import re

import pytest

from course.boats.datasets import datasets_folder
from course.boats.description import Place, fleet_boat
from course.boats.faults import candidates
from instructor.boat.report import afloat_in
from instructor.boat.traces import fault_table, neighbours_of
from instructor.boat.warnings import warnings
from instructor.command import main

BOAT = datasets_folder() / "boats" / "marsh_lantern.yaml"


def test_a_sound_boat_is_described_and_drawn(tmp_path, capsys):
    picture = tmp_path / "she.png"
    assert main(["boat", "check", str(BOAT), "--figure", str(picture), "--no-faults"]) == 0
    said = capsys.readouterr().out
    assert (
        "Marsh Lantern, fibreglass twin-inboard cruiser: 12 metals in the water, 4 wet inside, 4 anodes"
        in said
    )
    assert "hull potential with the anodes" in said
    assert "Nothing looks implausible." in said
    assert picture.read_bytes().startswith(b"\x89PNG")


def test_an_unsound_boat_is_one_sentence_and_exit_code_2(tmp_path, capsys):
    path = tmp_path / "mein Böötchen.yaml"
    text = BOAT.read_text(encoding="utf-8")
    for wrong, sentence in [
        (
            text.replace("wetted_area_m2: 0.11", "wetted_area_m2: -0.11"),
            "strut_port, wetted_area_m2: it should be greater than 0",
        ),
        (text.replace("silicon_bronze", "silicone_bronze"), "did you mean 'silicon_bronze'?"),
    ]:
        path.write_text(wrong, encoding="utf-8")
        assert main(["boat", "check", str(path)]) == 2
        captured = capsys.readouterr()
        assert sentence in captured.err
        assert captured.err.count("\n") == 1
        assert captured.out == ""


def changed(part, name, **fields):
    """Marsh Lantern with one row of one part changed."""
    boat = fleet_boat("marsh_lantern")
    rows = tuple(r.model_copy(update=fields) if r.id == name else r for r in getattr(boat, part))
    return boat.model_copy(update={part: rows})


@pytest.mark.parametrize(
    ("boat", "sentence"),
    [
        (
            changed("metals", "seacock_heads", shape="fastening", wetted_area_m2=2.0),
            "2 m² is much for a fastening",
        ),
        (changed("metals", "propeller_port", wetted_area_m2=0.002), "0.002 m² is little for a propeller"),
        (changed("metals", "shaft_port", basis=""), "port shaft: no basis is given"),
        (
            changed("metals", "rudder_port", coating="antifouling", bare_fraction=1.0),
            "and yet all of it is bare",
        ),
        (changed("conductors", "bond_strut_port", joints_ohm=0.0), "joints of no resistance at all"),
        (
            changed("conductors", "bond_strut_port", joints_ohm=0.0, length_m=0.01),
            "next to none for a wire with two joints",
        ),
        (changed("conductors", "bond_strut_port", joints_ohm=3.0), "spoils protection"),
        (changed("conductors", "bond_strut_port", gauge_awg=14), "8 AWG is the least"),
        (changed("anodes", "hull_anode", mass_kg=0.03), "0.03 kg lasts 8"),
        (changed("anodes", "hull_anode", mass_kg=60.0), "but its dimensions make 8 kg"),
        (changed("anodes", "hull_anode", alloy="magnesium_anode"), "magnesium in sea water"),
        (changed("circuits", "bilge_pump", load_A=30.0), "a load of 30 A behind a breaker of 7.5 A"),
        (
            changed("metals", "strut_port", place=Place(x_m=1.1, y_m=0.75, height_m=0.4)),
            "lies 0.4 m above it",
        ),
        (fleet_boat("marsh_lantern").model_copy(update={"circuits": ()}), "0 circuits"),
    ],
)
def test_what_looks_implausible_is_said(boat, sentence):
    assert any(sentence in found for found in warnings(afloat_in(boat)))


def test_the_table_of_faults_names_what_suffers_and_how_fast(capsys):
    """A stray onto an unbonded seacock: the boat reads more negative, the seacock volts, and grams a day are lost."""
    boat = fleet_boat("marsh_lantern")
    lines = list(fault_table(boat))
    found = next(line for line in lines if "pump is shorted to its shaft, at the heads seacock" in line)
    assert re.search(r"heads seacock: [\d.]+ mm/yr, [\d.]+ g/day", found)
    assert len(lines) == len(candidates(boat, neighbours_of("cormorant_reach"))) + 4


def test_the_schema_is_printed_and_written(tmp_path, capsys):
    assert main(["boat", "schema"]) == 0
    assert "wetted_area_m2" in json.loads(capsys.readouterr().out)["$defs"]["Metal"]["properties"]
    target = tmp_path / "boat schema.json"
    assert main(["boat", "schema", "--output", str(target)]) == 0
    assert json.loads(target.read_text(encoding="utf-8"))["title"] == "A boat of the course"


def test_an_unknown_marina_is_one_sentence(capsys):
    assert main(["boat", "check", str(BOAT), "--marina", "lark_watr"]) == 2
    assert "did you mean 'lark_water'?" in capsys.readouterr().err
