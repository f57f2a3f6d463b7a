"""The words of the course, each with its meaning in one plain sentence (datasets/glossary.yaml)."""

from __future__ import annotations

from functools import cache

from course.boats.datasets import UnknownName as Unknown
from course.boats.datasets import load, nearest

__all__ = ["Unknown", "meaning", "related", "terms"]


@cache
def _by_name() -> dict[str, dict[str, str]]:
    return {row["term"].lower(): row for row in load("glossary").values()}


def terms() -> tuple[str, ...]:
    """Return every term, in the order of the alphabet."""
    return tuple(sorted((row["term"] for row in load("glossary").values()), key=str.lower))


def _row(term: str) -> dict[str, str]:
    rows, name = _by_name(), term.strip().lower()
    for known in (name, name.removesuffix("s"), name.removesuffix("es")):
        if known in rows:
            return rows[known]
    raise Unknown(f"the glossary has no {term!r}{nearest(name, rows)}")


def meaning(term: str) -> str:
    """Return the meaning of a term in one sentence; capitals and a plural s do not matter.

    Raises Unknown, with the nearest term, for a word that is not there.
    """
    return _row(term)["meaning"]


def related(term: str) -> tuple[str, ...]:
    """Return the terms a reader of `term` may want next. Raises Unknown as `meaning` does."""
    return tuple(_row(term).get("see", ()))
