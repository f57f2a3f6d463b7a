"""Imports point one way, and the engine stands alone."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

# Longest prefix first: what each layer may import of the house; itself is always allowed.
MAY_IMPORT = {
    "course.engine": (),
    "course.boats": ("course.engine",),
    "course.instruments": ("course.engine", "course.boats"),
    "course.panels": ("course.engine", "course.boats", "course.instruments"),
    "course.learner": (),
    "course.pages": (),
    "course.quickly": (),
    "course.desk_settings": ("course.pages",),
    "course.desk": ("course.desk_settings", "course.learner", "course.pages", "course.quickly"),
    "course.face": ("course", "graders"),  # wires panels to marking, for the notebooks
    "graders": ("course.engine", "course.boats", "course.instruments", "course.learner"),
    "instructor": (
        "course.engine",
        "course.boats",
        "course.instruments",
        "course.learner",
        "course.desk",
        "course.desk_settings",
        "course.quickly",
        "course.panels.figure.whole",  # the still drawing, for print: no widget
        "graders",
    ),
    "course": ("course.face", "course.panels"),  # the package face itself, on first use
}
HOUSE = ("course", "graders", "instructor")
ENGINE_LIBRARIES = {"numpy", "scipy", "gsw", "numba", "llvmlite"}


def within(name: str, package: str) -> bool:
    return name == package or name.startswith(package + ".")


def imports(path: Path, module: str) -> Iterator[str]:
    """Yield the full name of everything a module imports, wherever in it the import stands."""
    package = module if path.name == "__init__.py" else module.rpartition(".")[0]
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                above = package.split(".")[: len(package.split(".")) - node.level + 1]
                base = ".".join([*above, *filter(None, [base])])
            if base in HOUSE:  # from course import engine: a part of it, or a name of the face
                for alias in node.names:
                    yield base if alias.name.startswith("__") else f"{base}.{alias.name}"
            else:
                yield base


def layer_of(module: str) -> str:
    return next(layer for layer in MAY_IMPORT if within(module, layer))


def trespasses(module: str, imported: Iterator[str]) -> list[str]:
    layer = layer_of(module)
    allowed = (layer, *MAY_IMPORT[layer])
    return [
        name
        for name in imported
        if name.split(".")[0] in HOUSE
        and name not in HOUSE
        and not any(within(name, good) for good in allowed)
    ]


def modules(root: Path) -> Iterator[tuple[str, Path]]:
    for package in HOUSE:
        for path in sorted((root / package).rglob("*.py")):
            parts = path.relative_to(root).with_suffix("").parts
            yield ".".join(parts[:-1] if parts[-1] == "__init__" else parts), path


def test_imports_point_one_way(root: Path) -> None:
    found = {
        module: wrong
        for module, path in modules(root)
        if (wrong := trespasses(module, imports(path, module)))
    }
    assert not found


@pytest.mark.parametrize(
    ("module", "line", "expected"),
    [
        ("course.engine.law", "from course.boats import datasets", ["course.boats"]),
        ("course.engine.law", "from ..boats import datasets", ["course.boats"]),
        ("course.boats.afloat", "import course.panels.scene", ["course.panels.scene"]),
        ("course.panels.bench", "from graders.marking import mark", ["graders.marking"]),
        ("graders.marking", "def f():\n    from course import panels", ["course.panels"]),
        ("graders.marking", "from course.engine import solve", []),
        ("instructor.report.run", "import instructor.files, graders, json", []),
    ],
)
def test_the_rule_sees_a_trespass(tmp_path: Path, module: str, line: str, expected: list[str]) -> None:
    path = tmp_path / "example.py"
    path.write_text(line + "\n", encoding="utf-8")
    assert trespasses(module, imports(path, module)) == expected


def test_the_engine_imports_its_libraries_and_nothing_else(root: Path) -> None:
    known = ENGINE_LIBRARIES | set(sys.stdlib_module_names) | {"course"}
    found = {
        (module, name)
        for module, path in modules(root)
        if within(module, "course.engine")
        for name in imports(path, module)
        if name.split(".")[0] not in known
    }
    assert not found


@pytest.mark.parametrize("package", ["course.engine", "course.boats", "course.instruments", "graders"])
def test_no_widget_comes_along(package: str) -> None:
    asks = (
        f"import sys, {package}; heavy = {{'ipywidgets', 'anywidget', 'IPython'}}; "
        "print(*sorted({name.split('.')[0] for name in sys.modules} & heavy))"
    )
    child = subprocess.run([sys.executable, "-c", asks], capture_output=True, encoding="utf-8", check=True)
    assert child.stdout.strip() == ""


def test_the_engine_reads_no_yaml() -> None:
    asks = "import sys, course.engine; print('yaml' in sys.modules, 'pydantic' in sys.modules)"
    child = subprocess.run([sys.executable, "-c", asks], capture_output=True, encoding="utf-8", check=True)
    assert child.stdout.split() == ["False", "False"]
