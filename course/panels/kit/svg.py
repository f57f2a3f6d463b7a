"""A drawing as inline SVG: colours by the page's variables, so that it follows a light or a dark theme by itself."""

from __future__ import annotations

import html

from course.panels.kit.layout import WIDE, Path, Text, laid_out
from course.panels.kit.plot import Drawing

DASHES = {"solid": "", "dashed": "9 5", "dotted": "2 5", "dash-dot": "12 4 2 4"}
STROKES: dict[str, tuple[str, ...]] = {
    "/": ("M0 {s}L{s} 0M-1 1L1 -1M{a} {b}L{b} {a}",),
    "\\": ("M0 0L{s} {s}M-1 {a}L1 {b}M{a} -1L{b} 1",),
    "|": ("M{h} 0V{s}",),
    "-": ("M0 {h}H{s}",),
}
STROKES |= {"x": (*STROKES["/"], *STROKES["\\"]), "+": (*STROKES["|"], *STROKES["-"])}


def _stroke(kind: str, s: int) -> str:
    """Return one kind of hatching in a tile of `s` pixels."""
    if kind in ".oO":
        r = 1.3 if kind == "." else 3.0
        fill = 'fill="var(--ws-quiet)"' if kind == "." else 'fill="none" stroke="var(--ws-quiet)"'
        return f'<circle cx="{max(r, s / 4):g}" cy="{s / 2:g}" r="{r}" {fill}/>'
    numbers = {"s": s, "h": 3 * s / 4, "a": s - 1, "b": s + 1}
    d = "".join(part.format(**numbers) for part in STROKES.get(kind, STROKES["/"]))
    return f'<path d="{d}" stroke="var(--ws-quiet)" stroke-width="1" fill="none"/>'


def pattern(name: str, hatch: str) -> str:
    """Return an SVG pattern that looks as matplotlib's hatch of the same letters does: the more, the closer."""
    kinds = dict.fromkeys(hatch)
    s = max(5, round(30 / max(hatch.count(kind) for kind in kinds)))
    s = s if len(kinds) == 1 else min(s, 9)
    inner = "".join(_stroke(kind, s) for kind in kinds)
    size = f'width="{s}" height="{s}" patternUnits="userSpaceOnUse"'
    return f'<pattern id="{name}" {size}>{inner}</pattern>'


def _path(path: Path, hatches: dict[str, str]) -> str:
    steps = "L".join(f"{x:.1f} {y:.1f}" for x, y in path.points)
    d = f"M{steps}{'Z' if path.closed else ''}"
    dash = f' stroke-dasharray="{DASHES[path.style]}"' if DASHES[path.style] else ""
    fill = f"var(--ws-{path.fill})" if path.fill else "none"
    stroke = f'stroke="var(--ws-{path.stroke})" stroke-width="{path.width:g}"{dash}'
    under = f'<path d="{d}" fill="{fill}" {stroke}/>'
    if not path.hatch:
        return under
    return under + f'<path d="{d}" fill="url(#{hatches[path.hatch]})" stroke="none"/>'


def _text(text: Text) -> str:
    look = "".join((' font-weight="600"' if text.bold else "", ' font-style="italic"' if text.italic else ""))
    turn = f' transform="rotate(-90 {text.x:.1f} {text.y:.1f})"' if text.turned else ""
    place = f'x="{text.x:.1f}" y="{text.y:.1f}" dy=".35em" text-anchor="{text.side}"'
    return f'<text {place} class="ws-{text.tone} ws-halo"{look}{turn}>{html.escape(text.words)}</text>'


def svg(drawing: Drawing, name: str) -> str:
    """Return the drawing as an SVG element; `name` keeps its ids apart from those of other drawings on the page."""
    sheet = laid_out(drawing)
    used = dict.fromkeys(item.hatch for item in sheet.items if isinstance(item, Path) and item.hatch)
    hatches = {hatch: f"{name}-h{k}" for k, hatch in enumerate(used)}
    patterns = "".join(pattern(ident, hatch) for hatch, ident in hatches.items())
    body = "".join(_path(i, hatches) if isinstance(i, Path) else _text(i) for i in sheet.items)
    return (
        f'<svg class="ws-plot" role="img" aria-labelledby="{name}-t {name}-d" viewBox="0 0 {WIDE} {sheet.height:g}">'
        f'<title id="{name}-t">{html.escape(drawing.title)}</title>'
        f'<desc id="{name}-d">{html.escape(drawing.description)}</desc>'
        f"<defs>{patterns}</defs>{body}</svg>"
    )
