"""Written answers: a cell for each is added at release, holds the learner's text at marking, and a person marks it.

Pages and forms cannot edit cells, so a text lives in answers.jsonl; it is put, escaped, into the cell that
formgrader shows.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from graders.exercise import Exercise
    from graders.marks import Mark, PartMark

PREFIX = "written-"
STUB = (
    "What you write into the form above is read here by your instructor, who marks it. There is nothing to write in "
    "this cell."
)


@dataclass(frozen=True)
class Written:
    """One written answer as it counts: points are None while no person has marked it."""

    part: str
    points: float | None
    out_of: float
    comment: str = ""


def written_id(exercise: str, part: str) -> str:
    """Return the name of the cell of a written part, such as "written-03-1-finding"."""
    return f"{PREFIX}{exercise.replace('.', '-')}-{part}"


def written_parts(exercise: Exercise) -> Iterator[tuple[str, float]]:
    """Yield field and points of each part that a person marks."""
    for part in exercise.parts:
        points = float(getattr(part, "by_hand", 0.0))
        if points > 0:
            for field in part.fields:
                yield field.name, points


def with_written_cells(notebook: Any, exercises: tuple[Exercise, ...]) -> Any:
    """Add, after the check cell of each exercise, one cell for each part that a person marks; return the notebook, plain JSON."""
    wanted = {exercise.grade_id: exercise for exercise in exercises}
    cells = []
    for cell in notebook["cells"]:
        cells.append(cell)
        exercise = wanted.get(cell["metadata"].get("nbgrader", {}).get("grade_id", ""))
        if exercise is not None:
            cells += [_cell(exercise.id, *part) for part in written_parts(exercise)]
    notebook["cells"] = cells
    return notebook


def _cell(exercise: str, part: str, points: float) -> dict[str, Any]:
    name = written_id(exercise, part)
    tag = {
        "cell_type": "markdown", "grade": True, "grade_id": name, "locked": False, "points": points,
        "schema_version": 3, "solution": True, "task": False,
    }  # fmt: skip
    return {"cell_type": "markdown", "id": name, "metadata": {"nbgrader": tag}, "source": [STUB]}


def written_marks(marks: Iterable[Mark]) -> dict[str, PartMark]:
    """Return the parts that a person marks, by the name of their cell."""
    return {
        written_id(mark.exercise, part.part): part
        for mark in marks
        for part in mark.parts
        if part.pending > 0
    }


def written_cells(notebook: Any) -> Iterator[Any]:
    """Yield the cells of written answers."""
    for cell in notebook["cells"]:
        if cell["metadata"].get("nbgrader", {}).get("grade_id", "").startswith(PREFIX):
            yield cell


def written_scores(notebook: Any, marks: Iterable[Mark]) -> dict[str, float | None]:
    """Return for each written cell 0.0 where nothing was written, and None where a person is to mark."""
    parts = written_marks(marks)
    names = [cell["metadata"]["nbgrader"]["grade_id"] for cell in written_cells(notebook)]
    return {name: None if name in parts and parts[name].given else 0.0 for name in names}


def with_text(cell: Any, parts: Mapping[str, PartMark], bank: Mapping[str, str]) -> Any:
    """Return a copy of a cell, with the text where it is one of a written answer, and the bank of comments below.

    A cell without a text stays as released, which nbgrader itself takes for 0 points. Long lines of an answer are
    broken where the page ends, or nobody could read them there.
    """
    copied = type(cell)(cell)
    part = parts.get(cell["metadata"].get("nbgrader", {}).get("grade_id", ""))
    if part is not None and part.given:
        copied["source"] = "\n".join(
            (
                f"<strong>{escaped(part.title)}</strong>",
                f'<pre style="white-space: pre-wrap">{escaped(part.given)}</pre>',
                f"<p>{escaped(part.reason)}</p>",
                *(
                    f"<p>{escaped(f'#{code}')} in the comment below stands for: {escaped(text)}</p>"
                    for code, text in bank.items()
                ),
            )
        )
    return copied


def escaped(text: str) -> str:
    """Return text that HTML, Markdown and formulas all leave alone; line breaks stay, other control signs do not."""
    return "".join(_entity(sign) for sign in text.replace("\t", "    "))


def _entity(sign: str) -> str:
    if sign.isalnum() or sign in " ,":
        return sign
    shown = sign if sign == "\n" or sign.isprintable() else "\ufffd"
    return f"&#{ord(shown)};"
