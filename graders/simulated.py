"""A simulated class: learners with a declared mix of mistakes, single, combined and careless, and how well they are understood.

Only work on paper; at the bench each mistake is tried by hand (``graders.trial``).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from decimal import Decimal

from course.boats.personal import Draw
from graders.exercise import Exercise, Field
from graders.exercises import EXERCISES
from graders.marking import mark
from graders.mistake import FOLLOWS, UNNAMED
from graders.personal import plan_for
from graders.task import Task
from graders.trial import answer_row

# The mix, declared: of the answers that are not right, most are one known mistake; some are made on top of an earlier one; some are
# a right value in another unit or with its sign lost; some are slips of the pen.
MIX = (("right", 0.50), ("mistake", 0.32), ("combined", 0.08), ("form", 0.06), ("careless", 0.04))


@dataclass
class Confusion:
    """Counts of intended against recognised mistakes, over wrong answers."""

    counts: Counter[tuple[str, str]] = field(default_factory=Counter)

    def add(self, intended: str, found: str) -> None:
        """Count one wrong answer."""
        self.counts[intended, found] += 1

    @property
    def wrong(self) -> int:
        """Return how many wrong answers there were."""
        return sum(self.counts.values())

    @property
    def named(self) -> float:
        """Return the share of wrong answers that were given a name."""
        unnamed = sum(count for (_, found), count in self.counts.items() if found == UNNAMED)
        return 1 - unnamed / self.wrong

    @property
    def misnamed(self) -> float:
        """Return the share of wrong answers that were given the name of another mistake."""
        other = sum(
            count
            for (intended, found), count in self.counts.items()
            if found not in (intended, UNNAMED) and intended != "careless"
        )
        return other / self.wrong

    def table(self) -> tuple[str, ...]:
        """Return the confusion as lines: what was meant, what was recognised, how often; only where they differ."""
        differ = [(pair, count) for pair, count in self.counts.most_common() if pair[0] != pair[1]]
        return tuple(f"{count:5}  {meant} -> {found}" for (meant, found), count in differ)


def _way(draw: Draw) -> str:
    at = draw.number("way", 0.0, 1.0, 6)
    for way, share in MIX:
        at -= share
        if at <= 0:
            return way
    return "right"


@dataclass(frozen=True)
class Try:
    """What one learner answers: the values, and the mistake meant in each field that is wrong."""

    values: dict[str, str]
    meant: dict[str, str]


def _mistaken(task: Task, draw: Draw, count: int) -> Try:
    """Make one or more named mistakes, each in another part; later parts follow from the earlier ones."""
    values: dict[str, str] = {}
    meant: dict[str, str] = {}
    parts = [k for k, part in enumerate(task.exercise.parts) if part.examples(task)]
    chosen = {int(draw.number(f"part {n}", 0, len(parts) - 1e-6, 6)) for n in range(count)}
    for k in sorted(parts[n] for n in chosen):
        part = task.exercise.parts[k]
        known = task.exercise.right_values(task, values)
        seen = task.on(_typed(task.exercise, known))
        made = part.examples(seen)
        name = draw.choice(f"mistake {k}", tuple(made))
        values |= made[name]
        meant |= dict.fromkeys(made[name], name)
    return Try(task.exercise.right_values(task, values), meant)


def _typed(exercise: Exercise, values: dict[str, str]) -> dict[str, float | str]:
    kinds = {f.name: f.kind for f in exercise.fields}
    return {name: float(v) if kinds[name] == "number" else v for name, v in values.items()}


def _numbers(task: Task) -> list[Field]:
    return [f for f in task.exercise.fields if f.kind == "number"]


def _misformed(task: Task, draw: Draw) -> Try | None:
    """Write a right number in a thousandth or a thousandfold, or without its sign."""
    values, fields = task.exercise.right_values(task, {}), _numbers(task)
    if not fields:
        return None
    name = fields[int(draw.number("field", 0, len(fields) - 1e-6, 6))].name
    value = Decimal(values[name])
    if value < 0 and draw.number("form", 0.0, 1.0, 3) < 0.5:
        return Try({**values, name: str(-value)}, {name: "sign"})
    unit = next(f.unit for f in fields if f.name == name)
    factor = {"mV": "0.001", "V": "1000", "A": "1000", "mA": "0.001", "kg": "1000", "g": "0.001"}.get(unit)
    return None if factor is None else Try({**values, name: str(value * Decimal(factor))}, {name: "unit"})


def _careless(task: Task, draw: Draw) -> Try | None:
    """Swap two digits of a right number."""
    values, fields = task.exercise.right_values(task, {}), _numbers(task)
    for f in fields:
        digits = list(values[f.name])
        spots = [k for k in range(len(digits) - 1) if digits[k].isdigit() and digits[k + 1].isdigit()]
        spots = [k for k in spots if digits[k] != digits[k + 1]]
        if spots:
            k = spots[int(draw.number("spot", 0, len(spots) - 1e-6, 6))]
            digits[k], digits[k + 1] = digits[k + 1], digits[k]
            return Try({**values, f.name: "".join(digits)}, {f.name: "careless"})
    return None


def attempt(task: Task, draw: Draw) -> Try:
    """Return what a learner of the mix answers."""
    way = _way(draw)
    made: Try | None = None
    if way == "form":
        made = _misformed(task, draw)
    elif way == "careless":
        made = _careless(task, draw)
    if way in ("mistake", "combined") or (made is None and way in ("form", "careless")):
        made = _mistaken(task, draw, 2 if way == "combined" else 1)
    return made or Try(task.exercise.right_values(task, {}), {})


def class_of(count: int, names: tuple[str, ...] = ()) -> Iterator[tuple[Task, Draw]]:
    """Yield a task for each of some learners, going round the exercises that are done on paper."""
    paper = [name for name in names or tuple(EXERCISES) if not EXERCISES[name].bench]
    for k in range(count):
        exercise = EXERCISES[paper[k % len(paper)]]
        plan = plan_for(exercise, f"simulated{k}", "SIM")
        yield exercise.task(plan), Draw(f"simulated {k}")


def confusion(count: int, names: tuple[str, ...] = ()) -> Confusion:
    """Return how a simulated class is understood. Fields that follow rightly from a wrong one are not wrong."""
    found = Confusion()
    for task, draw in class_of(count, names):
        tried = attempt(task, draw)
        row = answer_row(task.exercise, task.plan, tried.values)
        for part in mark(task.exercise, task.plan, [row], [], task).parts:
            if part.points < part.out_of and part.mistake not in (None, FOLLOWS):
                prefix = f"{task.exercise.id} {part.part} "
                meant = tried.meant.get(part.part, "right")
                plain = meant if meant == "careless" else prefix + meant
                recognised = UNNAMED if part.mistake == UNNAMED else prefix + str(part.mistake)
                found.add(plain, recognised)
    return found
