"""Marks stand while what they were made from stands; what changed is listed with the reason; many processes mark alike."""

from __future__ import annotations

import json
import os
import signal
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from nbgrader.api import Gradebook

import graders.submission
from instructor.layout import ClassFolder
from instructor.marking import evidence
from instructor.marking import pool as marking_pool
from instructor.marking.gradebook import nbgraders_own, open_gradebook, put_learners, put_scores, read_scores
from instructor.marking.ledger import Ledger
from instructor.marking.marks import read_stored
from instructor.marking.run import mark_class
from instructor.people.roster import read_roster
from instructor.rehearsal.scripted import CLASS, MODULE

Run = Callable[..., tuple[int, str, str]]
IDS = tuple(scripted.learner.id for scripted in CLASS)


def marks_of(folder: ClassFolder) -> dict[str, object]:
    """Everything that stands of the marks: as data, as notebooks and in the gradebook."""
    with Gradebook(folder.database_url) as gradebook:
        book = {
            (learner, grade.name): (grade.auto_score, grade.manual_score, grade.needs_manual_grade)
            for learner in IDS
            for grade in gradebook.find_submission_notebook(MODULE, MODULE, learner).grades
        }
    files = {
        (learner, path.name): path.read_bytes()
        for learner in IDS
        for path in (folder.marks(learner, MODULE), folder.autograded(learner, MODULE) / f"{MODULE}.ipynb")
    }
    return {"book": book, "files": files}


def no_marking(*arguments: object) -> object:
    raise AssertionError("marked twice")


def test_what_is_marked_is_not_marked_twice(worked: ClassFolder, monkeypatch: pytest.MonkeyPatch) -> None:
    before = marks_of(worked)
    monkeypatch.setattr(graders.submission, "mark_folder", no_marking)
    outcome = mark_class(worked, MODULE)
    assert (outcome.marked, outcome.standing, outcome.problems) == ((), IDS, ())
    assert marks_of(worked) == before


def spoil_marks(folder: ClassFolder) -> None:
    folder.marks("torle", MODULE).write_text("{", encoding="utf-8")


def lose_notebook(folder: ClassFolder) -> None:
    (folder.autograded("torle", MODULE) / f"{MODULE}.ipynb").unlink()


def spoil_notebook(folder: ClassFolder) -> None:
    path = folder.autograded("torle", MODULE) / f"{MODULE}.ipynb"
    path.chmod(0o600)
    path.write_bytes(b"")


def lose_scores(folder: ClassFolder) -> None:
    with Gradebook(folder.database_url) as gradebook:
        for grade in gradebook.find_submission_notebook(MODULE, MODULE, "torle").grades:
            grade.auto_score = None
        gradebook.db.commit()


@pytest.mark.parametrize("lose", [spoil_marks, lose_notebook, spoil_notebook, lose_scores])
def test_whatever_is_missing_of_a_mark_is_put_back(
    worked: ClassFolder, lose: Callable[[ClassFolder], None]
) -> None:
    before = marks_of(worked)
    lose(worked)
    outcome = mark_class(worked, MODULE)
    assert len(outcome.marked) + len(outcome.standing) == len(IDS)
    assert set(outcome.marked) <= {"torle"}
    assert outcome.problems == ()
    assert marks_of(worked) == before


def test_a_new_submission_alone_is_marked_and_its_change_told(run: Run, worked: ClassFolder) -> None:
    path = worked.submitted("torle", MODULE) / "answers.jsonl"
    rows = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    for row in rows:  # who wrote volts writes millivolts
        for field in ("hull_potential", "baseline", "with_anodes", "shift", "reading"):
            if field in row["values"]:
                row["values"][field] = f"{1000 * float(row['values'][field]):.0f}"
    path.write_text("".join(json.dumps(row) + "\n" for row in rows), encoding="utf-8")
    code, said, wrong = run("mark", MODULE, "--folder", worked.root)
    assert (code, wrong) == (0, "")
    lines = said.splitlines()
    assert lines[:3] == [
        f"Marked 1 submission of '{MODULE}'.",
        "As they were marked before: 6.",
        "Changed marks: 1 learner, 5 parts.",
    ]
    assert lines[3].startswith("  torle, 03.1 Hull potential: ")
    assert all("(unit) -> " in line for line in lines[3:])
    assert all(line.endswith("points, because other answers were handed in.") for line in lines[3:])
    stored = read_stored(worked, MODULE, "torle")
    assert stored is not None
    assert [change.exercise for change in stored.changes] == ["03.1", "03.2", "03.2", "03.2", "03.3"]


def mend(monkeypatch: pytest.MonkeyPatch) -> None:
    """An exercise is mended: who swapped the leads gets a point for it."""
    real = graders.submission.mark_folder

    def kinder(*arguments: object) -> object:
        marks = []
        for mark in real(*arguments):  # type: ignore[arg-type]
            parts = tuple(
                replace(part, points=part.points + 1) if part.mistake == "leads_swapped" else part
                for part in mark.parts
            )
            marks.append(replace(mark, parts=parts, points=sum(part.points for part in parts)))
        return tuple(marks)

    monkeypatch.setattr(graders.submission, "mark_folder", kinder)
    monkeypatch.setattr(evidence, "marking_version", lambda: "mended")


