"""The one reader of the project's data: YAML tables whose rows carry source, unit and status."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from functools import cache, lru_cache
from pathlib import Path
from typing import Any

import yaml

from course.engine.kinetics import Kinetics

SAFE = getattr(
    yaml, "CSafeLoader", yaml.SafeLoader
)  # the same reader in C, ten times as fast, where there is one


class UnknownName(ValueError):
    """A name that no row of a table has; the sentence offers the nearest one."""


def nearest(name: str, known: Iterable[str]) -> str:
    """Return the words ``; did you mean 'x'?`` for the known name closest to ``name``, or nothing."""
    close = difflib.get_close_matches(name, list(known), n=1, cutoff=0.4)
    return f"; did you mean {close[0]!r}?" if close else ""


@lru_cache(maxsize=1)
def datasets_folder() -> Path:
    """Return the folder of the tables: inside the installed package, or beside it in a checkout.

    Raises FileNotFoundError when neither is there.
    """
    package = Path(__file__).resolve().parents[1]
    for folder in (package / "datasets", package.parent / "datasets"):
        if (folder / "metals.yaml").is_file():
            return folder
    raise FileNotFoundError(
        "the tables of metals and boats are missing from this installation; install wetslip again"
    )


@cache
def load(table: str) -> dict[str, dict[str, Any]]:
    """Return one table as ``{row id: row}``. ``table`` is the file's name without its ending.

    Raises FileNotFoundError when there is no such table.
    """
    path = datasets_folder() / f"{table}.yaml"
    with path.open(encoding="utf-8") as stream:
        document = yaml.load(stream, Loader=SAFE)
    return {row["id"]: row for row in document["rows"]}


def row(table: str, name: str) -> dict[str, Any]:
    """Return one row of a table.

    Raises UnknownName, with the nearest known name, when the table has no such row.
    """
    rows = load(table)
    if name not in rows:
        raise UnknownName(f"the table of {table} has no {name!r}{nearest(name, rows)}")
    return rows[name]


@cache
def kinetics_of(metal: str) -> Kinetics:
    """Return the engine's parameters of a metal. Raises UnknownName for one not in the table."""
    return Kinetics(**row("metals", metal)["kinetics"])
