"""04.6 and 04.7: mass by life, and whether it can give the first current; after the formulas of DNV-RP-B401."""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.datasets import row
from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from course.boats.protection import anode_data, design_current_density
from course.engine.constants import HOUR
from course.engine.earthing import compact_resistance
from graders.exercise import Exercise, Table
from graders.exercises.module_04.common import HOURS_IN_A_YEAR, MODULE
from graders.parts import ChoicePart, NumberPart, Wrong
from graders.task import Task

UTILISATION = float(row("protection", "utilisation_short_flush")["utilisation"])
ALLOYS = {"zinc": "zinc", "aluminium": "aluminium alloy"}
STEEL_mV = -800.0


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    return {
        "alloy": draw.choice("alloy", tuple(ALLOYS)),
        "bare_m2": draw.number("bare", 0.6, 3.2, 1),
        "degC": draw.number("temperature", 8, 18, 0),
        "years": draw.number("years", 1.0, 3.0, 1),
    }


def _mean(task: Task) -> float:
    return design_current_density(task.number("degC")).mean


def _capacity(task: Task) -> float:
    return anode_data(task.word("alloy"))[1] / HOUR


def _mean_mA(task: Task) -> float:
    return 1000 * task.number("bare_m2") * _mean(task)


def _hours(task: Task) -> float:
    return task.number("years") * HOURS_IN_A_YEAR


def _kg(task: Task) -> float:
    return task.earlier("mean") / 1000 * _hours(task) / (_capacity(task) * UTILISATION)


def _densities(_task: Task) -> Table:
    names = (("7 to 12 °C", 10.0), ("12 to 20 °C", 15.0))
    found = tuple((words, design_current_density(degC)) for words, degC in names)
    lines = tuple((words, f"{d.initial:g}", f"{d.mean:g}", f"{d.final:g}") for words, d in found)
    return Table(
        "Bare steel in the sea, A/m² (DNV-RP-B401, 0 to 30 m)",
        ("water", "at first", "in the mean", "at the end"),
        lines,
    )


def _alloys(_task: Task) -> Table:
    lines = tuple((words, f"{anode_data(alloy)[1] / HOUR:.0f}") for alloy, words in ALLOYS.items())
    return Table("Anode alloys (DNV-RP-B401)", ("alloy", "Ah/kg"), lines)


