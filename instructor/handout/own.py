"""Modules of a class's own: made from a template, checked, and handed out, without touching the course."""

from __future__ import annotations

import json
import zipfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from instructor.errors import ClassError
from instructor.files import replace_folder, write_bytes
from instructor.layout import ClassFolder, open_class

if TYPE_CHECKING:
    from course.boats.description import Boat
    from graders.exercise import Exercise

OWN_FILES = frozenset({"module.yaml", "boats"})
SEEDS = 10  # learners tried out by a check
TEMPLATE_BOAT = "marsh_lantern"


@dataclass(frozen=True)
class Checked:
    """One thing a check looked at: what, whether it is in order, and what was found."""

    what: str
    sound: bool
    found: str


def new_module(folder: ClassFolder, module: str, like: Sequence[str], boat: Path | None) -> Path:
    """Make a module from the template: a notebook, module.yaml and a boat to change; it is ready to be checked.

    Parameters
    ----------
    folder : the class
    module : its id, from 20_... to 99_...
    like : the exercises of the course it begins with, such as 03.1
    boat : a boat file to lay on its berth, or None for a copy of one of the fleet's under a new id

    Raises
    ------
    ClassError : the name is unfit or taken, there is no such exercise, or the boat file cannot be used
    """
    from graders.exercises import UnknownExercise, exercise_named
    from graders.own import NAME

    place = folder.own(module)
    if not NAME.fullmatch(module):
        raise ClassError(
            f"A module of your own is named from 20_... to 99_..., in small letters, digits and '_', and not '{module}'."
        )
    if place.exists():
        raise ClassError(f"'{place}' is there already; nothing was changed.")
    try:
        exercises = [exercise_named(name) for name in like]
    except UnknownExercise as problem:
        raise ClassError(str(problem)) from None
    vessel, text = _boat(boat, module)
    files = {
        f"{module}.ipynb": _notebook(module, exercises, vessel),
        "module.yaml": _module_file(module, exercises, vessel),
        f"boats/{vessel.id}.yaml": text,
    }
    replace_folder(place, {name: content.encode("utf-8") for name, content in files.items()}, folder.work)
    open_class(folder.root)
    return place


def _boat(path: Path | None, module: str) -> tuple[Boat, str]:
    import yaml

    from course.boats.datasets import datasets_folder
    from course.boats.description import BoatError, boat_from_document, read_boat

    try:
        if path is not None:
            return read_boat(path), path.read_text(encoding="utf-8-sig")
        fleet = datasets_folder() / "boats" / f"{TEMPLATE_BOAT}.yaml"
        own = f"boat_of_{module[:2]}"
        text = fleet.read_text(encoding="utf-8").replace(f"id: {TEMPLATE_BOAT}", f"id: {own}", 1)
        return boat_from_document(yaml.safe_load(text), f"{own}.yaml"), text
    except BoatError as problem:
        raise ClassError(f"{problem}.") from None


def _module_file(module: str, exercises: Sequence[Exercise], boat: Boat) -> str:
    lines = [
        "# A module of your own. Each exercise is made from one of the course's (like); boat, title and prompt are",
        "# yours, and may be left out. Check it with: wetslip class check-module " + module,
        "schema: 1",
        f"module: {module}",
        "exercises:",
    ]
    for number, exercise in enumerate(exercises, start=1):
        lines.append(f'  - id: "{module[:2]}.{number}"')
        lines.append(f'    like: "{exercise.id}"')
        if exercise.bench:
            lines.append(f"    boat: {boat.id}")
        lines.append(f"    title: {json.dumps(exercise.title, ensure_ascii=False)}")
    return "\n".join(lines) + "\n"


def _notebook(module: str, exercises: Sequence[Exercise], boat: Boat) -> str:
    from graders.marks import check_cell

    title = module[3:].replace("_", " ")
    intro = (
        f"# {module[:2]} {title[:1].upper()}{title[1:]}\n\n**By the end you can** ... (write here what, in one sentence).\n\n"
        f"The boat of this module is *{boat.name}*, {boat.kind}."
    )
    how = (
        "**To start this page:** wait until *Python 3* stands at the top right, then choose **Run > Run All Cells** in "
        "the menu at the top."
    )
    cells = [
        _text("title", intro),
        _text("start", how),
        _code("import", "from course import check, exercise"),
    ]
    for number, like in enumerate(exercises, start=1):
        own = f"{module[:2]}.{number}"
        cells.append(
            _text(
                f"about-{number}",
                f"## {own} {like.title}\n\n(Write here what the learner needs to know first.)",
            )
        )
        cells.append(_code(f"exercise-{number}", f'exercise("{own}")'))
        tag = {
            "cell_type": "code", "grade": True, "grade_id": check_cell(own), "locked": True,
            "points": like.points, "schema_version": 3, "solution": False, "task": False,
        }  # fmt: skip
        cells.append(_code(check_cell(own), f'check("{own}")', {"nbgrader": tag}))
    names = {"display_name": "Python 3 (ipykernel)", "language": "python", "name": "python3"}
    notebook = {
        "cells": cells,
        "metadata": {"kernelspec": names, "language_info": {"name": "python"}},
        "nbformat": 4,
        "nbformat_minor": 5,
    }
    return json.dumps(notebook, indent=1, ensure_ascii=False) + "\n"


