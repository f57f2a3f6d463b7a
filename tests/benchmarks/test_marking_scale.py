"""How marking grows: from ten learners to a thousand, time and memory, on the cores of this machine.

    pytest tests/benchmarks/test_marking_scale.py --benchmark-enable -m long

The submissions are real ones of a few learners, given to many: each learner of the roster gets the slips and the
rows of one of them under their own name, which costs marking what anybody's does. Without `-m long` ten are marked.
"""

from __future__ import annotations

import json
import math
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from instructor.command import main
from instructor.layout import ClassFolder, open_class
from instructor.roster import Learner, roster_text

COHORT, MODELS = "bench-2", 4
FEW, SOME, MANY = 10, 100, 1000
# A process of its own: peak memory is that of the command and of each of its workers.
MEASURED = """
import json, resource, sys, time
from pathlib import Path
from instructor.layout import open_class
from instructor.marking import mark_class
from instructor.report import report_class
folder, began = open_class(Path(sys.argv[1])), time.perf_counter()
for module in sys.argv[2:]:
    outcome = mark_class(folder, module)
    assert not outcome.problems and not outcome.absent, outcome.problems[:2]
marked = time.perf_counter()
for module in sys.argv[2:]:
    report_class(folder, module)
used = [resource.getrusage(who) for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)]
busy = sum(each.ru_utime + each.ru_stime for each in used)
print(json.dumps([marked - began, time.perf_counter() - marked, busy, [each.ru_maxrss for each in used]]))
"""


def modules() -> list[str]:
    """The modules of the course that have exercises and a notebook."""
    from graders.exercises import MODULES
    from instructor.release import modules_folder

    return [name for name in MODULES if (modules_folder() / name / f"{name}.ipynb").exists()]


def work(folder: Path, module: str, learner: str) -> None:
    """Do every exercise of a module rightly, as a learner would in the notebook."""
    from course.instruments.slip import Slip
    from graders.answers import record_answer
    from graders.exercises import MODULES
    from graders.hands import Hands
    from graders.personal import plan_for

    for exercise in MODULES[module]:
        plan = plan_for(exercise, learner, COHORT)
        task = exercise.task(plan)
        found = exercise.hands(Hands(task, Slip(plan, folder, exercise.title))) if exercise.hands else {}
        record_answer(folder, exercise, plan.digest, learner, exercise.right_values(task, found))


def models(place: Path, names: list[str]) -> ClassFolder:
    """Make the class of a few, everything of theirs worked and nothing taken in."""
    roster = place / "roster.csv"
    roster.write_text(roster_text([Learner(f"m{n}", f"Model {n}") for n in range(MODELS)]), encoding="utf-8")
    folder = place / "models"
    assert main(["class", "new", str(folder), "--roster", str(roster), "--cohort", COHORT]) == 0
    for module in names:
        assert main(["class", "release", module, "--folder", str(folder)]) == 0
        for n in range(MODELS):
            own = place / "worked" / f"m{n}" / module
            own.mkdir(parents=True)
            work(own, module, f"m{n}")
    return open_class(folder)


def multiplied(place: Path, few: ClassFolder, names: list[str], size: int) -> ClassFolder:
    """Make a class of `size` from the few: taken in, with slips and rows of one of them each."""
    folder = open_class(shutil.copytree(few.root, place / f"class of {size}"))
    learners = [Learner(f"l{n:04d}", f"Invented {n}") for n in range(size)]
    folder.roster.write_text(roster_text(learners), encoding="utf-8")
    for module in names:
        path = folder.released(module)
        index = json.loads(path.read_text(encoding="utf-8"))
        index["slips"] = {learner.id: index["slips"][f"m{n % MODELS}"] for n, learner in enumerate(learners)}
        path.write_text(json.dumps(index), encoding="utf-8")
        notebook = folder.release_notebook(module).read_bytes()
        for n, learner in enumerate(learners):
            target = folder.submitted(learner.id, module)
            target.mkdir(parents=True)
            for file in (place / "worked" / f"m{n % MODELS}" / module).glob("*.jsonl"):
                text = file.read_text(encoding="utf-8").replace(f'"m{n % MODELS}"', f'"{learner.id}"')
                (target / file.name).write_text(text, encoding="utf-8")
            (target / f"{module}.ipynb").write_bytes(notebook)
            (target / "timestamp.txt").write_text("2031-05-04 09:30:00.000000 UTC", encoding="ascii")
    return folder


def measured(folder: ClassFolder, names: list[str]) -> tuple[float, float, float, float]:
    """Return the seconds of marking, of reporting and of processors, and peak memory of command and workers [MB]."""
    done = subprocess.run(
        [sys.executable, "-c", MEASURED, str(folder.root), *names],
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    marking, reporting, busy, (own, worker) = json.loads(done.stdout.splitlines()[-1])
    return marking, reporting, busy, (own + 2 * worker) / 1000


@pytest.mark.skipif(sys.platform == "win32", reason="memory is asked of POSIX")
@pytest.mark.parametrize("most", [FEW, pytest.param(MANY, marks=pytest.mark.long)])
def test_a_thousand_learners(benchmark: BenchmarkFixture, tmp_path: Path, most: int) -> None:
    names = modules() if most > FEW else modules()[:1]
    few = models(tmp_path, names)
    sizes = [size for size in (FEW, SOME, MANY) if size <= most]
    found = {}
    for size in sizes[:-1]:
        found[size] = measured(multiplied(tmp_path, few, names, size), names)
    last = multiplied(tmp_path, few, names, most)
    found[most] = benchmark.pedantic(measured, (last, names), rounds=1, iterations=1)
    for size, (marking, reporting, busy, peak) in found.items():
        benchmark.extra_info[f"{size} learners x {len(names)} modules"] = (
            f"marking {marking:.1f} s, report {reporting:.1f} s, of processors {busy:.1f} s, at most {peak:.0f} MB"
        )
    if len(sizes) > 2:
        growth = math.log(found[most][0] / found[SOME][0]) / math.log(most / SOME)
        whole = math.log(found[most][0] / found[FEW][0]) / math.log(most / FEW)
        benchmark.extra_info |= {
            "exponent 100 to 1000": round(growth, 2),
            "exponent 10 to 1000": round(whole, 2),
        }
    for module in names:
        assert all(last.marks(f"l{n:04d}", module).exists() for n in range(most))
