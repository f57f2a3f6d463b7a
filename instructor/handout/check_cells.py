"""Notebooks as the class handles them: read, checked for release, and filled with marks."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Mapping
from pathlib import Path
from textwrap import fill
from typing import TYPE_CHECKING, Any

from course.quickly import quickly
from instructor.errors import ClassError
from instructor.marking.written import with_text, written_marks, written_scores

if TYPE_CHECKING:
    from graders.marks import Mark

NOT_MARKED = "Not marked yet.\n"
WIDTH = 110  # letters in a line of formgrader's page


def read_checked(path: Path) -> Any:
    """Read a notebook that somebody else may have written, by nbformat, as the plain JSON of its present form.

    Raises
    ------
    ClassError : it is missing or not a notebook
    """
    nbformat = quickly("nbformat")
    try:
        return json.loads(nbformat.writes(nbformat.read(str(path), as_version=4)))
    except FileNotFoundError:
        raise ClassError(f"The notebook '{path}' is missing.") from None
    except (ValueError, KeyError, AttributeError, nbformat.ValidationError):
        raise ClassError(f"'{path}' is not a notebook that can be read.") from None


def read_plain(path: Path) -> Any:
    """Read a notebook that we or nbgrader wrote, as the plain JSON it is: nbformat takes a second to import.

    Raises
    ------
    ClassError : it is missing or not a notebook
    """
    try:
        notebook = json.loads(path.read_text(encoding="utf-8"))
        list(check_cells(notebook))
    except FileNotFoundError:
        raise ClassError(f"The notebook '{path}' is missing.") from None
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError):
        raise ClassError(f"'{path}' is not a notebook that can be read.") from None
    return notebook


def plain_bytes(notebook: Any) -> bytes:
    """Return a notebook in plain JSON as the bytes of a file, as nbformat writes them."""
    text = json.dumps(notebook, ensure_ascii=False, indent=1, sort_keys=True, separators=(",", ": "))
    return (text + "\n").encode("utf-8")


def check_cells(notebook: Any) -> Iterator[Any]:
    """Yield the code cells that carry a mark (a written answer, marked by a person, is not one)."""
    for cell in notebook["cells"]:
        tag = cell["metadata"].get("nbgrader", {})
        if tag.get("grade") and not tag.get("solution") and cell["cell_type"] == "code":
            yield cell


def clamped(points: Any, out_of: float) -> float:
    """Return points as a plain float from 0 to out_of.

    nbgrader reads the text of a check cell's output and gives full marks, silently, for anything that is not
    a number from 0 to the points of the cell; so nothing but this float is ever shown to it.
    """
    value = float(points)
    if math.isnan(value):
        return 0.0
    return min(max(value, 0.0), float(out_of))


def scores_of(notebook: Any, marks: Mapping[str, Mark]) -> dict[str, float | None]:
    """Return the points that the gradebook gets for each check cell: 0.0 where there is no mark.

    A written answer that a person is to mark has None.
    """
    tags = [cell["metadata"]["nbgrader"] for cell in check_cells(notebook)]
    return written_scores(notebook, marks.values()) | {
        tag["grade_id"]: clamped(marks[tag["grade_id"]].points, tag["points"])
        if tag["grade_id"] in marks
        else 0.0
        for tag in tags
    }


def filled_with(
    notebook: Any, marks: Mapping[str, Mark], bank: Mapping[str, str] | None = None
) -> tuple[Any, dict[str, float | None]]:
    """Put the marks into the check cells' outputs, and the written answers into theirs.

    Parameters
    ----------
    notebook : the released notebook, nbformat's or as plain JSON; it is not changed
    marks : grade id -> mark
    bank : comments that stand ready, code -> text; shown below written answers

    Returns
    -------
    the filled notebook, of the same kind, and the points entered for each grade id. A check cell without a mark
    gets 0.0, since nbgrader gives full marks for an empty output.
    """
    scores = scores_of(notebook, marks)
    to_fill = {id(cell) for cell in check_cells(notebook)}
    texts = written_marks(marks.values())
    cells = [
        _filled(cell, marks, scores) if id(cell) in to_fill else with_text(cell, texts, bank or {})
        for cell in notebook["cells"]
    ]
    filled = type(notebook)(notebook)
    filled["cells"] = cells
    return filled, scores


def _filled(cell: Any, marks: Mapping[str, Mark], scores: Mapping[str, float | None]) -> Any:
    """Return a check cell with its mark for an output; a file holds text as a list of lines, nbformat as one."""
    name = cell["metadata"]["nbgrader"]["grade_id"]
    mark = marks.get(name)
    text, points = NOT_MARKED if mark is None else reasons(mark), repr(scores[name])
    node = type(cell)
    in_lines = node is dict
    outputs = [
        node(output_type="stream", name="stdout", text=text.splitlines(keepends=True) if in_lines else text),
        node(
            output_type="execute_result",
            data=node({"text/plain": [points] if in_lines else points}),
            execution_count=None,
            metadata=node(),
        ),
    ]  # nbformat's new_output would check each against its schema: a fifth of the marking time
    filled = node(cell)
    filled["execution_count"], filled["outputs"] = None, outputs
    return filled


def reasons(mark: Mark) -> str:
    """Return a mark in words: its parts, what to notice, what the logbook shows, and a good method."""
    lines = [f"{mark.title}: {mark.points:g} of {mark.out_of:g} points"]
    for part in mark.parts:
        given = "" if part.given is None else f" (given: {part.given})"
        if part.pending and part.given is not None:
            lines.append(f"- {part.title}: marked below, out of {part.pending:g}.")
            continue
        lines.append(f"- {part.title}: {part.points:g} of {part.out_of:g}{given}. {part.reason}")
    for title, sentences in (
        ("Notice", mark.notices),
        ("What the logbook shows", mark.trail),
        ("What a good method finds", mark.method),
    ):
        if sentences:
            lines += [f"{title}:", *(f"- {sentence}" for sentence in sentences)]
    return "\n".join(fill(line, WIDTH, subsequent_indent="  ") for line in lines) + "\n"
