"""The class report: first answers only, n always said, what to teach again, whom to help, what to mend."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from graders.exercises import MODULES, objectives_of
from graders.marks import Mark, PartMark
from instructor.handout.released import read_plans, read_released
from instructor.handout.terms import Late
from instructor.layout import ClassFolder, open_class
from instructor.marking.marks import read_marks
from instructor.marking.results import Result, Scored
from instructor.people.roster import Learner
from instructor.rehearsal.scripted import CLASS, MODULE
from instructor.report.alike import alike
from instructor.report.class_report import class_report, unnamed
from instructor.report.data import Pupil, first_share, read_pupil
from instructor.report.unnamed import pattern

Run = Callable[..., tuple[int, str, str]]
EXERCISES = tuple(exercise for exercise in MODULES[MODULE] if exercise.id in ("03.1", "03.2", "03.3"))
OBJECTIVES = objectives_of(MODULE)


def part(share: float, mistake: str | None = None, given: str = "1") -> PartMark:
    return PartMark("hull_potential", "Hull potential", 10 * share, 10.0, given, mistake, "Because.")


def pupil(number: int, shares: tuple[float, ...], mistake: str | None = None, **more: object) -> Pupil:
    """An invented learner who earned these shares of 03.1, 03.2, 03.3 at first."""
    marks = [
        Mark(exercise.id, exercise.title, 10 * share, 10.0, (part(share, mistake if share < 1 else None),))
        for exercise, share in zip(EXERCISES, shares, strict=True)
    ]
    result = Result(
        Learner(f"l{number:02d}", f"Invented {number}"), tuple(Scored(m, m.points, False) for m in marks)
    )
    return Pupil(result, **more)  # type: ignore[arg-type]


def test_thirty_learners_get_a_verdict_and_the_weakest_objective_comes_first() -> None:
    able = [pupil(n, (1.0, 1.0, 1.0)) for n in range(12)]
    middling = [pupil(20 + n, (1.0, 0.5, 0.0), "sign") for n in range(12)]
    weak = [pupil(40 + n, (0.5, 0.0, 0.0), "sign") for n in range(6)]
    report = class_report([*able, *middling, *weak], EXERCISES, OBJECTIVES)
    assert report.n == 30
    assert [item.name for item in report.items] == ["03.1", "03.2", "03.3"]
    assert [round(item.difficulty, 3) for item in report.items] == [0.9, 0.6, 0.4]
    assert all(item.verdict == "tells learners apart very well" for item in report.items)
    assert report.alpha is not None
    assert "over 0.75 is satisfactory" in report.consistency
    (lesson,) = report.again
    assert [(goal.id, goal.right) for goal in lesson.goals] == [("03.baseline", 0.4), ("03.judge", 0.4)]
    assert lesson.chief is not None
    assert (lesson.chief.mistake, len(lesson.chief.made), lesson.chief.but_for) == ("sign", 18, 1.0)
    assert lesson.whom == "the whole class"
    assert {needs.pupil.id for needs in report.needs} == {f"l{n}" for n in range(40, 46)}
    assert report.to_repair == ()


def test_one_fewer_gets_none() -> None:
    report = class_report([pupil(n, (n % 2, 1.0, 0.0), "sign") for n in range(29)], EXERCISES, OBJECTIVES)
    assert {item.verdict for item in report.items} == {""}
    assert report.to_repair == ()
    assert "no verdict is spoken" in report.consistency or "cannot be told" in report.consistency


def of_group(one: Pupil, group: str) -> Pupil:
    learner = replace(one.result.learner, group=group)
    return replace(one, result=replace(one.result, learner=learner))


def test_a_group_that_has_not_understood_is_named_and_those_who_made_the_mistake_are_too() -> None:
    sound = [of_group(pupil(n, (1.0, 1.0, 1.0)), "A") for n in range(8)]
    weak = [of_group(pupil(20 + n, (0.5, 1.0, 1.0), "sign"), "B") for n in range(6)]
    (lesson,) = class_report([*sound, *weak], EXERCISES, OBJECTIVES).again
    (goal,) = lesson.goals
    assert (goal.id, lesson.whom) == ("03.measure", "group B")
    assert [(part.group, part.n, part.right) for part in goal.groups] == [("A", 8, 1.0), ("B", 6, 0.0)]
    assert {one.id for one in goal.whose} == {f"l{20 + n}" for n in range(6)}
    assert [(seen.exercise, seen.mistake, seen.count) for seen in lesson.seen] == [("03.1", "sign", 6)]


def test_mistakes_of_many_kinds_have_no_chief_and_too_few_of_a_group_say_nothing() -> None:
    mixed = [of_group(pupil(n, (0.5, 1.0, 1.0), f"mistake {n}"), "A" if n else "B") for n in range(10)]
    (lesson,) = class_report(mixed, EXERCISES, OBJECTIVES).again
    assert (lesson.chief, lesson.whom) == (None, "the whole class")


def test_late_work_is_judged_as_work_and_a_damaged_file_is_asked_for() -> None:
    late = replace(pupil(1, (1.0, 1.0, 1.0)).result, late=Late(datetime(2031, 5, 9, tzinfo=UTC), 6.5, 100.0))
    torn = pupil(2, (1.0, 1.0, 1.0))
    marks = [replace(one.mark, notices=("answers.jsonl has 1 torn line.",)) for one in torn.result.exercises]
    scored = tuple(Scored(mark, mark.points, False) for mark in marks)
    torn = replace(torn, result=replace(torn.result, exercises=scored))
    report = class_report([Pupil(late), torn], EXERCISES, OBJECTIVES)
    assert [needs.why for needs in report.needs] == [
        "handed in too late for any points",
        "answers.jsonl has 1 torn line: ask for the file again",
    ]


def test_who_handed_in_nothing_moves_no_figure_and_is_listed_for_help() -> None:
    some = [pupil(n, (1.0, 0.5, 0.0), "sign") for n in range(5)]
    nothing = pupil(9, (0.0, 0.0, 0.0), "blank")
    report = class_report([*some, nothing], EXERCISES, OBJECTIVES)
    assert report.n == 5
    assert [item.difficulty for item in report.items] == [1.0, 0.5, 0.0]
    assert [(needs.pupil.id, needs.why) for needs in report.needs] == [
        ("l09", "no answer for their own boats")
    ]


def test_only_the_first_answer_counts_for_statistics() -> None:
    mark = Mark("03.1", "T", 10.0, 10.0, (part(1.0),), tries=2, first=(part(0.2, "unit"),))
    assert first_share(mark) == 0.2
    assert first_share(replace(mark, first=())) == 1.0


def test_a_wrong_answer_without_a_name_is_listed_when_seen_ten_times() -> None:
    nine = [pupil(n, (0.0, 1.0, 1.0), "unnamed") for n in range(9)]
    assert unnamed(nine) == ()
    (row,) = unnamed([*nine, pupil(9, (0.0, 1.0, 1.0), "unnamed")])
    assert (row.exercise, row.title, row.count, row.answers) == ("03.1", "Hull potential", 10, (("1", 10),))


def test_who_takes_twice_as_long_is_listed() -> None:
    usual = [pupil(n, (1.0, 1.0, 1.0), minutes={"03.1": 10.0}) for n in range(5)]
    slow = pupil(9, (1.0, 1.0, 1.0), minutes={"03.1": 21.0})
    report = class_report([*usual, slow], EXERCISES, OBJECTIVES)
    assert [needs.why for needs in report.needs] == ["21 minutes, the class's median being 10"]


def acts(start: int, count: int = 20) -> dict[str, tuple[str, ...]]:
    return {"03.1": tuple(f"hang_cell(x_m={start + number})" for number in range(count))}


def test_logbooks_that_look_alike_are_found_and_the_taught_procedure_is_not() -> None:
    taught = [pupil(n, (1.0, 1.0, 1.0), acts=acts(0)) for n in range(10)]
    assert alike(taught) == ()
    own = [pupil(n, (1.0, 1.0, 1.0), acts=acts(1000 * n)) for n in range(10)]
    assert alike(own) == ()
    (pair,) = alike([*own, pupil(20, (1.0, 1.0, 1.0), acts=acts(3000))])
    assert (pair.one, pair.other, pair.share) == ("l03", "l20", 1.0)


def test_the_same_rows_are_copied_rows() -> None:
    one, other = (pupil(n, (1.0, 1.0, 1.0), ids=frozenset({"a", "b", str(n)})) for n in (1, 2))
    (pair,) = alike([one, other])
    assert (pair.what, round(pair.share, 2)) == ("2 rows are the very same", 0.67)


def test_the_example_classes_copyist_is_named(example_folder: Path) -> None:
    text = open_class(example_folder / "class").report(MODULE, "html").read_text(encoding="utf-8")
    plain = re.sub(r"<[^>]+>", "", text)
    assert "Rowan Pell rpell and Odo Farrell-Lund ofarrell-lund: " in plain
    assert "rows are the very same (100&nbsp;%)" in text


def test_time_counts_breaks_short_and_no_clock_that_runs_backwards(worked: ClassFolder) -> None:
    released = read_released(worked, MODULE)
    digest = released.slips["jvask"]["03.1"]
    times = ["2031-05-04T09:00:00+00:00", "2031-05-04T09:05:00+00:00", "2031-05-05T09:00:00+00:00", "1970-01-01T00:00:00",
             "not a time", None, 5]  # fmt: skip
    rows = [{"slip": digest, "at": at, "minute": minute, "action": "wait", "args": [], "kind": "action"}
            for at, minute in zip(times, [1, 2, 10**9, -5, True, "3", None], strict=True)]  # fmt: skip
    path = worked.submitted("jvask", MODULE) / "logbook.jsonl"
    path.write_text("".join(json.dumps(row) + "\n" for row in rows), encoding="utf-8")
    marks = read_marks(worked, MODULE, "jvask")
    assert marks is not None
    result = Result(Learner("jvask", "J"), tuple(Scored(mark, mark.points, False) for mark in marks))
    found = read_pupil(worked, released, result)
    assert found.minutes["03.1"] == pytest.approx(
        10 + 5 + 10
    )  # the year 1970 is a break, and so is the night
    assert found.on_slip["03.1"] == 2


def test_the_page_says_what_to_do_before_the_next_lesson(example_folder: Path) -> None:
    folder = open_class(example_folder / "class")
    text = " ".join(folder.report(MODULE, "html").read_text(encoding="utf-8").split())
    assert "<h2>For the next lesson</h2>" in text
    for heading in (
        "Teach again",
        "Learners in need of help",
        "Exercises in need of repair",
        "Logbooks that look alike",
    ):
        assert f"<h3>{heading}</h3>" in text
    assert "7 of 7 learners marked (n = 7); 5 answered for their own boats" in text
    assert text.count("<svg") == 2
    assert "<script" not in text
    assert "none below n = 30" in text


def test_the_items_csv_says_n_in_every_row(example_folder: Path) -> None:
    folder = open_class(example_folder / "class")
    content = (folder.root / "reports" / f"{MODULE}_items.csv").read_bytes().decode("utf-8-sig")
    header, *rows = csv.reader(io.StringIO(content, newline=""))
    assert header == ["exercise", "part", "n", "share right", "discrimination", "verdict", "mistakes"]
    assert [row[0] for row in rows[:3]] == ["03.1", "03.2", "03.3"]
    assert {row[2] for row in rows[:3]} == {"5"}
    assert all(int(row[2]) for row in rows)


def test_pages_written_by_two_processes_are_the_same(run: Run, worked: ClassFolder) -> None:
    from instructor.report.run import report_class

    pages = [worked.feedback(s.learner.id, MODULE) for s in CLASS] + [worked.report(MODULE, "html")]
    before = [page.read_bytes() for page in pages]
    outcome = report_class(worked, MODULE, jobs=2)
    assert (len(outcome.pages), outcome.problems) == (len(CLASS), ())
    assert [page.read_bytes() for page in pages] == before


def test_answers_without_a_name_are_held_against_what_is_right(worked: ClassFolder) -> None:
    released = read_released(worked, MODULE)
    exercise = next(one for one in MODULES[MODULE] if one.id == "03.4")
    field = exercise.fields[0]
    given = []
    for scripted in CLASS[:3]:
        task = exercise.task(read_plans(worked, released, scripted.learner.id)["03.4"])
        right = exercise.truth_of(field.name, task)
        assert isinstance(right, float | int)
        part = PartMark(field.name, field.label, 0.0, 2.0, f"{1.5 * right:.1f}", "unnamed", "Because.")
        mark = Mark("03.4", exercise.title, 0.0, 2.0, (part,))
        given.append(Pupil(Result(scripted.learner, (Scored(mark, 0.0, False),))))
    assert pattern(worked, released, exercise, field.name, given) == "3 of 3 are 1.5 times what is right"
    assert pattern(worked, released, exercise, "verdict", given) == ""
