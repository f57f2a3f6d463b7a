"""A drawing laid out on a sheet of pixels: paths and texts, which screen and paper then set in their own way."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

from course.panels.kit.plot import (
    Arrow,
    Band,
    Bar,
    Dot,
    Drawing,
    Line,
    Note,
    Plot,
    Rule,
    Run,
    Shape,
    Side,
    Style,
)
from course.panels.kit.scales import share, ticks

WIDE = 800  # pixels
LETTER = 8.3  # pixels: a letter of 16 px, on the wide side
FIT = 7.6  # pixels: the same, on average over some words
ROW = 20  # pixels between lines of text
TOP, FOOT = 16, 60
Point = tuple[float, float]


@dataclass(frozen=True)
class Path:
    """A run of points [px] with stroke, fill (both by the name of a colour), hatch."""

    points: tuple[Point, ...]
    stroke: str = "ink"
    width: float = 1.5
    style: Style = "solid"
    fill: str = ""
    hatch: str = ""
    closed: bool = False


@dataclass(frozen=True)
class Text:
    """Words at a place [px]; middle of the line at y."""

    x: float
    y: float
    words: str
    side: Side = "start"
    tone: str = "ink"
    bold: bool = False
    italic: bool = False
    turned: bool = False


def fitted(words: str, room: float) -> str:
    """Return words that fit in `room` [px]: what stands in brackets goes first, then words from the end."""
    most = int(room / FIT)
    if len(words) <= most:
        return words
    words = words.split(" (")[0]
    if len(words) <= most:
        return words
    return f"{words[: most - 1].rsplit(' ', 1)[0].rstrip(',')} …"


@dataclass
class Sheet:
    """What is to be drawn, in order."""

    height: float = 0.0
    items: list[Path | Text] = field(default_factory=list)


@dataclass
class _Frame:
    """One plot on the sheet: from the axes' units to pixels."""

    plot: Plot
    top: float
    sheet: Sheet
    tags: list[tuple[float, float, str, str]] = field(default_factory=list)

    @property
    def box(self) -> tuple[float, float, float, float]:
        """Left, right, top, foot [px]."""
        return self.plot.left, WIDE - self.plot.right, self.top, self.top + self.plot.height

    def x(self, value: float) -> float:
        left, right, _, _ = self.box
        return left + share(self.plot.x, value) * (right - left)

    def y(self, value: float) -> float:
        _, _, top, foot = self.box
        return foot - share(self.plot.y, value) * (foot - top)

    def run(self, xs: Run, ys: Run) -> tuple[Point, ...]:
        return tuple((round(self.x(a), 2), round(self.y(b), 2)) for a, b in zip(xs, ys, strict=True))

    def add(self, *items: Path | Text) -> None:
        self.sheet.items.extend(items)

    def axes(self) -> None:
        left, right, top, foot = self.box
        if not self.plot.framed:
            return
        self.add(Path(((left, top), (left, foot), (right, foot)), "ink", 1.2))
        wide = max((len(words) for _, words in ticks(self.plot.x)), default=1) * LETTER + 14
        for value, words in ticks(self.plot.x, max(2, int((right - left) / max(wide, 70)))):
            at = self.x(value)
            self.add(
                Path(((at, foot), (at, foot + 6)), "ink", 1.2), Text(at, foot + 17, words, "middle", "ink")
            )
        for value, words in ticks(self.plot.y, max(2, int((foot - top) / 44))):
            at = self.y(value)
            self.add(
                Path(((left - 6, at), (left, at)), "ink", 1.2),
                Text(left - 10, at, fitted(words, left - 14), "end", "ink"),
            )
        if self.plot.x.label:
            self.add(Text((left + right) / 2, foot + 41, self.plot.x.label, "middle", "quiet"))
        if self.plot.y.label:
            self.add(
                Text(max(13, left - 76), (top + foot) / 2, self.plot.y.label, "middle", "quiet", turned=True)
            )

    def line(self, mark: Line) -> None:
        points = self.run(mark.x, mark.y)
        self.add(Path(points, mark.tone, mark.width, mark.style))
        if mark.label:
            self.tags.append((points[-1][0], points[-1][1], mark.label, mark.tone))

    def band(self, mark: Band) -> None:
        upper = self.run(mark.x, mark.high)
        lower = self.run(mark.x, mark.low)
        self.add(Path((*upper, *reversed(lower)), "quiet", 0.8, "solid", "hull", mark.hatch, closed=True))

    def bar(self, mark: Bar) -> None:
        (x0, x1), (y0, y1) = (sorted(map(self.x, mark.x)), sorted(map(self.y, mark.y)))
        x1 = max(x1, x0 + 3)
        width = 3.0 if mark.tone == "accent" else 1.4
        self.add(
            Path(
                ((x0, y0), (x1, y0), (x1, y1), (x0, y1)),
                mark.tone,
                width,
                "solid",
                "hull",
                mark.hatch,
                closed=True,
            )
        )
        if mark.label:
            at = {"start": x1 + 8, "end": x0 - 8, "middle": (x0 + x1) / 2}[mark.side]
            self.add(Text(at, (y0 + y1) / 2, mark.label, mark.side, mark.tone, bold=mark.tone == "accent"))

    def rule(self, mark: Rule) -> None:
        left, right, top, foot = self.box
        if mark.along == "x":
            at = self.x(mark.at)
            self.add(Path(((at, top), (at, foot)), mark.tone, 1.4, mark.style))
            side: Side = "end" if at > right - LETTER * len(mark.label) - 8 else "start"
            place = at - 6 if side == "end" else at + 6
            self.add(*([Text(place, top + 8, mark.label, side, mark.tone)] if mark.label else []))
            return
        at = self.y(mark.at)
        self.add(Path(((left, at), (right, at)), mark.tone, 1.4, mark.style))
        if mark.label:
            above = at - 11 if at - top > 22 else at + 12
            place = left + 8 if mark.side == "start" else right - 8
            self.add(Text(place, above, mark.label, mark.side, mark.tone))

    def dot(self, mark: Dot) -> None:
        x, y, r = self.x(mark.x), self.y(mark.y), 6.0
        corners = {"circle": 16, "square": 4, "diamond": 4}[mark.shape]
        turn = math.pi / 4 if mark.shape == "square" else 0.0
        around = tuple(
            (
                x + r * math.cos(turn + 2 * math.pi * k / corners),
                y + r * math.sin(turn + 2 * math.pi * k / corners),
            )
            for k in range(corners)
        )
        self.add(Path(around, mark.tone, 2.0, "solid", mark.tone if mark.filled else "paper", closed=True))
        if mark.label:
            at = {"start": x + 12, "end": x - 12, "middle": x}[mark.side]
            lift = mark.lift or (18 if mark.side == "middle" else 0)
            self.add(Text(at, y - lift, mark.label, mark.side, mark.tone, bold=mark.tone == "accent"))

    def note(self, mark: Note) -> None:
        for row, words in enumerate(mark.text.split("\n")):
            at = self.y(mark.y) + row * ROW
            self.add(Text(self.x(mark.x), at, words, mark.side, mark.tone, mark.bold, mark.italic))

    def shape(self, mark: Shape) -> None:
        points = self.run([p[0] for p in mark.points], [p[1] for p in mark.points])
        fill = mark.fill if mark.closed else ""
        self.add(Path(points, mark.tone, mark.width, mark.style, fill, mark.hatch, mark.closed))

    def arrow(self, mark: Arrow) -> None:
        (x0, y0), (x1, y1) = (
            (self.x(mark.start[0]), self.y(mark.start[1])),
            (self.x(mark.end[0]), self.y(mark.end[1])),
        )
        far = math.hypot(x1 - x0, y1 - y0) or 1.0
        ux, uy, head = (x1 - x0) / far, (y1 - y0) / far, 7.0 + mark.width
        neck = (x1 - ux * head, y1 - uy * head)
        wings = [(neck[0] - s * uy * head * 0.6, neck[1] + s * ux * head * 0.6) for s in (1, -1)]
        self.add(
            Path(((x0, y0), neck), mark.tone, mark.width),
            Path(((x1, y1), *wings), mark.tone, 1.0, "solid", mark.tone, closed=True),
        )

    def tag(self) -> None:
        """Set the curves' labels beside their right ends, none over another."""
        _, _, top, foot = self.box
        placed = sorted(self.tags, key=lambda tag: tag[1])
        heights = [y for _, y, _, _ in placed]
        for k in range(1, len(heights)):
            heights[k] = max(heights[k], heights[k - 1] + ROW)
        over = heights[-1] - (foot - 4) if heights else 0.0
        for k in range(len(heights) - 1, -1, -1):
            limit = heights[k + 1] - ROW if k + 1 < len(heights) else foot - 4
            heights[k] = min(heights[k], limit) if over > 0 else heights[k]
        for (x, y, words, tone), at in zip(placed, heights, strict=True):
            at = max(at, top + 4)
            if abs(at - y) > 3:
                self.add(Path(((x + 2, y), (x + 9, at)), "quiet", 1.0))
            self.add(Text(x + 12, at, fitted(words, WIDE - x - 14), "start", tone))


def laid_out(drawing: Drawing) -> Sheet:
    """Return a drawing on its sheet, `WIDE` pixels wide."""
    sheet, top = Sheet(), float(TOP)
    for plot in drawing.plots:
        frame = _Frame(plot, top, sheet)
        for mark in plot.marks:
            if isinstance(mark, Band):
                frame.band(mark)
        for mark in plot.marks:
            match mark:
                case Line():
                    frame.line(mark)
                case Bar():
                    frame.bar(mark)
                case Rule():
                    frame.rule(mark)
                case Dot():
                    frame.dot(mark)
                case Note():
                    frame.note(mark)
                case Shape():
                    frame.shape(mark)
                case Arrow():
                    frame.arrow(mark)
                case Band():
                    pass
        frame.axes()
        frame.tag()
        top += plot.height + (FOOT if plot.framed and plot.x.label else 34 if plot.framed else 12)
    sheet.height = top
    return sheet