MASS = Exercise(
    id="04.6",
    module=MODULE,
    title="How many kilograms",
    kind="size",
    objectives=("04.size",),
    prompt="A steel keel has {bare_m2:g} m² of bare metal in sea water of {degC:.0f} °C. Flush plates of {alloy_name} are to "
    "protect it for {years:g} years "
    "(8766 hours each); 0.80 of such a plate can be used.",
    draw=_draw,
    words=lambda t: {
        "alloy_name": ALLOYS[t.word("alloy")],
        "density": f"{_mean(t):g}",
        "capacity": f"{_capacity(t):.0f}",
    },
    tables=(_densities, _alloys),
    teaches=lambda t: t.number("degC") != 12,
    parts=(
        NumberPart(
            "mean",
            "Mean current",
            "mA",
            2,
            _mean_mA,
            (
                Wrong(
                    "first_current",
                    lambda t: 1000 * t.number("bare_m2") * design_current_density(t.number("degC")).initial,
                    "That is the current at first. For the mass over the years take the mean.",
                ),
                Wrong(
                    "other_water",
                    lambda t: (
                        1000
                        * t.number("bare_m2")
                        * design_current_density(15.0 if t.number("degC") < 12 else 10.0).mean
                    ),
                    "You took the other row of the table. The water has {degC:.0f} °C.",
                ),
                Wrong(
                    "end_current",
                    lambda t: 1000 * t.number("bare_m2") * design_current_density(t.number("degC")).final,
                    "That is the current at the end of life. For the mass over the years take the mean.",
                ),
            ),
            how="{bare_m2:g} m² times the mean current density for water of {degC:.0f} °C.",
            share=0.01,
            decimals=0,
        ),
        NumberPart(
            "mass",
            "Mass of anodes",
            "kg",
            4,
            _kg,
            (
                Wrong(
                    "all_of_it_used",
                    lambda t: _kg(t) * UTILISATION,
                    "You used up the whole plate. Only 0.80 of it can be used: divide by that too.",
                ),
                Wrong(
                    "utilisation_multiplied",
                    lambda t: _kg(t) * UTILISATION**2,
                    "You multiplied by 0.80. It makes the plates larger, not smaller: divide.",
                ),
                Wrong(
                    "other_alloy",
                    lambda t: (
                        _kg(t)
                        * _capacity(t)
                        / (anode_data("zinc" if t.word("alloy") == "aluminium" else "aluminium")[1] / HOUR)
                    ),
                    "You took the charge of the other alloy. A kilogram of {alloy_name} gives {capacity} Ah.",
                ),
                Wrong(
                    "one_year",
                    lambda t: _kg(t) / t.number("years") if t.number("years") > 1.2 else None,
                    "That is for one year. They are to last {years:g} years: multiply.",
                ),
                Wrong(
                    "weight_for_capacity",
                    lambda t: t.earlier("mean") / 1000 * _hours(t) / 1000,
                    "That is thousands of ampere hours, not kilograms. Each kilogram gives {capacity} Ah: divide by that.",
                ),
            ),
            how="Amperes times hours, divided by {capacity} Ah/kg and by 0.80.",
            share=0.02,
            decimals=2,
        ),
    ),
    method=lambda t: (
        f"{t.number('bare_m2'):g} m² x {_mean(t):g} A/m² = {_mean_mA(t):.0f} mA.",
        f"{_mean_mA(t) / 1000:.3g} A x {_hours(t):.0f} h / ({_capacity(t):.0f} Ah/kg x 0.80) = {_kg(t):.2f} kg.",
    ),
    hints=(
        "Two steps: first the mean current, then the mass that holds its charge.",
        "Area times the mean A/m² is amperes. Amperes times hours is ampere hours.",
        "Mass = mean amperes x {years:g} x 8766 / ({capacity} x 0.80).",
    ),
)


