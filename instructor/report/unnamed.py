"""Wrong answers without a name, held against what was right: boats are personal, so the answers alone say little."""

from __future__ import annotations

import math
import statistics as plain
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from instructor.errors import ClassError
from instructor.handout.released import Released, read_plans
from instructor.layout import ClassFolder
from instructor.report.data import Pupil, first_parts

if TYPE_CHECKING:
    from graders.exercise import Exercise

MOST = 30  # learners whose right answers are worked out
ALIKE = 0.03  # relative: answers that are so near to one multiple of what is right have one cause
SHOWN = 3


def pattern(
    folder: ClassFolder, released: Released, exercise: Exercise, part: str, pupils: Sequence[Pupil]
) -> str:
    """Return in words what the unnamed answers to a field of numbers have in common, or nothing for other fields."""
    field = next((each for each in exercise.fields if each.name == part), None)
    if field is None or field.kind != "number":
        return ""
    pairs = list(_pairs(folder, released, exercise, part, pupils))
    if not pairs:
        return ""
    times = [given / right for given, right in pairs if right]
    usual = plain.median(times) if times else 0.0
    near = sum(math.isclose(each, usual, rel_tol=ALIKE) for each in times)
    if usual and 2 * near > len(pairs):
        return f"{near} of {len(pairs)} are {usual:.3g} times what is right"
    return "; ".join(f"{given:.6g} where {right:.4g} is right" for given, right in pairs[:SHOWN])


def _pairs(
    folder: ClassFolder, released: Released, exercise: Exercise, part: str, pupils: Sequence[Pupil]
) -> Iterator[tuple[float, float]]:
    """Yield what was given and what is right, for each learner with an unnamed answer there."""
    from graders.mistake import UNNAMED
    from graders.numbers import Unreadable, parse_number

    unit = next(each.unit for each in exercise.fields if each.name == part)
    found = 0
    for pupil in pupils:
        given = next(
            (
                each.given
                for scored in pupil.result.exercises
                if scored.mark.exercise == exercise.id
                for each in first_parts(scored.mark)
                if each.part == part and each.mistake == UNNAMED
            ),
            None,
        )
        if given is None or found >= MOST:
            continue
        try:
            task = exercise.task(read_plans(folder, released, pupil.id)[exercise.id])
            right = exercise.truth_of(part, task)
            number = parse_number(given, unit)
        except (ClassError, KeyError, Unreadable):
            continue
        if isinstance(right, int | float):
            found += 1
            yield number, float(right)
