"""The marks as they count: what marking found, and what an instructor set by hand in formgrader."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from instructor.gradebook import Score, read_scores
from instructor.layout import ClassFolder
from instructor.marks import read_marks
from instructor.roster import Learner
from instructor.terms import Late, handed_in_at, read_terms

if TYPE_CHECKING:
    from graders.marks import Mark


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
    late: Late | None = None

    @property
    def earned(self) -> float:
        """The points of the work itself, summed."""
        return sum(scored.points for scored in self.exercises)

    @property
    def points(self) -> float:
        """The points that count: those earned, less what lateness costs."""
        share = 1.0 if self.late is None else 1.0 - self.late.per_cent / 100
        return round(self.earned * share, 2) if share < 1 else self.earned

    @property
    def out_of(self) -> float:
        """The points there are."""
        return sum(scored.mark.out_of for scored in self.exercises)


def read_result(folder: ClassFolder, module: str, learner: Learner, gradebook: Any) -> Result | None:
    """Return a learner's marks with the gradebook's say, or None when nothing of theirs is marked.

    Raises
    ------
    ClassError : the stored marks are damaged
    """
    from graders.exercises import MODULES

    marks = read_marks(folder, module, learner.id)
    if marks is None:
        return None
    grade_ids = {exercise.id: exercise.grade_id for exercise in MODULES[module]}
    scores = read_scores(gradebook, module, learner.id)
    scored = tuple(_scored(mark, scores.get(grade_ids.get(mark.exercise, ""))) for mark in marks)
    late = read_terms(folder, module).late(learner, handed_in_at(folder, module, learner.id))
    return Result(learner, scored, late)


def _scored(mark: Mark, score: Score | None) -> Scored:
    if score is None or score.points == mark.points:
        return Scored(mark, mark.points, by_hand=False)
    return Scored(mark, score.points, by_hand=True)
