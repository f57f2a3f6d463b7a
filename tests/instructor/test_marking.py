"""`wetslip class mark` on the scripted learners, and on submissions that are broken in every way."""

from __future__ import annotations

import copy
import json
import shutil
from collections.abc import Callable
from pathlib import Path

import nbformat
import pytest
from nbgrader.api import Gradebook

import graders.submission
import graders.versions
from instructor import files
from instructor.layout import ClassFolder, open_class
from instructor.marking.gradebook import read_scores
from instructor.marking.marks import read_marks
from instructor.rehearsal.scripted import CLASS, MODULE

Run = Callable[..., tuple[int, str, str]]
FIRST = ("03.1", "03.2", "03.3")  # the exercises at the bench, whose marks are known by heart
RIGHT = (10.0, 10.0, 10.0)
POINTS = {
    "rpell": RIGHT,
    "imarren": (2.0, 3.0, 6.0),
    "torle": (5.0, 3.0, 6.0),
    "jvask": (0.0, 0.0, 0.0),
    "mkestrin": (2.0, 3.0, 6.0),
    "ofarrell-lund": (0.0, 0.0, 0.0),
    "nström": RIGHT,
}
MISTAKES = {  # learner -> exercise -> the mistake in its first part, and a piece of the sentence
    "rpell": {
        "03.1": (None, "Soundly taken"),
        "03.2": (None, "Soundly taken"),
        "03.3": (None, "Soundly taken"),
    },
    "imarren": dict.fromkeys(("03.1", "03.2", "03.3"), ("leads_swapped", "The leads were swapped")),
    "torle": dict.fromkeys(("03.1", "03.2", "03.3"), ("unit", "this field wants millivolts")),
    "jvask": dict.fromkeys(("03.1", "03.2", "03.3"), ("blank", "No answer was handed in")),
    "mkestrin": dict.fromkeys(("03.1", "03.2", "03.3"), ("does_not_replay", "it counts as not taken")),
    "ofarrell-lund": dict.fromkeys(("03.1", "03.2", "03.3"), ("another_boat", "written for another boat")),
    "nström": {
        "03.1": (None, "Soundly taken"),
        "03.2": (None, "Soundly taken"),
        "03.3": (None, "Soundly taken"),
    },
}
TORN = (
    "To look at: 'nström': answers.jsonl has 1 torn line, which was set aside; the other rows count: "
    "ask for the file again.\n"
)


def scores(folder: ClassFolder) -> dict[str, tuple[float, ...]]:
    """What the gradebook holds, learner by learner, the exercises at the bench."""
    with Gradebook(folder.database_url) as gradebook:
        return {
            scripted.learner.id: tuple(
                read_scores(gradebook, MODULE, scripted.learner.id)[
                    f"check-{exercise.replace('.', '-')}"
                ].points
                for exercise in FIRST
            )
            for scripted in CLASS
        }


def test_every_scripted_learner_gets_exactly_their_mark(worked: ClassFolder) -> None:
    assert scores(worked) == POINTS


@pytest.mark.parametrize("learner", list(MISTAKES))
def test_every_mistake_is_named_with_its_sentence(example_folder: Path, learner: str) -> None:
    marks = read_marks(open_class(example_folder / "class"), MODULE, learner)
    assert marks is not None
    first = {mark.exercise: (mark.parts[0].mistake, mark.parts[0].reason) for mark in marks}
    for exercise, (mistake, words) in MISTAKES[learner].items():
        assert first[exercise][0] == mistake
        assert words in first[exercise][1]


def test_a_torn_answers_file_is_said(example_folder: Path) -> None:
    marks = read_marks(open_class(example_folder / "class"), MODULE, "nström")
    assert marks is not None
    assert any("answers.jsonl has 1 torn line" in notice for notice in marks[0].notices)
    assert (marks[-1].points, marks[-1].parts[0].mistake) == (0.0, "blank")


def test_formgraders_notebook_shows_points_and_reasons(example_folder: Path) -> None:
    folder = open_class(example_folder / "class")
    path = folder.autograded("torle", MODULE) / f"{MODULE}.ipynb"
    notebook = nbformat.read(str(path), as_version=4)
    shown = [cell.outputs for cell in notebook.cells if cell.metadata.get("nbgrader", {}).get("grade")]
    assert [outputs[1].data["text/plain"] for outputs in shown[:3]] == ["5.0", "3.0", "6.0"]
    assert "this field wants millivolts" in " ".join(shown[0][0].text.split())


def test_marked_again_it_is_the_same(run: Run, worked: ClassFolder) -> None:
    marks = {s.learner.id: worked.marks(s.learner.id, MODULE).read_bytes() for s in CLASS}
    code, said, wrong = run("mark", MODULE, "--again", "--folder", worked.root)
    assert (code, said, wrong) == (0, f"Marked 7 submissions of '{MODULE}'.\n{TORN}", "")
    assert scores(worked) == POINTS
    assert {s.learner.id: worked.marks(s.learner.id, MODULE).read_bytes() for s in CLASS} == marks


