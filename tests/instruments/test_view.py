"""The slip as plain data: whole, JSON-safe, and the dragged display agrees with the one at rest."""

from __future__ import annotations

import json

import numpy as np
import pytest
from scipy.interpolate import RegularGridInterpolator

from course.boats.afloat import Afloat
from course.boats.faults import candidates
from course.instruments.points import clip_points
from course.instruments.state import side_m
from course.instruments.words import labels, reading_names


def test_the_view_is_json_and_says_where_everything_is(wired):
    view = json.loads(json.dumps(wired.view(), allow_nan=False))
    assert view["meter"]["display"] == wired.display.split()[0]
    assert view["leads"]["test lead"] == {"jack": "V", "point": "common_bonding_point"}
    assert {part["id"] for part in view["parts"]} >= {"propeller_port", "hanging_anode", "engine_port"}
    assert [link["id"] for link in view["links"]] == ["hull_anode_lead"]
    assert [hoist["lowered"] for hoist in view["hoists"]] == [True]


def test_the_view_tells_no_potential_of_a_metal_and_no_alloy_of_an_anode(wired):
    view = wired.view()
    assert {part["metal"] for part in view["parts"] if part["anode"]} == {"alloy not marked"}
    text = json.dumps({key: value for key, value in view.items() if key != "drag"})
    assert "polarisation" not in text
    assert wired.plan.seed not in text


@pytest.mark.parametrize("place", [(0.7, 0.6), (5.6, 1.0), (9.9, 1.4)])
def test_the_map_a_dragged_cell_follows_agrees_with_the_kernel(wired, place):
    view = wired.view()
    drag = view["drag"]
    x = np.linspace(*drag["x_m"], drag["columns"])
    depth = np.linspace(*drag["depth_m"], drag["rows"])
    water = RegularGridInterpolator(
        (depth, x), np.array(drag["water_mV"]).reshape(drag["rows"], drag["columns"])
    )
    dragged = drag["sign"] * (drag["base_mV"] - float(water((place[1], place[0]))[()]))
    wired.hang_cell(*place)
    assert 1000 * float(wired.display.split()[0]) == pytest.approx(
        dragged, abs=4.0
    )  # noise, a digit, a minute's settling


def test_everything_the_scene_shows_can_be_read_as_text(wired):
    wired.open_link("hull_anode_lead")
    wired.lift_anode("hanging_anode")
    wired.breaker("radio", closed=False)
    text = wired.text()
    for words in (
        "Marsh Lantern",
        "its clip on the common bonding point",
        "5.60 m forward of the transom, 1.00 m deep",
        "Inside lead of the hull anode: open.",
        "Hanging anode: lifted out.",
        "VHF radio: off.",
        "Meter: dial at 2 V, display -",
    ):
        assert words in text


def test_the_view_of_a_whole_bench_is_json_and_has_everything_the_scene_draws(bench):
    slip = bench()
    slip.close_clamp("bond_engine")
    view = json.loads(json.dumps(slip.view(), allow_nan=False))
    assert set(view["leads"]) == {"cell lead", "test lead", "long lead", "bilge probe"}
    assert view["clamp"]["around"] == ["bond_engine"]
    assert {item["id"] for item in view["clampable"]} >= {"bond_engine", "positive:fridge", "shore_earth"}
    assert all({"label", "x_m", "y_m", "height_m"} <= set(item) for item in view["clampable"])
    assert view["battery"]["on"] is True
    assert view["shore"] == {
        "arrangement": "isolator",
        "plugged": False,
        "x_m": 1.0,
        "y_m": 1.0,
        "height_m": 0.7,
    }
    assert view["bilge"]["water"] == "damp"
    assert {"load_A", "breaker_A", "feed", "tripped"} <= set(view["breakers"][0])
    assert view["cells"][0]["id"] == view["cell"]["kind"]
    assert view["neighbours"] == [
        {"id": "ketch", "label": "the steel ketch in the next berth", "x_m": 2.0, "y_m": -6.0}
    ]
    assert view["look"] is None
    assert {"isolator_boat", "isolator_shore"} <= {point["id"] for point in view["points"]}


