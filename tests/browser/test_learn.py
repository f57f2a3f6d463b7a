"""``wetslip learn`` brings a learner to the first page, and nothing stands before it."""

from __future__ import annotations

import nbformat
import pytest
from playwright.sync_api import expect

from course.desk import FIRST_PAGE

pytestmark = pytest.mark.browser

QUIET_MS = 4000  # a notice of news or of an update comes within this, where it is not switched off
SMALL_PAGE = "own pages ż/slider.ipynb"
AT_ONCE = """AbortSignal.timeout = () => {
  const giving_up = new AbortController();
  queueMicrotask(() => giving_up.abort());
  return giving_up.signal;
}"""  # anywidget's two seconds, over before any module is loaded


@pytest.fixture(scope="module")
def small_page(desk) -> str:
    """A page of the learner's own, with a slider after some work, in a folder with a space and a letter."""
    cells = [
        nbformat.v4.new_markdown_cell("# A page of my own"),
        nbformat.v4.new_code_cell("import time\ntime.sleep(1)\nprint('worked', 6 * 7)"),
        nbformat.v4.new_code_cell("import ipywidgets\nipywidgets.IntSlider(description='depth', value=3)"),
        nbformat.v4.new_code_cell(
            "from course.panels.kit.slide import Slide\nSlide('length', 3, 0, 10, 'm')"
        ),
    ]
    path = desk.folder / SMALL_PAGE
    path.parent.mkdir()
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3 (ipykernel)", "language": "python"}}
    nbformat.write(nbformat.v4.new_notebook(cells=cells, metadata=kernel), path)
    return SMALL_PAGE


def test_the_first_page_opens_and_nothing_pops_up(desk, page_at, lab, shot) -> None:
    page = page_at(desk.url)
    opened = lab(page)
    opened.wait_open()
    page.wait_for_timeout(QUIET_MS)
    assert opened.popups() == []
    expect(page.locator("#jp-main-dock-panel .lm-mod-current .lm-TabBar-tabLabel")).to_have_text(
        FIRST_PAGE.rpartition("/")[2]
    )
    assert shot(page, "first_page").stat().st_size > 10_000


def test_the_plainer_notebook_opens_too(desk, page_at, lab, shot) -> None:
    page = page_at(desk.url_of(FIRST_PAGE, "notebooks"))
    opened = lab(page)
    opened.wait_open()
    page.wait_for_timeout(QUIET_MS)
    assert opened.popups() == []
    shot(page, "first_page_notebook")


def test_a_page_runs_and_shows_a_control(desk, page_at, lab, small_page, shot) -> None:
    page = page_at(desk.url_of(small_page))
    opened = lab(page)
    opened.wait_open()
    opened.run_all()
    expect(page.locator(".jp-OutputArea-output", has_text="worked 42")).to_be_visible()
    expect(page.locator(".widget-slider")).to_be_visible()
    assert opened.errors() == []
    assert opened.popups() == []
    shot(page, "small_page")
    _keys_go_to_what_has_the_focus(page)


def _keys_go_to_what_has_the_focus(page) -> None:
    """An arrow moves the slider, not the cells of JupyterLab; a letter puts in no cell and deletes none."""
    cells = page.locator(".jp-NotebookPanel:visible .jp-Notebook-cell")
    before = cells.count()
    handle = page.locator(".widget-slider [role=slider]")
    handle.focus()
    for key in ("ArrowRight", "a", "d", "d", "ArrowLeft", "ArrowRight", "ArrowUp"):
        page.keyboard.press(key)
    expect(page.locator(".widget-readout")).to_have_text("5")
    expect(cells).to_have_count(before)


def test_a_widget_that_was_slow_to_start_hears_the_kernel(desk, page_at, watch, lab, small_page) -> None:
    page = page_at(f"{desk.base}/login")
    page.add_init_script(AT_ONCE)
    watch.asked[page] = desk.url_of(small_page)
    page.goto(watch.asked[page])
    opened = lab(page)
    opened.wait_open()
    opened.run_all()
    page.get_by_role("slider", name="length").press("ArrowRight")
    expect(page.locator(".ws-slide output")).to_have_text("3.1 m")


def test_a_failed_request_is_seen(desk, page_at, watch) -> None:
    page = page_at(f"{desk.base}/login")
    page.evaluate("fetch('/no/such/page').then(answer => answer.text())")
    page.wait_for_timeout(500)
    assert any("/no/such/page: 404" in wrong for wrong in watch.wrong)
    watch.wrong.clear()


def test_no_name_but_this_machine_s_is_looked_up(desk, page_at, watch) -> None:
    page = page_at(f"{desk.base}/login")
    told = page.evaluate("fetch('https://example.org/', {mode: 'no-cors'}).then(() => 'reached', String)")
    assert "reached" not in told
    page.wait_for_timeout(500)
    assert any("leaves this machine: https://example.org/" in wrong for wrong in watch.wrong)
    watch.wrong.clear()
