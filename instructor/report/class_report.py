"""The class in words and numbers, from first answers: what to teach again, whom to help, what to mend."""

from __future__ import annotations

import statistics as plain
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from instructor.marking.marks import damage
from instructor.report.alike import Alike, alike
from instructor.report.data import Pupil, first_parts, general_titles
from instructor.report.goals import Goal, Lesson, goal, lessons
from instructor.report.statistics import Item, alpha, consistency, items

if TYPE_CHECKING:
    from graders.exercise import Exercise, Objective

SEEN_OFTEN = 10  # a wrong answer without a name, seen this often, is listed for repair
HELP_BELOW = 0.5  # of the points
STUCK, STUCK_MINUTES = 2.0, 10.0  # times the class's median minutes, and how many more than it at least
LACKS = 3  # objectives that are named for a learner in need of help
NO_ANSWER = frozenset({"blank", "another_boat"})


@dataclass(frozen=True)
class Needs:
    """A learner in need of help, why, in words, and the objectives they had mostly wrong at first."""

    pupil: Pupil
    why: str
    lacks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Unnamed:
    """A wrong answer without a name: where, how often, what was answered most, and what the answers have in common."""

    exercise: str
    title: str
    count: int
    answers: tuple[tuple[str, int], ...]
    part: str = ""
    pattern: str = ""


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
class Group:
    """One group: how many worked, and the mean share of the points that their work earned."""

    name: str
    n: int
    mean: float


@dataclass(frozen=True)
class ClassReport:
    """Everything the class page shows beside the marks. `worked` are those who answered for their own boats."""

    worked: tuple[Pupil, ...]
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
    def n(self) -> int:
        """How many answered for their own boats."""
        return len(self.worked)

    @property
    def again(self) -> tuple[Lesson, ...]:
        """What to teach again, the weakest first."""
        return lessons(self.goals)

    @property
    def waiting(self) -> int:
        """How many learners have a written answer that a person is to mark."""
        return sum(pupil.result.waiting for pupil in self.worked)

    @property
    def groups(self) -> tuple[Group, ...]:
        """The groups with the mean share of the points that their work earned; nothing where there is one."""
        names = sorted({pupil.result.learner.group for pupil in self.worked})
        return tuple(_group(name, self.worked) for name in names if len(names) > 1)

    @property
    def to_repair(self) -> tuple[Item, ...]:
        """The exercises whose figures ask for a look, those that tell learners apart the wrong way round first."""
        asked = (item for item in self.items if item.to_repair)
        return tuple(sorted(asked, key=lambda item: 0.0 if item.with_rest is None else item.with_rest))


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
    goals = tuple(goal(worked, exercises, objective) for objective in objectives)
    return ClassReport(
        tuple(worked),
        items(table, names) if len(rows) else (),
        reliability,
        consistency(reliability, len(worked)),
        goals,
        tuple(_pace(worked, exercise) for exercise in exercises),
        tuple(_needs(pupils, worked, goals)),
        unnamed(worked, exercises),
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


def _share(pupil: Pupil) -> float:
    """Return the share of the points that the work earned, lateness apart."""
    return pupil.result.earned / pupil.result.out_of if pupil.result.out_of else 0.0


def _group(name: str, worked: Sequence[Pupil]) -> Group:
    own = [_share(pupil) for pupil in worked if pupil.result.learner.group == name]
    return Group(name, len(own), plain.fmean(own))


def _needs(pupils: Sequence[Pupil], worked: Sequence[Pupil], goals: Sequence[Goal]) -> Iterable[Needs]:
    """Yield the learners in need of help, the neediest first."""
    total = {pupil.id: sum(pupil.minutes.values()) for pupil in worked}
    usual = _median(total.values())
    found = []
    for pupil in pupils:
        why = []
        if pupil.id not in total:
            why.append("no answer for their own boats")
        elif _share(pupil) < HELP_BELOW:
            why.append(f"{100 * _share(pupil):.0f} % of the points")
        if usual >= 1 and total.get(pupil.id, 0.0) > max(STUCK * usual, usual + STUCK_MINUTES):
            why.append(f"{total[pupil.id]:.0f} minutes, the class's median being {usual:.0f}")
        late = pupil.result.late
        if late is not None and late.per_cent >= 100:
            why.append("handed in too late for any points")
        damaged = damage(scored.mark for scored in pupil.result.exercises)
        why += damaged
        if why:
            told = pupil.id in total and not damaged  # of half a file nobody can say what its owner lacks
            lacks = [goal.says for goal in goals if pupil in goal.without] if told else []
            found.append((_share(pupil), Needs(pupil, "; ".join(why), tuple(lacks[:LACKS]))))
    return (needs for _, needs in sorted(found, key=lambda pair: pair[0]))


def unnamed(worked: Sequence[Pupil], exercises: Sequence[Exercise] = ()) -> tuple[Unnamed, ...]:
    """Return the parts whose wrong answers without a name were seen ten times, the commonest first."""
    from graders.mistake import UNNAMED

    titles = general_titles(exercises)
    given: dict[tuple[str, str], Counter[str]] = {}
    for pupil in worked:
        for scored in pupil.result.exercises:
            for part in first_parts(scored.mark):
                if part.mistake == UNNAMED or (part.mistake is None and not part.right):
                    key = (scored.mark.exercise, part.part)
                    titles.setdefault(key, part.title)
                    given.setdefault(key, Counter())[part.given or "nothing"] += 1
    often = [
        Unnamed(key[0], titles[key], sum(counts.values()), tuple(counts.most_common(3)), key[1])
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