def _text(name: str, source: str) -> dict[str, Any]:
    return {"cell_type": "markdown", "id": name, "metadata": {}, "source": source}


def _code(name: str, source: str, metadata: dict[str, Any] | None = None) -> dict[str, Any]:
    return {
        "cell_type": "code", "execution_count": None, "id": name, "metadata": metadata or {}, "outputs": [],
        "source": source,
    }  # fmt: skip


def check_module(folder: ClassFolder, module: str) -> Iterator[Checked]:
    """Yield what a check of a module of one's own finds: its files, its notebook, and each exercise tried out.

    An exercise is drawn for ten invented learners, done rightly on each boat, and with each mistake it names.

    Raises
    ------
    ClassError : there is no such module of the class's own
    """
    from graders.exercises import MODULES
    from instructor.handout.release import checked_notebook

    if not folder.own(module).is_dir():
        raise ClassError(
            f"The class has no module '{module}' of its own; make one with 'wetslip class new-module'."
        )
    boats = sorted(path.stem for path in (folder.own(module) / "boats").glob("*.yaml"))
    yield Checked("files", True, f"module.yaml is sound; boats: {', '.join(boats) or 'the fleet alone'}")
    try:
        checked_notebook(folder.own(module), module)
        yield Checked("notebook", True, "a check cell for each exercise, with its points, and no outputs")
    except ClassError as problem:
        yield Checked("notebook", False, str(problem))
    for exercise in MODULES[module]:
        yield from _tried(exercise)


def _tried(exercise: Exercise) -> Iterator[Checked]:
    from graders.personal import NoSlip, accept
    from graders.trial import mistakes, right

    name = f"{exercise.id} {exercise.title}"
    try:
        drawn = [accept(exercise, f"trial {number}") for number in range(SEEDS)]
        refused = sum(one.refused for one in drawn)
        yield Checked(
            name, True, f"{SEEDS} boats drawn, {refused} refused on the way as not teaching the point"
        )
        task = exercise.task(drawn[0].plan)
        mark = right(task).mark
        done = mark.points >= mark.out_of
        yield Checked(name, done, f"done rightly it earns {mark.points:g} of {mark.out_of:g}{_lost(mark)}")
        tries = list(mistakes(task))
        unseen = [trial.mistake for trial in tries if not trial.recognised]
        found = f"{len(tries) - len(unseen)} of {len(tries)} mistakes are recognised as themselves"
        yield Checked(name, not unseen, found + (f"; not: {', '.join(unseen)}" if unseen else ""))
    except NoSlip as problem:
        yield Checked(name, False, f"{problem}; this boat does not suit it")
    except (
        Exception
    ) as problem:  # whatever a boat of one's own makes an exercise do is a finding, not a crash
        yield Checked(name, False, f"it cannot be done on this boat ({type(problem).__name__}: {problem})")


def _lost(mark: Any) -> str:
    lost = [part.title for part in mark.parts if not part.right]
    return f"; lost in: {', '.join(lost)}" if lost else ""


def material(folder: ClassFolder, module: str) -> bytes:
    """Return what an own module is made of beside its notebook, in one piece; nothing for one of the course."""
    return b"".join(name.encode() + b"\0" + content for name, content in own_files(folder, module))


def own_files(folder: ClassFolder, module: str) -> Iterator[tuple[str, bytes]]:
    """Yield name and content of what an own module is made of beside its notebook; nothing for one of the course."""
    own = folder.own(module)
    if own.is_dir():
        for path in [own / "module.yaml", *sorted((own / "boats").glob("*.yaml"))]:
            yield path.relative_to(own).as_posix(), path.read_bytes()


def lay_out_own(folder: ClassFolder, module: str) -> None:
    """Put an own module's files beside the released notebook, and all of it into a zip to hand out."""
    files = dict(own_files(folder, module))
    if not files:
        return
    place = folder.release_notebook(module).parent
    for name, content in files.items():
        write_bytes(place / name, content)
    files[f"{module}.ipynb"] = folder.release_notebook(module).read_bytes()
    path = handout(folder, module)
    path.parent.mkdir(exist_ok=True)
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in files.items():
            archive.writestr(f"{module}/{name}", content)


def handout(folder: ClassFolder, module: str) -> Path:
    """Return the zip that learners unpack in their Wetslip folder."""
    return folder.root / "handout" / f"{module}.zip"
