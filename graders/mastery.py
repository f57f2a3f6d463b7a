"""Mastery of an objective by knowledge tracing, from what a learner got right and wrong on fresh plans.

Corbett and Anderson (1995): the chance that something is known is moved by each answer by Bayes' rule, and then by the chance
that it was learned in answering.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from course.instruments.rows import Row
from graders.exercise import Exercise
from graders.exercises import EXERCISES

MASTERED = 0.95
FEWEST_RIGHT = 3  # no mastery from fewer right answers
MANY = 20  # choices that a number, an order or a list of the boat's parts is worth


@dataclass(frozen=True)
class Tracing:
    """The four numbers of knowledge tracing: known at first, learned in one go, guessed, slipped.

    Raises ValueError when guess and slip together are not under 1: a right answer would then speak against knowing.
    """

    known: float = 0.2
    learn: float = 0.1
    guess: float = 0.2
    slip: float = 0.1

    def __post_init__(self) -> None:
        if not self.guess + self.slip < 1:
            raise ValueError(f"guess and slip are together {self.guess + self.slip:g}; they must be under 1")

    def after(self, known: float, right: bool, guess: float | None = None) -> float:
        """Return the chance of knowing after one answer; ``guess`` where that answer is guessed more easily."""
        guessed = max(self.guess, guess or 0.0)
        by_knowing = known * ((1 - self.slip) if right else self.slip)
        otherwise = (1 - known) * (guessed if right else 1 - guessed)
        given = by_knowing / (by_knowing + otherwise)
        return given + (1 - given) * self.learn

    def trace(self, answers: Iterable[bool], guess: float | None = None) -> tuple[float, ...]:
        """Return the chance of knowing after each answer."""
        known, chances = self.known, []
        for right in answers:
            known = self.after(known, right, guess)
            chances.append(known)
        return tuple(chances)


def guess_of(exercise: Exercise) -> float:
    """Return how likely an exercise is got wholly right by guessing: every choice by luck, a number hardly ever."""
    chance = 1.0
    for field in exercise.fields:
        if field.kind == "choice":
            chance /= len(field.choices) or MANY
        else:
            chance *= 0.5 if field.kind == "several" else 1 / MANY
    return min(chance, 0.85)


@dataclass(frozen=True)
class Standing:
    """How a learner stands with one objective: the chance that it is known, first tries, and how many of them were right."""

    objective: str
    chance: float
    tries: int
    right: int

    @property
    def mastered(self) -> bool:
        """Return whether it is mastered: likely enough, and from no fewer than three right answers."""
        return self.chance >= MASTERED and self.right >= FEWEST_RIGHT


def first_tries(rows: Iterable[Row]) -> tuple[tuple[str, bool], ...]:
    """Return exercise and outcome of the first marked try on each plan, in the order they were made."""
    seen: dict[tuple[str, str], bool] = {}
    for row in rows:
        right, exercise, slip = row.get("right"), row.get("exercise"), row.get("slip")
        if isinstance(right, bool) and isinstance(exercise, str) and isinstance(slip, str):
            seen.setdefault((exercise, slip), right)
    return tuple((exercise, right) for (exercise, _), right in seen.items())


def standings(rows: Iterable[Row], tracing: Tracing | None = None) -> tuple[Standing, ...]:
    """Return a learner's standing in every objective they have tried, from the rows of answers.jsonl."""
    model = tracing or Tracing()
    chances: dict[str, float] = {}
    tries: dict[str, Sequence[bool]] = {}
    for name, right in first_tries(rows):
        if name not in EXERCISES:
            continue
        exercise = EXERCISES[name]
        for objective in exercise.objectives:
            before = chances.get(objective, model.known)
            chances[objective] = model.after(before, right, guess_of(exercise))
            tries[objective] = (*tries.get(objective, ()), right)
    return tuple(
        Standing(name, chance, len(tries[name]), sum(tries[name])) for name, chance in sorted(chances.items())
    )
