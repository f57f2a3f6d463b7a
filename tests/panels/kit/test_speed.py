"""How long one step of a slider takes, engine and drawing together; measured with --benchmark-enable, never asserted.

Wanted: under 100 ms. What was measured is written in the developers' notes.
"""

from __future__ import annotations

import itertools
from typing import Any

import pytest

from course.panels import kit

STEPS = [
    (kit.CoupleExplorer, "ratio"),
    (kit.LossCalculator, "current"),
    (kit.SeasonPlayer, "day"),
    (kit.CreviceExplorer, "gap"),
    (kit.CreviceExplorer, "ratio"),
    (kit.IsolatorExplorer, "leakage"),
    (kit.BondingSurvey, "ohm"),
    (kit.AnodeSizing, "area"),
]


@pytest.mark.parametrize(("kind", "name"), STEPS, ids=lambda part: getattr(part, "__name__", part))
def test_a_step_of_a_slider(kind: Any, name: str, benchmark: Any) -> None:
    panel = kind()
    slide, places = panel.controls[name], itertools.cycle(range(1, panel.controls[name].steps))

    def step() -> None:
        slide.position = next(places)

    shown = panel.drawing.value
    benchmark(step)
    assert panel.drawing.value != shown


def test_the_chooser_and_the_marina_answer_a_choice(benchmark: Any) -> None:
    chooser, places = kit.MetalChooser(), itertools.cycle(("copper", "mild_steel", "lead"))
    benchmark(lambda: chooser.set(second=next(places)))
    assert chooser.found is not None
