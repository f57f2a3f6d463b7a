"""From an axis's units to pixels, and where its ticks stand."""

from __future__ import annotations

import math

from course.panels.kit.plot import Axis

SUPERSCRIPT = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")
MINUS = "−"


def plain(value: float, digits: int = 3) -> str:
    """Return a number as one writes it by hand: up to `digits` figures, no exponent, spaces in thousands."""
    if value == 0.0 or not math.isfinite(value):
        return "0" if value == 0.0 else "no limit"
    places = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    rounded = f"{round(value, digits - 1 - math.floor(math.log10(abs(value)))):,.{places}f}".replace(",", " ")
    text = rounded.rstrip("0").rstrip(".") if "." in rounded else rounded
    return text.replace("-", MINUS)


def _decade(power: int) -> str:
    return plain(10.0**power) if -4 <= power <= 5 else "10" + str(power).translate(SUPERSCRIPT)


def _log_ticks(axis: Axis) -> list[tuple[float, str]]:
    first, last = math.ceil(math.log10(axis.low) - 1e-9), math.floor(math.log10(axis.high) + 1e-9)
    every = max(1, math.ceil((last - first + 1) / 9))
    return [(10.0**p, _decade(p)) for p in range(first, last + 1, every)]


def nice_step(span: float, most: int) -> float:
    """Return the step of 1, 2 or 5 times a power of ten that puts at most `most` ticks on a span."""
    raw = span / max(1, most)
    power = 10.0 ** math.floor(math.log10(raw))
    return next(power * k for k in (1.0, 2.0, 5.0, 10.0) if power * k >= raw * (1 - 1e-9))


def ticks(axis: Axis, most: int = 7) -> list[tuple[float, str]]:
    """Return an axis's ticks with their words."""
    if axis.ticks is not None:
        return list(axis.ticks)
    if axis.log:
        return _log_ticks(axis)
    low, high = sorted((axis.low, axis.high))
    step = nice_step(high - low, most)
    first = math.ceil(low / step - 1e-9)
    last = math.floor(high / step + 1e-9)
    return [(k * step, plain(k * step, 6)) for k in range(first, last + 1)]


def share(axis: Axis, value: float) -> float:
    """Return where a value lies between the axis's ends, 0 to 1; what lies outside is put at the end."""
    low, high = axis.low, axis.high
    if axis.log:
        value = max(value, min(low, high) * 1e-3)
        low, high, value = math.log10(low), math.log10(high), math.log10(value)
    return min(1.0, max(0.0, (value - low) / (high - low)))
