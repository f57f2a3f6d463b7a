"""How long marking a class takes, beside nbgrader's stock autograde of the same submissions in the same run.

    pytest tests/benchmarks/test_marking.py --benchmark-enable

30 submissions when measuring, 2 as a plain test. Whole commands, from the shell and back, gradebook and feedback
included. Stock nbgrader gets the same submissions and runs the released notebook for each, which gives the same
marks; and beside that the lightest notebook there is, one check cell that returns a number. No time is asserted:
machines differ. The ratios stand in extra_info, on the clock and in processor time (where the other processor counts for
nothing): of `mark --feedback`, of `mark` and `feedback` as two commands, and of `mark` and the report on the class.
"""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import time
from dataclasses import dataclass
from pathlib import Path

import pytest
from nbformat import writes
from nbformat.v4 import new_code_cell, new_notebook
from nbgrader.api import Gradebook
from pytest_benchmark.fixture import BenchmarkFixture

import instructor
from instructor.command import main
from instructor.layout import ClassFolder, open_class
from instructor.people.roster import Learner, roster_text
from instructor.rehearsal.scripted import MODULE

MANY, FEW = 30, 2
COHORT = "bench-1"
WETSLIP = "import sys; from instructor.command import main; sys.exit(main())"


@dataclass(frozen=True)
class Seconds:
    """What a command took on the clock, and of the processors' time [s], its own processes included."""

    wall: float
    processor: float

    def __add__(self, other: Seconds) -> Seconds:
        return Seconds(self.wall + other.wall, self.processor + other.processor)

    def __str__(self) -> str:
        return f"{self.wall:.2f} s ({self.processor:.2f} s of processor time)"


