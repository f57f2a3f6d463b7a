"""What looks implausible in a boat file, a sentence each: slips of the pen that a schema cannot see."""

from __future__ import annotations

from collections.abc import Iterator

from course.boats.afloat import Afloat, conductor_ohm
from course.boats.datasets import load, row
from course.boats.description import Boat, Metal, RawWaterMetal
from instructor.boat.report import anode_days, span_words

AREAS_M2 = {  # plausible wetted area by shape, for craft of 4 to 20 m (declared)
    "propeller": (0.02, 1.5), "shaft": (0.005, 0.8), "rudder": (0.05, 3.0), "strut": (0.01, 0.6), "through_hull": (0.003, 0.4),
    "plate": (0.02, 3.0), "keel": (0.3, 15.0), "saildrive": (0.15, 1.0), "stern_drive": (0.2, 1.5), "outboard": (0.1, 1.5),
    "fastening": (0.0005, 0.3), "strainer": (0.01, 0.4), "pump": (0.003, 0.2), "heat_exchanger": (0.03, 5.0),
}  # fmt: skip
LEAST_OHM = 1e-4  # a bolted joint is seldom better
MOST_BOND_OHM = 1.0  # from any protected metal to the anode (practice, as publicly summarised)
SHORT_DAYS, LONG_DAYS = 60.0, 365.25 * 15
SOLID = 0.35  # share by which an anode's mass may differ from its dimensions (straps, slots, a core)
LEAST_CIRCUITS = 10
WATERS = {"sea water": "sea_water", "brackish water": "brackish_water", "fresh water": "soft_fresh_water"}


def _wet(boat: Boat) -> tuple[Metal | RawWaterMetal, ...]:
    """Every metal that water touches, outside and inside."""
    return (*boat.metals, *boat.raw_water)


def warnings(afloat: Afloat) -> list[str]:
    """Return what looks implausible in a boat and her water, a sentence each."""
    boat = afloat.plan.boat
    return [
        *_areas(boat),
        *_bonds(boat),
        *_anodes(boat, afloat.plan.berth.water),
        *_lives(afloat),
        *_circuits(boat),
        *_hull(boat),
        *_places(boat),
    ]


def _areas(boat: Boat) -> Iterator[str]:
    hull = boat.hull
    skin = hull.hulls * hull.length_m * (hull.beam_m / hull.hulls + 2 * hull.draft_m)
    for part in _wet(boat):
        low, high = AREAS_M2.get(part.shape, (skin * 0.1, skin * 1.2))
        if not low <= part.wetted_area_m2 <= high:
            verdict = "much" if part.wetted_area_m2 > high else "little"
            kind = part.shape.replace("_", " ")
            yield f"{part.label}: {part.wetted_area_m2:g} m² is {verdict} for a {kind}; {low:.3g} to {high:.3g} m² is usual"
        if not part.basis:
            yield f"{part.label}: no basis is given for its area"
    for metal in boat.metals:
        coated = metal.coating not in ("", "none") and not metal.coating.startswith("none")
        if coated and metal.bare_fraction == 1.0:
            yield f"{metal.label}: it is coated ({metal.coating}), and yet all of it is bare"
        if metal.shape in ("hull", "keel") and metal.bare_fraction > 0.2 and coated:
            yield f"{metal.label}: {100 * metal.bare_fraction:.0f} % bare is no coating"


def _bonds(boat: Boat) -> Iterator[str]:
    for wire in boat.conductors:
        ohm = conductor_ohm(wire)
        if ohm < LEAST_OHM and wire.contact_ohm is None:
            yield f"{boat.label(wire.id)}: {ohm:.2g} ohm is next to none for a wire with two joints"
        elif wire.contact_ohm is None and wire.joints_ohm == 0.0:
            yield f"{boat.label(wire.id)}: joints of no resistance at all"
        if ohm > MOST_BOND_OHM and not wire.broken:
            yield f"{boat.label(wire.id)}: {ohm:.2g} ohm; a bond of more than {MOST_BOND_OHM:g} ohm spoils protection"
        if wire.gauge_awg is not None and wire.gauge_awg > 8 and "strap" not in wire.label:
            yield f"{boat.label(wire.id)}: {wire.gauge_awg} AWG; 8 AWG is the least that is usual for bonding"


