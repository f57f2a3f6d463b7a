"""Pieces of a network: what a fitting adds to it, and how pieces make one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from course.engine.conductors import Branch, DiodeString, Network, Source
from course.engine.constants import ZERO_CELSIUS


@dataclass(frozen=True)
class Pieces:
    """Branches, sources and diode strings of one or several fittings. Pieces add up with `+`."""

    branches: tuple[Branch, ...] = ()
    sources: tuple[Source, ...] = ()
    diodes: tuple[DiodeString, ...] = ()

    def __add__(self, other: Pieces) -> Pieces:
        return Pieces(
            self.branches + other.branches, self.sources + other.sources, self.diodes + other.diodes
        )


def path(a: int, b: int, resistance: float) -> Pieces:
    """One conducting path of `resistance` [ohm] between nodes `a` and `b`."""
    return Pieces(branches=(Branch(a, b, 1.0 / resistance),))


def assemble(size: int, pieces: Iterable[Pieces], temperature: float = ZERO_CELSIUS + 25.0) -> Network:
    """The network of `size` nodes that `pieces` make; temperature [K] is that of the diodes.

    Raises what `Network` raises for a node or a value that cannot be.
    """
    total = sum(pieces, Pieces())
    return Network(size, total.branches, total.sources, total.diodes, temperature)
