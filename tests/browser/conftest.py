"""A real Chromium in front of the real ``wetslip learn``.

For other test files: `desk` is a running course on a fresh folder; `page_at(url)` opens a page in which a
failed request, an uncaught error or a request that leaves this machine fails the test; `lab(page)` does what
a learner does; `shot(page, name)` takes a screenshot.
"""

from __future__ import annotations

import os
import re
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

import pytest
from playwright.sync_api import Browser, Page, Request, Response, WebSocket, expect

PATIENCE_MS = 90_000  # for a shared machine with two cores; it says nothing about speed
expect.set_options(timeout=PATIENCE_MS)

# A request that may fail: a pattern for "method address", and the reason.
MAY_FAIL: dict[str, str] = {}

# The browser itself no longer wants it: a tab's icon, which JupyterLab swaps while a kernel is busy, or what a
# reload cuts off. A server that fails gives another reason.
DROPPED = "net::ERR_ABORTED"

# An uncaught error that may be: a pattern, and the reason.
MAY_ERR = {
    r"Cannot read properties of undefined \(reading 'schema'\)": "Notebook 7.6 by itself, also without our settings",
    r"\[anywidget\] Failed to initialize model": "anywidget's two seconds were not enough; course/panels/hearing.py",
    r"Command 'filebrowser:open-path' not registered": "a race in the start of Notebook 7.6 itself, seen once",
}

# Tells when a run begins: till then all is idle, and a notebook that was saved has the outputs of its last run. A cell
# that waits shows it, or, where its code is folded away, only the kernel does.
BEGUN = """() => {
  window.begun = false;
  const look = (_, watching) => {
    const waits = [...document.querySelectorAll(".jp-InputPrompt")].some((prompt) => prompt.textContent.includes("[*]"));
    if (!waits && !document.querySelector('.jp-Notebook-ExecutionIndicator[data-status="busy"]')) return;
    window.begun = true;
    watching.disconnect();
  };
  const all = { subtree: true, childList: true, characterData: true, attributes: true };
  new MutationObserver(look).observe(document.body, all);
}"""

SHOWN_DIALOG = ".jp-Dialog"
SHOWN_NOTICE = ".Toastify__toast"


@pytest.fixture(scope="module")
def desk(
    chromium: Path, start_desk: Callable[..., Any], tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Any]:
    """Yield a course (a `Desk` of tests/conftest.py), in a folder with spaces and letters outside ASCII."""
    opened = start_desk(tmp_path_factory.mktemp("kurs żeglarza 海") / "my course é")
    yield opened
    opened.close()


@dataclass
class Watch:
    """What went wrong in a page while it was open, and its live connections to kernels."""

    wrong: list[str] = field(default_factory=list)
    kernels: list[tuple[Page, WebSocket]] = field(default_factory=list)
    asked: dict[Page, str] = field(default_factory=dict)

    def follow(self, page: Page) -> None:
        """Listen to a page."""
        page.on("request", self._asked)
        page.on("requestfailed", self._failed)
        page.on("response", self._answered)
        page.on("pageerror", self._erred)
        page.on("websocket", lambda opened: self._connected(page, opened))

    def connections(self, page: Page) -> int:
        """Return how many kernels a page is connected to."""
        return sum(owner is page and not opened.is_closed() for owner, opened in self.kernels)

    def _connected(self, page: Page, opened: WebSocket) -> None:
        if "/api/kernels/" in opened.url:
            self.kernels.append((page, opened))

    def _erred(self, error: Exception) -> None:
        if not any(re.search(pattern, str(error)) for pattern in MAY_ERR):
            self.wrong.append(f"an uncaught error: {error}")

    def _asked(self, request: Request) -> None:
        parts = urlsplit(request.url)
        if parts.scheme not in ("data", "blob") and parts.hostname not in ("127.0.0.1", "localhost"):
            self.wrong.append(f"a request that leaves this machine: {request.url}")

    def _failed(self, request: Request) -> None:
        if request.failure != DROPPED:
            self._note(request, request.failure or "no reason given")

    def _answered(self, response: Response) -> None:
        if response.status >= 400:
            self._note(response.request, str(response.status))

    def _note(self, request: Request, why: str) -> None:
        what = f"{request.method} {request.url}"
        if not any(re.search(pattern, what) for pattern in MAY_FAIL):
            self.wrong.append(f"a failed request: {what}: {why}")


