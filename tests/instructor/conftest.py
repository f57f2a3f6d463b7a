"""Classes to test on: one worked through by scripted learners, and copies of it to spoil."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

import instructor
from instructor.command import main
from instructor.layout import ClassFolder, open_class
from instructor.rehearsal.scripted import MODULE

Run = Callable[..., tuple[int, str, str]]


@pytest.fixture
def run(capsys: pytest.CaptureFixture[str]) -> Run:
    """Run `wetslip class ...` in this process; returns exit code, output and error stream without the bar."""

    def command(*arguments: object) -> tuple[int, str, str]:
        capsys.readouterr()
        code = main(["class", *map(str, arguments)])
        said = capsys.readouterr()
        bars = ("learner/s]", "s/learner]")  # a slow machine counts the seconds a learner takes
        lines = said.err.replace("\r", "\n").splitlines()
        lines = [line for line in lines if not any(bar in line for bar in bars)]
        return code, said.out, "\n".join(line for line in lines if line.strip())

    return command


@pytest.fixture(scope="session")
def example_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The invented class as `wetslip class example` makes it, in a folder with spaces and letters of any kind."""
    folder = tmp_path_factory.mktemp("Klasse å 中") / "an example"
    assert main(["class", "example", str(folder)]) == 0
    return folder


@pytest.fixture
def example(example_folder: Path, tmp_path: Path) -> Path:
    """A copy of the invented class that a test may spoil."""
    folder = tmp_path / "Övnings klass"
    shutil.copytree(example_folder, folder, symlinks=True)
    return folder


@pytest.fixture
def worked(example: Path) -> ClassFolder:
    """The class folder in the copy: released, taken in, marked and reported."""
    return open_class(example / "class")


@pytest.fixture(scope="session")
def small_folders(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A class of two as made, and the same with the module released: made once, since it takes seconds."""
    place = tmp_path_factory.mktemp("small")
    roster = place / "roster.csv"
    roster.write_text("id,name\nann,Ann Tarrow\nbo,Bo Winsk\n", encoding="utf-8")
    made, released = place / "made", place / "released"
    assert main(["class", "new", str(made), "--roster", str(roster), "--cohort", "tern-1"]) == 0
    shutil.copytree(made, released)
    assert main(["class", "release", MODULE, "--folder", str(released)]) == 0
    return made, released


@pytest.fixture
def fresh(small_folders: tuple[Path, Path], tmp_path: Path) -> Path:
    """A copy of the class of two without a release."""
    return shutil.copytree(small_folders[0], tmp_path / "kläss")


@pytest.fixture
def small(small_folders: tuple[Path, Path], tmp_path: Path) -> ClassFolder:
    """A copy of the class of two, released, with nothing handed in."""
    return open_class(shutil.copytree(small_folders[1], tmp_path / "Kurs ö"))


def environment(**more: str) -> dict[str, str]:
    """Return an environment in which a child process finds these packages, and no Jupyter settings of ours."""
    packages = str(Path(instructor.__file__).parents[1])
    path = os.pathsep.join(filter(None, [os.environ.get("PYTHONPATH", ""), packages]))
    return {**os.environ, "PYTHONPATH": path, "JUPYTER_NO_CONFIG": "1", **more}


@pytest.fixture
def nbgrader() -> Callable[..., subprocess.CompletedProcess[str]]:
    """Run nbgrader's own command in a folder, as an instructor would."""

    def command(folder: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
        return subprocess.run(
            [sys.executable, "-m", "nbgrader", *arguments],
            cwd=folder,
            env=environment(),
            capture_output=True,
            encoding="utf-8",
            check=False,
        )

    return command


@pytest.fixture
def start_formgrader() -> Iterator[Callable[..., tuple[subprocess.Popen[str], str]]]:
    """Start `wetslip class open`; returns the process and the address it printed ("" when it printed none)."""
    opened: list[subprocess.Popen[str]] = []

    def start(folder: Path, *options: str) -> tuple[subprocess.Popen[str], str]:
        process = subprocess.Popen(
            [sys.executable, "-c", "import sys; from instructor.command import main; sys.exit(main())", "class",
             "open", "--no-browser", "--folder", str(folder), *options],
            env=environment(PYTHONUNBUFFERED="1"),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            encoding="utf-8",
        )  # fmt: skip
        opened.append(process)
        assert process.stdout is not None
        line = process.stdout.readline()
        return process, line.removeprefix("Formgrader: ").strip()

    yield start
    for process in opened:
        if process.poll() is None:
            process.kill()
        process.wait(20)
        for stream in (process.stdout, process.stderr):
            if stream is not None:
                stream.close()
