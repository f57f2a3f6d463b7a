"""00.1 and 00.2: what you do yourself, what you leave alone, and what comes first."""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise
from graders.metals import pick
from graders.parts import Before, ChoicePart, Listed, OrderPart

MODULE = "00_before_you_start"
YOURS = {
    "cell": (
        "hang a reference cell over the side and read the hull potential",
        "It touches nothing that is live, and you stand dry on the dock.",
    ),
    "unplug": (
        "switch the pedestal's breaker off and pull your own shore lead out",
        "That is made to be done by everybody who is moored there, breaker first.",
    ),
    "clamp": (
        "close a clamp round the whole shore cable, leaving it plugged in",
        "Nothing is opened and nothing bare is touched.",
    ),
    "ohms": (
        "measure the bonding with the battery off and the shore lead out",
        "With both off the circuit is dead, and an ohmmeter is at home there.",
    ),
    "anode": (
        "look at a hanging anode from the dock, on its line",
        "It comes up to you; you need not go down to it.",
    ),
}
NOT_YOURS = {
    "earth": (
        "take the safety earth off its stud, to see whether the anodes last longer",
        "The safety earth saves lives. It is never opened.",
    ),
    "pedestal": ("open the pedestal, to look at its wiring", "The shore side is licensed work."),
    "swim": (
        "dive under the boat at her berth, to look at the anodes",
        "Nobody goes into marina water: a leak from any boat can be in it.",
    ),
    "alone": (
        "test the live shore circuit with your meter, alone",
        "An energised shore circuit is for qualified people, and never for one person alone.",
    ),
    "hand": (
        "reach into the water to feel whether it tingles",
        "A hand in the water is a path to your heart. If you suspect a "
        "leak, keep everyone out and tell the dock.",
    ),
    "isolator": (
        "fit a galvanic isolator into the green wire yourself",
        "Whatever sits in the safety earth is fitted by a licensed person.",
    ),
}
JOBS = Listed("jobs", YOURS, NOT_YOURS)


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    count = 2 if draw.choice("count", ("two", "three")) == "two" else 3
    jobs = (
        *pick(draw, "yours", tuple(YOURS), count),
        *pick(draw, "not", tuple(NOT_YOURS), JOBS.size - count),
    )
    return {"jobs": pick(draw, "order", jobs, JOBS.size)}


ALONE = Exercise(
    id="00.1",
    module=MODULE,
    title="Yours, and not yours",
    kind="choose",
    objectives=("00.licensed", "00.dangers"),
    prompt="A day on the dock at {marina}. Which of these may you do yourself?",
    draw=_draw,
    words=JOBS.words,
    parts=(
        JOBS.part("mine", "These I may do", 3, "Not {letter}. {why}", "You left out {letter}. {why}"),
        ChoicePart(
            "doubt",
            "When in doubt",
            1,
            (
                ("stop", "stop, and call someone licensed"),
                ("careful", "go on, carefully"),
                ("book", "look it up and then do it"),
            ),
            lambda t: "stop",
            {
                "careful": "Care is not a licence, and electricity cannot be seen.",
                "book": "A book, and this course too, tells you what it is. Local codes say who may do it.",
            },
            how="Knowing when to stop is part of the trade.",
        ),
    ),
    method=lambda t: tuple(
        f"{letter}: {'yours' if letter in JOBS.true(t) else 'not yours'}. {JOBS.at(t, letter)[1]}"
        for letter in JOBS.letters
    ),
    hints=(
        "Ask of each: is anything live opened or touched? Does anybody get wet?",
        "Your own lead, unplugged with its breaker off, is yours. Everything past the plug is not.",
        "Safety earth, shore side, water: never.",
    ),
)

SPACES = (
    "engine space of a petrol cruiser",
    "cabin of a boat with a gas stove",
    "engine space after she has been shut up for weeks",
)


FIRST_ORDER = Exercise(
    id="00.2",
    module=MODULE,
    title="Before you switch anything",
    kind="order",
    objectives=("00.dangers",),
    prompt="You are to work at the battery in the {space}.",
    draw=lambda draw, _plan: {
        "space": draw.choice("space", SPACES),
        "tool": draw.choice("tool", ("spanner", "screwdriver", "pair of pliers")),
    },
    parts=(
        OrderPart(
            "order",
            "Put the steps in order",
            3,
            (
                ("open", "open the hatches and let air through"),
                ("sniff", "sniff, low down, where vapour lies"),
                ("rings", "take off rings and watch"),
                ("off", "switch off what draws current"),
                ("negative", "take the battery's negative off"),
                ("work", "do the work"),
            ),
            (
                Before(
                    "switched_in_vapour",
                    "sniff",
                    "off",
                    "A switch makes a spark: first know that there is nothing for it to light.",
                    safety=True,
                ),
                Before(
                    "rings_on",
                    "rings",
                    "negative",
                    "A ring and a {tool} across a battery weld themselves to you. Off with it before you touch a post.",
                    safety=True,
                ),
                Before(
                    "under_load",
                    "off",
                    "negative",
                    "A post taken off under load sparks, over a battery that gives off gas.",
                ),
                Before(
                    "negative_after",
                    "negative",
                    "work",
                    "With the negative still on, a {tool} that slips finds a way round through the hull.",
                ),
            ),
        ),
        ChoicePart(
            "why_negative",
            "Why the negative first",
            1,
            (
                ("slip", "a {tool} that slips from it touches only what is at its own voltage"),
                ("custom", "it is only a custom"),
                ("more", "the negative holds the current"),
            ),
            lambda t: "slip",
            {
                "custom": "It has a reason: think of the {tool} on the positive post, touching the engine.",
                "more": "The same current flows in both. Ask what a {tool} can touch while it is on each of the posts.",
            },
            how="What can a {tool} on each post touch by mistake?",
        ),
    ),
    method=(
        "Air, nose, rings off, loads off, negative off, work.",
        "With the negative off, a {tool} between the positive post and the hull closes no circuit.",
    ),
    hints=(
        "First vapour, then your own hands, then the switches.",
        "Never a switch before the nose.",
        "Open, sniff, rings, off, negative, work.",
    ),
)
