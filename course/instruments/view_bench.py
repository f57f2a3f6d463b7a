"""The bench as plain data: meter, leads, cell, probe, clamp, and the map a dragged cell follows."""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from course.boats.afloat import Afloat
from course.boats.datasets import row
from course.instruments.acts_bench import METERS, cells_of, dials, jacks
from course.instruments.clamp import arrow_words, clamp_names, clampable, show_clamp
from course.instruments.ends import cell_terminal, end_of
from course.instruments.measure import needle_now
from course.instruments.meter import DIAL, INPUT_RESISTANCE_OHM
from course.instruments.ohms import beeps
from course.instruments.readings import leads_of, show
from course.instruments.state import CLIPPED, State, cell_limits, side_m

MAP_STEP_X_M = 0.25
MAP_STEP_DEPTH_M = 0.1
_NO_MAP = {"columns": 0, "rows": 0, "water_mV": [], "base_mV": 0.0, "sign": 1, "live": False}


def _held_end(afloat: Afloat, state: State) -> tuple[float, float, int] | None:
    """Return volts and ohms of the clip that reads against the cell, and the sign; None when no such circuit is whole."""
    dial = DIAL.get(state.dial) if state.meter == "digital" else None
    if dial is None or dial.what != "volts":
        return None
    plus, common = state.lead_in("V"), state.lead_in("COM")
    for lead, other, sign in ((plus, common, 1), (common, plus, -1)):
        if other == "cell lead" and lead in CLIPPED:
            end = end_of(afloat, state, lead)
            return None if end is None or end.volts is None else (end.volts, end.ohm, sign)
    return None


def drag_map(afloat: Afloat, state: State) -> dict[str, Any]:
    """Return water potentials [mV] over the plane the cell hangs in, and what turns them into a display while it moves.

    Nothing of the water leaves here unless the meter would show it: no map without a whole circuit on a range of volts.
    """
    limits = cell_limits(afloat)
    (x0, x1), (d0, d1) = limits["x_m"], limits["depth_m"]
    span = {"x_m": [x0, x1], "depth_m": [d0, d1]}
    held = _held_end(afloat, state)
    if held is None:
        return {**span, **_NO_MAP}
    volts, ohm, sign = held
    columns, rows = math.ceil((x1 - x0) / MAP_STEP_X_M) + 1, math.ceil((d1 - d0) / MAP_STEP_DEPTH_M) + 1
    depths = np.linspace(d0, d1, rows)
    grid_x, grid_depth = np.meshgrid(np.linspace(x0, x1, columns), depths)
    places = np.column_stack([grid_x.ravel(), np.full(grid_x.size, side_m(afloat)), -grid_depth.ravel()])
    wet = state.minute - state.cell.wet_since if state.cell else 0
    ends = [cell_terminal(afloat, state, float(d), wet) for d in depths]
    scale = afloat.plan.kit.meter_gain * INPUT_RESISTANCE_OHM / (INPUT_RESISTANCE_OHM + ends[0].ohm + ohm)
    own = np.repeat([end.volts - ends[0].volts for end in ends], columns)
    water = 1000 * scale * (afloat.water_potential(state.moment, places) + own)
    return {
        **span, "columns": columns, "rows": rows, "water_mV": np.round(water, 2).tolist(),
        "base_mV": round(1000 * scale * (volts - ends[0].volts), 2), "sign": sign, "live": True,
    }  # fmt: skip


def _meter(afloat: Afloat, state: State, ordinal: int) -> dict[str, Any]:
    display, hand = show(afloat, state, ordinal), needle_now(afloat, state)
    return {
        "kind": state.meter, "dial": state.dial, "dials": list(dials(state.meter)), "jacks": list(jacks(state.meter)),
        "display": display.text, "unit": display.unit, "needle": round(hand.fraction, 3) if hand else None,
        "fuse_blown": state.fuse_blown, "nulled": state.null_ohm != 0.0, "beeps": beeps(afloat, state),
    }  # fmt: skip


def _cell(afloat: Afloat, state: State) -> dict[str, Any]:
    cell, hull, limits = state.cell, afloat.plan.boat.hull, cell_limits(afloat)
    return {
        "kind": state.kind, "label": row("reference_cells", state.kind)["label"], "in_water": cell is not None,
        "x_m": cell.x_m if cell else round(hull.length_m / 2, 2), "y_m": side_m(afloat),
        "depth_m": cell.depth_m if cell else 0.0, "limits": {key: list(value) for key, value in limits.items()},
    }  # fmt: skip


def bench_view(afloat: Afloat, state: State, ordinal: int) -> dict[str, Any]:
    """Return the instruments and what they show; ``ordinal`` is that of the reading that would be written down now."""
    clamp = show_clamp(afloat, state, ordinal)
    return {
        "meter": _meter(afloat, state, ordinal),
        "meters": [{"id": kind, "label": f"{kind} multimeter"} for kind in METERS],
        "leads": leads_of(state),
        "probe": {"in_bilge": state.dipped is not None},
        "cell": _cell(afloat, state),
        "cells": [{"id": name, "label": row("reference_cells", name)["label"]} for name in cells_of(afloat)],
        "clamp": {"around": list(state.clamp.around), "arrow": state.clamp.arrow,
                  "lies": arrow_words(state.clamp.around, clamp_names(afloat), state.clamp.arrow), "zeroed_minute": state.clamp.zeroed,
                  "display": clamp.text, "unit": clamp.unit},
        "clampable": clampable(afloat),
        "drag": drag_map(afloat, state),
    }  # fmt: skip
