"""Judging a written reading: is it right, was it really taken, and if not, which mistake was made."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from course.boats.afloat import Setting
from course.instruments.meter import volts
from course.instruments.replay import Reading
from graders.case import Case
from graders.marks import PartMark
from graders.method import mistake_in
from graders.mistake import Mistake
from graders.numbers import is_rounded
from graders.truth import Span, span

COPIED_WITHIN_MV = 1.0  # rounding when the display is written as whole millivolts

NOT_RECORDED = Mistake(
    "not_recorded",
    "No reading in your logbook shows this value. Take the reading, record it, then copy it from the logbook.",
)
NO_READING = Mistake(
    NOT_RECORDED.name,
    "Your logbook holds no reading of this boat yet. Take the reading, record it, then copy it from the logbook.",
)
ROUNDED = Mistake(
    "rounded_too_far",
    "A reading in your logbook comes to this when it is rounded or cut short. Copy every figure that the display showed.",
)
NOT_TRUE = Mistake(
    "does_not_replay",
    "The logbook row that shows this value does not come out when the same steps are taken again on your boat, so it counts as "
    "not taken.",
)
VOLTS = " And it looks like volts: this field wants millivolts, and 1 V is 1000 mV."
MOST_VOLTS = 2.0  # more than any metal in water shows against a cell, which is hundreds of millivolts
UNIT = Mistake("unit", "The size is right, the unit is not: this field wants millivolts, and 1 V is 1000 mV.")


def unit_mistake(wanted: str, other: str) -> Mistake:
    """Return the mistake of writing the right size in another unit than the field's."""
    says = f"The size is right, the unit is not: this field wants {wanted}, and you wrote it in {other}."
    return UNIT if wanted == "mV" else Mistake("unit", says)


SIGN = Mistake(
    "sign_dropped",
    "The meter showed the other sign. Against a silver/silver-chloride cell a boat's metals read negative: keep it.",
)


def part(
    name: str,
    title: str,
    out_of: float,
    given: str | None,
    mistake: Mistake | None,
    right: str,
    share: float = 0.0,
) -> PartMark:
    """Return a part's mark: all points without a mistake, ``share`` of them with one."""
    if mistake is None:
        return PartMark(name, title, out_of, out_of, given, None, right)
    return PartMark(name, title, out_of * share, out_of, given, mistake.name, mistake.sentence)


def millivolts(reading: Reading) -> float | None:
    """Return what a reading's display says in mV, or None when it shows no voltage."""
    value = volts(reading.display.text, reading.display.unit)
    return None if value is None else 1000 * value


def showing(readings: tuple[Reading, ...], value: float) -> list[Reading]:
    """Return the readings whose display is this value in mV."""
    shown = [(reading, millivolts(reading)) for reading in readings]
    return [reading for reading, mv in shown if mv is not None and abs(mv - value) <= COPIED_WITHIN_MV]


def sound(case: Case, wanted: Setting) -> list[Reading]:
    """Return the readings that were taken as they should be in a setting."""
    return [reading for reading in case.taken if mistake_in(case.afloat, reading, wanted) is None]


def reading_mistake(case: Case, value: float, wanted: Setting) -> Mistake | None:
    """Return what is wrong with a written reading [mV], or None when a sound reading in the logbook shows it."""
    shown = showing(case.taken, value)
    faults = [mistake_in(case.afloat, reading, wanted) for reading in shown]
    if shown:
        return None if None in faults else faults[0]
    scaled = showing(case.taken, value * 1000)
    if scaled or showing(case.taken, value / 1000):
        return UNIT
    if showing(case.taken, -value):
        return SIGN
    if showing(case.untrue, value):
        return NOT_TRUE
    truth = span(case.afloat, case.afloat.steady(wanted))
    found = _by_value(value, truth) or not_in_logbook(case, value, map(millivolts, case.taken))
    volts_too = found.name == NOT_RECORDED.name and 0 < abs(value) <= MOST_VOLTS
    return replace(found, sentence=found.sentence + VOLTS) if volts_too else found


def not_in_logbook(case: Case, value: float, shown: Iterable[float | None]) -> Mistake:
    """Return what to say of a number that is none of those the readings showed: rounded from one, or taken from nowhere."""
    if any(number is not None and is_rounded(value, number) for number in shown):
        return ROUNDED
    return NOT_RECORDED if case.replay.readings else NO_READING


def _by_value(value: float, truth: Span) -> Mistake | None:
    if truth.holds(value * 1000) or truth.holds(value / 1000):
        return UNIT
    return SIGN if truth.holds(-value) else None


def reading_part(case: Case, field: str, title: str, out_of: float, wanted: Setting) -> PartMark:
    """Return the mark of a field that holds a reading in mV."""
    value, given = case.number(field, "mV"), case.given(field)
    if value is None:
        return part(field, title, out_of, given, case.no_number(field, "mV"), "")
    truth = span(case.afloat, case.afloat.steady(wanted))
    right = f"Soundly taken, and in line with {truth.low:.0f} to {truth.high:.0f} mV, as this boat reads from end to end."
    return part(field, title, out_of, given, reading_mistake(case, value, wanted), right)
