"""A class of three in which one is hostile or unlucky, and the proof that nobody else notices."""

from __future__ import annotations

import json
import shutil
import sqlite3
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from graders.marks import Mark
from instructor.command import main
from instructor.handout.released import read_plans, read_released
from instructor.layout import ClassFolder, open_class
from instructor.marking.marks import read_marks
from instructor.rehearsal.scripted import MODULE

COHORT = "yard-1"
HOSTILE, OTHERS = "mallory", ("ann", "bo")
CANARY = "what lies outside a submission\n"

Rows = list[dict[str, Any]]
Marks = dict[str, tuple[float, tuple[str | None, ...]]]


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


@dataclass(frozen=True)
class Went:
    """How take-in, marking and report went: exit codes, what was said of problems, and the hostile one's marks."""

    codes: tuple[int, ...]
    problems: tuple[str, ...]
    marks: Marks
    notices: tuple[str, ...]


@dataclass
class Desk:
    """What the hostile one and the others hand in, and the marking of it: the function that every way of marking calls."""

    place: Path
    folder: ClassFolder

    def work(self, learner: str = HOSTILE) -> Path:
        """The module's folder as a learner hands it in."""
        return self.place / "handed-in" / learner / MODULE

    def rows(self, name: str) -> Rows:
        """The rows of a file of the hostile one."""
        text = (self.work() / name).read_text(encoding="utf-8")
        return [json.loads(line) for line in text.splitlines()]

    def write(self, name: str, rows: Sequence[Any]) -> None:
        """Put rows into a file of the hostile one."""
        text = "".join(json.dumps(row, ensure_ascii=False) + "\n" for row in rows)
        (self.work() / name).write_bytes(text.encode("utf-8", errors="surrogatepass"))

    def digest(self, learner: str, exercise: str) -> str:
        """The name of a learner's slip."""
        return read_released(self.folder, MODULE).slips[learner][exercise]

    def judge(self) -> Went:
        """Mark what the hostile one hands in."""
        from graders.submission import mark_folder

        plans = read_plans(self.folder, read_released(self.folder, MODULE), HOSTILE)
        marks = mark_folder(self.work(), MODULE, HOSTILE, plans)
        return Went((), (), in_short(marks), tuple(notice for mark in marks for notice in mark.notices))


def in_short(marks: tuple[Mark, ...]) -> Marks:
    """Points and mistakes, exercise by exercise."""
    return {mark.exercise: (mark.points, tuple(part.mistake for part in mark.parts)) for mark in marks}


@dataclass
class Yard(Desk):
    """The class itself beside what is handed in, and how things stood before anybody was hostile."""

    say: Callable[[], tuple[str, str]]

    def marks(self, learner: str = HOSTILE) -> Marks:
        """Points and mistakes, exercise by exercise, as they stand on disk."""
        return in_short(read_marks(self.folder, MODULE, learner) or ())

    def command(self, name: str, *arguments: object) -> tuple[int, tuple[str, ...]]:
        """Run one command of the class; return its exit code and the sentences of its problems."""
        self.say()
        code = main(["class", name, MODULE, *map(str, arguments), "--folder", str(self.place / "class")])
        lines = self.say()[1].replace("\r", "\n").splitlines()
        return code, tuple(line.removeprefix("wetslip: ") for line in lines if line.startswith("wetslip: "))

    def go(self, *place: Path, report: bool = True) -> Went:
        """Take in, mark and, where wanted, report; prove that nobody else's mark moved and nothing outside was written."""
        before = {learner: self.stands(learner) for learner in OTHERS}
        outside = self.outside()
        steps = [
            self.command("take-in", *(place or (self.place / "handed-in",))),
            self.command("mark"),
            *([self.command("report")] if report else []),
        ]
        assert {learner: self.stands(learner) for learner in OTHERS} == before
        assert self.outside() == outside
        assert self.gradebook() == {
            (learner, exercise): points
            for learner in (HOSTILE, *OTHERS)
            for exercise, (points, _) in self.marks(learner).items()
        }
        notices = tuple(n for mark in read_marks(self.folder, MODULE, HOSTILE) or () for n in mark.notices)
        problems = tuple(sentence for _, said in steps for sentence in said)
        return Went(tuple(code for code, _ in steps), problems, self.marks(), notices)

    def stands(self, learner: str) -> tuple[bytes, bytes]:
        """Everything that stands of one learner's marks: as data, and as the notebook formgrader shows."""
        notebook = self.folder.autograded(learner, MODULE) / f"{MODULE}.ipynb"
        return self.folder.marks(learner, MODULE).read_bytes(), notebook.read_bytes()

    def outside(self) -> Mapping[str, bytes | str]:
        """Every file beside the class folder, links as where they lead."""
        return {
            str(path.relative_to(self.place)): str(path.readlink()) if path.is_symlink() else _content(path)
            for path in sorted(self.place.rglob("*"))
            if "class" not in path.relative_to(self.place).parts[:1] and (path.is_symlink() or path.is_file())
        }

    def gradebook(self) -> dict[tuple[str, str], float]:
        """The gradebook's marks."""
        with sqlite3.connect(self.place / "class" / "gradebook.db") as book:
            rows = book.execute(
                "select student_id, base_cell.name, auto_score from grade join base_cell on base_cell.id = cell_id "
                "join submitted_notebook on submitted_notebook.id = grade.notebook_id "
                "join submitted_assignment on submitted_assignment.id = submitted_notebook.assignment_id "
                "where base_cell.name like 'check-%'"
            ).fetchall()
        return {(who, name.removeprefix("check-").replace("-", ".")): points for who, name, points in rows}


