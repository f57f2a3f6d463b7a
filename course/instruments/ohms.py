"""Ohms, continuity and diode test: the meter sends a current of its own and sees the voltage that comes of it.

It cannot tell its own voltage from the boat's: a galvanic voltage in the circuit adds to the reading with the leads one way
and takes from it the other way round; half the sum of both is the resistance. Sea water between two metals is a resistance
like any other, so a broken bond afloat never reads open.
"""

from __future__ import annotations

from course.boats.afloat import Afloat
from course.instruments.ends import end_of, ends
from course.instruments.meter import BEEP_OHM, COMPLIANCE_V, DIAL, OVERLOAD, Display, Range, in_digits
from course.instruments.noise import normal
from course.instruments.state import State

NOISE_OHM = 0.03  # on the low range; invented size
SOURCE_OHM = 5e5  # behind the test current: what it meets changes it by less than a count


def _dial(state: State) -> Range | None:
    dial = DIAL.get(state.dial) if state.meter == "digital" else None
    return dial if dial is not None and dial.tests else None


def test_volts(afloat: Afloat, state: State) -> float | None:
    """Return the volts between V and COM while the meter sends its test current, or None when it cannot."""
    dial, pair = _dial(state), ends(afloat, state, "V")
    if dial is None or pair is None:
        return None
    plus, common = pair
    series = plus.ohm + common.ohm
    if plus.member is not None and common.member is not None:
        emf, same = dial.test_A * SOURCE_OHM, plus.member == common.member
        held = 0.0 if same else afloat.probed(state.moment, plus.member, common.member, emf, SOURCE_OHM)
    elif plus.volts is None or common.volts is None:
        return None
    else:  # a cell or a probe in the circuit: its own volts, behind its own ohms
        held = plus.volts - common.volts
    volts = held + dial.test_A * series
    return volts if abs(volts) < COMPLIANCE_V else None


def raw_ohm(afloat: Afloat, state: State) -> float | None:
    """Return the resistance the meter makes of what it sees [ohm], before nulling; None when open or not on ohms."""
    dial, volts = _dial(state), test_volts(afloat, state)
    if dial is None or dial.what != "ohms" or volts is None:
        return None
    ohm = volts / dial.test_A
    full_scale = dial.full_scale * (1000 if dial.unit == "kohm" else 1)
    return ohm if abs(ohm) < full_scale else None


def show_ohms(afloat: Afloat, state: State, ordinal: int) -> Display:
    """Return the digits on ohms, continuity or diode test."""
    dial = _dial(state)
    assert dial is not None
    if dial.what == "diode":
        volts = test_volts(afloat, state)
        return Display(OVERLOAD, dial.unit, dial.digit) if volts is None else in_digits(volts, dial)
    ohm = raw_ohm(afloat, state)
    if ohm is None:
        return Display(OVERLOAD, dial.unit, dial.digit)
    noise = NOISE_OHM * normal(afloat.plan.seed, "ohms", ordinal, state.minute, state.dial)
    return in_digits((ohm - state.null_ohm + noise) / (1000 if dial.unit == "kohm" else 1), dial)


def beeps(afloat: Afloat, state: State) -> bool:
    """Return whether the meter sounds: on continuity, under thirty ohms."""
    ohm = raw_ohm(afloat, state) if state.dial == "continuity" else None
    return ohm is not None and ohm - state.null_ohm < BEEP_OHM


def tested_members(state: State, afloat: Afloat) -> set[str]:
    """Return the nodes the meter sends its test current between now."""
    if _dial(state) is None:
        return set()
    leads = (state.lead_in("V"), state.lead_in("COM"))
    found = [end_of(afloat, state, lead) for lead in leads if lead is not None]
    if len(found) < 2 or None in found:
        return set()
    return {end.member for end in found if end is not None and end.member is not None}
