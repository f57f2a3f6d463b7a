"""Written answers, from the learner's form to the cell a person marks, and back to the learner."""

from __future__ import annotations

import html
import json
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import nbformat
import pytest
from nbconvert.exporters import HTMLExporter

import graders.exercises as registry
from course.boats.description import fleet_boat
from graders.answers import record_answer
from graders.exercises import EXERCISES, add_own
from graders.marks import PartMark
from graders.parts.written import WrittenPart
from graders.personal import plan_for
from instructor.handout import own, release
from instructor.layout import ClassFolder, open_class
from instructor.marking.comments import expanded
from instructor.marking.gradebook import nbgraders_own
from instructor.marking.written import escaped, with_text

Run = Callable[..., tuple[int, str, str]]
MODULE, CELL = "90_findings", "written-90-1-finding"
TEXT = (
    "The anode's lead is off.\n# no heading\n</pre><script>alert(1)</script> $x^2$ **bold** [a](http://b) &amp; `c`\n"
    "    =1+1 ñ 中 \x1b\u202e"
)


@pytest.fixture
def written(fresh: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[ClassFolder]:
    """A class of two with a released module whose one exercise asks for a finding in words, out of 3."""
    finding = WrittenPart(
        "finding", "What you found", 3.0, ("names the lead (2)", "says what to do (1)"), "The lead."
    )
    base = EXERCISES["03.1"]
    exercise = replace(base, id="90.1", module=MODULE, parts=(*base.parts, finding))
    add_own(MODULE, (), (exercise,))
    place = tmp_path / "modules" / MODULE
    place.mkdir(parents=True)
    notebook = own._notebook(MODULE, [exercise], fleet_boat("marsh_lantern"))
    (place / f"{MODULE}.ipynb").write_text(notebook, encoding="utf-8")
    monkeypatch.setattr(release, "modules_folder", lambda: place.parent)
    folder = open_class(fresh)
    release.release(folder, MODULE)
    yield folder
    registry._OWN.pop(MODULE)


def hand_in(folder: ClassFolder, place: Path, learner: str, text: str) -> None:
    exercise = EXERCISES["90.1"]
    own_folder = place / learner / MODULE
    own_folder.mkdir(parents=True)
    identity = {"schema": 1, "id": learner, "cohort": folder.cohort}
    (place / learner / "learner.json").write_text(json.dumps(identity), encoding="utf-8")
    digest = plan_for(exercise, learner, folder.cohort).digest
    record_answer(own_folder, exercise, digest, learner, {"finding": text, "water_temperature": "14"})


def written_notebook(folder: ClassFolder, learner: str) -> str:
    return (folder.autograded(learner, MODULE) / f"{MODULE}.ipynb").read_text(encoding="utf-8")


def waiting(folder: ClassFolder) -> list[tuple[str, float | None, int]]:
    with closing(sqlite3.connect(folder.root / "gradebook.db")) as database:
        return database.execute(
            "select work.student_id, grade.auto_score, grade.needs_manual_grade from grade "
            "join submitted_notebook as book on book.id = grade.notebook_id "
            "join submitted_assignment as work on work.id = book.assignment_id "
            "join base_cell as cell on cell.id = grade.cell_id where cell.name = ? order by 1",
            (CELL,),
        ).fetchall()


def scores(run: Run, folder: ClassFolder, place: Path) -> dict[str, dict[str, object]]:
    assert run("export", MODULE, "--to", place, "--folder", folder.root)[0] == 0
    content = json.loads((place / f"{MODULE}-scores.json").read_text(encoding="utf-8"))
    return {score["userId"]: score for score in content["scores"]}


def test_from_the_form_to_a_persons_mark_and_back(run: Run, written: ClassFolder, tmp_path: Path) -> None:
    at = ("--folder", written.root)
    hand_in(written, tmp_path / "in", "ann", TEXT)
    hand_in(written, tmp_path / "in", "bo", "")
    assert run("take-in", MODULE, tmp_path / "in", *at)[0] == 0
    assert run("mark", MODULE, *at)[0] == 0
    assert waiting(written) == [("ann", None, 1), ("bo", 0.0, 0)]
    marked = {
        learner: nbformat.read(str(written.autograded(learner, MODULE) / f"{MODULE}.ipynb"), as_version=4)
        for learner in ("ann", "bo")
    }
    cells = {learner: next(c for c in notebook.cells if c.id == CELL) for learner, notebook in marked.items()}
    assert "There is nothing to write in this cell." in cells["bo"].source
    page, _ = HTMLExporter(template_name="classic").from_notebook_node(
        nbformat.v4.new_notebook(cells=[cells["ann"]])
    )
    body = page[page.index("<body") :]
    assert "<script>alert" not in body
    assert "<strong>bold" not in body
    assert "&lt;script&gt;alert(1)&lt;/script&gt; $x^2$ **bold** [a](http://b) &amp;amp; `c`" in body
    assert "names the lead (2)" in body
    before = scores(run, written, tmp_path / "out")
    assert (before["ann"]["gradingProgress"], before["bo"]["gradingProgress"]) == (
        "PendingManual",
        "FullyGraded",
    )
    run("feedback", MODULE, *at)
    assert "still to be read by your instructor" in written.feedback("ann", MODULE).read_text(
        encoding="utf-8"
    )

    left = {learner: written_notebook(written, learner) for learner in ("ann", "bo")}
    assert run("comment", "lead", "Say <which> stud it belongs on.", *at)[0] == 0
    assert "#lead in the comment below stands for: Say <which>" in html.unescape(
        written_notebook(written, "ann")
    )
    assert written_notebook(written, "bo") == left["bo"]
    with nbgraders_own(written) as gradebook:
        notebook = gradebook.find_submission_notebook(MODULE, MODULE, "ann")
        for grade in notebook.grades:
            if grade.name == CELL:
                grade.manual_score, grade.needs_manual_grade = 2.0, False
        for comment in notebook.comments:
            if comment.name == CELL:
                comment.manual_comment = "Good. #lead #unknown"
        gradebook.db.commit()
    code, said, _ = run("mark", MODULE, *at)
    assert (code, said.splitlines()[1]) == (0, "As they were marked before: 2.")
    assert waiting(written)[0] == ("ann", None, 0)
    after = scores(run, written, tmp_path / "out")
    assert after["ann"]["gradingProgress"] == "FullyGraded"
    assert after["ann"]["scoreGiven"] == before["ann"]["scoreGiven"] + 2
    assert after["ann"]["scoreMaximum"] == EXERCISES["90.1"].points + 3
    run("feedback", MODULE, *at)
    page = written.feedback("ann", MODULE).read_text(encoding="utf-8")
    assert "Good. Say &lt;which&gt; stud it belongs on. #unknown" in page
    assert "<script>alert" not in page
    assert "2 of 3" in page
    run("comment", "lead", "", *at)
    assert written_notebook(written, "ann") == left["ann"]
    items = (tmp_path / "out" / f"{MODULE}-items.csv").read_bytes().decode("utf-8-sig")
    assert "2,3," in items


@pytest.mark.parametrize(
    "text", ["<b>", "$\\frac{}$", "*a*", "`", "# a", "- a", "https://x.example", "&lt;", "a\n\n\nb", "| a |"]
)
def test_nothing_is_markup(text: str) -> None:
    shown = escaped(text)
    assert not set(shown) & set("<>$\\*`_[]|-:/\n")
    assert html.unescape(shown) == text


def test_an_answer_is_broken_where_the_page_ends_and_the_bank_stands_below() -> None:
    part = PartMark("finding", "Found", 0.0, 0.0, "a long line", None, "The rubric.", 3.0)
    cell = {"metadata": {"nbgrader": {"grade_id": CELL}}, "source": ""}
    shown = with_text(cell, {CELL: part}, {"lead": "Say <which>."})["source"]
    assert '<pre style="white-space: pre-wrap">a long line</pre>' in shown
    assert "#lead in the comment below stands for: Say <which>." in html.unescape(shown)
    assert "<which>" not in shown


def test_comments_by_code() -> None:
    bank = {"lead": "the lead", "a-b": "both"}
    assert expanded("#lead, #a-b: #none #", bank) == "the lead, both: #none #"


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        (["two words", "x"], "The code 'two words' is no single word of letters, digits, '-' and '_'."),
        (["lead"], "Give the text of 'lead' too; '' takes it out of the bank."),
    ],
)
def test_a_comment_that_cannot_be_kept(run: Run, fresh: Path, given: list[str], sentence: str) -> None:
    assert run("comment", *given, "--folder", fresh) == (2, "", f"wetslip: {sentence}")