def test_after_an_exercise_is_mended_everybody_is_marked_and_the_changes_listed(
    run: Run, worked: ClassFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    mend(monkeypatch)
    code, said, wrong = run("mark", MODULE, "--folder", worked.root)
    assert (code, wrong) == (0, "")
    lines = said.splitlines()
    assert lines[0] == f"Marked 7 submissions of '{MODULE}'."
    changed, (torn,) = lines[2:-1], lines[-1:]
    assert {line.split(",")[0].strip() for line in changed} == {"imarren"}
    assert torn.startswith("To look at: 'nström': answers.jsonl has 1 torn line")
    assert "  imarren, 03.1 Hull potential: 0 (leads_swapped) -> 1 (leads_swapped) points, because" in said
    assert "because the exercise or its marking was mended." in said
    with open_gradebook(worked) as gradebook:
        assert read_scores(gradebook, MODULE, "imarren")["check-03-1"].points == 3.0
    again = mark_class(worked, MODULE)
    assert (len(again.standing), again.changes) == (7, ())


def test_two_processes_mark_as_one_does(worked: ClassFolder) -> None:
    before = marks_of(worked)
    outcome = mark_class(worked, MODULE, again=True, jobs=2)
    assert (outcome.marked, outcome.problems) == (IDS, ())
    assert marks_of(worked) == before
    assert list(worked.work.iterdir()) == []


@pytest.mark.skipif(not hasattr(os, "fork"), reason="the test dies in a forked process")
def test_a_process_that_dies_costs_only_the_learner_it_marked(
    worked: ClassFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = marks_of(worked)
    real = graders.submission.mark_folder

    def dying(folder: Path, module: str, learner: str, plans: object) -> object:
        if learner == "torle":
            os.kill(os.getpid(), signal.SIGKILL)
        return real(folder, module, learner, plans)  # type: ignore[arg-type]

    with monkeypatch.context() as patch:
        patch.setattr(graders.submission, "mark_folder", dying)
        patch.setattr(marking_pool.sys, "platform", "linux")
        outcome = mark_class(worked, MODULE, again=True, jobs=2)
    assert outcome.marked == tuple(learner for learner in IDS if learner != "torle")
    assert outcome.problems == (
        "'torle' was not marked: the process that marked it was ended, as a system does that runs out of memory.",
    )
    assert marks_of(worked) == before


def everything(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """The gradebook's rows without their random names."""
    import sqlite3

    with sqlite3.connect(path) as book:
        return {
            "students": sorted(book.execute("select * from student").fetchall()),
            "work": sorted(
                book.execute("select student_id, timestamp, extension from submitted_assignment").fetchall()
            ),
            "grades": sorted(
                book.execute(
                    "select student_id, base_cell.name, auto_score, manual_score, extra_credit, needs_manual_grade, flagged, "
                    "late_submission_penalty from grade join base_cell on base_cell.id = cell_id "
                    "join submitted_notebook on submitted_notebook.id = grade.notebook_id "
                    "join submitted_assignment on submitted_assignment.id = submitted_notebook.assignment_id"
                ).fetchall()
            ),
            "comments": sorted(
                book.execute("select cell_id, auto_comment, manual_comment from comment").fetchall()
            ),
        }


def test_the_ledger_writes_what_nbgraders_own_interface_writes(small: ClassFolder) -> None:
    from datetime import UTC, datetime

    when = datetime(2031, 5, 4, 9, 30, 0, 250, tzinfo=UTC).replace(tzinfo=None)
    learners = (
        *read_roster(small.roster),
        replace(read_roster(small.roster)[0], id="cy", name="Cyril", email="c@x"),
    )
    scores = {"check-03-1": 4.5, "check-03-2": 0.0, "check-03-3": 10.0}
    path = small.root / "gradebook.db"
    fresh, books = path.read_bytes(), []
    for opener in (open_gradebook, nbgraders_own):
        path.write_bytes(fresh)
        with opener(small) as gradebook:
            assert isinstance(gradebook, Ledger) == (opener is open_gradebook)
            for _ in range(2):  # made, then made again
                put_learners(gradebook, learners)
                put_scores(gradebook, MODULE, "cy", when, scores)
                put_scores(gradebook, MODULE, "ann", None, scores)
            assert read_scores(gradebook, MODULE, "bo") == {}
            assert read_scores(gradebook, MODULE, "cy")["check-03-1"].points == 4.5
        books.append(everything(path))
    assert books[0] == books[1]
    assert sum(grade[2] is not None for grade in books[0]["grades"]) == 6


def test_a_scheme_we_do_not_know_is_left_to_nbgrader(small: ClassFolder) -> None:
    import sqlite3

    with sqlite3.connect(small.root / "gradebook.db") as book:
        book.execute("update alembic_version set version_num = 'later'")
    with open_gradebook(small) as gradebook:
        assert not isinstance(gradebook, Ledger)
        put_scores(gradebook, MODULE, "ann", None, {"check-03-1": 4.5})
        assert read_scores(gradebook, MODULE, "ann")["check-03-1"].points == 4.5


def test_a_damaged_gradebook_is_one_sentence(run: Run, worked: ClassFolder) -> None:
    (worked.root / "gradebook.db").write_bytes(b"no database at all" * 1000)
    code, _, wrong = run("mark", MODULE, "--folder", worked.root)
    assert code == 2
    assert wrong == (
        f"wetslip: The gradebook '{worked.root / 'gradebook.db'}' could not be used: file is not a database."
    )
