"""A planned boat handed to the seasons: her metals, the mass of her anodes, her network as found."""

from __future__ import annotations

import numpy as np

from course.boats.afloat import Afloat, kinetics_of
from course.boats.datasets import load, row
from course.boats.plan import SlipPlan
from course.engine import transfer_matrix
from course.engine.craft import Craft, anode_capacity

OTHER_SHARE = 0.95  # of Faraday's charge, for an alloy that the table of anodes does not have (declared)


def grain_share(alloy: str) -> float:
    """Return the share of what dissolves of an anode alloy that gives its charge; the rest falls out as grains."""
    rows = (found for found in load("anodes").values() if found["metal"] == alloy)
    return float(next(rows, {"grain_share": OTHER_SHARE})["grain_share"])


def craft_of(plan: SlipPlan, efficiency: float | None = None) -> tuple[Craft, tuple[str, ...]]:
    """Return the boat of a plan as the seasons know her (lumped: one patch a metal), and the ids of her patches.

    Anodes start with the mass they have left, and yield their alloy's share of Faraday's charge, or ``efficiency``.
    Raises OutOfRange for an efficiency outside 0.01 to 1.
    """
    afloat = Afloat(plan)
    bodies = afloat.bodies(afloat.start)
    alone = np.array([body.self_resistance for body in bodies])
    radii = np.array([body.radius for body in bodies])
    places = np.array([body.place for body in bodies])
    mass, capacity = np.zeros(len(bodies)), np.zeros(len(bodies))
    anodes = {anode.id: anode for anode in plan.boat.anodes}
    for k, body in enumerate(bodies):
        if body.id in anodes:
            mass[k] = anodes[body.id].mass_kg * anodes[body.id].remaining
            share = grain_share(body.alloy) if efficiency is None else efficiency
            capacity[k] = anode_capacity(row("metals", body.alloy)["equivalent_weight_g"] * 1e-3, share)
    system = afloat.system(afloat.start)
    craft = Craft(
        kinetics=tuple(kinetics_of(body.alloy) for body in bodies),
        area=np.array([body.area for body in bodies]),
        transfer=transfer_matrix(places, alone, radii, plan.berth.depth_m, plan.berth.bed_reflection),
        self_resistance=alone,
        node=system.node,
        networks=(system.network,),
        mass=mass,
        capacity=capacity,
    )
    return craft, tuple(body.id for body in bodies)
