"""What a notebook calls: sentences instead of tracebacks, and points as plain numbers."""

from __future__ import annotations

import pytest

import course
from course import face
from graders.exercises import exercise_named


@pytest.fixture
def folder(tmp_path, monkeypatch):
    place = tmp_path / "03 ćwiczenie"
    place.mkdir()
    monkeypatch.chdir(place)
    return place


def test_a_wrong_name_is_one_sentence_and_no_points(folder, capsys):
    assert course.check("03.99") == 0.0
    assert course.exercise("03.99") is None
    assert course.bench("3.1") is None
    said = capsys.readouterr()
    assert said.out.splitlines()[0].startswith("There is no exercise '03.99'; did you mean")
    assert said.err == ""


def test_points_are_a_plain_float_and_nothing_goes_to_stderr(folder, capsys):
    points = course.check("03.1")
    assert type(points) is float
    assert points == 0.0
    assert type(course.record("03.1", water_kind="sea")) is float
    said = capsys.readouterr()
    assert "03.1 Take the hull potential: not answered yet." in said.out
    assert "03.1 Take the hull potential: 1 of 10 points." in said.out
    assert said.err == ""


def test_an_unreadable_answer_is_said_and_not_written(folder, capsys):
    assert course.record("03.1", hull_potential="about -900") == 0.0
    assert "'about -900' is not one number" in capsys.readouterr().out
    assert not (folder / "answers.jsonl").exists()


def test_someone_who_came_without_the_command_is_given_an_id_that_stays(folder):
    first = course.slip("03.1")
    assert (folder / "learner.json").is_file()
    assert course.slip("03.1").plan.digest == first.plan.digest
    assert course.slip("03.1", practice=1).plan.digest != first.plan.digest


def test_the_plain_twin_says_a_sentence_in_a_notebook(folder):
    """IPython shows what an exception's own ``_render_traceback_`` gives."""
    boat = course.slip("03.1")
    with pytest.raises(ValueError, match="did you mean 'COM'") as caught:
        boat.plug("cell lead", "COMM")
    assert caught.value._render_traceback_() == [str(caught.value)]


def test_an_exercise_is_a_page_with_bench_and_form(folder):
    page = course.exercise("03.3")
    assert "Baseline without the large anodes, last season" in page.children[0].value
    page.form.entries["verdict"].value = "protected"
    reply = page.form.submit()
    assert reply.summary.endswith("of 10 points, try 1.")
    assert [line.part for line in reply.lines] == ["Hull potential", "Verdict", "Reason"]
    again = course.exercise("03.3")
    assert again.form.answers["verdict"] == "protected"


def test_an_exercise_on_paper_shows_what_is_given_and_checks(folder):
    page = course.exercise("02.3")
    head = page.children[0].value
    assert "Small screws in a large plate" in head
    assert "<caption>Two ways to build it (invented)</caption>" in head
    page.form.entries["way"].value = "a"
    order = page.form.entries["gone"]
    order.value = ", ".join(value for value, _ in reversed(order.steps))
    reply = page.form.submit()
    assert [line.verdict for line in reply.lines if "Build it" in line.part] == ["wrong"]
    again = course.exercise("02.3")
    assert again.form.answers["way"] == "a"
    assert again.form.answers["gone"] == order.value


def test_a_copy_for_practice_is_fetched_found_again_and_changes_nothing_of_the_first(folder):
    page = course.exercise("02.3")
    page.form.entries["way"].value = "a"
    page.form.submit()
    *_, practice = page.children
    practice.another.click()
    (copy,) = practice.shown.children
    assert "Small screws in a large plate, practice sheet 1" in copy.children[0].value
    assert copy.children[0].value != page.children[0].value
    assert copy.form.answers["way"] == ""
    copy.form.entries["way"].value = "b"
    copy.form.submit()
    again = course.exercise("02.3")
    assert again.form.answers["way"] == "a"
    *_, later = again.children
    assert [number for _, number in later.chosen.options] == [0, 1]
    later.chosen.value = 1
    assert later.shown.children[0].form.answers["way"] == "b"
    assert not any(hasattr(part, "another") for part in copy.children)
    assert not any(hasattr(part, "another") for part in course.exercise("08.5").children)


def test_a_hint_is_told_in_turn_and_its_cost_is_said(folder, capsys):
    page = course.exercise("02.3")
    assert page.hints.button.description == "Hint 1 of 3"
    page.hints.button.click()
    first, second, _ = exercise_named("02.3").hints
    assert page.hints.told == [first]
    course.hint("02.3")
    assert second in capsys.readouterr().out
    assert course.exercise("02.3").hints.button.description == "Hint 3 of 3"
    assert course.check("02.3") == 0.0


def test_paper_has_no_bench_and_is_asked_in_words(folder, capsys):
    assert course.bench("02.3") is None
    assert "done on paper" in capsys.readouterr().out
    course.ask("02.3")
    said = capsys.readouterr().out
    assert "way | plate | screws" in said
    assert "steel_screws: mild steel screws in a" in said
    assert course.record("02.3", way="b") == 2.0
    assert course.record("02.3", gone="steel_plate") == 0.0
    assert "names each step once" in capsys.readouterr().out


def test_progress_is_told_from_what_was_answered(folder, capsys):
    course.record("02.3", way="b")
    capsys.readouterr()
    course.progress()
    assert "on the way (0 of 1 right)" in capsys.readouterr().out


def test_on_a_page_the_line_under_an_exercise_follows_its_form(folder, monkeypatch):
    monkeypatch.setattr(face, "_on_a_page", lambda: True)
    form = course.exercise("01.7").form
    assert course.check("01.7") == 0.0
    line = face._open("01.7", None).line
    assert "01.7 How deep it goes: not answered yet." in line.value
    form.entries["density"].value = "1 A/m2"
    form.submit()
    assert "01.7 How deep it goes: 0 of 6 points." in line.value
    assert "Not yet - " in line.value
    assert "Depth lost" in line.value
