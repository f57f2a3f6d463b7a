"""How marking grows: from ten learners to a thousand, time and memory, on the cores of this machine.

    pytest tests/benchmarks/test_marking_scale.py --benchmark-enable -m long

works thirty scripted learners through all modules, right and wrong, gives their slips and rows to a thousand under names of
their own, and marks ten, a hundred and a thousand by `wetslip class mark`, a command for each module. Where WETSLIP_SCALE
names a folder, the learners that `scripted_class.py` made there are taken, however many, instead of thirty:

    python tests/benchmarks/scripted_class.py FOLDER 0 1000

Time is told by the clock and by the processors, memory as what command and workers hold together, shared pages counted once.
Without `-m long` ten learners of the first module are marked; with it and `-k "100 and not 1000"` ten and a hundred of the
first module, in minutes.
"""

from __future__ import annotations

import importlib.util
import json
import math
import os
import resource
import subprocess
import sys
import threading
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from course.boats.fresh_water import keep_field
from course.boats.plan import SlipPlan
from instructor.command import main
from instructor.layout import ClassFolder, open_class
from instructor.people.roster import Learner, roster_text

MODELS, FEW_MODELS = 30, 4
FEW, SOME, MANY = 10, 100, 1000
LOOK_EVERY = 0.5  # s between two looks at memory
COMMAND = "import sys; from instructor.command import main; sys.exit(main(sys.argv[1:]))"


def scripted() -> ModuleType:
    """The scripted class, which is a file beside this one and no package."""
    spec = importlib.util.spec_from_file_location(
        "scripted_class", Path(__file__).with_name("scripted_class.py")
    )
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def worked(place: Path, names: Sequence[str], count: int) -> list[Path]:
    """Return the folders of learners who have worked: those asked for by the environment, or fresh ones."""
    kept, class_of = os.environ.get("WETSLIP_SCALE"), scripted()
    if kept and count == MODELS:
        return sorted(path for path in Path(kept).iterdir() if not path.name.startswith("."))
    for number in range(count):
        class_of.make(place / "worked", class_of.learner_id(number), names)
    return sorted((place / "worked").iterdir())


def released(place: Path, names: Sequence[str], work: Sequence[Path], size: int) -> ClassFolder:
    """Make a class of `size`, released and taken in, of learners who have slips and rows of one of the workers each."""
    root, roster = place / f"class of {size}", place / "roster.csv"
    roster.write_text(roster_text([Learner("first", "Invented")]), encoding="utf-8")
    assert main(["class", "new", str(root), "--roster", str(roster), "--cohort", "scale"]) == 0
    for module in names:
        assert main(["class", "release", module, "--folder", str(root)]) == 0
    folder = open_class(root)
    learners = [Learner(f"n{n:04d}", f"Invented {n}") for n in range(size)]
    folder.roster.write_text(roster_text(learners), encoding="utf-8")
    for module in names:
        index = json.loads(folder.released(module).read_text(encoding="utf-8"))
        stored = [stored_slips(folder, model / module) for model in work[:size]]
        index["slips"] = {learner.id: stored[n % len(stored)] for n, learner in enumerate(learners)}
        folder.released(module).write_text(json.dumps(index), encoding="utf-8")
        for n, learner in enumerate(learners):
            hand_in(folder, module, learner.id, work[n % len(stored)])
    return folder


def stored_slips(folder: ClassFolder, done: Path) -> dict[str, str]:
    """Store a worker's slips of a module as a release does, with what it keeps of them; exercise -> digest."""
    digests = {}
    for exercise, text in json.loads((done / "slips.json").read_text(encoding="utf-8")).items():
        plan = SlipPlan.model_validate_json(text)
        folder.slip(plan.digest).parent.mkdir(parents=True, exist_ok=True)
        folder.slip(plan.digest).write_text(text, encoding="utf-8")
        keep_field(plan.boat, plan.berth)
        digests[exercise] = plan.digest
    return digests


