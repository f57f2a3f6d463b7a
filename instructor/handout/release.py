"""`wetslip class release`: a module checked, handed to nbgrader, every learner's slips drawn and stored."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence, Set
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from course.quickly import quickly
from instructor.errors import ClassError
from instructor.files import write_bytes
from instructor.handout.check_cells import (
    check_cells,
    plain_bytes,
    read_checked,
    read_plain,
)
from instructor.handout.drawing import drawn
from instructor.handout.own import OWN_FILES, lay_out_own, material
from instructor.handout.released import (
    Released,
    check_module,
    check_versions,
    modules_folder,
    read_released,
    store_plan,
    write_released,
)
from instructor.layout import ClassFolder
from instructor.marking.gradebook import open_gradebook, put_learners
from instructor.marking.written import STUB, with_written_cells
from instructor.people.roster import Learner, read_roster
from instructor.progress import doing, progress

LEFT_ALONE = {".ipynb_checkpoints", "__pycache__", ".DS_Store"}  # nbgrader leaves these, or they never travel


@dataclass(frozen=True)
class Release:
    """What a release did: for how many learners slips were drawn, how many had theirs already, and how many draws were refused."""

    module: str
    drawn: int
    kept: int
    slips: int = 0
    refused: int = 0


def release(folder: ClassFolder, module: str) -> Release:
    """Release a module to the class, or go on with a release that was begun or has new learners.

    Slips that are stored stay as they are. Slips are drawn first, since nbgrader takes seconds to import; the index
    of the release, written last, makes all of it count.

    Raises
    ------
    ClassError : the module or the class folder is not fit for it; nothing was released
    """
    check_module(module)
    learners = read_roster(folder.roster)
    notebook = checked_notebook(module_folder(folder, module), module)
    _refuse_strays(folder.source(module), module)
    content = plain_bytes(notebook)
    digest = hashlib.sha256(content + material(folder, module)).hexdigest()
    before = _standing(folder, module, digest)
    with open_gradebook(folder) as gradebook:
        put_learners(gradebook, learners)
    index, outcome = _draw(folder, module, learners, before, digest)
    if before is None or not folder.release_notebook(module).exists():
        write_bytes(folder.source(module) / f"{module}.ipynb", content)
        _generate(folder, module)
        lay_out_own(folder, module)
    if index != before:
        write_released(folder, index)
    return outcome


def module_folder(folder: ClassFolder, module: str) -> Path:
    """Return where a module's notebook lies: in the class's own material, or in the course."""
    own = folder.own(module)
    return own if own.is_dir() else modules_folder() / module


def checked_notebook(folder: Path, module: str) -> Any:
    """Return the notebook of a module, as plain JSON, once it is fit for release.

    The course's own are plain JSON as nbformat writes them (a test holds them to it) and are read as that; one that an
    instructor made is read, and so checked, by nbformat.

    Parameters
    ----------
    folder : where it lies, see `module_folder`
    module : its id

    Raises
    ------
    ClassError : stray files lie beside it, it holds outputs, or its check cells are not the exercises' own
    """
    from graders.exercises import MODULES

    _refuse_strays(folder, module, OWN_FILES)
    path = folder / f"{module}.ipynb"
    notebook = read_plain(path) if folder.parent == modules_folder() else read_checked(path)
    for place, cell in enumerate(notebook["cells"], start=1):
        if cell.get("outputs") or cell.get("execution_count") is not None:
            raise ClassError(f"Cell {place} of '{path}' holds outputs; a notebook is released without any.")
    _refuse_cells(notebook, module, path)
    return with_written_cells(notebook, MODULES[module])


def _refuse_strays(folder: Path, module: str, allowed: Set[str] = frozenset()) -> None:
    """Refuse files other than the notebook: nbgrader would copy them over every learner's own."""
    if not folder.exists():
        return
    strays = sorted(
        path.name for path in folder.iterdir() if path.name not in {*LEFT_ALONE, *allowed, f"{module}.ipynb"}
    )
    if strays:
        raise ClassError(
            f"'{folder}' holds {', '.join(repr(name) for name in strays)} beside the notebook; "
            "nbgrader would copy that over the learners' own files, so move it elsewhere and release again."
        )


