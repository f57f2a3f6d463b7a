"""06.7: the current in the shore lead, and what it does to the hull potential."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from course.boats.boat_systems import SHORE_EARTH
from course.boats.description import COMMON_POINT
from course.instruments.replay import Reading
from graders.bench import Act, shown_after
from graders.case import Case
from graders.exercise import Exercise
from graders.exercises.module_06.common import MODULE
from graders.hands import SETTLE_MINUTES, Example, Hands
from graders.mistake import Mistake
from graders.parts import ChoicePart, JudgedPart, NumberPart, RecordedPart, Wrong
from graders.task import Task

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
        return Mistake(
            "other_wire",
            "The jaw was not round the shore lead alone. Close it round the whole shore cable and nothing else.",
        )
    if not state.setting.shore_plugged:
        return Mistake(
            "lead_out",
            "The shore lead was out. Nothing can flow in it then: plug it in, and read the clamp first.",
        )
    if clamp.zeroed is None or state.minute - clamp.zeroed > ZERO_MINUTES:
        return Mistake(
            "not_zeroed",
            "The clamp was not zeroed shortly before. Its own zero drifts by more than a few "
            "milliamperes: jaw empty, zero, then close it.",
        )
    if clamp.arrow != "forward":
        return Mistake(
            "arrow_backward",
            "The arrow lay backward, so the sign is turned. Turn it forward, from the boat to the shore.",
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
        "none": "Something does flow. Look at the clamp, and at how far the reading moves when the lead comes out.",
    }
    return lambda task: f"{says[side]} Compare your own readings with that, signs and all."


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
                    "Turned round. It is the reading with the lead out, less the reading with it in.",
                ),
                Wrong(
                    "added",
                    lambda t: t.earlier("plugged") + t.earlier("out"),
                    "You added the two. How far she moves is their difference.",
                ),
                Wrong(
                    "one_reading",
                    lambda t: t.earlier("out"),
                    "That is one reading. How far she moves is its difference from the other one.",
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
        "Jaw empty, press zero, then close the clamp round the whole shore lead with its arrow forward.",
        "After the lead goes in or out, wait until two readings ten minutes apart agree. Metals take their time.",
        "Moved = lead out less lead in. Minus on the clamp, and more negative with the lead out: our anodes feed the others. "
        "Plus, and less negative with the lead out: theirs feed us.",
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
