"""The slip as plain data: whole, JSON-safe, and the dragged display agrees with the one at rest."""

from __future__ import annotations

import json

import numpy as np
import pytest
from scipy.interpolate import RegularGridInterpolator


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