def _refuse_cells(notebook: Any, module: str, path: Path) -> None:
    """Refuse a notebook whose check cells are not one for each exercise, with its points."""
    from graders.exercises import MODULES

    points = {exercise.grade_id: float(exercise.points) for exercise in MODULES[module]}
    found: dict[str, float] = {}
    for cell in check_cells(notebook):
        tag = cell["metadata"]["nbgrader"]
        if tag["grade_id"] in found:
            raise ClassError(f"The check cell '{tag['grade_id']}' is twice in '{path}'.")
        found[tag["grade_id"]] = float(tag["points"])
    for name in sorted({*points, *found}):
        if points.get(name) != found.get(name):
            raise ClassError(
                f"The check cell '{name}' has {found.get(name, 'no')} points in '{path}', "
                f"and its exercise has {points.get(name, 'no')}."
            )


def _standing(folder: ClassFolder, module: str, notebook: str) -> Released | None:
    """Return the release that stands, or None; refuse when going on would mean changing it."""
    if not folder.released(module).exists():
        return None
    before = read_released(folder, module)
    if before.cohort != folder.cohort:
        raise ClassError(
            f"The module '{module}' was released to cohort '{before.cohort}', and class.json now says "
            f"'{folder.cohort}'; slips are not changed in place, so put the old code back."
        )
    check_versions(before, "add learners to it")
    if before.notebook != notebook:
        raise ClassError(
            f"The notebook of '{module}' has changed since it was released; what is released is not changed "
            "in place, so make a new class folder to release the changed one."
        )
    return before


def _generate(folder: ClassFolder, module: str) -> None:
    """Make the learners' notebook with nbgrader's own tool, which enters the check cells in the gradebook."""
    doing("Making the learners' notebook")
    quickly("nbformat")  # before nbgrader imports it the slow way
    from nbgrader.converters import GenerateAssignment
    from nbgrader.coursedir import CourseDirectory
    from nbgrader.utils import capture_log
    from traitlets.config import Config

    directory = CourseDirectory(root=str(folder.root), db_url=folder.database_url, assignment_id=module)
    converter = GenerateAssignment(
        coursedir=directory, config=Config({"ClearSolutions": {"text_stub": STUB}})
    )
    converter.force = True
    outcome = capture_log(converter)
    if not outcome["success"]:
        last = outcome.get("log", outcome["error"]).strip().splitlines()[-1]
        raise ClassError(f"nbgrader could not make the learners' notebook of '{module}': {last}")


def _draw(
    folder: ClassFolder,
    module: str,
    learners: Sequence[Learner],
    before: Released | None,
    notebook: str,
) -> tuple[Released, Release]:
    """Draw and store the slips of everyone who has none; return the index that makes them count, and what was done."""
    from graders.versions import frozen_versions

    index = before or Released(module, folder.cohort, frozen_versions(), notebook)
    new = [learner for learner in learners if learner.id not in index.slips]
    slips = {learner: dict(digests) for learner, digests in index.slips.items()}
    made = drawn(module, folder.cohort, [learner.id for learner in new])
    refused = 0
    for found in progress(made, f"slips of {module}", len(new)):
        if found.problem:
            raise ClassError(f"The slips of '{found.learner}' could not be drawn: {found.problem}")
        slips[found.learner] = {exercise: plan.digest for exercise, plan in found.plans.items()}
        for plan in found.plans.values():
            store_plan(folder, plan)
        refused += found.refused
    ordered = {learner.id: slips[learner.id] for learner in learners if learner.id in slips}
    if new:
        index = replace(index, slips={**slips, **ordered})
    stored = sum(len(slips[learner.id]) for learner in new)
    return index, Release(module, len(new), len(learners) - len(new), stored, refused)
