"""A boat drawn to a file, as a learner finds her: everything closed, the cell in the box."""

from __future__ import annotations

import tempfile
from pathlib import Path

from course.boats.plan import SlipPlan


def draw(plan: SlipPlan, target: Path) -> None:
    """Draw the boat of a plan; the file's ending (.png, .svg, .pdf) says how. Raises OSError where it cannot be written."""
    from course.instruments.slip import Slip
    from course.panels.figure.whole import scene_figure

    with tempfile.TemporaryDirectory() as folder:
        view = Slip(plan, Path(folder)).view()
    scene_figure(view).savefig(target, dpi=160)
