"""The logbook: every act on a slip as a row of JSON lines, schema version 2 (``logbook.schema.json`` beside this file).

A row is an ``action``, a ``reading`` (an action that writes the display down) or a ``note`` about an earlier row. Every row
carries the slip it belongs to, its ordinal ``n`` within that slip, an ``id`` for the act, the wall clock ``at`` and the slip's
own ``minute``. Rows are never rewritten.
"""

from __future__ import annotations

import uuid
from collections.abc import Iterable
from datetime import UTC, datetime
from functools import lru_cache
from typing import Any

from course.boats.afloat import Afloat
from course.instruments.readings import leads_of, name_of, settings_of, show
from course.instruments.rows import Row
from course.instruments.state import State

VERSION = 2
FILE_NAME = "logbook.jsonl"


EARLIER = (
    "This logbook holds rows of version {found!r}; this course writes version {wanted}: what they say stays as it is, "
    "and its readings cannot be taken again."
)


def earlier_version(rows: Iterable[Row]) -> str:
    """Return one sentence when rows of another version are among a slip's rows, or nothing."""
    other = next((row.get("v") for row in rows if row.get("v") != VERSION), VERSION)
    return "" if other == VERSION else EARLIER.format(found=other, wanted=VERSION)


def rows_of_slip(rows: Iterable[Row], slip: str) -> list[Row]:
    """Return the rows that belong to one slip, in order."""
    return [row for row in rows if row.get("slip") == slip]


@lru_cache(maxsize=4)
def slip_name(afloat: Afloat) -> str:
    """Return the name of the slip whose rows an afloat boat's are: the digest of its plan, worked out once."""
    return afloat.plan.digest


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
    afloat: Afloat,
    before: State,
    following: State,
    ordinal: int,
    action: str,
    args: dict[str, Any],
    action_id: str | None,
) -> Row:
    """Return the row of an act done in the state ``before``; for ``record`` with the display and all it depends on.

    What the act brought about by itself, breakers that tripped and a fuse that blew, is said beside it.
    """
    slip = slip_name(afloat)
    if action == "record":
        head = _head("reading", slip, ordinal, before.minute, action_id)
        return {**head, "action": action, "args": args, **_reading(afloat, before, ordinal, args)}
    row = {**_head("action", slip, ordinal, before.minute, action_id), "action": action, "args": args}
    tripped = following.tripped - before.tripped
    if tripped or (action == "breaker" and args.get("circuit") in following.tripped):
        row["tripped"] = sorted(tripped) or [args["circuit"]]
    if following.fuse_blown and (not before.fuse_blown or action == "change_fuse"):
        row["fuse_blew"] = True
    return row


def _reading(afloat: Afloat, state: State, ordinal: int, args: dict[str, Any]) -> Row:
    instrument = str(args.get("instrument", "meter"))
    display = show(afloat, state, ordinal, instrument)
    cell, setting = state.cell, state.setting
    hung = {} if cell is None else {"x_m": cell.x_m, "depth_m": cell.depth_m}
    return {
        "instrument": name_of(state, instrument),
        "settings": settings_of(state, instrument),
        "leads": leads_of(state),
        "cell": {"kind": state.kind, "in_water": cell is not None, **hung},
        "probe_in_bilge": state.dipped is not None,
        "open_links": sorted(setting.open_links),
        "lifted_anodes": sorted(setting.lifted),
        "open_breakers": sorted(setting.open_breakers),
        "battery_on": setting.battery_on,
        "shore_plugged": setting.shore_plugged,
        "display": display.text,
        "unit": display.unit,
    }


def note_row(
    slip: str, ordinal: int, minute: int, text: str, about: int | None, action_id: str | None
) -> Row:
    """Return the row of an annotation to an earlier row."""
    return {**_head("note", slip, ordinal, minute, action_id), "text": text, "about": about}
