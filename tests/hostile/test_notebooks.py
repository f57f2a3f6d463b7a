"""Whatever a notebook holds, none of it is run, opened or believed: marks come from data."""

from __future__ import annotations

import json
import os
import socket
import subprocess
import sys
from collections.abc import Callable
from typing import Any

import pytest
from nbformat.v4 import new_code_cell

from instructor.rehearsal.scripted import MODULE

Yard = Any  # of conftest.py, which cannot be imported
Marks = dict[str, tuple[float, tuple[str | None, ...]]]
HOSTILE = "mallory"

PAYLOADS = {
    "redefines check": "def check(*a):\n    return 10.0\nimport builtins\nbuiltins.check = check",
    "patches numpy": "import numpy\nnumpy.float64 = lambda *a: 10.0\nnumpy.isclose = lambda *a, **k: True",
    "patches the engine": "import course.engine.solve as s\ns.solve = lambda *a: None\n"
    "import graders.marking as m\nm.mark = lambda *a, **k: 10.0",
    "replaces modules": "import sys\nsys.modules['graders'] = sys.modules['course'] = type(sys)('mine')",
    "rewrites the gradebook": "import sqlite3\nb = sqlite3.connect({book!r})\n"
    "b.execute('update grade set auto_score = 10, manual_score = 10')\nb.commit()",
    "reads others' work": "from pathlib import Path\nprint(Path({others!r}).read_text())",
    "deletes the class": "import shutil\nshutil.rmtree({folder!r})",
    "loops for ever": "while True:\n    pass",
    "allocates eight gigabytes": "held = bytearray(8_000_000_000)",
    "opens the network": "import socket\nsocket.create_connection(('127.0.0.1', {port}))",
    "ends the process": "import os\nos._exit(0)",
}


def notebook_of(yard: Yard) -> dict[str, Any]:
    content: dict[str, Any] = json.loads((yard.work() / f"{MODULE}.ipynb").read_text(encoding="utf-8"))
    return content


def put(yard: Yard, notebook: Any) -> None:
    (yard.work() / f"{MODULE}.ipynb").write_text(json.dumps(notebook), encoding="utf-8")


def payloads(yard: Yard, port: int) -> dict[str, str]:
    """Every payload as code that first leaves a trace of its own."""
    given = {
        "book": str(yard.place / "class" / "gradebook.db"),
        "others": str(yard.work("ann") / "answers.jsonl"),
        "folder": str(yard.place / "class"),
        "port": port,
    }
    traces = yard.place / "outside" / "ran"
    return {
        name: f"open({str(traces)!r}, 'a').write({name!r})\n{code.format(**given)}"
        for name, code in PAYLOADS.items()
    }


def load(yard: Yard, port: int = 9) -> None:
    """Put every payload into the notebook, check cells included, and into every file that Python looks for."""
    notebook, codes = notebook_of(yard), list(payloads(yard, port).values())
    for cell in notebook["cells"]:
        if cell["cell_type"] == "code":
            cell["source"] = codes[0]
    notebook["cells"][:0] = [dict(new_code_cell(code)) for code in codes]
    put(yard, notebook)
    for name in (
        "sitecustomize",
        "usercustomize",
        "conftest",
        "nbgrader_config",
        "course",
        "graders",
        "numpy",
    ):
        (yard.work() / f"{name}.py").write_text("\n".join(codes), encoding="utf-8")
    (yard.work() / "now.pth").write_text(f"import os; exec({codes[0]!r})", encoding="utf-8")


def test_no_code_is_ever_run(yard: Yard, sound: Marks) -> None:
    with socket.create_server(("127.0.0.1", 0)) as server:
        server.settimeout(0)
        load(yard, server.getsockname()[1])
        went = yard.go()
        with pytest.raises(BlockingIOError):
            server.accept()
    assert (went.codes, went.problems) == ((0, 0, 0), ())
    assert went.marks == sound
    assert not (yard.place / "outside" / "ran").exists()
    taken = {path.name for path in yard.folder.submitted(HOSTILE, MODULE).iterdir()}
    assert taken == {
        "answers.jsonl", "logbook.jsonl", "learner.json", f"{MODULE}.ipynb", "timestamp.txt",
        "submission_secret.txt",
    }  # fmt: skip


@pytest.mark.parametrize("name", list(PAYLOADS))
def test_the_payloads_would_do_harm_if_they_were_run(name: str) -> None:
    """A test that cannot fail proves nothing: each is code that Python would take."""
    compile(PAYLOADS[name].format(book="b", others="o", folder="f", port=1), name, "exec")


def test_nbgraders_own_autograde_runs_none_of_it_either(yard: Yard, sound: Marks) -> None:
    load(yard)
    assert yard.go(report=False).marks == sound
    done = subprocess.run(
        [sys.executable, "-m", "nbgrader", "autograde", MODULE, "--student", HOSTILE, "--force"],
        cwd=yard.place / "class",
        env={**os.environ, "JUPYTER_NO_CONFIG": "1"},
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert yard.marks() == sound
    assert yard.gradebook()[HOSTILE, "03.1"] == sound["03.1"][0]
    assert not (yard.place / "outside" / "ran").exists()


def check_cells(notebook: dict[str, Any]) -> list[dict[str, Any]]:
    return [cell for cell in notebook["cells"] if cell["metadata"].get("nbgrader", {}).get("grade")]


def doubled(notebook: dict[str, Any]) -> None:
    notebook["cells"] += [{**cell, "id": f"again{n}"} for n, cell in enumerate(check_cells(notebook))]


def deleted(notebook: dict[str, Any]) -> None:
    notebook["cells"] = [cell for cell in notebook["cells"] if cell not in check_cells(notebook)]


def rich(notebook: dict[str, Any]) -> None:
    for cell in check_cells(notebook):
        cell["metadata"]["nbgrader"]["points"] = 1e9
        cell["outputs"] = [
            {
                "output_type": "execute_result",
                "data": {"text/plain": ["1e9"]},
                "execution_count": 1,
                "metadata": {},
            }
        ]


def of_format_3(notebook: dict[str, Any]) -> None:
    cells = notebook.pop("cells")
    notebook |= {"nbformat": 3, "nbformat_minor": 0, "worksheets": [{"cells": cells, "metadata": {}}]}


def of_format_9(notebook: dict[str, Any]) -> None:
    notebook["nbformat"] = 9


def of_another_release(notebook: dict[str, Any]) -> None:
    for cell in check_cells(notebook):
        cell["metadata"]["nbgrader"] |= {"grade_id": "check-99-9", "schema_version": 99}


@pytest.mark.parametrize("change", [doubled, deleted, rich, of_format_3, of_format_9, of_another_release])
def test_a_notebook_of_any_shape_moves_no_mark(
    yard: Yard, sound: Marks, change: Callable[[dict[str, Any]], None]
) -> None:
    notebook = notebook_of(yard)
    change(notebook)
    put(yard, notebook)
    went = yard.go(report=False)
    assert (went.codes, went.problems, went.marks) == ((0, 0), (), sound)


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"{",
        b"\x00" * 1000,
        b"\xff\xfe{}",
        b"[" * 100_000,
        b'{"cells": ' + b"[" * 5000,
        b'{"nbformat": 1e999}',
    ],
)
def test_a_file_that_is_no_notebook_moves_no_mark(yard: Yard, sound: Marks, content: bytes) -> None:
    (yard.work() / f"{MODULE}.ipynb").write_bytes(content)
    went = yard.go(report=False)
    assert (went.codes, went.problems, went.marks) == ((0, 0), (), sound)
