"""`wetslip class mark`: every submission marked from its data; nothing a learner wrote is ever run."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from instructor.check_cells import filled_with, notebook_bytes, read_notebook
from instructor.errors import ClassError, sentence_for
from instructor.files import replace_folder
from instructor.gradebook import open_gradebook, put_learners, put_scores
from instructor.layout import SECRET, TIMESTAMP, ClassFolder
from instructor.marks import write_marks
from instructor.progress import progress
from instructor.released import Released, check_versions, read_plans, read_released
from instructor.roster import read_roster

if TYPE_CHECKING:
    from graders.marks import Mark

COPIED = ("answers.jsonl", "logbook.jsonl", "learner.json", TIMESTAMP, SECRET)


@dataclass(frozen=True)
class Marked:
    """Who was marked, who handed in nothing (ids), and one sentence for each who could not be marked."""

    marked: tuple[str, ...]
    absent: tuple[str, ...]
    problems: tuple[str, ...]


def mark_class(folder: ClassFolder, module: str) -> Marked:
    """Mark every submission of a module and enter it in the gradebook.

    Each learner is finished before the next is begun, so a run that was killed is simply run again.

    Raises
    ------
    ClassError : the module is not released, or was released with another version
    """
    released = read_released(folder, module)
    check_versions(released, "mark it")
    notebook = read_notebook(folder.release_notebook(module))
    learners = read_roster(folder.roster)
    there = [learner for learner in learners if folder.submitted(learner.id, module).is_dir()]
    done: list[str] = []
    problems: list[str] = []
    with open_gradebook(folder) as gradebook:
        put_learners(gradebook, learners)
        for learner in progress(there, f"marking {module}"):
            try:
                _mark_one(folder, released, learner.id, notebook, gradebook)
                done.append(learner.id)
            except ClassError as problem:
                problems.append(f"'{learner.id}' was not marked: {problem}")
            except OSError as problem:
                problems.append(f"'{learner.id}' was not marked: {sentence_for(problem)}")
    absent = [learner.id for learner in learners if learner not in there]
    return Marked(tuple(done), tuple(absent), tuple(problems))


def mark_submission(folder: ClassFolder, module: str, learner: str) -> dict[str, Mark]:
    """Mark one submission as it lies in submitted/ and store the mark; `nbgrader autograde` calls this too.

    Returns
    -------
    grade id of the check cell -> mark

    Raises
    ------
    ClassError : not released, released with another version, or no slips are stored for the learner
    """
    released = read_released(folder, module)
    check_versions(released, "mark it")
    return _marks(folder, released, learner)


def _marks(folder: ClassFolder, released: Released, learner: str) -> dict[str, Mark]:
    from graders.exercises import MODULES
    from graders.submission import mark_folder

    plans = read_plans(folder, released, learner)
    module = released.module
    try:
        marks = mark_folder(folder.submitted(learner, module), module, learner, plans)
    except OSError:
        raise
    except Exception as problem:  # the rest of the class is marked; this one is reported by name
        raise ClassError(
            f"marking met a fault of Wetslip itself ({type(problem).__name__}: {problem}); please report it."
        ) from problem
    write_marks(folder, module, learner, marks)
    grade_ids = {exercise.id: exercise.grade_id for exercise in MODULES[module]}
    return {grade_ids[mark.exercise]: mark for mark in marks}


def _mark_one(folder: ClassFolder, released: Released, learner: str, notebook: Any, gradebook: Any) -> None:
    """Mark one learner: marks as data, the notebook for formgrader, then the gradebook."""
    module = released.module
    marks = _marks(folder, released, learner)
    filled, scores = filled_with(notebook, marks)
    submitted = folder.submitted(learner, module)
    files = {name: (submitted / name).read_bytes() for name in COPIED if _plain(submitted / name)}
    when = _when(files.get(TIMESTAMP), submitted)
    files[f"{module}.ipynb"] = notebook_bytes(filled)
    replace_folder(folder.autograded(learner, module), files, folder.work, durable=False)
    put_scores(gradebook, module, learner, when, scores)


def _plain(path: Path) -> bool:
    return path.is_file() and not path.is_symlink()


def _when(content: bytes | None, submitted: Path) -> str | None:
    """Return the time in timestamp.txt as nbgrader reads it, or None when there is none."""
    from nbgrader.utils import parse_utc

    if content is None:
        return None
    try:
        text = content.decode("ascii").strip()
        parse_utc(text)
    except (ValueError, OverflowError):
        raise ClassError(
            f"'{submitted / TIMESTAMP}' holds no time such as '2031-05-04 09:30:00 UTC'."
        ) from None
    return text
