"""The logbook as a table for other programs: comma-separated values in which no cell can act as a formula."""

from __future__ import annotations

import csv
import re
from pathlib import Path
from typing import Any

from course.instruments.arguments import SlipError
from course.instruments.rows import Row
from course.instruments.words import act_text

COLUMNS = (
    "row", "minute", "at", "kind", "instrument", "dial", "display", "unit", "cell lead", "test lead", "long lead", "bilge probe",
    "cell x m", "cell depth m", "open breakers", "battery on", "shore plugged", "about row", "text",
)  # fmt: skip
_NUMBER = re.compile(r"[+-]?\d+(\.\d+)?")


def safe_cell(value: Any) -> str:
    """Return a value as the text of a cell; what a spreadsheet might run as a formula gets a leading apostrophe.

    A plain number with its sign stays one.
    """
    text = "" if value is None else str(value)
    if text[:1] in "=+-@\t\r\n" and text and not _NUMBER.fullmatch(text):
        return "'" + text
    return text


def _lead(row: Row, name: str) -> str:
    leads = row.get("leads")
    lead = leads.get(name) if isinstance(leads, dict) else None
    if not isinstance(lead, dict):
        return ""
    return (
        f"{lead.get('jack') or 'out'}: {lead['point']}"
        if lead.get("point")
        else str(lead.get("jack") or "out")
    )


def _cells(row: Row, named: dict[str, str]) -> list[Any]:
    settings = row["settings"] if isinstance(row.get("settings"), dict) else {}
    cell = row["cell"] if isinstance(row.get("cell"), dict) else {}
    opened = row.get("open_breakers")
    return [
        row.get("n"), row.get("minute"), row.get("at"), row.get("kind"), row.get("instrument"), settings.get("dial"),
        row.get("display"), row.get("unit"),
        *(_lead(row, name) for name in ("cell lead", "test lead", "long lead", "bilge probe")),
        cell.get("x_m"), cell.get("depth_m"), "; ".join(map(str, opened)) if isinstance(opened, list) else "",
        row.get("battery_on"), row.get("shore_plugged"), row.get("about"), act_text(row, named),
    ]  # fmt: skip


def write_csv(path: Path, rows: list[Row], named: dict[str, str]) -> Path:
    """Write rows as a table, one row each, with a heading; ``named`` gives things their plain names. Returns the path.

    Raises SlipError when the file cannot be written.
    """
    try:
        with path.open("w", encoding="utf-8-sig", newline="") as stream:
            table = csv.writer(stream)
            table.writerow(COLUMNS)
            table.writerows([safe_cell(cell) for cell in _cells(row, named)] for row in rows)
    except OSError as error:
        raise SlipError(f"The table {path} cannot be written ({error.strerror}).") from error
    return path
