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
        "a stray then finds a wire home and blows its fuse.",
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
        "the pump stays at 12 V when it is off.",
    ),
    "return": (
        "the pump's negative taken from the nearest bonding stud",
        "the bonding then carries its current and has a voltage drop.",
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
    prompt="You audit the wiring of {boat} after a hunt.",
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
                "says how one knows, with a reading or a sight and its unit",
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
        "Ask of each: can a positive meet water or bonded metal because of it?",
        "Wet, sharp, low, or switched on the wrong side.",
        "A finding: what, how I know, what it does, what to do, what I did not see.",
    ),
)
