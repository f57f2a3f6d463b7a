"""`wetslip class report`: a feedback page for each learner and a summary of the class."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from instructor.errors import ClassError
from instructor.files import write_bytes, write_text
from instructor.gradebook import Score, open_gradebook, read_scores
from instructor.layout import ClassFolder
from instructor.marks import read_marks
from instructor.progress import progress
from instructor.released import read_released
from instructor.roster import Learner, read_roster
from instructor.summary import class_csv, mistake_rows

if TYPE_CHECKING:
    from graders.marks import Mark

TEMPLATES = Path(__file__).parent / "templates"


@dataclass(frozen=True)
class Scored:
    """One exercise as a learner gets it: the mark, and the points that count.

    `points` are an instructor's own if formgrader holds such a score, and then `by_hand` is true.
    """

    mark: Mark
    points: float
    by_hand: bool


@dataclass(frozen=True)
class Result:
    """One learner's marked module."""

    learner: Learner
    exercises: tuple[Scored, ...]

    @property
    def points(self) -> float:
        """The points that count, summed."""
        return sum(scored.points for scored in self.exercises)

    @property
    def out_of(self) -> float:
        """The points there are."""
        return sum(scored.mark.out_of for scored in self.exercises)


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
                result = _result(folder, module, learner, gradebook)
            except ClassError as problem:
                problems.append(f"'{learner.id}' got no page: {problem}")
                continue
            if result is not None:
                results.append(result)
    if not results and not problems:
        raise ClassError(f"Nobody's '{module}' is marked yet; do that with 'wetslip class mark {module}'.")
    pages = [_page(folder, module, result) for result in progress(results, f"feedback of {module}")]
    return Reports(tuple(pages), _summary(folder, module, learners, results), tuple(problems))


def _result(folder: ClassFolder, module: str, learner: Learner, gradebook: Any) -> Result | None:
    """Return a learner's marks with the gradebook's say, or None when nothing of theirs is marked."""
    from graders.exercises import MODULES

    marks = read_marks(folder, module, learner.id)
    if marks is None:
        return None
    grade_ids = {exercise.id: exercise.grade_id for exercise in MODULES[module]}
    scores = read_scores(gradebook, module, learner.id)
    return Result(
        learner, tuple(_scored(mark, scores.get(grade_ids.get(mark.exercise, ""))) for mark in marks)
    )


def _scored(mark: Mark, score: Score | None) -> Scored:
    if score is None or score.points == mark.points:
        return Scored(mark, mark.points, by_hand=False)
    return Scored(mark, score.points, by_hand=True)


def module_title(module: str) -> str:
    """Return a module's id as a title: "03_reference_cell" -> "Module 03: reference cell"."""
    number, _, words = module.partition("_")
    return f"Module {number}: {words.replace('_', ' ')}" if words else module


def render(template: str, **values: Any) -> str:
    """Return a page made from one of our templates; everything put into it is escaped."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    surroundings = Environment(
        loader=FileSystemLoader(TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    surroundings.filters["points"] = lambda value: f"{value:.4g}"
    return surroundings.get_template(template).render(**values)


def _page(folder: ClassFolder, module: str, result: Result) -> Path:
    """Write one learner's page: only what is theirs goes into it."""
    path = folder.feedback(result.learner.id, module)
    page = render("feedback.html.j2", title=module_title(module), cohort=folder.cohort, result=result)
    write_text(path, page, durable=False)
    return path


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
