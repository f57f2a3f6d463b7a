"""Errors of the engine, and the two checks every public function uses on what it is given.

An error is one sentence that names the quantity, the value with its unit, and what is allowed.
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

Array = NDArray[np.float64]


class EngineError(ValueError):
    """Anything the engine refuses: the message is a sentence fit to show to a user."""


class OutOfRange(EngineError):
    """A quantity outside the range for which the engine has a law."""


class NotConverged(EngineError):
    """The solve did not reach its tolerances; the message says what was tried."""


def _number(value: float) -> str:
    return "infinite" if math.isinf(value) and value > 0 else f"{value:.6g}"


def _allowed(low: float, high: float) -> str:
    if math.isinf(high):
        return f"{_number(low)} or more" if not math.isinf(low) else "any number"
    return f"up to {_number(high)}" if math.isinf(low) else f"{_number(low)} to {_number(high)}"


def require(name: str, value: float, unit: str, low: float, high: float) -> float:
    """Return `value` as a float if it lies in [low, high]; raise OutOfRange in one sentence otherwise.

    `unit` is printed after the numbers ("" for a pure number). A nan is always refused; an infinite bound
    means no bound on that side.
    """
    try:
        number = float(value)
    except (TypeError, ValueError):
        raise OutOfRange(
            f"the {name} must be a number{f' in {unit}' if unit else ''}, not {value!r}."
        ) from None
    if not low <= number <= high:
        tail = f" {unit}" if unit else ""
        raise OutOfRange(f"the {name} is {_number(number)}{tail}; allowed is {_allowed(low, high)}{tail}.")
    return number


def require_array(
    name: str, values: ArrayLike, unit: str, low: float, high: float, shape: tuple[int, ...] | None = None
) -> Array:
    """Return `values` as a float array of `shape` with every element in [low, high].

    Raises EngineError for a wrong shape and OutOfRange for the first element outside the range (nan
    included).
    """
    try:
        array = np.asarray(values, dtype=np.float64)
    except (TypeError, ValueError):
        raise EngineError(f"the {name} must be an array of numbers.") from None
    if shape is not None and array.shape != shape:
        raise EngineError(f"the {name} has shape {array.shape}; expected is {shape}.")
    good = (array >= low) & (array <= high)
    if not good.all():
        where = tuple(int(i) for i in np.argwhere(~good)[0])
        label = f"{name} number {', '.join(str(i) for i in where)}" if where else name
        require(label, float(array[where]), unit, low, high)
    return array
