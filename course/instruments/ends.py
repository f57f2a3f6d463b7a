"""What each lead of the meter ends in: a reference cell, a clip on metal, a probe in the bilge; its volts and its resistance."""

from __future__ import annotations

import math
from typing import Any, NamedTuple

import numpy as np

from course.boats.afloat import Afloat
from course.boats.boat_systems import BILGE_WATER
from course.boats.datasets import row
from course.instruments import reference_cell
from course.instruments.noise import uniform
from course.instruments.points import contact_ohm, member_of
from course.instruments.reference_cell import Terminal
from course.instruments.state import State, side_m

TEST_LEAD_OHM = 0.1
# The bilge probe is a bronze rod: its own potential against the water [V vs SHE], how it comes to rest, its resistance.
PROBE_V, PROBE_SETTLING_V, PROBE_SETTLING_MINUTES = (-0.06, 0.06), 0.03, 4.0  # declared model, invented sizes
PROBE_OHM = 800.0  # invented


class End(NamedTuple):
    """Where a lead ends: open-circuit volts (None: in no circuit with the water), ohms in series, the node it bites."""

    volts: float | None
    ohm: float
    member: str | None = None
    noise: float = 1.0


def cell_row(afloat: Afloat, state: State | None = None) -> dict[str, Any]:
    """Return the data of the reference cell in the learner's hand; without a state, of the one in hand at the start."""
    return row("reference_cells", state.kind if state else afloat.plan.kit.cell)


def condition(afloat: Afloat, state: State) -> str:
    """Return how the cell in hand is: only the one in hand at the start can ail."""
    kit = afloat.plan.kit
    return kit.cell_condition if state.kind == kit.cell else "good"


def cell_terminal(afloat: Afloat, state: State, depth_m: float, minutes_wet: int) -> Terminal:
    """Return the terminal of the cell in hand at a depth [m], so long after it was wetted."""
    return reference_cell.terminal(
        cell_row(afloat, state),
        afloat.water,
        minutes_wet,
        afloat.plan.berth.depth_m - depth_m,
        condition(afloat, state),
        afloat.plan.seed,
    )


def _cell_end(afloat: Afloat, state: State) -> End | None:
    if state.cell is None:
        return None
    place = np.array([[state.cell.x_m, side_m(afloat), -state.cell.depth_m]])
    water = float(afloat.water_potential(state.moment, place)[0])
    found = cell_terminal(afloat, state, state.cell.depth_m, state.minute - state.cell.wet_since)
    return End(water + found.volts, found.ohm, None, found.noise)


def probe_potential(afloat: Afloat, minutes_wet: int) -> float:
    """Return the bilge probe's own potential against the water it stands in [V vs SHE]: its galvanic zero."""
    low, high = PROBE_V
    rest = low + (high - low) * uniform(afloat.plan.seed, "bilge probe")
    return rest + PROBE_SETTLING_V * math.exp(-minutes_wet / PROBE_SETTLING_MINUTES)


def _probe_end(afloat: Afloat, state: State) -> End | None:
    if state.dipped is None:
        return None
    water = afloat.voltage(state.moment, BILGE_WATER)
    if water is None:
        return None
    # water that no leak drives is no node of the boat's circuit: a load moves nothing there
    member = BILGE_WATER if BILGE_WATER in afloat.fitted(state.setting).node_of else None
    return End(water + probe_potential(afloat, state.minute - state.dipped), PROBE_OHM, member)


def lead_ohm(afloat: Afloat, lead: str) -> float:
    """Return the resistance of a lead's own wire [ohm]."""
    return afloat.plan.kit.long_lead_ohm if lead == "long lead" else TEST_LEAD_OHM


def end_of(afloat: Afloat, state: State, lead: str) -> End | None:
    """Return where a lead ends, or None when it touches nothing."""
    if lead == "cell lead":
        return _cell_end(afloat, state)
    if lead == "bilge probe":
        return _probe_end(afloat, state)
    point = state.leads[lead].point
    if point is None:
        return None
    member = member_of(afloat.plan.boat, point)
    ohm = lead_ohm(afloat, lead) + contact_ohm(afloat, point, point in state.scraped)
    return End(afloat.voltage(state.moment, member), ohm, member)


def ends(afloat: Afloat, state: State, jack: str) -> tuple[End, End] | None:
    """Return where the leads in a jack and in COM end, or None when there are not two that touch something."""
    plus, common = state.lead_in(jack), state.lead_in("COM")
    if plus is None or common is None:
        return None
    first, second = end_of(afloat, state, plus), end_of(afloat, state, common)
    return None if first is None or second is None else (first, second)
