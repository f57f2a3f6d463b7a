"""The class in numbers: what each part's answers were, and the marks as CSV."""

from __future__ import annotations

import csv
import io
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from graders.marks import Mark
    from instructor.results import Result
    from instructor.roster import Learner

FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")  # what spreadsheets take for a formula


@dataclass(frozen=True)
class PartRow:
    """One part of one exercise over the class: how many were marked, right, and made each mistake."""

    exercise: str
    title: str
    marked: int
    right: int
    mistakes: tuple[tuple[str, int], ...]


def mistake_rows(marks: Sequence[Mark]) -> list[PartRow]:
    """Count right answers and named mistakes, part by part, in the order of the exercises."""
    titles: dict[tuple[str, str], str] = {}
    marked: Counter[tuple[str, str]] = Counter()
    right: Counter[tuple[str, str]] = Counter()
    mistakes: dict[tuple[str, str], Counter[str]] = {}
    for mark in marks:
        for part in mark.parts:
            key = (mark.exercise, part.part)
            titles.setdefault(key, part.title)
            marked[key] += 1
            right[key] += part.right
            if part.mistake is not None:
                mistakes.setdefault(key, Counter())[part.mistake] += 1
    return [
        PartRow(key[0], title, marked[key], right[key], tuple(mistakes.get(key, Counter()).most_common()))
        for key, title in titles.items()
    ]


def plain_cell(text: str) -> str:
    """Return text that a spreadsheet shows and does not run: an apostrophe goes before a formula's sign."""
    return f"'{text}" if text.startswith(FORMULA_STARTS) else text


def class_csv(learners: Sequence[Learner], results: Sequence[Result]) -> str:
    """Return the marks as CSV: a row a learner in the roster's order, empty where nothing is marked."""
    of_learner = {result.learner.id: result for result in results}
    exercises = [scored.mark.exercise for scored in results[0].exercises] if results else []
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\r\n")
    writer.writerow(["id", "name", "group", *exercises, "points", "out of", "mistakes"])
    for learner in learners:
        row = [plain_cell(text) for text in (learner.id, learner.name, learner.group)]
        result = of_learner.get(learner.id)
        writer.writerow(row + (_cells(result) if result else [""] * (len(exercises) + 3)))
    return stream.getvalue()


def _cells(result: Result) -> list[str]:
    points = [f"{scored.points:.4g}" for scored in result.exercises]
    mistakes = [
        f"{scored.mark.exercise} {part.title}: {part.mistake}"
        for scored in result.exercises
        for part in scored.mark.parts
        if part.mistake is not None
    ]
    return [*points, f"{result.points:.4g}", f"{result.out_of:.4g}", plain_cell("; ".join(mistakes))]
