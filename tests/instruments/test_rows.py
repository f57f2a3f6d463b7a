"""The format of the logbook: its schema, its version, and the table that other programs read."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import jsonschema
import pytest

import course.instruments
from course.boats.afloat import Afloat
from course.instruments.export import COLUMNS, safe_cell
from course.instruments.fold import ACTS
from course.instruments.logbook import VERSION
from course.instruments.replay import replay
from course.instruments.slip import Slip
from course.instruments.state import SlipError

SCHEMA = json.loads(
    (Path(course.instruments.__file__).parent / "logbook.schema.json").read_text(encoding="utf-8")
)
CHECK = jsonschema.Draft202012Validator(SCHEMA)


def busy(slip):
    """One of every kind of row."""
    slip.plug("cell lead", "COM")
    slip.plug("test lead", "V")
    slip.clip("common_bonding_point", scraped=True)
    slip.turn_dial("auto V")
    slip.record()
    slip.hang_cell(3.0, 0.8)
    slip.record()
    slip.dip_probe()
    slip.plug("long lead", "COM")
    slip.plug("test lead", "A")
    slip.clip("battery_negative", lead="long lead")
    slip.clip("battery_positive")
    slip.take_meter("analogue")
    slip.turn_dial("10 V")
    slip.record()
    slip.close_clamp(["shore_earth"], arrow="backward")
    slip.zero_clamp()
    slip.record("clamp")
    slip.record("thermometer")
    slip.record("conductivity meter")
    slip.note("=HYPERLINK(1)", about=5)
    slip.mend("fridge")
    return slip


def test_every_row_keeps_to_the_schema(bench):
    slip = busy(bench())
    for row in slip.rows:
        CHECK.validate(row)
    assert {row["kind"] for row in slip.rows} == {"action", "reading", "note"}


def test_the_schema_knows_every_act_and_the_version():
    jsonschema.Draft202012Validator.check_schema(SCHEMA)
    assert SCHEMA["$defs"]["version"]["const"] == VERSION
    acts = SCHEMA["$defs"]["action"]["properties"]["action"]["enum"]
    assert {*acts, "record"} == set(ACTS)


@pytest.mark.parametrize(
    "change",
    [
        {"v": 1},
        {"n": 0},
        {"minute": -1},
        {"slip": "x"},
        {"action": "jump"},
        {"more": 1},
        {"args": None},
        {"at": "now"},
    ],
)
def test_the_schema_refuses_what_is_no_row(bench, change):
    slip = bench()
    slip.wait(5)
    with pytest.raises(jsonschema.ValidationError):
        CHECK.validate({**slip.rows[0], **change})


def test_rows_of_an_earlier_version_are_kept_said_and_not_taken_for_readings(bench):
    slip = busy(bench())
    old = "".join(json.dumps({**row, "v": 1}) + "\n" for row in slip.rows)
    slip.path.write_text(old, encoding="utf-8")
    again = Slip(slip.plan, slip.path.parent)
    said = again.view()["said"]
    assert "rows of version 1; this course writes version 2" in said
    assert said.count(".") == 1
    again.wait(1)
    assert slip.path.read_text(encoding="utf-8").startswith(old)
    found = replay(Afloat(slip.plan), again.rows)
    assert "has version 1" in found.problems[0]
    assert not any(reading.replays for reading in found.readings)


def test_the_table_has_a_line_a_row_and_no_formula(bench, tmp_path):
    slip = busy(bench())
    path = slip.export_csv(tmp_path / "logbook.csv")
    lines = list(csv.reader(path.read_text(encoding="utf-8-sig").splitlines()))
    assert tuple(lines[0]) == COLUMNS
    assert len(lines) == 1 + len(slip.rows)
    note = next(line for line in lines if line[COLUMNS.index("kind")] == "note")
    assert note[COLUMNS.index("about row")] == "5"
    assert note[COLUMNS.index("text")] == "Note on row 5: =HYPERLINK(1)"
    reading = [line for line in lines[1:] if line[COLUMNS.index("kind")] == "reading"][1]
    assert float(reading[COLUMNS.index("display")]) < 0  # a negative number stays a number
    assert not any(cell[:1] in "=@" for line in lines for cell in line if cell)


@pytest.mark.parametrize(
    ("value", "cell"),
    [
        ("=1+1", "'=1+1"), ("+cmd", "'+cmd"), ("-2+3", "'-2+3"), ("@SUM(A1)", "'@SUM(A1)"), ("\tx", "'\tx"), ("-0.904", "-0.904"),
        ("+3", "+3"), ("2 V", "2 V"), (None, ""), (True, "True"), (-5, "-5"), ("", ""), ("-", "'-"),
    ],
)  # fmt: skip
def test_a_cell_is_made_safe(value, cell):
    assert safe_cell(value) == cell


def test_a_table_that_cannot_be_written_is_one_sentence(bench, tmp_path):
    with pytest.raises(SlipError, match=r"The table .* cannot be written \(Is a directory\)"):
        bench().export_csv(tmp_path)
