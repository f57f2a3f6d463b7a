"""Every boat of the fleet as the scene draws her: words that can be read, none upon another, nothing wider than the page."""

from __future__ import annotations

import itertools
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from course.boats.datasets import datasets_folder
from course.boats.description import fleet_boat
from course.boats.personal import draw_plan, seed_for
from course.boats.plan import Start
from course.instruments.slip import Slip

pytestmark = pytest.mark.browser

FLEET = sorted(path.stem for path in (datasets_folder() / "boats").glob("*.yaml"))
TEXTS = """[...document.querySelectorAll(".ws-art text")].map((text) => {
  const box = text.getBoundingClientRect();
  return [text.textContent, box.left, box.top, box.right, box.bottom];
})"""


@pytest.mark.parametrize("name", FLEET)
def test_a_boat_is_drawn_with_her_words_apart(
    open_scene: Callable[..., Any], tmp_path: Path, name: str
) -> None:
    plan = draw_plan("hull_potential", "03.1", seed_for("practice", "tests", "fleet", "03.1", 0))
    boat = fleet_boat(name)
    berth = plan.berth.model_copy(update={"depth_m": max(3.0, boat.hull.draft_m + 1.2)})
    slip = Slip(plan.model_copy(update={"boat": boat, "berth": berth, "start": Start()}), tmp_path)
    page = open_scene(slip)
    texts = page.evaluate(TEXTS)
    for (one, ax, ay, ar, ab), (other, bx, by, br, bb) in itertools.combinations(texts, 2):
        assert not (ax < br - 1 and bx < ar - 1 and ay < bb - 4 and by < ab - 4), (one, other)
    drawn = set(
        page.evaluate("[...document.querySelectorAll('[data-part]')].map((part) => part.dataset.part)")
    )
    assert drawn == {part["id"] for part in slip.view()["parts"]}
    assert page.locator(".ws-breaker").count() == len(boat.circuits)
    assert page.evaluate("document.documentElement.scrollWidth") <= 1000
