"""A stand-in for the slip, a recorded view, and the scene alone in a real browser.

example_view.json is a recorded view of an invented boat; every number in it is invented.
"""

from __future__ import annotations

import copy
import http.server
import json
import threading
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

import pytest

HERE = Path(__file__).parent
PANELS = HERE.parents[1] / "course" / "panels"
PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8"><title>scene</title>
<link rel="icon" href="data:,"><link rel="stylesheet" href="scene.css"></head>
<body data-jp-theme-light="true"><main><div id="one"></div></main>
<script type="module">
import scene from "./scene.js";
const state = await window.kernel(null), heard = {};
window.take = take; window.sent = []; window.mode = "alive"; window.delay = 0;
function take(fresh) {
  const same = (key) => JSON.stringify(state[key]) === JSON.stringify(fresh[key]);
  const changed = Object.keys(fresh).filter((key) => !same(key));
  Object.assign(state, fresh);
  for (const key of changed) for (const listener of heard["change:" + key] ?? []) listener();
}
const model = {
  get: (key) => state[key],
  on: (event, listener) => (heard[event] ??= []).push(listener),
  off: (event, listener) => { heard[event] = heard[event].filter((other) => other !== listener); },
  send: (message) => {
    if (window.mode === "dead") throw new Error("the kernel is dead");
    window.sent.push(message);
    if (window.mode === "alive") window.kernel(message).then((fresh) => setTimeout(take, window.delay, fresh));
  },
};
window.listeners = () => Object.values(heard).flat().length;
window.another = (el) => scene.render({ model, el });
window.stop = scene.render({ model, el: document.getElementById("one") });
document.body.dataset.ready = "yes";
</script></body></html>"""


class FakeSlip:
    """The door of a slip over a recorded view: what a panel may rely on, and nothing of a boat behind it."""

    def __init__(self, view: dict[str, Any]) -> None:
        self.now = copy.deepcopy(view)
        self.acts: list[tuple[str, dict[str, Any]]] = []
        self.done: set[str] = set()

    def view(self) -> dict[str, Any]:
        return copy.deepcopy(self.now)

    def text(self) -> str:
        return f"Display: {self.now['meter']['display']} {self.now['meter']['unit']}."

    def look(self) -> dict[str, Any]:
        return {
            "step_mV": 1.0,
            "paths": [{"points": [[2.0, 1.0], [2.4, 1.3], [3.0, 1.2], [3.4, 0.9]]}],
            "words": ["Current leaves metal for the water at the hanging anode, 12 mA; in all 12 mA."],
            "lines": [{"mV": -1.0, "segments": [[2.0, 1.0, 2.2, 1.1], [2.2, 1.1, 2.4, 1.1]]}],
        }

    def refresh(self) -> None:
        self.now["said"] = "looked again"

    def act(self, action: str, args: dict[str, Any], action_id: str | None) -> dict[str, Any]:
        if action_id is not None and action_id in self.done:
            return {}
        change = getattr(self, f"_{action}", None)
        if change is None:
            raise ValueError(f"There is no act {action!r}.")
        change(**args)
        self.acts.append((action, args))
        self.now["said"] = f"Did {action}."
        self._write("reading" if action == "record" else "note" if action == "note" else "action", str(args))
        if action_id is not None:
            self.done.add(action_id)
        return {}

    def _write(self, kind: str, text: str) -> None:
        shown = f"{self.now['meter']['display']} {self.now['meter']['unit']}" if kind == "reading" else ""
        row = {"ordinal": len(self.now["logbook"]) + 1, "minute": self.now["clock"]["minute"], "kind": kind}
        self.now["logbook"].append({**row, "text": text, "display": shown})

    def _item(self, kind: str, thing: str) -> dict[str, Any]:
        return next(item for item in self.now[kind] if item["id"] == thing)

    def _turn_dial(self, position: str) -> None:
        if position not in self.now["meter"]["dials"]:
            raise ValueError(f"The dial has no position {position!r}.")
        self.now["meter"]["dial"] = position

    def _plug(self, lead: str, jack: str | None) -> None:
        if jack is not None and any(other["jack"] == jack for other in self.now["leads"].values()):
            raise ValueError(f"Jack {jack} holds the other lead.")
        self.now["leads"][lead]["jack"] = jack

    def _clip(self, point: str | None) -> None:
        self.now["leads"]["test lead"]["point"] = point

    def _hang_cell(self, x_m: float, depth_m: float) -> None:
        self.now["cell"].update(in_water=True, x_m=x_m, depth_m=depth_m)
        self.now["meter"]["display"] = "-0.899"

    def _lift_cell(self) -> None:
        self.now["cell"]["in_water"] = False

    def _open_link(self, link: str) -> None:
        self._item("links", link)["open"] = True

    def _close_link(self, link: str) -> None:
        self._item("links", link)["open"] = False

    def _lift_anode(self, anode: str) -> None:
        for kind in ("hoists", "parts"):
            self._item(kind, anode)["lowered"] = False
        self._item("parts", anode)["in_water"] = False

    def _lower_anode(self, anode: str) -> None:
        for kind in ("hoists", "parts"):
            self._item(kind, anode)["lowered"] = True
        self._item("parts", anode)["in_water"] = True

    def _breaker(self, circuit: str, closed: bool) -> None:
        self._item("breakers", circuit)["closed"] = closed

    def _wait(self, minutes: int) -> None:
        self.now["clock"]["minute"] += minutes
        self.now["clock"]["text"] = f"{self.now['clock']['minute']} min"

    def _record(self) -> None:
        pass

    def _note(self, text: str, about: int | None) -> None:
        pass


@pytest.fixture(scope="session")
def recorded_view() -> dict[str, Any]:
    return json.loads((HERE / "example_view.json").read_text(encoding="utf-8"))


@pytest.fixture
def view(recorded_view: dict[str, Any]) -> dict[str, Any]:
    return copy.deepcopy(recorded_view)


@pytest.fixture
def slip(view: dict[str, Any]) -> FakeSlip:
    return FakeSlip(view)


def synced(scene: Any) -> dict[str, Any]:
    """Return what a page has of a scene: the traits that are sent to it."""
    names = ("still", "moving", "drag", "layer", "words", "answered", "look_allowed")
    return {name: getattr(scene, name) for name in names}


class _Quiet(http.server.SimpleHTTPRequestHandler):
    extensions_map = {**http.server.SimpleHTTPRequestHandler.extensions_map, ".js": "text/javascript"}  # noqa: RUF012

    def do_GET(self) -> None:
        if self.path != "/":
            super().do_GET()
            return
        body = PAGE.encode("utf-8")
        self.send_response(200)
        self.send_header("Content-Type", "text/html; charset=utf-8")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *args: object) -> None:
        pass


@pytest.fixture(scope="module")
def served() -> Iterator[str]:
    """Serve the scene's own files and one page on loopback."""
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), partial(_Quiet, directory=str(PANELS)))
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    thread.join()
    server.server_close()


