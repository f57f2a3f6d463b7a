"""Answers and logbooks that were forged, torn, blown up or are no such thing: exactly what each of them earns."""

from __future__ import annotations

import json
import os
import random
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from instructor.command import main
from instructor.rehearsal.scripted import MODULE

Desk = Yard = Any  # of conftest.py, which cannot be imported
Marks = dict[str, tuple[float, tuple[str | None, ...]]]
HOSTILE = "mallory"
ANSWERS, LOGBOOK = "answers.jsonl", "logbook.jsonl"
FIRST, NUMBER = "03.1", "hull_potential"  # an exercise at the bench, and a number it asks for
QUIET = (0, 0, 0)


def others(marks: Marks, *besides: str) -> Marks:
    return {exercise: mark for exercise, mark in marks.items() if exercise not in besides}


def answered(desk: Desk, change: Callable[[dict[str, Any]], None], exercise: str = FIRST) -> None:
    """Change the answer to an exercise."""
    rows = desk.rows(ANSWERS)
    for row in rows:
        if row["exercise"] == exercise and "values" in row:
            change(row)
    desk.write(ANSWERS, rows)


NUMBERS = [
    "nan", "NaN", "inf", "-Infinity", "1e999", "-1e999", "1e-999", "9" * 5000, "0x10", "1_0", "--5", "5-", "1e", "",
    " ", "\u0660\u0661", "\uff11\uff12\uff13", "\u221e", "\u202e123", "1\u00002", "\ud800", "\U0001f6a4" * 200, "'; drop table grade; --",
    "__import__('os').system('true')", "{0.__class__}", "%s%n", "${jndi:x}", "=1+1", "<script>alert(1)</script>",
]  # fmt: skip


@pytest.mark.parametrize("text", NUMBERS, ids=lambda text: ascii(text)[:24])
def test_a_number_that_is_none_earns_nothing_and_moves_nothing(desk: Desk, sound: Marks, text: str) -> None:
    answered(desk, lambda row: row["values"].update({NUMBER: text}))
    went = desk.judge()
    assert others(went.marks, FIRST) == others(sound, FIRST)
    assert went.marks[FIRST][0] < sound[FIRST][0]
    assert went.marks[FIRST][1][0] is not None
    assert went.marks[FIRST][1][1:] == sound[FIRST][1][1:]


VALUES: list[Any] = [
    None, True, 5, -885.0, 10**400, [], {}, [[[]]], {"hull_potential": {"hull_potential": "-900"}}, "text", [1, 2],
]  # fmt: skip


ODD = [
    (where, value)
    for where in ("values", "a value")
    for value in VALUES
    if (where, value) != ("a value", "text")
]


@pytest.mark.parametrize(("where", "value"), ODD, ids=lambda value: str(value)[:24])
def test_an_answer_of_another_kind_is_no_answer(desk: Desk, sound: Marks, where: str, value: Any) -> None:
    def change(row: dict[str, Any]) -> None:
        if where == "values":
            row["values"] = value
        else:
            row["values"] = dict.fromkeys(row["values"], value)

    answered(desk, change)
    went = desk.judge()
    assert others(went.marks, FIRST) == others(sound, FIRST)
    assert went.marks[FIRST][0] < sound[FIRST][0]
    assert "blank" in went.marks[FIRST][1]


@pytest.mark.parametrize("key", ["exercise", "slip", "learner", "physics", "id", "at", "v", "hint", "right"])
def test_rows_of_odd_shape_beside_the_answers_move_nothing(desk: Desk, sound: Marks, key: str) -> None:
    rows = desk.rows(ANSWERS)
    odd = [{**rows[0], "exercise": "99.9", key: value} for value in (*VALUES, float("1e300"), "\ud800")]
    desk.write(ANSWERS, [*odd, *rows, *odd])
    went = desk.judge()
    assert went.marks == sound


