"""Module 03, the reference cell: three exercises on a personal boat."""

from __future__ import annotations

from functools import partial
from itertools import combinations

from course.boats.afloat import Afloat
from course.boats.plan import SlipPlan
from course.instruments.measure import cell_row
from graders.case import Case
from graders.exercise import Exercise, Field
from graders.judging import NOT_ANSWERED, UNIT, millivolts, part, reading_part, sound
from graders.marks import PartMark
from graders.method import Mistake
from graders.truth import Span, anodes_off, bottom_span, span
from graders.verdict import NEEDED_SHIFT_MV, card_baseline, true_verdict, verdict_on

MODULE = "03_reference_cell"
KIT = ("digital multimeter", "silver/silver-chloride cell", "water thermometer")
METERING = "Cell lead in COM, test lead in V, dial on 2 V, clip on the common bonding point, cell about a metre down and clear of the bed."


# --- 03.1 the hull potential -------------------------------------------------------------------------------------------------

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
                "No reading in the logbook was soundly taken, so there is no pass to judge.",
            ),
            "",
        )
    if len(places) < PASS_PLACES:
        few = f"Sound readings at {len(places)} place(s) along the boat; take at least {PASS_PLACES}."
        return done(Mistake("too_few_places", few), "", share=1 / 3)
    if places[-1] - places[0] < PASS_SHARE * length:
        short = (
            f"Your places span {places[-1] - places[0]:.1f} m of an {length:g} m boat; go from end to end."
        )
        return done(Mistake("pass_too_short", short), "", share=1 / 3)
    return done(None, f"Sound readings at {len(places)} places, bow to stern.")


