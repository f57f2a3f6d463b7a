"""What a person writes beside a mark in formgrader, and the bank of comments that are written again and again."""

from __future__ import annotations

import re
from typing import Any

from instructor.errors import ClassError
from instructor.files import read_json, write_json
from instructor.layout import ClassFolder
from instructor.marking.ledger import Ledger

CODE = re.compile(r"#([^\W_][\w-]*)")
_COMMENTS = """
select cell.name, coalesce(comment.manual_comment, comment.auto_comment)
from submitted_assignment as work
join assignment on assignment.id = work.assignment_id
join submitted_notebook as book on book.assignment_id = work.id
join comment on comment.notebook_id = book.id
join base_cell as cell on cell.id = comment.cell_id
where assignment.name = ? and work.student_id = ?
"""


def read_comments(gradebook: Any, module: str, learner: str) -> dict[str, str]:
    """Return what a person wrote beside each cell, by the cell's name; nbgrader's "No response." is passed over.

    Parameters
    ----------
    gradebook : as opened by `gradebook.open_gradebook`
    module, learner : their ids
    """
    if isinstance(gradebook, Ledger):
        found = dict(gradebook.connection.execute(_COMMENTS, (module, learner)))
    else:
        from nbgrader.api import MissingEntry

        try:
            notebook = gradebook.find_submission_notebook(module, module, learner)
        except MissingEntry:
            return {}
        found = {comment.name: comment.comment for comment in notebook.comments}
    return {name: text for name, text in found.items() if text and text != "No response."}


def read_bank(folder: ClassFolder) -> dict[str, str]:
    """Return the class's bank of comments, code -> text.

    Raises
    ------
    ClassError : the file is damaged
    """
    path = folder.root / "comments.json"
    bank = read_json(path, "the bank of comments") if path.exists() else {}
    if not isinstance(bank, dict):
        raise ClassError(f"the bank of comments '{path}' is damaged: it is no list of codes and texts.")
    return {str(code): str(text) for code, text in bank.items()}


def keep_comment(folder: ClassFolder, code: str, text: str) -> None:
    """Put a comment into the bank, or take it out when the text is empty.

    Raises
    ------
    ClassError : the code cannot be written after a '#'
    """
    if not CODE.fullmatch(f"#{code}"):
        raise ClassError(f"The code '{code}' is no single word of letters, digits, '-' and '_'.")
    bank = read_bank(folder)
    bank.pop(code, None)
    write_json(
        folder.root / "comments.json", dict(sorted({**bank, **({code: text} if text else {})}.items()))
    )


def expanded(text: str, bank: dict[str, str]) -> str:
    """Return a comment with each '#code' of the bank written out; an unknown code stays as it is."""
    return CODE.sub(lambda found: bank.get(found[1], found[0]), text)
