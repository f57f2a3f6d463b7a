"""What a hand feels at the bench, measured in a real Chromium over a real slip.

    pytest tests/benchmarks/test_scene_speed.py --benchmark-enable

The frame rate while the cell is dragged, and the time from a pressed breaker to the redrawn bench with the re-solved
display (kernel and browser in one process here: what Jupyter's own message path adds is not in it). Nothing is asserted of
the times: machines differ. They stand in extra_info; 55 frames a second and 50 ms are what is aimed at.
"""

from __future__ import annotations

import importlib.util
import statistics
import threading
from collections.abc import Iterator
from functools import partial
from http.server import ThreadingHTTPServer
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from course.boats.personal import draw_plan, seed_for
from course.instruments.slip import Slip
from course.panels import Scene

pytestmark = pytest.mark.browser

DRAG = """(frames) => new Promise((done) => {
  const grip = document.querySelector(".ws-cell .ws-grip"), box = grip.getBoundingClientRect(), digits = new Set();
  grip.setPointerCapture = () => {};
  const tell = (kind, dx) => grip.dispatchEvent(new PointerEvent(kind, {
    pointerId: 1, button: 0, bubbles: true, clientX: box.x + box.width / 2 + dx, clientY: box.y + box.height / 2 + 40 }));
  tell("pointerdown", 0);
  let count = 0, start = 0;
  const step = (now) => {
    if (count === 0) start = now;
    tell("pointermove", 150 * Math.sin(count / 20));
    digits.add(document.querySelector(".ws-number").textContent);
    if (count++ < frames) requestAnimationFrame(step);
    else { tell("pointerup", 0); done([frames / ((now - start) / 1000), digits.size]); }
  };
  requestAnimationFrame(step);
})"""
FLIP = """() => new Promise((done) => {
  const button = document.querySelector(".ws-breaker"), word = button.querySelector("b"), was = word.textContent, start = performance.now();
  new MutationObserver((_, watcher) => {
    if (word.textContent === was) return;
    watcher.disconnect();
    requestAnimationFrame(() => done(performance.now() - start));
  }).observe(word, { childList: true, characterData: true, subtree: true });
  button.click();
})"""


@pytest.fixture(scope="module")
def alone() -> ModuleType:
    """Return what serves the scene alone, from the tests of the panels."""
    place = Path(__file__).parents[1] / "panels" / "conftest.py"
    spec = importlib.util.spec_from_file_location("scene_alone", place)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture
def page(browser: Any, alone: ModuleType, tmp_path: Path) -> Iterator[Any]:
    """Yield a page with a real slip's scene, a reading on the display."""
    slip = Slip(
        draw_plan("hull_potential", "03.1", seed_for("practice", "tests", "speed", "03.1", 0)), tmp_path
    )
    for action, args in (
        ("turn_dial", {"position": "2 V"}),
        ("plug", {"lead": "cell lead", "jack": "COM"}),
        ("plug", {"lead": "test lead", "jack": "V"}),
        ("clip", {"point": "common_bonding_point"}),
        ("hang_cell", {"x_m": 5.6, "depth_m": 1.0}),
        ("wait", {"minutes": 30}),
    ):
        slip.act(action, args)
    scene = Scene(slip)

    def kernel(message: Any) -> dict[str, Any]:
        if message is not None:
            scene._on_message(scene, message, [])
        return {"view": scene.view, "words": scene.words, "answered": scene.answered}

    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(alone._Quiet, directory=str(alone.PANELS)))
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    opened = browser.new_page(viewport={"width": 1180, "height": 1000})
    opened.expose_function("kernel", kernel)
    opened.goto(f"http://127.0.0.1:{server.server_port}/")
    opened.wait_for_selector("body[data-ready]")
    yield opened
    opened.close()
    server.shutdown()
    thread.join()
    server.server_close()


def test_frames_while_the_cell_is_dragged(page: Any, benchmark: BenchmarkFixture) -> None:
    rate, shown = benchmark.pedantic(page.evaluate, (DRAG, 120), rounds=1)
    benchmark.extra_info["frames_per_second"] = round(rate, 1)
    assert shown > 2  # the display went along, and nothing was asked of the kernel
    assert page.evaluate("window.sent.length") == 0


def test_from_breaker_to_redraw(page: Any, benchmark: BenchmarkFixture) -> None:
    times = benchmark.pedantic(lambda: [page.evaluate(FLIP) for _ in range(9)], rounds=1)
    benchmark.extra_info["median_ms"] = round(statistics.median(times), 1)
    benchmark.extra_info["slowest_ms"] = round(max(times), 1)
    assert len(page.evaluate("window.sent")) == 9
