"""A test source between two nodes of a boat: what an ohmmeter, or a meter that loads the circuit, does to her for a second."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from course.boats.boat_systems import BATTERY_POSITIVE
from course.boats.fitted import Fitted, conductor_ohm
from course.boats.setting import Setting
from course.engine import Network, System, relax
from course.engine.pieces import Pieces

Array = NDArray[np.float64]
HELD_SECONDS = 1.0
WIRE_OHM = 1000.0  # what is joined by less than this counts as one with a source (declared)


def probed(
    fitted: Fitted, system: System, before: Array, capacitance: Array, a: str, b: str, emf: float, ohm: float
) -> float:
    """Return volts of ``a`` over ``b``; see `Afloat.probed`. ``before`` (n,) V SHE and ``capacitance`` (n,) F/m2 of the patches."""
    network, nodes = system.network, dict(fitted.node_of)
    sources, battery = list(network.sources), fitted.boat.battery
    size = network.size
    if BATTERY_POSITIVE in (a, b) and battery is not None:
        nodes[BATTERY_POSITIVE] = size
        sources.append((nodes[battery.negative_at], size, battery.emf_V, battery.resistance_ohm))
        size += 1
    if nodes[a] == nodes[b]:
        return 0.0
    sources.append((nodes[b], nodes[a], emf, ohm))
    tried = Network(size, network.branches, sources, network.diodes, network.temperature)
    solution = relax(system.changed(network=tried), before, capacitance, HELD_SECONDS)
    return float(solution.node_voltage[nodes[a]] - solution.node_voltage[nodes[b]])


def joined_to_source(fitted: Fitted, setting: Setting, member: str) -> bool:
    """Return whether wires join a member to what a live leak pushes current into; see `Afloat.live`."""
    if member == BATTERY_POSITIVE:
        return True
    total = Pieces()
    for _, pieces in fitted.sources(setting):
        total += pieces
    pushed = {source.end for source in total.sources}
    ends = [
        (fitted.node_of[c.from_], fitted.node_of[c.to])
        for c in fitted.closed(setting)
        if conductor_ohm(c) < WIRE_OHM
    ]
    grown = bool(pushed)
    while grown:
        more = {end for pair in ends for end in pair if pushed & set(pair)} - pushed
        pushed |= more
        grown = bool(more)
    return fitted.node_of.get(member) in pushed
