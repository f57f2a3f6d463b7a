"""The logbook: every act on a slip as a row of JSON lines, schema version 1.

A row is an ``action``, a ``reading`` (an action that writes the display down) or a ``note`` about an earlier row. Every row
carries the slip it belongs to, its ordinal ``n`` within that slip, an ``id`` for the act, the wall clock ``at`` and the slip's
own ``minute``. Rows are never rewritten.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from datetime import UTC, datetime
from typing import Any

from course.boats.afloat import Afloat
from course.instruments.measure import show
from course.instruments.rows import Row
from course.instruments.state import State

VERSION = 1
FILE_NAME = "logbook.jsonl"


def rows_of_slip(rows: Iterable[Row], slip: str) -> list[Row]:
    """Return the rows that belong to one slip, in order."""
    return [row for row in rows if row.get("slip") == slip]


def _head(kind: str, slip: str, ordinal: int, minute: int, action_id: str | None) -> Row:
    return {
        "v": VERSION,
        "n": ordinal,
        "kind": kind,
        "id": action_id or uuid.uuid4().hex,
        "slip": slip,
        "at": datetime.now(UTC).isoformat(timespec="seconds"),
        "minute": minute,
    }


def action_row(
    afloat: Afloat, before: State, ordinal: int, action: str, args: dict[str, Any], action_id: str | None
) -> Row:
    """Return the row of an act done in the state ``before``; for ``record`` with the display and all it depends on."""
    slip = afloat.plan.digest
    if action != "record":
        return {**_head("action", slip, ordinal, before.minute, action_id), "action": action, "args": args}
    display = show(afloat, before, ordinal)
    cell = before.cell
    return {
        **_head("reading", slip, ordinal, before.minute, action_id),
        "action": action,
        "args": {},
        "instrument": "digital multimeter",
        "settings": {"dial": before.dial},
        "leads": {
            "cell lead": {"jack": before.cell_jack},
            "test lead": {"jack": before.test_jack, "point": before.point},
        },
        "cell": {"in_water": False}
        if cell is None
        else {"in_water": True, "x_m": cell.x_m, "depth_m": cell.depth_m},
        "open_links": sorted(before.setting.open_links),
        "lifted_anodes": sorted(before.setting.lifted),
        "open_breakers": sorted(before.open_breakers),
        "display": display.text,
        "unit": display.unit,
    }


def note_row(
    slip: str, ordinal: int, minute: int, text: str, about: int | None, action_id: str | None
) -> Row:
    """Return the row of an annotation to an earlier row."""
    return {**_head("note", slip, ordinal, minute, action_id), "text": text, "about": about}