def command(folder: Path, *arguments: str) -> Seconds:
    """Run a Python command in a folder to its end and return the seconds it took."""
    packages = str(Path(instructor.__file__).parents[1])
    path = os.pathsep.join(filter(None, [os.environ.get("PYTHONPATH", ""), packages]))
    before, began = os.times(), time.perf_counter()
    done = subprocess.run(
        [sys.executable, *arguments],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": path, "JUPYTER_NO_CONFIG": "1"},
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stderr
    after, wall = os.times(), time.perf_counter() - began
    used = after.children_user + after.children_system - before.children_user - before.children_system
    return Seconds(wall, used)


def work(folder: Path, learner: str) -> None:
    """Do every exercise of the module rightly, as a learner would in the notebook."""
    from course.instruments.slip import Slip
    from graders.answers import record_answer
    from graders.exercises import MODULES
    from graders.hands import Hands
    from graders.personal import plan_for

    for exercise in MODULES[MODULE]:
        plan = plan_for(exercise, learner, COHORT)
        task = exercise.task(plan)
        found = exercise.hands(Hands(task, Slip(plan, folder, exercise.title))) if exercise.hands else {}
        record_answer(folder, exercise, plan.digest, learner, exercise.right_values(task, found))


def worked_class(place: Path, size: int) -> ClassFolder:
    """Make a class of learners who did everything rightly, taken in and not marked; every third answers nothing of 03.1."""
    learners = [Learner(f"learner{n:02d}", f"Invented {n}") for n in range(size)]
    roster = place / "roster.csv"
    roster.write_text(roster_text(learners), encoding="utf-8")
    folder = place / "class"
    assert main(["class", "new", str(folder), "--roster", str(roster), "--cohort", COHORT]) == 0
    assert main(["class", "release", MODULE, "--folder", str(folder)]) == 0
    made = open_class(folder)
    for n, learner in enumerate(learners):
        own = place / "handed-in" / learner.id
        (own / MODULE).mkdir(parents=True)
        identity = {"schema": 1, "id": learner.id, "cohort": COHORT}
        (own / "learner.json").write_text(json.dumps(identity), encoding="utf-8")
        shutil.copyfile(made.release_notebook(MODULE), own / MODULE / f"{MODULE}.ipynb")
        work(own / MODULE, learner.id)
        if n % 3 == 2:
            answers = own / MODULE / "answers.jsonl"
            rows = answers.read_text(encoding="utf-8").splitlines()
            answers.write_text("\n".join(row for row in rows if '"03.1"' not in row) + "\n", encoding="utf-8")
    assert main(["class", "take-in", MODULE, str(place / "handed-in"), "--folder", str(folder)]) == 0
    return made


def stock_course(folder: Path, size: int) -> None:
    """Make a course of nbgrader's own with one check cell, and as many submissions."""
    tag = {"schema_version": 3, "grade": True, "solution": False, "locked": True, "points": 30}
    cell = new_code_cell("20.0", metadata={"nbgrader": {**tag, "grade_id": "check", "cell_type": "code"}})
    kernel = {"kernelspec": {"name": "python3", "display_name": "Python 3", "language": "python"}}
    text = writes(new_notebook(cells=[cell], metadata=kernel))
    for step in ("source", *(f"submitted/learner{n:02d}" for n in range(size))):
        path = folder / step / "one" / "one.ipynb"
        path.parent.mkdir(parents=True)
        path.write_text(text, encoding="utf-8")
    command(folder, "-m", "nbgrader", "generate_assignment", "one")


def stock(folder: Path, assignment: str) -> Seconds:
    """Mark and write feedback with nbgrader's own commands, without any settings of ours; return the seconds."""
    seconds = command(folder, "-m", "nbgrader", "autograde", assignment)
    return seconds + command(folder, "-m", "nbgrader", "generate_feedback", assignment)


def points(folder: ClassFolder) -> dict[str, float]:
    with Gradebook(folder.database_url) as gradebook:
        return {row["id"]: row["score"] for row in gradebook.student_dicts()}


def test_marking_a_class(benchmark: BenchmarkFixture, tmp_path: Path) -> None:
    size = FEW if benchmark.disabled else MANY
    folder = worked_class(tmp_path, size)
    copies = [tmp_path / name for name in ("in two commands", "stock, the same")]
    two, same = (ClassFolder(shutil.copytree(folder.root, place), folder.cohort) for place in copies)
    (same.root / "nbgrader_config.py").unlink()
    ours = ("-c", WETSLIP, "class")
    both = benchmark.pedantic(
        command, (folder.root, *ours, "mark", MODULE, "--feedback"), rounds=1, iterations=1
    )
    assert len(list(folder.root.glob("feedback/*/*.html"))) == size
    info = {
        "submissions": size,
        "load of this machine, average of a minute": os.getloadavg()[0] if hasattr(os, "getloadavg") else "?",
        "mark --feedback, whole command": str(both),
    }
    if (
        not benchmark.disabled
    ):  # each of these starts a kernel a submission; tests/instructor holds the marks equal
        mark = command(two.root, *ours, "mark", MODULE)
        feedback = command(two.root, *ours, "feedback", MODULE)
        report = command(two.root, *ours, "report", MODULE)
        running = stock(same.root, MODULE)
        assert points(same) == points(folder) == points(two)
        stock_course(tmp_path / "lightest", size)
        lightest = stock(tmp_path / "lightest", "one")
        info |= {
            "mark, whole command": str(mark),
            "feedback, whole command": str(feedback),
            "report on the class, feedback pages included, whole command": str(report),
            "stock, the same submissions": str(running),
            "stock, the lightest notebook": str(lightest),
        }
        for name, seconds in (("the same submissions", running), ("the lightest notebook", lightest)):
            info |= {
                f"stock / ours, {name}": round(seconds.wall / both.wall, 1),
                f"stock / ours, {name}, in processor time": round(seconds.processor / both.processor, 1),
                f"stock / ours, {name}, mark and feedback by themselves": round(
                    seconds.wall / (mark + feedback).wall, 1
                ),
                f"stock / ours, {name}, with the report on the class": round(
                    seconds.wall / (mark + report).wall, 1
                ),
            }
    benchmark.extra_info |= info


HELPS = (
    (), ("learn",), ("boat", "check"), ("checks",), ("doctor",), ("notebooks",), ("class",), ("class", "new"),
    ("class", "release"), ("class", "take-in"), ("class", "mark"), ("class", "report"), ("class", "open"), ("class", "example"),
)  # fmt: skip


@pytest.mark.parametrize("words", HELPS, ids=lambda words: " ".join(("wetslip", *words)))
def test_help_answers(benchmark: BenchmarkFixture, tmp_path: Path, words: tuple[str, ...]) -> None:
    rounds = 1 if benchmark.disabled else 5
    benchmark.pedantic(command, (tmp_path, "-c", WETSLIP, *words, "--help"), rounds=rounds, iterations=1)
