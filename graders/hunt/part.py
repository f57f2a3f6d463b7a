"""The parts of a hunt that are marked: what is wrong and where, and how it was gone about."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from course.boats.faults import candidates
from course.boats.hunts import ANODES, ASHORE, BILGE, BONDS, METALS, ONTO_METAL
from course.boats.plan import SlipPlan, Value
from course.instruments.mendable import mendable
from course.instruments.replay import Replay
from course.instruments.state import first_state
from graders.case import Case
from graders.exercise import Field
from graders.hunt.evidence import ALIKE, apart, nearest
from graders.hunt.par import par, shown_by
from graders.hunt.score import HuntScore, against, against_words, score
from graders.hunt.table import SOUND, Table, table_for
from graders.marks import PartMark
from graders.mistake import NO_CHOICE, NOT_CHOSEN, Mistake
from graders.task import Task

INSTRUMENTS = ("cell", "meter", "clamp", "bilge probe")
NOTHING = "nothing"
NO_PART = Mistake("blank", "You say what is wrong, and not with which part: choose the part too.")
WAYS: dict[str, tuple[str, tuple[str, ...]]] = {
    "bond": ("a bond or a contact has gone bad", BONDS),
    "anode": ("an anode is gone, painted over, of the wrong alloy, not joined, or too much", ANODES),
    "metal": ("metal is there, or joined, that should not be", METALS),
    "onto_metal": ("a live wire or its return leaks onto metal", ONTO_METAL),
    "bilge": ("a live wire leaks into bilge water", BILGE),
    "ashore": ("something in the shore lead, ashore or next door", (*ASHORE, "shore_wiring")),
    NOTHING: ("nothing is wrong", ()),
}
STRAY = ("onto_metal", "bilge")
DIAGNOSIS_MISTAKES = (
    "nothing_called",
    "something_called",
    "galvanic_called_stray",
    "stray_called_galvanic",
    "wrong_circuit",
    "wrong_part",
    "right_part_wrong_way",
)


def way_of(kind: str) -> str:
    """Return the way a kind of fault goes about it."""
    return next((way for way, (_, kinds) in WAYS.items() if kind in kinds), "metal")


def part_choices(task: Task) -> tuple[tuple[str, str], ...]:
    """Return every part of the boat that could be named, sorted by its words, and none."""
    named = mendable(task.plan)
    parts = {fault.part for fault in candidates(task.plan.boat, task.plan.neighbours)}
    known = sorted(((part, named.get(part, part)) for part in parts), key=lambda pair: pair[1].casefold())
    return ((NOTHING, "no part of her"), *known)


def table_of(task: Task) -> Table:
    """Return the table of the task's boat."""
    return task.once("hunt table", lambda: table_for(task.plan, INSTRUMENTS))


def score_of(case: Case) -> HuntScore:
    """Return the score of the case's hunt."""
    task, replay = case.task, case.replay

    def work() -> tuple[Replay, HuntScore]:
        first, minutes = first_state(case.afloat), int(task.number("par_minutes"))
        return replay, score(
            case.afloat, table_of(task), replay, first, minutes, lambda part: untold(task, part)
        )

    _, found = task.once(
        f"score of {id(replay)}", work
    )  # kept with its replay: no other has that id meanwhile
    return found


def untold(task: Task, part: str) -> bool:
    """Return whether no allowed measurement tells some fault of a part from what is wrong with the boat."""
    ways = [way for way in WAYS if way != NOTHING]
    return bool(task.plan.faults) and any(DiagnosisPart().accepted(task, way, part) for way in ways)


def score_card(case: Case) -> Mapping[str, float]:
    """Return what a hunt is watched for, for a class's score card: 1 where it was done, or how many."""
    found = score_of(case)
    if not found.evidence:
        return {}
    right = DiagnosisPart().judge(case)[0].mistake is None
    return {
        "solved": float(right),
        "verified before": float(found.before),
        "all off": float(found.all_off),
        "verified after": float(found.after),
        "harmful changes": float(len(found.harmful)),
        "redundant tests": float(len(found.redundant)),
        "premature repair": float(bool(found.rival)),
        "efficiency": round(found.efficiency, 2),
    }


def par_sheet(task: Task) -> Mapping[str, Value]:
    """Return par for the stored plan: minutes and measurements by the taught procedure."""
    found = task.once("par", lambda: par(task.plan, INSTRUMENTS))
    return {"par_minutes": float(found.minutes), "par_measurements": float(found.measurements)}


def teaches(task: Task) -> bool:
    """Return whether a plan's fault can be told from a sound boat, and the reference hunter finds it."""
    table = table_of(task)
    if task.plan.faults:
        shown = task.once("shown", lambda: shown_by(task.plan, table))
        if apart(table, shown)[0] <= ALIKE:
            return False
    return task.once("par", lambda: par(task.plan, INSTRUMENTS)).right


def true_way(plan: SlipPlan) -> str:
    """Return the way of a plan's fault."""
    return way_of(plan.faults[0].kind) if plan.faults else NOTHING


def true_part(plan: SlipPlan) -> str:
    """Return the part of a plan's fault."""
    return plan.faults[0].part if plan.faults else NOTHING


