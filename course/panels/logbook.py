"""The logbook as a table, in HTML and as CSV. Rows are shown as they were written, never changed."""

from __future__ import annotations

import base64
import csv
import html
import io
import re
from collections.abc import Mapping, Sequence
from typing import Any

COLUMNS = ("row", "minute", "what", "text", "display")
FORMULA_STARTS = ("=", "+", "@", "\t", "\r")


def _cells(row: Mapping[str, Any]) -> tuple[str, str, str, str, str]:
    return (
        str(row["ordinal"]),
        str(row["minute"]),
        str(row["kind"]),
        _signs(str(row["text"])),
        _signs(str(row["display"] or "")),
    )


def _signs(text: str) -> str:
    """Return a text with units as they stand on the meter."""
    return re.sub(r"\b(k?)ohm\b", r"\1Ω", text).replace("degC", "°C")


def _row_html(row: Mapping[str, Any]) -> str:
    ordinal, minute, kind, text, display = (html.escape(cell) for cell in _cells(row))
    return (
        f'<tr class="ws-{kind}"><td class="ws-number">{ordinal}</td><td class="ws-number">{minute}</td>'
        f'<td>{kind}</td><td>{text}</td><td class="ws-number">{display}</td></tr>'
    )


def logbook_csv(rows: Sequence[Mapping[str, Any]]) -> str:
    """Return the logbook as comma-separated text with a heading row.

    A text that a spreadsheet would take for a formula gets an apostrophe before it.
    """
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(COLUMNS)
    for row in rows:
        ordinal, minute, kind, text, display = _cells(row)
        writer.writerow(
            [ordinal, minute, kind, "'" + text if text.startswith((*FORMULA_STARTS, "-")) else text, display]
        )
    return out.getvalue()


def logbook_html(rows: Sequence[Mapping[str, Any]]) -> str:
    """Return the logbook as HTML, newest row first, every text escaped, with a link that saves it as CSV."""
    if not rows:
        empty = "The logbook is empty. What you do and read is written here."
        return f'<div class="wetslip ws-log"><p>{empty}</p></div>'
    body = "".join(_row_html(row) for row in reversed(rows))
    # the byte-order mark tells spreadsheets that the text is utf-8
    data = base64.b64encode(("\ufeff" + logbook_csv(rows)).encode("utf-8")).decode("ascii")
    return (
        '<div class="wetslip ws-log"><div class="ws-scroll" tabindex="0" role="group" aria-label="logbook">'
        "<table><caption>Logbook, newest row first</caption>"
        '<thead><tr><th scope="col" class="ws-number">row</th><th scope="col" class="ws-number">minute</th>'
        '<th scope="col">what</th><th scope="col">text</th>'
        '<th scope="col" class="ws-number">display</th></tr></thead>'
        f"<tbody>{body}</tbody></table></div>"
        f'<p><a download="logbook.csv" href="data:text/csv;charset=utf-8;base64,{data}">'
        "Save the logbook as a table (CSV)</a></p></div>"
    )