def test_no_fault_can_be_told_from_the_view_of_an_idle_bench(bench, tern):
    """Seen aboard: what hangs over the side, the bilge, what trips; nothing else differs whatever is wrong."""
    seen = {"slip", "bilge"}
    plain = {key: value for key, value in bench().view().items() if key not in seen}
    tried = 0
    for fault in candidates(tern):
        if fault.kind in ("too_much_magnesium",) or fault.id.endswith(":bonded"):
            continue
        view = {key: value for key, value in bench(fault).view().items() if key not in seen}
        assert view == plain, fault.id
        tried += 1
    assert tried > 25


def test_the_water_leaves_the_view_only_through_a_whole_circuit(wired):
    assert wired.view()["drag"]["live"] is True
    for undo, redo in (
        (lambda: wired.clip(None), lambda: wired.clip("common_bonding_point")),
        (lambda: wired.turn_dial("off"), lambda: wired.turn_dial("2 V")),
        (lambda: wired.plug("cell lead", None), lambda: wired.plug("cell lead", "COM")),
        (lambda: wired.turn_dial("200 ohm"), lambda: wired.turn_dial("2 V")),
        (lambda: wired.clip("rail_foot"), lambda: wired.clip("common_bonding_point")),
    ):
        undo()
        drag = wired.view()["drag"]
        assert (drag["live"], drag["water_mV"], drag["base_mV"]) == (False, [], 0.0)
        redo()
        assert wired.view()["drag"]["live"] is True


def test_the_long_lead_drags_as_the_test_lead_does(wired):
    base = wired.view()["drag"]["base_mV"]
    wired.plug("test lead", None)
    wired.plug("long lead", "V")
    wired.clip("common_bonding_point", lead="long lead")
    assert wired.view()["drag"]["base_mV"] == pytest.approx(base, abs=0.2)


def test_lines_of_equal_potential_lie_where_the_water_has_it(bench):
    """Within a step: the grid is a quarter of a metre, and the hanging anode is close by."""
    slip = bench()
    afloat = Afloat(slip.plan)
    found = slip.look()
    lines = [line for line in found["lines"] if line["segments"]]
    assert len(lines) >= 4
    for line in lines:
        x, depth = line["segments"][len(line["segments"]) // 2][:2]
        water = afloat.water_potential(slip.state.moment, np.array([[x, side_m(afloat), -depth]]))
        assert 1000 * float(water[0]) == pytest.approx(line["mV"], abs=found["step_mV"])
    assert slip.rows == ()


def test_all_words_of_a_whole_bench(bench):
    slip = bench()
    slip.take_meter("analogue")
    slip.turn_dial("2.5 V")
    slip.close_clamp(["positive:fridge", "negative:fridge"], arrow="backward")
    slip.dip_probe()
    slip.battery_switch(False)
    text = slip.text()
    for words in (
        "Analogue meter: dial at 2.5 V, needle at 0 % of full scale",
        "Clamp around the positive of the refrigerator and the negative of the refrigerator, arrow towards the panel, display",
        "Bilge probe not plugged in, standing in the bilge.",
        "Battery switch of the house battery: off.",
        "Shore lead: unplugged at both ends; a galvanic isolator aboard.",
        "Cells in the box: ",
        "Neighbour: the steel ketch in the next berth.",
        "A clip can bite at the engine block: painted.",
    ):
        assert words in text


def test_a_reading_names_wires_and_points_as_everything_else_does(plan):
    afloat = Afloat(plan)
    named, every = reading_names(afloat), labels(afloat)
    assert named.keys() >= {point.id for point in clip_points(plan.boat)}
    assert named.keys() >= {name for name, _ in afloat.clampable()}
    assert {name: every[name] for name in named} == named
