"""06.3: the test of a galvanic isolator, at the bench."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from course.instruments.points import ISOLATOR_BOAT, ISOLATOR_SHORE
from course.instruments.replay import Reading
from graders.bench import Act, shown_after
from graders.case import Case
from graders.exercise import Exercise
from graders.exercises.module_06.common import MODULE
from graders.exercises.module_06.isolators import ACTS, STATES, not_that_act
from graders.hands import Example, Hands
from graders.judging import part
from graders.marks import PartMark
from graders.mistake import Mistake
from graders.parts import ChoicePart, JudgedPart
from graders.task import Task

TWO_WAYS = ((ISOLATOR_BOAT, ISOLATOR_SHORE), (ISOLATOR_SHORE, ISOLATOR_BOAT))


def _isolator(task: Task) -> str:
    """The state of the isolator as the test shows it."""
    named = {"failed short": "short", "failed open": "open"}
    return next((named[getattr(fault, "state", "")] for fault in task.plan.faults), "sound")


def _test_acts(red: str, black: str, dial: str = "diode") -> list[Act]:
    return [
        ("turn_dial", {"position": dial}),
        ("plug", {"lead": "test lead", "jack": "V"}),
        ("plug", {"lead": "long lead", "jack": "COM"}),
        ("clip", {"point": red, "lead": "test lead"}),
        ("clip", {"point": black, "lead": "long lead"}),
    ]


def _points(reading: Reading) -> tuple[str | None, str | None]:
    state = reading.state
    red, black = state.lead_in("V"), state.lead_in("COM")
    return (state.leads[red].point if red else None, state.leads[black].point if black else None)


def _judge_test(case: Case) -> tuple[PartMark, ...]:
    across = [
        r
        for r in case.taken
        if r.instrument == "meter" and set(_points(r)) == {ISOLATOR_BOAT, ISOLATOR_SHORE}
    ]
    diode = [r for r in across if r.state.dial == "diode"]
    ways = {_points(reading) for reading in diode}
    done, mistake, share = f"{len(ways)} of 2 ways were tested.", None, 0.0
    if not across:
        mistake = Mistake("no_test", "The logbook holds no reading across the isolator's two terminals.")
    elif not diode:
        mistake = Mistake(
            "not_diode_test",
            "The dial was not on the diode test. Only there does the meter drive enough volts to open two junctions in a row.",
        )
    elif len(ways) < 2:
        mistake = Mistake(
            "one_way_only",
            "You tested one way only. The isolator has two strings, one for each way: swap the leads and record again.",
        )
        share = 0.5
    return (
        part("test", "The test: diode test, lead out at both ends, both ways", 4, done, mistake, done, share),
    )


def _does(*acts: list[Act], unplug: bool = True) -> Callable[[Hands], Mapping[str, object]]:
    def act(hands: Hands) -> Mapping[str, object]:
        if unplug:
            hands.slip.shore_lead(False)
        for some in acts:
            for action, args in some:
                hands.slip.act(action, args)
            hands.slip.record()
        return {}

    return act


def _shown(task: Task) -> tuple[str, ...]:
    out: list[Act] = [("shore_lead", {"plugged": False})]
    return task.once(
        "shown", lambda: tuple(str(shown_after(task.afloat, [*out, *_test_acts(*way)])) for way in TWO_WAYS)
    )


def _says(state: str) -> Callable[[Task], str]:
    expected = {
        "sound": "A sound one shows about a volt, both ways",
        "short": "Failed short it shows next to nothing, both ways",
        "open": "Failed open it shows OL, both ways",
        "one": "With one string failed the two ways differ: OL or half a volt one way, about a volt the other",
    }
    return lambda task: f"{expected[state]}. Compare your own two readings in the diode test with that."


TEST = Exercise(
    id="06.3",
    module=MODULE,
    title="Test the isolator",
    kind="read",
    objectives=("06.isolator", "06.cautions"),
    bench=True,
    family="isolator_bench",
    instruments=("digital multimeter", "two leads"),
    prompt="{boat} has a galvanic isolator, and is plugged in. Test it the way that is allowed: shore lead out at both ends, "
    "diode test across its two "
    "terminals, leads one way and then the other; record both. What is its state, and what follows?",
    parts=(
        JudgedPart((), 4, _judge_test, ("no_test", "not_diode_test", "one_way_only")),
        ChoicePart(
            "state",
            "The isolator is",
            2,
            STATES,
            _isolator,
            {state: _says(state) for state, _ in STATES},
            how="About a volt both ways; nothing; OL; or the two ways unlike.",
        ),
        ChoicePart(
            "act",
            "So",
            2,
            tuple(ACTS.items()),
            lambda t: t.chosen("state"),
            {state: not_that_act(state) for state in ACTS},
            how="First whether the safety earth is whole, then whether the barrier is.",
            named={state: f"act_for_{state}" for state in ACTS},
        ),
    ),
    method=lambda t: (
        "Breaker at the pedestal off, lead out there, then out of the boat; no conductor is disturbed.",
        f"Diode test across the terminals: {_shown(t)[0]}, and swapped {_shown(t)[1]}: {dict(STATES)[_isolator(t)]}.",
        f"{ACTS[_isolator(t)]}.",
    ),
    hints=(
        "The shore lead comes out first, at both ends: breaker off, then the plug.",
        "Dial on the diode test, one lead on each terminal of the isolator. Record. Swap the leads, record again.",
        "About a volt both ways: sound, plug in again. Nothing: short, replace it soon. OL either way: the safety earth is not "
        "sound, and the lead stays out.",
    ),
    hands=_does(*(_test_acts(*way) for way in TWO_WAYS)),
    examples=(
        Example("test", "one_way_only", _does(_test_acts(*TWO_WAYS[0]))),
        Example("test", "not_diode_test", _does(*(_test_acts(*way, "2 V") for way in TWO_WAYS))),
        Example("test", "no_test", _does()),
    ),
)
