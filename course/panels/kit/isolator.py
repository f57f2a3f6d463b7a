"""The isolator explorer: current against voltage in each state, alternating leakage, a fault, and the allowed test."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from course.engine.isolator_curve import isolator_current, isolator_voltage, loop_current
from course.panels.kit.base import Panel, choice
from course.panels.kit.plot import Axis, Dot, Drawing, Line, Mark, Plot, Rule
from course.panels.kit.said import amperes
from course.panels.kit.scales import plain
from course.panels.kit.slide import Slide

STATES = [(words, words) for words in ("healthy", "bypassed", "failed short", "failed open")]
TEST_A = 1e-3  # a meter's diode test pushes about this (common practice, no source)
FLOOR, CEILING = 1e-6, 1e4  # A


@dataclass(frozen=True)
class Tested:
    """An isolator in its settings: direct current [A] round the loop with it and without it, volts across it while a fault
    current passes (infinity: none can), what a meter's diode test reads [V], and its curve."""

    state: str
    leakage: float
    drive: float
    ohm: float
    fault: float
    passes: float
    without: float
    fault_volts: float
    test_volts: float
    volts: NDArray[np.float64]
    current: NDArray[np.float64]
    plain_current: NDArray[np.float64]


class IsolatorExplorer(Panel[Tested]):
    """Controls: state, drive [V] between the boats, ohm of the loop, leakage [A rms], fault [A]."""

    title = "Isolator explorer: what it stops and what it lets pass"
    terms = ("galvanic isolator", "diode", "safety earth", "fault current", "galvanic corrosion")

    def controls_of(self) -> dict[str, Any]:
        """Return the controls."""
        return {
            "state": choice("the isolator is", STATES, "healthy"),
            "drive": Slide("voltage between boat and dock", 0.6, 0.0, 12.0, "V", steps=120),
            "ohm": Slide("resistance of the loop", 1.0, 0.05, 100.0, "Ω", log=True, steps=100),
            "leakage": Slide("alternating leakage of chargers and appliances", 0.0, 0.0, 2.0, "A", steps=100),
            "fault": Slide("fault current", 200.0, 5.0, 3000.0, "A", log=True, steps=100),
        }

    def find(self, values: Mapping[str, Any]) -> Tested:
        """Return the isolator's answers."""
        state, leakage = values["state"], values["leakage"]
        volts = np.linspace(0.0, 2.5, 126)
        return Tested(
            **values,
            passes=loop_current(values["drive"], values["ohm"], state, leakage),
            without=values["drive"] / values["ohm"],
            fault_volts=isolator_voltage(values["fault"], state, leakage),
            test_volts=isolator_voltage(TEST_A, state),
            volts=volts,
            current=isolator_current(volts, state, leakage),
            plain_current=isolator_current(volts, "healthy"),
        )

    def draw(self, found: Tested) -> Drawing:
        """Return current against voltage, on decades of current; the other way round it is the same."""

        def seen(amps: Any) -> Any:
            return np.clip(amps, FLOOR, CEILING)

        marks: list[Mark] = []
        same = found.state == "healthy" and found.leakage == 0.0
        if not same:
            whole = found.plain_current >= FLOOR
            marks.append(Line(found.volts[whole], found.plain_current[whole], "healthy", "dotted", "quiet"))
        name = found.state if found.leakage == 0.0 or found.state != "healthy" else "healthy, with leakage"
        keep = (found.current < CEILING) & (found.current >= FLOOR)
        if keep.any():
            marks.append(Line(found.volts[keep], found.current[keep], name, width=3.0))
        across = max(0.0, found.drive - found.passes * found.ohm)
        marks += [
            Rule(1.2, "x", "some 1.2 V", "dashed"),
            Dot(
                min(across, 2.5),
                float(seen(found.passes)),
                f"between boats: {amperes(found.passes)}",
                tone="accent",
                lift=-16,
            ),
        ]
        if np.isfinite(found.fault_volts):
            words = f"fault: {amperes(found.fault)}"
            marks.append(
                Dot(min(found.fault_volts, 2.5), found.fault, words, "diamond", "accent", "end", lift=14)
            )
        ticks = tuple(
            (10.0**k, w)
            for k, w in ((-6, "1 µA"), (-4, "0.1 mA"), (-2, "10 mA"), (0, "1 A"), (2, "100 A"), (4, "10 kA"))
        )
        plot = Plot(
            Axis("voltage across the isolator, V (either way round)", 0.0, 2.5), Axis("direct current", FLOOR, CEILING, True, ticks),
            tuple(marks), height=330, left=100, right=170,
        )  # fmt: skip
        return Drawing(self.title, " ".join(self.say(found)), (plot,))

    def say(self, found: Tested) -> list[str]:
        """Return the isolator in words."""
        blocked = found.passes < 0.01 * max(found.without, 1e-9)
        if found.state == "failed open":
            first = (
                "Danger: it has failed open, and the boat has no safety earth. Unplug the shore lead, and leave it out until a "
                "licensed person has replaced the isolator."
            )
        elif blocked:
            first = f"It blocks: {plain(found.drive)} V drives {amperes(found.passes)} in place of {amperes(found.without)}."
        else:
            first = (
                f"It does not block: {plain(found.drive)} V drives {amperes(found.passes)}; without it "
                f"{amperes(found.without)} would flow."
            )
        lines = [first]
        if found.state == "healthy" and found.drive > 2.0:
            lines.append(
                "This is more than metals make between them: a battery is behind it, and no isolator stops a battery."
            )
        if found.state == "healthy" and found.leakage > 0.0 and not blocked:
            lines.append(
                f"{amperes(found.leakage)} of alternating leakage keeps its diodes conducting, so that direct current slips through."
            )
        if np.isfinite(found.fault_volts):
            lines.append(
                f"A fault of {amperes(found.fault)} passes with {plain(found.fault_volts)} V across it: the earth works."
            )
        else:
            lines.append(f"A fault of {amperes(found.fault)} cannot pass: a touched case stays live.")
        reading = f"{plain(found.test_volts)} V" if np.isfinite(found.test_volts) else "an open line"
        lines.append(
            f"Meter across its terminals, diode test, each way round: {reading}. Only with the shore lead unplugged at both ends, "
            "generator and inverter off, and no wire undone."
        )
        return lines
