"""Slips of the pen that any number can suffer: unit, sign, decimal point, exchanged figures, a number copied from the question."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from decimal import ROUND_DOWN, Decimal
from itertools import pairwise
from typing import NamedTuple

from graders.mistake import Mistake
from graders.task import Task, said
from graders.units import RELATED

Meets = Callable[[float], bool]
FACTORS = (10.0, 0.1, 100.0, 0.01, 1000.0, 0.001, 1e6, 1e-6)
FEWEST_FIGURES = 2  # of a number in which figures can change places
NO_MINUS = "This is a size, and is written without a minus. "
POINT = "The figures are right, the size is not. Look for a decimal point that moved, or a thousand lost between units."
EXCHANGED = (
    "Two figures that stand side by side have changed places. Copy the number from your working again."
)
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


def rounded(value: float, figures: int) -> tuple[float, float]:
    """Return a value rounded, and cut off, to so many figures that count."""
    exact = Decimal(repr(value))
    cut = exact.quantize(Decimal(1).scaleb(exact.adjusted() - figures + 1), ROUND_DOWN)
    return float(f"{value:.{figures - 1}e}"), float(cut)


class Right(NamedTuple):
    """A right value: whether a number is that value within its tolerance, and the value as one would write it."""

    meets: Meets
    written: float


def form(value: float, unit: str, meets: Meets) -> str | None:
    """Return what is wrong with the form in which a value was written, "unit" or "sign"; None where it is not the form."""
    if any(meets(value / factor) for factor in RELATED.get(unit, {}).values()):
        return "unit"
    return "sign" if value != 0 and meets(-value) else None


def _unit(value: float, unit: str, meets: Meets) -> Mistake | None:
    for other, factor in RELATED.get(unit, {}).items():
        if meets(value / factor) or meets(-value / factor):
            sign = "" if meets(value / factor) else " And the sign is not right."
            says = (
                f"The size is right, the unit is not: this field wants {unit}, and you wrote it in {other}."
            )
            return Mistake("unit", says + sign)
    return None


def _changed_places(value: float, true: Right) -> bool:
    """Return whether neighbouring figures changed places, whichever of the two numbers one starts from."""
    return any(true.meets(other) for other in exchanged(value)) or value in set(exchanged(true.written))


def form_slip(value: float, unit: str, signed: bool, how: str, truths: tuple[Right, ...]) -> Mistake | None:
    """Return the slip in unit or sign that turned one of the right values into what was written, or None.

    ``truths`` are the true value first, then what follows from the learner's earlier answers.
    """
    for true in truths:
        found = _unit(value, unit, true.meets)
        if found is not None:
            return found
        if value != 0 and true.meets(-value):
            says = "The size is right, the sign is not. " if signed else NO_MINUS
            return Mistake("sign", says + how)
    return None


def figure_slip(value: float, truths: tuple[Right, ...]) -> Mistake | None:
    """Return the slip in the figures, point or order, that turned one of the right values into what was written, or None."""
    for true in truths:
        if any(true.meets(value * factor) for factor in FACTORS):
            return Mistake("decimal_point", POINT)
        if _changed_places(value, true):
            return Mistake("figures_exchanged", EXCHANGED)
    return None


def copied(value: float, unit: str, task: Task, how: str) -> Mistake | None:
    """Return the mistake of having written down, as the answer, a number that stands in the question."""
    if value not in shown_numbers(task):
        return None
    shown = f"{value:g} {unit}".rstrip()
    return Mistake(
        "given_number",
        f"{shown} already stands in the question: it is where you start, not what is asked. {how}",
    )
