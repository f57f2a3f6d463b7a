"""01.4: which of four cases have a circuit between two pieces of metal that one can measure and break."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise
from graders.exercises.module_01.common import MODULE
from graders.exercises.module_01.signs import NAMED, SIGNS
from graders.metals import pick
from graders.parts import ChoicePart, SeveralPart
from graders.task import Task

CASES = ("a", "b", "c", "d")
ELECTRICAL = frozenset({"galvanic", "stray"})


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    kinds = pick(draw, "kinds", tuple(NAMED), len(CASES))
    drawn: dict[str, Value] = {}
    for case, kind in zip(CASES, kinds, strict=True):
        drawn[f"kind_{case}"] = kind
        drawn[f"case_{case}"] = (
            f"{draw.choice(f'place {case}', SIGNS[kind]['place'])}; {draw.choice(f'look {case}', SIGNS[kind]['look'])}"
        )
    return drawn


def _electrical(task: Task) -> frozenset[str]:
    return frozenset(case for case in CASES if task.word(f"kind_{case}") in ELECTRICAL)


def _not_a_circuit(case: str) -> Callable[[Task], str]:
    def says(task: Task) -> str:
        kind = task.word(f"kind_{case}")
        both = (
            "both on the one metal, everywhere"
            if kind == "general"
            else "inside and outside the gap, on one and the same piece"
        )
        return f"Case {case} is {NAMED[kind]}: anode and cathode are {both}. There is no wire, bond or switch to open between them."

    return says


def _is_a_circuit(case: str) -> Callable[[Task], str]:
    def says(task: Task) -> str:
        kind = task.word(f"kind_{case}")
        between = (
            "from one metal through the bond to the other and back through the water; open the bond and it stops"
            if kind == "galvanic"
            else "from a battery through the leak, the fitting and the water back to the negative; open its breaker and it stops"
        )
        return f"You left out case {case}, which is {NAMED[kind]}. It has a circuit: {between}."

    return says


def _with_source(task: Task) -> str:
    return next(case for case in CASES if task.word(f"kind_{case}") == "stray")


def _no_source(case: str) -> Callable[[Task], str]:
    def says(task: Task) -> str:
        kind = task.word(f"kind_{case}")
        lives = {
            "general": "the metal itself",
            "crevice": "the missing oxygen in the gap",
            "galvanic": "the difference between two metals: tenths of a volt, and no battery",
        }
        return (
            f"Case {case} is {NAMED[kind]}. What drives it is {lives[kind]}. "
            "Look for the one fitting with sharp, bright attack and sound neighbours."
        )

    return says


CIRCUITS = Exercise(
    id="01.4",
    module=MODULE,
    title="Which of them are electrical",
    kind="choose",
    objectives=("01.electrical",),
    prompt="Four finds from one week at {marina}, one of each kind. The workshop calls a kind electrical when there is a circuit "
    "between two "
    "pieces of metal, one that you can measure and break.",
    draw=_draw,
    parts=(
        SeveralPart(
            "circuits",
            "In which of them is there such a circuit",
            2,
            tuple((case, f"{case}: {{case_{case}}}") for case in CASES),
            _electrical,
            {case: _not_a_circuit(case) for case in CASES},
            {case: _is_a_circuit(case) for case in CASES},
        ),
        ChoicePart(
            "source",
            "Which one has a source of its own, a battery or charger",
            2,
            tuple((case, f"case {case}") for case in CASES),
            _with_source,
            {case: _no_source(case) for case in CASES},
            how="Name the kind of each case first.",
            why="A battery or a charger drives it with volts; two metals have tenths of a volt.",
        ),
    ),
    method=lambda task: tuple(
        f"Case {case}: {NAMED[task.word(f'kind_{case}')]}, {'a circuit' if case in _electrical(task) else 'no circuit'}."
        for case in CASES
    ),
    hints=(
        "Name the kind of each case first.",
        "Ask of each: is there a second piece of metal in it, and something that joins the two?",
        "Galvanic and stray current have a circuit: two metals, or a battery and a fitting. Only stray current has a source of its own.",
    ),
)
