"""Keeps what the checks compared, for the table that ``wetslip checks`` makes.

Where the environment variable WETSLIP_CHECKS names a file, every assertion that held is written there with the
numbers in it (pytest's own hook; the command switches it on). No test needs to know.
"""

from __future__ import annotations

import inspect
import json
import os
from pathlib import Path
from typing import Any

import pytest

ASKED = "WETSLIP_CHECKS"
LONGEST = 400  # characters of one explanation that are kept
HELD = pytest.StashKey[list[dict[str, Any]]]()
ROWS = pytest.StashKey[dict[str, dict[str, Any]]]()


def pytest_assertion_pass(item: pytest.Item, lineno: int, orig: str, expl: str) -> None:
    if os.environ.get(ASKED):
        held = item.stash.setdefault(HELD, [])
        held.append({"line": lineno, "asserted": orig, "numbers": expl[:LONGEST]})


@pytest.hookimpl(hookwrapper=True)
def pytest_runtest_makereport(item: pytest.Item, call: pytest.CallInfo[None]) -> Any:
    outcome = yield
    report = outcome.get_result()
    if not os.environ.get(ASKED) or (call.when != "call" and not report.skipped):
        return
    function = getattr(item, "function", None)
    rows = item.config.stash.setdefault(ROWS, {})
    rows[item.nodeid] = {
        "file": Path(str(item.path)).relative_to(item.config.rootpath).as_posix(),
        "test": getattr(item, "originalname", item.name),
        "told": inspect.getdoc(function) or "",
        "module": (inspect.getdoc(inspect.getmodule(function)) or "") if function else "",
        "outcome": report.outcome,
        "held": item.stash.get(HELD, []),
    }


def pytest_sessionfinish(session: pytest.Session) -> None:
    target = os.environ.get(ASKED)
    if target and ROWS in session.config.stash:
        text = json.dumps(list(session.config.stash[ROWS].values()), ensure_ascii=False, indent=1)
        Path(target).write_text(text, encoding="utf-8")