def test_claims_beside_the_answers_are_not_believed(desk: Desk, sound: Marks) -> None:
    rows = [row for row in desk.rows(ANSWERS) if row["exercise"] != FIRST]
    claim = {
        "exercise": FIRST,
        "slip": desk.digest(HOSTILE, FIRST),
        "learner": HOSTILE,
        "right": True,
        "points": 1000,
    }
    desk.write(ANSWERS, [*rows, claim, {**claim, "mark": {"points": 10, "out_of": 10}}])
    went = desk.judge()
    assert others(went.marks, FIRST) == others(sound, FIRST)
    assert went.marks[FIRST][0] == 0.0
    assert set(went.marks[FIRST][1]) == {"blank"}


@pytest.mark.parametrize("as_own", [False, True])
def test_anothers_answers_earn_nothing(desk: Desk, sound: Marks, as_own: bool) -> None:
    text = (desk.work("ann") / ANSWERS).read_text(encoding="utf-8")
    rows = [json.loads(line) for line in text.splitlines()]
    for row in rows if as_own else []:  # signed by oneself, for one's own boats
        row |= {"learner": HOSTILE, "slip": desk.digest(HOSTILE, row["exercise"])}
    desk.write(ANSWERS, rows)
    if not as_own:
        (desk.work() / LOGBOOK).write_bytes((desk.work("ann") / LOGBOOK).read_bytes())
    went = desk.judge()
    if as_own:  # numbers of another boat, which the own logbook does not hold
        assert sum(points for points, _ in went.marks.values()) < sum(points for points, _ in sound.values())
    else:
        assert {points for points, _ in went.marks.values()} == {0.0}
        assert {name for _, mistakes in went.marks.values() for name in mistakes} == {"another_boat"}


def test_a_wrong_seed_is_another_boat(desk: Desk, sound: Marks) -> None:
    answered(desk, lambda row: row.update({"slip": "0" * 16}))
    went = desk.judge()
    assert others(went.marks, FIRST) == others(sound, FIRST)
    assert went.marks[FIRST] == (0.0, ("another_boat",) * len(sound[FIRST][1]))


def test_the_last_answer_counts_whatever_order_the_clock_tells(desk: Desk, sound: Marks) -> None:
    rows = desk.rows(ANSWERS)
    wrong = [
        {**row, "values": dict.fromkeys(row["values"], "1"), "at": "9999-12-31T23:59:59+00:00"}
        for row in rows
    ]
    desk.write(ANSWERS, [*wrong, *rows])
    assert desk.judge().marks == sound


@pytest.mark.parametrize(
    "at", ["1601-01-01T00:00:00+00:00", "9999-12-31T23:59:59+14:00", "yesterday", None, 5, [], "2031-02-30"]
)
def test_a_clock_in_the_wrong_year_moves_no_mark(desk: Desk, sound: Marks, at: Any) -> None:
    for name in (ANSWERS, LOGBOOK):
        desk.write(name, [{**row, "at": at} for row in desk.rows(name)])
    assert desk.judge().marks == sound


def readings_of(desk: Desk) -> tuple[list[dict[str, Any]], list[int]]:
    rows, digest = desk.rows(LOGBOOK), desk.digest(HOSTILE, FIRST)
    return rows, [n for n, row in enumerate(rows) if row.get("slip") == digest and row["kind"] == "reading"]


def forged(desk: Desk) -> None:
    rows, readings = readings_of(desk)
    for n in readings:
        rows[n]["display"] = f"{float(rows[n]['display']) - 0.060:.3f}"
    desk.write(LOGBOOK, rows)
    answered(desk, lambda row: row["values"].update({NUMBER: f"{float(row['values'][NUMBER]) - 60:.0f}"}))


def without_a_row(desk: Desk) -> None:
    rows, readings = readings_of(desk)
    del rows[readings[0] - 2]
    desk.write(LOGBOOK, rows)


def reordered(desk: Desk) -> None:
    rows, readings = readings_of(desk)
    start = readings[0] - 4
    rows[start], rows[start + 1] = rows[start + 1], rows[start]
    desk.write(LOGBOOK, rows)