def _named(table: Table, way: str, part: str) -> NDArray[np.bool_]:
    """Return which guesses an answer names."""
    if way == NOTHING:
        return np.array([guess.name == SOUND for guess in table.guesses])
    return np.array(
        [g.fault is not None and way_of(g.fault.kind) == way and g.fault.part == part for g in table.guesses]
    )


@dataclass(frozen=True)
class DiagnosisPart:
    """What is wrong, and with which part: right when it is so, or when no allowed measurement tells it from what is so."""

    points: float = 6.0

    @property
    def fields(self) -> tuple[Field, ...]:
        """Return the two fields."""
        ways = tuple((way, words) for way, (words, _) in WAYS.items())
        return (
            Field("way", "What is wrong", kind="choice", choices=ways),
            Field("part", "With which part", kind="choice", personal=part_choices),
        )

    @property
    def out_of(self) -> float:
        """Return the points."""
        return self.points

    @property
    def mistakes(self) -> tuple[str, ...]:
        """Return the names of the mistakes."""
        return DIAGNOSIS_MISTAKES

    def truth_of(self, field: str, task: Task) -> str:
        """Return the way or the part."""
        return true_way(task.plan) if field == "way" else true_part(task.plan)

    def apart(self, task: Task) -> bool:
        """Return True: the exercise's ``teaches`` says whether the fault can be found."""
        return True

    def right(self, task: Task) -> Mapping[str, str]:
        """Return the right answer."""
        return {"way": true_way(task.plan), "part": true_part(task.plan)}

    def examples(self, task: Task) -> Mapping[str, Mapping[str, str]]:
        """Return nothing: how a hunt goes wrong is for the exercise's ``examples``."""
        return {}

    def possible(self, task: Task, way: str, part: str) -> bool:
        """Return whether a part of this boat can have something of a way wrong with it."""
        return bool(_named(table_of(task), way, part).any())

    def accepted(self, task: Task, way: str, part: str) -> bool:
        """Return whether an answer is the truth, or cannot be told from it on this boat."""
        if (way, part) == (true_way(task.plan), true_part(task.plan)):
            return True
        table = table_of(task)
        named = _named(table, way, part)
        groups = {fault.group for fault in task.plan.faults} or {SOUND}
        if any(g.group in groups for g, one in zip(table.guesses, named, strict=True) if one):
            return True
        shown = task.once("shown", lambda: shown_by(task.plan, table))
        return bool(named.any()) and nearest(table, shown, named) <= ALIKE

    def judge(self, case: Case) -> tuple[PartMark, ...]:
        """Return the mark."""
        way, part = case.given("way"), case.given("part") or ""
        title = "What is wrong, and where"
        if way not in WAYS or (way != NOTHING and part in ("", NOTHING)):
            half = NO_PART if way in WAYS else NO_CHOICE if way else NOT_CHOSEN
            return (PartMark("way", title, 0.0, self.points, None, half.name, half.sentence),)
        part = NOTHING if way == NOTHING else part
        words = mendable(case.task.plan)
        given = WAYS[way][0] + ("" if part == NOTHING else f": {words.get(part, part)}")
        if self.accepted(case.task, way, part):
            says = "That is what is wrong, as far as any measurement you were given can tell."
            says = says if way != NOTHING else "Nothing is wrong with her, and knowing that is a finding too."
            return (PartMark("way", title, self.points, self.points, given, None, says),)
        mistake = self._mistake(case, way, part)
        share = 1 / 3 if mistake.name == "right_part_wrong_way" else 0.0
        points = round(self.points * share, 2)
        return (PartMark("way", title, points, self.points, given, mistake.name, mistake.sentence),)

    def _mistake(self, case: Case, way: str, part: str) -> Mistake:
        truth_way, truth_part = true_way(case.task.plan), true_part(case.task.plan)
        if way == NOTHING:
            name = "nothing_called"
        elif truth_way == NOTHING:
            name = "something_called"
        elif way in STRAY and truth_way not in STRAY:
            name = "galvanic_called_stray"
        elif truth_way in STRAY and way not in STRAY:
            name = "stray_called_galvanic"
        elif part == truth_part:
            name = "right_part_wrong_way"
        else:
            name = "wrong_circuit" if way in STRAY else "wrong_part"
        return Mistake(name, f"{SAID[name]} {_contradiction(case, way, part)}")


SAID = {
    "nothing_called": "Something is wrong with her.",
    "something_called": "Nothing is wrong with her. A difference counts only when it is larger than what meter and cell can be off by.",
    "galvanic_called_stray": "What she shows does not follow any breaker. A stray current goes when its circuit is off, and this stays.",
    "stray_called_galvanic": "On this boat it comes and goes with a breaker. Metals by themselves know nothing of switches, so a "
    "current from the battery is at work.",
    "wrong_circuit": "It is a stray current, but it comes from another circuit.",
    "wrong_part": "It is something of that sort, but at another place.",
    "right_part_wrong_way": "That is the part. But something else is wrong with it.",
}


def _contradiction(case: Case, way: str, part: str) -> str:
    """Return the reading that speaks against an answer, or what is missing when none does."""
    table = table_of(case.task)
    named = _named(table, way, part)
    if not named.any():
        return "This boat cannot have a fault of that sort."
    found = against(table, score_of(case).evidence, named)
    if found is None:
        return "Nothing you recorded speaks for it or against it yet. Measure where it would show."
    return against_words(case.afloat, table, found)
