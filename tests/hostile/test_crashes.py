"""Killed anywhere, it is run again: exactly the marks, notebooks, scores and pages of an undisturbed run.

Each kill is a real one (SIGKILL) of a real process, at a moment drawn by lot, in the middle of taking in, marking,
re-marking after an exercise was mended, or writing pages. Eight by default, two hundred with `-m long`.
"""

from __future__ import annotations

import os
import random
import shutil
import signal
import sys
import threading
import time
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from instructor.rehearsal.scripted import MODULE

Yard = Any  # of conftest.py, which cannot be imported
STEPS = ("take-in", "mark", "mark again", "report")
FEW, MANY = 8, 200

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="a process is forked to be killed")


def arguments(yard: Yard, step: str) -> list[str]:
    """The command of a step, with two processes where it takes them."""
    name, _, again = step.partition(" ")
    more = [str(yard.place / "handed-in")] if name == "take-in" else []
    more += ["--jobs", "2"] if name == "mark" else []
    more += ["--again"] if again else []
    return ["class", name, MODULE, *more, "--folder", str(yard.place / "class")]


def run_in_child(yard: Yard, step: str, kill_after: float | None) -> float:
    """Run a step in a process of its own, killed after some seconds; return the seconds it lived."""
    from instructor.command import main

    began = time.monotonic()
    child = os.fork()
    if child == 0:
        os.setsid()
        quiet = os.open(os.devnull, os.O_WRONLY)
        os.dup2(quiet, 1)
        os.dup2(quiet, 2)
        os._exit(main(arguments(yard, step)))
    timer = threading.Timer(kill_after or 600, os.kill, (child, signal.SIGKILL))
    timer.start()
    _, status = os.waitpid(child, 0)
    timer.cancel()
    if kill_after is None:
        assert os.waitstatus_to_exitcode(status) == 0
    return time.monotonic() - began


def untouched(yard: Yard) -> None:
    """Put the class back to where it was released and nothing had come in."""
    for name in ("received", "submitted", "autograded", "marks", "feedback", "reports", ".work"):
        shutil.rmtree(yard.place / "class" / name, ignore_errors=True)
    import sqlite3

    with sqlite3.connect(yard.place / "class" / "gradebook.db") as book:
        for table in ("grade", "comment", "submitted_notebook", "submitted_assignment"):
            book.execute(f"delete from {table}")


def result(yard: Yard) -> dict[str, object]:
    """Everything that a run leaves, but for the times and secrets of taking in."""
    root = yard.place / "class"
    found: dict[str, object] = {"gradebook": yard.gradebook()}
    for path in sorted(root.rglob("*")):
        name = path.relative_to(root).as_posix()
        if (
            path.is_file()
            and name.split("/")[0]
            in (
                "submitted",
                "autograded",
                "marks",
                "feedback",
                "reports",
                ".work",
            )
            and path.name not in ("timestamp.txt", "submission_secret.txt")
        ):
            found[name] = path.read_bytes()
    return found


@dataclass(frozen=True)
class Undisturbed:
    """What an undisturbed run leaves, how the class lay before each step, and how long each takes [s]."""

    leaves: dict[str, object]
    before: dict[str, Path]
    seconds: dict[str, float]


@pytest.fixture
def undisturbed(yard: Yard, tmp_path: Path) -> Undisturbed:
    untouched(yard)
    before, seconds = {}, {}
    for step in STEPS:
        before[step] = shutil.copytree(yard.place / "class", tmp_path / f"before {step}", symlinks=True)
        seconds[step] = run_in_child(yard, step, None)
    return Undisturbed(result(yard), before, seconds)


@pytest.mark.parametrize("kills", [FEW, pytest.param(MANY, marks=pytest.mark.long)])
def test_killed_anywhere_a_rerun_gives_the_same(yard: Yard, undisturbed: Undisturbed, kills: int) -> None:
    lot = random.Random(20310504)
    for number in range(kills):
        step = STEPS[number % len(STEPS)]
        moment = lot.uniform(0.0, undisturbed.seconds[step])
        shutil.rmtree(yard.place / "class")
        shutil.copytree(undisturbed.before[step], yard.place / "class", symlinks=True)
        run_in_child(yard, step, moment)
        for after in STEPS[STEPS.index(step) :]:
            run_in_child(yard, after, None)
        assert result(yard) == undisturbed.leaves, f"killed {moment:.3f} s into '{step}'"


def test_a_run_whose_workers_are_orphaned_leaves_nobody_writing(yard: Yard) -> None:
    """The command is killed alone; its two workers see that and end before anything else may write."""
    from instructor.command import main

    if sys.platform != "linux":
        pytest.skip("workers are forked on Linux only")
    child = os.fork()
    if child == 0:
        os.setsid()
        quiet = os.open(os.devnull, os.O_WRONLY)
        os.dup2(quiet, 1)
        os.dup2(quiet, 2)
        os._exit(main(arguments(yard, "mark again")))
    time.sleep(0.3)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    deadline = time.monotonic() + 30
    while alive(child) and time.monotonic() < deadline:
        time.sleep(0.05)
    assert alive(child) == []


def alive(session: int) -> list[int]:
    """The processes of a session that still live."""
    found = []
    for path in Path("/proc").glob("[0-9]*/stat"):
        try:
            fields = path.read_text(encoding="utf-8").rpartition(")")[2].split()
        except OSError:
            continue
        if int(fields[3]) == session and fields[0] != "Z":
            found.append(int(path.parent.name))
    return found
