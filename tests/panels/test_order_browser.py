"""An order of steps in a real Chromium, by keyboard: what moves, where the focus goes, and what a screen reader is told."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from course.panels import entries
from course.panels.kit.base import style

sys.path.insert(0, str(Path(__file__).parents[1] / "browser"))
from axe import findings

pytestmark = pytest.mark.browser
STEPS = [["off", "Switch all off"], ["one", "Switch one on"], ["read", "Read the meter"]]
MODULE = Path(entries.__file__).with_name("order.js").read_text(encoding="utf-8")
PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>order</title><style>{style}</style></head>
<body data-jp-theme-light="true"><main><h1>order</h1><div class="wetslip ws-form"><div id="order"></div></div></main>
<script type="module">
{module}
const state = {{ label: "The steps in order", steps: {steps}, value: "" }}, heard = {{}};
const model = {{ get: (key) => state[key], save_changes: () => {{}}, off: () => {{}},
  on: (event, listener) => {{ heard[event] = listener; }},
  set: (key, value) => {{ state[key] = value; heard["change:" + key]?.(); }} }};
render({{ model, el: document.getElementById("order") }});
window.state = state;
</script></body></html>"""


@pytest.fixture
def page(browser: Any) -> Iterator[Any]:
    """Yield a page with one order of three steps."""
    opened = browser.new_page(viewport={"width": 700, "height": 500})
    module = MODULE.replace("export default { render };", "")
    opened.set_content(PAGE.format(style=style(), module=module, steps=json.dumps(STEPS)))
    opened.wait_for_selector("li")
    yield opened
    opened.close()


def focused(page: Any) -> str:
    return page.evaluate("document.activeElement.getAttribute('aria-label')")


def test_a_step_moves_by_keyboard_and_takes_the_focus_along(page: Any) -> None:
    names = page.get_by_role("list", name="The steps in order").aria_snapshot()
    for step in ("Switch all off", "Switch one on", "Read the meter"):
        for way in ("up", "down"):
            assert f'button "Move {way}: {step}"' in names
    assert findings(page) == []
    page.get_by_role("button", name="Move up: Read the meter").focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Enter")  # twice is the same step twice, whoever stood there before
    assert page.locator("li span").all_inner_texts() == [
        "1. Read the meter",
        "2. Switch all off",
        "3. Switch one on",
    ]
    assert page.evaluate("state.value") == "read, off, one"
    assert focused(page) == "Move down: Read the meter"  # at the top only down is left
    assert page.get_by_role("status").inner_text() == "Now step 1 of 3: Read the meter"
    assert page.get_by_role("button", name="Move up: Read the meter").is_disabled()
    assert findings(page) == []