def renumbered(desk: Desk) -> None:
    rows, readings = readings_of(desk)
    for row in rows[: readings[-1] + 1]:
        row["n"] = row["n"] + 1
    desk.write(LOGBOOK, rows)


def hurried(desk: Desk) -> None:
    rows, readings = readings_of(desk)
    for row in rows[: readings[-1] + 1]:
        row["minute"] = 10**9
    desk.write(LOGBOOK, rows)


def anothers(desk: Desk) -> None:
    digest = desk.digest(HOSTILE, FIRST)
    text = (desk.work("ann") / LOGBOOK).read_text(encoding="utf-8")
    theirs = [json.loads(line) for line in text.splitlines()]
    theirs = [{**row, "slip": digest} for row in theirs if row["slip"] == desk.digest("ann", FIRST)]
    desk.write(LOGBOOK, [*theirs, *(row for row in desk.rows(LOGBOOK) if row["slip"] != digest)])


def without_logbook(desk: Desk) -> None:
    rows, digest = desk.rows(LOGBOOK), desk.digest(HOSTILE, FIRST)
    desk.write(LOGBOOK, [row for row in rows if row["slip"] != digest])


@pytest.mark.parametrize(
    "harm", [forged, without_a_row, reordered, renumbered, hurried, anothers, without_logbook]
)
def test_a_logbook_that_was_not_lived_costs_the_reading(
    desk: Desk, sound: Marks, harm: Callable[[Desk], None]
) -> None:
    harm(desk)
    went = desk.judge()
    assert others(went.marks, FIRST) == others(sound, FIRST)
    assert went.marks[FIRST][0] < sound[FIRST][0]
    assert went.marks[FIRST][1][0] in {"does_not_replay", "not_recorded"}


LINES = [
    b"[" * 50_000, b'{"a":' * 5000, b"\xff\xfe\x00\x01", b"null", b"5", b'"x"', b"[]", b"\x00" * 5000, b"{", b'{"v": NaN}',
    b'{"v": 1e999, "n": -1e999, "exercise": Infinity}', b'{"n": ' + b"9" * 6000 + b"}", b'{"slip": "\\ud800"}', b"\r", b"\x1b[2J",
]  # fmt: skip


@pytest.mark.parametrize("line", LINES, ids=lambda line: repr(line[:20]))
def test_lines_that_are_no_rows_are_set_aside(desk: Desk, sound: Marks, line: bytes) -> None:
    for name in (ANSWERS, LOGBOOK):
        path = desk.work() / name
        path.write_bytes(line + b"\n" + path.read_bytes() + line + b"\n")
    went = desk.judge()
    assert went.marks == sound


def test_a_file_cut_short_loses_its_last_row_only(desk: Desk, sound: Marks) -> None:
    path = desk.work() / ANSWERS
    content = path.read_bytes().rstrip(b"\n")
    path.write_bytes(content[:-20])
    went = desk.judge()
    cut = json.loads(content.splitlines()[-1])["exercise"]
    assert others(went.marks, cut) == others(sound, cut)
    assert went.marks[cut] == (0.0, ("blank",) * len(sound[cut][1]))
    assert "answers.jsonl has 1 torn line, which was set aside; the other rows count." in went.notices


def empty_rows(count: int) -> bytes:
    return b"{}\n" * count


@pytest.mark.parametrize("count", [20_000, pytest.param(1_000_000, marks=pytest.mark.long)])
def test_a_flood_of_rows_moves_nothing(yard: Yard, sound: Marks, count: int) -> None:
    for name in (ANSWERS, LOGBOOK):
        path = yard.work() / name
        path.write_bytes(empty_rows(count) + path.read_bytes() + empty_rows(count))
    went = yard.go()
    assert (went.codes, went.problems, went.marks) == (QUIET, (), sound)