@pytest.fixture
def open_scene(browser: Any, served: str) -> Iterator[Callable[..., Any]]:
    """Yield a function that shows a slip's scene in a page; a failed request or an uncaught error fails the test."""
    from course.panels.scene import Scene

    wrong: list[str] = []
    contexts = []

    def show(slip: FakeSlip, **options: Any) -> Any:
        scene = Scene(slip, look_allowed=options.pop("look", False))

        def kernel(message: Any) -> dict[str, Any]:
            if message is not None:
                scene._on_message(scene, message, [])
            return synced(scene)

        before = options.pop("before", None)
        context = browser.new_context(**({"viewport": {"width": 1000, "height": 900}} | options))
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(30_000)
        page.on("pageerror", lambda error: wrong.append(f"an uncaught error: {error}"))
        page.on(
            "requestfailed",
            lambda request: wrong.append(f"a failed request: {request.url}: {request.failure}"),
        )
        page.on(
            "response",
            lambda answer: wrong.append(f"{answer.status} {answer.url}") if answer.status >= 400 else None,
        )
        page.expose_function("kernel", kernel)
        if before is not None:
            before(page)
        page.goto(served)
        page.wait_for_selector("body[data-ready]")
        return page

    yield show
    for context in contexts:
        context.close()
    assert not wrong, "\n".join(wrong)
