"""What the meter shows: the voltage between its jacks, through the cell, the leads and the meter's own faults.

The meter reads V(positive jack) - V(COM jack).
"""

from __future__ import annotations

from typing import Any

import numpy as np

from course.boats.afloat import Afloat
from course.boats.datasets import row
from course.instruments import reference_cell
from course.instruments.meter import DIAL, INPUT_RESISTANCE_OHM, SHUNT_OHM, Display, in_digits
from course.instruments.noise import normal
from course.instruments.state import State, side_m

OPEN_LEAD_NOISE_V = 0.004  # what an open lead picks up at 10 megohm; invented size


def cell_row(afloat: Afloat) -> dict[str, Any]:
    """Return the data of the reference cell in the learner's kit."""
    return row("reference_cells", afloat.plan.kit.cell)


def cell_voltage(afloat: Afloat, state: State) -> float | None:
    """Return the voltage of the cell's terminal [V], or None while it hangs in the air."""
    if state.cell is None:
        return None
    place = np.array([[state.cell.x_m, side_m(afloat), -state.cell.depth_m]])
    water = float(afloat.water_potential(state.moment, place)[0])
    cell = cell_row(afloat)
    minutes_wet = state.minute - state.cell.wet_since
    height = afloat.plan.berth.depth_m - state.cell.depth_m
    return (
        water
        + reference_cell.settled_potential(cell, afloat.water)
        + reference_cell.offset(cell, minutes_wet, height)
    )


def test_voltage(afloat: Afloat, state: State) -> float | None:
    """Return the voltage of the metal the test lead is clipped to [V], or None when it touches none in the circuit."""
    if state.point is None:
        return None
    point = next(p for p in afloat.plan.boat.clip_points if p.id == state.point)
    return afloat.voltage(state.moment, point.at)


def _across(afloat: Afloat, state: State, jack: str) -> float | None:
    """Return the open-circuit voltage between a jack and COM [V], or None when no whole circuit joins them."""
    cell, test = cell_voltage(afloat, state), test_voltage(afloat, state)
    if cell is None or test is None:
        return None
    if (state.test_jack, state.cell_jack) == (jack, "COM"):
        return test - cell
    if (state.cell_jack, state.test_jack) == (jack, "COM"):
        return cell - test
    return None


def gain(afloat: Afloat) -> float:
    """Return displayed volts for each volt in the circuit: the meter's scale error and the cell it loads."""
    resistance: float = cell_row(afloat)["resistance_ohm"]
    return afloat.plan.kit.meter_gain * INPUT_RESISTANCE_OHM / (INPUT_RESISTANCE_OHM + resistance)


def show(afloat: Afloat, state: State, ordinal: int) -> Display:
    """Return the digits that reading number ``ordinal`` shows in a state."""
    dial = DIAL[state.dial]
    if dial is None:
        return Display("", "")
    seed = afloat.plan.seed
    if dial.unit == "mA":
        volts = _across(afloat, state, "A")
        resistance: float = cell_row(afloat)["resistance_ohm"]
        return in_digits(0.0 if volts is None else 1000 * volts / (resistance + SHUNT_OHM), dial)
    volts = _across(afloat, state, "V")
    if volts is None:
        stray = OPEN_LEAD_NOISE_V * normal(seed, "open", ordinal, state.minute, state.dial)
        return in_digits(stray / dial.volts_per_unit, dial)
    noise = afloat.plan.kit.noise_mV / 1000 * normal(seed, "reading", ordinal, state.minute, state.dial)
    return in_digits((volts * gain(afloat) + noise) / dial.volts_per_unit, dial)
