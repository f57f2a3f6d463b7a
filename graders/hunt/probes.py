"""What a hunter may measure, what each measurement costs in minutes, and what the engine says it would show."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from course.boats.afloat import Afloat, Setting, conductor_ohm
from course.boats.boat_systems import BATTERY_POSITIVE, BILGE_WATER, SHORE_EARTH
from course.boats.description import COMMON_POINT, Boat
from course.boats.paths import SHORE_LEAD
from course.boats.wording import in_a_sentence
from course.instruments import reference_cell
from course.instruments.ends import cell_row
from course.instruments.state import side_m

Array = NDArray[np.float64]
ADRIFT = 1e4  # mV or ohm: no path, or a bilge with nothing in it to stand a probe in
CELL_DEPTH_M = 1.0

# What an honest reading can be off by: meter and cell (graders.truth), two clips, the clamp turned round, a probe whose own
# potential is not known (the instruments' declared sizes), and a test lead's ohms.
TOLERANCE = {"hull": 8.0, "metal": 4.0, "clamp": 6.0, "leak": 6.0, "bilge": 70.0, "ohm": 1.0}
UNIT = {"hull": "mV", "metal": "mV", "clamp": "mA", "leak": "mA", "bilge": "mV", "ohm": "ohm"}
# the acts it takes at the most, and the record: clips, one of them scraped bright; clamp off, zeroed and on; probe dipped
MINUTES = {"hull": 2, "metal": 5, "clamp": 3, "leak": 3, "bilge": 3, "ohm": 5}
NEEDS = {
    "hull": "cell",
    "metal": "meter",
    "clamp": "clamp",
    "leak": "clamp",
    "bilge": "bilge probe",
    "ohm": "meter",
}
SETTLING = frozenset({"hull", "metal", "bilge"})  # these are waited for after something was switched
SETTLE_MINUTES = 10  # two readings ten minutes apart agree: common practice, no source
SET_UP_MINUTES = 32  # hanging the cell, and waiting for it


class Probe(NamedTuple):
    """One kind of measurement at one place: a clip point, a wire, a circuit, or nothing more to say."""

    kind: str
    at: str = ""

    @property
    def tolerance(self) -> float:
        """Return how far off an honest reading can be."""
        return TOLERANCE[self.kind]

    @property
    def unit(self) -> str:
        """Return the unit of its reading."""
        return UNIT[self.kind]


def members(boat: Boat) -> dict[str, str]:
    """Return one clip point for each member of the boat's metal beside the common bonding point, point by member."""
    found: dict[str, str] = {}
    for point in boat.clip_points:
        if point.at not in (COMMON_POINT, BATTERY_POSITIVE):
            found.setdefault(point.at, point.id)
    return found


def probes(boat: Boat, instruments: Sequence[str]) -> tuple[Probe, ...]:
    """Return everything that can be measured on a boat with some instruments: cell, meter, clamp, bilge probe."""
    wires = [c.id for c in boat.conductors if c.gauge_awg is not None]
    if boat.shore is not None and boat.shore.arrangement != "none":
        wires.append(SHORE_EARTH)
    every = [
        Probe("hull"),
        *(Probe("metal", member) for member in members(boat)),
        *(Probe("clamp", wire) for wire in wires),
        *(Probe("leak", circuit.id) for circuit in boat.circuits),
        *([Probe("bilge")] if boat.bilge is not None else []),
        *(Probe("ohm", member) for member in members(boat)),
    ]
    return tuple(probe for probe in every if NEEDS[probe.kind] in instruments)


def words(probe: Probe, boat: Boat) -> str:
    """Return what a measurement is, in words."""
    if probe.kind == "hull":
        return "hull potential"
    if probe.kind == "bilge":
        return "bilge water against the common bonding point"
    if probe.kind == "leak":
        circuit = next(c for c in boat.circuits if c.id == probe.at)
        return f"clamp round both wires of {in_a_sentence(circuit.label)}"
    if probe.kind == "clamp":
        name = SHORE_LEAD if probe.at == SHORE_EARTH else boat.label(probe.at)
        return f"clamp round the {name}"
    unit = "resistance" if probe.kind == "ohm" else "voltage"
    return f"{unit} between the {boat.label(probe.at)} and the common bonding point"


def readings(afloat: Afloat, setting: Setting, wanted: Sequence[Probe]) -> Array:
    """Return what each measurement shows once everything has settled in a setting, with perfect instruments."""
    moment = afloat.steady(setting)
    common = afloat.voltage(moment, COMMON_POINT)
    place = np.array([[afloat.plan.boat.hull.length_m / 2, side_m(afloat), -CELL_DEPTH_M]])
    cell = reference_cell.settled_potential(cell_row(afloat), afloat.water)
    ohms = _ohms(afloat, setting) if any(probe.kind == "ohm" for probe in wanted) else {}

    def against_common(member: str) -> float:
        volts = afloat.voltage(moment, member)
        return ADRIFT if volts is None or common is None else 1000 * (volts - common)

    fed = {fault.circuit for fault in afloat.plan.faults}

    def one(probe: Probe) -> float:
        if probe.kind == "leak" and probe.at not in fed:
            return 0.0
        if probe.kind == "hull":
            water = float(afloat.water_potential(moment, place)[0])
            return ADRIFT if common is None else 1000 * (common - water - cell)
        if probe.kind == "metal":
            return against_common(probe.at)
        if probe.kind == "bilge":
            return against_common(BILGE_WATER)
        if probe.kind == "clamp":
            return 1000 * afloat.current(moment, probe.at)
        if probe.kind == "leak":
            return 1000 * sum(
                afloat.current(moment, f"{pole}:{probe.at}") for pole in ("positive", "negative")
            )
        return min(ohms.get(probe.at, ADRIFT), ADRIFT)

    return np.array([one(probe) for probe in wanted])


def _ohms(afloat: Afloat, setting: Setting) -> dict[str, float]:
    """Return the resistance by wire [ohm] of each member to the common bonding point; what only water joins is adrift."""
    fitted = afloat.fitted(setting)
    nodes = fitted.node_of
    admittance = np.zeros((len(nodes), len(nodes)))
    for conductor in fitted.closed(setting):
        a, b, through = nodes[conductor.from_], nodes[conductor.to], 1 / conductor_ohm(conductor)
        admittance[[a, b], [a, b]] += through
        admittance[[a, b], [b, a]] -= through
    common = nodes[COMMON_POINT]
    admittance += np.eye(len(nodes)) / ADRIFT
    inverse = np.linalg.inv(admittance)
    return {
        member: float(inverse[k, k] + inverse[common, common] - 2 * inverse[k, common])
        for member, k in nodes.items()
        if k != common
    }
