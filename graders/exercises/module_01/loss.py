"""01.6, 01.7 and 01.9: from current to metal lost, from there to depth, and back from metal lost to current."""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from course.engine.constants import HOUR, YEAR
from course.engine.faraday import mass_rate
from graders.exercise import Exercise, Table
from graders.exercises.module_01.common import FITTINGS, HOURS_IN_A_DAY, MODULE, metal
from graders.metals import eaten_mm_per_year, label
from graders.parts import ChoicePart, NumberPart, Wrong
from graders.task import Task

DAYS_IN_A_YEAR = YEAR / (HOURS_IN_A_DAY * HOUR)
OTHER = "zinc_anode"  # whose number is on everybody's lips


def _grams_per_Ah(name: str) -> float:
    return float(mass_rate(1.0, metal(name)["equivalent_weight_g"] * 1e-3)) * HOUR * 1e3


def _words(task: Task) -> Mapping[str, Value]:
    name = task.word("metal")
    return {
        "its_name": label(name),
        "per_Ah": f"{_grams_per_Ah(name):.3f}",
        "zinc_Ah": f"{_grams_per_Ah(OTHER):.3f}",
        "one": f"{eaten_mm_per_year(name, 1.0):.2f}",
    }


def _per_Ah(task: Task) -> Table:
    names = tuple(dict.fromkeys((task.word("metal"), OTHER)))
    return Table(
        "What a current takes (Faraday's law)",
        ("metal", "grams for each ampere hour"),
        tuple((label(name), f"{_grams_per_Ah(name):.3f}") for name in names),
    )


