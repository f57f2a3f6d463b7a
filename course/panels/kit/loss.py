"""From a current to the metal it takes: Faraday's law as a calculator, with the band of the reading."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from course.boats.datasets import row
from course.engine.faraday import capacity_ampere_hours_per_kg, mass_kg_per_year, penetration_mm_per_year
from course.engine.uncertainty import Band
from course.panels.kit.base import Panel, choice
from course.panels.kit.chooser import metal_names
from course.panels.kit.plot import Axis, Dot, Drawing, Line, Plot
from course.panels.kit.plot import Band as Hatched
from course.panels.kit.said import amperes, between
from course.panels.kit.scales import plain
from course.panels.kit.slide import Slide

SPANS = [
    ("a day", 1 / 365.25),
    ("a week", 7 / 365.25),
    ("a month", 1 / 12),
    ("a season of six months", 0.5),
    ("a year", 1.0),
]


@dataclass(frozen=True, eq=False)
class Taken:
    """Grams lost in the time, millimetres a year if spread evenly over the area, both as bands of the reading; grams
    against time for the drawing: years (k,), grams (3, k)."""

    metal: str
    current: float
    span: str
    grams: Band
    mm_per_year: Band
    ampere_hours_per_kg: float
    years: NDArray[np.float64]
    course: NDArray[np.float64]


class LossCalculator(Panel[Taken]):
    """Controls: metal, current [A], span (share of a year), area [m2], sure (per cent the reading may be off)."""

    title = "From current to metal lost"
    terms = ("Faraday's law", "equivalent weight", "metal loss", "current density", "capacity", "band")

    def controls_of(self) -> dict[str, Any]:
        """Return the controls."""
        return {
            "metal": choice("metal that gives the current", metal_names(), "mild_steel"),
            "current": Slide("current into the water", 0.1, 1e-4, 10.0, log=True, steps=150, words=amperes),
            "span": choice("for", SPANS, 1.0),
            "area": Slide(
                "spread over", 0.05, 1e-4, 10.0, log=True, steps=150, words=lambda a: f"{plain(a)} m²"
            ),
            "sure": Slide("the reading may be off by", 10.0, 0.0, 50.0, "%", steps=50),
        }

    def find(self, values: Mapping[str, Any]) -> Taken:
        """Return what the current takes."""
        data = row("metals", values["metal"])
        weight, density = data["equivalent_weight_g"] * 1e-3, data["density_kg_m3"]
        off = values["sure"] / 100.0
        currents = values["current"] * np.array([1.0 - off, 1.0, 1.0 + off])
        yearly = mass_kg_per_year(currents, weight) * 1e3
        deep = penetration_mm_per_year(currents / values["area"], weight, density)
        years = np.linspace(0.0, values["span"], 2)
        capacity = capacity_ampere_hours_per_kg(weight) if weight > 0.0 else float("inf")
        span = next(words for words, share in SPANS if share == values["span"])
        grams = Band(*(yearly * values["span"]))
        return Taken(
            values["metal"],
            values["current"],
            span,
            grams,
            Band(*deep),
            capacity,
            years,
            np.outer(yearly, years),
        )

    def draw(self, found: Taken) -> Drawing:
        """Return grams against time."""
        end = float(found.years[-1])
        days = found.years * 365.25
        top = max(float(found.course[2, -1]) * 1.15, 1e-6)
        words = f"{plain(float(found.grams.middle))} g"
        marks = (
            Hatched(days, found.course[0], found.course[2]),
            Line(days, found.course[1]),
            Dot(end * 365.25, float(found.course[1, -1]), words, tone="accent"),
        )
        plot = Plot(
            Axis("days", 0.0, end * 365.25), Axis("metal lost, grams", 0.0, top), marks, height=230, right=110
        )
        return Drawing(self.title, " ".join(self.say(found)), (plot,))

    def say(self, found: Taken) -> list[str]:
        """Return the loss in words."""
        label = row("metals", found.metal)["label"]
        if not float(found.grams.high):
            return [f"{amperes(found.current)} takes nothing from {label}: it does not dissolve."]
        return [
            f"{amperes(found.current)} for {found.span} takes {between(found.grams, 'g', 3)} of {label}.",
            f"Spread evenly over the area that is {between(found.mm_per_year, 'mm a year', 3)}; where it bites in one spot, "
            "that spot goes much faster.",
            f"One kilogram of it gives {plain(found.ampere_hours_per_kg)} ampere-hours.",
        ]
