"""What every test lives under: no network, in this process and in those it starts; and a desk to start."""

from __future__ import annotations

import importlib.util
import os
import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType
from typing import Any
from urllib.parse import quote, urlsplit

import pytest

TESTS = Path(__file__).parent
ROOT = TESTS.parent
OFFLINE = TESTS / "offline"
PATIENCE_S = 90  # for a shared machine with two cores; it says nothing about speed


def _install_guard() -> ModuleType:
    """Install the guard in this process, unless it came with PYTHONPATH already."""
    loaded = sys.modules.get("sitecustomize")
    if loaded is not None and hasattr(loaded, "NetworkBlockedError"):
        return loaded
    spec = importlib.util.spec_from_file_location("wetslip_offline_guard", OFFLINE / "sitecustomize.py")
    assert spec is not None
    assert spec.loader is not None
    guard = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(guard)
    return guard


GUARD = _install_guard()


@pytest.fixture(scope="session", autouse=True)
def offline_log(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """Put the guard into child processes too, and say where all of them write down what they tried."""
    log = tmp_path_factory.mktemp("offline") / "blocked.txt"
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv(GUARD.LOG_VARIABLE, str(log))
        patch.setenv("PYTHONPATH", str(OFFLINE), prepend=os.pathsep)
        yield log


@pytest.fixture(autouse=True)
def offline(offline_log: Path) -> Iterator[Path]:
    """Fail a test that tried to leave this machine, also where the code under test swallowed the refusal."""
    offline_log.unlink(missing_ok=True)
    yield offline_log
    tried = offline_log.read_text(encoding="utf-8") if offline_log.exists() else ""
    assert not tried, f"the network was tried: {tried}"


@pytest.fixture(scope="session")
def root() -> Path:
    """Return the top of the checkout."""
    return ROOT


def installed_command() -> str:
    """Return the path of the command as pip installed it."""
    command = shutil.which("wetslip", path=str(Path(sys.executable).parent))
    assert command is not None, "the command wetslip is not installed beside this Python"
    return command


@dataclass
class Desk:
    """A running ``wetslip learn``."""

    url: str
    folder: Path
    process: subprocess.Popen[bytes]
    words: Path

    @property
    def base(self) -> str:
        """The server's address, without a page."""
        parts = urlsplit(self.url)
        return f"{parts.scheme}://{parts.netloc}"

    def url_of(self, page: str, kind: str = "lab/tree") -> str:
        """Return the address of a file of the folder; kind "notebooks" is the plainer Notebook."""
        return f"{self.base}/{kind}/{quote(page)}?{urlsplit(self.url).query}"

    def close(self) -> int:
        """Close it as Ctrl-C does and return its exit code."""
        if self.process.poll() is None:
            if os.name == "posix":
                self.process.send_signal(signal.SIGINT)
            else:
                self.process.terminate()
        try:
            return self.process.wait(timeout=30)
        except subprocess.TimeoutExpired:
            self.process.kill()
            raise


def open_desk(folder: Path, *options: str, environment: Mapping[str, str] | None = None) -> Desk:
    """Start the installed command on a folder and wait until it gives its address."""
    words = folder.with_name(folder.name + ".txt")
    with words.open("wb") as stream:
        process = subprocess.Popen(
            [installed_command(), "learn", str(folder), "--no-browser", *options],
            stdin=subprocess.DEVNULL,
            stdout=stream,
            stderr=subprocess.STDOUT,
            env=None if environment is None else dict(environment),
        )
    until = time.monotonic() + PATIENCE_S
    while time.monotonic() < until:
        said = words.read_text(encoding="utf-8")
        if found := re.search(r"http://\S+\n", said):
            return Desk(found.group().strip(), folder, process, words)
        if process.poll() is not None:
            break
        time.sleep(0.1)
    process.kill()
    raise AssertionError(f"wetslip learn gave no address, but said: {words.read_text(encoding='utf-8')}")


@pytest.fixture(scope="session")
def wetslip() -> Callable[..., subprocess.CompletedProcess[str]]:
    """Return a function that runs the installed command with arguments, to its end."""

    def run(*arguments: str | Path, **options: object) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [installed_command(), *map(str, arguments)],
            stdin=subprocess.DEVNULL,
            capture_output=True,
            encoding="utf-8",
            check=False,
            timeout=PATIENCE_S,
            **options,
        )

    return run


@pytest.fixture(scope="session")
def start_desk() -> Iterator[Callable[..., Desk]]:
    """Yield a function that opens the course on a folder; what a test leaves open is closed at the end."""
    opened: list[Desk] = []

    def start(folder: Path, *options: str, environment: Mapping[str, str] | None = None) -> Desk:
        opened.append(open_desk(folder, *options, environment=environment))
        return opened[-1]

    yield start
    for desk in opened:
        desk.close()


NO_NAMES = "--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1, EXCLUDE localhost"


@pytest.fixture(scope="session")
def chromium() -> Path:
    """Return the Chromium of this machine; without one skip, or fail where a browser is required."""
    from instructor.doctor import find_chromium

    found = find_chromium()
    if found is None:
        sentence = "No Chromium was found: install one (Debian: apt install chromium)."
        if os.environ.get("WETSLIP_REQUIRE_BROWSER") == "1":
            pytest.fail(sentence)
        pytest.skip(sentence)
    return found


@pytest.fixture(
    scope="module"
)  # not longer: while it lives, no other test of this thread can run an event loop
def browser(chromium: Path) -> Iterator[Any]:
    """Yield a headless browser that can look up no name but this machine's."""
    from playwright.sync_api import sync_playwright

    flags = [NO_NAMES, "--no-proxy-server", "--disable-background-networking"]
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        flags.append("--no-sandbox")
    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=chromium, args=flags)
        yield opened
        opened.close()
