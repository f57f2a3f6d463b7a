"""The slip as plain data for whoever draws it: geometry, state, displays, and the map a dragged cell follows.

Nothing hidden leaves here: no potential of any metal, no fault, no neighbour's wiring; only what a person at the boat can see,
and, for the drag, the reading's own dependence on the cell's place.
"""

from __future__ import annotations

from typing import Any

from course.boats.afloat import Afloat
from course.instruments.logbook import slip_name
from course.instruments.rows import Row
from course.instruments.state import State
from course.instruments.view_bench import bench_view
from course.instruments.view_boat import boat_view
from course.instruments.words import act_text, clock_text, labels


def _logbook(rows: list[Row], named: dict[str, str]) -> list[dict[str, Any]]:
    return [
        {"ordinal": r.get("n"), "minute": r.get("minute"), "kind": r.get("kind"), "text": act_text(r, named),
         "display": f"{r.get('display', '')} {r.get('unit', '')}".strip()}
        for r in rows
    ]  # fmt: skip


def view(afloat: Afloat, state: State, rows: list[Row], title: str, said: str) -> dict[str, Any]:
    """Return the whole slip as a JSON-safe dict for the scene; ``rows`` are this slip's own rows of the logbook."""
    plan = afloat.plan
    return {
        "slip": slip_name(afloat),
        "exercise": plan.exercise,
        "title": title,
        **boat_view(afloat, state),
        **bench_view(afloat, state, len(rows) + 1),
        "look": None,
        "clock": {"minute": state.minute, "text": clock_text(state.minute)},
        "logbook": _logbook(rows, labels(afloat)),
        "said": said,
    }
