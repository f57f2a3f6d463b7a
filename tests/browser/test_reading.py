"""From the first page to a recorded, checked reading, in the real JupyterLab, by mouse and by keyboard."""

from __future__ import annotations

import json
import re
import sys
from pathlib import Path

import pytest
from playwright.sync_api import Locator, Page, expect

sys.path.insert(0, str(Path(__file__).parent))
from places import exercise_on, own_form

pytestmark = pytest.mark.browser

MODULE = "03_reference_cell"
MARKS = re.compile(r"\d+(\.\d+)? of 10 points, try \d+")


@pytest.fixture(scope="module")
def module(desk, browser):
    """The folder of module 03 on the desk."""
    return desk.folder / MODULE


def opened(desk, page_at, lab) -> Page:
    page = page_at(desk.url_of(f"{MODULE}/{MODULE}.ipynb"))
    at = lab(page)
    at.wait_open()
    at.run_all()
    assert at.errors() == []
    return page


def boat(page: Page, number: str = "03.1") -> Locator:
    scene = exercise_on(page, number).get_by_role("region", name="boat and bench")
    scene.scroll_into_view_if_needed()
    return scene


def settled(scene: Locator) -> None:
    expect(scene).not_to_have_attribute("aria-busy", "true")


def wire(scene: Locator, cell: str = "COM", test: str = "V") -> None:
    """Plug both leads, turn the dial and clip on, with the controls a keyboard reaches."""
    scene.get_by_label("Cell lead").select_option(cell)
    settled(scene)
    scene.get_by_label("Test lead").select_option(test)
    settled(scene)
    scene.get_by_text("2 V", exact=True).click()
    settled(scene)
    scene.get_by_label("Test clip on").select_option("common_bonding_point")
    settled(scene)


def hang(scene: Locator, x: str, depth: str = "1.00") -> None:
    scene.get_by_role("textbox", name="m forward of the transom").fill(x)
    scene.get_by_role("textbox", name="m deep").fill(depth)
    scene.get_by_role("button", name="Hang it there").click()
    settled(scene)


def digits(scene: Locator) -> str:
    return scene.locator(".ws-digits").inner_text().replace("\n", " ").strip()


def wait(scene: Locator, minutes: int) -> None:
    scene.get_by_role("button", name=f"wait {minutes} minute").click()
    settled(scene)


def record(scene: Locator) -> str:
    scene.get_by_role("button", name="Record reading").click()
    expect(scene.locator(".ws-said")).to_contain_text("Wrote down")
    settled(scene)
    said = re.search(r"-?\d\.\d+", scene.locator(".ws-said").inner_text())
    assert said
    return said.group()


def rows(module, kind: str) -> list[dict]:
    path = module / "logbook.jsonl"
    found = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    return [row for row in found if row["kind"] == kind]


def test_a_learner_takes_a_reading_makes_a_mistake_and_mends_it(desk, page_at, lab, module, shot) -> None:
    page = opened(desk, page_at, lab)
    scene = boat(page)
    shot(page, "module_03_start")
    wire(scene)
    hang(scene, "5.60")
    early = record(scene)
    assert digits(scene).endswith("V")
    own_form(page, "03.1").get_by_label("Hull potential [mV]").fill(f"{1000 * float(early):.0f}")
    own_form(page, "03.1").get_by_role("button", name="Check my answer").click()
    reply = own_form(page, "03.1").locator(".ws-reply")
    expect(reply).to_contain_text("A cell that was dry drifts at first")
    expect(reply).to_contain_text(MARKS)

    wait(scene, 30)
    for place in ("0.80", "10.40", "5.60"):
        hang(scene, place)
        late = record(scene)
    assert float(late) > float(early) + 0.01
    own_form(page, "03.1").get_by_label("Hull potential [mV]").fill(
        f"{1000 * float(late):.0f}".replace("-", "−") + ",0"
    )
    temperature = re.search(r"([\d.]+) °C", scene.inner_text())
    assert temperature
    page.get_by_label("Water temperature [°C]").fill(temperature.group(1).replace(".", ","))
    page.get_by_role("radio", name="sea water", exact=True).check()
    own_form(page, "03.1").get_by_role("button", name="Check my answer").click()
    expect(reply).to_contain_text("10 of 10 points, try 2")
    shot(page, "module_03_right")
    assert len(rows(module, "reading")) == 4
    answers = (module / "answers.jsonl").read_text(encoding="utf-8").splitlines()
    assert sum('"values"' in line for line in answers) == 2  # the rest say how they were marked


def test_the_cell_follows_the_mouse_and_its_last_place_is_what_counts(
    desk, page_at, lab, module, shot
) -> None:
    page = opened(desk, page_at, lab)
    scene = boat(page, "03.2")
    wire(scene)
    hang(scene, "5.60")
    wait(scene, 30)
    before = digits(scene)
    scene.locator(".ws-cell").focus()  # and so on the screen
    scene.locator(".ws-cell").scroll_into_view_if_needed()
    cell = scene.locator(".ws-cell .ws-grip").bounding_box()
    assert cell
    x, y = cell["x"] + cell["width"] / 2, cell["y"] + cell["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 260, y, steps=20)
    assert digits(scene) != before
    shot(page, "module_03_dragging")
    page.mouse.up()
    expect(scene.locator(".ws-state")).to_have_text("cell at rest")
    settled(scene)
    last = [row for row in rows(module, "action") if row["action"] == "hang_cell"][-1]
    assert last["args"]["x_m"] > 6.5
    number = last["n"]
    scene.locator(".ws-cell").focus()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("ArrowLeft")
    expect(scene.locator(".ws-state")).to_have_text("cell moving")
    expect(scene.locator(".ws-state")).to_have_text("cell at rest")
    settled(scene)
    after = [row for row in rows(module, "action") if row["action"] == "hang_cell"][-1]
    assert after["n"] == number + 1
    assert after["args"]["x_m"] == pytest.approx(last["args"]["x_m"] - 0.2, abs=0.011)


def test_a_reopened_page_shows_the_last_state(desk, page_at, lab, module) -> None:
    page = opened(desk, page_at, lab)
    scene = boat(page)
    expect(scene.get_by_label("Test clip on")).to_have_value("common_bonding_point")
    expect(scene.locator(".ws-number")).to_have_text(re.compile(r"^-0\.\d{3}$"))
    expect(own_form(page, "03.1").get_by_label("Hull potential [mV]")).to_have_value(re.compile("−|-"))
    expect(page.locator("body")).to_contain_text("10 of 10 points")


def test_what_cannot_be_read_costs_no_try(desk, page_at, lab, module) -> None:
    page = opened(desk, page_at, lab)
    tries = len((module / "answers.jsonl").read_text(encoding="utf-8").splitlines())
    own_form(page, "03.1").get_by_label("Hull potential [mV]").fill("-0.9 V")
    own_form(page, "03.1").get_by_role("button", name="Check my answer").click()
    expect(own_form(page, "03.1").locator(".ws-reply")).to_contain_text(
        "'-0.9 V' is in V; this field wants mV"
    )
    assert len((module / "answers.jsonl").read_text(encoding="utf-8").splitlines()) == tries
