"""A labelled slider with a value and a unit, linear or logarithmic."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import traitlets

from course.panels.hearing import Hearing, with_ears
from course.panels.kit.scales import plain


class Slide(Hearing):
    """A slider: `value` between `low` and `high` in `unit`. What the browser moves is `position`, a whole step.

    A value set from Python is kept as it is given, also between two steps. words(value) says it in place of
    number and unit. Raises TraitError for a value outside the ends.
    """

    _esm = with_ears(Path(__file__).parent / "slide.js")
    label = traitlets.Unicode().tag(sync=True)
    steps = traitlets.Int(100).tag(sync=True)
    position = traitlets.Int(0).tag(sync=True)
    shown = traitlets.Unicode().tag(sync=True)
    stride = traitlets.Int(0).tag(sync=True)  # steps a tick of its play button; 0: it has none
    last = traitlets.Int(100).tag(sync=True)  # the step at which playing ends
    value = traitlets.Float()

    def __init__(
        self,
        label: str,
        value: float,
        low: float,
        high: float,
        unit: str = "",
        *,
        log: bool = False,
        steps: int = 100,
        words: Callable[[float], str] | None = None,
        stride: int = 0,
    ) -> None:
        self.low, self.high, self.unit, self.by_decades = float(low), float(high), unit, log
        self._words = words or (lambda v: f"{plain(v)} {unit}".strip())
        super().__init__(label=label, steps=steps, last=steps, stride=stride, value=float(value))
        self._follow_value()
        self.observe(lambda _change: self._follow_value(), "value")
        self.observe(lambda _change: self._follow_position(), "position")

    @traitlets.validate("value")
    def _inside(self, proposal: Any) -> float:
        value = float(proposal["value"])
        if not self.low <= value <= self.high:
            raise traitlets.TraitError(
                f"{self.label} is {value:g} {self.unit}; allowed is {self.low:g} to {self.high:g} {self.unit}."
            )
        return value

    def at(self, position: int) -> float:
        """Return the value of a step."""
        part = min(max(position, 0), self.steps) / self.steps
        if self.by_decades:
            found = self.low * (self.high / self.low) ** part
            return min(self.high, max(self.low, float(f"{found:.3g}")))
        return float(f"{self.low + (self.high - self.low) * part:.6g}")

    def nearest(self, value: float) -> int:
        """Return the step nearest to a value."""
        if self.by_decades:
            return round(self.steps * math.log(value / self.low) / math.log(self.high / self.low))
        return round(self.steps * (value - self.low) / (self.high - self.low))

    def _follow_value(self) -> None:
        with self.hold_sync():
            self.position = self.nearest(self.value)
            self.shown = self._words(self.value)

    def _follow_position(self) -> None:
        if self.nearest(self.value) != self.position:
            self.value = self.at(self.position)
