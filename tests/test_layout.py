"""The house stands as it was drawn: the top level, the size of its rooms, and what the wheel carries."""

from __future__ import annotations

import ast
import statistics
import subprocess
import sys
import tomllib
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest

TOP = {
    "README.md",
    "DEVELOPERS.md",
    "LICENSE",
    "pyproject.toml",
    "course",
    "graders",
    "instructor",
    "datasets",
    "tests",
}
PACKAGES = ("course", "graders", "instructor")
LONGEST_MODULE, LONGEST_FUNCTION = 400, 40  # lines; a function's without its docstring


def tracked(root: Path) -> list[str]:
    """Return the files of the checkout, as git knows them or, in a copy without git, as they lie there."""
    if (root / ".git").exists():
        listing = subprocess.run(
            ["git", "ls-files", "-z"], cwd=root, capture_output=True, encoding="utf-8", check=True
        )
        return [name for name in listing.stdout.split("\0") if name and (root / name).exists()]
    return [str(path.relative_to(root).as_posix()) for path in root.rglob("*") if path.is_file()]


def sources(root: Path) -> Iterator[Path]:
    for package in PACKAGES:
        yield from sorted((root / package).rglob("*.py"))


def test_the_top_level_is_the_design(root: Path) -> None:
    names = {name.split("/")[0] for name in tracked(root)}
    assert {name for name in names if not name.startswith(".")} <= TOP


def test_modules_are_small(root: Path) -> None:
    lengths = {path: len(path.read_text(encoding="utf-8").splitlines()) for path in sources(root)}
    assert {str(path): length for path, length in lengths.items() if length > LONGEST_MODULE} == {}
    assert statistics.median(lengths.values()) <= 150


def function_lengths(path: Path) -> Iterator[tuple[str, int]]:
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef) and node.end_lineno is not None:
            length = node.end_lineno - node.lineno + 1
            if ast.get_docstring(node) is not None:
                told = node.body[0]
                length -= (told.end_lineno or told.lineno) - told.lineno + 1
            yield f"{path.name}:{node.lineno} {node.name}", length


def test_functions_are_short(root: Path) -> None:
    found = {
        name: length
        for path in sources(root)
        for name, length in function_lengths(path)
        if length > LONGEST_FUNCTION
    }
    assert found == {}


def test_nobodys_work_lies_among_the_modules(root: Path) -> None:
    """The class's machinery copies such files over every learner's own when it marks."""
    stray = {"answers.jsonl", "logbook.jsonl", "learner.json"}
    assert [
        name for name in tracked(root) if name.startswith("course/modules/") and name.split("/")[-1] in stray
    ] == []


@pytest.fixture(scope="module")
def wheel(root: Path, tmp_path_factory: pytest.TempPathFactory) -> set[str]:
    place = tmp_path_factory.mktemp("wheel")
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(place)],
        cwd=root,
        check=True,
        capture_output=True,
    )
    (built,) = place.glob("*.whl")
    with zipfile.ZipFile(built) as archive:
        return set(archive.namelist())


def test_the_wheel_carries_every_file_of_the_packages(root: Path, wheel: set[str]) -> None:
    wanted = {name for name in tracked(root) if name.split("/")[0] in PACKAGES}
    assert wanted - wheel == set()


def test_the_wheel_carries_the_datasets_beside_the_course(root: Path, wheel: set[str]) -> None:
    wanted = {f"course/{name}" for name in tracked(root) if name.startswith("datasets/")}
    assert wanted
    assert wanted - wheel == set()


def test_the_wheel_carries_no_tests(wheel: set[str]) -> None:
    assert {name for name in wheel if name.startswith("tests/")} == set()


def test_the_readme_gives_the_commands_that_ci_runs(root: Path) -> None:
    readme = (root / "README.md").read_text(encoding="utf-8")
    script = (root / ".ci" / "run").read_text(encoding="utf-8")
    assert "wetslip learn" in readme
    assert "pip install -e '.[test]'" in readme
    assert "&& pytest\n" in readme
    assert script.rstrip().endswith("pytest")


def test_every_dependency_says_how_it_earns_its_place(root: Path) -> None:
    with (root / "pyproject.toml").open("rb") as stream:
        project = tomllib.load(stream)["project"]
    extras = project["optional-dependencies"]
    named = [*project["dependencies"], *extras["test"], *extras["dev"]]
    told = (root / "DEVELOPERS.md").read_text(encoding="utf-8")
    missing = [
        name for line in named if (name := line.split(">=")[0].split("[")[0]) and f"`{name}`" not in told
    ]
    assert missing == []
