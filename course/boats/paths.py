"""Currents and voltages along the wires of a boat: what a clamp closes around, what a breaker carries."""

from __future__ import annotations

import numpy as np

from course.boats.bilge_water import rest_potential
from course.boats.boat_systems import DOCK_EARTH, SHORE_EARTH
from course.boats.description import Boat
from course.boats.faults import Fault
from course.boats.faults.stray import SharedReturn
from course.boats.fitted import Fitted, conductor_ohm
from course.boats.setting import Setting
from course.boats.wording import in_a_sentence
from course.engine import Solution, System
from course.engine.pieces import Pieces
from course.engine.shore import safety_earth

POSITIVE, NEGATIVE = "positive", "negative"
SHORE_LEAD = (
    "whole shore lead, from boat to shore"  # power conductors and all: what is left is the earth's current
)


def clampable(boat: Boat) -> tuple[tuple[str, str], ...]:
    """Return (id, label) of every wire a clamp can go round: bonding wires, both wires of each circuit, the shore lead."""
    found = [(c.id, boat.label(c.id)) for c in boat.conductors if c.gauge_awg is not None]
    poles = [(pole, circuit) for circuit in boat.circuits for pole in (POSITIVE, NEGATIVE)]
    found += [
        (f"{pole}:{circuit.id}", f"{pole} of {in_a_sentence(circuit.label)}") for pole, circuit in poles
    ]
    if boat.shore is not None and boat.shore.arrangement != "none":
        found.append((SHORE_EARTH, SHORE_LEAD))
    return tuple(found)


def _through(pieces: Pieces, solution: Solution) -> float:
    """Return the current [A] through the sources of some pieces, from start to end."""
    v = solution.node_voltage
    return float(sum((v[s.start] - v[s.end] + s.emf) / s.resistance for s in pieces.sources))


def leaks(fitted: Fitted, setting: Setting, solution: Solution) -> list[tuple[Fault, float]]:
    """Return the current [A] that each fault with a circuit takes from it."""
    return [(f, _through(pieces, solution)) for f, pieces in fitted.sources(setting) if f.circuit is not None]


def running(fitted: Fitted, setting: Setting, circuit: str) -> float:
    """Return the load [A] of a circuit: none unless it is live."""
    return fitted.wiring.circuit(circuit).load_A if fitted.wiring.live(circuit, setting) else 0.0


def positive_current(fitted: Fitted, setting: Setting, solution: Solution, circuit: str) -> float:
    """Return the current [A] that leaves the panel on a circuit's positive: its load, and what leaks on the way."""
    found = leaks(fitted, setting, solution)
    lost = sum(amps for f, amps in found if f.circuit == circuit and not isinstance(f, SharedReturn))
    return running(fitted, setting, circuit) + lost


def negative_current(fitted: Fitted, setting: Setting, solution: Solution, circuit: str) -> float:
    """Return the current [A] from panel to load on a circuit's negative: less than nothing, for it comes back there."""
    found = leaks(fitted, setting, solution)
    strayed = sum(amps for f, amps in found if f.circuit == circuit and isinstance(f, SharedReturn))
    return strayed - running(fitted, setting, circuit)


def conductor_current(fitted: Fitted, setting: Setting, solution: Solution, name: str) -> float:
    """Return the current [A] through a clampable wire; see `Afloat.current`."""
    pole, _, circuit = name.partition(":")
    if pole == POSITIVE:
        return positive_current(fitted, setting, solution, circuit)
    if pole == NEGATIVE:
        return negative_current(fitted, setting, solution, circuit)
    v, node = solution.node_voltage, fitted.node_of
    if name == SHORE_EARTH:
        shore = fitted.boat.shore
        if shore is None or shore.arrangement == "none" or not setting.shore_plugged or not fitted.ashore:
            return 0.0
        cord = safety_earth(node[SHORE_EARTH], node[DOCK_EARTH], shore.cord_gauge_awg, shore.cord_length_m)
        a, b, conductance = cord.branches[0]
        return float(conductance * (v[a] - v[b]))
    wire = next((c for c in fitted.boat.conductors if c.id == name), None)
    if wire is None or wire.broken or name in setting.open_links:
        return 0.0
    return float((v[node[wire.from_]] - v[node[wire.to]]) / conductor_ohm(wire))


def overloaded(fitted: Fitted, setting: Setting, solution: Solution) -> frozenset[str]:
    """Return the circuits whose positive carries more than their breaker does."""
    fed = {f.circuit for f in fitted.faults if f.circuit is not None}
    carried = {c: positive_current(fitted, setting, solution, c) for c in fed}
    return frozenset(c for c, amps in carried.items() if amps > fitted.wiring.circuit(c).breaker_A)


def post_voltage(fitted: Fitted, setting: Setting, solution: Solution) -> float | None:
    """Return the voltage [V] of the battery's positive post, its load counted, or None on a boat without a battery."""
    battery = fitted.boat.battery
    if battery is None:
        return None
    total = sum(positive_current(fitted, setting, solution, c.id) for c in fitted.boat.circuits)
    negative = float(solution.node_voltage[fitted.node_of[battery.negative_at]])
    return negative + battery.emf_V - total * battery.resistance_ohm


def bilge_voltage(fitted: Fitted, solution: Solution, system: System) -> float | None:
    """Return the voltage [V] of bilge water that nothing drives: each metal it touches less its own rest potential, on the mean.

    None where the bilge is dry, or touches no metal that is tied to metal in the water.
    """
    bilge, component = fitted.boat.bilge, system.tree.component
    if bilge is None or bilge.water == "dry":
        return None
    wet = {component[int(k)] for k in system.node}
    tied = [c for c in bilge.contacts if component[fitted.node_of[c.to]] in wet]
    if not tied:
        return None
    volts = [
        float(solution.node_voltage[fitted.node_of[c.to]]) - rest_potential(fitted.boat, c.to, fitted.water)
        for c in tied
    ]
    return float(np.average(volts, weights=[c.cell_length_m for c in tied]))
