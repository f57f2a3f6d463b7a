"""Volts and amperes at the meter's jacks, through the ends of the leads, their resistance, and what the meter itself draws.

The meter reads V(positive jack) - V(COM jack).
"""

from __future__ import annotations

from course.boats.afloat import Afloat
from course.instruments import needle
from course.instruments.ends import cell_row, ends
from course.instruments.meter import (
    DIAL,
    FUSE_A,
    INPUT_RESISTANCE_OHM,
    SHUNT_OHM,
    Display,
    in_digits,
    in_volts,
)
from course.instruments.noise import normal
from course.instruments.state import State

__all__ = ["across", "amperes", "cell_row", "digital_volts", "fuse_blows", "needle_now"]

OPEN_LEAD_NOISE_V = 0.004  # what an open lead picks up at 10 megohm; invented size
LIGHT_LOAD_OHM = 1e6  # above it a meter draws too little to move a metal


def across(afloat: Afloat, state: State, jack: str, load_ohm: float) -> float | None:
    """Return the volts between a jack and COM with a load [ohm] between them, or None when no whole circuit joins them.

    Between two metals a heavy load takes its current from them: their polarisation answers within a second.
    """
    pair = ends(afloat, state, jack)
    if pair is None:
        return None
    plus, common = pair
    series = plus.ohm + common.ohm
    share = load_ohm / (load_ohm + series)
    if plus.member is not None and plus.member == common.member:
        return 0.0
    if plus.volts is None or common.volts is None:
        return None
    if load_ohm >= LIGHT_LOAD_OHM or plus.member is None or common.member is None:
        return share * (plus.volts - common.volts)
    loaded = afloat.probed(state.moment, plus.member, common.member, 0.0, load_ohm + series)
    return share * loaded


def amperes(afloat: Afloat, state: State) -> float:
    """Return the current through the A jack's shunt [A]; nothing through a blown fuse or an open circuit."""
    if state.meter != "digital" or state.fuse_blown:
        return 0.0
    volts = across(afloat, state, "A", SHUNT_OHM)
    return 0.0 if volts is None else volts / SHUNT_OHM


def fuse_blows(afloat: Afloat, state: State) -> bool:
    """Return whether more flows through the A jack than its fuse can carry, wherever the dial stands."""
    return state.lead_in("A") is not None and abs(amperes(afloat, state)) > FUSE_A


def digital_volts(afloat: Afloat, state: State, ordinal: int) -> Display:
    """Return the digits of the digital meter on a range of volts."""
    seed, noise_mV = afloat.plan.seed, afloat.plan.kit.noise_mV
    volts = across(afloat, state, "V", INPUT_RESISTANCE_OHM)
    if volts is None:
        return in_volts(
            OPEN_LEAD_NOISE_V * normal(seed, "open", ordinal, state.minute, state.dial), state.dial
        )
    pair = ends(afloat, state, "V")
    worse = max(end.noise for end in pair) if pair else 1.0
    noise = worse * noise_mV / 1000 * normal(seed, "reading", ordinal, state.minute, state.dial)
    return in_volts(volts * afloat.plan.kit.meter_gain + noise, state.dial)


def digital_amperes(afloat: Afloat, state: State) -> Display:
    """Return the digits of the digital meter on a range of milliamperes."""
    dial = DIAL[state.dial]
    assert dial is not None
    return in_digits(1000 * amperes(afloat, state), dial)


def needle_now(afloat: Afloat, state: State) -> needle.Needle | None:
    """Return where the analogue meter's needle stands; None when it is off or the other meter is in hand."""
    if state.meter != "analogue" or needle.DIAL[state.dial] is None:
        return None
    volts = across(afloat, state, "V", needle.input_resistance_ohm(state.dial))
    return needle.needle(volts or 0.0, state.dial)
