"""What lies in the other berths, as an eye sees it: an outline, and no more. The same outlines as in the scene."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from course.panels.figure.shapes import LEAN_X
from course.panels.figure.sheet import Sheet

Points = list[tuple[float, float]]
FARTHEST = 9.0  # m to the side that still shift an outline along the page
# hull, what stands on it, and masts: metres forward of her middle, and above the water
KINDS: tuple[tuple[str, Points, list[Points], list[Points]], ...] = (
    (
        "ketch|yawl|sloop|cutter|schooner|sail",
        [(-4.6, 0.35), (-5.2, 1.15), (-1.0, 0.95), (3.0, 1.1), (5.6, 1.5), (4.2, 0.0), (-3.8, 0.0)],
        [[(-2.2, 0.97), (-1.9, 1.4), (1.6, 1.45), (2.2, 1.05)]],
        [[(0.4, 1.4), (0.4, 11.0)], [(0.4, 2.1), (-3.4, 2.0)]],
    ),
    ("barge", [(-7.0, 0.0), (-8.0, 1.5), (8.0, 1.5), (7.0, 0.0)], [[(-6.6, 1.5), (-6.6, 3.1), (-4.2, 3.1), (-4.2, 1.5)]], []),
    (
        "narrow|hire boat",
        [(-6.6, 0.0), (-7.2, 0.9), (-5.0, 0.75), (5.0, 0.75), (7.4, 1.15), (6.4, 0.0)],
        [[(-5.2, 0.75), (-5.0, 1.6), (4.2, 1.6), (4.6, 0.75)]],
        [],
    ),
    (
        "open boat|dory|launch|dinghy",
        [(-2.6, 0.0), (-2.7, 0.65), (0.0, 0.6), (3.0, 0.95), (2.3, 0.0)],
        [[(-0.2, 0.6), (0.0, 1.15), (0.25, 1.15), (0.35, 0.62)], [(-3.1, 0.3), (-3.1, 1.05), (-2.75, 1.05), (-2.7, 0.5)]],
        [],
    ),
    (
        "",
        [(-5.0, 0.0), (-5.2, 1.2), (0.0, 1.3), (5.8, 1.75), (4.4, 0.0)],
        [[(-3.6, 1.22), (-3.4, 2.3), (1.4, 2.4), (3.0, 1.5)], [(-2.6, 2.3), (-2.3, 3.1), (0.0, 3.1), (0.6, 2.35)]],
        [],
    ),
)  # fmt: skip


def kind_of(label: str) -> int:
    """Return which outline a neighbour has, by the words she is known by."""
    return next(i for i, (words, *_) in enumerate(KINDS) if re.search(words, label, re.IGNORECASE))


def draw_neighbours(sheet: Sheet, view: Mapping[str, Any]) -> None:
    """Draw each neighbour's outline behind everything else."""
    for other in view.get("neighbours") or []:
        words, hull, upper, masts = KINDS[kind_of(other["label"])]
        if words.startswith("ketch") and re.search("ketch|yawl", other["label"], re.IGNORECASE):
            masts = [*masts, [(-3.9, 1.0), (-3.9, 7.5)]]
        along = other["x_m"] + LEAN_X * min(max(other["y_m"], -FARTHEST), FARTHEST)
        for points in [*upper, hull]:
            sheet.area([sheet.spot((along + x, y)) for x, y in points], "paper", "quiet", 0.5, 0.6)
        for points in masts:
            sheet.line([sheet.spot((along + x, y)) for x, y in points], "quiet", 0.5, 0.6)
