"""Contrast of what the kit draws, computed in every theme of the scene's style sheet that the kit shares.

WCAG 2.2, relative luminance and ratio as defined there (from memory): 4.5 for text (1.4.3), 3 for what is drawn (1.4.11).
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from course.panels import kit
from course.panels.kit.base import style

TEXT = [("ink", "paper"), ("quiet", "paper"), ("accent", "paper"), ("ink", "hull"), ("accent", "hull")]
DRAWN = [(front, back) for front in ("ink", "quiet", "accent") for back in ("paper", "hull", "water")]
DRAWN += [("ink", "bed"), ("focus", "paper")]


def themes() -> list[dict[str, str]]:
    blocks = re.findall(r"\{([^{}]*--ws-paper: [^{}]*)\}", style())
    return [dict(re.findall(r"--ws-([\w-]+):\s*(#[0-9a-f]{6});", block)) for block in blocks]


def luminance(colour: str) -> float:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_there_is_a_light_and_a_dark_theme() -> None:
    papers = [luminance(theme["paper"]) for theme in themes()]
    assert min(papers) < 0.05 < 0.8 < max(papers)


@pytest.mark.parametrize("theme", themes(), ids=lambda theme: theme["paper"])
def test_contrast(theme: dict[str, str]) -> None:
    for front, back in TEXT:
        assert contrast(theme[front], theme[back]) >= 4.5, (front, back)
    for front, back in DRAWN:
        assert contrast(theme[front], theme[back]) >= 3.0, (front, back)


def test_every_colour_used_is_one_of_the_sheet() -> None:
    folder = Path(kit.__file__).parent
    text = (folder / "kit.css").read_text(encoding="utf-8")
    assert set(re.findall(r"var\(--ws-([\w-]+)\)", text)) <= set(themes()[0])
