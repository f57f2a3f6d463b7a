"""01.1 to 01.3: name the kind from a case card; each card shows fewer signs than the one before."""

from __future__ import annotations

from functools import partial

from graders.exercise import Exercise
from graders.exercises.module_01.common import MODULE
from graders.exercises.module_01.signs import (
    CURES,
    EXPECTED,
    KINDS,
    NAMED,
    against,
    card_of,
    drawn_case,
    speaking_for,
)
from graders.parts import ChoicePart
from graders.parts.choice import ChoicePart as Choice
from graders.task import Task, Tell

ALL = ("place", "look", "speed", "history", "reading")
EVERY_KIND = tuple(NAMED)


def _kind_part(shown: tuple[str, ...]) -> Choice:
    def wrong(guess: str) -> Tell:
        return lambda task: against(guess, shown, task)

    return ChoicePart(
        "kind",
        "Which kind of corrosion is it",
        2,
        KINDS,
        lambda task: task.word("true_kind"),
        {kind: wrong(kind) for kind in NAMED},
        how="Go through the signs one by one and strike out the kinds that each of them speaks against.",
        why=lambda task: speaking_for(shown, task),
        named={kind: f"called_it_{kind}" for kind in NAMED},
    )


def _not_this_cure(cure: str, task: Task) -> str:
    kind = task.chosen("kind")
    return (
        f"That helps against {NAMED[cure]}. You have {NAMED[kind]}, which is driven by {DRIVEN_BY[kind]}. "
        "Which of the cures takes that away?"
    )


DRIVEN_BY = {
    "general": "the metal itself",
    "crevice": "the missing oxygen in the gap",
    "galvanic": "the difference between two metals",
    "stray": "a battery or a charger",
}

CURE = ChoicePart(
    "cure",
    "What cures it",
    2,
    CURES,
    lambda task: task.chosen("kind"),
    {cure: partial(_not_this_cure, cure) for cure in NAMED},
    how="Ask what drives this kind, and which of these takes that away.",
    why="It takes away what drives the corrosion.",
    named={cure: f"cure_of_{cure}" for cure in NAMED},
)

TESTS = (
    ("general", "measure how thick the metal still is, here and there"),
    ("crevice", "take the cover off and look underneath"),
    ("galvanic", "read it against the reference cell with the bond to its neighbour closed, then open"),
    ("stray", "read it against the reference cell, all circuits off, then one at a time"),
)


def _not_this_test(test: str, task: Task) -> str:
    kind = task.chosen("kind")
    return f"That would prove {NAMED[test]}. You suspect {NAMED[kind]}, so test what sets it apart. {EXPECTED[kind]['reading']}."


TEST = ChoicePart(
    "test",
    "What would you do next, to be sure",
    2,
    TESTS,
    lambda task: task.chosen("kind"),
    {test: partial(_not_this_test, test) for test in NAMED},
    how="Choose the test whose outcome would be different if you were wrong.",
    why="Its outcome would be different if you were wrong. That is what makes it a test.",
    named={test: f"test_for_{test}" for test in NAMED},
)

DRIVERS = (
    ("general", "the metal itself: anode and cathode are both on it and change places"),
    ("crevice", "oxygen outside the gap and none inside"),
    ("galvanic", "the difference between two metals, some tenths of a volt"),
    ("stray", "a battery or a charger, several volts"),
)


def _not_this_driver(driver: str, task: Task) -> str:
    return f"That drives {NAMED[driver]}. {EXPECTED[task.chosen('kind')]['place']}. Which of these could do that?"


DRIVER = ChoicePart(
    "driver",
    "What drives it",
    2,
    DRIVERS,
    lambda task: task.chosen("kind"),
    {driver: partial(_not_this_driver, driver) for driver in NAMED},
    how="Ask where anode and cathode are, and what stands between them.",
    why="Take that away, and it stops.",
    named={driver: f"driver_of_{driver}" for driver in NAMED},
)


def _case(
    number: str, title: str, shown: tuple[str, ...], second: Choice, kinds: tuple[str, ...], asked: str
) -> Exercise:
    return Exercise(
        id=number,
        module=MODULE,
        title=title,
        kind="diagnose",
        objectives=("01.tell_apart",) if second is not DRIVER else ("01.tell_apart", "01.electrical"),
        prompt=asked,
        draw=lambda draw, _plan: drawn_case(draw, kinds, shown),
        words=lambda task: {"kind_name": NAMED[task.word("true_kind")]},
        tables=(partial(card_of, shown),),
        parts=(_kind_part(shown), second),
        method=lambda task: (
            f"It is {NAMED[task.word('true_kind')]}.",
            *(f"{EXPECTED[task.word('true_kind')][sign]}: {task.word(sign)}." for sign in shown),
        ),
        hints=(
            "Take the signs one at a time. Which of the four kinds does each one leave?",
            "Speed tells much: years to decades is general, months to years is crevice or galvanic, hours to weeks is stray.",
            "What is left is told by the rest. In a gap or under a cover: crevice. Beside another metal, or moved by a bond: "
            "galvanic. One fitting, bright and sharp, or moved by a switch: stray. Even, and moved by nothing: general.",
        ),
    )


ALL_SIGNS = _case(
    "01.1",
    "A case with all its signs",
    ALL,
    CURE,
    EVERY_KIND,
    "Somebody at {marina} shows you a piece of metal and tells you all about it. Name the kind, and what cures it.",
)
THREE_SIGNS = _case(
    "01.2",
    "A case with three signs",
    ("place", "look", "history"),
    TEST,
    EVERY_KIND,
    "This time nobody knows how long it took, and nothing has been measured yet. Name the kind you suspect, and the test that would "
    "prove it.",
)
TWO_SIGNS = _case(
    "01.3",
    "A case with two signs",
    ("speed", "reading"),
    DRIVER,
    ("general", "galvanic", "stray"),
    "On the telephone you hear only this much. Name the kind, and say what drives it.",
)
