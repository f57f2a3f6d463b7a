"""The learner's page: only what is theirs goes into it."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from instructor.errors import ClassError, sentence_for
from instructor.files import read_regular, write_text
from instructor.handout.released import Released, read_plans, read_released
from instructor.layout import LOGBOOK, ClassFolder
from instructor.marking.gradebook import open_gradebook
from instructor.marking.pool import spread
from instructor.marking.results import Result, read_result
from instructor.pages import module_title, render
from instructor.people.roster import Learner, find, read_roster
from instructor.progress import progress
from instructor.report.feedback_figure import figure, readings

LARGEST_LOGBOOK = 20_000_000


@dataclass(frozen=True)
class Pages:
    """The pages written, and one sentence for each learner who got none by a fault."""

    written: tuple[Path, ...]
    problems: tuple[str, ...]


More = Callable[[ClassFolder, Released, Result], Any]  # a function of a module: it goes to other processes


@dataclass(frozen=True)
class Paging:
    """What one run has in common: the class, the release, those who get a page by id, and what else each gives."""

    folder: ClassFolder
    released: Released
    learners: Mapping[str, Learner]
    more: More | None = None


@dataclass(frozen=True)
class Page:
    """What became of one learner: their page and what more was made of them, nothing unless marked, or a problem."""

    learner: str
    path: Path | None = None
    more: Any = None
    problem: str = ""


def write_pages(folder: ClassFolder, module: str, learners: Sequence[str] = (), jobs: int = 0) -> Pages:
    """Write the pages of these learners, or of everyone who is marked.

    Parameters
    ----------
    folder, module : the class and its released module
    learners : ids; none for everyone
    jobs : how many processes; 0 for as many as there are cores

    Raises
    ------
    ClassError : the module is not released, nobody has an id, or the gradebook cannot be used
    """
    released = read_released(folder, module)
    roster = read_roster(folder.roster)
    chosen = [find(roster, learner) for learner in learners] or roster
    pages = pages_of(folder, released, chosen, jobs=jobs)
    return Pages(
        tuple(page.path for page in pages if page.path), tuple(page.problem for page in pages if page.problem)
    )


def pages_of(
    folder: ClassFolder,
    released: Released,
    learners: Sequence[Learner],
    more: More | None = None,
    jobs: int = 0,
) -> list[Page]:
    """Write these learners' pages over the cores, and return what became of each, in their order.

    Parameters
    ----------
    more : what else is wanted of each who has a page, from the class, the release and the result

    Raises
    ------
    ClassError : the gradebook cannot be used
    """
    with open_gradebook(folder):
        pass  # one that cannot be used is said once, and here
    chosen = {who.id: who for who in learners}
    made = spread(_page, Paging(folder, released, chosen, more), list(chosen), _fatal, jobs)
    found = {page.learner: page for page in progress(made, f"feedback of {released.module}", len(chosen))}
    return [found[learner] for learner in chosen]


def _page(common: Paging, learner: str) -> Page:
    """Write one learner's page, if they are marked. Never raises."""
    folder, released, more = common.folder, common.released, common.more
    try:
        with open_gradebook(folder) as gradebook:
            result = read_result(folder, released.module, common.learners[learner], gradebook)
        if result is None:
            return Page(learner)
        path = write_page(folder, released, result)
        return Page(learner, path, more(folder, released, result) if more else None)
    except ClassError as problem:
        reason = str(problem)
    except OSError as problem:
        reason = sentence_for(problem)
    return Page(learner, problem=f"'{learner}' got no page: {reason}")


def _fatal(learner: str) -> Page:
    return Page(learner, problem=f"'{learner}' got no page: the process that wrote it was ended.")


def write_page(folder: ClassFolder, released: Released, result: Result) -> Path:
    """Write one learner's page and return its path."""
    path = folder.feedback(result.learner.id, released.module)
    page = render(
        "feedback.html.j2",
        title=module_title(released.module),
        cohort=folder.cohort,
        result=result,
        figures=_figures(folder, released, result.learner.id),
    )
    write_text(path, page, durable=False)
    return path


def _figures(folder: ClassFolder, released: Released, learner: str) -> dict[str, str]:
    """Return each exercise's figure; one that cannot be drawn is left out, since the words say it all."""
    try:
        content = read_regular(folder.submitted(learner, released.module) / LOGBOOK, LARGEST_LOGBOOK) or b""
        rows = _rows(content)
        plans = read_plans(folder, _told_of(rows, released, learner), learner)
    except (ClassError, OSError):
        return {}
    drawn = {exercise: figure(plan, readings(rows, plan.digest)) for exercise, plan in plans.items()}
    return {exercise: svg for exercise, svg in drawn.items() if svg}


def _told_of(rows: Sequence[Any], released: Released, learner: str) -> Released:
    """Return the release with only those slips of a learner that a logbook tells of, where it tells of no others."""
    named = {row.get("slip") for row in rows if isinstance(row, dict) and isinstance(row.get("slip"), str)}
    slips = released.slips.get(learner, {})
    if not named <= set(slips.values()):  # slips of an older Wetslip go by another name today
        return released
    return replace(released, slips={learner: {name: slip for name, slip in slips.items() if slip in named}})


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
