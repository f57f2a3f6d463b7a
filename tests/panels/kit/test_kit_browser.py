"""The kit in a real Chromium: all nine panels on one page, in both themes, a slider moved by keyboard, axe-core over it all.

The page holds what a panel gives (its HTML values) and its sliders by their own module; lists and boxes are written as ipywidgets
writes them, a label and the browser's own control. What Jupyter puts around is looked at in tests/browser.
"""

from __future__ import annotations

import html
import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import ipywidgets as widgets
import pytest

from course.panels import kit
from course.panels.kit.base import Panel, label_of
from course.panels.kit.slide import Slide

sys.path.insert(0, str(Path(__file__).parents[2] / "browser"))
from axe import findings

pytestmark = pytest.mark.browser
KINDS = [
    kit.MetalChooser, kit.CoupleExplorer, kit.LossCalculator, kit.SeasonPlayer, kit.CreviceExplorer, kit.MarinaView,
    kit.IsolatorExplorer, kit.BondingSurvey, kit.AnodeSizing,
]  # fmt: skip
MODULE = (Path(kit.__file__).parent / "slide.js").read_text(encoding="utf-8")
PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>kit</title></head>
<body data-jp-theme-light="true" style="background: var(--ws-paper)"><main><h1>kit</h1><h2>panels</h2>{panels}</main>
<script type="module">
{module}
const models = {{}};
for (const el of document.querySelectorAll("[data-slide]")) {{
  const state = JSON.parse(el.dataset.slide), heard = {{}}, changed = {{}};
  models[el.id] = {{
    get: (key) => state[key], set: (key, value) => {{ state[key] = changed[key] = value; }},
    on: (event, listener) => (heard[event] ??= []).push(listener), off: () => {{}},
    save_changes: async () => {{
      const told = await window.moved(el.id, state.position);
      for (const [key, value] of Object.entries(told.slide)) {{
        state[key] = value;
        for (const listener of heard["change:" + key] ?? []) listener();
      }}
      for (const [id, text] of Object.entries(told.parts)) document.getElementById(id).innerHTML = text;
    }} }};
  render({{ model: models[el.id], el }});
}}
document.body.dataset.ready = "yes";
</script></body></html>"""
WIDER = """[...document.querySelectorAll(".wetslip")].filter((panel) => panel.scrollWidth > panel.clientWidth + 1)
  .map((panel) => panel.id)"""
# the dark page differs in its colours alone
FAINT = """axe.run(document, { runOnly: ["color-contrast"], resultTypes: ["violations"] })
  .then((found) => [found.passes.length, found.violations.flatMap((one) => one.nodes.map((node) => node.html))])"""


def slide_state(slide: Slide) -> dict[str, Any]:
    return {name: getattr(slide, name) for name in ("label", "steps", "position", "shown", "stride", "last")}


def control_html(control: Any, name: str) -> str:
    label = html.escape(label_of(control))
    if isinstance(control, Slide):
        return f"<div id='{name}' data-slide='{html.escape(json.dumps(slide_state(control)), quote=True)}'></div>"
    if isinstance(control, widgets.Checkbox):
        ticked = " checked" if control.value else ""
        return f"<label class='widget-checkbox'><input type='checkbox'{ticked}><span>{label}</span></label>"
    options = "".join(f"<option>{html.escape(words)}</option>" for words in control._options_labels)
    select = f"<select id='{name}'>{options}</select>"
    return f"<div class='widget-dropdown'><label for='{name}'>{label}</label>{select}</div>"


def parts(panel: Panel[Any]) -> dict[str, str]:
    return {f"{panel.name}-drawing": panel.drawing.value, f"{panel.name}-words": panel.words.value}


def panel_html(panel: Panel[Any]) -> str:
    head, _row, _drawing, _words, terms = panel.children
    controls = "".join(control_html(c, f"{panel.name}-{key}") for key, c in panel.controls.items())
    shown = "".join(f"<div id='{name}'>{text}</div>" for name, text in parts(panel).items())
    return (
        f"<section class='wetslip ws-kit' id='{panel.name}'>{head.value}<div class='ws-controls'>{controls}</div>"
        f"{shown}{terms.value}</section>"
    )


@pytest.fixture(scope="module")
def panels() -> dict[str, Panel[Any]]:
    return {kind.__name__: kind() for kind in KINDS}


@pytest.fixture
def page(browser: Any, panels: dict[str, Panel[Any]]) -> Iterator[Any]:
    """Yield a page with all panels; an uncaught error fails the test."""
    sliders = {f"{p.name}-{key}": (p, c) for p in panels.values() for key, c in p.controls.items()}

    def moved(name: str, position: int) -> dict[str, Any]:
        panel, slide = sliders[name]
        slide.position = position
        return {"slide": slide_state(slide), "parts": parts(panel)}

    opened, wrong = browser.new_page(viewport={"width": 1000, "height": 900}), []
    opened.on("pageerror", lambda error: wrong.append(str(error)))
    opened.expose_function("moved", moved)
    script = MODULE.replace("export default { render };", "")
    opened.set_content(
        PAGE.format(panels="".join(panel_html(panel) for panel in panels.values()), module=script)
    )
    opened.wait_for_selector("body[data-ready]")
    yield opened
    opened.close()
    assert not wrong, "\n".join(wrong)


def test_a_slider_is_moved_by_keyboard_and_nothing_grave_is_found(
    page: Any, panels: dict[str, Panel[Any]]
) -> None:
    assert page.locator(".ws-kit svg").count() >= len(KINDS)
    panel = panels["CoupleExplorer"]
    name, slide = next(
        (key, control) for key, control in panel.controls.items() if isinstance(control, Slide)
    )
    grip = page.locator(f"#{panel.name}-{name} input[type=range]")
    before, said = slide.value, page.locator(f"#{panel.name} [role=status]").inner_text()
    grip.focus()
    for _ in range(8):
        page.keyboard.press("ArrowRight")
    page.wait_for_function(
        "([id, was]) => document.querySelector(`#${id} [role=status]`).innerText !== was",
        arg=[panel.name, said],
    )
    assert slide.value > before
    assert grip.get_attribute("aria-valuetext") == slide.shown
    assert page.evaluate("document.activeElement.type") == "range"
    assert page.evaluate(WIDER) == []
    assert findings(page) == []
    light = page.evaluate("getComputedStyle(document.querySelector('.wetslip')).backgroundColor")
    page.evaluate("document.body.dataset.jpThemeLight = 'false'")
    assert page.evaluate("getComputedStyle(document.querySelector('.wetslip')).backgroundColor") != light
    looked_at, faint = page.evaluate(FAINT)
    assert (looked_at, faint) == (1, [])
