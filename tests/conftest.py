"""What every test lives under: no network, in this process and in those it starts."""

from __future__ import annotations

import importlib.util
import os
import sys
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest

TESTS = Path(__file__).parent
ROOT = TESTS.parent
OFFLINE = TESTS / "offline"


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
