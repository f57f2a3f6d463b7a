"""07.9: audit the defences, and write the finding."""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise
from graders.exercises.module_07.common import MODULE
from graders.metals import pick
from graders.parts import Listed, WrittenPart

GOOD = {
    "positive": ("breakers and switches in the positive wires", "a switched-off circuit is then dead."),
    "high": ("wires led high along the side, clear of the bilge", "what stays dry does not leak."),
    "bond": (
        "bonding under a tenth of an ohm everywhere",
        "a stray current then finds a wire home and blows its fuse.",
    ),
    "label": (
        "a label at the battery: what is fed before the switch",
        "who works here next knows what all off means.",
    ),
}
BAD = {
    "splice": (
        "two splices with tape, low in the bilge",
        "bilge water gets under tape, and the battery feeds the bilge.",
    ),
    "negative": (
        "a switch in the negative wire of the deck wash pump",
        "the pump stays at 12 V when it is switched off.",
    ),
    "return": (
        "the pump's negative taken from the nearest bonding stud",
        "the bonding then carries the pump's current, and voltage is lost along it.",
    ),
    "edge": (
        "a positive wire over the sharp edge of a bulkhead",
        "it chafes through, onto whatever metal is there.",
    ),
    "float": (
        "a float switch with a cracked housing",
        "it sits in the bilge water with the battery's voltage inside.",
    ),
}
FOUND = Listed("found", BAD, GOOD)


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    bad = pick(draw, "bad", tuple(BAD), 2 if draw.choice("count", ("two", "three")) == "two" else 3)
    good = pick(draw, "good", tuple(GOOD), 5 - len(bad))
    return {"found": pick(draw, "order", (*bad, *good), 5)}


FINDING = Exercise(
    id="07.9",
    module=MODULE,
    title="The defences, and a finding",
    kind="write",
    objectives=("07.defences",),
    prompt="After a hunt you look through the wiring of {boat}, so that it does not happen again.",
    draw=_draw,
    words=FOUND.words,
    parts=(
        FOUND.part(
            "bad",
            "Which of these invite the next stray current",
            4,
            "That is as it should be, {letter}: {why}",
            "You left out {letter}: {why}",
        ),
        WrittenPart(
            "finding",
            "Write one of the bad ones up for the owner, in five lines: what, how you know, what it does, what to do, what you "
            "did not see",
            4,
            (
                "names the thing and its place",
                "says how you know: a reading with its unit, or what was seen",
                "says what it does, and how soon",
                "says what to do, and how it is proved; leaves licensed work to licensed people",
            ),
            "Two taped splices lie in the bilge under the engine. The bilge water reads 6.2 V over the engine block with the "
            "pump's breaker "
            "on, 0.2 V with it off. They feed the seacock beside them, which will be through in weeks. Remake them above the "
            "water line in "
            "one length of wire; then read the bilge again with the breaker on: it must stay at 0.2 V. I did not see the wire "
            "behind the tank.",
        ),
    ),
    method=lambda t: tuple(f"{letter}: {FOUND.at(t, letter)[1]}" for letter in FOUND.letters),
    hints=(
        "Ask of each: could a positive wire meet water or metal because of it, or a return run through the bonding?",
        "Bad is what is wet, sharp, low in the bilge, cracked, or switched or returned on the wrong side.",
        "Five lines. What: the thing and its place. How I know: a reading or a sight. What it does, and how soon. What to do, "
        "and how it is proved. What I did not see.",
    ),
)
