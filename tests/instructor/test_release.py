"""`wetslip class release`: what it makes, what it refuses, and that it changes nothing in place."""

from __future__ import annotations

import hashlib
import json
import shutil
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import nbformat
import pytest
from nbgrader.api import Gradebook

import graders.versions
from course.boats.plan import SlipPlan
from graders.exercises import MODULES
from graders.personal import plan_for
from instructor.errors import ClassError
from instructor.handout import release
from instructor.handout.check_cells import plain_bytes, read_plain
from instructor.handout.released import read_plans, read_released
from instructor.layout import ClassFolder
from instructor.rehearsal.scripted import MODULE

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def modules(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the course's module that a test may spoil."""
    copy = tmp_path / "modules"
    shutil.copytree(release.modules_folder() / MODULE, copy / MODULE)
    monkeypatch.setattr(release, "modules_folder", lambda: copy)
    return copy / MODULE


def snapshot(folder: Path) -> dict[str, bytes]:
    """Everything in a folder but the gradebook, whose bytes change with every look, and the history of commands."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and path.name not in ("gradebook.db", ".lock", "history.jsonl")
    }


def test_the_gradebook_knows_the_check_cells_and_their_points(small: ClassFolder) -> None:
    with Gradebook(small.database_url) as gradebook:
        notebook = gradebook.find_notebook(MODULE, MODULE)
        found = {cell.name: cell.max_score for cell in notebook.grade_cells}
    assert found == {exercise.grade_id: exercise.points for exercise in MODULES[MODULE]}


def test_the_learners_notebook_holds_no_outputs_and_the_source_only_the_notebook(small: ClassFolder) -> None:
    notebook = nbformat.read(str(small.release_notebook(MODULE)), as_version=4)
    assert all(not cell.get("outputs") for cell in notebook.cells)
    assert [path.name for path in small.source(MODULE).iterdir()] == [f"{MODULE}.ipynb"]


def test_every_learners_slips_are_stored_once_under_their_digest(small: ClassFolder) -> None:
    released = read_released(small, MODULE)
    assert set(released.slips) == {"ann", "bo"}
    for learner in released.slips:
        plans = read_plans(small, released, learner)
        for exercise in MODULES[MODULE]:
            assert plans[exercise.id] == plan_for(exercise, learner, "tern-1")
    stored = {path.stem for path in (small.root / "slips").iterdir()}
    assert stored == {digest for digests in released.slips.values() for digest in digests.values()}
    assert released.versions == graders.versions.frozen_versions()


def test_again_changes_nothing_and_says_so(run: Run, small: ClassFolder) -> None:
    before = snapshot(small.root)
    code, said, wrong = run("release", MODULE, "--folder", small.root)
    assert (code, wrong) == (0, "")
    assert said == f"'{MODULE}' was released already to all 2; their slips stay as they are.\n"
    assert snapshot(small.root) == before


def test_again_with_a_new_learner_draws_only_theirs(run: Run, small: ClassFolder) -> None:
    before = read_released(small, MODULE)
    with small.roster.open("a", encoding="utf-8") as stream:
        stream.write("cy,Cy Orram,,,0\n")
    code, said, _ = run("release", MODULE, "--folder", small.root)
    assert code == 0
    assert "was released to 2 already, whose slips stay as they are; slips were drawn for 1 more." in said
    after = read_released(small, MODULE)
    assert {learner: after.slips[learner] for learner in before.slips} == before.slips
    assert set(after.slips) == {"ann", "bo", "cy"}


def test_again_after_it_was_stopped_half_way(run: Run, small: ClassFolder) -> None:
    before = snapshot(small.root)
    small.released(MODULE).unlink()
    shutil.rmtree(small.root / "slips")
    small.release_notebook(MODULE).unlink()
    assert run("release", MODULE, "--folder", small.root)[0] == 0
    assert snapshot(small.root) == before


def test_other_versions_are_refused(run: Run, small: ClassFolder, monkeypatch: pytest.MonkeyPatch) -> None:
    before = snapshot(small.root)
    monkeypatch.setattr(graders.versions, "frozen_versions", lambda: {"wetslip": "9.9", "physics": "fedcba"})
    code, _, wrong = run("release", MODULE, "--folder", small.root)
    assert code == 2
    assert "(here fedcba)" in wrong
    assert "(here 9.9)" in wrong
    assert len(wrong.splitlines()) == 1
    assert snapshot(small.root) == before


def test_another_cohort_code_is_refused(run: Run, small: ClassFolder) -> None:
    path = small.root / "class.json"
    path.write_text(json.dumps({"schema": 1, "cohort": "gull-2"}), encoding="utf-8")
    code, _, wrong = run("release", MODULE, "--folder", small.root)
    assert code == 2
    assert "was released to cohort 'tern-1', and class.json now says 'gull-2'" in wrong


def test_a_changed_notebook_is_not_changed_in_place(run: Run, fresh: Path, modules: Path) -> None:
    assert run("release", MODULE, "--folder", fresh)[0] == 0
    before = snapshot(fresh)
    path = modules / f"{MODULE}.ipynb"
    notebook = json.loads(path.read_text(encoding="utf-8"))
    notebook["cells"][0]["source"] = "# Another title"
    path.write_text(json.dumps(notebook), encoding="utf-8")
    code, _, wrong = run("release", MODULE, "--folder", fresh)
    assert code == 2
    assert "has changed since it was released" in wrong
    assert snapshot(fresh) == before


@pytest.mark.parametrize("name", ["answers.jsonl", "logbook.jsonl", "learner.json", "notes.txt"])
def test_a_stray_file_beside_the_course_notebook(run: Run, fresh: Path, modules: Path, name: str) -> None:
    (modules / name).write_text("{}\n", encoding="utf-8")
    code, _, wrong = run("release", MODULE, "--folder", fresh)
    assert code == 2
    assert f"'{modules}' holds '{name}' beside the notebook" in wrong
    assert not (fresh / "source").exists()


def test_a_stray_file_in_the_class_source_folder(run: Run, small: ClassFolder) -> None:
    (small.source(MODULE) / "answers.jsonl").write_text("{}\n", encoding="utf-8")
    code, _, wrong = run("release", MODULE, "--folder", small.root)
    assert code == 2
    assert "holds 'answers.jsonl' beside the notebook" in wrong


def spoil(path: Path, how: str) -> None:
    notebook = nbformat.read(str(path), as_version=4)
    checks = [cell for cell in notebook.cells if cell.metadata.get("nbgrader", {}).get("grade")]
    if how == "outputs":
        checks[0].outputs = [nbformat.v4.new_output("stream", name="stdout", text="x")]
    elif how == "twice":
        notebook.cells.append(nbformat.from_dict({**checks[0], "id": "again"}))
    elif how == "points":
        checks[0].metadata.nbgrader.points = 99
    elif how == "missing":
        notebook.cells.remove(checks[0])
    elif how == "unknown":
        checks[0].metadata.nbgrader.grade_id = "check-99-9"
    path.write_text(nbformat.writes(notebook), encoding="utf-8")


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ("outputs", "holds outputs; a notebook is released without any"),
        ("twice", "The check cell 'check-03-1' is twice in"),
        ("points", "The check cell 'check-03-1' has 99.0 points in"),
        ("missing", "The check cell 'check-03-1' has no points in"),
        ("unknown", "The check cell 'check-03-1' has no points in"),
    ],
)
def test_a_notebook_that_does_not_fit_its_exercises(
    run: Run, fresh: Path, modules: Path, how: str, words: str
) -> None:
    spoil(modules / f"{MODULE}.ipynb", how)
    code, _, wrong = run("release", MODULE, "--folder", fresh)
    assert code == 2
    assert words in wrong
    assert len(wrong.splitlines()) == 1
    assert not (fresh / "source").exists()


@pytest.mark.parametrize("module", ["03_reference_cell", "07_stray_current_hunt"])
def test_the_courses_notebooks_are_read_plainly_as_nbformat_reads_them(module: str) -> None:
    folder = release.modules_folder() / module
    assert read_plain(folder / f"{module}.ipynb") == json.loads(
        nbformat.writes(nbformat.read(str(folder / f"{module}.ipynb"), as_version=4))
    )
    plain = release.checked_notebook(folder, module)
    assert plain_bytes(plain) == (nbformat.writes(nbformat.from_dict(plain)) + "\n").encode("utf-8")


def test_a_folder_of_the_course_is_a_module_and_a_module_has_a_folder() -> None:
    folders = {path.name for path in release.modules_folder().glob("[0-9][0-9]_*")}
    assert folders == {
        name for name in MODULES if name < "20"
    }  # not a class's own, which some test may have loaded


def test_an_unknown_module_is_answered_with_the_nearest(run: Run, fresh: Path) -> None:
    code, _, wrong = run("release", "03_reference_cel", "--folder", fresh)
    assert code == 2
    assert wrong == f"wetslip: The course has no module '03_reference_cel'; did you mean '{MODULE}'?"


def test_a_missing_and_a_broken_course_notebook(run: Run, fresh: Path, modules: Path) -> None:
    path = modules / f"{MODULE}.ipynb"
    path.write_text("{", encoding="utf-8")
    assert "is not a notebook that can be read" in run("release", MODULE, "--folder", fresh)[2]
    path.unlink()
    assert "is missing" in run("release", MODULE, "--folder", fresh)[2]


def test_another_wetslip_with_the_same_physics_goes_on(
    run: Run, small: ClassFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    physics = graders.versions.frozen_versions()["physics"]
    monkeypatch.setattr(graders.versions, "frozen_versions", lambda: {"wetslip": "9.9", "physics": physics})
    code, said, _ = run("release", MODULE, "--folder", small.root)
    assert (code, said) == (0, f"'{MODULE}' was released already to all 2; their slips stay as they are.\n")


def test_a_slip_with_less_in_it_than_a_later_wetslip_knows_is_read(small: ClassFolder) -> None:
    released = read_released(small, MODULE)
    exercise, digest = next(iter(released.slips["ann"].items()))
    older = json.loads(small.slip(digest).read_text(encoding="utf-8"))
    del older["kit"]  # as if it had been stored before there was such a thing
    content = json.dumps(older, sort_keys=True, ensure_ascii=False)
    name = hashlib.sha256(content.encode("utf-8")).hexdigest()[:16]
    small.slip(name).write_text(content, encoding="utf-8")
    again = replace(released, slips={"ann": {exercise: name}})
    assert read_plans(small, again, "ann")[exercise].kit == SlipPlan.model_fields["kit"].default
    small.slip(name).write_text(content + " ", encoding="utf-8")
    with pytest.raises(ClassError, match="is not what was stored at release"):
        read_plans(small, again, "ann")
