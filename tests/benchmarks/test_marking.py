"""How long marking a class takes, beside nbgrader's stock autograde of as many submissions in the same run.

    pytest tests/benchmarks/test_marking.py --benchmark-enable

30 submissions when measuring, 2 as a plain test. Both are whole commands, from the shell and back. Stock gets the
lightest notebook there is: one check cell that returns a number; ours replays three logbooks a learner. No time is
asserted: machines differ. The ratio stands in extra_info.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

from nbformat import writes
from nbformat.v4 import new_code_cell, new_notebook
from nbgrader.api import Gradebook
from pytest_benchmark.fixture import BenchmarkFixture

import instructor
from instructor.command import main
from instructor.layout import ClassFolder, open_class
from instructor.roster import Learner, roster_text
from instructor.scripted import MODULE, Habits, Scripted

MANY, FEW = 30, 2
HABITS = (Habits(), Habits(swapped=True), Habits(in_volts=True))
WETSLIP = "import sys; from instructor.command import main; sys.exit(main())"


def command(folder: Path, *arguments: str) -> float:
    """Run a Python command in a folder to its end and return the seconds it took."""
    packages = str(Path(instructor.__file__).parents[1])
    path = os.pathsep.join(filter(None, [os.environ.get("PYTHONPATH", ""), packages]))
    began = time.perf_counter()
    done = subprocess.run(
        [sys.executable, *arguments],
        cwd=folder,
        env={**os.environ, "PYTHONPATH": path, "JUPYTER_NO_CONFIG": "1"},
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return time.perf_counter() - began


def worked_class(place: Path, size: int) -> ClassFolder:
    """Make a class of scripted learners that is taken in and not marked."""
    class_ = [
        Scripted(Learner(f"learner{n:02d}", f"Invented {n}"), "", HABITS[n % len(HABITS)])
        for n in range(size)
    ]
    roster = place / "roster.csv"
    roster.write_text(roster_text([scripted.learner for scripted in class_]), encoding="utf-8")
    folder = place / "class"
    assert main(["class", "new", str(folder), "--roster", str(roster), "--cohort", "bench-1"]) == 0
    assert main(["class", "release", MODULE, "--folder", str(folder)]) == 0
    made = open_class(folder)
    for scripted in class_:
        scripted.hand_in(place / "handed-in", "bench-1", made.release_notebook(MODULE))
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


def points(folder: ClassFolder) -> dict[str, float]:
    with Gradebook(folder.database_url) as gradebook:
        return {row["id"]: row["score"] for row in gradebook.student_dicts()}


def test_marking_a_class(benchmark: BenchmarkFixture, tmp_path: Path) -> None:
    size = FEW if benchmark.disabled else MANY
    folder = worked_class(tmp_path, size)
    stock_course(tmp_path / "stock", size)
    mark = ("-c", WETSLIP, "class", "mark", MODULE)
    seconds = benchmark.pedantic(command, (folder.root, *mark), rounds=1, iterations=1)
    report = command(folder.root, "-c", WETSLIP, "class", "report", MODULE)
    stock = command(tmp_path / "stock", "-m", "nbgrader", "autograde", "one")
    began = time.perf_counter()
    assert main(["class", "mark", MODULE, "--folder", str(folder.root)]) == 0
    warm = time.perf_counter() - began
    assert points(folder) == {f"learner{n:02d}": (30.0, 11.0, 14.0)[n % len(HABITS)] for n in range(size)}
    benchmark.extra_info |= {
        "submissions": size,
        "mark, whole command [s]": round(seconds, 2),
        "mark, without start of the program [s]": round(warm, 2),
        "report, whole command [s]": round(report, 2),
        "stock autograde, whole command [s]": round(stock, 2),
        "stock / mark, whole commands": round(stock / seconds, 1),
        "stock / mark without start": round(stock / warm, 1),
    }
