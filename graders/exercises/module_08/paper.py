"""08.1, 08.4 and 08.5: the order of a survey, ranking what was found, and writing it up."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise, Table
from graders.exercises.module_08.common import MODULE
from graders.metals import pick
from graders.parts import Before, ChoicePart, OrderPart, WrittenPart
from graders.task import Task

ORDER = Exercise(
    id="08.1",
    module=MODULE,
    title="The order of a survey",
    kind="order",
    objectives=("08.survey",),
    prompt="You are to survey {kind_of_boat} at {marina} whose owner says only: {says}.",
    draw=lambda draw, _plan: {
        "kind_of_boat": draw.choice(
            "boat", ("a fibreglass cruiser", "a steel ketch", "a wooden sloop", "an aluminium workboat")
        ),
        "says": draw.choice(
            "says",
            (
                "the anodes go too fast",
                "something smells odd in the bilge",
                "the propeller looks pink",
                "nothing, she is for sale",
            ),
        ),
    },
    parts=(
        OrderPart(
            "order",
            "Put the steps in order",
            4,
            (
                ("look", "talk to the owner; look, smell, listen"),
                ("tools", "check cell, meter and clamp against something known"),
                ("baseline", "baseline: bonding point, a pass, every metal; written down"),
                ("shore", "shore lead in and out, clamp round the cable"),
                ("off", "all off, then one circuit at a time"),
                ("bonds", "bonding survey, battery off, both polarities"),
                ("back", "everything back as it was, the baseline again, write it up"),
            ),
            (
                Before(
                    "measured_before_looking",
                    "look",
                    "baseline",
                    "Look and smell first. Petrol, gas and water come before every meter.",
                    safety=True,
                ),
                Before(
                    "unchecked_tools",
                    "tools",
                    "baseline",
                    "A baseline taken with a bad cell is worse than none. Check the tools first.",
                ),
                Before(
                    "switched_before_baseline",
                    "baseline",
                    "off",
                    "Whatever you switch before the baseline is evidence lost: you no longer know how she was.",
                ),
                Before(
                    "ohms_on_live",
                    "off",
                    "bonds",
                    "Ohms are measured when all is off. Before that, circuits may be live and fool the meter.",
                ),
                Before(
                    "not_put_back",
                    "bonds",
                    "back",
                    "Last of all everything is put back, and read again: so you know that you "
                    "left no fault behind.",
                ),
            ),
        ),
        ChoicePart(
            "stop",
            "Where does your survey end",
            1,
            (
                ("licence", "where somebody else's licence begins: you say so, make it safe, and stop"),
                ("paid", "when the time that was paid for is over"),
                ("found", "when the first fault is found"),
            ),
            lambda t: "licence",
            {
                "paid": "If the time is over, say what you did not look at. But safety and licence decide where your part ends.",
                "found": "One fault can hide another. Ask of each whether it explains everything you measured.",
            },
            how="Think of the safety earth, the pedestal, alternating current in the water.",
        ),
    ),
    method=("Look; tools; baseline; shore lead; all off; bonds; put back and write.",),
    hints=(
        "Nose and eyes come before meters, and the check of the tools before any reading.",
        "Record her as found before you change anything: baseline first, then the shore lead, then all off.",
        "Look, tools, baseline, shore lead, all off, bonds, everything back. And stop where somebody else's licence begins.",
    ),
)

FOUND: dict[str, tuple[str, int, str]] = {
    "earth": (
        "the isolator tests open: the boat has no safety earth",
        1,
        "A fault on board would put mains voltage on her metal, and no breaker would open.",
    ),
    "tingle": ("a boy says that the water at her stern tingles", 1, "Somebody in that water may die today."),
    "petrol": ("petrol in the bilge, beside a sparking pump", 1, "One spark is enough."),
    "seacock": (
        "a stray current out of the engine seacock, a third of its wall gone",
        2,
        "In days she may sink.",
    ),
    "hose": (
        "a through-hull fitting under stray current, pitted through in one place",
        2,
        "In days she may sink.",
    ),
    "alloy": ("zinc anodes on a boat in a lake, asleep", 3, "Her metal goes in months."),
    "short": (
        "the isolator failed short, the anodes going in six weeks",
        3,
        "Her anodes and then her metal go in months.",
    ),
    "rudder": (
        "the rudder not on the bond, reading as bare bronze",
        3,
        "The rudder wastes over months and years.",
    ),
    "half": ("the anodes a good half gone", 4, "Wear: half gone is time to replace it at the next haul-out."),
    "joint": (
        "one bonding joint of 0.4 ohm, green",
        4,
        "It begins to corrode; remake it at the next haul-out.",
    ),
}
SLOTS = ("a", "b", "c")


def _draw_rank(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    return {"found": pick(draw, "found", tuple(FOUND), 3)}


def _one(task: Task, slot: str) -> tuple[str, int, str]:
    return FOUND[task.words("found")[SLOTS.index(slot)]]


def _extreme(first: bool) -> Callable[[Task], str]:
    def truth(task: Task) -> str:
        ranked = sorted(SLOTS, key=lambda slot: _one(task, slot)[1])
        return ranked[0] if first else ranked[-1]

    return truth


def _why_not(slot: str, first: bool) -> Callable[[Task], str]:
    end = "first" if first else "last"
    return lambda task: f"{_one(task, slot)[2]} Among these three that is not the {end}."


def _list(task: Task) -> Table:
    return Table("Found (invented)", ("", "what"), tuple((slot, _one(task, slot)[0]) for slot in SLOTS))


def _act(task: Task) -> str:
    return {1: "stop", 2: "now", 3: "soon", 4: "season"}[_one(task, task.chosen("first"))[1]]


ACTS = (
    ("stop", "make it safe at once, keep people away, call someone licensed or the dock"),
    ("now", "stop the current today, and watch or close the fitting until it is renewed"),
    ("soon", "mend it within weeks, and measure again"),
    ("season", "see to it at the next haul-out"),
)

RANK = Exercise(
    id="08.4",
    module=MODULE,
    title="What comes first",
    kind="judge",
    objectives=("08.rank",),
    prompt="Three things were found on one boat at {marina}. Rank them by what they can do, and how soon.",
    draw=_draw_rank,
    tables=(_list,),
    teaches=lambda t: len({_one(t, slot)[1] for slot in SLOTS}) == 3,
    words=lambda t: {f"what_{slot}": _one(t, slot)[0] for slot in SLOTS},
    parts=(
        ChoicePart(
            "first",
            "First",
            2,
            tuple((slot, f"{slot}: {{what_{slot}}}") for slot in SLOTS),
            _extreme(True),
            {slot: _why_not(slot, True) for slot in SLOTS},
            how="Life, then sinking, then metal, then wear.",
        ),
        ChoicePart(
            "last",
            "Last",
            2,
            tuple((slot, f"{slot}: {{what_{slot}}}") for slot in SLOTS),
            _extreme(False),
            {slot: _why_not(slot, False) for slot in SLOTS},
            how="Life, then sinking, then metal, then wear.",
        ),
        ChoicePart(
            "act",
            "For the first, what is done",
            2,
            ACTS,
            _act,
            {
                "stop": "Nothing in this list kills today. Keep that call for what does.",
                "now": "Ask again what the first can do, and how soon. Is sinking what you fear from it, or more, or less?",
                "soon": "The first leaves you less time than weeks, or more. Ask what it can do, and how soon.",
                "season": "What comes first here does not wait for a haul-out.",
            },
            how="How soon can it do what it can do?",
        ),
    ),
    method=lambda t: tuple(f"{slot}: {_one(t, slot)[2]}" for slot in SLOTS),
    hints=(
        "Ask of each: what is the worst it can do, and how soon?",
        "Life before the boat, the boat before metal, metal before wear.",
        "Life: stop at once, keep people away, call. Sinking: today. Metal in months: within weeks. Wear: at the next haul-out. "
        "Rank by that.",
    ),
)

CASES = {
    "rudder": (
        "port rudder",
        "-310 mV, the bonding point -905 mV; 595 mV across its strap, battery off",
        "strap",
    ),
    "anode": (
        "hull anode",
        "-640 mV at the bonding point, last year -930 mV; the anode like new, 380 mV between it and the bonding point",
        "contact",
    ),
    "pump": (
        "bilge pump's wiring",
        "-880 mV with its fuse out, -965 mV with it in; the bilge water 5.8 V over the engine block",
        "splice",
    ),
}
REPAIRS = (
    ("strap", "the flexible strap to the stock has parted: remake it"),
    ("contact", "the anode has no contact: clean both faces, metal to metal"),
    ("splice", "a positive splice lies in the bilge water: remake it high and dry"),
)


def _draw_case(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    return {"case": draw.choice("case", tuple(CASES))}


def _case_words(task: Task) -> Mapping[str, Value]:
    thing, seen, _ = CASES[task.word("case")]
    return {"thing": thing, "seen": seen}


def _not_it(repair: str) -> Callable[[Task], str]:
    signs = {
        "strap": "A parted strap shows at the rudder. It reads as if alone, with a voltage across the strap.",
        "contact": "An anode without contact leaves the whole boat less negative, with a voltage between anode and bonding point.",
        "splice": "A wet splice moves the reading with its fuse, and puts volts into the bilge.",
    }
    return lambda task: (
        f"{signs[repair]} Here it is the {_case_words(task)['thing']}: {_case_words(task)['seen']}."
    )


WRITE = Exercise(
    id="08.5",
    module=MODULE,
    title="A finding in five lines",
    kind="write",
    objectives=("08.write",),
    prompt="On {boat}, at the {thing}, you read: {seen}. Potentials are against silver/silver-chloride in sea water.",
    draw=_draw_case,
    words=_case_words,
    parts=(
        ChoicePart(
            "cause",
            "What is it, and what mends it",
            2,
            REPAIRS,
            lambda t: CASES[t.word("case")][2],
            {repair: _not_it(repair) for repair, _ in REPAIRS},
            how="Which of the three explains everything that was read?",
        ),
        ChoicePart(
            "proof",
            "How is the repair proved",
            1,
            (
                ("same", "by the same reading in the same place, everything as it was when it was found"),
                ("look", "by looking at it: it is clean and tight"),
                ("other", "by another reading somewhere else"),
                ("bill", "by the bill for the part"),
            ),
            lambda t: "same",
            {
                "look": "It looked sound before, too. Take the reading that was wrong, and see it right.",
                "other": "Another place tells something else. Take the readings that were wrong again: {seen}.",
                "bill": "A new part proves only that money was spent. Take the reading that was wrong, and see it right.",
            },
            how="What was wrong must be seen to be right.",
        ),
        WrittenPart(
            "finding",
            "Write the finding: what, how you know, what it does, what to do, what you did not see",
            7,
            (
                "what and where, without the word 'probably' unless it is a guess",
                "how you know: every number with its unit and its cell",
                "what it does, and how soon",
                "what to do, who may do it, and how it is proved",
                "what was not looked at",
            ),
            "What: the {thing}. How I know: {seen}, against silver/silver-chloride in sea water. What it does: metal is lost "
            "until it is mended. "
            "What to do: mend it, then take the same reading in the same place. What I did not see: behind the tank.",
        ),
    ),
    method=lambda t: (
        f"The {_case_words(t)['thing']}: {dict(REPAIRS)[CASES[t.word('case')][2]]}.",
        "Five lines: what, how I know, what it does, what to do, what I did not see.",
    ),
    hints=(
        "Does the reading move with a fuse, does a voltage stand across a bond, or is the whole boat less negative?",
        "With a fuse: a live wire in the wet. Across one bond: that bond. Whole boat, and a voltage at the anode: its contact. "
        "The proof is the same reading again.",
        "Five lines: what and where; how you know, with mV and the cell; what it does and how soon; what to do and how it is "
        "proved; what you did not see.",
    ),
)
