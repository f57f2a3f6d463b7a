"""04.8, 04.9 and 04.10: too much, not working, and not needed."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise, Table
from graders.exercises.module_04.common import MODULE
from graders.metals import pick
from graders.parts import ChoicePart
from graders.task import Task

# --- 04.8 ---------------------------------------------------------------------------------------------------------------------

STATES = (
    ("over", "too much protection"),
    ("under", "too little protection"),
    ("fine", "nothing: she is protected as she should be"),
)
SIGNS = {
    "over": (
        "paint has blistered in rings around the anodes, and the metal below is bright",
        "the aluminium drive has a white, soft skin, though its anodes are like new",
        "around the bronze fastenings the wood is soft, white and furry",
    ),
    "under": (
        "the propeller shows pink patches where its zinc is gone, and its edges are ragged",
        "rust weeps from every scratch of her steel rudder",
        "the aluminium drive is pitted where its paint is gone, and the anodes are like new",
    ),
    "fine": (
        "bare metal is dull and whole, with a thin white chalk on it",
        "scratches in the paint are clean, and the anodes are wasted by a third",
        "fittings are as last year, anodes evenly wasted",
    ),
}
READ = {"over": (-1330, -1180), "under": (-480, -360), "fine": (-980, -900)}
CURES = {
    "over": (
        "take anodes away, change the alloy for the water, or turn the impressed-current system down",
        "less",
    ),
    "under": ("find out why the anodes do not work; then mend or add", "more"),
    "fine": ("write it down, and look again next season", "leave"),
}


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    state = draw.choice("state", tuple(SIGNS))
    return {
        "state": state,
        "sign": draw.choice("sign", SIGNS[state]),
        "read_mV": draw.number("reading", *READ[state], 0),
    }


def _seen(task: Task) -> Table:
    return Table(
        "A boat at Cormorant Reach (invented)",
        ("", ""),
        (
            (
                "hull potential, mV against silver/silver-chloride in sea water",
                f"{task.number('read_mV'):.0f}",
            ),
            ("what you see when she is hauled out", task.word("sign")),
        ),
    )


def _not_that_state(state: str) -> Callable[[Task], str]:
    def says(task: Task) -> str:
        expected = {
            "over": "Too much would read past -1100 mV, with paint lifting and aluminium or wood going soft.",
            "under": "Too little would read near what the metals read by themselves, with metal wasting.",
            "fine": "Protected she would read near -900 to -1000 mV, with metal whole and paint sound.",
        }
        return f"{expected[state]} She reads {task.number('read_mV'):.0f} mV, and {task.word('sign')}."

    return says


def _not_that_cure(state: str) -> Callable[[Task], str]:
    named = dict(STATES)
    return lambda task: (
        f"That is for another find: {named[state]}. You found: {named[task.chosen('state')]}. Does that ask for more anode, for "
        f"less, or for neither?"
    )


OVER = Exercise(
    id="04.8",
    module=MODULE,
    title="Too much or too little",
    kind="diagnose",
    objectives=("04.over",),
    prompt="You have a reading from the dock, and you see her hauled out. Do the two fit together?",
    draw=_draw,
    tables=(_seen,),
    parts=(
        ChoicePart(
            "state",
            "What is wrong",
            2,
            STATES,
            lambda t: t.word("state"),
            {state: _not_that_state(state) for state, _ in STATES},
            how="Reading and sight must both fit.",
        ),
        ChoicePart(
            "cure",
            "So",
            2,
            tuple((state, words) for state, (words, _) in CURES.items()),
            lambda t: t.chosen("state"),
            {state: _not_that_cure(state) for state in CURES},
            how="More, less, or leave it.",
            named={state: f"cure_{name}" for state, (_, name) in CURES.items()},
        ),
    ),
    method=lambda t: (
        f"{t.number('read_mV'):.0f} mV, and {t.word('sign')}: {dict(STATES)[t.word('state')]}.",
        f"{CURES[t.word('state')][0]}.",
    ),
    hints=(
        "More negative than -1100 mV (from memory) is too much.",
        "Aluminium suffers from too little and from too much. The reading tells which.",
        "More negative than -1100 mV: too much, take anode away. Near -400 mV: too little, find out why the anodes do not work. "
        "Near -900 to -1000 mV and all whole: leave it.",
    ),
)

# --- 04.9 ---------------------------------------------------------------------------------------------------------------------

WHY = (
    ("contact", "they have no contact: metal to metal is missing"),
    ("painted", "they were painted over"),
    ("asleep", "they are zinc in fresh water, gone to sleep"),
    ("unneeded", "hardly anything asks for their current"),
)
FACTS: dict[str, tuple[tuple[str, str], ...]] = {
    "contact": (
        ("hull potential", "as without any anode"),
        (
            "on the slip, from anode to bonding point, leads both ways",
            "over 20 ohm, bare zinc under the probe",
        ),
        ("surface", "bright as new"),
        ("water", "sea"),
    ),
    "painted": (
        ("hull potential", "as without any anode"),
        (
            "on the slip, from anode to bonding point, leads both ways",
            "0.01 ohm, once the probe was pushed through",
        ),
        ("surface", "the colour of the hull"),
        ("water", "sea"),
    ),
    "asleep": (
        ("hull potential", "as without any anode"),
        ("on the slip, from anode to bonding point, leads both ways", "0.01 ohm"),
        ("surface", "a hard grey skin"),
        ("water", "a lake"),
    ),
    "unneeded": (
        ("hull potential", "well protected, and steady"),
        ("on the slip, from anode to bonding point, leads both ways", "0.01 ohm"),
        ("surface", "bare, evenly dull"),
        ("water", "sea"),
    ),
}
THEN = {
    "contact": "clean both faces and bolt them metal to metal, then read again",
    "painted": "scrape them bare, then read again",
    "asleep": "fit magnesium for this water, then read again",
    "unneeded": "leave them, write it down, and look next season",
}
SIGN_OF = {
    "contact": "Without contact the ohmmeter would show many ohms from anode to bonding point.",
    "painted": "Painted over they would wear the colour of the hull.",
    "asleep": "Zinc sleeps in fresh water, under a hard grey skin, with its contact sound.",
    "unneeded": "If hardly anything asked for current, the boat would read well protected.",
}


def _as_found(task: Task) -> Table:
    return Table("Anodes like new after a whole season (invented)", ("", ""), FACTS[task.word("why")])


def _not_why(why: str) -> Callable[[Task], str]:
    def says(task: Task) -> str:
        facts = dict(FACTS[task.word("why")])
        found = {
            "contact": f"what was found is: {facts['on the slip, from anode to bonding point, leads both ways']}",
            "painted": f"the surface is {facts['surface']}",
            "asleep": f"the water here: {facts['water']}; the surface: {facts['surface']}",
            "unneeded": f"this one reads {facts['hull potential']}",
        }
        return f"{SIGN_OF[why]} But {found[why]}."

    return says


def _not_then(why: str) -> Callable[[Task], str]:
    named = dict(WHY)
    return lambda task: (
        f"That is the cure for another cause: {named[why]}. You found: {named[task.chosen('why')]}. "
        "Which of these takes that away?"
    )


AS_NEW = Exercise(
    id="04.9",
    module=MODULE,
    title="Anodes like new",
    kind="diagnose",
    objectives=("04.alloy", "04.survey"),
    prompt="After a season afloat the anodes of a boat weigh what they weighed new. Her owner is pleased. Should he be?",
    draw=lambda draw, _plan: {"why": draw.choice("why", tuple(FACTS))},
    tables=(_as_found,),
    parts=(
        ChoicePart(
            "why",
            "Why are they like new",
            2,
            WHY,
            lambda t: t.word("why"),
            {why: _not_why(why) for why, _ in WHY},
            how="There are four facts. The cause must fit all four.",
        ),
        ChoicePart(
            "then",
            "What is done",
            2,
            tuple(THEN.items()),
            lambda t: t.chosen("why"),
            {why: _not_then(why) for why in THEN},
            how="Do what takes away the cause you found, and read again.",
        ),
    ),
    method=lambda t: (
        f"{dict(WHY)[t.word('why')]}.",
        "An anode that does not waste is either not needed or not working. One reading tells which.",
    ),
    hints=(
        "Look at the reading first: is the boat protected?",
        "If she is not: is it contact, paint, or the water?",
        "Many ohms: no contact. The hull's colour: painted. Fresh water and a hard grey skin: asleep. Well protected all the "
        "same: nothing asks for current.",
    ),
)

# --- 04.10 --------------------------------------------------------------------------------------------------------------------

BOATS: dict[str, tuple[str, bool, str]] = {
    "dinghy": (
        "a fibreglass dinghy with an outboard that is tilted up and dry at the berth",
        False,
        "Nothing metal is in the water at the berth.",
    ),
    "bronze": (
        "a fibreglass sloop: bronze propeller and shaft log, bronze seacocks apart from one another, no shore lead",
        False,
        "Her wet metals are all bronzes, close together in the series, on a hull that does not conduct.",
    ),
    "paddle": (
        "a wooden rowing boat with copper rivets",
        False,
        "One metal alone, copper, which lasts by itself.",
    ),
    "saildrive": (
        "a fibreglass sloop with an aluminium saildrive and a bronze propeller on it",
        True,
        "Aluminium beside bronze in sea water is the first to suffer.",
    ),
    "steel": (
        "a steel ketch, painted",
        True,
        "Every scratch in the paint is bare steel, and steel rusts by itself.",
    ),
    "mixed": (
        "a fibreglass cruiser with stainless shafts, bronze struts and steel rudders, all bonded",
        True,
        "Her bonded metals stand far apart: the steel would pay.",
    ),
    "plugged": (
        "a bronze-fitted fibreglass sloop, plugged in all year among steel boats without an isolator",
        True,
        "The safety earth joins her to the whole dock, whatever her own metals are.",
    ),
}
NEEDS = tuple(name for name, boat in BOATS.items() if boat[1])
NO_NEED = tuple(name for name, boat in BOATS.items() if not boat[1])
BERTHS = ("a", "b", "c")


def _draw_boats(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    one = draw.choice("free", NO_NEED)
    return {"boats": pick(draw, "order", (one, *pick(draw, "needing", NEEDS, 2)), 3)}


def _boat_at(task: Task, berth: str) -> tuple[str, bool, str]:
    return BOATS[task.words("boats")[BERTHS.index(berth)]]


def _needs(berth: str) -> Callable[[Task], str]:
    return lambda task: f"She does need protection. {_boat_at(task, berth)[2]}"


REASON = (
    (
        "alike",
        "metals alone or alike, on a hull that does not conduct, and no wire to others: nothing drives a current",
    ),
    ("small", "small boats never need anodes"),
    ("paint", "good paint makes anodes needless"),
)

NO_ANODES = Exercise(
    id="04.10",
    module=MODULE,
    title="Who needs none",
    kind="choose",
    objectives=("04.isolate_or_bond", "04.none"),
    prompt="Three boats at {marina}. One of them needs no cathodic protection at all.",
    draw=_draw_boats,
    words=lambda t: {f"boat_{berth}": _boat_at(t, berth)[0] for berth in BERTHS},
    parts=(
        ChoicePart(
            "boat",
            "Which one",
            2,
            tuple((berth, f"{{boat_{berth}}}") for berth in BERTHS),
            lambda t: next(berth for berth in BERTHS if not _boat_at(t, berth)[1]),
            {berth: _needs(berth) for berth in BERTHS},
            how="Ask of each: are there two unlike metals in the water, and a wire between them?",
        ),
        ChoicePart(
            "reason",
            "Because of",
            2,
            REASON,
            lambda t: "alike",
            {
                "small": "Size does not matter: an aluminium leg on the smallest sloop can be eaten in a season.",
                "paint": "Paint has scratches, and what is bare in them takes the whole attack. The reason lies in the metals.",
            },
            how="What must be there for a current to flow at all?",
        ),
    ),
    method=lambda t: tuple(f"{_boat_at(t, berth)[0]}. {_boat_at(t, berth)[2]}" for berth in BERTHS),
    hints=(
        "Without two unlike metals there is no galvanic cell.",
        "Without a wire between them there is none either. A shore lead is such a wire.",
        "Strike out every boat with two unlike metals wet and joined, every bare or scratched steel hull, and every one that is "
        "plugged in among others. One is left.",
    ),
)
