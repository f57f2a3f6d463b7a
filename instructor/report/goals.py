"""The objectives over a class: who has which, what goes wrong with it, and which to teach again, to whom."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from instructor.report.data import Pupil, first_parts, general_titles

if TYPE_CHECKING:
    from graders.exercise import Exercise, Objective
    from graders.marks import PartMark

AGAIN_BELOW = 0.6  # share of first answers right, in the class or in a group: teach it again
GROUP_LEAST = 5  # learners from which a group's share is looked at
SEEN_MOST = 3  # mistakes that are told with an objective
CHIEF_AT_LEAST = 0.1  # of the answers that would be right but for it
UNTOLD = "wrong in part"
NOTHING_TO_TEACH = frozenset({"blank", "another_boat", "follows_from_earlier"})


@dataclass(frozen=True)
class GroupShare:
    """One group's share of first answers that are right."""

    group: str
    n: int
    right: float


@dataclass(frozen=True)
class Seen:
    """One mistake, where it was made, and by how many."""

    exercise: str
    title: str
    mistake: str
    count: int


@dataclass(frozen=True)
class Chief:
    """The mistake that costs an objective most: who made it, and the share that would be right but for it."""

    mistake: str
    made: tuple[Pupil, ...]
    but_for: float


@dataclass(frozen=True)
class Goal:
    """One objective over the class: how many tried it, the share right at first, and how many have mastered it.

    `asked` is how many exercises ask for it, `groups` the shares of each group where there are several, `seen` the
    mistakes made most in its exercises, `chief` the one that costs most, if any does, and `without` those who had fewer
    than half of its exercises right at first.
    """

    id: str
    says: str
    n: int
    right: float
    mastered: int
    asked: int = 0
    groups: tuple[GroupShare, ...] = ()
    seen: tuple[Seen, ...] = ()
    without: tuple[Pupil, ...] = ()
    chief: Chief | None = None

    @property
    def weak_groups(self) -> tuple[GroupShare, ...]:
        """The groups that are to be taught it again."""
        return tuple(each for each in self.groups if each.n >= GROUP_LEAST and each.right < AGAIN_BELOW)

    @property
    def again(self) -> bool:
        """Whether it is to be taught again, to the class or to a group."""
        return self.n > 0 and (self.right < AGAIN_BELOW or bool(self.weak_groups))

    @property
    def weakest(self) -> float:
        """The lowest share that says so, for putting the weakest first."""
        return min(self.right, *(each.right for each in self.weak_groups), 1.0)

    @property
    def whose(self) -> tuple[Pupil, ...]:
        """Those who are to be taught it again: who made the chief mistake, or where there is none, who has it mostly wrong."""
        return self.chief.made if self.chief else self.without


@dataclass(frozen=True)
class Lesson:
    """Objectives to teach again together, since one mistake costs them most; the weakest comes first."""

    goals: tuple[Goal, ...]

    @property
    def chief(self) -> Chief | None:
        """The mistake."""
        return self.goals[0].chief

    @property
    def seen(self) -> tuple[Seen, ...]:
        """Where it was made, or what was got wrong most."""
        every = dict.fromkeys(seen for goal in self.goals for seen in goal.seen)
        own = [seen for seen in every if self.chief is None or seen.mistake == self.chief.mistake]
        return tuple(sorted(own, key=lambda seen: -seen.count)[:SEEN_MOST])

    @property
    def whom(self) -> str:
        """To whom they are to be taught again, in words."""
        first = self.goals[0]
        sound = [each for each in first.groups if each.n >= GROUP_LEAST and each.right >= AGAIN_BELOW]
        if first.weak_groups and sound:
            return " and ".join(f"group {each.group or 'of none'}" for each in first.weak_groups)
        return "the whole class" if 2 * len(first.whose) > first.n else f"{len(first.whose)} of {first.n}"


def lessons(goals: Sequence[Goal]) -> tuple[Lesson, ...]:
    """Return what to teach again, the weakest objective first; objectives that one mistake costs most come together."""
    found: dict[str, list[Goal]] = {}
    for each in sorted((goal for goal in goals if goal.again), key=lambda goal: goal.weakest):
        key = each.chief.mistake if each.chief and each.chief.but_for >= AGAIN_BELOW else each.id
        found.setdefault(key, []).append(each)
    return tuple(Lesson(tuple(together)) for together in found.values())


