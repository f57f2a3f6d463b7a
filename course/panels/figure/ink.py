"""The colours of the still figures, the same as on the screen, and the hatching that tells families of metal apart."""

from __future__ import annotations

from collections.abc import Mapping

from matplotlib.patches import Patch

Ink = Mapping[str, str]
LIGHT = {
    "paper": "#f8f5ed",
    "ink": "#1c2830",
    "quiet": "#4d5a61",
    "water": "#dfebee",
    "bed": "#d8cfbc",
    "hull": "#fdfbf6",
    "accent": "#a5341a",
}
DARK = {
    "paper": "#15191c",
    "ink": "#d5dadb",
    "quiet": "#a3adb1",
    "water": "#1b2a32",
    "bed": "#37322a",
    "hull": "#1d2225",
    "accent": "#ff9b70",
}
HATCHES = {
    "anode": "xxxxx",
    "zinc": "xxxxx",
    "aluminium": "||..",
    "magnesium": "....",
    "steel": "////",
    "iron": "\\\\\\\\",
    "stainless": "-----",
    "copper_alloy": "//////",
    "nickel_alloy": "\\\\\\\\\\\\",
    "titanium": "|||||",
    "carbon": "+++++",
    "lead_tin": "oo",
}


def hatched(shape: Patch, family: str) -> Patch:
    """Return the shape, hatched as its family of metal is."""
    shape.set_hatch(HATCHES.get(family, "////"))
    shape.set_hatch_linewidth(0.5)
    return shape
