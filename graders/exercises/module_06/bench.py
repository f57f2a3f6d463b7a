"""06.3 and 06.7: at the bench: the isolator's test, and the current in the shore lead."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from course.boats.boat_systems import SHORE_EARTH
from course.boats.description import COMMON_POINT
from course.instruments.points import ISOLATOR_BOAT, ISOLATOR_SHORE
from course.instruments.replay import Reading
from graders.bench import Act, shown_after
from graders.case import Case
from graders.exercise import Exercise
from graders.exercises.module_06.common import MODULE
from graders.exercises.module_06.isolators import ACTS, STATES
from graders.hands import SETTLE_MINUTES, Example, Hands
from graders.judging import part
from graders.marks import PartMark
from graders.mistake import Mistake
from graders.parts import ChoicePart, JudgedPart, NumberPart, RecordedPart, Wrong
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
        mistake = Mistake("no_test", "No reading across the isolator's two terminals stands in the logbook.")
    elif not diode:
        mistake = Mistake(
            "not_diode_test",
            "The dial was not on the diode test. Only there the meter drives enough volts to open two junctions in a row.",
        )
    elif len(ways) < 2:
        mistake = Mistake(
            "one_way_only",
            "Tested one way only. The isolator has two strings, one for each way: swap the leads.",
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
        "one": "With one string failed the two ways do not agree",
    }
    return lambda task: (
        f"{expected[state]}; on this boat the test gives {_shown(task)[0]} one way and {_shown(task)[1]} the other."
    )


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
            {
                state: (
                    lambda t, state=state: (
                        f"That is for one that is {dict(STATES)[state]}; you found it "
                        f"{dict(STATES)[t.chosen('state')]}."
                    )
                )
                for state in ACTS
            },
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
        "The shore lead comes out first, at both ends.",
        "Only the diode test drives enough volts; and each of the two strings is tested with the leads its own way.",
        "About a volt: sound. Nothing: short. OL: open, and the safety earth with it.",
    ),
    hands=_does(*(_test_acts(*way) for way in TWO_WAYS)),
    examples=(
        Example("test", "one_way_only", _does(_test_acts(*TWO_WAYS[0]))),
        Example("test", "not_diode_test", _does(*(_test_acts(*way, "2 V") for way in TWO_WAYS))),
        Example("test", "no_test", _does()),
    ),
)

ZERO_MINUTES = 20  # the clamp's zero drifts by some milliamperes in that time
FLOWS_mA = 8.0
SIDES = (
    ("we", "our anodes work for the others: current comes aboard over the earth and leaves from our metal"),
    (
        "they",
        "the others' anodes work for us: current leaves over the earth and comes back through the water",
    ),
    ("none", "nothing to speak of flows"),
)


def _clamp_acts(zero: bool = True, arrow: str = "forward", around: str = SHORE_EARTH) -> list[Act]:
    return [*([("zero_clamp", {})] if zero else []), ("close_clamp", {"around": [around], "arrow": arrow})]


def _true_clamp(task: Task) -> float:
    return task.once("clamp", lambda: float(shown_after(task.afloat, _clamp_acts(), "clamp").text))


def _clamp_fault(_case: Case, reading: Reading) -> Mistake | None:
    clamp, state = reading.state.clamp, reading.state
    if reading.instrument != "clamp" or clamp.around != (SHORE_EARTH,):
        return Mistake("other_wire", "The jaw was not round the shore lead alone.")
    if not state.setting.shore_plugged:
        return Mistake("lead_out", "The shore lead was out: nothing can flow in it then.")
    if clamp.zeroed is None or state.minute - clamp.zeroed > ZERO_MINUTES:
        return Mistake(
            "not_zeroed",
            "The clamp was not zeroed shortly before. Its own zero drifts by more than a few "
            "milliamperes: jaw empty, zero, then close it.",
        )
    if clamp.arrow != "forward":
        return Mistake(
            "arrow_backward",
            "The arrow lay backward, so the sign is turned. Here it is asked for with the arrow "
            "forward, from the boat to the shore.",
        )
    return None


def _hull_acts(task: Task, plugged: bool) -> list[Act]:
    amidships = round(task.plan.boat.hull.length_m / 2, 2)
    return [
        ("turn_dial", {"position": "2 V"}),
        ("plug", {"lead": "cell lead", "jack": "COM"}),
        ("plug", {"lead": "test lead", "jack": "V"}),
        ("clip", {"point": COMMON_POINT}),
        ("hang_cell", {"x_m": amidships, "depth_m": 1.0}),
        ("shore_lead", {"plugged": plugged}),
        ("wait", {"minutes": 4 * SETTLE_MINUTES}),
    ]


def _true_hull(plugged: bool) -> Callable[[Task], float]:
    return lambda task: task.once(
        f"hull {plugged}", lambda: 1000 * float(shown_after(task.afloat, _hull_acts(task, plugged)).text)
    )


def _hull_fault(plugged: bool) -> Callable[[Case, Reading], Mistake | None]:
    def fault(case: Case, reading: Reading) -> Mistake | None:
        state = reading.state
        if (state.cell_jack, state.test_jack, state.point) != (
            "COM",
            "V",
            COMMON_POINT,
        ) or state.cell is None:
            return Mistake(
                "wrong_leads",
                "Cell in the water and in COM, test lead in V and on the common bonding point: then it "
                "is the hull potential.",
            )
        if state.setting.shore_plugged != plugged:
            return Mistake("other_state", f"That was read with the shore lead {'out' if plugged else 'in'}.")
        rest = case.afloat.voltage(case.afloat.steady(state.setting), COMMON_POINT)
        now = case.afloat.voltage(state.moment, COMMON_POINT)
        if rest is None or now is None or abs(now - rest) > 0.006 or state.minute - state.cell.wet_since < 20:
            return Mistake(
                "too_soon",
                "Cell or metals had not come to rest. After plugging or unplugging, wait until two "
                "readings ten minutes apart agree.",
            )
        return None

    return fault


def _hull_part(plugged: bool) -> JudgedPart:
    name, words = ("plugged", "in") if plugged else ("out", "out")
    known = ("wrong_leads", "other_state", "too_soon")
    return RecordedPart(
        name,
        f"Hull potential with the shore lead {words}",
        "mV",
        2,
        1.0,
        _hull_fault(plugged),
        known,
        _true_hull(plugged),
    )


def _who(task: Task) -> str:
    current = task.earlier("clamp")
    return "none" if abs(current) < FLOWS_mA else ("we" if current < 0 else "they")


def _not_so(side: str) -> Callable[[Task], str]:
    says = {
        "we": "If our anodes worked for the others, current would come aboard over the earth (minus, with the arrow to the "
        "shore), and out of the lead "
        "we would read more negative.",
        "they": "If theirs worked for us, current would go ashore over the earth (plus, with the arrow to the shore), and with "
        "the lead in we would read "
        "more negative.",
        "none": "Something does flow: look at the clamp, and at how far the reading moves when the lead comes out.",
    }
    return lambda task: (
        f"{says[side]} In your logbook: {task.earlier('clamp'):.0f} mA; {task.earlier('plugged'):.0f} mV in, "
        f"{task.earlier('out'):.0f} mV out."
    )


def _measure(
    zero: bool = True, arrow: str = "forward", wait: bool = True
) -> Callable[[Hands], Mapping[str, object]]:
    def act(hands: Hands) -> Mapping[str, object]:
        found: dict[str, object] = {}
        for action, args in _clamp_acts(zero, arrow):
            hands.slip.act(action, args)
        found["clamp"] = hands.slip.record("clamp")["display"]
        for plugged in (True, False):
            acts = _hull_acts(hands.task, plugged)
            for action, args in acts if wait else acts[:-1]:
                hands.slip.act(action, args)
            found["plugged" if plugged else "out"] = hands.read_mV()
        hands.slip.shore_lead(True)
        return found

    return act


def _written(field: str, change: Callable[[float], float]) -> Callable[[Hands], Mapping[str, object]]:
    def act(hands: Hands) -> Mapping[str, object]:
        found = dict(_measure()(hands))
        return {**found, field: f"{change(float(str(found[field]))):g}"}

    return act


SHORE = Exercise(
    id="06.7",
    module=MODULE,
    title="What flows in the green wire",
    kind="read",
    objectives=("06.cell", "06.cautions"),
    bench=True,
    family="shore_bench",
    instruments=("DC clamp", "digital multimeter", "silver/silver-chloride cell"),
    prompt="{boat} lies plugged in at {marina}, beside others. With the clamp zeroed and closed round the whole shore lead, arrow "
    "forward (from boat to "
    "shore), record the current. Then the hull potential with the lead in, and with it out, each at rest. Who works for whom?",
    parts=(
        RecordedPart(
            "clamp",
            "Clamp round the shore lead, arrow to the shore",
            "mA",
            2,
            1.0,
            _clamp_fault,
            ("other_wire", "lead_out", "not_zeroed", "arrow_backward"),
            _true_clamp,
        ),
        _hull_part(True),
        _hull_part(False),
        NumberPart(
            "moved",
            "How far she moves when the lead comes out (positive: less negative)",
            "mV",
            1,
            lambda t: t.earlier("out") - t.earlier("plugged"),
            (
                Wrong(
                    "turned_round",
                    lambda t: t.earlier("plugged") - t.earlier("out"),
                    "Turned round: lead out less lead in.",
                ),
                Wrong(
                    "added",
                    lambda t: t.earlier("plugged") + t.earlier("out"),
                    "You added the two. How far she moves is their difference.",
                ),
                Wrong(
                    "one_reading",
                    lambda t: t.earlier("out"),
                    "That is the reading itself. How far is it from the other one?",
                ),
            ),
            how="Reading with the lead out less reading with it in.",
            within=2.0,
        ),
        ChoicePart(
            "who",
            "So",
            1,
            SIDES,
            _who,
            {side: _not_so(side) for side, _ in SIDES},
            how="The current leaves into the water from the metal that pays.",
        ),
    ),
    teaches=lambda t: (
        abs(_true_clamp(t)) > 2 * FLOWS_mA
        and abs(_true_hull(False)(t) - _true_hull(True)(t)) > 12
        and (_true_clamp(t) < 0) == (_true_hull(False)(t) < _true_hull(True)(t))
    ),
    method=lambda t: (
        "Jaw empty, zero; closed round the whole cable, whose two power conductors cancel.",
        f"{_true_clamp(t):.0f} mA with the arrow to the shore; {_true_hull(True)(t):.0f} mV with the lead in, "
        f"{_true_hull(False)(t):.0f} mV out.",
        f"{dict(SIDES)['we' if _true_clamp(t) < 0 else 'they']}.",
    ),
    hints=(
        "Zero the clamp with its jaw empty, just before.",
        "After the lead comes out, wait: metals take their time.",
        "If she reads more negative without the lead, she was feeding the others.",
    ),
    hands=_measure(),
    examples=(
        Example("clamp", "not_zeroed", _measure(zero=False)),
        Example("clamp", "arrow_backward", _measure(arrow="backward")),
        Example("clamp", "sign_dropped", _written("clamp", lambda mA: -mA)),
        Example("plugged", "too_soon", _measure(wait=False)),
        Example("out", "unit", _written("out", lambda mV: mV / 1000)),
        Example("out", "not_recorded", _written("out", lambda mV: mV - 140)),
    ),
)
