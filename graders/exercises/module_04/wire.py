"""04.3: the resistance of a bond, and what it costs in millivolts."""

from __future__ import annotations

from collections.abc import Mapping

from course.boats.personal import Draw
from course.boats.plan import SlipPlan, Value
from course.engine.conductors import conductor_resistance
from graders.exercise import Exercise, Table
from graders.exercises.module_04.common import MODULE, MOST_OHM
from graders.parts import ChoicePart, NumberPart, Wrong
from graders.task import Task

GAUGES = {"10": "5.3 mm²", "8": "8.4 mm²", "6": "13.3 mm²", "4": "21.2 mm²"}
SPOILED_mV = (
    50.0  # a metal that stands this much above the bonding point is not where the anode would have it (ours)
)


def _draw(draw: Draw, _plan: SlipPlan) -> Mapping[str, Value]:
    corroded = draw.choice("joint", ("sound", "corroded"))
    return {
        "gauge": draw.choice("gauge", tuple(GAUGES)),
        "length_m": draw.number("length", 2.0, 9.0, 1),
        "joint_ohm": draw.number("good", 0.002, 0.009, 3)
        if corroded == "sound"
        else draw.number("bad", 0.6, 4.0, 1),
        "mA": draw.number("current", 60, 240, 0),
    }


def _each_m(task: Task) -> float:
    """Milliohm for each metre, as a table prints it."""
    return round(1000 * conductor_resistance(int(task.word("gauge")), 1.0), 2)


def _ohm(task: Task) -> float:
    return _each_m(task) / 1000 * task.number("length_m") + task.number("joint_ohm")


def _gauges(_task: Task) -> Table:
    lines = tuple(
        (f"{gauge} AWG", size, f"{1000 * conductor_resistance(int(gauge), 1.0):.2f}")
        for gauge, size in GAUGES.items()
    )
    return Table("Copper conductors at 20 °C", ("gauge", "section", "milliohm for each metre"), lines)


WIRE = Exercise(
    id="04.3",
    module=MODULE,
    title="What a bond costs",
    kind="convert",
    objectives=("04.survey",),
    prompt="A rudder of {boat} hangs on {length_m:g} m of {gauge} AWG ({section}) with joints of {joint_ohm:g} ohm in all, and "
    "takes {mA:.0f} mA from the "
    "anodes.",
    draw=_draw,
    words=lambda t: {"section": GAUGES[t.word("gauge")], "each": f"{_each_m(t):.2f}"},
    tables=(_gauges,),
    parts=(
        NumberPart(
            "ohm",
            "Resistance from the rudder to the bonding point",
            "ohm",
            2,
            _ohm,
            (
                Wrong(
                    "wire_only",
                    lambda t: (
                        _each_m(t) / 1000 * t.number("length_m") if t.number("joint_ohm") < 0.05 else None
                    ),
                    "That is the wire alone. The joints are in series with it: add {joint_ohm:g} ohm.",
                ),
                Wrong(
                    "milliohm_as_ohm",
                    lambda t: _each_m(t) * t.number("length_m") + t.number("joint_ohm"),
                    "The table is in milliohm, which are thousandths of an ohm: divide {each} by 1000.",
                ),
                Wrong(
                    "length_divided",
                    lambda t: (
                        _each_m(t) / 1000 / t.number("length_m") + t.number("joint_ohm")
                        if t.number("joint_ohm") < 0.05
                        else None
                    ),
                    "You divided by the length. A longer wire has more resistance: multiply.",
                ),
            ),
            how="{each} milliohm for each metre, times {length_m:g} m, in ohm, and the joints on top.",
            share=0.03,
            decimals=4,
        ),
        NumberPart(
            "lost",
            "Voltage lost in it",
            "mV",
            2,
            lambda t: t.earlier("ohm") * t.number("mA"),
            (
                Wrong(
                    "divided",
                    lambda t: t.number("mA") / t.earlier("ohm"),
                    "You divided the current by the ohms. Ohm's law: volts are amperes times ohms.",
                ),
                Wrong(
                    "in_volts_and_milliamperes",
                    lambda t: t.earlier("ohm") * t.number("mA") * 1000,
                    "Milliamperes times ohms are millivolts already: you multiplied by 1000 once too often.",
                ),
                Wrong(
                    "upside_down",
                    lambda t: t.earlier("ohm") / t.number("mA") * 1000,
                    "You divided ohms by current. Multiply {mA:.0f} mA by the ohms.",
                ),
            ),
            how="{mA:.0f} mA times your ohms.",
            share=0.03,
            decimals=2,
        ),
        ChoicePart(
            "verdict",
            "So",
            2,
            (
                ("sound", "sound: it is far under an ohm, and hardly a millivolt is lost"),
                ("bad", "bad: tens or hundreds of millivolts of protection are lost; remake the joints"),
                ("current", "the current is too large: take anodes away"),
            ),
            lambda t: "bad" if t.earlier("lost") > SPOILED_mV or t.earlier("ohm") > MOST_OHM else "sound",
            {
                "sound": "What is lost in the bond is missing at the rudder: it stands that much less negative than the bonding point.",
                "bad": "A bond with so few thousandths of an ohm loses next to nothing. Leave it alone.",
                "current": "{mA:.0f} mA is what the rudder asks for. What matters is how much of the voltage is lost on the way.",
            },
            how="Hold it against 1 ohm, and the lost voltage against the 200 mV one wants to gain.",
        ),
    ),
    teaches=lambda t: not 10 < _ohm(t) * t.number("mA") < 60,
    method=lambda t: (
        f"{_each_m(t):.2f} milliohm x {t.number('length_m'):g} m and {t.number('joint_ohm'):g} ohm of joints: {_ohm(t):.3g} ohm.",
        f"Times {t.number('mA'):.0f} mA: {_ohm(t) * t.number('mA'):.2g} mV lost.",
    ),
    hints=(
        "Wire and joints are in series: add them.",
        "Milliohm for each metre times metres, divided by 1000.",
        "Ohm = {each} x {length_m:g} / 1000 + {joint_ohm:g}. Millivolts lost = {mA:.0f} mA x that. A millivolt or two is sound; "
        "tens are bad.",
    ),
)
