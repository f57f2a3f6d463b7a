"""The learner's page: only what is theirs goes into it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from instructor.errors import ClassError
from instructor.feedback_figure import figure, readings
from instructor.files import read_regular, write_text
from instructor.gradebook import open_gradebook
from instructor.layout import LOGBOOK, ClassFolder
from instructor.pages import module_title, render
from instructor.progress import progress
from instructor.released import Released, read_plans, read_released
from instructor.results import Result, read_result
from instructor.roster import find, read_roster

LARGEST_LOGBOOK = 20_000_000


@dataclass(frozen=True)
class Pages:
    """The pages written, and one sentence for each learner who got none by a fault."""

    written: tuple[Path, ...]
    problems: tuple[str, ...]


def write_pages(folder: ClassFolder, module: str, learners: Sequence[str] = ()) -> Pages:
    """Write the pages of these learners, or of everyone who is marked.

    Raises
    ------
    ClassError : the module is not released, or nobody has an id
    """
    read_released(folder, module)
    roster = read_roster(folder.roster)
    chosen = [find(roster, learner) for learner in learners] or list(roster)
    written: list[Path] = []
    problems: list[str] = []
    with open_gradebook(folder) as gradebook:
        for learner in progress(chosen, f"feedback of {module}"):
            try:
                result = read_result(folder, module, learner, gradebook)
            except ClassError as problem:
                problems.append(f"'{learner.id}' got no page: {problem}")
                continue
            if result is not None:
                written.append(write_page(folder, module, result))
    return Pages(tuple(written), tuple(problems))


def write_page(folder: ClassFolder, module: str, result: Result) -> Path:
    """Write one learner's page and return its path."""
    path = folder.feedback(result.learner.id, module)
    page = render(
        "feedback.html.j2",
        title=module_title(module),
        cohort=folder.cohort,
        result=result,
        figures=_figures(folder, read_released(folder, module), result.learner.id),
    )
    write_text(path, page, durable=False)
    return path


def _figures(folder: ClassFolder, released: Released, learner: str) -> dict[str, str]:
    """Return each exercise's figure; one that cannot be drawn is left out, since the words say it all."""
    try:
        plans = read_plans(folder, released, learner)
        content = read_regular(folder.submitted(learner, released.module) / LOGBOOK, LARGEST_LOGBOOK) or b""
    except (ClassError, OSError):
        return {}
    rows = list(_rows(content))
    drawn = {exercise: figure(plan, readings(rows, plan.digest)) for exercise, plan in plans.items()}
    return {exercise: svg for exercise, svg in drawn.items() if svg}


def _rows(content: bytes) -> list[Any]:
    rows = []
    for line in content.splitlines():
        if b'"reading"' not in line:
            continue
        try:
            rows.append(json.loads(line))
        except (ValueError, RecursionError):
            continue
    return rows
