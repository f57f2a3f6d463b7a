"""The panels over the real slip: every act of the scene is one the slip knows, and the map follows the meter."""

from __future__ import annotations

import itertools
import json
from pathlib import Path

import pytest

from course.boats.personal import draw_plan, seed_for
from course.instruments.slip import Slip
from course.panels import Bench, Scene


@pytest.fixture
def real(tmp_path: Path) -> Slip:
    seed = seed_for("practice", "tests", "panels", "03.1", 0)
    return Slip(draw_plan("hull_potential", "03.1", seed), tmp_path)


def test_every_act_of_the_scene_is_one_the_slip_knows(real: Slip) -> None:
    scene = Scene(real)
    view = scene.view
    acts = [
        ("turn_dial", {"position": "2 V"}),
        ("plug", {"lead": "cell lead", "jack": "COM"}),
        ("plug", {"lead": "test lead", "jack": "V"}),
        ("clip", {"point": view["points"][0]["id"]}),
        ("hang_cell", {"x_m": 5.6, "depth_m": 1.0}),
        ("open_link", {"link": view["links"][0]["id"]}),
        ("close_link", {"link": view["links"][0]["id"]}),
        ("lift_anode", {"anode": view["hoists"][0]["id"]}),
        ("lower_anode", {"anode": view["hoists"][0]["id"]}),
        ("breaker", {"circuit": view["breakers"][0]["id"], "closed": False}),
        ("wait", {"minutes": 30}),
        ("record", {}),
        ("note", {"text": "calm", "about": 12}),
        ("lift_cell", {}),
        ("plug", {"lead": "test lead", "jack": None}),
        ("clip", {"point": None}),
    ]
    for number, (action, args) in enumerate(acts, start=1):
        assert scene.act(action, args, f"id-{number}") == ""
        assert len(scene.view["logbook"]) == number
    json.dumps(scene.view, allow_nan=False)
    assert scene.act("turn_dial", {"position": "9 V"}, "id-x") != ""
    assert len(scene.view["logbook"]) == len(acts)


def test_the_map_followed_while_dragging_ends_at_the_reading(real: Slip) -> None:
    """Within 3 mV: the meter's last digit is 1 mV, its noise about another, the map's steps less than one."""
    scene = Scene(real)
    for action, args in (
        ("turn_dial", {"position": "2 V"}),
        ("plug", {"lead": "cell lead", "jack": "COM"}),
        ("plug", {"lead": "test lead", "jack": "V"}),
        ("clip", {"point": "common_bonding_point"}),
        ("hang_cell", {"x_m": 5.6, "depth_m": 1.0}),
        ("wait", {"minutes": 60}),
    ):
        scene.act(action, args)
    for x, depth in itertools.product((-0.9, 1.37, 4.02, 9.9), (0.33, 1.46)):
        drag = scene.view["drag"]
        assert drag["live"]
        (x0, x1), (d0, d1), nx, nz = drag["x_m"], drag["depth_m"], drag["columns"], drag["rows"]
        u, v = (x - x0) / (x1 - x0) * (nx - 1), (depth - d0) / (d1 - d0) * (nz - 1)
        water = sum(
            max(0.0, 1 - abs(u - i)) * max(0.0, 1 - abs(v - j)) * drag["water_mV"][j * nx + i]
            for i, j in itertools.product(range(nx), range(nz))
        )
        followed = drag["sign"] * (drag["base_mV"] - water)
        scene.act("hang_cell", {"x_m": x, "depth_m": depth})
        assert float(scene.view["meter"]["display"]) * 1000 == pytest.approx(followed, abs=3.0)


def test_the_bench_and_its_text_twin(real: Slip) -> None:
    bench = Bench(real)
    assert bench.text() == real.text()
    assert bench.figure().axes