def goal(worked: Sequence[Pupil], exercises: Sequence[Exercise], objective: Objective) -> Goal:
    """Return one objective over those who worked on it."""
    its = [exercise for exercise in exercises if objective.id in exercise.objectives]
    if not its:
        return Goal(objective.id, objective.says, 0, 0.0, 0)
    asked = frozenset(exercise.id for exercise in its)
    return Goal(
        objective.id,
        objective.says,
        len(worked),
        _right(worked, asked),
        sum(_mastered(pupil, objective.id) for pupil in worked),
        len(its),
        tuple(_groups(worked, asked)),
        tuple(_seen(worked, its)),
        tuple(pupil for pupil in worked if _right([pupil], asked) < 0.5),
        _chief(worked, asked),
    )


def _right(pupils: Sequence[Pupil], asked: frozenset[str]) -> float:
    tried = [share for pupil in pupils for name, share in pupil.shares().items() if name in asked]
    return sum(share >= 1.0 for share in tried) / len(tried) if tried else 0.0


def _mastered(pupil: Pupil, objective: str) -> bool:
    """Return whether knowledge tracing over the marked first answers calls an objective mastered."""
    from graders.mastery import standings

    rows = [{"exercise": name, "slip": name, "right": share >= 1.0} for name, share in pupil.shares().items()]
    return any(standing.objective == objective and standing.mastered for standing in standings(rows))


def _groups(worked: Sequence[Pupil], asked: frozenset[str]) -> Iterator[GroupShare]:
    """Yield each group's share; nothing where all are in one."""
    names = sorted({pupil.result.learner.group for pupil in worked})
    for name in names if len(names) > 1 else ():
        own = [pupil for pupil in worked if pupil.result.learner.group == name]
        yield GroupShare(name, len(own), _right(own, asked))


def _chief(worked: Sequence[Pupil], asked: frozenset[str]) -> Chief | None:
    """Return the mistake but for which most more would be right, if it is a tenth of all at least."""
    tried = [
        (pupil, first_parts(scored.mark))
        for pupil in worked
        for scored in pupil.result.exercises
        if scored.mark.exercise in asked
    ]
    wrong = [(pupil, _called(parts)) for pupil, parts in tried]
    counts = Counter(mistakes[0] for _, mistakes in wrong if len(mistakes) == 1)
    if not counts:
        return None
    (mistake, saved), right = counts.most_common(1)[0], sum(not mistakes for _, mistakes in wrong)
    if saved < max(2, CHIEF_AT_LEAST * len(tried)):
        return None
    made = {pupil.id: pupil for pupil, mistakes in wrong if mistake in mistakes}
    return Chief(mistake, tuple(made.values()), (right + saved) / len(tried))


def _called(parts: Sequence[PartMark]) -> list[str]:
    """Return the mistakes that keep an exercise from being right, each once; what follows from another is none."""
    names = [part.mistake or UNTOLD for part in parts if not part.right]
    return list(dict.fromkeys(name for name in names if name != "follows_from_earlier"))


def _seen(worked: Sequence[Pupil], asked: Sequence[Exercise]) -> Iterator[Seen]:
    """Yield the mistakes that were made most in the exercises of an objective, by more than one learner."""
    titles = general_titles(asked)
    names = {exercise.id for exercise in asked}
    counts: Counter[tuple[str, str, str]] = Counter()
    for pupil in worked:
        for scored in pupil.result.exercises:
            if scored.mark.exercise not in names:
                continue
            for part in first_parts(scored.mark):
                if part.mistake and part.mistake not in NOTHING_TO_TEACH:
                    titles.setdefault((scored.mark.exercise, part.part), part.title)
                    counts[scored.mark.exercise, part.part, part.mistake] += 1
    for (exercise, part_name, mistake), count in counts.most_common(2 * SEEN_MOST):
        if count > 1:
            yield Seen(exercise, titles[exercise, part_name], mistake, count)
