"""What hangs over the side and can be hauled up and looked at, hers or not."""

from __future__ import annotations

from course.boats.afloat import Afloat, Setting
from course.boats.description import Anode, Conductor


def added(afloat: Afloat, setting: Setting) -> tuple[Anode, ...]:
    """Return the anodes somebody hung over the side that her papers do not know."""
    own = {a.id for a in afloat.plan.boat.anodes}
    return tuple(a for a in afloat.boat(setting).anodes if a.mounting == "hanging" and a.id not in own)


def added_leads(afloat: Afloat, setting: Setting) -> tuple[Conductor, ...]:
    """Return the conductors that hold them."""
    names = {a.id for a in added(afloat, setting)}
    return tuple(c for c in afloat.boat(setting).conductors if {c.from_, c.to} & names)


def hanging(afloat: Afloat, setting: Setting) -> tuple[Anode, ...]:
    """Return every anode on a line: those of her papers, used up or not, and any that was added."""
    own = tuple(a for a in afloat.plan.boat.anodes if a.mounting == "hanging")
    return (*own, *added(afloat, setting))


def seen_remaining(afloat: Afloat, setting: Setting, anode: Anode) -> float:
    """Return how much of an anode is left to the eye: hauled up, what is truly there; under water, what her papers say."""
    if anode.mounting != "hanging" or anode.id not in setting.lifted:
        return anode.remaining
    found = next((a for a in afloat.boat(setting).anodes if a.id == anode.id), None)
    return 0.0 if found is None else found.remaining
