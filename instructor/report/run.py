"""`wetslip class report`: a feedback page for each learner, and the report on the class as a page and as CSV."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from instructor.errors import ClassError
from instructor.files import write_bytes, write_text
from instructor.handout.released import read_released
from instructor.layout import ClassFolder
from instructor.pages import module_title, render
from instructor.people.roster import Learner, read_roster
from instructor.report.class_report import ClassReport, Unnamed, class_report
from instructor.report.data import Pupil, general_titles, read_pupil
from instructor.report.feedback import pages_of
from instructor.report.summary import class_csv, items_csv, mistake_rows
from instructor.report.unnamed import pattern


@dataclass(frozen=True)
class Reports:
    """The pages written, the class summary, and one sentence for each learner who got no page by a fault."""

    pages: tuple[Path, ...]
    summary: Path
    problems: tuple[str, ...]


def report_class(folder: ClassFolder, module: str, jobs: int = 0) -> Reports:
    """Write the pages of everyone who is marked, and the report on the class as HTML and CSV.

    Parameters
    ----------
    folder, module : the class and its released module
    jobs : how many processes; 0 for as many as there are cores

    Raises
    ------
    ClassError : the module is not released, or nobody is marked yet; the gradebook cannot be used
    """
    released = read_released(folder, module)
    learners = read_roster(folder.roster)
    marked = [learner for learner in learners if folder.marks(learner.id, module).exists()]
    if not marked:
        raise ClassError(f"Nobody's '{module}' is marked yet; do that with 'wetslip class mark {module}'.")
    pages = pages_of(folder, released, marked, read_pupil, jobs)
    return Reports(
        tuple(page.path for page in pages if page.path),
        _summary(folder, module, learners, [page.more for page in pages if page.more]),
        tuple(page.problem for page in pages if page.problem),
    )


def report_of(module: str, pupils: Sequence[Pupil]) -> ClassReport:
    """Return the class report of a module of the course."""
    from graders.exercises import MODULES, objectives_of

    return class_report(pupils, MODULES[module], objectives_of(module))


def _summary(folder: ClassFolder, module: str, learners: Sequence[Learner], pupils: Sequence[Pupil]) -> Path:
    """Write the class's page and its CSV files, and return the page."""
    from graders.exercises import MODULES

    path = folder.report(module, "html")
    results = [pupil.result for pupil in pupils]
    report = report_of(module, pupils)
    report = replace(report, unnamed=tuple(_explained(folder, module, report)))
    marks = [scored.mark for pupil in report.worked for scored in pupil.result.exercises]
    rows = mistake_rows(marks, general_titles(MODULES[module]))
    page = render(
        "class_report.html.j2",
        title=module_title(module),
        module=module,
        cohort=folder.cohort,
        learners=learners,
        results={result.learner.id: result for result in results},
        mistakes=rows,
        report=report,
        spread=tenths([result.points / result.out_of for result in results if result.out_of > 0]),
    )
    write_text(path, page)
    # the mark at the start tells spreadsheets that it is utf-8
    write_bytes(folder.report(module, "csv"), class_csv(learners, pupils).encode("utf-8-sig"))
    items = folder.report(module, "csv").with_name(f"{module}_items.csv")
    write_bytes(items, items_csv(report, rows).encode("utf-8-sig"))
    return path


def _explained(folder: ClassFolder, module: str, report: ClassReport) -> Iterator[Unnamed]:
    """Yield the wrong answers without a name, with what those who gave them have in common."""
    from graders.exercises import MODULES

    exercises = {exercise.id: exercise for exercise in MODULES[module]}
    released = read_released(folder, module) if report.unnamed else None
    for row in report.unnamed:
        if released is not None:
            words = pattern(folder, released, exercises[row.exercise], row.part, report.worked)
            yield replace(row, pattern=words)


def tenths(shares: Sequence[float]) -> list[int]:
    """Return how many shares, from 0 to 1, lie in each tenth; 1 itself is in the last."""
    counts = [0] * 10
    for share in shares:
        counts[min(9, max(0, int(10 * share)))] += 1
    return counts
