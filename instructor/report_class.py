"""The class in words and numbers, from first answers: what to teach again, whom to help, what to mend."""

from __future__ import annotations

import statistics as plain
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from instructor.report_alike import Alike, alike
from instructor.report_data import Pupil, first_parts
from instructor.statistics import Item, alpha, consistency, items

if TYPE_CHECKING:
    from graders.exercise import Exercise, Objective

SEEN_OFTEN = 10  # a wrong answer without a name, seen this often, is listed for repair
HELP_BELOW = 0.5  # of the points
STUCK = 2.0  # times the class's median minutes
AGAIN_BELOW = 0.6  # share of the class that has an objective right: teach it again
NO_ANSWER = frozenset({"blank", "another_boat"})


@dataclass(frozen=True)
class Needs:
    """A learner in need of help, and why, in words."""

    pupil: Pupil
    why: str


@dataclass(frozen=True)
class Unnamed:
    """A wrong answer without a name: where, how often, and what was answered most."""

    exercise: str
    title: str
    count: int
    answers: tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class Goal:
    """One objective over the class: how many tried it, the share right at first, and how many have mastered it."""

    id: str
    says: str
    n: int
    right: float
    mastered: int


@dataclass(frozen=True)
class Pace:
    """Time and measurements of one exercise: medians over those who worked on it, and par where there is one."""

    exercise: str
    title: str
    n: int
    minutes: float
    on_slip: float
    readings: float
    par: float | None


@dataclass(frozen=True)
class Card:
    """One line of the hunts' score card: the mean over those who hunted."""

    exercise: str
    what: str
    n: int
    mean: float


@dataclass(frozen=True)
class ClassReport:
    """Everything the class page shows beside the marks."""

    n: int
    items: tuple[Item, ...]
    alpha: float | None
    consistency: str
    goals: tuple[Goal, ...]
    paces: tuple[Pace, ...]
    needs: tuple[Needs, ...]
    unnamed: tuple[Unnamed, ...]
    alike: tuple[Alike, ...]
    hunts: tuple[Card, ...]

    @property
    def again(self) -> tuple[Goal, ...]:
        """The objectives to teach again, the weakest first."""
        return tuple(sorted((g for g in self.goals if g.n and g.right < AGAIN_BELOW), key=lambda g: g.right))

    @property
    def to_repair(self) -> tuple[Item, ...]:
        """The exercises whose figures ask for a look."""
        return tuple(item for item in self.items if item.to_repair)


def class_report(
    pupils: Sequence[Pupil], exercises: Sequence[Exercise], objectives: Sequence[Objective]
) -> ClassReport:
    """Return the report on a class's work on one module; learners who handed in nothing of it are left out."""
    import numpy as np

    names = [exercise.id for exercise in exercises]
    worked = [pupil for pupil in pupils if answered(pupil)]
    rows = [[pupil.shares().get(name, 0.0) for name in names] for pupil in worked]
    table = np.array(rows, dtype=float).reshape(len(rows), len(names))
    reliability = alpha(table)
    return ClassReport(
        len(worked),
        items(table, names) if len(rows) else (),
        reliability,
        consistency(reliability, len(worked)),
        tuple(_goal(worked, exercises, objective) for objective in objectives),
        tuple(_pace(worked, exercise) for exercise in exercises),
        tuple(_needs(pupils, worked)),
        unnamed(worked),
        alike(pupils),
        hunts(worked),
    )


def answered(pupil: Pupil) -> bool:
    """Return whether a learner answered anything for their own boats."""
    return any(
        part.mistake not in NO_ANSWER
        for scored in pupil.result.exercises
        for part in first_parts(scored.mark)
    )


def _goal(worked: Sequence[Pupil], exercises: Sequence[Exercise], objective: Objective) -> Goal:
    asked = {exercise.id for exercise in exercises if objective.id in exercise.objectives}
    shares = [[share for name, share in pupil.shares().items() if name in asked] for pupil in worked]
    tried = [share for own in shares for share in own]
    right = sum(share >= 1.0 for share in tried) / len(tried) if tried else 0.0
    mastered = sum(_mastered(pupil, objective.id) for pupil in worked) if asked else 0
    return Goal(objective.id, objective.says, len(worked) if asked else 0, right, mastered)


