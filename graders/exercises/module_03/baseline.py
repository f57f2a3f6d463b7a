"""03.2: the baseline without the anodes, and what the anodes shift."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from itertools import combinations

from course.boats.afloat import Afloat
from graders.case import Case
from graders.exercise import Exercise, Field
from graders.exercises.module_03.common import KIT, METERING, MODULE
from graders.hands import Example, Hands
from graders.judging import UNIT, millivolts, part, reading_part, sound
from graders.marks import PartMark
from graders.mistake import Mistake
from graders.parts.judged import READING_MISTAKES, JudgedPart
from graders.truth import Span, anodes_off, span
from graders.verdict import NEEDED_SHIFT_MV

STEADY_GAP_MINUTES, STEADY_AGREE_MV = 10, 5.0
SHIFT_ARITHMETIC_MV = 1.0
NOTHING_DONE = Mistake("blank", "Nothing was done aboard, so there is nothing to be put back.")
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
            "Turned round. The shift is baseline minus reading with anodes, so a boat that reads 250 mV more negative is "
            "shifted by +250 mV.",
        )
    if near(abs(shift), abs(base + shielded)):
        return Mistake("shift_added", "You added the two readings. A shift is the difference between them.")
    if near(shift * 1000, own):
        return UNIT
    return Mistake(
        "shift_arithmetic", f"Your two readings differ by {abs(own):.0f} mV. Check the subtraction."
    )


def _recorded(case: Case, shift: float) -> bool:
    """Return whether a shift [mV] is that of two sound readings in the logbook, whatever was written down of them."""
    off, on = (
        [mv for reading in sound(case, setting) if (mv := millivolts(reading)) is not None]
        for setting in (anodes_off(case.afloat), case.afloat.start)
    )
    return any(abs(shift - (a - b)) <= SHIFT_ARITHMETIC_MV for a in off for b in on)


def _shift_part(case: Case, out_of: float) -> PartMark:
    shift, base, shielded = (case.number(field, "mV") for field in ("shift", "baseline", "with_anodes"))
    done = partial(
        part, "shift", "Shift: how many mV more negative with the anodes", out_of, case.given("shift")
    )
    if shift is None:
        return done(case.no_number("shift", "mV"), "")
    if base is None or shielded is None:
        return done(Mistake("no_readings", "A shift needs both readings; write them in first."), "")
    enough = "enough" if shift >= NEEDED_SHIFT_MV else f"less than the {NEEDED_SHIFT_MV:g} mV wanted"
    said = f"Your two readings differ by {shift:.0f} mV, {enough}."
    if shift < 0:
        said = f"It follows from your two readings ({shift:.0f} mV); rightly taken, the one with anodes is the more negative."
    mistake = None if _recorded(case, shift) else _shift_mistake(shift, base, shielded)
    return done(mistake, said)


def _steady_part(case: Case, out_of: float) -> PartMark:
    good = sound(case, anodes_off(case.afloat))
    given = f"sound readings of the baseline: {len(good)}"
    done = partial(part, "steady", "Waiting until the baseline is steady", out_of, given)
    for earlier, later in combinations(good, 2):
        waited = later.state.minute - earlier.state.minute
        apart = abs((millivolts(later) or 0.0) - (millivolts(earlier) or 0.0))
        if waited >= STEADY_GAP_MINUTES and apart <= STEADY_AGREE_MV:
            return done(None, f"Two readings {waited} minutes apart agree within {apart:.0f} mV.")
    if not good:
        none = "The logbook holds no sound, steady baseline reading. Anodes off, then wait, then read."
        return done(Mistake("no_steady_baseline", none), "")
    one = "One reading cannot show that it is steady. Take another ten minutes later and compare."
    return done(Mistake("steady_not_shown", one), "", share=0.5)


def _left_mistake(case: Case) -> Mistake | None:
    found, settings = case.afloat.start, [state.setting for state in case.replay.states]
    if not settings:
        return NOTHING_DONE
    if settings[-1].open_links - found.open_links:
        return Mistake(
            "left_open",
            "You left the inside lead of the hull anode open. The boat would lie unprotected until someone noticed: close it.",
        )
    if settings[-1].lifted - found.lifted:
        return Mistake(
            "left_lifted", "You left the hanging anode out of the water. Lower it again before you go."
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


SETTLE_METAL, LOOK_AGAIN = 600, 12  # simulated minutes, longer than any boat here needs


def _off_and_on(
    hands: Hands, links: bool = True, hanging: bool = True, settle: int = SETTLE_METAL, put_back: bool = True
) -> dict[str, object]:
    """Read with the anodes, take them off, wait, read twice, put everything back."""
    slip, off = hands.slip, anodes_off(hands.task.afloat)
    hands.set_up()
    on = hands.read_mV()
    for link in sorted(off.open_links) if links else ():
        slip.open_link(link)
    for anode in sorted(off.lifted) if hanging else ():
        slip.lift_anode(anode)
    if settle:
        slip.wait(settle)
        hands.read_mV()
        slip.wait(LOOK_AGAIN)
    without = hands.read_mV()
    if put_back:
        for link in sorted(slip.state.setting.open_links - hands.task.afloat.start.open_links):
            slip.close_link(link)
        for anode in sorted(slip.state.setting.lifted - hands.task.afloat.start.lifted):
            slip.lower_anode(anode)
    return {"baseline": without, "with_anodes": on, "shift": round(without - on, 1)}


def _shifted(mistake: str, change: Callable[[float, float], float]) -> Example:
    def act(hands: Hands) -> dict[str, object]:
        found = _off_and_on(hands)
        baseline, on = float(str(found["baseline"])), float(str(found["with_anodes"]))
        return {**found, "shift": round(change(baseline, on), 4)}

    return Example("shift", mistake, act)


EXAMPLES = (
    Example("baseline", "anode_lead_closed", partial(_off_and_on, links=False)),
    Example("baseline", "anode_in_water", partial(_off_and_on, hanging=False)),
    Example("baseline", "metal_not_settled", partial(_off_and_on, settle=0)),
    Example("left", "left_open", partial(_off_and_on, put_back=False)),
    _shifted("shift_sign", lambda off, on: on - off),
    _shifted("shift_added", lambda off, on: -(off + on)),
    _shifted("unit", lambda off, on: (off - on) / 1000),
    _shifted("shift_arithmetic", lambda off, on: off - on + 31),
)

BASELINE = Exercise(
    id="03.2",
    module=MODULE,
    title="Baseline and shift",
    kind="read",
    objectives=("03.baseline",),
    prompt="Take the reading with the anodes working, and the baseline without them: open the inside lead of the hull anode and lift "
    "the hanging anode out of the water (the shaft anodes stay). Wait until it is steady. Write down both readings and the shift, and "
    "leave the boat as you found her. Keep the cell in one place throughout.",
    instruments=KIT,
    family="baseline",
    parts=(
        JudgedPart(
            fields=(
                Field("baseline", "Baseline, the anodes off", "mV"),
                Field("with_anodes", "With the anodes", "mV"),
                Field("shift", "More negative with the anodes by", "mV"),
            ),
            out_of=10,
            judging=_judge_baseline,
            mistakes=(
                *READING_MISTAKES,
                "shift_sign",
                "shift_added",
                "shift_arithmetic",
                "no_steady_baseline",
                "steady_not_shown",
                "left_open",
                "left_lifted",
                "never_taken_off",
            ),
        ),
    ),
    hints=(
        "A baseline is what the boat reads without the anodes you can take off.",
        "You can put two anodes out of action: one by opening its inside lead, one by lifting its line. Then her metals need "
        "hours to come to rest.",
        "Read and record. Open the lead, lift the anode, wait some hours, record; wait ten minutes, record again: the two must "
        "agree. Shift = baseline - reading with anodes. Close the lead, lower the anode.",
    ),
    bench=True,
    teaches=lambda task: _teaches_baseline(task.afloat),
    method=lambda task: _method_baseline(task.afloat),
    hands=_off_and_on,
    examples=EXAMPLES,
)
