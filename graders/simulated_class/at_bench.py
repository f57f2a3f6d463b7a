"""Simulated learners at the bench: their hands make a mistake that the exercise knows, or their pen slips afterwards."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

from course.boats.draws import Draw, seed_for
from graders.exercise import Exercise
from graders.hands import Example, Hands
from graders.mistake import FOLLOWS
from graders.personal import plan_for
from graders.simulated_class.confusion import Told
from graders.simulated_class.learners import MIX, known
from graders.simulated_class.made import Made, weighed, whole
from graders.simulated_class.pens import careless, slipped
from graders.task import Task
from graders.trial import tried

COHORT = "SIMULATED"
Act = Callable[[Hands], Mapping[str, object]]
NOTHING = Made({}, "nothing")


@dataclass
class Bench:
    """One learner's work at the bench; ``made`` is what was done wrong on purpose, by part."""

    task: Task
    draw: Draw
    made: dict[str, Made] = field(default_factory=dict)

    def by_hand(self) -> Act:
        """Return hands that make one of the exercise's mistakes, or do it rightly where none can be made."""
        able = [example for example in self.task.exercise.examples if example.when(self.task)]
        if not able:
            return self.rightly()
        example: Example = able[whole(self.draw, "example", len(able))]
        self.made[example.part] = Made({}, example.mistake, frozenset({example.mistake}))
        return example.act

    def rightly(self) -> Act:
        """Return hands that do it rightly. Raises ValueError where the exercise does not say how."""
        hands = self.task.exercise.hands
        if hands is None:
            raise ValueError(
                f"exercise {self.task.exercise.id} is at the bench and does not say how it is done"
            )
        return hands

    def and_named(self, act: Act) -> Act:
        """Return the same hands, and a named mistake in what is worked out from their readings."""
        parts = [part for part in self.task.exercise.parts if part.examples(self.task)]
        if not parts:
            return act
        part = parts[whole(self.draw, "later part", len(parts))]

        def both(hands: Hands) -> Mapping[str, object]:
            found = dict(act(hands))
            seen = self.task.on(known(self.task, _texts(found)))
            named = part.examples(seen)
            name = self.draw.choice("later mistake", tuple(named))
            self.made[part.fields[0].name] = Made(named[name], name, frozenset({name}))
            return {**found, **named[name]}

        return both

    def and_slip(self, act: Act) -> Act:
        """Return the same hands, and a slip of the pen in one of the fields."""

        def slip(hands: Hands) -> Mapping[str, object]:
            found = dict(act(hands))
            values = self.task.exercise.right_values(self.task, found)
            parts = [part for part in self.task.exercise.parts if part.fields]
            part = parts[whole(self.draw, "careless part", len(parts))]
            seen = self.task.on(known(self.task, values))
            made = careless(part, seen, self.draw)
            own = part.fields[0]
            if made is None and own.kind == "number":
                made = slipped(own, values[own.name], seen, self.draw, recorded=True)
            if made is None:
                return found
            self.made[own.name] = made
            return {**found, **made.values}

        return slip


def _texts(found: Mapping[str, object]) -> dict[str, str]:
    return {name: str(value) for name, value in found.items()}


def told_at_bench(exercise: Exercise, learner: str) -> Iterator[Told | None]:
    """Yield the wrong answers of one learner at the bench, and None for each right part. What follows in other parts from a
    mistake of the hands is passed over: a boat left switched on spoils more than one thing, and each is rightly told. Of hands
    that make none a wrong answer that was not meant is counted as made of nothing.
    """
    draw = Draw(seed_for("simulated class", COHORT, learner, exercise.id, 0))
    bench = Bench(exercise.task(plan_for(exercise, learner, COHORT)), draw)
    way = weighed(draw, "way", MIX)
    act = bench.by_hand() if way in ("one mistake", "combined") else bench.rightly()
    if way == "combined":
        act = bench.and_named(act)
    if way == "careless":
        act = bench.and_slip(act)
    marked = tried(bench.task, act).mark
    kinds = {each.name: each.kind for each in exercise.fields}
    for part in marked.parts:
        made = bench.made.get(part.part) or (NOTHING if way in ("right", "careless") else None)
        if part.mistake is None or part.mistake == FOLLOWS:
            yield None
        elif made:
            kind = kinds.get(part.part, "logbook")
            yield Told(exercise.id, part.part, kind, way, made.called, part.mistake, made.names, part.also)