def _mastered(pupil: Pupil, objective: str) -> bool:
    """Return whether knowledge tracing over the marked first answers calls an objective mastered."""
    from graders.mastery import standings

    rows = [{"exercise": name, "slip": name, "right": share >= 1.0} for name, share in pupil.shares().items()]
    return any(standing.objective == objective and standing.mastered for standing in standings(rows))


def _pace(worked: Sequence[Pupil], exercise: Exercise) -> Pace:
    at_it = [pupil for pupil in worked if pupil.minutes.get(exercise.id) or pupil.readings.get(exercise.id)]
    pars = [
        par
        for pupil in at_it
        for scored in pupil.result.exercises
        if scored.mark.exercise == exercise.id
        and isinstance(par := getattr(scored.mark, "par", None), int | float)
    ]
    return Pace(
        exercise.id,
        exercise.title,
        len(at_it),
        _median(pupil.minutes.get(exercise.id, 0.0) for pupil in at_it),
        _median(pupil.on_slip.get(exercise.id, 0) for pupil in at_it),
        _median(pupil.readings.get(exercise.id, 0) for pupil in at_it),
        _median(pars) if pars else None,
    )


def _median(values: Iterable[float]) -> float:
    return float(plain.median([*values] or [0.0]))


def _needs(pupils: Sequence[Pupil], worked: Sequence[Pupil]) -> Iterable[Needs]:
    """Yield the learners in need of help, the neediest first."""
    total = {pupil.id: sum(pupil.minutes.values()) for pupil in worked}
    usual = _median(total.values())
    found = []
    for pupil in pupils:
        share = pupil.result.points / pupil.result.out_of if pupil.result.out_of else 0.0
        why = []
        if pupil.id not in total:
            why.append("no answer for their own boats")
        elif share < HELP_BELOW:
            why.append(f"{100 * share:.0f} % of the points")
        if usual >= 1 and total.get(pupil.id, 0.0) > STUCK * usual:
            why.append(f"{total[pupil.id]:.0f} minutes, the class's median being {usual:.0f}")
        if why:
            found.append((share, Needs(pupil, "; ".join(why))))
    return (needs for _, needs in sorted(found, key=lambda pair: pair[0]))


def unnamed(worked: Sequence[Pupil]) -> tuple[Unnamed, ...]:
    """Return the parts whose wrong answers without a name were seen ten times, the commonest first."""
    from graders.mistake import UNNAMED

    titles: dict[tuple[str, str], str] = {}
    given: dict[tuple[str, str], Counter[str]] = {}
    for pupil in worked:
        for scored in pupil.result.exercises:
            for part in first_parts(scored.mark):
                if part.mistake == UNNAMED or (part.mistake is None and not part.right):
                    key = (scored.mark.exercise, part.part)
                    titles[key] = part.title
                    given.setdefault(key, Counter())[part.given or "nothing"] += 1
    often = [
        Unnamed(key[0], titles[key], sum(counts.values()), tuple(counts.most_common(3)))
        for key, counts in given.items()
        if sum(counts.values()) >= SEEN_OFTEN
    ]
    return tuple(sorted(often, key=lambda row: -row.count))


def hunts(worked: Sequence[Pupil]) -> tuple[Card, ...]:
    """Return the score card of the hunts, from what marking says of each: a mark's `card`, name -> figure."""
    figures: dict[tuple[str, str], list[float]] = {}
    for pupil in worked:
        for scored in pupil.result.exercises:
            for what, figure in (getattr(scored.mark, "card", None) or {}).items():
                figures.setdefault((scored.mark.exercise, what), []).append(float(figure))
    return tuple(
        Card(exercise, what, len(values), plain.fmean(values)) for (exercise, what), values in figures.items()
    )
