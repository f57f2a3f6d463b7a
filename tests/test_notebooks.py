"""The course's notebooks are stored in one form, hold no answers, and run in a real kernel."""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import nbformat
import pytest

from course import desk
from course.learner import Learner
from instructor.command import main
from instructor.notebooks import normal_text, notebooks_under

STORED = list(notebooks_under(desk.MODULES))
LONGEST_WIDGET_CELL = 3  # lines of code


@pytest.fixture
def untidy(tmp_path: Path) -> Path:
    """A notebook as an editor leaves it: outputs, counts, a doubled and a missing cell id, odd metadata."""
    cells: list[dict[str, Any]] = [
        {"cell_type": "markdown", "id": "same", "metadata": {"vscode": {}}, "source": ["# Łódź\n", "text"]},
        {
            "cell_type": "code",
            "id": "same",
            "execution_count": 7,
            "metadata": {"jupyter": {"source_hidden": True}, "collapsed": False},
            "outputs": [{"output_type": "stream", "name": "stdout", "text": ["42\n"]}],
            "source": ["print(42)"],
        },
        {
            "cell_type": "code",
            "execution_count": None,
            "metadata": {},
            "outputs": [],
            "source": ["print(42)"],
        },
    ]
    metadata = {"kernelspec": {"name": "my-env", "display_name": "mine"}, "widgets": {"state": {}}}
    path = tmp_path / "żaglówka" / "untidy.ipynb"
    path.parent.mkdir()
    path.write_text(
        json.dumps({"nbformat": 4, "nbformat_minor": 5, "metadata": metadata, "cells": cells}),
        encoding="utf-8",
    )
    return path


def test_a_notebook_is_brought_into_form(untidy: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["notebooks", str(untidy.parent)]) == 0
    assert "was brought into form" in capsys.readouterr().out
    notebook = nbformat.read(untidy, as_version=4)
    nbformat.validate(notebook)
    text, first, _ = notebook.cells
    assert text.source == "# Łódź\ntext"
    assert first.outputs == []
    assert first.execution_count is None
    assert first.metadata == {"jupyter": {"source_hidden": True}}
    assert text.id == "same"
    assert len({cell.id for cell in notebook.cells}) == 3
    assert notebook.metadata.kernelspec.name == "python3"
    assert "widgets" not in notebook.metadata


def test_what_is_in_form_stays_byte_for_byte(untidy: Path) -> None:
    main(["notebooks", str(untidy.parent)])
    before = untidy.read_bytes()
    assert main(["notebooks", str(untidy.parent)]) == 0
    assert untidy.read_bytes() == before


def test_two_authors_get_the_same_ids(untidy: Path, tmp_path: Path) -> None:
    twin = tmp_path / "elsewhere" / untidy.name
    twin.parent.mkdir()
    shutil.copyfile(untidy, twin)
    assert normal_text(untidy) == normal_text(twin)


def test_check_refuses_and_changes_nothing(untidy: Path, capsys: pytest.CaptureFixture[str]) -> None:
    before = untidy.read_bytes()
    assert main(["notebooks", "--check", str(untidy.parent)]) == 1
    assert f"{untidy} is not in its stored form" in capsys.readouterr().out
    assert untidy.read_bytes() == before


@pytest.mark.parametrize("content", ["", "{}", '{"nbformat": 3}', '{"cells": 3, "nbformat": 4}', "\udcff"])
def test_what_is_no_notebook_gets_one_sentence(
    tmp_path: Path, content: str, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "odd.ipynb"
    path.write_bytes(content.encode("utf-8", "surrogateescape"))
    assert main(["notebooks", str(tmp_path)]) == 2
    said = capsys.readouterr().err
    assert said.startswith(f"wetslip: {path}")
    assert said.count("\n") == 1


@pytest.mark.parametrize("path", STORED, ids=lambda path: path.stem)
def test_a_stored_notebook_is_in_form(path: Path) -> None:
    assert path.read_bytes().decode("utf-8") == normal_text(path), "run 'wetslip notebooks'"


@pytest.mark.parametrize("path", STORED, ids=lambda path: path.stem)
def test_a_stored_notebook_is_named_as_its_folder(path: Path) -> None:
    assert path.stem == path.parent.name


@pytest.mark.parametrize("path", STORED, ids=lambda path: path.stem)
def test_a_stored_notebook_holds_no_answers(path: Path) -> None:
    notebook = nbformat.read(path, as_version=4)
    text = "\n".join(cell.source for cell in notebook.cells).upper()
    for sign in ("BEGIN SOLUTION", "END SOLUTION", "BEGIN HIDDEN", "HIDDEN TESTS"):
        assert sign not in text


@pytest.mark.parametrize("path", STORED, ids=lambda path: path.stem)
def test_cells_of_code_are_thin_and_folded(path: Path) -> None:
    for cell in nbformat.read(path, as_version=4).cells:
        if cell.cell_type == "code":
            assert len(cell.source.splitlines()) <= LONGEST_WIDGET_CELL, cell.source
            assert cell.metadata.get("jupyter", {}).get("source_hidden") is True, cell.source


@pytest.mark.parametrize("path", STORED, ids=lambda path: path.stem)
def test_a_stored_notebook_runs(path: Path, tmp_path: Path) -> None:
    """In a learner's folder, in a real kernel, from top to bottom, without an error."""
    from nbclient import NotebookClient

    folder = tmp_path / "my course ż"
    desk.settle(folder, Learner("learner-1", "class-1"))
    desk.lay_out(folder)
    here = folder / path.relative_to(desk.MODULES)
    notebook = nbformat.read(here, as_version=4)
    NotebookClient(notebook, timeout=120, resources={"metadata": {"path": str(here.parent)}}).execute()
