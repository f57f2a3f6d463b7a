"""Wetslip: simulated boats to practise corrosion measurement on.

The names a notebook uses are loaded on first use, so that ``import course.engine`` brings in no widget.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from course.face import ask, bench, check, exercise, hint, progress, record, slip
    from course.panels.kit import (
        anode_sizing,
        bonding_survey,
        couple_explorer,
        crevice_explorer,
        glossary,
        isolator_explorer,
        loss_calculator,
        marina_view,
        metal_chooser,
        season_player,
    )

__version__ = "0.1.0"
PANELS = [
    "anode_sizing", "bonding_survey", "couple_explorer", "crevice_explorer", "glossary", "isolator_explorer",
    "loss_calculator", "marina_view", "metal_chooser", "season_player",
]  # fmt: skip
__all__ = [
    "anode_sizing",
    "ask",
    "bench",
    "bonding_survey",
    "check",
    "couple_explorer",
    "crevice_explorer",
    "exercise",
    "glossary",
    "hint",
    "isolator_explorer",
    "loss_calculator",
    "marina_view",
    "metal_chooser",
    "progress",
    "record",
    "season_player",
    "slip",
]


def __getattr__(name: str) -> Any:
    if name in PANELS:
        from course.panels import kit

        return getattr(kit, name)
    if name in __all__:
        from course import face

        return getattr(face, name)
    raise AttributeError(f"the package 'course' has no name {name!r}; it offers {', '.join(__all__)}")
