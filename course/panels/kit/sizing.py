"""Anode sizing by the published design method: demand, mass, number, life."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from course.boats.sizing import Plate, Sized, sized
from course.boats.waters import water_names
from course.engine.constants import YEAR
from course.panels.kit.base import Panel, choice
from course.panels.kit.plot import Axis, Bar, Dot, Drawing, Line, Mark, Plot, Rule
from course.panels.kit.said import amperes
from course.panels.kit.scales import plain
from course.panels.kit.slide import Slide

ALLOYS = [("aluminium alloy", "aluminium"), ("zinc", "zinc"), ("magnesium", "magnesium")]
COATINGS = [
    ("bare", "none"),
    ("category I, the thinnest", "I"),
    ("category II", "II"),
    ("category III", "III"),
    ("category IV", "IV"),
]


@dataclass(frozen=True)
class Planned:
    """A design in its settings."""

    sized: Sized
    years: float
    alloy: str


def whole(value: float) -> str:
    """Return a number of anodes in words."""
    return "as many as asked for" if round(value) == 0 else f"{round(value)}"


class AnodeSizing(Panel[Planned]):
    """Controls: area [m2], coating, water, years, alloy, long, wide, thick [mm], fitted (0: as many as asked for)."""

    title = "Anode sizing by the published method"
    terms = (
        "sacrificial anode",
        "capacity",
        "utilisation",
        "coating breakdown",
        "design life",
        "protection potential",
    )

    def controls_of(self) -> dict[str, Any]:
        """Return the controls."""
        return {
            "area": Slide("steel under water", 40.0, 0.5, 500.0, "m²", log=True, steps=120),
            "coating": choice("coating", COATINGS, "II"),
            "water": choice("in", water_names(), "sea_still"),
            "years": Slide("design life", 3.0, 0.5, 20.0, "years", steps=39),
            "alloy": choice("anodes of", ALLOYS, "aluminium"),
            "long": Slide("length", 300.0, 50.0, 1000.0, "mm", steps=95),
            "wide": Slide("width", 100.0, 30.0, 300.0, "mm", steps=54),
            "thick": Slide("thickness", 35.0, 10.0, 120.0, "mm", steps=55),
            "fitted": Slide("fitted", 0.0, 0.0, 60.0, steps=60, words=whole),
        }

    def find(self, values: Mapping[str, Any]) -> Planned:
        """Return the design."""
        plate = Plate(values["long"] / 1e3, values["wide"] / 1e3, values["thick"] / 1e3)
        found = sized(
            values["area"],
            values["coating"],
            values["water"],
            values["years"],
            values["alloy"],
            plate,
            round(values["fitted"]),
        )
        words = next(w for w, name in ALLOYS if name == values["alloy"])
        return Planned(found, values["years"], words)

    def draw(self, found: Planned) -> Drawing:
        """Return demand beside output, and life against the number of anodes."""
        return Drawing(self.title, " ".join(self.say(found)), (self._currents(found), self._life(found)))

    def _currents(self, found: Planned) -> Plot:
        s, n = found.sized, found.sized.fitted
        rows = [
            ("wanted when new", s.design.wanted.initial, "//////", "ink"),
            (f"{n} new anodes give", n * s.design.output_initial, "xxxxx", "ink"),
            ("wanted on average", s.design.wanted.mean, "//////", "ink"),
            ("wanted at the end", s.design.wanted.final, "//////", "ink"),
            (f"{n} spent anodes give", n * s.design.output_final, "xxxxx", "ink"),
        ]
        top = 1.35 * max(amount for _, amount, *_ in rows)
        marks: list[Mark] = [
            Bar((0.0, amount), (k - 0.33, k + 0.33), hatch, amperes(amount))
            for k, (_, amount, hatch, _) in enumerate(rows)
        ]
        names = tuple((float(k), words) for k, (words, *_) in enumerate(rows))
        return Plot(
            Axis("current, A", 0.0, top), Axis("", 4.6, -0.6, ticks=names), tuple(marks), 170, 210, 30
        )

    def _life(self, found: Planned) -> Plot:
        s = found.sized
        each = s.life / YEAR / s.fitted
        most = max(2 * s.fitted, s.design.number + 2)
        every = max(1, round(most / 10))
        counts = tuple((float(k), str(k)) for k in range(0, most + 1, every))
        marks = (
            Line((0.0, float(most)), (0.0, most * each)),
            Rule(found.years, "y", "design life", "dashed"),
            Dot(
                s.fitted,
                s.life / YEAR,
                f"{plain(s.life / YEAR, 2)} years",
                tone="accent",
                side="end",
                lift=14,
            ),
        )
        return Plot(
            Axis("number of anodes", 0.0, float(most), ticks=counts), Axis("life, years", 0.0, 1.2 * max(most * each, found.years)),
            marks, height=170, left=210, right=30,
        )  # fmt: skip

    def say(self, found: Planned) -> list[str]:
        """Return the design in words."""
        s, d = found.sized, found.sized.design
        asked = (
            f"{d.number} anodes of {plain(s.each)} kg" if d.number != 1 else f"1 anode of {plain(s.each)} kg"
        )
        lines = [
            f"The method asks for {asked}, {found.alloy}, for {plain(found.years)} years; decided by {d.governed_by}.",
            f"Current wanted: {amperes(d.wanted.initial)} when new, {amperes(d.wanted.mean)} on average, "
            f"{amperes(d.wanted.final)} at the end.",
            f"Weight from the average: {plain(d.mass)} kg. By weight {d.by_mass}, by output when new {d.by_initial}, "
            f"by output when spent {d.by_final}.",
            f"With {s.fitted} fitted they last {plain(s.life / YEAR, 2)} years; an anode counts as used up "
            f"when {100 * s.utilisation:.0f} % of it is gone "
            f"({s.form} form).",
            "The method is that of DNV-RP-B401 (read in a transcription), made for steel offshore. A real design needs the standard "
            "itself and a qualified person.",
        ]
        if s.fitted < d.number:
            lines.insert(1, f"{s.fitted} fitted are fewer than asked for.")
        return lines
