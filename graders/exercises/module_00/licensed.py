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
        "It is made for everybody who is moored there: breaker off first, then the plug.",
    ),
    "clamp": (
        "close a clamp round the whole shore cable, leaving it plugged in",
        "Nothing is opened and nothing bare is touched. (A cable that is cut, scorched or wet at the plug is left alone.)",
    ),
    "ohms": (
        "measure the bonding with the battery off and the shore lead out",
        "With battery and shore lead off nothing is live, so nothing can hurt you or fool the ohmmeter.",
    ),
    "anode": (
        "look at a hanging anode from the dock, on its line",
        "It comes up to you on its line; you need not go down to it.",
    ),
}
NOT_YOURS = {
    "earth": (
        "take the safety earth off its stud, to see whether the anodes last longer",
        "Without the safety earth a fault puts mains voltage on all the metal of the boat. It is never opened, not even for a test.",
    ),
    "blower": (
        "smell petrol in the bilge, and start the blower to clear it",
        "A switch makes a spark. If you smell petrol, switch nothing on or off: open the hatches, everybody off, call.",
    ),
    "pedestal": (
        "open the pedestal, to look at its wiring",
        "Behind that door bare metal is live. The shore side is licensed work.",
    ),
    "swim": (
        "dive under the boat at her berth, to look at the anodes",
        "Any boat on the dock may leak current into the water, and you cannot see it. Nobody goes into marina water.",
    ),
    "alone": (
        "test the live shore circuit with your meter, alone",
        "One slip on a live shore circuit can kill. It is work for qualified people, and never for one person alone.",
    ),
    "hand": (
        "reach into the water to feel whether it tingles",
        "A hand in the water makes you part of the circuit. If you suspect a "
        "leak, keep everyone out and tell the dock.",
    ),
    "isolator": (
        "fit a galvanic isolator into the green wire yourself",
        "A bad joint in the safety earth is found only when somebody is hurt. A licensed person fits whatever sits in it.",
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
                "careful": "You cannot see electricity, so you cannot tell how careful to be. When in doubt, stop.",
                "book": "A book, and this course too, tells you what a thing is. Who may work on it is said by local codes: stop, "
                "and call.",
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
        "Strike out whatever opens the safety earth, touches the shore side, meets live bare metal, or gets somebody wet. The rest "
        "is yours.",
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
                ("off", "switch off what draws current, and what charges the battery"),
                ("negative", "take the battery's negative off"),
                ("work", "do the work"),
            ),
            (
                Before(
                    "switched_in_vapour",
                    "sniff",
                    "off",
                    "A switch makes a spark. First let air through and sniff, so that you know there is nothing for it to light.",
                    safety=True,
                ),
                Before(
                    "rings_on",
                    "rings",
                    "negative",
                    "A ring that bridges the battery glows in a second, with your finger in it. Take it off before you touch a post.",
                    safety=True,
                ),
                Before(
                    "under_load",
                    "off",
                    "negative",
                    "A post that is taken off under load makes a spark, right above a battery that gives off gas. Loads off first.",
                ),
                Before(
                    "negative_after",
                    "negative",
                    "work",
                    "With the negative still on, a {tool} that slips from the positive post onto the engine closes the circuit. The "
                    "negative comes off before the work.",
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
                "custom": "There is a reason. Engine and hull are joined to the negative. What happens when a {tool} on the positive "
                "post touches the engine?",
                "more": "The same current flows in both. The difference is what a {tool} on each post can touch by mistake.",
            },
            how="What can a {tool} on each post touch by mistake?",
        ),
    ),
    method=(
        "Air, nose, rings off, loads off, negative off, work; the negative goes back on last. If you smell anything: no switch, "
        "everybody off, call.",
        "With the negative off, a {tool} between the positive post and the hull closes no circuit.",
    ),
    hints=(
        "Vapour comes first, then your own hands, then the switches, then the posts.",
        "Never a switch before the nose, never a post before the rings are off, never a post under load.",
        "Open the hatches, sniff, rings off, loads off, negative off, work. And why: with the negative off, a tool on the positive "
        "post can touch engine and hull without closing a circuit.",
    ),
)