@pytest.fixture
def watch() -> Watch:
    """Return what `page_at` saw go wrong so far."""
    return Watch()


@pytest.fixture
def page_at(browser: Browser, watch: Watch) -> Iterator[Callable[..., Page]]:
    """Yield a function that opens a page at an address; options are those of a browser context."""
    contexts = []

    def open_page(url: str, **options: object) -> Page:
        context = browser.new_context(**({"viewport": {"width": 1280, "height": 900}} | options))
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(PATIENCE_MS)
        watch.follow(page)
        watch.asked[page] = url
        page.goto(url)
        return page

    yield open_page
    wrong = list(watch.wrong)  # what is cut off by closing comes later, and is no fault
    for context in contexts:
        context.close()
    assert not wrong, "\n".join(wrong)


@dataclass
class Lab:
    """JupyterLab in a page, and what a learner does in it."""

    page: Page
    watch: Watch

    def wait_open(self, name: str | None = None) -> None:
        """Wait until a notebook (by default the one the page was opened at) is in front and its kernel at rest."""
        path = urlsplit(self.watch.asked[self.page]).path
        if "/lab" in path:  # which first shows again what was open the last time
            front = self.page.locator("#jp-main-dock-panel .lm-mod-current .lm-TabBar-tabLabel")
            expect(front).to_have_text(name or unquote(path.rpartition("/")[2]))
        expect(self.page.locator(".jp-NotebookPanel:visible .jp-Cell").first).to_be_visible()
        self._wait_connected()  # before it has a kernel a page says "idle" as well, and runs nothing
        self.wait_idle()

    def _wait_connected(self) -> None:
        """Wait until every notebook on the page has its connection to a kernel."""
        until = time.monotonic() + PATIENCE_MS / 1000
        while self.watch.connections(self.page) < self.page.locator(".jp-NotebookPanel").count():
            assert time.monotonic() < until, "a notebook on the page got no kernel"
            self.page.wait_for_timeout(50)

    def wait_idle(self) -> None:
        """Wait until the kernel has nothing to do and no cell waits."""
        indicator = self.page.locator(".jp-NotebookPanel:visible .jp-Notebook-ExecutionIndicator")
        expect(indicator).to_have_attribute("data-status", "idle")
        waiting = self.page.locator(".jp-NotebookPanel:visible .jp-InputPrompt", has_text="[*]")
        expect(waiting).to_have_count(0)

    def run_all(self) -> None:
        """Choose Run > Run All Cells, and wait until all have run."""
        self.page.evaluate(BEGUN)
        self.page.get_by_role("menuitem", name="Run", exact=True).click()
        self.page.get_by_role("menuitem", name="Run All Cells", exact=True).click()
        self.page.wait_for_function("window.begun", timeout=PATIENCE_MS)
        self.wait_idle()

    def errors(self) -> list[str]:
        """Return the texts of error outputs on the page."""
        shown = '.jp-NotebookPanel:visible [data-mime-type="application/vnd.jupyter.stderr"]'
        return self.page.locator(shown).all_inner_texts()

    def popups(self) -> list[str]:
        """Return the texts of dialogs and notices that are on the page."""
        return self.page.locator(f"{SHOWN_DIALOG}, {SHOWN_NOTICE}").all_inner_texts()


@pytest.fixture
def lab(watch: Watch) -> Callable[[Page], Lab]:
    """Return what wraps a page of `page_at` in the learner's doings."""
    return lambda page: Lab(page, watch)


@pytest.fixture
def shot(tmp_path: Path) -> Callable[[Page, str], Path]:
    """Return a function that takes a screenshot, into WETSLIP_SCREENSHOTS where that names a folder."""
    folder = Path(os.environ.get("WETSLIP_SCREENSHOTS", tmp_path))

    def take(page: Page, name: str) -> Path:
        folder.mkdir(parents=True, exist_ok=True)
        path = folder / f"{name}.png"
        page.screenshot(path=path)
        return path

    return take
