"""nbgrader's own commands on the class folder: the same marks, whatever lies about in it."""

from __future__ import annotations

import copy
import os
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import nbformat
import pytest
from nbgrader.api import Gradebook
from nbgrader.utils import notebook_hash

from graders.exercises import MODULES
from instructor.layout import ClassFolder
from instructor.marking.gradebook import read_scores
from instructor.rehearsal.scripted import CLASS, MODULE

Nbgrader = Callable[..., subprocess.CompletedProcess[str]]
Run = Callable[..., tuple[int, str, str]]
IDS = [scripted.learner.id for scripted in CLASS]


def rows(folder: ClassFolder) -> dict[str, list[tuple[object, ...]]]:
    """Everything the gradebook holds of the marks, learner by learner."""
    with Gradebook(folder.database_url) as gradebook:
        return {
            learner: sorted(
                (grade.name, grade.auto_score, grade.manual_score, grade.needs_manual_grade)
                for grade in gradebook.find_submission_notebook(MODULE, MODULE, learner).grades
            )
            for learner in IDS
        }


def forget(folder: ClassFolder) -> None:
    """Take the marks out of the gradebook and the marked notebooks away."""
    with Gradebook(folder.database_url) as gradebook:
        for learner in IDS:
            for grade in gradebook.find_submission_notebook(MODULE, MODULE, learner).grades:
                grade.auto_score, grade.needs_manual_grade = None, True
        gradebook.db.commit()
    shutil.rmtree(folder.root / "autograded")


def marked_notebooks(folder: ClassFolder) -> dict[str, bytes]:
    return {id_: (folder.autograded(id_, MODULE) / f"{MODULE}.ipynb").read_bytes() for id_ in IDS}


def test_its_autograde_gives_the_same_marks_and_the_same_notebooks(
    worked: ClassFolder, nbgrader: Nbgrader
) -> None:
    ours, notebooks = rows(worked), marked_notebooks(worked)
    forget(worked)
    done = nbgrader(worked.root, "autograde", MODULE)
    assert done.returncode == 0, done.stderr
    assert rows(worked) == ours
    assert marked_notebooks(worked) == notebooks


def test_hand_dropped_submissions_and_stray_files_change_no_mark(
    worked: ClassFolder, nbgrader: Nbgrader, run: Run
) -> None:
    """A doubled check cell, a lost one, no notebook at all, and answers left in the source folder."""
    ours = rows(worked)
    forget(worked)
    doubled = worked.submitted("torle", MODULE) / f"{MODULE}.ipynb"
    notebook = nbformat.read(str(doubled), as_version=4)
    check = next(cell for cell in notebook.cells if cell.metadata.get("nbgrader", {}).get("grade"))
    notebook.cells.append(nbformat.from_dict({**copy.deepcopy(check), "id": "again"}))
    doubled.write_text(nbformat.writes(notebook), encoding="utf-8")
    lost = worked.submitted("imarren", MODULE) / f"{MODULE}.ipynb"
    notebook.cells = [cell for cell in notebook.cells if not cell.metadata.get("nbgrader", {}).get("grade")]
    lost.write_text(nbformat.writes(notebook), encoding="utf-8")
    (worked.submitted("rpell", MODULE) / f"{MODULE}.ipynb").write_text("{", encoding="utf-8")
    for name in ("answers.jsonl", "logbook.jsonl", "learner.json"):
        (worked.source(MODULE) / name).write_text("{}\n", encoding="utf-8")
    for name in ("timestamp.txt", "submission_secret.txt"):
        (worked.submitted("mkestrin", MODULE) / name).unlink()
    done = nbgrader(worked.root, "autograde", MODULE)
    assert done.returncode == 0, done.stderr
    assert rows(worked) == ours
    answers = worked.autograded("rpell", MODULE) / "answers.jsonl"
    assert answers.read_bytes() == (worked.submitted("rpell", MODULE) / "answers.jsonl").read_bytes()
    assert run("mark", MODULE, "--folder", worked.root)[0] == 0
    assert rows(worked) == ours


def test_without_our_settings_it_gives_the_same_marks_by_running_the_released_notebook(
    worked: ClassFolder, nbgrader: Nbgrader
) -> None:
    ours = rows(worked)
    forget(worked)
    (worked.root / "nbgrader_config.py").unlink()
    for learner in IDS:  # three are enough: each starts a kernel
        if learner not in ("rpell", "jvask", "torle"):
            shutil.rmtree(worked.submitted(learner, MODULE))
    done = nbgrader(worked.root, "autograde", MODULE)
    assert done.returncode == 0, done.stderr
    for learner in ("rpell", "jvask", "torle"):
        assert rows(worked)[learner] == ours[learner]


def test_without_our_settings_and_without_running_nobody_is_given_full_marks(
    worked: ClassFolder, nbgrader: Nbgrader
) -> None:
    forget(worked)
    (worked.root / "nbgrader_config.py").unlink()
    done = nbgrader(worked.root, "autograde", MODULE, "--no-execute")
    assert done.returncode == 0, done.stderr
    assert {grade[1] for grades in rows(worked).values() for grade in grades} == {0.0}


def test_another_version_is_refused_before_anything_is_replaced(
    worked: ClassFolder, nbgrader: Nbgrader
) -> None:
    before, notebooks = rows(worked), marked_notebooks(worked)
    index = worked.released(MODULE)
    index.write_text(
        index.read_text(encoding="utf-8").replace('"physics": "', '"physics": "0'), encoding="utf-8"
    )
    done = nbgrader(worked.root, "autograde", MODULE, "--force")
    assert done.returncode == 1
    assert "was released with physics 0" in done.stderr
    assert "Traceback" not in done.stderr
    assert rows(worked) == before
    assert marked_notebooks(worked) == notebooks


@pytest.mark.skipif(not hasattr(os, "getuid"), reason="nbgrader's exchange needs POSIX")
def test_feedback_of_what_was_taken_in_can_be_released(
    worked: ClassFolder, nbgrader: Nbgrader, tmp_path: Path
) -> None:
    """nbgrader reads timestamp.txt and submission_secret.txt to release feedback, and stops without them."""
    exchange = tmp_path / "exchange"
    exchange.mkdir(mode=0o777)
    done = nbgrader(worked.root, "generate_feedback", MODULE)
    assert done.returncode == 0, done.stderr
    options = [f"--Exchange.root={exchange}", "--course", "marina"]
    done = nbgrader(worked.root, "release_feedback", MODULE, *options)
    assert done.returncode == 0, done.stderr
    for learner in IDS:
        secret = (worked.submitted(learner, MODULE) / "submission_secret.txt").read_text(encoding="utf-8")
        page = exchange / "marina" / "feedback" / f"{notebook_hash(secret=secret, notebook_id=MODULE)}.html"
        assert page.is_file()


def test_the_gradebook_has_a_submission_for_everyone(worked: ClassFolder) -> None:
    with Gradebook(worked.database_url) as gradebook:
        assert all(len(read_scores(gradebook, MODULE, learner)) == len(MODULES[MODULE]) for learner in IDS)
