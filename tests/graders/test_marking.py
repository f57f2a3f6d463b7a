"""Marking is a pure function of data, whatever the data hold."""

from __future__ import annotations

import json
import math

import pytest

from course.instruments.rows import read_rows
from graders.answers import Unanswerable, answers_in, last_result, last_values, record_result
from graders.exercises import EXERCISES, MODULES, UnknownExercise, exercise_named, module_named
from graders.marking import FOREIGN, NO_ANSWER, OTHER_VERSION, mark
from graders.personal import plan_for
from graders.submission import mark_folder

MODULE = "03_reference_cell"
LIKE_THE_FIRST_HUNT = ("07.6", "07.7")  # the same parts; to draw one takes seconds


@pytest.fixture
def done(bench):
    desk = bench("03.1")
    desk.set_up()
    for x in (0.8, 10.4):
        desk.read(x=x)
    desk.answer(
        hull_potential=desk.read(x=5.6), water_temperature=desk.plan.berth.temperature_degC, water_kind="sea"
    )
    return desk


@pytest.fixture
def plans():
    return {e.id: plan_for(e, "ana", "CR26") for e in MODULES[MODULE]}


def test_points_of_an_exercise_are_the_sum_of_its_parts(done):
    for exercise in EXERCISES.values():
        if exercise.id in LIKE_THE_FIRST_HUNT:
            continue
        marked = mark(exercise, plan_for(exercise, "ana", "CR26"), [], [])
        assert marked.out_of == exercise.points == sum(part.out_of for part in marked.parts)
        assert marked.points == 0
        assert marked.notices == (NO_ANSWER,)


def test_marking_twice_is_the_same_mark(done):
    assert done.mark() == done.mark()


def test_another_learners_work_counts_nothing(done, bench):
    copier = bench("03.1", learner="ben")
    marked = copier.mark()
    assert marked.points == 0
    assert marked.notices == (FOREIGN,)
    assert {part.mistake for part in marked.parts} == {"another_boat"}


def test_another_learners_rows_relabelled_do_not_replay(done, bench):
    copier = bench("03.1", learner="ben")
    for name in ("answers.jsonl", "logbook.jsonl"):
        path = done.folder / name
        path.write_text(
            path.read_text(encoding="utf-8").replace(done.plan.digest, copier.plan.digest), encoding="utf-8"
        )
    part = copier.part("hull_potential")
    assert (part.mistake, part.points) == ("does_not_replay", 0)


def test_answers_of_another_version_are_said_to_be_so(done, bench):
    path = done.folder / "answers.jsonl"
    row = json.loads(path.read_text(encoding="utf-8"))
    path.write_text(json.dumps({**row, "slip": "0" * 16, "physics": "older"}) + "\n", encoding="utf-8")
    assert done.mark().notices == (OTHER_VERSION,)


def test_a_forged_display_is_named(done):
    path = done.folder / "logbook.jsonl"
    rows = [json.loads(line) for line in path.read_text(encoding="utf-8").splitlines()]
    rows[-1]["display"] = "-0.950"
    path.write_text("".join(json.dumps(row) + "\n" for row in rows), encoding="utf-8")
    done.answer(hull_potential="-950")
    part = done.part("hull_potential")
    assert (part.mistake, part.points) == ("does_not_replay", 0)
    assert "says -0.950 V; taken again on this boat it does not come out" in done.mark().notices[0]


HOSTILE = [
    {},
    {"exercise": "03.1"},
    {"exercise": "03.1", "slip": None, "values": None},
    {"exercise": "03.1", "values": {"hull_potential": ["x"] * 100}},
    {"exercise": "03.1", "values": {"hull_potential": "=cmd|' /C calc'!A0", "water_kind": "<script>"}},
    {"exercise": ["03.1"], "values": 7},
    {"exercise": "03.1", "values": {"hull_potential": "9" * 100_000}},
    {"exercise": "03.1", "values": {"hull_potential": math.inf, "water_temperature": "1e999"}},
]


@pytest.mark.parametrize("row", HOSTILE, ids=range(len(HOSTILE)))
def test_any_answer_row_is_marked_and_none_raises(row, plans):
    plan = plans["03.1"]
    for slip in (plan.digest, row.get("slip")):
        marked = mark(EXERCISES["03.1"], plan, [{**row, "slip": slip}], [])
        assert marked.points == 0