def test_a_score_given_by_hand_stays_and_is_put_up_for_review(run: Run, worked: ClassFolder) -> None:
    with Gradebook(worked.database_url) as gradebook:
        gradebook.find_grade("check-03-1", MODULE, MODULE, "torle").manual_score = 7.5
        gradebook.db.commit()
    run("mark", MODULE, "--folder", worked.root)
    with Gradebook(worked.database_url) as gradebook:
        grade = gradebook.find_grade("check-03-1", MODULE, MODULE, "torle")
        assert (grade.auto_score, grade.manual_score, grade.needs_manual_grade) == (5.0, 7.5, True)
        assert read_scores(gradebook, MODULE, "torle")["check-03-1"].points == 7.5


def lose_check_cell(notebook: nbformat.NotebookNode) -> None:
    notebook.cells = [
        c for c in notebook.cells if c.metadata.get("nbgrader", {}).get("grade_id") != "check-03-1"
    ]


def double_check_cell(notebook: nbformat.NotebookNode) -> None:
    cell = next(c for c in notebook.cells if c.metadata.get("nbgrader", {}).get("grade"))
    notebook.cells.append(nbformat.from_dict({**copy.deepcopy(cell), "id": "again"}))


def cheat(notebook: nbformat.NotebookNode) -> None:
    for cell in notebook.cells:
        if cell.metadata.get("nbgrader", {}).get("grade"):
            cell.source = "10.0"
            cell.metadata.nbgrader.points = 1000


@pytest.mark.parametrize("spoil", [lose_check_cell, double_check_cell, cheat])
def test_a_spoilt_notebook_is_marked_like_any_other(
    run: Run, example: Path, spoil: Callable[[nbformat.NotebookNode], None]
) -> None:
    folder = open_class(example / "class")
    for learner in ("torle", "rpell"):
        path = example / "handed-in" / learner / MODULE / f"{MODULE}.ipynb"
        notebook = nbformat.read(str(path), as_version=4)
        spoil(notebook)
        path.write_text(nbformat.writes(notebook), encoding="utf-8")
    assert run("take-in", MODULE, example / "handed-in", "--folder", folder.root)[0] == 0
    assert run("mark", MODULE, "--folder", folder.root)[0] == 0
    assert scores(folder) == POINTS


def test_nothing_in_a_notebook_is_ever_run(run: Run, example: Path) -> None:
    folder = open_class(example / "class")
    trace = example / "ran.txt"
    code = f"from pathlib import Path\nPath({str(trace)!r}).write_text('ran')\ndef check(*a): return 10.0\n"
    path = example / "handed-in" / "imarren" / MODULE / f"{MODULE}.ipynb"
    notebook = nbformat.read(str(path), as_version=4)
    notebook.cells.insert(0, nbformat.v4.new_code_cell(code))
    path.write_text(nbformat.writes(notebook), encoding="utf-8")
    (path.parent / "course.py").write_text(code, encoding="utf-8")
    (path.parent / "sitecustomize.py").write_text(code, encoding="utf-8")
    assert run("take-in", MODULE, example / "handed-in", "--folder", folder.root)[0] == 0
    assert run("mark", MODULE, "--folder", folder.root)[0] == 0
    assert not trace.exists()
    assert scores(folder) == POINTS
    assert not (folder.submitted("imarren", MODULE) / "course.py").exists()


