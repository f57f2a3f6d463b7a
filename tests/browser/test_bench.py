"""The bench in the real JupyterLab and Notebook: one server, one boat, and what can happen to a page while one works at it.

The tests go on where the one before stopped, on one open page, because opening it is most of their time.
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import nbformat
import psutil
import pytest
from playwright.sync_api import Locator, Page, expect

sys.path.insert(0, str(Path(__file__).parent))
from axe import findings

pytestmark = pytest.mark.browser

MODULE = "03_reference_cell"
PAPER = "getComputedStyle(document.querySelector('.wetslip')).backgroundColor"


def small_notebook(folder: Path, name: str) -> str:
    """Write a page of one boat into the module's folder, folded as the course's own are; return its path."""
    cell = nbformat.v4.new_code_cell("from course import exercise\nexercise('03.1')")
    cell.metadata["jupyter"] = {"source_hidden": True}
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3 (ipykernel)", "language": "python"}}
    nbformat.write(nbformat.v4.new_notebook(cells=[cell], metadata=kernel), folder / MODULE / name)
    return f"{MODULE}/{name}"


class Bench:
    """One boat on an open page, and the rows her logbook holds on disk."""

    def __init__(self, page: Page, folder: Path) -> None:
        self.page, self.folder = page, folder

    @property
    def scene(self) -> Locator:
        return self.page.get_by_role("region", name="boat and bench").first

    def settled(self) -> None:
        expect(self.scene).not_to_have_attribute("aria-busy", "true")

    def press(self, name: str | re.Pattern[str]) -> None:
        self.scene.get_by_role("button", name=name).first.click()
        self.settled()

    def rows(self) -> list[dict[str, Any]]:
        path = self.folder / MODULE / "logbook.jsonl"
        return [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]


@pytest.fixture(scope="module")
def one_page(desk: Any, browser: Any) -> Iterator[Any]:
    """Yield the page all tests share, its watch, and the small notebook in it."""
    from conftest import PATIENCE_MS, Lab, Watch  # the fixtures there live no longer than a test

    context, watch = browser.new_context(viewport={"width": 1280, "height": 900}), Watch()
    page = context.new_page()
    page.set_default_timeout(PATIENCE_MS)
    watch.follow(page)
    watch.asked[page] = desk.url_of(small_notebook(desk.folder, "one.ipynb"))
    page.goto(watch.asked[page])
    lab = Lab(page, watch)
    lab.wait_open()
    lab.run_all()
    assert lab.errors() == []
    yield lab
    wrong = list(watch.wrong)
    context.close()
    assert not wrong, "\n".join(wrong)


@pytest.fixture
def bench(desk: Any, one_page: Any) -> Bench:
    found = Bench(one_page.page, desk.folder)
    found.scene.scroll_into_view_if_needed()
    return found


def test_breakers_and_clamp_and_a_second_meter(bench: Bench, shot: Any) -> None:
    breaker = bench.scene.locator(".ws-breaker").first
    expect(breaker).to_contain_text("on")
    breaker.click()
    bench.settled()
    expect(breaker).to_contain_text("off")
    bench.press("Close it round this one")
    expect(bench.scene.locator(".ws-clamp p")).to_contain_text("Its jaw is round the bonding conductor")
    bench.press("Record clamp")
    row = bench.rows()[-1]
    assert row["kind"] == "reading"
    expect(bench.scene.locator(".ws-said")).to_contain_text(row["display"])
    meter = bench.scene.get_by_label("Meter", exact=True)
    meter.focus()
    bench.page.keyboard.type("analogue")
    bench.settled()
    expect(bench.scene.locator(".ws-analogue")).to_be_visible()
    focused = "document.activeElement.id.endsWith('-meter')"
    assert bench.page.evaluate(focused)  # the bench was built anew, and the keyboard kept its place
    expect(bench.page.locator(".jp-NotebookPanel:visible .jp-Cell")).to_have_count(
        1
    )  # "a" in Lab inserts a cell
    bench.page.keyboard.press("ArrowUp")
    bench.settled()
    expect(bench.scene.locator(".ws-analogue")).to_have_count(0)
    shot(bench.page, "lab_bench")


def test_axe_finds_nothing_grave_and_the_theme_is_followed(bench: Bench, shot: Any) -> None:
    assert findings(bench.page, ".wetslip") == []
    light = bench.page.evaluate(PAPER)
    bench.page.get_by_role("menuitem", name="Settings", exact=True).click()
    for entry in ("Theme", "JupyterLab Dark"):
        bench.page.locator(".lm-Menu-item", has_text=re.compile(f"^{entry}$")).click()
    expect(bench.page.locator("body")).to_have_attribute("data-jp-theme-light", "false")
    assert bench.page.evaluate(PAPER) != light
    assert findings(bench.page, ".wetslip") == []
    shot(bench.page, "lab_dark")


def kernel_processes(desk: Any) -> list[psutil.Process]:
    """Return the kernels this desk's own server started."""
    found = []
    for one in psutil.Process(desk.process.pid).children(recursive=True):
        try:
            found += [one] if any("ipykernel_launcher" in word for word in one.cmdline()) else []
        except psutil.NoSuchProcess:  # gone since, or dead and not yet buried
            continue
    return found


def test_a_kernel_killed_in_the_middle_loses_nothing(desk: Any, one_page: Any, bench: Bench) -> None:
    bench.press("wait 10 minutes")
    before = bench.rows()
    clock = bench.scene.locator(".ws-clock").inner_text()
    (kernel,) = kernel_processes(desk)
    kernel.kill()
    kernel.wait(30)
    bench.page.locator(".jp-Dialog button.jp-mod-accept").click()  # Lab says that it starts another
    bench.scene.get_by_role("button", name="Record reading").click()
    expect(bench.scene.locator(".ws-said")).to_contain_text("The kernel does not answer")
    assert bench.rows() == before
    one_page.wait_idle()
    one_page.run_all()
    expect(bench.scene.locator(".ws-clock")).to_have_text(clock)
    expect(bench.scene.locator(".ws-breaker").first).to_contain_text("off")
    bench.press("wait 1 minute")
    after = bench.rows()
    assert after[:-1] == before
    assert after[-1]["n"] == before[-1]["n"] + 1


def test_two_notebooks_on_one_slip_and_the_plainer_notebook_is_folded(
    desk: Any, bench: Bench, page_at: Any, lab: Any, shot: Any
) -> None:
    page = page_at(desk.url_of(small_notebook(desk.folder, "two.ipynb"), "notebooks"))
    plain = lab(page)
    plain.wait_open()
    expect(page.locator(".jp-CodeCell .jp-Placeholder").first).to_be_visible()
    assert page.locator(".jp-CodeCell .jp-InputArea-editor:visible").count() == 0
    plain.run_all()
    other = Bench(page, desk.folder)
    expect(other.scene.locator(".ws-breaker").first).to_contain_text("off")
    assert findings(page, ".wetslip") == []
    assert len(kernel_processes(desk)) == 2
    start = len(bench.rows())
    for turn in range(2):
        bench.press("wait 1 minute")
        other.press("wait 10 minutes")
        expect(other.scene.locator("[aria-live=polite]")).to_contain_text(f"{start + 2 * turn + 2} rows")
    bench.press("Record reading")
    rows = bench.rows()
    assert len(rows) == start + 5
    assert [row["n"] for row in rows] == list(range(1, len(rows) + 1))
    expect(bench.scene.locator("[aria-live=polite]")).to_contain_text(f"{start + 5} rows")
    shot(page, "notebook_7")
