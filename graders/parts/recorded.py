"""A number that must stand in the logbook: read with any instrument, soundly taken, and copied with its sign and unit."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from course.instruments.replay import Reading
from graders.case import Case
from graders.exercise import Field
from graders.judging import NOT_TRUE, not_in_logbook, part, unit_mistake
from graders.marks import PartMark
from graders.mistake import Mistake
from graders.parts.judged import JudgedPart
from graders.task import Task
from graders.units import RELATED

Fault = Callable[[Case, Reading], Mistake | None]
SIGN = Mistake("sign_dropped", "The display showed the other sign. It tells which way: keep it.")
IN_BASE: dict[str, tuple[str, float]] = {
    "V": ("V", 1.0), "mV": ("V", 1e-3), "A": ("A", 1.0), "mA": ("A", 1e-3),
    "ohm": ("ohm", 1.0), "kohm": ("ohm", 1e3), "degC": ("degC", 1.0), "S/m": ("S/m", 1.0),
}  # fmt: skip


def in_unit(reading: Reading, unit: str) -> float | None:
    """Return what a reading's display says in a unit, or None when it shows no number of that kind."""
    base, wanted = IN_BASE.get(reading.display.unit), IN_BASE[unit]
    if base is None or base[0] != wanted[0]:
        return None
    try:
        return float(reading.display.text) * base[1] / wanted[1]
    except ValueError:
        return None


def _showing(readings: tuple[Reading, ...], value: float, unit: str, within: float) -> list[Reading]:
    shown = ((reading, in_unit(reading, unit)) for reading in readings)
    return [reading for reading, number in shown if number is not None and abs(number - value) <= within]


def recorded_mistake(case: Case, value: float, unit: str, within: float, fault: Fault) -> Mistake | None:
    """Return what is wrong with a value copied from the logbook, or None when a sound reading shows it."""
    shown = _showing(case.taken, value, unit, within)
    faults = [fault(case, reading) for reading in shown]
    if None in faults:
        return None
    for other, factor in RELATED.get(unit, {}).items():
        scaled = _showing(case.taken, value / factor, unit, within)
        if any(fault(case, reading) is None for reading in scaled) or (scaled and not shown):
            return unit_mistake(unit, other)
    if shown:
        return faults[0]
    if _showing(case.taken, -value, unit, within):
        return SIGN
    if _showing(case.untrue, value, unit, within):
        return NOT_TRUE
    return not_in_logbook(case, value, (in_unit(reading, unit) for reading in case.taken))


def RecordedPart(
    name: str,
    label: str,
    unit: str,
    points: float,
    within: float,
    fault: Fault,
    mistakes: tuple[str, ...],
    truth: Callable[[Task], float],
) -> JudgedPart:
    """Return a part for a reading [unit] copied from the logbook within ``within``.

    ``fault`` says what is wrong with how a reading was taken, None when it was soundly taken; ``mistakes`` names what it can say;
    ``truth`` is what a sound reading shows, for the parts that build on it.
    """

    def judging(case: Case) -> tuple[PartMark, ...]:
        value, given = case.number(name, unit), case.given(name)
        if value is None:
            return (part(name, label, points, given, case.no_number(name, unit), ""),)
        found = recorded_mistake(case, value, unit, within, fault)
        return (part(name, label, points, given, found, "Soundly taken, and it stands in your logbook."),)

    truths: Mapping[str, Callable[[Task], float | str]] = {name: truth}
    known = (*mistakes, "unit", "sign_dropped", "rounded_too_far", "not_recorded", "does_not_replay")
    return JudgedPart((Field(name, label, unit),), points, judging, known, truths)
