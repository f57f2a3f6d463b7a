"""The commands as a shell sees them: help, exit codes, one sentence and never a traceback."""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest
from filelock import FileLock

from instructor import layout
from instructor.command import main
from instructor.layout import ClassFolder
from instructor.rehearsal.scripted import CLASS, MODULE

Run = Callable[..., tuple[int, str, str]]
USUAL = ["new", "release", "take-in", "mark", "report", "open", "example"]
COMMANDS = [
    *USUAL, "guide", "roster", "learner", "due", "feedback", "comment", "export", "appeal", "recheck", "backup",
    "restore", "paper", "demonstration", "new-module", "check-module", "history", "remove",
]  # fmt: skip


@pytest.mark.parametrize("command", COMMANDS)
def test_help_of_each(command: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as left:
        main(["class", command, "--help"])
    said = capsys.readouterr().out
    assert left.value.code == 0
    assert said.startswith(f"usage: wetslip class {command}")


def test_help_of_the_whole_names_every_command_and_the_usual_order(
    capsys: pytest.CaptureFixture[str],
) -> None:
    with pytest.raises(SystemExit):
        main(["class", "--help"])
    said = capsys.readouterr().out
    for command in USUAL:
        assert f"wetslip class {command}" in said
    for command in COMMANDS:
        assert command in {line[4:].split(" ")[0] for line in said.splitlines()}


def test_help_imports_none_of_the_machinery() -> None:
    """nbgrader takes seconds to import; help must not wait for it."""
    heavy = ("nbgrader", "numpy", "jinja2", "nbformat", "pydantic", "tqdm", "sqlalchemy", "filelock")
    code = (
        "import sys\n"
        "from instructor.command import main\n"
        "try:\n    main(['class', 'mark', '--help'])\nexcept SystemExit:\n    pass\n"
        f"print([name for name in {heavy!r} if name in sys.modules], file=sys.stderr)\n"
    )
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, encoding="utf-8", check=True,
        cwd=Path(layout.__file__).parents[1],
    )  # fmt: skip
    assert done.stderr.strip() == "[]"


def test_one_command_at_a_time(run: Run, small: ClassFolder, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(layout, "SECONDS_TO_WAIT", 0.05)
    with FileLock(str(small.root / ".lock")):
        code, _, wrong = run("mark", MODULE, "--folder", small.root)
    assert code == 2
    assert wrong == (
        f"wetslip: Another command is at work on the class in '{small.root}'; try again when it is done."
    )


def test_the_current_folder_is_the_class_folder(
    run: Run, small: ClassFolder, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(small.root)
    assert run("mark", MODULE)[0] == 0


def test_an_example_is_not_made_over_something(run: Run, tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
    code, _, wrong = run("example", tmp_path)
    assert code == 2
    assert wrong == f"wetslip: '{tmp_path}' exists and is not an empty folder; nothing was changed."
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


def test_the_example_leaves_everything_to_look_at(example_folder: Path) -> None:
    assert {path.name for path in example_folder.iterdir()} == {"roster.csv", "class", "handed-in"}
    assert {path.name for path in (example_folder / "handed-in").iterdir()} == {s.learner.id for s in CLASS}
    assert (example_folder / "class" / "reports" / f"{MODULE}.html").is_file()
    ways = {scripted.way for scripted in CLASS}
    assert {"right", "leads swapped", "wrong unit", "blank", "forged logbook"} <= ways
    assert {"another's work", "truncated answers"} <= ways


@pytest.mark.parametrize("port", ["0", "70000", "-1"])
def test_a_port_that_is_none(run: Run, small: ClassFolder, port: str) -> None:
    code, _, wrong = run("open", "--no-browser", f"--port={port}", "--folder", small.root)
    assert code == 2
    assert wrong == f"wetslip: The port {port} is not a number from 1 to 65535."


def test_open_serves_prints_where_and_stops_at_a_signal(
    small: ClassFolder, tmp_path: Path, start_formgrader: Callable[..., tuple[subprocess.Popen[str], str]]
) -> None:
    began = time.monotonic()
    server, address = start_formgrader(small.root)
    assert address.startswith("http://127.0.0.1:")
    assert "/formgrader?token=" in address
    assert time.monotonic() - began < 60
    server.terminate()
    server.wait(20)
    log = server.stderr.read() if server.stderr else ""
    assert "Traceback" not in log
    assert address.rsplit("=", 1)[1] not in log


def test_open_on_a_port_in_use(
    small: ClassFolder, start_formgrader: Callable[..., tuple[subprocess.Popen[str], str]]
) -> None:
    import socket

    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        server, said = start_formgrader(small.root, "--port", str(port))
        assert server.wait(60) == 2
        assert said == ""
        assert server.stderr is not None
        wrong = server.stderr.read()
        assert f"wetslip: The port {port} is in use; name another with --port, or leave it out." in wrong
        assert "Traceback" not in wrong
