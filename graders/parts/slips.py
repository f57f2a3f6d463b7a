"""Slips of the pen that any number can suffer: unit, sign, decimal point, exchanged figures, a number copied from the question."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from decimal import Decimal
from itertools import pairwise
from typing import NamedTuple

from graders.task import Task, said
from graders.units import RELATED

Meets = Callable[[float], bool]
FACTORS = (10.0, 0.1, 100.0, 0.01, 1000.0, 0.001, 1e6, 1e-6)
FIGURES_AGREE = (
    0.02  # of a value whose point moved: a tolerance that is not a share of it would let anything small agree
)
FEWEST_FIGURES = 2  # of a number in which figures can change places
_NUMBER = re.compile(r"(?<![\w.])[-+]?\d+(?:\.\d+)?")


def written_figures(value: float) -> str:
    """Return a value in plain figures, without a power of ten."""
    return f"{Decimal(repr(value)).normalize():f}"


def exchanged(value: float) -> Iterator[float]:
    """Yield the numbers that a value becomes when two neighbouring figures of it change places."""
    text = written_figures(value)
    if sum(sign.isdigit() for sign in text.strip("-0.")) < FEWEST_FIGURES:
        return
    spots = [k for k, sign in enumerate(text) if sign.isdigit()]
    if text.lstrip("-").startswith("0."):  # that nought is no figure of the number
        spots = spots[1:]
    for first, second in pairwise(spots):
        if text[first] != text[second]:
            signs = list(text)
            signs[first], signs[second] = signs[second], signs[first]
            yield float("".join(signs))


def numbers_in(text: str) -> frozenset[float]:
    """Return the numbers that stand in a text; none that is part of a word."""
    return frozenset(float(number) for number in _NUMBER.findall(text))


def shown_numbers(task: Task) -> frozenset[float]:
    """Return every number that the question shows on this plan: in its text, its tables and its record card."""
    tables = (make(task) for make in task.exercise.tables)
    cells = [cell for table in tables for row in table.rows for cell in row]
    return numbers_in("\n".join((said(task.exercise.prompt, task), *cells, *task.plan.record_card.values())))


class Right(NamedTuple):
    """A right value: whether a number is that value within its tolerance, or close to it, and the value as one would write it."""

    meets: Meets
    close: Meets
    written: float


def other_unit(value: float, unit: str, meets: Meets) -> str | None:
    """Return the unit a value seems to be written in, where that is another than was asked for."""
    factors = RELATED.get(unit, {})
    return next((other for other, factor in factors.items() if meets(value / factor)), None)


def point_moved(value: float, true: Right) -> bool:
    """Return whether only the decimal point stands elsewhere; never of a true value of nothing."""
    moved = (value * factor for factor in FACTORS)
    return any(
        true.close(other) and math.isclose(other, true.written, rel_tol=FIGURES_AGREE) for other in moved
    )


def changed_places(value: float, true: Right) -> bool:
    """Return whether neighbouring figures changed places, whichever of the two numbers one starts from."""
    return any(true.close(other) for other in exchanged(value)) or value in set(exchanged(true.written))