def _anodes(boat: Boat, water: str) -> Iterator[str]:
    right = row("waters", WATERS[water])["anodes"] if water in WATERS else []
    rows = load("anodes")
    kinds = {found["metal"]: name for name, found in rows.items()}
    for anode in boat.anodes:
        kind = kinds.get(anode.alloy, "")
        if kind and right and kind not in right and kind != "iron":
            yield f"{anode.label}: {kind} in {water}: {rows[kind]['not_in']}"
        solid = anode.length_m * anode.width_m * anode.thickness_m
        if anode.mounting == "collar":
            solid = 3.14 * anode.length_m * anode.thickness_m * (anode.width_m - anode.thickness_m)
        mass = solid * row("metals", anode.alloy)["density_kg_m3"]
        if not 1 - SOLID <= anode.mass_kg / mass <= 1 + SOLID:
            yield f"{anode.label}: {anode.mass_kg:g} kg, but its dimensions make {mass:.2g} kg"


def _lives(afloat: Afloat) -> Iterator[str]:
    days = anode_days(afloat, afloat.steady(afloat.start))
    for anode in afloat.plan.boat.anodes:
        if days[anode.id] < SHORT_DAYS:
            yield f"{anode.label}: {anode.mass_kg:g} kg lasts {span_words(days[anode.id])}"
        if days[anode.id] > LONG_DAYS:
            yield f"{anode.label}: {anode.mass_kg:g} kg lasts {span_words(days[anode.id])}; it hardly works"


def _circuits(boat: Boat) -> Iterator[str]:
    if len(boat.circuits) < LEAST_CIRCUITS:
        yield f"{len(boat.circuits)} circuits; a boat of the course has {LEAST_CIRCUITS} or more"
    for circuit in boat.circuits:
        if circuit.load_A > circuit.breaker_A:
            yield f"{circuit.label}: a load of {circuit.load_A:g} A behind a breaker of {circuit.breaker_A:g} A"
        if circuit.place is None:
            yield f"{circuit.label}: where it is, is not said"


def _hull(boat: Boat) -> Iterator[str]:
    hull = boat.hull
    if hull.displacement_kg is None:
        yield "no displacement is given"
        return
    box = 1025 * hull.length_m * hull.beam_m * hull.draft_m
    share = hull.displacement_kg / box
    if not 0.03 <= share <= 0.75:
        yield f"{hull.displacement_kg:g} kg is {100 * share:.0f} % of the box of length, beam and draught; 3 to 75 % is usual"
    low, high = (f(x for x, _ in hull.profile) for f in (min, max))
    if abs(high - low - hull.length_m) > 0.15 * hull.length_m:
        yield f"her outline is {high - low:.1f} m long, and she is {hull.length_m:g} m"


def _places(boat: Boat) -> Iterator[str]:
    for metal in boat.metals:
        if metal.place.height_m >= 0.0:
            yield f"{metal.label}: it counts as metal in the water, and lies {metal.place.height_m:g} m above it"
    for outside in (*boat.metals, *boat.anodes):
        if outside.place.height_m < -boat.hull.draft_m - 0.3:
            yield f"{outside.label}: it lies {-outside.place.height_m:g} m deep under a boat of {boat.hull.draft_m:g} m draught"
    bitten = {point.at for point in boat.clip_points}
    touching = [{c.from_, c.to} for c in boat.conductors if c.contact_ohm is not None]
    for _ in touching:  # metal that touches metal a clip can reach is reached
        bitten |= {end for pair in touching for end in pair if bitten & pair}
    for part in _wet(boat):
        if part.id not in bitten and part.shape not in ("propeller", "fastening", "saildrive", "outboard"):
            yield f"{part.label}: no clip can reach it"
