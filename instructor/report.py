"""`wetslip class report`: a feedback page for each learner and a summary of the class."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from instructor.errors import ClassError
from instructor.feedback import write_page
from instructor.files import write_bytes, write_text
from instructor.gradebook import open_gradebook
from instructor.layout import ClassFolder
from instructor.pages import module_title, render
from instructor.progress import progress
from instructor.released import read_released
from instructor.results import Result, read_result
from instructor.roster import Learner, read_roster
from instructor.summary import class_csv, mistake_rows


@dataclass(frozen=True)
class Reports:
    """The pages written, the class summary, and one sentence for each learner who got no page by a fault."""

    pages: tuple[Path, ...]
    summary: Path
    problems: tuple[str, ...]


def report_class(folder: ClassFolder, module: str) -> Reports:
    """Write the pages of everyone who is marked, and the class summary as HTML and CSV.

    Raises
    ------
    ClassError : the module is not released, or nobody is marked yet
    """
    read_released(folder, module)
    learners = read_roster(folder.roster)
    results: list[Result] = []
    problems: list[str] = []
    with open_gradebook(folder) as gradebook:
        for learner in learners:
            try:
                result = read_result(folder, module, learner, gradebook)
            except ClassError as problem:
                problems.append(f"'{learner.id}' got no page: {problem}")
                continue
            if result is not None:
                results.append(result)
    if not results and not problems:
        raise ClassError(f"Nobody's '{module}' is marked yet; do that with 'wetslip class mark {module}'.")
    pages = [write_page(folder, module, result) for result in progress(results, f"feedback of {module}")]
    return Reports(tuple(pages), _summary(folder, module, learners, results), tuple(problems))


def _summary(folder: ClassFolder, module: str, learners: tuple[Learner, ...], results: list[Result]) -> Path:
    """Write the class's page and its CSV, and return the page."""
    path = folder.report(module, "html")
    page = render(
        "class_report.html.j2",
        title=module_title(module),
        module=module,
        cohort=folder.cohort,
        learners=learners,
        results={result.learner.id: result for result in results},
        mistakes=mistake_rows([scored.mark for result in results for scored in result.exercises]),
    )
    write_text(path, page)
    # the mark at the start tells spreadsheets that it is utf-8
    write_bytes(folder.report(module, "csv"), class_csv(learners, results).encode("utf-8-sig"))
    return path
