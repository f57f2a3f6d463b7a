"""The logbook's table and its CSV."""

from __future__ import annotations

import base64
import csv
import io
import re
from typing import Any

from course.panels.logbook import COLUMNS, logbook_csv, logbook_html


def test_newest_row_first_and_all_of_them(view: dict[str, Any]) -> None:
    shown = logbook_html(view["logbook"])
    assert re.findall(r'<tr class="[^"]*"><td class="ws-number">(\d+)</td>', shown) == [
        "6",
        "5",
        "4",
        "3",
        "2",
        "1",
    ]
    assert "-0.904 V" in shown


def test_texts_are_escaped(view: dict[str, Any]) -> None:
    view["logbook"][-1].update(text="<img src=x onerror=alert(1)>", display='"><b>')
    shown = logbook_html(view["logbook"])
    assert "<img" not in shown
    assert "<b>" not in shown


def test_an_empty_logbook_says_so() -> None:
    assert "empty" in logbook_html([])


def test_the_csv_reads_back_and_holds_no_formula(view: dict[str, Any]) -> None:
    view["logbook"][-1]["text"] = '=HYPERLINK("a"), żeglarz'
    rows = list(csv.reader(io.StringIO(logbook_csv(view["logbook"]))))
    assert tuple(rows[0]) == COLUMNS
    assert rows[-1] == ["6", "37", "note", '\'=HYPERLINK("a"), żeglarz', ""]
    assert rows[-2][-1] == "-0.904 V"


def test_the_link_saves_that_csv(view: dict[str, Any]) -> None:
    found = re.search(r'href="data:text/csv;charset=utf-8;base64,([^"]+)"', logbook_html(view["logbook"]))
    assert found is not None
    assert base64.b64decode(found.group(1)).decode("utf-8-sig") == logbook_csv(view["logbook"])
