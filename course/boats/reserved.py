"""What is kept out of practice and assignments, so that an examination can show something new."""

from __future__ import annotations

from course.boats.draws import Purpose

BOATS = frozenset({"long_sandbar", "cold_spindrift"})
KINDS = frozenset(
    {"bilge_terminal_block", "brush_dust", "anode_no_contact", "rudder_strap_parted", "dissimilar_fitting"}
)


def open_to(purpose: Purpose, names: tuple[str, ...], kept: frozenset[str]) -> tuple[str, ...]:
    """Return which boats or kinds of fault may be drawn for a purpose: all on paper, and those not kept for it elsewhere.

    If all of them are kept, they are all returned: an exercise made of kept ones alone is an examination's.
    """
    free = tuple(name for name in names if name not in kept)
    return names if purpose == "paper" or not free else free
