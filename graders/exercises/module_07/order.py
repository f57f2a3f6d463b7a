"""07.1 and 07.2: the order of a hunt, and what all off means."""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise
from graders.exercises.module_07.common import MODULE
from graders.metals import pick
from graders.parts import Before, ChoicePart, Listed, OrderPart

SUSPECTS = ("a bronze seacock", "the port rudder", "the propeller shaft", "a through-hull fitting")
OWNERS = (
    "is sure that it is the new pump",
    "has bought new anodes already",
    "wants you to change the seacock at once",
    "says it is galvanic",
)


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    return {"suspect": draw.choice("suspect", SUSPECTS), "owner": draw.choice("owner", OWNERS)}


ORDER = Exercise(
    id="07.1",
    module=MODULE,
    title="The order of a hunt",
    kind="order",
    objectives=("07.order",),
    prompt="{suspect} of a petrol-engined cruiser at {marina} is being eaten in weeks. Her owner {owner}.",
    draw=_draw,
    parts=(
        OrderPart(
            "order",
            "Put the steps in order",
            4,
            (
                ("sniff", "open the hatches and sniff; switch nothing while there is vapour"),
                ("baseline", "take the baseline with everything as found, and write it down"),
                ("off", "all off: shore lead, battery switch, and what bypasses it; read again"),
                ("one", "circuits on one at a time, or by halves, a reading each"),
                ("close", "close in on the circuit found, with clamp and bilge probe"),
                ("mend", "mend that one thing"),
                ("prove", "the same reading in the same place, everything on again"),
            ),
            (
                Before(
                    "switched_before_sniffing",
                    "sniff",
                    "off",
                    "A switch makes a spark, and petrol vapour lies in the bilge. Air and nose come before every switch.",
                    safety=True,
                ),
                Before(
                    "no_baseline",
                    "baseline",
                    "off",
                    "You switched off before the baseline, so you have nothing to compare with. What moved, and by how much?",
                ),
                Before(
                    "one_before_off",
                    "off",
                    "one",
                    "One at a time starts from all off. While others are still on, one may hide another.",
                ),
                Before(
                    "mended_on_suspicion",
                    "close",
                    "mend",
                    "Find the spot first, whatever the owner thinks. A part mended on suspicion takes the evidence with it, and "
                    "the leak may go on.",
                ),
                Before(
                    "not_proved",
                    "mend",
                    "prove",
                    "The proof comes after the mending: only then can the reading that was wrong be right again.",
                ),
            ),
        ),
        ChoicePart(
            "owner_says",
            "What do you make of what the owner says",
            1,
            (
                ("note", "write it down, and measure as if he had not said it"),
                ("first", "begin with it: he knows his boat"),
                ("ignore", "forget it: owners know nothing"),
            ),
            lambda t: "note",
            {
                "first": "He {owner}. Perhaps he is right. But if you begin there, you see only what fits.",
                "ignore": "Only he knows what changed, and when. That is worth a line in the book.",
            },
            how="Keep what he knows, and leave what he concludes.",
        ),
    ),
    method=(
        "Sniff; baseline; all off; one at a time; close in; mend; prove.",
        "What the owner says goes into the book, not into the order.",
    ),
    hints=(
        "Safety comes first, then a reading to compare with.",
        "Then everything off. From there one circuit at a time, until one of them moves the reading.",
        "Sniff, baseline, all off, one at a time, close in, mend, prove. What the owner says is written down, and measured like "
        "anything else.",
    ),
)

BYPASSERS = {
    "float": (
        "the bilge pump on its float switch, fed straight from the battery",
        "a pump that must work when nobody is on board is fed ahead of the switch.",
    ),
    "alarm": (
        "a gas and bilge alarm with a fuse at the battery",
        "an alarm has to work when the switch is off.",
    ),
    "radio": (
        "the memory wire of the radio, with a fuse at the battery",
        "its clock runs on with the switch off, so it is fed ahead of the switch.",
    ),
    "charger": (
        "the battery charger, while the shore lead is in",
        "the charger feeds the battery's own posts, past the switch.",
    ),
    "solar": (
        "a solar panel on its regulator at the battery",
        "the sun feeds the battery whether the switch is on or off.",
    ),
}
SWITCHED = {
    "lights": (
        "the cabin lights on the breaker panel",
        "the panel is fed through the switch; with the switch off it is dead.",
    ),
    "pump": (
        "the fresh-water pump on the breaker panel",
        "the panel is fed through the switch; with the switch off it is dead.",
    ),
    "nav": (
        "the navigation lights on the breaker panel",
        "the panel is fed through the switch; with the switch off it is dead.",
    ),
}
THINGS = Listed("things", BYPASSERS, SWITCHED)


def _draw_off(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    live = pick(draw, "live", tuple(BYPASSERS), 3)
    return {"things": pick(draw, "order", (*live, *pick(draw, "dead", tuple(SWITCHED), 2)), 5)}


ALL_OFF = Exercise(
    id="07.2",
    module=MODULE,
    title="All off",
    kind="choose",
    objectives=("07.order", "07.defences"),
    prompt="On {boat} the battery switch is off, and the shore lead is still in. Which of these may still be live?",
    draw=_draw_off,
    words=THINGS.words,
    parts=(
        THINGS.part(
            "live", "Still live, or able to be", 3, "Not {letter}: {why}", "You left out {letter}: {why}"
        ),
        ChoicePart(
            "first",
            "What goes out first",
            1,
            (
                ("shore", "the shore lead: breaker at the pedestal off, then the plug"),
                ("switch", "the battery switch, and that will do"),
                ("green", "the green wire in the plug"),
            ),
            lambda t: "shore",
            {
                "switch": "With the lead in, the charger still feeds the battery's posts, and the safety earth still joins her "
                "to the dock.",
                "green": "Never. The safety earth is not opened. The whole lead is unplugged, its breaker off first.",
            },
            how="What feeds the boat from outside goes first.",
            named={"switch": "switch_is_enough", "green": "safety_earth_opened"},
        ),
    ),
    method=lambda t: tuple(f"{letter}: {THINGS.at(t, letter)[1]}" for letter in THINGS.letters),
    hints=(
        "What must work when nobody is on board?",
        "What has a fuse at the battery and no breaker on the panel?",
        "What is on the breaker panel is dead with the switch off. Everything else in the list has its own way to the battery. "
        "And what feeds the boat from outside goes out first.",
    ),
)
