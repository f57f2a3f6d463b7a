"""What each instrument shows in a state, and what a row of the logbook says about it."""

from __future__ import annotations

from typing import Any

from course.boats.afloat import Afloat
from course.engine.constants import ZERO_CELSIUS
from course.instruments.clamp import show_clamp
from course.instruments.measure import digital_amperes, digital_volts, needle_now
from course.instruments.meter import DIAL, Display, Range, in_digits
from course.instruments.noise import normal
from course.instruments.ohms import show_ohms
from course.instruments.state import CLIPPED, State

INSTRUMENTS = ("meter", "clamp", "thermometer", "conductivity meter")
CONDUCTIVITY_SCALE = 0.005  # a hand-held meter's scale error; invented size
_DEGREES = Range("degC", 200.0, "0.1", what="temperature")
_CONDUCTIVITY = (Range("S/m", 0.2, "0.0001"), Range("S/m", 2.0, "0.001"), Range("S/m", 20.0, "0.01"))


def show_meter(afloat: Afloat, state: State, ordinal: int) -> Display:
    """Return what the meter in hand shows for reading number ``ordinal``."""
    if state.meter == "analogue":
        found = needle_now(afloat, state)
        return found.reading if found else Display("", "")
    dial = DIAL[state.dial]
    if dial is None:
        return Display("", "")
    if dial.tests:
        return show_ohms(afloat, state, ordinal)
    return digital_amperes(afloat, state) if dial.unit == "mA" else digital_volts(afloat, state, ordinal)


def show_conductivity(afloat: Afloat) -> Display:
    """Return the water's conductivity as it is, at its own temperature, not brought to 25 degC."""
    value = afloat.water.conductivity * (
        1 + CONDUCTIVITY_SCALE * normal(afloat.plan.seed, "conductivity meter") / 3
    )
    shown = [in_digits(value, dial) for dial in _CONDUCTIVITY]
    return next((display for display in shown if display.text != "OL"), shown[-1])


def show(afloat: Afloat, state: State, ordinal: int, instrument: str = "meter") -> Display:
    """Return what an instrument shows for reading number ``ordinal`` in a state."""
    if instrument == "clamp":
        return show_clamp(afloat, state, ordinal)
    if instrument == "thermometer":
        return in_digits(round(afloat.water.temperature - ZERO_CELSIUS, 6), _DEGREES)
    if instrument == "conductivity meter":
        return show_conductivity(afloat)
    return show_meter(afloat, state, ordinal)


def name_of(state: State, instrument: str) -> str:
    """Return an instrument's name as a row says it."""
    return f"{state.meter} multimeter" if instrument == "meter" else instrument


def settings_of(state: State, instrument: str) -> dict[str, Any]:
    """Return how an instrument was set: all that a row says of it."""
    if instrument == "meter":
        return {"dial": state.dial, "nulled": state.null_ohm != 0.0, "fuse_blown": state.fuse_blown}
    if instrument == "clamp":
        clamp = state.clamp
        return {"around": list(clamp.around), "arrow": clamp.arrow, "zeroed_minute": clamp.zeroed}
    return {}


def leads_of(state: State) -> dict[str, dict[str, Any]]:
    """Return where every lead is, as a row and the view say it."""
    return {
        name: {"jack": lead.jack, "point": lead.point if name in CLIPPED else None}
        for name, lead in state.leads.items()
    }
