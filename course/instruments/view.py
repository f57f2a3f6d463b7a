"""The slip as plain data for whoever draws it: geometry, state, display, and the map a dragged cell follows.

Nothing hidden leaves here: no potential of any metal, only what a person at the boat can see, and, for the drag, the
reading's own dependence on the cell's place.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np

from course.boats.afloat import Afloat, conductor_label
from course.boats.datasets import row
from course.boats.description import COMMON_POINT, Anode, Place
from course.instruments import reference_cell
from course.instruments.measure import cell_row, gain, show, test_voltage
from course.instruments.meter import DIAL, JACKS
from course.instruments.rows import Row
from course.instruments.state import State, cell_limits, side_m
from course.instruments.words import act_text, clock_text, labels

MAP_STEP_X_M = 0.25
MAP_STEP_DEPTH_M = 0.1


def _place(place: Place) -> dict[str, float]:
    return {"x_m": place.x_m, "y_m": place.y_m, "height_m": place.height_m}


def _anode_part(part: Anode, state: State) -> dict[str, Any]:
    shapes = {"flush_plate": "plate_anode", "collar": "collar_anode", "hanging": "hanging_anode"}
    hoistable = part.mounting == "hanging"
    return {
        "id": part.id, "label": part.label, "metal": "alloy not marked", "family": "anode", "shape": shapes[part.mounting],
        **_place(part.place), "length_m": part.length_m, "inside": False, "anode": True, "remaining": part.remaining,
        "in_water": part.id not in state.setting.lifted, "hoistable": hoistable, "lowered": part.id not in state.setting.lifted,
    }  # fmt: skip


def _alloy(metal: str) -> dict[str, str]:
    found = row("metals", metal)
    return {"metal": found["label"], "family": found["family"]}


def _parts(afloat: Afloat, state: State) -> list[dict[str, Any]]:
    boat = afloat.plan.boat
    plain = {"anode": False, "remaining": 1.0, "hoistable": False, "lowered": True}
    outside = [
        {"id": m.id, "label": m.label, **_alloy(m.metal), "shape": m.shape, **_place(m.place), "length_m": m.length_m,
         "inside": False, "in_water": True, **plain}
        for m in boat.metals
    ]  # fmt: skip
    inside = [
        {"id": m.id, "label": m.label, "metal": "", "family": "iron" if m.shape == "engine" else "stainless", "shape": m.shape,
         **_place(m.place), "length_m": m.length_m, "inside": True, "in_water": False, **plain}
        for m in boat.inside
    ]  # fmt: skip
    return [*outside, *(_anode_part(a, state) for a in boat.anodes), *inside]


def _path(start: Place, end: Place) -> list[list[float]]:
    """A conductor runs level above the bilge from one end, then straight to the other."""
    level = max(start.height_m, -0.25)
    return [
        [start.x_m, start.y_m, start.height_m],
        [end.x_m, end.y_m, level],
        [end.x_m, end.y_m, end.height_m],
    ]


def _conductors(afloat: Afloat) -> list[dict[str, Any]]:
    boat = afloat.plan.boat
    return [
        {"id": c.id, "from": c.from_, "to": c.to, "path": _path(boat.place(c.from_), boat.place(c.to)),
         "label": conductor_label(c), "contact": c.contact_ohm is not None}
        for c in boat.conductors
    ]  # fmt: skip


def _links(afloat: Afloat, state: State) -> list[dict[str, Any]]:
    boat = afloat.plan.boat
    links = []
    for conductor in boat.conductors:
        if conductor.openable:
            end = boat.place(conductor.to)
            at = {"x_m": round(end.x_m + 0.35, 2), "y_m": end.y_m, "height_m": 0.1}
            links.append(
                {
                    "id": conductor.id,
                    "label": conductor.label,
                    "open": conductor.id in state.setting.open_links,
                    **at,
                }
            )
    return links


def _drag_map(afloat: Afloat, state: State) -> dict[str, Any]:
    """Return water potentials [mV] over the plane the cell hangs in, and what turns them into a display while it moves."""
    limits = cell_limits(afloat)
    (x0, x1), (d0, d1) = limits["x_m"], limits["depth_m"]
    columns, rows = math.ceil((x1 - x0) / MAP_STEP_X_M) + 1, math.ceil((d1 - d0) / MAP_STEP_DEPTH_M) + 1
    x, depth = np.linspace(x0, x1, columns), np.linspace(d0, d1, rows)
    grid_x, grid_depth = np.meshgrid(x, depth)
    points = np.column_stack([grid_x.ravel(), np.full(grid_x.size, side_m(afloat)), -grid_depth.ravel()])
    cell, scale = cell_row(afloat), gain(afloat)
    water = afloat.water_potential(state.moment, points)
    wet = state.minute - state.cell.wet_since if state.cell else 0
    shift = [reference_cell.offset(cell, wet, afloat.plan.berth.depth_m - d) for d in grid_depth.ravel()]
    test = test_voltage(afloat, state)
    swapped = (state.cell_jack, state.test_jack) == ("V", "COM")
    live = test is not None and (swapped or (state.test_jack, state.cell_jack) == ("V", "COM"))
    dial = DIAL[state.dial]
    base = (test or 0.0) - reference_cell.settled_potential(cell, afloat.water)
    return {
        "x_m": [x0, x1], "depth_m": [d0, d1], "columns": columns, "rows": rows,
        "water_mV": [round(1000 * scale * float(v), 2) for v in water + np.array(shift)],
        "base_mV": round(1000 * scale * base, 2), "sign": -1 if swapped else 1,
        "live": bool(live and dial is not None and dial.unit != "mA"),
    }  # fmt: skip


def _logbook(rows: list[Row], named: dict[str, str]) -> list[dict[str, Any]]:
    return [
        {"ordinal": r.get("n"), "minute": r.get("minute"), "kind": r.get("kind"), "text": act_text(r, named),
         "display": f"{r.get('display', '')} {r.get('unit', '')}".strip()}
        for r in rows
    ]  # fmt: skip


def view(afloat: Afloat, state: State, rows: list[Row], title: str, said: str) -> dict[str, Any]:
    """Return the whole slip as a JSON-safe dict for the scene; ``rows`` are this slip's own rows of the logbook."""
    plan, named = afloat.plan, labels(afloat)
    boat, berth, hull = plan.boat, plan.berth, plan.boat.hull
    display = show(afloat, state, len(rows) + 1)
    limits = cell_limits(afloat)
    cell = state.cell
    return {
        "slip": plan.digest, "exercise": plan.exercise, "title": title,
        "boat": {"name": boat.name, "kind": boat.kind, "length_m": hull.length_m, "beam_m": hull.beam_m, "draft_m": hull.draft_m,
                 "profile": [list(p) for p in hull.profile], "deckhouse": [list(p) for p in hull.deckhouse],
                 "cabin_sole_height_m": hull.cabin_sole_height_m, "history": boat.history},
        "berth": {"marina": berth.marina, "name": berth.name, "depth_m": berth.depth_m, "water": berth.water,
                  "water_temperature_degC": berth.temperature_degC, "salinity": berth.salinity},
        "record_card": dict(plan.record_card),
        "parts": _parts(afloat, state),
        "common_bonding_point": _place(boat.place(COMMON_POINT)),
        "conductors": _conductors(afloat),
        "links": _links(afloat, state),
        "points": [{"id": p.id, "label": p.label, **_place(boat.place(p.at))} for p in boat.clip_points],
        "breakers": [{"id": c.id, "label": c.label, "closed": c.id not in state.open_breakers, "note": c.note} for c in boat.circuits],
        "meter": {"dial": state.dial, "dials": list(DIAL), "jacks": list(JACKS), "display": display.text, "unit": display.unit},
        "leads": {"cell lead": {"jack": state.cell_jack}, "test lead": {"jack": state.test_jack, "point": state.point}},
        "cell": {"in_water": cell is not None, "x_m": cell.x_m if cell else round(hull.length_m / 2, 2), "y_m": side_m(afloat),
                 "depth_m": cell.depth_m if cell else 0.0, "limits": {key: list(value) for key, value in limits.items()}},
        "drag": _drag_map(afloat, state),
        "clock": {"minute": state.minute, "text": clock_text(state.minute)},
        "hoists": [{"id": a.id, "label": a.label, "lowered": a.id not in state.setting.lifted}
                   for a in boat.anodes if a.mounting == "hanging"],
        "logbook": _logbook(rows, named),
        "said": said,
    }  # fmt: skip
