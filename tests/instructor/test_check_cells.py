"""What nbgrader makes of the outputs that we put into check cells: always exactly the mark."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from nbformat.v4 import new_code_cell, new_markdown_cell, new_notebook, new_output
from nbgrader.utils import determine_grade

from graders.marks import Mark, PartMark
from instructor.handout.check_cells import check_cells, clamped, filled_with, reasons


def check_cell(points: float = 10, name: str = "check-1", **more: object) -> Any:
    tag = {"grade": True, "solution": False, "locked": True, "points": points, "grade_id": name, **more}
    return new_code_cell("check()", metadata={"nbgrader": {"schema_version": 3, "cell_type": "code", **tag}})


def mark(points: Any, out_of: float = 10, reason: str = "Because.") -> Mark:
    part = PartMark("a", "The part", points, out_of, "3 mV", None, reason)
    return Mark("1", "Title", points, out_of, (part,), ("Note this.",), ("Do that.",), ("Did it.",), 1)


def graded(points: Any, out_of: float = 10) -> float | None:
    notebook, scores = filled_with(
        new_notebook(cells=[check_cell(out_of)]), {"check-1": mark(points, out_of)}
    )
    found, most = determine_grade(notebook.cells[0])
    assert most == out_of
    assert found == scores["check-1"]
    return found


@settings(deadline=None)  # the first example imports
@given(st.floats(allow_nan=True, allow_infinity=True), st.floats(0.1, 1000))
def test_whatever_the_points_are_nbgrader_reads_them_clamped(points: float, out_of: float) -> None:
    wanted = 0.0 if math.isnan(points) else min(max(points, 0.0), out_of)
    assert graded(points, out_of) == wanted


@pytest.mark.parametrize(
    ("points", "wanted"),
    [(np.float64(3.5), 3.5), (np.float32(0.5), 0.5), (False, 0.0), (True, 1.0), (-2, 0.0), (np.nan, 0.0),
     (np.int64(11), 10.0), (1e-9, 1e-9)],
)  # fmt: skip
def test_odd_numbers_become_plain_floats(points: Any, wanted: float) -> None:
    assert type(clamped(points, 10)) is float
    assert graded(points) == wanted


def test_the_trap_that_clamping_avoids_is_really_there() -> None:
    """nbgrader 0.9.6, utils.get_partial_grade: what is no number from 0 up gets full marks."""
    for text in ("np.float64(3.5)", "False", "-2.0", "nan"):
        cell = check_cell()
        cell.outputs = [new_output("execute_result", data={"text/plain": text}, execution_count=1)]
        assert determine_grade(cell)[0] == 10.0


def test_an_unmarked_cell_says_zero_and_an_empty_one_would_have_earned_all() -> None:
    notebook = new_notebook(cells=[check_cell()])
    assert determine_grade(notebook.cells[0])[0] == 10.0
    filled, scores = filled_with(notebook, {})
    assert determine_grade(filled.cells[0])[0] == 0.0
    assert scores == {"check-1": 0.0}


def test_nothing_goes_to_stderr_and_the_released_notebook_stays_as_it_is() -> None:
    notebook = new_notebook(cells=[new_markdown_cell("Text"), check_cell(), new_code_cell("1 + 1")])
    filled, _ = filled_with(notebook, {"check-1": mark(4)})
    assert [output.output_type for output in filled.cells[1].outputs] == ["stream", "execute_result"]
    assert filled.cells[1].outputs[0].name == "stdout"
    assert notebook.cells[1].outputs == []
    assert filled.cells[2].outputs == []


def test_written_answers_are_left_to_people() -> None:
    cells = [check_cell(), check_cell(name="essay", solution=True, locked=False)]
    assert [cell.metadata.nbgrader.grade_id for cell in check_cells(new_notebook(cells=cells))] == ["check-1"]


def test_reasons_tell_everything_in_lines_that_fit_the_page() -> None:
    text = reasons(mark(4, reason="word " * 100))
    assert max(len(line) for line in text.splitlines()) <= 110
    for words in ("Title: 4 of 10 points", "3 mV", "Note this.", "Do that.", "Did it."):
        assert words in text
