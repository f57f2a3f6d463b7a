"""A boat's protection by the published design method, from the numbers in datasets/protection.yaml."""

from __future__ import annotations

from course.boats.datasets import load, row
from course.boats.plan import SlipPlan
from course.engine.constants import HOUR
from course.engine.film import Coating
from course.engine.protection import CurrentDensity, Demand, anode_life, demand


def design_current_density(temperature_degC: float) -> CurrentDensity:
    """Return DNV-RP-B401's design current density of bare metal at 0-30 m for a water temperature."""
    rows = [r for r in load("protection").values() if r["kind"] == "current_density"]
    for found in sorted(rows, key=lambda r: -float(r["warmer_than_degC"])):
        if temperature_degC > found["warmer_than_degC"]:
            break
    return CurrentDensity(found["initial_A_m2"], found["mean_A_m2"], found["final_A_m2"])


def coating_of(category: str) -> Coating:
    """Return a coating category ("I" to "IV"). Raises UnknownName for another."""
    found = row("protection", f"coating_{category}")
    return Coating(found["a"], found["b_per_year"])


def anode_data(alloy: str) -> tuple[float, float]:
    """Return (closed-circuit potential [V vs Ag/AgCl in sea water], capacity [C/kg]) of "aluminium", "zinc" or "magnesium".

    Raises UnknownName for another.
    """
    found = row("protection", f"anode_{alloy}")
    return found["closed_circuit_V_AgAgCl"], found["capacity_Ah_kg"] * HOUR


def boat_demand(plan: SlipPlan, seconds: float) -> Demand:
    """Return the current a boat's bare metals want by the design method, whatever their alloy.

    The standard is written for steel; it is applied to bronze and stainless as if they were bare steel.
    """
    bare = sum(metal.wetted_area_m2 * metal.bare_fraction for metal in plan.boat.metals)
    return demand(bare, design_current_density(plan.berth.temperature_degC), seconds)


def boat_life(plan: SlipPlan, seconds: float, utilisation: float = 0.8) -> float:
    """Return the seconds that the boat's zinc lasts by the design method, all anodes taken together."""
    _, capacity = anode_data("zinc")
    mass = sum(anode.mass_kg * anode.remaining for anode in plan.boat.anodes)
    return anode_life(mass, boat_demand(plan, seconds).mean, utilisation, capacity)
