"""What a person writes beside a mark in formgrader, and the bank of comments that are written again and again."""

from __future__ import annotations

import re
from typing import Any

from instructor.errors import ClassError
from instructor.files import read_json, write_bytes, write_json
from instructor.handout.check_cells import filled_with, plain_bytes, read_plain
from instructor.layout import ClassFolder
from instructor.marking.evidence import fingerprint_of
from instructor.marking.ledger import Ledger
from instructor.marking.marks import NOTEBOOK, by_cell, read_stored, write_marks
from instructor.marking.written import written_cells

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


def show_bank(folder: ClassFolder) -> int:
    """Put the bank as it is now below every written answer that is marked already; return how many notebooks changed.

    Marks stay as they are. A kill in the middle leaves a notebook that the next marking makes again.

    Raises
    ------
    ClassError : a released notebook, or somebody's marks, are damaged
    """
    bank, changed = read_bank(folder), 0
    for path in sorted((folder.root / "released").glob("*.json")):
        module = path.stem
        notebook = read_plain(folder.release_notebook(module))
        if not any(True for _ in written_cells(notebook)):
            continue
        for marked in sorted((folder.root / "marks").glob(f"*/{module}.json")):
            changed += _shown(folder, module, marked.parent.name, notebook, bank)
    return changed


def _shown(folder: ClassFolder, module: str, learner: str, notebook: Any, bank: dict[str, str]) -> bool:
    """Write one learner's marked notebook with the bank in it; return whether that changed it."""
    stored = read_stored(folder, module, learner)
    place = folder.autograded(learner, module) / f"{module}.ipynb"
    if stored is None or not place.is_file() or not any(mark.pending for mark in stored.marks):
        return False
    content = plain_bytes(filled_with(notebook, by_cell(stored.marks), bank)[0])
    if content == place.read_bytes():
        return False
    write_bytes(place, content, durable=False)
    write_marks(folder, module, learner, stored.marks, {**stored.evidence, NOTEBOOK: fingerprint_of(content)})
    return True


def expanded(text: str, bank: dict[str, str]) -> str:
    """Return a comment with each '#code' of the bank written out; an unknown code stays as it is."""
    return CODE.sub(lambda found: bank.get(found[1], found[0]), text)
