"""``wetslip learn --pages``: a learner who sees no code takes a reading, answers, and finds it on disk."""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

sys.path.insert(0, str(Path(__file__).parent))
from axe import findings
from places import exercise_on, own_form

pytestmark = pytest.mark.browser

MODULE = "03_reference_cell"


@pytest.fixture(scope="module")
def pages(
    chromium: Path, start_desk: Callable[..., Any], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Any]:
    """Yield the course as pages, in a folder with spaces and letters outside ASCII."""
    opened = start_desk(tmp_path_factory.mktemp("stron ż 海") / "my course é", "--pages")
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def address(pages) -> str:
    """The address of one module's page."""
    return pages.url_of(f"{MODULE}/{MODULE}.ipynb", "voila/render")


def boat(page: Page) -> Locator:
    scene = (
        exercise_on(page, "03.1").get_by_role("region", name="boat and bench").first
    )  # hers, not one for practice
    expect(scene.locator(".ws-digits")).to_be_visible()
    return scene


def settled(scene: Locator) -> None:
    expect(scene).not_to_have_attribute("aria-busy", "true")


def read_row(pages: Any, kind: str) -> list[dict[str, Any]]:
    path = pages.folder / MODULE / "logbook.jsonl"
    rows = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    return [row for row in rows if row["kind"] == kind]


def test_the_list_of_modules(pages, page_at, shot) -> None:
    page = page_at(pages.url)
    expect(page.get_by_role("heading", level=1)).to_have_text("The modules")
    assert findings(page) == []
    titles = page.locator(".page-modules a").all_inner_texts()
    assert titles[0] == "00 Before you start"
    assert titles == sorted(titles)
    link = page.get_by_role("link", name="03 The reference cell")
    assert link.get_attribute("href") == f"/voila/render/{MODULE}/{MODULE}.ipynb"
    shot(page, "pages_list")


def no_code(page: Page) -> None:
    assert page.title() == "03 The reference cell - Wetslip"
    shown = page.locator("body").inner_text()
    assert "import " not in shown
    assert "Run All" not in shown
    assert "not answered yet" not in shown  # the marks of a page opened a while ago would mislead
    assert page.locator(".jp-InputArea").count() == 0


def take_reading(page: Page, scene: Locator) -> str:
    """Take and record a reading with the keyboard alone, beginning at the top of the page."""
    for label, choice in (("Cell lead in", "COM"), ("Test lead in", "V"), ("Test clip on", "common bonding")):
        scene.get_by_label(label).focus()
        page.keyboard.type(choice)
        settled(scene)
    scene.get_by_role("radio", name="auto V", exact=True).focus()
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowDown")
    expect(scene.get_by_role("radio", name="2 V", exact=True)).to_be_checked()
    settled(scene)
    scene.locator(".ws-cell").focus()
    page.keyboard.press("ArrowDown")
    for _ in range(9):
        page.keyboard.press("ArrowDown")
    expect(scene.locator(".ws-state")).to_have_text("cell at rest")
    settled(scene)
    for _ in range(2):
        scene.get_by_role("button", name="wait 30 minutes").press("Enter")
        settled(scene)
    scene.get_by_role("button", name="Record reading").press("Enter")
    expect(scene.locator(".ws-said")).to_contain_text("Wrote down")
    settled(scene)
    found = re.search(r"-\d\.\d{3}", scene.locator(".ws-said").inner_text())
    assert found
    return found.group()


def another_boat(page: Page, shot: Callable[[Page, str], Path]) -> None:
    """Fetch a boat for practice below the first exercise; she is untouched, and the learner's own stays as she is."""
    practice = page.locator(".ws-practice").first
    practice.get_by_role("button", name="Another boat for practice").press("Enter")
    expect(page.get_by_role("heading", name="03.1 Take the hull potential, practice boat 1")).to_be_visible()
    own, copy = page.locator(".ws-exercise").first, page.locator(".ws-exercise .ws-exercise").first
    expect(copy.locator(".ws-clock")).to_have_text("0 h 00 min")
    expect(own.locator(".ws-clock").first).not_to_have_text("0 h 00 min")
    practice.scroll_into_view_if_needed()
    shot(page, "pages_practice")


SMALL = """[...document.querySelectorAll(
    ".wetslip button, .wetslip select, .wetslip input:not(.ws-unseen), .ws-dial span, .page-top a, summary")]
  .filter((node) => node.offsetParent).map((node) => [node.outerHTML.slice(0, 80), node.getBoundingClientRect()])
  .filter(([, box]) => Math.min(box.width, box.height) < 24).map(([text]) => text)"""


def narrow_and_dark(page: Page, shot: Callable[[Page, str], Path]) -> None:
    """640 px is a page of 1280 px at 200 %; words too pale for their paper would fail axe-core's contrast."""
    page.emulate_media(color_scheme="dark")
    page.set_viewport_size({"width": 640, "height": 900})
    expect(page.locator("body")).to_have_attribute("data-jp-theme-light", "false")
    boat(page).scroll_into_view_if_needed()
    shot(page, "pages_narrow_dark")
    assert findings(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= 640
    assert page.evaluate(SMALL) == []  # WCAG 2.2, 2.5.8 (from memory): 24 by 24 px


def test_a_reading_is_taken_by_keyboard_answered_and_on_disk(pages, page_at, address, shot) -> None:
    page = page_at(address)
    scene = boat(page)
    no_code(page)
    reading = take_reading(page, scene)
    assert [row["display"] for row in read_row(pages, "reading")] == [reading]
    own_form(page, "03.1").get_by_label("Hull potential [mV]").fill(f"{1000 * float(reading):.0f}")
    own_form(page, "03.1").get_by_role("button", name="Check my answer").press("Enter")
    expect(own_form(page, "03.1").locator(".ws-reply")).to_contain_text("of 10 points, try 1")
    answers = (pages.folder / MODULE / "answers.jsonl").read_text(encoding="utf-8").splitlines()
    assert json.loads(answers[0])["exercise"] == "03.1"
    assert findings(page) == []
    shot(page, "pages_answered")
    another_boat(page, shot)
    assert findings(page) == []
    page.reload()  # a new kernel, which picks the slip up from its logbook
    scene = boat(page)
    expect(scene.get_by_label("Test clip on")).to_have_value("common_bonding_point")
    expect(scene.locator(".ws-number")).to_have_text(re.compile(r"^-\d\.\d{3}$"))
    expect(own_form(page, "03.1").get_by_label("Hull potential [mV]")).to_have_value(re.compile(r"^-\d+$"))
    assert scene.locator(".ws-cell").get_attribute("aria-label").endswith("deep")
    expect(page.locator(".ws-practice select").first.locator("option")).to_have_text(["none shown", "boat 1"])
    narrow_and_dark(page, shot)


def test_the_list_and_pages_need_the_token(pages, page_at, watch) -> None:
    page = page_at(f"{pages.base}/pages")
    assert "/login" in page.url
    assert "The modules" not in page.locator("body").inner_text()
    watch.wrong.clear()
