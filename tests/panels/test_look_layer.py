"""The look layer: whole ways of the current from metal to metal, the same in words, and nothing of it unless it is asked for."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from course.boats.personal import draw_plan, seed_for
from course.instruments.slip import Slip
from course.instruments.state import side_m
from course.panels import Bench, Scene
from course.panels.figure.whole import scene_figure


@pytest.fixture(scope="module")
def looked_at(tmp_path_factory: pytest.TempPathFactory) -> Slip:
    plan = draw_plan("hull_potential", "03.1", seed_for("practice", "tests", "speed", "03.1", 0))
    return Slip(plan, tmp_path_factory.mktemp("look"))


def test_each_way_runs_down_the_slope_of_the_water(looked_at: Slip) -> None:
    """By the potential of the engine, not of the map; a hundredth of its spread is left to the map's quarter of a metre."""
    afloat, moment = looked_at._afloat, looked_at.state.moment
    paths = [np.array(path["points"])[1:-1] for path in looked_at.look()["paths"]]
    assert len(paths) >= 8

    def water(points: Any) -> Any:
        places = np.column_stack([points[:, 0], np.full(len(points), side_m(afloat)), -points[:, 1]])
        return afloat.water_potential(moment, places)

    everywhere = np.concatenate([water(path) for path in paths])
    spread = float(everywhere.max() - everywhere.min())
    for path in paths:
        assert np.diff(water(path)).max() < 0.01 * spread
        assert np.hypot(*np.diff(path, axis=0).T).max() < 0.3


def test_ways_begin_at_what_gives_current_and_end_at_what_takes_it(looked_at: Slip) -> None:
    giving = {
        body.place[:1] for body, current in zip(
            looked_at._afloat.bodies(looked_at.state.setting), looked_at.state.moment.solution.current, strict=True
        ) if current > 0
    }  # fmt: skip
    starts = [path["points"][0] for path in looked_at.look()["paths"]]
    near = [min(abs(x - place[0]) for place in giving) for x, _depth in starts]
    assert sum(gap < 0.7 for gap in near) >= 0.6 * len(near)  # drawn oblique: up to 0.4 m along the page


def test_the_words_account_for_every_ampere(looked_at: Slip) -> None:
    """What leaves metal enters metal: charge is kept, over boat, neighbours and dock together."""
    leaves, enters, *_rest = looked_at.look()["words"]
    current = looked_at.state.moment.solution.current
    assert float(current.sum()) == pytest.approx(0.0, abs=1e-9)
    total = 1000 * float(current[current > 0].sum())
    for sentence in (leaves, enters):
        assert float(re.findall(r"in all ([\d.]+) mA", sentence)[0]) == pytest.approx(total, rel=0.006)
        parts = [float(value) for value in re.findall(r"([\d.e-]+) mA(?! between)", sentence)][:-1]
        rest = [float(value) for value in re.findall(r"([\d.e-]+) mA between", sentence)]
        assert sum(parts) + sum(rest) == pytest.approx(total, rel=0.02)  # each is told to three figures


def test_scene_and_figure_say_it_only_while_it_is_shown(looked_at: Slip) -> None:
    closed = Scene(looked_at)
    closed.look(True)
    assert closed.layer == {}
    bench = Bench(looked_at, look=True)
    scene = bench.scene
    assert scene.layer == {}
    scene.look(True)
    said = scene.layer["words"]
    assert bench.text().endswith("\n".join(said))
    assert said[0].startswith("Current leaves metal for the water at ")
    assert scene.words[-len(said) :] == said
    drawn = " ".join(text.get_text() for text in scene_figure(scene.view).axes[0].texts)
    assert "Current leaves metal for the water at" in drawn
    scene.look(False)
    assert scene.layer == {}
    assert said[0] not in scene.words
    assert bench.text() == looked_at.text()


@pytest.mark.browser
def test_the_layer_in_a_page(open_scene: Callable[..., Any], slip: Any) -> None:
    page = open_scene(slip, look=True)
    assert page.locator(".ws-way").count() == 0
    page.get_by_label("Show the potential of the water").check()
    page.wait_for_selector(".wetslip:not([aria-busy])")
    assert page.locator(".ws-way").count() == 2  # a line and its arrow
    assert page.locator(".ws-look-row p").inner_text() == slip.look()["words"][0]
    assert page.locator("details li").last.text_content() == slip.look()["words"][0]
    page.get_by_label("Show the potential of the water").uncheck()
    page.wait_for_function("document.querySelectorAll('.ws-way').length === 0")