def test_other_versions_refuse_in_one_sentence_and_change_nothing(
    run: Run, worked: ClassFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = worked.marks("rpell", MODULE).read_bytes()
    monkeypatch.setattr(graders.versions, "frozen_versions", lambda: {"wetslip": "9.9", "physics": "fedcba"})
    code, _, wrong = run("mark", MODULE, "--folder", worked.root)
    assert code == 2
    assert "to mark it, install the Wetslip that released it ('pip install wetslip==" in wrong
    assert len(wrong.splitlines()) == 1
    assert worked.marks("rpell", MODULE).read_bytes() == before


def spoil_slip(folder: ClassFolder, learner: str, content: str | None) -> Path:
    index = json.loads(folder.released(MODULE).read_text(encoding="utf-8"))
    path = folder.slip(index["slips"][learner]["03.2"])
    if content is None:
        path.unlink()
    else:
        path.write_text(content, encoding="utf-8")
    return path


@pytest.mark.parametrize("content", [None, "{", "{}", "another"])
def test_a_spoilt_slip_is_that_learners_problem(run: Run, worked: ClassFolder, content: str | None) -> None:
    if content == "another":
        index = json.loads(worked.released(MODULE).read_text(encoding="utf-8"))
        content = worked.slip(index["slips"]["rpell"]["03.2"]).read_text(encoding="utf-8")
    path = spoil_slip(worked, "torle", content)
    code, said, wrong = run("mark", MODULE, "--folder", worked.root)
    assert code == 1
    assert said == f"Marked 0 submissions of '{MODULE}'.\nAs they were marked before: 6.\n"
    assert wrong.startswith(f"wetslip: 'torle' was not marked: The stored slip '{path}' of 'torle' is ")
    assert scores(worked) == POINTS


def test_a_fault_of_ours_on_one_learner_does_not_stop_the_class(
    run: Run, worked: ClassFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = graders.submission.mark_folder

    def faulty(folder: Path, module: str, learner: str, plans: object) -> object:
        if learner == "torle":
            raise ZeroDivisionError("by nothing")
        return real(folder, module, learner, plans)  # type: ignore[arg-type]

    monkeypatch.setattr(graders.submission, "mark_folder", faulty)
    code, said, wrong = run("mark", MODULE, "--again", "--folder", worked.root)
    assert code == 1
    assert said == f"Marked 6 submissions of '{MODULE}'.\n{TORN}"
    assert wrong == (
        "wetslip: 'torle' was not marked: marking met a fault of Wetslip itself (ZeroDivisionError: by "
        "nothing); please report it."
    )


@pytest.mark.parametrize(
    "content",
    [b"", b"\xff\xfe\x00", b"[" * 100_000, b'{"exercise": "03.1"}\n' * 2000, b'null\n1\n[]\n"x"\n'],
)
def test_broken_data_is_marked_and_moves_nobody_elses_mark(
    run: Run, worked: ClassFolder, content: bytes
) -> None:
    for name in ("answers.jsonl", "logbook.jsonl"):
        (worked.submitted("rpell", MODULE) / name).write_bytes(content)
    assert run("mark", MODULE, "--folder", worked.root)[0] == 0
    assert scores(worked) == {**POINTS, "rpell": (0.0, 0.0, 0.0)}


def test_a_time_that_is_none_is_told_by_name(run: Run, worked: ClassFolder) -> None:
    (worked.submitted("torle", MODULE) / "timestamp.txt").write_text("soon\n", encoding="utf-8")
    code, _, wrong = run("mark", MODULE, "--folder", worked.root)
    assert code == 1
    assert wrong.startswith("wetslip: 'torle' was not marked: ")
    assert "holds no time such as" in wrong


def test_a_learner_added_after_the_release_is_told_what_to_do(run: Run, small: ClassFolder) -> None:
    with small.roster.open("a", encoding="utf-8") as stream:
        stream.write("cy,Cy Orram,,,0\n")
    small.submitted("cy", MODULE).mkdir(parents=True)
    code, _, wrong = run("mark", MODULE, "--folder", small.root)
    assert code == 1
    assert f"run 'wetslip class release {MODULE}' again, which draws the missing ones." in wrong


def test_nobody_handed_in(run: Run, small: ClassFolder) -> None:
    code, said, _ = run("mark", MODULE, "--folder", small.root)
    assert code == 0
    assert said == f"Marked 0 submissions of '{MODULE}'.\nNothing handed in by: ann, bo\n"


def test_a_damaged_gradebook(run: Run, worked: ClassFolder) -> None:
    (worked.root / "gradebook.db").write_bytes(
        b"not a database at all, and long enough to be read as one" * 40
    )
    code, _, wrong = run("mark", MODULE, "--folder", worked.root)
    assert code == 2
    assert "gradebook.db' could not be used: file is not a database." in wrong


def test_a_bar_shows_how_far_it_is(worked: ClassFolder, capsys: pytest.CaptureFixture[str]) -> None:
    from instructor.command import main

    main(["class", "mark", MODULE, "--folder", str(worked.root)])
    assert f"marking {MODULE}: 100%" in capsys.readouterr().err


@pytest.mark.parametrize("stop_at", [1, 2, 3, 6, 9, 12])
def test_stopped_anywhere_it_is_run_again_to_the_same_marks(
    run: Run, worked: ClassFolder, monkeypatch: pytest.MonkeyPatch, stop_at: int
) -> None:
    """The process dies at the n-th move of a file or folder, while the whole class is marked afresh."""
    with Gradebook(worked.database_url) as gradebook:
        for scripted in CLASS:
            gradebook.remove_submission(MODULE, scripted.learner.id)
    for folder in ("autograded", "marks"):
        shutil.rmtree(worked.root / folder)
    moves = 0

    def dying(real: Callable[..., Path]) -> Callable[..., Path]:
        def move(*arguments: object) -> Path:
            nonlocal moves
            moves += 1
            if moves == stop_at:
                raise SystemExit("killed")
            return real(*arguments)

        return move

    with monkeypatch.context() as patch:
        patch.setattr(files.Path, "replace", dying(Path.replace))
        patch.setattr(files.Path, "rename", dying(Path.rename))
        with pytest.raises(SystemExit):
            run("mark", MODULE, "--folder", worked.root)
    assert run("mark", MODULE, "--folder", worked.root)[0] == 0
    assert scores(worked) == POINTS
    for scripted in CLASS:
        assert (worked.autograded(scripted.learner.id, MODULE) / f"{MODULE}.ipynb").is_file()
        assert read_marks(worked, MODULE, scripted.learner.id) is not None


def test_what_a_killed_run_left_half_made_is_gone_after_the_next(run: Run, worked: ClassFolder) -> None:
    half = worked.work / "marking-1" / f"{MODULE}.0a1b2c3d"
    half.mkdir(parents=True)
    (half / "answers.jsonl").write_bytes(b"half")
    assert run("mark", MODULE, "--folder", worked.root)[0] == 0
    assert list(worked.work.iterdir()) == []