def _draw_grams(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    return {
        "metal": draw.choice("metal", FITTINGS),
        "mA": draw.number("current", 35, 480, 0),
        "days": draw.number("days", 5, 40, 0),
    }


def _Ah(task: Task) -> float:
    return task.number("mA") / 1000 * task.number("days") * HOURS_IN_A_DAY


GRAMS = Exercise(
    id="01.6",
    module=MODULE,
    title="From current to metal lost",
    kind="convert",
    objectives=("01.current_to_metal",),
    prompt="A clamp shows {mA:.0f} mA leaving the boat through a fitting of {its_name}. It has done so day and night for {days:.0f} days.",
    draw=_draw_grams,
    words=_words,
    tables=(_per_Ah,),
    parts=(
        NumberPart(
            "charge",
            "The charge that left, in ampere hours",
            "Ah",
            2,
            _Ah,
            (
                Wrong(
                    "milliampere_hours",
                    lambda t: 1000 * _Ah(t),
                    "That is in milliampere hours. A milliampere is a thousandth of an ampere: divide by 1000.",
                ),
                Wrong(
                    "days_for_hours",
                    lambda t: _Ah(t) / HOURS_IN_A_DAY,
                    "You multiplied by {days:.0f} days. Ampere hours need hours: 24 to the day.",
                ),
                Wrong(
                    "one_day",
                    lambda t: _Ah(t) / t.number("days"),
                    "That is the charge of one day. It went on for {days:.0f} days: multiply by them.",
                ),
            ),
            how="Amperes times hours: {mA:.0f} mA in amperes, times {days:.0f} days of 24 hours.",
            share=0.01,
            decimals=1,
        ),
        NumberPart(
            "lost",
            "Metal lost",
            "g",
            4,
            lambda t: t.earlier("charge") * _grams_per_Ah(t.word("metal")),
            (
                Wrong(
                    "other_metal",
                    lambda t: t.earlier("charge") * _grams_per_Ah(OTHER),
                    "You took zinc's {zinc_Ah} g for each ampere hour. The current leaves from {its_name}, which goes at {per_Ah} g.",
                ),
                Wrong(
                    "divided",
                    lambda t: t.earlier("charge") / _grams_per_Ah(t.word("metal")),
                    "You divided. Each ampere hour takes {per_Ah} g, so more charge takes more metal: multiply.",
                ),
                Wrong(
                    "charge_itself",
                    lambda t: t.earlier("charge"),
                    "That is the charge, not the metal. Each ampere hour takes {per_Ah} g of {its_name}: multiply.",
                ),
            ),
            how="Multiply your ampere hours by what each of them takes of {its_name}, {per_Ah} g.",
            share=0.02,
            decimals=1,
        ),
    ),
    method=lambda t: (
        f"{t.number('mA'):.0f} mA for {t.number('days'):.0f} days of 24 hours is {_Ah(t):.1f} Ah.",
        f"At {_words(t)['per_Ah']} g each that is {t.earlier('lost'):.0f} g of {_words(t)['its_name']}, if all of the current takes metal.",
    ),
    hints=(
        "Two steps: first how much charge left, then how much metal each bit of charge takes.",
        "Charge in ampere hours is amperes times hours.",
        "Ampere hours = {mA:.0f} / 1000 x {days:.0f} x 24. Grams = ampere hours x {per_Ah}, the number beside {its_name}.",
    ),
)


def _draw_depth(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    return {
        "metal": draw.choice("metal", FITTINGS),
        "mA": draw.number("current", 8, 90, 0),
        "cm2": draw.number("area", 12, 160, 0),
        "days": draw.number("days", 20, 150, 0),
    }


def _one_A_m2(task: Task) -> Table:
    return Table(
        "How deep a current eats (Faraday's law)",
        ("metal", "mm in a year for each A/m²"),
        ((label(task.word("metal")), f"{eaten_mm_per_year(task.word('metal'), 1.0):.2f}"),),
    )


def _density(task: Task) -> float:
    return task.number("mA") / 1000 / (task.number("cm2") * 1e-4)


def _yearly_mm(task: Task) -> float:
    return eaten_mm_per_year(task.word("metal"), 1.0) * task.earlier("density")


DEPTH = Exercise(
    id="01.7",
    module=MODULE,
    title="How deep it goes",
    kind="convert",
    objectives=("01.current_to_metal",),
    prompt="{mA:.0f} mA leave through a fitting of {its_name} with {cm2:.0f} cm² wet, for {days:.0f} days. Take the attack as even.",
    draw=_draw_depth,
    words=_words,
    tables=(_one_A_m2,),
    parts=(
        NumberPart(
            "density",
            "Current from each square metre",
            "A/m²",
            3,
            _density,
            (
                Wrong(
                    "square_metre_is_100_cm2",
                    lambda t: _density(t) / 100,
                    "You counted 100 cm² to the square metre. It is 100 cm long and 100 cm wide: 10 000 cm².",
                ),
                Wrong(
                    "upside_down",
                    lambda t: 1 / _density(t),
                    "Upside down: that is square metres for each ampere. Divide the current by the area.",
                ),
                Wrong(
                    "per_square_centimetre",
                    lambda t: t.number("mA") / t.number("cm2"),
                    "That is milliamperes from each square centimetre. 1 mA/cm² is 10 A/m²: multiply by ten.",
                ),
            ),
            how="{mA:.0f} mA in amperes, divided by {cm2:.0f} cm² in square metres (10 000 to one).",
            share=0.01,
            decimals=2,
        ),
        NumberPart(
            "depth",
            "Depth lost in that time",
            "mm",
            3,
            lambda t: _yearly_mm(t) * t.number("days") / DAYS_IN_A_YEAR,
            (
                Wrong(
                    "whole_year",
                    _yearly_mm,
                    "That is what a whole year would take. It went on for {days:.0f} of 365 days: take that share.",
                ),
                Wrong(
                    "density_forgotten",
                    lambda t: eaten_mm_per_year(t.word("metal"), 1.0) * t.number("days") / DAYS_IN_A_YEAR,
                    "That is for 1 A/m². You found another current from each square metre: multiply by it.",
                ),
                Wrong(
                    "divided",
                    lambda t: (
                        t.earlier("density")
                        / eaten_mm_per_year(t.word("metal"), 1.0)
                        * t.number("days")
                        / DAYS_IN_A_YEAR
                    ),
                    "You divided by {one}. Each A/m² eats {one} mm in a year, so more of them eat more: multiply.",
                ),
            ),
            how="Multiply your A/m² by {one} mm a year, and take the share of the year that {days:.0f} days are.",
            share=0.02,
            decimals=3,
        ),
    ),
    method=lambda t: (
        f"{t.number('mA'):.0f} mA from {t.number('cm2'):.0f} cm² is {_density(t):.2f} A/m².",
        f"At {_words(t)['one']} mm a year for each, {t.number('days'):.0f} days take {t.earlier('depth'):.2g} mm; "
        "attack is never even, so the deepest pit is deeper.",
    ),
    hints=(
        "The same current from half the area goes twice as deep. So first find the current from each square metre.",
        "A square metre has 10 000 cm², an ampere has 1000 mA.",
        "A/m² = ({mA:.0f} / 1000) / ({cm2:.0f} / 10 000). Millimetres = A/m² x {one} x {days:.0f} / 365.",
    ),
)

CATHODE_A_m2 = (
    0.1  # of the order of DNV-RP-B401's mean for bare steel in temperate water; given in the exercise
)
PLAIN = 3.0  # a variant has the two currents at least this many times apart


def _draw_back(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    stray = draw.choice("source", ("stray", "galvanic"))
    # From 1.0 to 1.9 m2 an area forgotten gives the right number rounded, and nothing tells which it was.
    cathode = draw.number("cathode", 0.2, 0.9, 1)
    most_mA = 1000 * CATHODE_A_m2 * cathode
    share = draw.number("share", 4.0, 12.0, 1) if stray == "stray" else draw.number("share", 0.12, 0.3, 2)
    name = draw.choice("metal", FITTINGS)
    days = draw.number("days", 6, 30, 0)
    grams = most_mA / 1000 * share * days * HOURS_IN_A_DAY * _grams_per_Ah(name)
    return {"metal": name, "days": days, "grams": float(f"{grams:.3g}"), "cathode_m2": cathode}


def _needed_mA(task: Task) -> float:
    return (
        1000
        * task.number("grams")
        / _grams_per_Ah(task.word("metal"))
        / (task.number("days") * HOURS_IN_A_DAY)
    )


def _most_mA(task: Task) -> float:
    return 1000 * CATHODE_A_m2 * task.number("cathode_m2")


def _verdict(task: Task) -> str:
    return "stray" if task.earlier("needed") > task.earlier("most") else "galvanic"


BACK = Exercise(
    id="01.9",
    module=MODULE,
    title="From metal lost to the culprit",
    kind="diagnose",
    objectives=("01.current_to_metal", "01.tell_apart"),
    prompt="A fitting of {its_name} was weighed before it went in and again after {days:.0f} days: {grams:g} g are gone. It is bonded to "
    "{cathode_m2:g} m² of nobler bare metal, and in this water oxygen lets each square metre of that pass at most 0.10 A.",
    draw=_draw_back,
    words=_words,
    tables=(_per_Ah,),
    teaches=lambda t: not 1 / PLAIN < _needed_mA(t) / _most_mA(t) < PLAIN,
    parts=(
        NumberPart(
            "needed",
            "The mean current that takes so much in that time",
            "mA",
            2,
            _needed_mA,
            (
                Wrong(
                    "multiplied",
                    lambda t: (
                        1000
                        * t.number("grams")
                        * _grams_per_Ah(t.word("metal"))
                        / (t.number("days") * HOURS_IN_A_DAY)
                    ),
                    "You multiplied by {per_Ah} g. Going back from grams to ampere hours, divide by it.",
                ),
                Wrong(
                    "days_for_hours",
                    lambda t: _needed_mA(t) * HOURS_IN_A_DAY,
                    "You divided the ampere hours by {days:.0f} days. Divide by hours: 24 to the day.",
                ),
                Wrong(
                    "other_metal",
                    lambda t: _needed_mA(t) * _grams_per_Ah(t.word("metal")) / _grams_per_Ah(OTHER),
                    "You took zinc's {zinc_Ah} g for each ampere hour. What is gone is {its_name}: {per_Ah} g.",
                ),
            ),
            how="Grams divided by {per_Ah} are ampere hours; divided by {days:.0f} times 24 hours, amperes.",
            share=0.02,
            decimals=0,
        ),
        NumberPart(
            "most",
            "The most that the nobler metal can drive",
            "mA",
            2,
            _most_mA,
            (
                Wrong(
                    "area_divided",
                    lambda t: 1000 * CATHODE_A_m2 / t.number("cathode_m2"),
                    "You divided by the area. Each square metre passes 0.10 A, so {cathode_m2:g} m² pass more: multiply.",
                ),
                Wrong(
                    "area_forgotten",
                    lambda t: 1000 * CATHODE_A_m2,
                    "That is for one square metre. There are {cathode_m2:g} m²: multiply by them.",
                ),
                Wrong(
                    "a_tenth",
                    lambda t: 100 * CATHODE_A_m2 * t.number("cathode_m2"),
                    "You lost a factor of ten: 0.10 A is 100 mA.",
                ),
            ),
            how="0.10 A for each of {cathode_m2:g} m², in milliamperes.",
            share=0.01,
            decimals=0,
        ),
        ChoicePart(
            "culprit",
            "So it was",
            2,
            (
                ("stray", "more than the other metals could drive: a stray current"),
                ("galvanic", "what the other metals could well drive: galvanic corrosion"),
                ("general", "only what the metal loses by itself"),
            ),
            _verdict,
            {
                "stray": "The fitting lost less than the bonded metals alone could take. No battery is needed to explain {grams:g} g in "
                "{days:.0f} days.",
                "galvanic": "The bonded metals cannot drive so much: oxygen lets only 0.10 A through each of {cathode_m2:g} m². "
                "A battery or a charger did.",
                "general": "It is not by itself: it is bonded to {cathode_m2:g} m² of nobler metal, and alone it would lose only "
                "tenths of a millimetre in a year. "
                "Compare your two currents.",
            },
            how="Compare the current that was needed with the most that the nobler metal can drive.",
            why="You compared what the loss needs with the most that the nobler metal can drive. That tells whether a battery is needed.",
        ),
    ),
    method=lambda t: (
        f"{t.number('grams'):g} g in {t.number('days'):.0f} days is {_needed_mA(t):.0f} mA.",
        f"{t.number('cathode_m2'):g} m² of nobler metal can drive at most {_most_mA(t):.0f} mA.",
        "More than that needs a battery: stray. Less can be galvanic.",
    ),
    hints=(
        "Turn Faraday's law round: from grams to ampere hours, from ampere hours to amperes.",
        "A galvanic cell can give no more than its cathode lets through: area times 0.10 A.",
        "Grams / {per_Ah} = ampere hours; ampere hours / (days x 24) = amperes. If that is more than area x 0.10 A, a battery drove "
        "it; if less, the nobler metal can have done it.",
    ),
)
