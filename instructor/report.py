"""`wetslip class report`: a feedback page for each learner, and the report on the class as a page and as CSV."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from instructor.errors import ClassError, sentence_for
from instructor.feedback import write_page
from instructor.files import write_bytes, write_text
from instructor.gradebook import open_gradebook
from instructor.layout import ClassFolder
from instructor.marking_pool import spread
from instructor.pages import module_title, render
from instructor.progress import progress
from instructor.released import Released, read_released
from instructor.report_class import ClassReport, Unnamed, class_report
from instructor.report_data import Pupil, general_titles, read_pupil
from instructor.report_unnamed import pattern
from instructor.results import read_result
from instructor.roster import Learner, read_roster
from instructor.summary import class_csv, items_csv, mistake_rows


@dataclass(frozen=True)
class Reports:
    """The pages written, the class summary, and one sentence for each learner who got no page by a fault."""

    pages: tuple[Path, ...]
    summary: Path
    problems: tuple[str, ...]


@dataclass(frozen=True)
class Reporting:
    """What one run has in common: the class, the release and the roster by id."""

    folder: ClassFolder
    released: Released
    learners: Mapping[str, Learner]


@dataclass(frozen=True)
class Paged:
    """What became of one learner: their page and their part of the class report, nothing, or a problem in one sentence."""

    learner: str
    page: Path | None = None
    pupil: Pupil | None = None
    problem: str = ""


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
    with open_gradebook(folder):
        pass  # one that cannot be used is said once, and here
    common = Reporting(folder, released, {learner.id: learner for learner in learners})
    marked = [learner.id for learner in learners if folder.marks(learner.id, module).exists()]
    if not marked:
        raise ClassError(f"Nobody's '{module}' is marked yet; do that with 'wetslip class mark {module}'.")
    made = progress(spread(page_of, common, marked, _fatal, jobs), f"feedback of {module}", len(marked))
    found = {paged.learner: paged for paged in made}
    in_order = [found[learner] for learner in marked]
    pupils = [paged.pupil for paged in in_order if paged.pupil]
    return Reports(
        tuple(paged.page for paged in in_order if paged.page),
        _summary(folder, module, learners, pupils),
        tuple(paged.problem for paged in in_order if paged.problem),
    )


def page_of(common: Reporting, learner: str) -> Paged:
    """Write one learner's page and return it with their part of the class report. Never raises."""
    folder, released = common.folder, common.released
    try:
        with open_gradebook(folder) as gradebook:
            result = read_result(folder, released.module, common.learners[learner], gradebook)
        if result is None:
            return Paged(learner)
        page = write_page(folder, released, result)
        return Paged(learner, page, read_pupil(folder, released, result))
    except ClassError as problem:
        reason = str(problem)
    except OSError as problem:
        reason = sentence_for(problem)
    return Paged(learner, problem=f"'{learner}' got no page: {reason}")


def _fatal(learner: str) -> Paged:
    return Paged(learner, problem=f"'{learner}' got no page: the process that wrote it was ended.")


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
