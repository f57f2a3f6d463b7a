"""``wetslip notebooks``: keep the course's notebooks in one form, so that a change of them can be read."""

from __future__ import annotations

import argparse
import hashlib
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from instructor.errors import ClassError

HELP = "bring the course's notebooks into their stored form (for authors)"
DESCRIPTION = """\
Brings every notebook under FOLDER into the form in which it is stored: no
outputs, no execution counts, an id for each cell that stays, sorted metadata,
the kernel named python3, and nothing that an editor left behind. Text and
code are not touched. Run it before you commit a notebook you have edited.

With --prose nothing is changed: what learners read is checked instead, in
notebooks and Markdown files. Links lead somewhere, bold words are terms of
the glossary, pictures have words, spelling is British, sentences are short.
"""
EPILOG = """\
exit code:
  0 when all are in form, 1 when --check found one that is not or --prose
  found something, 2 when one cannot be read.
"""

KERNEL = {
    "display_name": "Python 3 (ipykernel)",
    "language": "python",
    "name": "python3",
}  # as Jupyter writes it
LANGUAGE = {"name": "python"}
_KEPT_METADATA = ("jupytext", "wetslip")
_LEFT_BEHIND = ("ExecuteTime", "collapsed", "execution", "scrolled", "trusted", "vscode")
_CELL_ID = re.compile(r"[A-Za-z0-9_-]{1,64}")


def add_parser(subparsers: Any) -> None:
    """Add ``notebooks`` to the command's parser."""
    parser: argparse.ArgumentParser = subparsers.add_parser(
        "notebooks",
        help=HELP,
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument(
        "folder", metavar="FOLDER", nargs="?", type=Path, help="where to look (default: the course's modules)"
    )
    parser.add_argument("--check", action="store_true", help="change nothing, only say which are not in form")
    parser.add_argument("--prose", action="store_true", help="check what learners read, and change nothing")
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Normalise, or with --check say what is not normal; return the exit code."""
    from course.desk import MODULES

    folder = arguments.folder or MODULES
    if arguments.prose:
        return _prose(folder)
    if not folder.is_dir():
        raise ClassError(f"{folder} is not a folder.")
    odd = [(path, text) for path in notebooks_under(folder) if (text := normal_text(path)) != _read(path)]
    for path, text in odd:
        if arguments.check:
            print(f"{path} is not in its stored form; run 'wetslip notebooks' and commit what it changed.")
        else:
            path.write_text(text, encoding="utf-8", newline="\n")
            print(f"{path} was brought into form.")
    return int(arguments.check and bool(odd))


def _prose(folder: Path) -> int:
    """Print what is to be put right in what learners read, and how long the sentences are; return the exit code."""
    from instructor.prose import check_file, files_under, sentence_lengths

    if not folder.exists():
        raise ClassError(f"{folder} does not exist.")
    wrong = 0
    for path in files_under(folder):
        found = list(check_file(path))
        wrong += len(found)
        print("".join(f"{one}\n" for one in found), end="")
        average, longest, sentence = sentence_lengths(path)
        print(f"{path}: {average:.1f} words a sentence, the longest {longest}: {sentence[:60]!r}")
    return int(bool(wrong))


def notebooks_under(folder: Path) -> Iterator[Path]:
    """Yield every notebook below a folder, in order; copies that Jupyter keeps are left out."""
    for path in sorted(folder.rglob("*.ipynb")):
        if ".ipynb_checkpoints" not in path.parts:
            yield path


def normal_text(path: Path) -> str:
    """Return the text a notebook is stored as.

    Raises
    ------
    ClassError
        If it is not a notebook.
    """
    from course.quickly import quickly

    nbformat = quickly("nbformat")
    try:
        # not nbformat.reads: it gives a cell without an id a random one
        notebook = nbformat.from_dict(json.loads(_read(path)))
        if notebook.nbformat != 4:
            raise ClassError(
                f"{path} is in notebook format {notebook.nbformat}; save it as format 4 in Jupyter."
            )
        normalise(notebook, path.stem)
        nbformat.validate(notebook)
    except ClassError:
        raise
    except Exception as error:  # nbformat raises whatever a malformed notebook makes it stumble over
        first_line = str(error).strip().splitlines()[0] if str(error).strip() else type(error).__name__
        raise ClassError(f"{path} cannot be read as a notebook: {first_line}") from error
    return str(nbformat.writes(notebook)).rstrip("\n") + "\n"


def _read(path: Path) -> str:
    with path.open(encoding="utf-8", newline="") as stream:
        return stream.read()


def normalise(notebook: Any, name: str) -> None:
    """Bring a notebook (an nbformat 4 node) into its stored form, in place."""
    notebook.nbformat, notebook.nbformat_minor = 4, 5
    kept = {key: notebook.metadata[key] for key in _KEPT_METADATA if key in notebook.metadata}
    notebook.metadata.clear()
    notebook.metadata.update(kept, kernelspec=dict(KERNEL), language_info=dict(LANGUAGE))
    seen: set[str] = set()
    for cell in notebook.cells:
        for key in _LEFT_BEHIND:
            cell.metadata.pop(key, None)
        if cell.cell_type == "code":
            cell.outputs, cell.execution_count = [], None
        else:
            cell.pop("outputs", None)
            cell.pop("execution_count", None)
        cell.id = _settled_id(cell, name, seen)
        seen.add(cell.id)


def _settled_id(cell: Any, name: str, seen: set[str]) -> str:
    """Return the cell's own id where it has a good one, or one made from what the cell says."""
    own = cell.get("id", "")
    if _CELL_ID.fullmatch(own) and own not in seen:
        return str(own)
    for again in range(len(seen) + 1):
        content = f"{name}\n{again}\n{cell.cell_type}\n{cell.source}"
        made = hashlib.sha256(content.encode()).hexdigest()[:8]
        if made not in seen:
            return made
    raise AssertionError("one more attempt than there are ids always finds a free one")