def _content(path: Path) -> bytes | str:
    return path.read_bytes() if path.stat().st_size < 5_000_000 else f"{path.stat().st_size} bytes"


@pytest.fixture(scope="session")
def sound_yard(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The class before anything bad happens: three learners who did everything rightly, marked and reported."""
    place = tmp_path_factory.mktemp("yard å")
    (place / "outside").mkdir()
    (place / "outside" / "canary.txt").write_text(CANARY, encoding="utf-8")
    roster = place / "roster.csv"
    roster.write_text("id,name\nann,Ann Tarrow\nbo,Bo Winsk\nmallory,Mal Orry\n", encoding="utf-8")
    folder = ("--folder", str(place / "class"))
    assert main(["class", "new", str(place / "class"), "--roster", str(roster), "--cohort", COHORT]) == 0
    assert main(["class", "release", MODULE, *folder]) == 0
    notebook = place / "class" / "release" / MODULE / f"{MODULE}.ipynb"
    for learner in (HOSTILE, *OTHERS):
        own = place / "handed-in" / learner
        (own / MODULE).mkdir(parents=True)
        identity = {"schema": 1, "id": learner, "cohort": COHORT}
        (own / "learner.json").write_text(json.dumps(identity), encoding="utf-8")
        shutil.copyfile(notebook, own / MODULE / notebook.name)
        work(own / MODULE, learner)
    assert main(["class", "take-in", MODULE, str(place / "handed-in"), *folder]) == 0
    assert main(["class", "mark", MODULE, *folder]) == 0
    assert main(["class", "report", MODULE, *folder]) == 0
    return place


@pytest.fixture
def desk(sound_yard: Path, tmp_path: Path) -> Desk:
    """A copy of what is handed in, to do harm in; the class is not touched."""
    shutil.copytree(sound_yard / "handed-in", tmp_path / "handed-in")
    return Desk(tmp_path, open_class(sound_yard / "class"))


@pytest.fixture
def yard(sound_yard: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Yard:
    """A copy of the whole class to do harm in."""
    place = tmp_path / "yard"
    shutil.copytree(sound_yard, place, symlinks=True)
    return Yard(
        place, open_class(place / "class"), lambda: (lambda said: (said.out, said.err))(capsys.readouterr())
    )


@pytest.fixture(scope="session")
def sound(sound_yard: Path) -> Marks:
    """The hostile one's marks while they were honest: full ones."""
    return in_short(read_marks(open_class(sound_yard / "class"), MODULE, HOSTILE) or ())
