"""03.1: take the hull potential of a bonded boat."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from course.boats.afloat import Afloat
from course.instruments.measure import cell_row
from graders.case import Case
from graders.exercise import Exercise, Field
from graders.exercises.module_03.common import KIT, METERING, MODULE
from graders.hands import Example, Hands
from graders.judging import part, reading_part, sound
from graders.marks import PartMark
from graders.mistake import NOT_CHOSEN, Mistake
from graders.parts.judged import READING_MISTAKES, JudgedPart
from graders.truth import bottom_span, span

PASS_PLACES, PASS_SHARE = 3, 0.5
TEMPERATURE_WITHIN = 0.5
WATERS = (("sea", "sea water"), ("brackish", "brackish water"), ("fresh", "fresh water"))


def _pass_part(case: Case, out_of: float) -> PartMark:
    good = sound(case, case.afloat.start)
    places = sorted({round(r.state.cell.x_m, 1) for r in good if r.state.cell})
    length = case.afloat.plan.boat.hull.length_m
    given = ", ".join(f"{x:g} m" for x in places) or None
    done = partial(part, "pass", "A pass of the cell from bow to stern", out_of, given)
    if not places:
        return done(
            Mistake(
                "no_sound_reading",
                "The logbook holds no sound reading, so there is no pass to judge. Get one reading right first.",
            ),
            "",
        )
    if len(places) < PASS_PLACES:
        few = f"Places along the boat with a sound reading: {len(places)}. Take at least {PASS_PLACES}."
        return done(Mistake("too_few_places", few), "", share=1 / 3)
    if places[-1] - places[0] < PASS_SHARE * length:
        short = (
            f"Your places span {places[-1] - places[0]:.1f} m of a boat of {length:g} m; go from end to end."
        )
        return done(Mistake("pass_too_short", short), "", share=1 / 3)
    return done(None, f"Sound readings at {len(places)} places, bow to stern.")


def _water_parts(case: Case) -> tuple[PartMark, PartMark]:
    berth = case.afloat.plan.berth
    degrees, given = case.number("water_temperature", "degC"), case.given("water_temperature")
    off = None if degrees is None else abs(degrees - berth.temperature_degC)
    wrong = Mistake(
        "temperature",
        "The thermometer beside the boat shows something else. Read it, and write it down with every reading.",
    )
    unread = case.no_number("water_temperature", "degC")
    temperature = unread if off is None else None if off <= TEMPERATURE_WITHIN else wrong
    kind = case.given("water_kind")
    named = dict(WATERS).get(kind or "")
    water = (
        NOT_CHOSEN
        if named is None
        else None
        if named == berth.water
        else Mistake(
            "water_kind",
            f"The berth lies in {berth.water}. Write it down, because the kind of water shifts the cell itself.",
        )
    )
    return (
        part(
            "water_temperature",
            "Water temperature beside the reading",
            1,
            given,
            temperature,
            "As the thermometer shows.",
        ),
        part("water_kind", "Kind of water beside the reading", 1, named, water, "As the berth lies."),
    )


def _judge_hull_potential(case: Case) -> tuple[PartMark, ...]:
    reading = reading_part(case, "hull_potential", "Hull potential", 5, case.afloat.start)
    return (reading, _pass_part(case, 3), *_water_parts(case))


def _teaches_hull_potential(afloat: Afloat) -> bool:
    """The mud and the unbonded seacock both read plainly different from a right reading."""
    moment = afloat.steady(afloat.start)
    truth = span(afloat, moment)
    return truth.apart(bottom_span(afloat, moment)) and truth.apart(span(afloat, moment, "seacock_heads"))


def _method_hull_potential(afloat: Afloat) -> tuple[str, ...]:
    truth = span(afloat, afloat.steady(afloat.start))
    minutes = cell_row(afloat)["settling_minutes"]
    return (
        METERING,
        f"Hang the cell and wait until two readings ten minutes apart agree; its time constant is {minutes:g} minutes.",
        f"From end to end this boat then reads {truth.high:.0f} to {truth.low:.0f} mV, most negative beside the anodes.",
        f"Write down with it: {afloat.plan.berth.water}, {afloat.plan.berth.temperature_degC} °C.",
    )


def water_answers(hands: Hands) -> dict[str, object]:
    """Return what the thermometer beside the boat shows, and the kind of water."""
    berth = hands.task.plan.berth
    kind = next(value for value, words in WATERS if words == berth.water)
    return {"water_temperature": berth.temperature_degC, "water_kind": kind}


def _whole_pass(hands: Hands, **wrong: object) -> dict[str, object]:
    hands.set_up(**wrong)  # type: ignore[arg-type]
    length = hands.task.plan.boat.hull.length_m
    for share in (0.95, 0.05):
        hands.read_mV(round(share * length, 2))
    return {"hull_potential": hands.read_mV(hands.amidships), **water_answers(hands)}


def _one_reading(mistake: str, **wrong: object) -> Example:
    def act(hands: Hands) -> dict[str, object]:
        hands.set_up(**wrong)  # type: ignore[arg-type]
        return {"hull_potential": hands.read_mV(), **water_answers(hands)}

    return Example("hull_potential", mistake, act)


def _written(mistake: str, change: Callable[[float], float]) -> Example:
    def act(hands: Hands) -> dict[str, object]:
        found = _whole_pass(hands)
        return {**found, "hull_potential": change(float(str(found["hull_potential"])))}

    return Example("hull_potential", mistake, act)


def _on_the_bottom(hands: Hands) -> dict[str, object]:
    hands.set_up(depth_m=hands.task.plan.berth.depth_m)
    return {"hull_potential": hands.read_mV(depth_m=hands.task.plan.berth.depth_m), **water_answers(hands)}


def _dry(hands: Hands) -> dict[str, object]:
    hands.set_up()
    hands.slip.lift_cell()
    return {"hull_potential": hands.read_mV(), **water_answers(hands)}


def _places(*shares: float) -> Callable[[Hands], dict[str, object]]:
    def act(hands: Hands) -> dict[str, object]:
        hands.set_up()
        length = hands.task.plan.boat.hull.length_m
        for share in shares:
            last = hands.read_mV(round(share * length, 2))
        return {"hull_potential": last, **water_answers(hands)}

    return act


def _waters(**wrong: object) -> Callable[[Hands], dict[str, object]]:
    return lambda hands: {**_whole_pass(hands), **wrong}


EXAMPLES = (
    _one_reading("leads_swapped", swapped=True),
    _one_reading("wrong_point", point="seacock_heads"),
    _one_reading("no_metal", point="rail_foot"),
    _one_reading("no_circuit", point=None),
    _one_reading("cell_too_shallow", depth_m=0.2),
    _one_reading("cell_off_boat", x_m=12.0),
    _one_reading("coarse_range", dial="20 V"),
    _one_reading("cell_not_settled", wait=2),
    Example("hull_potential", "cell_on_bottom", _on_the_bottom),
    Example("hull_potential", "cell_dry", _dry),
    _written("unit", lambda mV: mV / 1000),
    _written("sign_dropped", lambda mV: -mV),
    _written("not_recorded", lambda mV: mV - 37),
    Example("pass", "too_few_places", _places(0.5)),
    Example("pass", "pass_too_short", _places(0.5, 0.55, 0.6)),
    Example("water_temperature", "temperature", _waters(water_temperature=31)),
    Example("water_kind", "water_kind", _waters(water_kind="fresh")),
)

HULL_POTENTIAL = Exercise(
    id="03.1",
    module=MODULE,
    title="Take the hull potential",
    kind="read",
    objectives=("03.measure",),
    prompt="Measure the hull potential of your boat as she lies. Make a pass with the cell from bow to stern, at least three places, "
    "and record each reading. Then write down the reading amidships, with the temperature and the kind of the water.",
    instruments=KIT,
    family="hull_potential",
    parts=(
        JudgedPart(
            fields=(
                Field("hull_potential", "Hull potential", "mV"),
                Field("water_temperature", "Water temperature", "degC"),
                Field("water_kind", "Kind of water", kind="choice", choices=WATERS),
            ),
            out_of=10,
            judging=_judge_hull_potential,
            mistakes=(
                *READING_MISTAKES,
                "too_few_places",
                "pass_too_short",
                "no_sound_reading",
                "temperature",
                "water_kind",
            ),
        ),
    ),
    hints=(
        "A voltage has two ends. One is the boat's metal. The other is the water, which the meter reaches through the cell.",
        "Cell lead in COM, cell about a metre down beside the boat. Test lead in V, its clip on the common bonding point. Dial on 2 V.",
        "Hang the cell and wait until two readings ten minutes apart agree. Record at the bow, at the stern, and last "
        "amidships. Write down the amidships reading in mV with its minus, and the thermometer and the water beside it.",
    ),
    bench=True,
    teaches=lambda task: _teaches_hull_potential(task.afloat),
    method=lambda task: _method_hull_potential(task.afloat),
    hands=_whole_pass,
    examples=EXAMPLES,
)