def _water_parts(case: Case) -> tuple[PartMark, PartMark]:
    berth = case.afloat.plan.berth
    degrees, given = case.number("water_temperature", "degC"), case.given("water_temperature")
    off = None if degrees is None else abs(degrees - berth.temperature_degC)
    wrong = Mistake(
        "temperature",
        "That is not what the thermometer beside the boat shows. Write it down with every reading.",
    )
    temperature = NOT_ANSWERED if off is None else None if off <= TEMPERATURE_WITHIN else wrong
    kind = case.given("water_kind")
    named = dict(WATERS).get(kind or "")
    water = (
        NOT_ANSWERED
        if named is None
        else None
        if named == berth.water
        else Mistake(
            "water_kind",
            f"The berth lies in {berth.water}. The kind of water shifts what the cell itself says.",
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
        f"Write down with it: {afloat.plan.berth.water}, {afloat.plan.berth.temperature_degC} degC.",
    )


HULL_POTENTIAL = Exercise(
    id="03.1",
    module=MODULE,
    title="Take the hull potential",
    objective="Measure a bonded boat against the reference cell, with the right leads, place, time and unit.",
    prompt="Measure the hull potential of your boat as she lies. Make a pass with the cell from bow to stern, at least three places, "
    "and record each reading. Then write down the reading amidships, with the temperature and the kind of the water.",
    instruments=KIT,
    family="hull_potential",
    fields=(
        Field("hull_potential", "Hull potential", "mV"),
        Field("water_temperature", "Water temperature", "degC"),
        Field("water_kind", "Kind of water", kind="choice", choices=WATERS),
    ),
    points=10,
    judge=_judge_hull_potential,
    teaches=_teaches_hull_potential,
    method=_method_hull_potential,
)


# --- 03.2 baseline and shift -------------------------------------------------------------------------------------------------

STEADY_GAP_MINUTES, STEADY_AGREE_MV = 10, 5.0
SHIFT_ARITHMETIC_MV = 1.0
IN_VOLTS = 2.0  # readings of a boat in mV are never this small; in V they are


def _shift_mistake(shift: float, base: float, shielded: float) -> Mistake | None:
    """Return what is wrong with the arithmetic of a shift [mV], or None."""

    def near(value: float, other: float) -> bool:
        return abs(value - other) <= SHIFT_ARITHMETIC_MV

    own = base - shielded
    if near(shift, own):
        return UNIT if max(abs(base), abs(shielded)) < IN_VOLTS else None
    if near(shift, -own):
        return Mistake(
            "shift_sign",
            "Turned round: it is baseline minus reading with anodes, and 250 mV more negative is 250 mV.",
        )
    if near(abs(shift), abs(base + shielded)):
        return Mistake("shift_added", "You added the two readings; a shift is the difference between them.")
    if near(shift * 1000, own):
        return UNIT
    return Mistake(
        "shift_arithmetic", f"Your two readings differ by {abs(own):.0f} mV; check the subtraction."
    )


def _shift_part(case: Case, out_of: float) -> PartMark:
    shift, base, shielded = (case.number(field, "mV") for field in ("shift", "baseline", "with_anodes"))
    done = partial(
        part, "shift", "Shift: how many mV more negative with the anodes", out_of, case.given("shift")
    )
    if shift is None:
        return done(NOT_ANSWERED, "")
    if base is None or shielded is None:
        return done(Mistake("no_readings", "A shift needs both readings; write them in first."), "")
    enough = "enough" if shift >= NEEDED_SHIFT_MV else f"less than the {NEEDED_SHIFT_MV:g} mV wanted"
    said = f"Your two readings differ by {shift:.0f} mV, {enough}."
    if shift < 0:
        said = f"It follows from your two readings ({shift:.0f} mV); rightly taken, the one with anodes is the more negative."
    return done(_shift_mistake(shift, base, shielded), said)


def _steady_part(case: Case, out_of: float) -> PartMark:
    good = sound(case, anodes_off(case.afloat))
    given = f"{len(good)} sound reading(s) of the baseline"
    done = partial(part, "steady", "Waiting until the baseline is steady", out_of, given)
    for earlier, later in combinations(good, 2):
        waited = later.state.minute - earlier.state.minute
        apart = abs((millivolts(later) or 0.0) - (millivolts(earlier) or 0.0))
        if waited >= STEADY_GAP_MINUTES and apart <= STEADY_AGREE_MV:
            return done(None, f"Two readings {waited} minutes apart agree within {apart:.0f} mV.")
    if not good:
        none = "No sound, steady baseline reading is in the logbook: anodes off, then wait, then read."
        return done(Mistake("no_steady_baseline", none), "")
    one = "One reading cannot show that it is steady: take another ten minutes later and compare."
    return done(Mistake("steady_not_shown", one), "", share=0.5)


def _left_mistake(case: Case) -> Mistake | None:
    found, settings = case.afloat.start, [state.setting for state in case.replay.states]
    if not settings:
        return NOT_ANSWERED
    if settings[-1].open_links - found.open_links:
        return Mistake(
            "left_open",
            "You left the inside lead of the hull anode open: the boat would lie unprotected until someone noticed.",
        )
    if settings[-1].lifted - found.lifted:
        return Mistake(
            "left_lifted", "You left the hanging anode out of the water: lower it again before you go."
        )
    if anodes_off(case.afloat) not in settings:
        return Mistake(
            "never_taken_off", "The anodes were never taken off, so there was nothing to put back."
        )
    return None


def _left_part(case: Case, out_of: float) -> PartMark:
    said = "The lead is closed and the anode back in the water."
    return part("left", "The boat left as she was found", out_of, None, _left_mistake(case), said)


def _judge_baseline(case: Case) -> tuple[PartMark, ...]:
    return (
        reading_part(case, "baseline", "Baseline, the anodes off", 3, anodes_off(case.afloat)),
        reading_part(case, "with_anodes", "With the anodes", 2, case.afloat.start),
        _shift_part(case, 2),
        _steady_part(case, 2),
        _left_part(case, 1),
    )


def _spans(afloat: Afloat) -> tuple[Span, Span]:
    return span(afloat, afloat.steady(anodes_off(afloat))), span(afloat, afloat.steady(afloat.start))


def _teaches_baseline(afloat: Afloat) -> bool:
    """Both readings stand clear of each other and of a reading taken with only one of the two anodes off."""
    off, on = _spans(afloat)
    half = [
        anodes_off(afloat)._replace(open_links=frozenset()),
        anodes_off(afloat)._replace(lifted=frozenset()),
    ]
    return off.apart(on) and all(off.apart(span(afloat, afloat.steady(setting))) for setting in half)


def _method_baseline(afloat: Afloat) -> tuple[str, ...]:
    off, on = _spans(afloat)
    return (
        METERING,
        "Read and record with the anodes in. Then open the lead of the hull anode and lift the hanging anode; the shaft anodes stay.",
        f"Wait until two readings ten minutes apart agree: on this boat the baseline comes to rest at {off.high:.0f} to {off.low:.0f} mV.",
        f"With the anodes she reads {on.high:.0f} to {on.low:.0f} mV, a shift of about {off.middle - on.middle:.0f} mV; 200 mV is wanted.",
        "Close the lead and lower the anode again before you leave.",
    )


BASELINE = Exercise(
    id="03.2",
    module=MODULE,
    title="Baseline and shift",
    objective="Take a baseline without the anodes, wait until it is steady, and say what the anodes shift.",
    prompt="Take the reading with the anodes working, and the baseline without them: open the inside lead of the hull anode and lift "
    "the hanging anode out of the water (the shaft anodes stay). Wait until it is steady. Write down both readings and the shift, and "
    "leave the boat as you found her. Keep the cell in one place throughout.",
    instruments=KIT,
    family="baseline",
    fields=(
        Field("baseline", "Baseline, the anodes off", "mV"),
        Field("with_anodes", "With the anodes", "mV"),
        Field("shift", "More negative with the anodes by", "mV"),
    ),
    points=10,
    judge=_judge_baseline,
    teaches=_teaches_baseline,
    method=_method_baseline,
)


# --- 03.3 the verdict --------------------------------------------------------------------------------------------------------

CLEAR_OF_LIMIT_MV = 25.0
VERDICTS = (("unprotected", "unprotected"), ("protected", "protected"), ("overprotected", "overprotected"))
REASONS = (
    ("small_shift", "It is less than 200 mV more negative than the baseline"),
    (
        "good_shift",
        "It is at least 200 mV more negative than the baseline, and not more negative than -1100 mV",
    ),
    ("beyond_limit", "It is more negative than -1100 mV"),
    ("any_negative", "It is negative, and a negative reading means protected"),
    ("more_is_better", "The more negative, the better protected"),
    ("steel_limit", "It is compared with -800 mV, the limit for a steel hull"),
)
REASON_OF = {"unprotected": "small_shift", "protected": "good_shift", "overprotected": "beyond_limit"}
WRONG_REASONS = {
    "any_negative": "Bare bronze reads negative too. Protection is a shift of at least 200 mV from the baseline.",
    "more_is_better": "Beyond -1100 mV the boat is overprotected: coatings lift, aluminium and wood suffer, and anodes are wasted.",
    "steel_limit": "-800 mV is the limit for a steel hull. On a bonded fibreglass boat the shift from her own baseline decides.",
}


def _verdict_part(case: Case, out_of: float) -> PartMark:
    title = "Verdict"
    given, reading = case.given("verdict"), case.number("reading", "mV")
    if given not in REASON_OF:
        return part("verdict", title, out_of, given, NOT_ANSWERED, "")
    true, baseline = true_verdict(case.afloat), card_baseline(case.afloat)
    if given == true:
        return part("verdict", title, out_of, given, None, f"She is {true}.")
    if reading is not None and given == verdict_on(reading, baseline):
        follows = Mistake(
            "follows_from_reading",
            f"It follows from the reading you wrote, but that reading is not right; this boat is {true}. Half the points.",
        )
        return part("verdict", title, out_of, given, follows, "", share=0.5)
    facts = f"Her baseline is {baseline:.0f} mV; protected is at least 200 mV more negative than that and not beyond -1100 mV."
    return part("verdict", title, out_of, given, Mistake(f"called_{given}", f"She is {true}. {facts}"), "")


def _reason_part(case: Case, out_of: float) -> PartMark:
    title = "Reason"
    given, verdict = case.given("reason"), case.given("verdict")
    words = dict(REASONS).get(given or "")
    if words is None:
        return part("reason", title, out_of, None, NOT_ANSWERED, "")
    wrong = None
    if given in WRONG_REASONS:
        wrong = Mistake(str(given), WRONG_REASONS[str(given)])
    elif given != REASON_OF[true_verdict(case.afloat)]:
        follows = verdict in REASON_OF and given == REASON_OF[verdict]
        share = 0.5 if follows and _verdict_part(case, 1).mistake == "follows_from_reading" else 0.0
        sentence = (
            "It fits the verdict you gave, but not this boat."
            if follows
            else "That is not what her reading and her baseline say."
        )
        return part("reason", title, out_of, words, Mistake("other_reason", sentence), "", share=share)
    return part("reason", title, out_of, words, wrong, "That is what reading and baseline say.")


def _judge_verdict(case: Case) -> tuple[PartMark, ...]:
    return (
        reading_part(case, "reading", "Hull potential", 4, case.afloat.start),
        _verdict_part(case, 3),
        _reason_part(case, 3),
    )


def _teaches_verdict(afloat: Afloat) -> bool:
    """Every reading within the span gives the same verdict, clear of both limits."""
    truth, baseline = span(afloat, afloat.steady(afloat.start)), card_baseline(afloat)
    ends = (truth.low - CLEAR_OF_LIMIT_MV, truth.high + CLEAR_OF_LIMIT_MV)
    return len({verdict_on(value, baseline) for value in ends}) == 1


def _method_verdict(afloat: Afloat) -> tuple[str, ...]:
    truth, baseline = span(afloat, afloat.steady(afloat.start)), card_baseline(afloat)
    return (
        METERING,
        f"From end to end she reads {truth.high:.0f} to {truth.low:.0f} mV; her record card gives a baseline of {baseline:.0f} mV.",
        f"The shift is about {baseline - truth.middle:.0f} mV, so she is {true_verdict(afloat)}.",
    )


def _verdict_card(plan: SlipPlan) -> dict[str, str]:
    return {"Baseline without the large anodes, last season": f"{card_baseline(Afloat(plan)):.0f} mV"}


VERDICT = Exercise(
    id="03.3",
    module=MODULE,
    title="Give the verdict",
    objective="Judge from reading and baseline whether a bonded fibreglass boat is unprotected, protected or overprotected, and why.",
    prompt="Her record card gives the baseline. Measure her hull potential as she lies now, and give your verdict with its reason.",
    instruments=KIT,
    family="verdict",
    fields=(
        Field("reading", "Hull potential", "mV"),
        Field("verdict", "She is", kind="choice", choices=VERDICTS),
        Field("reason", "Because", kind="choice", choices=REASONS),
    ),
    points=10,
    judge=_judge_verdict,
    teaches=_teaches_verdict,
    method=_method_verdict,
    card=_verdict_card,
)

EXERCISES = (HULL_POTENTIAL, BASELINE, VERDICT)
