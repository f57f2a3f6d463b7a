"""06.2, 06.5 and 06.8: reading an isolator's test, what it does not do, and what it holds off."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from graders.exercise import Exercise, Table
from graders.exercises.module_06.common import BLOCKS_V, MODULE
from graders.metals import pick
from graders.parts import ChoicePart, NumberPart, SeveralPart, Wrong
from graders.task import Task

STATES = (
    ("sound", "sound"),
    ("short", "failed short"),
    ("open", "failed open"),
    ("one", "failed in one of its two strings"),
)
ACTS = {
    "sound": "plug in again, and look for another path if the anodes still go fast",
    "short": "have it replaced soon, by a licensed person: the earth is there, the barrier is not",
    "open": "leave the shore lead out until a licensed person has replaced it: the boat has no safety earth",
    "one": "leave the shore lead out until a licensed person has replaced it: one way round, the earth is gone or the barrier is weak",
}
ASKS = {
    "sound": "earth and barrier are both there. Is there a reason to keep the lead out?",
    "short": "the earth is there, and the barrier is gone. What has to be done, and how soon?",
    "open": "the barrier is there, and the earth is gone. May the boat be plugged in?",
    "one": "half of it no longer works, and you cannot tell which half. May the boat be plugged in?",
}
WHY = {
    "sound": "A sound one shows about 0.9 to 1.2 V both ways.",
    "short": "Failed short it would show next to nothing, both ways.",
    "open": "Failed open it would show OL, both ways.",
    "one": "With one string failed the two ways would differ: OL or half a volt one way, about a volt the other.",
}


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    state = draw.choice("state", tuple(ACTS))
    good, other = (f"{draw.number(name, 0.94, 1.16, 3):.3f}" for name in ("good", "other"))
    none = f"{draw.number('short', 0.001, 0.006, 3):.3f}"
    ways = {"sound": (good, other), "short": (none, none), "open": ("OL", "OL")}
    half = f"{draw.number('half', 0.46, 0.56, 3):.3f}"  # one of the string's two junctions is shorted
    odd = draw.choice("odd", ("OL", half))
    return {
        "state": state,
        "ways": ways.get(state, (good, odd) if draw.choice("way", ("a", "b")) == "a" else (odd, good)),
    }


def _test(task: Task) -> Table:
    one, other = task.words("ways")
    rows = (("leads one way", one), ("leads swapped", other))
    return Table(
        "Diode test across the isolator, shore lead out at both ends, generator and inverter off",
        ("", "display, V"),
        rows,
    )


def _not_so(state: str) -> Callable[[Task], str]:
    return lambda task: (
        f"{WHY[state]} Here: {task.words('ways')[0]} one way and {task.words('ways')[1]} the other."
    )


def not_that_act(state: str) -> Callable[[Task], str]:
    """Say that an act belongs to an isolator in another state than the one that was found."""
    named = dict(STATES)
    return lambda task: (
        f"That is for one that is {named[state]}. You found it {named[task.chosen('state')]}: "
        f"{ASKS[task.chosen('state')]}"
    )


TESTED = Exercise(
    id="06.2",
    module=MODULE,
    title="What the test says",
    kind="judge",
    objectives=("06.isolator",),
    prompt="Somebody tested the galvanic isolator of a boat at {marina} the way that is allowed.",
    draw=_draw,
    tables=(_test,),
    parts=(
        ChoicePart(
            "state",
            "The isolator is",
            3,
            STATES,
            lambda t: t.word("state"),
            {state: _not_so(state) for state, _ in STATES},
            how="Two junctions in a row show about a volt at a meter's small current, either way.",
        ),
        ChoicePart(
            "act",
            "So",
            3,
            tuple(ACTS.items()),
            lambda t: t.chosen("state"),
            {state: not_that_act(state) for state in ACTS},
            how="Ask first whether the safety earth is whole, then whether the barrier is.",
            named={state: f"act_for_{state}" for state in ACTS},
        ),
    ),
    method=lambda t: (
        f"{t.words('ways')[0]} and {t.words('ways')[1]}: {dict(STATES)[t.word('state')]}.",
        f"{ACTS[t.word('state')]}.",
    ),
    hints=(
        "Look at both ways. Do they agree?",
        "About a volt both ways: sound. Nothing: short. OL: open. The two ways differ: one string.",
        "Short: the earth is there, replace it soon. Open, or one string failed: the safety earth cannot be trusted, so the "
        "shore lead stays out until a licensed person has replaced it.",
    ),
)

DEVICES = {"isolator": "a galvanic isolator", "transformer": "an isolation transformer"}
JOBS: dict[str, tuple[str, bool, bool, str, str]] = {
    "galvanic": (
        "some tenths of a volt between your boat and your neighbour's, over the safety earth",
        True,
        True,
        "Tenths of a volt are below 1.2 V, and that is what it is made for.",
        "No metal joins boat and shore, so there is no direct current at all.",
    ),
    "battery": (
        "a neighbour's 12 V leak that looks for a way over the safety earth",
        False,
        True,
        "12 V walk through two diodes.",
        "No metal joins boat and shore, so even 12 V drive nothing.",
    ),
    "water": (
        "a current that reaches your fittings through the water",
        False,
        False,
        "What comes through the water does not pass the safety earth at all.",
        "It breaks the path through metal. The path through the water is still there.",
    ),
    "own": (
        "a leak from your own battery to your own seacock",
        False,
        False,
        "That leak is all on board. Nothing of it passes the shore lead.",
        "That leak is all on board. Nothing of it passes the shore lead.",
    ),
    "ladder": (
        "the neighbour's steel ladder lashed to your rail",
        False,
        False,
        "The ladder is another path through metal, past the device.",
        "The ladder is another path through metal, past the device.",
    ),
    "couple": (
        "your own bronze propeller on your own steel shaft",
        False,
        False,
        "Both are on one boat. Nothing of that current passes the shore lead.",
        "Both are on one boat. Nothing of that current passes the shore lead.",
    ),
}
SLOTS = ("a", "b", "c", "d")


def _draw_jobs(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    others = pick(draw, "others", tuple(job for job in JOBS if job != "galvanic"), 3)
    return {
        "device": draw.choice("device", tuple(DEVICES)),
        "jobs": pick(draw, "order", ("galvanic", *others), 4),
    }


def _stops(task: Task, slot: str) -> bool:
    job = JOBS[task.words("jobs")[SLOTS.index(slot)]]
    return job[1] if task.word("device") == "isolator" else job[2]


def _because(slot: str, lead: str) -> Callable[[Task], str]:
    def says(task: Task) -> str:
        job = JOBS[task.words("jobs")[SLOTS.index(slot)]]
        return f"{lead.format(slot=slot)} {job[3] if task.word('device') == 'isolator' else job[4]}"

    return says


NOT_DONE = Exercise(
    id="06.5",
    module=MODULE,
    title="What it stops, and what not",
    kind="choose",
    objectives=("06.limits",),
    prompt="Which of these does {device_name} stop?",
    draw=_draw_jobs,
    words=lambda t: {
        "device_name": DEVICES[t.word("device")],
        **{f"job_{slot}": JOBS[job][0] for slot, job in zip(SLOTS, t.words("jobs"), strict=True)},
    },
    parts=(
        SeveralPart(
            "stops",
            "It stops",
            4,
            tuple((slot, f"{slot}: {{job_{slot}}}") for slot in SLOTS),
            lambda t: frozenset(slot for slot in SLOTS if _stops(t, slot)),
            {slot: _because(slot, "It does not stop {slot}.") for slot in SLOTS},
            {slot: _because(slot, "It does stop {slot}.") for slot in SLOTS},
        ),
    ),
    method=lambda t: tuple(
        f"{slot}: {'stopped' if _stops(t, slot) else 'not stopped'}. {_because(slot, '')(t).strip()}"
        for slot in SLOTS
    ),
    hints=(
        "Ask of each: does it come over the safety earth?",
        "If it does: how many volts drive it?",
        "Over the safety earth: the isolator stops tenths of a volt and not 12 V, the transformer stops both. Through the "
        "water, on board, or past it by other metal: neither stops it.",
    ),
)


def _draw_volts(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    kind = draw.choice("kind", ("small", "small", "large"))
    return {
        "ours": draw.number("ours", -1010, -880, 0),
        "theirs": draw.number("theirs", -700, -420, 0)
        if kind == "small"
        else draw.number("fed", 1500, 4500, 0),
        "clamp_mA": draw.number("clamp", 0, 3, 0)
        if kind == "small" and draw.choice("bias", ("no", "yes")) == "no"
        else draw.number("flows", 60, 240, 0),
    }


def _volts(task: Task) -> float:
    return (task.number("theirs") - task.number("ours")) / 1000


def _holds(task: Task) -> str:
    return "holds" if task.earlier("between") < BLOCKS_V[0] else "passes"


def _verdict(task: Task) -> str:
    flows = task.number("clamp_mA") > 20
    if task.chosen("holds") == "passes":
        return "battery"
    return "defeated" if flows else "works"


HOLDS = Exercise(
    id="06.8",
    module=MODULE,
    title="How many volts",
    kind="diagnose",
    objectives=("06.isolator", "06.limits"),
    prompt="With the shore leads out your boat reads {ours:.0f} mV and the boat beside you {theirs:.0f} mV, against one cell "
    "between you. With both in, through "
    "your isolator, a DC clamp round the whole shore cable shows {clamp_mA:.0f} mA.",
    draw=_draw_volts,
    parts=(
        NumberPart(
            "between",
            "Voltage that drives between the two boats",
            "V",
            1,
            _volts,
            (
                Wrong(
                    "added",
                    lambda t: abs(t.number("theirs") + t.number("ours")) / 1000,
                    "You added the two readings. Their difference drives the current.",
                ),
                Wrong(
                    "ours_only",
                    lambda t: abs(t.number("ours")) / 1000,
                    "That is your own reading. The difference between the two boats drives the current.",
                ),
                Wrong(
                    "theirs_only",
                    lambda t: abs(t.number("theirs")) / 1000,
                    "That is the other boat's reading. The difference between the two boats drives the current.",
                ),
            ),
            how="Their reading less yours, with signs, in volts.",
            within=0.005,
            decimals=3,
            signed=False,
        ),
        ChoicePart(
            "holds",
            "A sound isolator",
            1,
            (("holds", "holds that off"), ("passes", "lets that through")),
            _holds,
            {
                "holds": "It holds off about 1.2 to 1.4 V, either way. Your voltage is more than that.",
                "passes": "Below about 1.2 V two junctions in a row let next to nothing through. Your voltage is less than that.",
            },
            how="Compare with 1.2 V.",
        ),
        ChoicePart(
            "verdict",
            "What the clamp tells by its {clamp_mA:.0f} mA",
            2,
            (
                ("works", "the isolator does its work"),
                (
                    "defeated",
                    "the isolator has failed short, is kept conducting by AC leakage, or has another path round it",
                ),
                ("battery", "a battery voltage is behind it: a stray current, which no isolator stops"),
            ),
            _verdict,
            {
                "works": "A sound isolator that does its work leaves next to nothing on the clamp. It shows {clamp_mA:.0f} mA.",
                "defeated": "Look at the volts between the boats and at the {clamp_mA:.0f} mA: is there anything the isolator "
                "should have stopped?",
                "battery": "Two metals alone can differ by what drives here. No battery is needed to explain it.",
            },
            how="Was there something to hold off, and was it held off?",
        ),
    ),
    method=lambda t: (
        f"{t.number('theirs'):.0f} - ({t.number('ours'):.0f}) = {1000 * _volts(t):.0f} mV: a sound isolator "
        f"{'holds it off' if _volts(t) < 1.2 else 'cannot hold it off'}.",
        f"{t.number('clamp_mA'):.0f} mA on the clamp: {_verdict(t)}.",
    ),
    hints=(
        "First find the volts between the two boats: their reading less yours, with signs.",
        "1.2 V is the border of what a sound isolator holds off.",
        "Below 1.2 V a sound isolator leaves next to nothing on the clamp; if the clamp shows more, it is defeated. Above 1.2 V "
        "a battery is at work, and no isolator stops that.",
    ),
)
