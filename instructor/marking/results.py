"""The marks as they count: what marking found, and what an instructor set by hand in formgrader."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from instructor.handout.terms import Late, handed_in_at, read_terms
from instructor.layout import ClassFolder
from instructor.marking.comments import expanded, read_bank, read_comments
from instructor.marking.gradebook import Score, read_scores
from instructor.marking.marks import read_marks
from instructor.marking.written import Written, written_id
from instructor.people.roster import Learner

if TYPE_CHECKING:
    from graders.marks import Mark, PartMark


@dataclass(frozen=True)
class Scored:
    """One exercise as a learner gets it: the mark, and the points that count.

    `marked` are the points of what marking itself judges: an instructor's own if formgrader holds such a score, and
    then `by_hand` is true. `written` are the parts that a person marks.
    """

    mark: Mark
    marked: float
    by_hand: bool
    written: tuple[Written, ...] = ()

    @property
    def points(self) -> float:
        """The points that count, written answers that are marked included."""
        return self.marked + sum(part.points or 0.0 for part in self.written)

    @property
    def waiting(self) -> bool:
        """Whether a written answer waits for a person to mark it."""
        return any(part.points is None for part in self.written)

    @property
    def out_of(self) -> float:
        """The points there are, written answers included."""
        return self.mark.out_of + sum(part.out_of for part in self.written)


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
        return sum(scored.out_of for scored in self.exercises)

    @property
    def waiting(self) -> bool:
        """Whether a written answer waits for a person to mark it."""
        return any(scored.waiting for scored in self.exercises)


def read_result(folder: ClassFolder, module: str, learner: Learner, gradebook: Any) -> Result | None:
    """Return a learner's marks with the gradebook's say, or None when nothing of theirs is marked.

    Raises
    ------
    ClassError : the stored marks are damaged
    """
    from graders.marks import check_cell

    marks = read_marks(folder, module, learner.id)
    if marks is None:
        return None
    scores = read_scores(gradebook, module, learner.id)
    said = read_comments(gradebook, module, learner.id) if any(mark.pending for mark in marks) else {}
    bank = read_bank(folder) if said else {}
    comments = {name: expanded(text, bank) for name, text in said.items()}
    scored = tuple(_scored(mark, check_cell(mark.exercise), scores, comments) for mark in marks)
    late = read_terms(folder, module).late(learner, handed_in_at(folder, module, learner.id))
    return Result(learner, scored, late)


def _scored(mark: Mark, grade_id: str, scores: Mapping[str, Score], comments: Mapping[str, str]) -> Scored:
    score = scores.get(grade_id)
    written = tuple(_written(mark.exercise, part, scores, comments) for part in mark.parts if part.pending)
    if score is None or score.points == mark.points:
        return Scored(mark, mark.points, False, written)
    return Scored(mark, score.points, True, written)


def _written(
    exercise: str, part: PartMark, scores: Mapping[str, Score], comments: Mapping[str, str]
) -> Written:
    """Return a written part with a person's points; one left blank has none to wait for."""
    name = written_id(exercise, part.part)
    score = scores.get(name)
    by_person = None if score is None else score.by_hand
    points = 0.0 if by_person is None and part.given is None else by_person
    return Written(part.part, points, part.pending, comments.get(name, ""))
