"""What the bench of a slip shows after some acts, without a logbook: the truth of readings that depend on how they are taken."""

from __future__ import annotations

from collections.abc import Iterable
from functools import reduce
from typing import Any

from course.boats.afloat import Afloat
from course.instruments.fold import after
from course.instruments.meter import Display
from course.instruments.readings import show
from course.instruments.state import State, first_state

Act = tuple[str, dict[str, Any]]


def state_after(afloat: Afloat, acts: Iterable[Act]) -> State:
    """Return the state of a slip after some acts from its beginning. Raises SlipError for an act that cannot be."""
    return reduce(lambda state, act: after(afloat, state, *act), acts, first_state(afloat))


def shown_after(afloat: Afloat, acts: Iterable[Act], instrument: str = "meter") -> Display:
    """Return what an instrument shows after some acts; its noise is that of a first reading."""
    return show(afloat, state_after(afloat, acts), 1, instrument)