LOG_ROWS = [
    {"n": 1, "kind": "reading"},
    {"v": 1, "n": 1, "id": "a", "kind": "reading", "minute": 0, "action": "record", "args": None},
    {"v": 1, "n": 1, "id": ["a"], "kind": "action", "minute": "0", "action": {"wait": 1}, "args": [1]},
    {
        "v": 1,
        "n": 1,
        "id": "a",
        "kind": "action",
        "minute": 0,
        "action": "wait",
        "args": {"minutes": 10**400},
    },
    {
        "v": 1,
        "n": 1,
        "id": "a",
        "kind": "action",
        "minute": 0,
        "action": "hang_cell",
        "args": {"x_m": {}, "depth_m": "deep"},
    },
    {
        "v": 1,
        "n": 10**400,
        "id": None,
        "kind": 3,
        "minute": -1,
        "action": "plug",
        "args": {"lead": [], "jack": 4},
    },
    {"v": 1, "n": 1, "id": "a", "kind": "note", "text": None},
]


@pytest.mark.parametrize("row", LOG_ROWS, ids=range(len(LOG_ROWS)))
def test_any_logbook_row_is_replayed_or_named_and_none_raises(row, plans):
    plan = plans["03.1"]
    marked = mark(EXERCISES["03.1"], plan, [], [{**row, "slip": plan.digest}] * 3)
    assert marked.points == 0


def test_a_folder_with_torn_and_foreign_lines_is_marked_by_the_rest(done, plans):
    path = done.folder / "answers.jsonl"
    path.write_bytes(b"\xff\xfe not json\n[1, 2]\n" + path.read_bytes() + b'{"exercise": "03.1", "val')
    marks = mark_folder(done.folder, MODULE, "ana", plans)
    assert marks[0].points == 10
    assert marks[0].notices == (
        "answers.jsonl has 3 torn lines, which were set aside; the other rows count.",
    )


def test_a_link_in_the_folder_is_not_followed(done, plans, tmp_path):
    path = done.folder / "answers.jsonl"
    elsewhere = tmp_path / "elsewhere.jsonl"
    path.rename(elsewhere)
    path.symlink_to(elsewhere)
    marks = mark_folder(done.folder, MODULE, "ana", plans)
    assert marks[0].points == 0
    assert "answers.jsonl is no plain file, so it was not read." in marks[0].notices


def test_answers_signed_by_another_learner_are_anothers(done, plans):
    marks = mark_folder(done.folder, MODULE, "ben", plans)
    assert (marks[0].points, marks[0].notices) == (0, (FOREIGN,))


def test_an_empty_folder_is_no_answer(tmp_path, plans):
    assert {m.points for m in mark_folder(tmp_path, MODULE, "ana", plans)} == {0}


def test_what_cannot_be_read_is_not_written_and_costs_no_try(done):
    tries = done.mark().tries
    for values, sentence in [
        ({"hull_potential": "-0.9 V"}, "is in V; this field wants mV"),
        ({"hull_potential": ""}, "Nothing is written yet"),
        ({"hull_potentail": "-900"}, "has no field 'hull_potentail'"),
        ({"water_kind": "salty"}, "'salty' is none of sea, brackish, fresh"),
    ]:
        with pytest.raises(Unanswerable) as caught:
            done.answer(**values)
        assert sentence in str(caught.value)
    assert done.mark().tries == tries


def test_a_reopened_form_finds_its_last_answer(done):
    assert last_values(done.folder, done.exercise, done.plan.digest)["water_kind"] == "sea"
    assert len(answers_in(done.folder).rows) == 1
    assert read_rows(done.folder / "nothing.jsonl").rows == ()


def test_whether_the_last_try_was_right_is_found_again(done, tmp_path):
    assert last_result(tmp_path, done.exercise, done.plan.digest) is None
    for right in (True, False):
        record_result(tmp_path, done.exercise, done.plan.digest, "a", right)
        assert last_result(tmp_path, done.exercise, done.plan.digest) is right
    assert last_result(tmp_path, done.exercise, "another slip") is None


def test_unknown_names_are_answered_with_the_nearest():
    with pytest.raises(UnknownExercise, match=r"There is no exercise '03\.99'; did you mean"):
        exercise_named("03.99")
    with pytest.raises(UnknownExercise, match="did you mean '03_reference_cell'"):
        module_named("03_reference_cel")
