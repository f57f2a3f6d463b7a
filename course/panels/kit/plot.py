"""What a panel draws, as data: axes with units, and marks in the axes' own units. No pixels, no colours.

One description is drawn on the screen (`svg`) and on paper (`paper`), so that the two never differ.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from numpy.typing import NDArray

Tone = Literal["ink", "quiet", "accent"]
Style = Literal["solid", "dashed", "dotted", "dash-dot"]
Side = Literal["start", "middle", "end"]
Marker = Literal["circle", "square", "diamond"]
Run = Sequence[float] | NDArray[Any]


@dataclass(frozen=True)
class Axis:
    """One axis: what it measures with the unit, its ends, and ticks of its own as (value, words) if given."""

    label: str
    low: float
    high: float
    log: bool = False
    ticks: tuple[tuple[float, str], ...] | None = None


@dataclass(frozen=True)
class Line:
    """A curve; its label stands at its right end."""

    x: Run
    y: Run
    label: str = ""
    style: Style = "solid"
    tone: Tone = "ink"
    width: float = 2.0


@dataclass(frozen=True)
class Band:
    """What may be: the space between two curves, hatched."""

    x: Run
    low: Run
    high: Run
    hatch: str = "///"


@dataclass(frozen=True)
class Bar:
    """A rectangle between two corners, hatched as its family of metal is; its label stands beside it."""

    x: tuple[float, float]
    y: tuple[float, float]
    hatch: str = ""
    label: str = ""
    tone: Tone = "ink"
    side: Side = "start"


@dataclass(frozen=True)
class Rule:
    """A straight line right across at one value of x or y, with words at its end."""

    at: float
    along: Literal["x", "y"]
    label: str = ""
    style: Style = "dashed"
    tone: Tone = "quiet"
    side: Side = "start"


@dataclass(frozen=True)
class Dot:
    """A marked point with words beside it."""

    x: float
    y: float
    label: str = ""
    shape: Marker = "circle"
    tone: Tone = "ink"
    side: Side = "start"
    filled: bool = True
    lift: float = 0.0  # pixels the words stand over the point


@dataclass(frozen=True)
class Note:
    """Words at a place."""

    x: float
    y: float
    text: str
    side: Side = "middle"
    tone: Tone = "ink"
    italic: bool = False
    bold: bool = False


@dataclass(frozen=True)
class Shape:
    """A closed outline, or an open one, in the axes' units."""

    points: Sequence[tuple[float, float]]
    fill: Literal["hull", "water", "bed", ""] = "hull"
    hatch: str = ""
    closed: bool = True
    style: Style = "solid"
    tone: Tone = "ink"
    width: float = 1.5


@dataclass(frozen=True)
class Arrow:
    """A straight arrow; the wider, the more flows."""

    start: tuple[float, float]
    end: tuple[float, float]
    tone: Tone = "ink"
    width: float = 2.0


Mark = Line | Band | Bar | Rule | Dot | Note | Shape | Arrow


@dataclass(frozen=True)
class Plot:
    """Axes and what stands in them. height and right (room for words beside the axes) in pixels."""

    x: Axis
    y: Axis
    marks: tuple[Mark, ...]
    height: int = 300
    left: int = 86
    right: int = 24
    framed: bool = True


@dataclass(frozen=True)
class Drawing:
    """Plots one under the other, with what a reader who does not see them is told."""

    title: str
    description: str
    plots: tuple[Plot, ...]