def _draw_first(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    return {
        "plate_cm2": draw.number("plate", 250, 900, -1),
        "plates": draw.number("plates", 1, 3, 0),
        "ohm_m": draw.number("resistivity", 0.22, 0.34, 2),
        "bare_m2": draw.number("bare", 0.8, 9.0, 1),
    }


def _resistance(task: Task) -> float:
    """Of one plate: resistivity x 0.315 / root of its area, DNV-RP-B401's formula for a flush plate [ohm]."""
    return float(compact_resistance(task.number("plate_cm2") * 1e-4, 1.0 / task.number("ohm_m")))


def _driving_mV() -> float:
    return STEEL_mV - 1000 * anode_data("aluminium")[0]


def _each_mA(task: Task) -> float:
    return _driving_mV() / task.earlier("ohm")


def _wanted_mA(task: Task) -> float:
    return 1000 * task.number("bare_m2") * design_current_density(10.0).initial


def _given_mA(task: Task) -> float:
    return task.earlier("each") * task.number("plates")


FIRST = Exercise(
    id="04.7",
    module=MODULE,
    title="Can they give it",
    kind="size",
    objectives=("04.size",),
    prompt="At hand: {plates_words} of aluminium alloy, {plate_cm2:.0f} cm² of face{of_each}, in sea water of {ohm_m:g} ohm "
    "m. By DNV-RP-B401 a flush "
    "plate's resistance is 0.315 x resistivity / square root of its area, and the alloy drives from -1050 mV to steel at -800 mV. "
    "The bare steel, "
    "{bare_m2:g} m², asks for 0.20 A/m² at first.",
    draw=_draw_first,
    words=lambda t: {
        "plates_words": ("one flush plate", "two flush plates", "three flush plates")[
            int(t.number("plates")) - 1
        ],
        "of_each": " each" if t.number("plates") > 1 else "",
        "wanted": f"{_wanted_mA(t):.0f}",
        "root": f"{(t.number('plate_cm2') * 1e-4) ** 0.5:.3f}",
    },
    teaches=lambda t: not 0.75 < _driving_mV() / _resistance(t) * t.number("plates") / _wanted_mA(t) < 1.35,
    parts=(
        NumberPart(
            "ohm",
            "Resistance of one plate",
            "ohm",
            2,
            _resistance,
            (
                Wrong(
                    "root_forgotten",
                    lambda t: 0.315 * t.number("ohm_m") / (t.number("plate_cm2") * 1e-4),
                    "You divided by the area itself. It is its square root, {root} m.",
                ),
                Wrong(
                    "square_centimetres",
                    lambda t: 0.315 * t.number("ohm_m") / t.number("plate_cm2") ** 0.5,
                    "You took the root of square centimetres. With ohm m the area is in square metres: 10 000 cm² to one.",
                ),
                Wrong(
                    "multiplied",
                    lambda t: 0.315 * t.number("ohm_m") * (t.number("plate_cm2") * 1e-4) ** 0.5,
                    "You multiplied by the root. A larger plate has less resistance: divide.",
                ),
            ),
            how="0.315 times {ohm_m:g} ohm m, divided by the root of {plate_cm2:.0f} cm² in square metres.",
            share=0.02,
            decimals=3,
        ),
        NumberPart(
            "each",
            "The most that one plate gives to steel at -800 mV",
            "mA",
            2,
            _each_mA,
            (
                Wrong(
                    "whole_potential",
                    lambda t: 1050.0 / t.earlier("ohm"),
                    "You took the alloy's whole 1050 mV. What drives is "
                    "the difference from the steel's -800 mV.",
                ),
                Wrong(
                    "multiplied",
                    lambda t: _driving_mV() * t.earlier("ohm"),
                    "You multiplied. Current is voltage divided by resistance.",
                ),
                Wrong(
                    "steel_only",
                    lambda t: 800.0 / t.earlier("ohm"),
                    "You took the steel's 800 mV. What drives is the difference of the two: 250 mV.",
                ),
            ),
            how="From -1050 to -800 mV is 250 mV; divide by the resistance.",
            share=0.02,
            decimals=0,
        ),
        ChoicePart(
            "enough",
            "Is that enough for the first months",
            2,
            (
                ("yes", "yes: together they can give what is asked"),
                ("no", "no: more plates, or larger ones, whatever the kilograms say"),
            ),
            lambda t: "yes" if _given_mA(t) >= _wanted_mA(t) else "no",
            {
                "yes": "{bare_m2:g} m² at 0.20 A/m² ask for {wanted} mA. Add up what the plates can give.",
                "no": "{bare_m2:g} m² at 0.20 A/m² ask for {wanted} mA, and the plates can give that.",
            },
            how="Number of plates times what one gives, against {wanted} mA.",
        ),
    ),
    method=lambda t: (
        f"0.315 x {t.number('ohm_m'):g} / root({t.number('plate_cm2') * 1e-4:.4f}) = {_resistance(t):.3f} ohm.",
        f"250 mV / {_resistance(t):.3f} ohm = {t.earlier('each'):.0f} mA each, {_given_mA(t):.0f} mA together; asked for: "
        f"{_wanted_mA(t):.0f} mA.",
    ),
    hints=(
        "Mass says how long a plate lasts. Its size says how much it gives at once.",
        "Resistance = 0.315 x {ohm_m:g} / root({plate_cm2:.0f} / 10 000). Then Ohm's law with the 250 mV that drive.",
        "One plate's mA = 250 / ohm. All plates together, against {bare_m2:g} x 0.20 A: enough, or not?",
    ),
)