@pytest.mark.parametrize("count", [6_000, pytest.param(60_000, marks=pytest.mark.long)])
def test_a_flood_of_acts_on_the_own_boat_is_read_to_a_bound(desk: Desk, sound: Marks, count: int) -> None:
    rows = desk.rows(LOGBOOK)
    digest = desk.digest(HOSTILE, FIRST)
    own = [row for row in rows if row["slip"] == digest]
    more = [
        {**own[0], "n": len(own) + 1 + n, "id": f"again {n}", "minute": own[-1]["minute"]}
        for n in range(count)
    ]
    desk.write(LOGBOOK, [*rows, *more])
    went = desk.judge()
    assert went.marks == sound
    assert any(
        re.match(r"\d+ more rows of the logbook have problems like these", notice) for notice in went.notices
    )
    assert len(went.notices) <= 4 * len(sound)


@pytest.mark.parametrize("name", [ANSWERS, LOGBOOK, f"{MODULE}.ipynb"])
def test_half_a_gigabyte_is_left_where_it_is(yard: Yard, sound: Marks, name: str) -> None:
    os.truncate(yard.work() / name, 500_000_000)  # sparse: it takes no room on this disk
    went = yard.go(report=False)
    assert went.codes == (1, 0)
    (said,) = went.problems
    assert said.startswith("Not taken in, left where it is: ")
    assert re.search(r"holds 500000000 bytes, and at most \d+ are taken in\.$", said)
    assert went.marks == sound


def test_half_a_gigabyte_put_straight_into_the_class_is_read_to_a_bound(yard: Yard, sound: Marks) -> None:
    path = yard.folder.submitted(HOSTILE, MODULE) / ANSWERS
    os.truncate(path, 500_000_000)
    assert yard.command("mark") == (0, ())
    assert yard.marks() == sound
    os.truncate(path, 0)


def test_the_same_bytes_give_the_same_marks_whatever_they_are(desk: Desk, sound: Marks) -> None:
    """Noise put into the files by a seeded lot, six times: nothing raises, and no mark leaves its bounds."""
    lot = random.Random(20310504)
    kept = {name: (desk.work() / name).read_bytes() for name in (ANSWERS, LOGBOOK)}
    for _ in range(6):
        for name, content in kept.items():
            spoilt = bytearray(content)
            for _ in range(lot.randrange(1, 20)):
                place = lot.randrange(len(spoilt))
                spoilt[place : place + lot.randrange(3)] = bytes(
                    lot.randrange(256) for _ in range(lot.randrange(3))
                )
            (desk.work() / name).write_bytes(bytes(spoilt))
        marks = desk.judge().marks
        assert all(0.0 <= points <= sound[exercise][0] for exercise, (points, _) in marks.items())
        assert desk.judge().marks == marks
    for name, content in kept.items():
        (desk.work() / name).write_bytes(content)
    assert desk.judge().marks == sound


def test_injection_is_shown_as_text(yard: Yard) -> None:
    script, formula = "<script>alert(1)</script><img src=x onerror=alert(1)>", '=HYPERLINK("http://x",1)'
    for text in (script, formula):
        answered(yard, lambda row, text=text: row["values"].update(dict.fromkeys(row["values"], text)))
        rows = yard.rows(LOGBOOK)
        yard.write(LOGBOOK, [{**row, "display": text, "unit": text, "action": row["action"]} for row in rows])
        assert yard.go().codes == QUIET
        place = yard.place / "class" / "exports"
        assert main(["class", "export", "--folder", str(place.parent), "--to", str(place)]) == 0
        assert len([*place.glob("*.csv")]) == 3
        for page in (*yard.folder.root.glob("feedback/**/*.html"), *yard.folder.root.glob("reports/*.html")):
            shown = page.read_text(encoding="utf-8")
            assert "<script" not in shown
            assert "<img" not in shown
        for table in (*yard.folder.root.glob("reports/*.csv"), *place.glob("*.csv")):
            assert_no_formula(table)


def assert_no_formula(path: Path) -> None:
    import csv

    with path.open(encoding="utf-8-sig", newline="") as stream:
        for row in csv.reader(stream):
            for cell in row:
                number = re.fullmatch(r"-?[\d.]+(e-?\d+)?", cell)
                assert number or not cell.startswith(("=", "+", "-", "@", "\t", "\r")), (path.name, cell)
