"""Notebooks as the class handles them: read, checked for release, and filled with marks."""

from __future__ import annotations

import copy
import math
from collections.abc import Iterator, Mapping
from pathlib import Path
from textwrap import fill
from typing import TYPE_CHECKING, Any

from instructor.errors import ClassError

if TYPE_CHECKING:
    from graders.marks import Mark

NOT_MARKED = "Not marked yet.\n"
WIDTH = 110  # letters in a line of formgrader's page


def read_notebook(path: Path) -> Any:
    """Read one of our own notebooks.

    Raises
    ------
    ClassError : it is missing or not a notebook
    """
    import nbformat

    try:
        return nbformat.read(str(path), as_version=4)
    except FileNotFoundError:
        raise ClassError(f"The notebook '{path}' is missing.") from None
    except (ValueError, KeyError, AttributeError, nbformat.ValidationError):
        raise ClassError(f"'{path}' is not a notebook that can be read.") from None


def notebook_bytes(notebook: Any) -> bytes:
    """Return the notebook as the bytes of a file."""
    import nbformat

    return (nbformat.writes(notebook) + "\n").encode("utf-8")


def check_cells(notebook: Any) -> Iterator[Any]:
    """Yield the code cells that carry a mark (a written answer, marked by a person, is not one)."""
    for cell in notebook.cells:
        tag = cell.metadata.get("nbgrader", {})
        if tag.get("grade") and not tag.get("solution") and cell.cell_type == "code":
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


def filled_with(notebook: Any, marks: Mapping[str, Mark]) -> tuple[Any, dict[str, float]]:
    """Put the marks into the check cells' outputs.

    Parameters
    ----------
    notebook : the released notebook; it is not changed
    marks : grade id -> mark

    Returns
    -------
    the filled notebook, and the points entered for each grade id. A check cell without a mark gets 0.0, since
    nbgrader gives full marks for an empty output.
    """
    filled = copy.deepcopy(notebook)
    scores: dict[str, float] = {}
    for cell in check_cells(filled):
        tag = cell.metadata["nbgrader"]
        mark = marks.get(tag["grade_id"])
        points = 0.0 if mark is None else clamped(mark.points, tag["points"])
        text = NOT_MARKED if mark is None else reasons(mark)
        scores[tag["grade_id"]] = points
        cell["execution_count"] = None
        cell["outputs"] = _outputs(text, points)
    return filled, scores


def _outputs(text: str, points: float) -> list[Any]:
    from nbformat import from_dict

    return (
        from_dict(  # nbformat's new_output would check each against its schema: a fifth of the marking time
            [
                {"output_type": "stream", "name": "stdout", "text": text},
                {
                    "output_type": "execute_result",
                    "data": {"text/plain": repr(points)},
                    "execution_count": None,
                    "metadata": {},
                },
            ]
        )
    )


def reasons(mark: Mark) -> str:
    """Return a mark in words: its parts, what to notice, what the logbook shows, and a good method."""
    lines = [f"{mark.title}: {mark.points:g} of {mark.out_of:g} points"]
    for part in mark.parts:
        given = "" if part.given is None else f" (given: {part.given})"
        lines.append(f"- {part.title}: {part.points:g} of {part.out_of:g}{given}. {part.reason}")
    for title, sentences in (
        ("Notice", mark.notices),
        ("What the logbook shows", mark.trail),
        ("What a good method finds", mark.method),
    ):
        if sentences:
            lines += [f"{title}:", *(f"- {sentence}" for sentence in sentences)]
    return "\n".join(fill(line, WIDTH, subsequent_indent="  ") for line in lines) + "\n"