def hand_in(folder: ClassFolder, module: str, learner: str, model: Path) -> None:
    """Put a worker's rows into the class's submissions under a learner's own name."""
    target = folder.submitted(learner, module)
    target.mkdir(parents=True)
    for file in (model / module).glob("*.jsonl"):
        text = file.read_text(encoding="utf-8").replace(f'"{model.name}"', f'"{learner}"')
        (target / file.name).write_text(text, encoding="utf-8")
    (target / f"{module}.ipynb").write_bytes(folder.release_notebook(module).read_bytes())
    (target / "timestamp.txt").write_text("2031-05-04 09:30:00.000000 UTC", encoding="ascii")


def family_of(process: int) -> Iterator[int]:
    """Yield a process and all it has started, as Linux knows them."""
    yield process
    try:
        children = Path(f"/proc/{process}/task/{process}/children").read_text(encoding="ascii")
    except OSError:
        return
    for child in children.split():
        yield from family_of(int(child))


def held_MB(process: int) -> float:
    """Return what a process and all it has started hold together [MB], shared pages counted once."""
    total = 0.0
    for one in family_of(process):
        try:
            lines = Path(f"/proc/{one}/smaps_rollup").read_text(encoding="ascii").splitlines()
        except OSError:  # it has ended
            continue
        total += sum(float(line.split()[1]) for line in lines if line.startswith("Pss:")) / 1000
    return total


@dataclass
class Cost:
    """What marking took: seconds by the clock and of the processors, and the most memory at one time [MB]."""

    clock: float = 0.0
    busy: float = 0.0
    peak: float = 0.0

    def __str__(self) -> str:
        return f"{self.clock / 60:.1f} minutes, of processors {self.busy:.1f} s, at most {self.peak:.0f} MB"


def busy() -> float:
    """Return the seconds that processes started from here have taken of the processors."""
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def marked(folder: ClassFolder, names: Sequence[str]) -> Cost:
    """Mark a class, a command for each module."""
    cost, began, before = Cost(), time.perf_counter(), busy()
    for module in names:
        command = [sys.executable, "-c", COMMAND, "class", "mark", module, "--folder", str(folder.root)]
        process = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        ended = threading.Event()

        def watch(number: int = process.pid, over: threading.Event = ended) -> None:
            while not over.wait(LOOK_EVERY):
                cost.peak = max(cost.peak, held_MB(number))

        watcher = threading.Thread(target=watch)
        watcher.start()
        code = process.wait()
        ended.set()
        watcher.join()
        assert code == 0, module
    cost.clock, cost.busy = time.perf_counter() - began, busy() - before
    return cost


@pytest.mark.skipif(sys.platform != "linux", reason="memory is asked of Linux")
@pytest.mark.parametrize(
    "most", [FEW, *(pytest.param(size, marks=pytest.mark.long) for size in (SOME, MANY))]
)
def test_up_to_a_thousand_learners(benchmark: BenchmarkFixture, tmp_path: Path, most: int) -> None:
    names = scripted().module_names()[: None if most > SOME else 1]
    work = worked(tmp_path, names, MODELS if most > SOME else FEW_MODELS)
    sizes = [size for size in (FEW, SOME, MANY) if size <= most]
    found = {size: marked(released(tmp_path, names, work, size), names) for size in sizes[:-1]}
    last = released(tmp_path, names, work, most)
    found[most] = benchmark.pedantic(marked, (last, names), rounds=1, iterations=1)
    for size, cost in found.items():
        benchmark.extra_info[f"{size} learners x {len(names)} modules"] = str(cost)
    benchmark.extra_info["workers"] = len(work)
    for few in sizes[:-1]:
        grown = found[most].busy / found[few].busy
        benchmark.extra_info[f"exponent {few} to {most}"] = round(math.log(grown) / math.log(most / few), 2)
    for module in names:
        assert all(last.marks(f"n{n:04d}", module).exists() for n in range(most))
