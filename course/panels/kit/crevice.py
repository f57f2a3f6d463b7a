"""The crevice explorer: oxygen used up, chloride drawn in, the film lost, and what that costs in metal."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from course.boats.crevices import Starved, crevice_metals, starved
from course.boats.waters import water_names
from course.boats.wording import capital
from course.panels.kit.base import Panel, choice, switch
from course.panels.kit.plot import Axis, Drawing, Line, Mark, Note, Plot, Rule, Shape
from course.panels.kit.said import thickness
from course.panels.kit.scales import plain
from course.panels.kit.slide import Slide

DAYS = 100.0


@dataclass(frozen=True, eq=False)
class Gap:
    """A crevice in its settings."""

    state: Starved
    label: str
    gap: float
    depth: float
    ratio: float
    held: bool


class CreviceExplorer(Panel[Gap]):
    """Controls: metal, water, gap [µm], depth [mm], ratio (sound area outside to area inside), held (bonded to anodes)."""

    title = "Crevice explorer: a film that is starved of oxygen"
    terms = ("crevice corrosion", "passive film", "passive", "active", "crevice", "band")

    def controls_of(self) -> dict[str, Any]:
        """Return the controls."""
        return {
            "metal": choice("metal", crevice_metals(), "stainless_316"),
            "water": choice("in", water_names(), "sea_still"),
            "gap": Slide("width of the gap", 0.7, 0.05, 100.0, "µm", log=True, steps=120),
            "depth": Slide("depth of the gap", 10.0, 0.5, 50.0, "mm", log=True, steps=100),
            "ratio": Slide(
                "sound area outside to area inside", 50.0, 0.1, 1000.0, ": 1", log=True, steps=100
            ),
            "held": switch("bonded to anodes that protect it", False),
        }

    def find(self, values: Mapping[str, Any]) -> Gap:
        """Return a hundred days of the crevice."""
        state = starved(
            values["metal"],
            values["water"],
            values["gap"] * 1e-6,
            values["depth"] * 1e-3,
            values["ratio"],
            DAYS,
            values["held"],
        )
        label = next(words for words, name in crevice_metals() if name == values["metal"])
        return Gap(state, label, values["gap"], values["depth"], values["ratio"], values["held"])

    def draw(self, found: Gap) -> Drawing:
        """Return the gap in section, then oxygen and film, then chloride."""
        return Drawing(
            self.title, " ".join(self.say(found)), (self._section(found), *self._courses(found.state))
        )

    def _section(self, found: Gap) -> Plot:
        tall = 0.25 + 0.5 * (math.log10(found.gap / 0.05) / math.log10(100.0 / 0.05))
        deep = 3.0 + 4.0 * math.log10(found.depth / 0.5) / 2.0
        lost = found.state.film[-1] < 0.5
        inside = (
            "film lost: bare metal wastes here"
            if lost
            else "film whole, still water"
            if found.state.oxygen[-1] > 0.0
            else "film whole, oxygen used up"
        )
        marks: tuple[Mark, ...] = (
            Shape([(0, 0), (10, 0), (10, 3.2), (0, 3.2)], "water", width=0.1),
            Shape([(0, 0), (10, 0), (10, 1), (0, 1)], "hull"),
            Shape([(10 - deep, 1 + tall), (10, 1 + tall), (10, 2.4), (10 - deep, 2.4)], "hull", "//////"),
            Shape([(0, 1), (10 - deep, 1)], "", closed=False, width=5.0, tone="accent"),
            *([] if lost else [Shape([(10 - deep, 1), (10, 1)], "", closed=False, width=5.0, tone="accent")]),
            Note(0.1, 2.85, "open water: oxygen mends the film", "start"),
            Note(9.85, 1.95 + tall / 4, "washer, seal or fitting", "end"),
            Note(0.1, 0.5, found.label, "start", italic=True),
            Note(9.85, 0.5, inside, "end", bold=True),
        )
        return Plot(Axis("", 0, 10), Axis("", 0, 3.2), marks, height=150, left=86, right=150, framed=False)

    def _courses(self, state: Starved) -> tuple[Plot, Plot]:
        top = 1.15 * max(float(state.chloride.max()), state.critical)
        shares = (
            Line(state.days, 100 * state.oxygen, "oxygen in the gap", "dashed"),
            Line(state.days, 100 * state.film, "film left", "solid", width=3.0),
        )
        salt = (
            Line(state.days, state.chloride, "chloride"),
            Rule(state.critical, "y", "the film fails here", side="start"),
        )
        at = (
            (0.001, "a minute"),
            (1 / 24, "an hour"),
            (1.0, "a day"),
            (10.0, "ten days"),
            (100.0, "100 days"),
        )
        bare = Axis("", 0.001, DAYS, True, tuple((day, "") for day, _ in at))
        return (
            Plot(bare, Axis("left, %", 0.0, 108.0), shares, height=130, right=150),
            Plot(
                Axis("time since the gap filled", 0.001, DAYS, True, at),
                Axis("mol/m³", 0.0, top),
                salt,
                height=150,
                right=150,
            ),
        )

    def say(self, found: Gap) -> list[str]:
        """Return the crevice in words."""
        s = found.state
        if found.held:
            first = f"{capital(found.label)}, bonded to anodes: the gap is protected, and its film is kept."
        elif math.isinf(s.attack):
            first = (
                f"{capital(found.label)}: this gap keeps its film; chloride levels off before the film fails."
            )
        else:
            first = (
                f"{capital(found.label)}: the film in the gap fails after about {plain(s.attack, 2)} days."
            )
        inside = (
            "is used up" if s.oxygen[-1] <= 0.0 else f"falls to {100 * s.oxygen[-1]:.0f} % of that outside"
        )
        start, end = plain(float(s.chloride[0])), plain(float(s.chloride[-1]))
        moved = f"stays at {end}" if start == end else f"rises from {start} to {end}"
        bare = "Without the anodes, bare metal" if found.held else "Bare metal"
        return [
            first,
            f"Oxygen in the gap, {plain(found.gap)} µm wide and {plain(found.depth)} mm deep, {inside}; chloride {moved} mol/m³ "
            f"in {DAYS:.0f} days, and the film fails at {plain(s.critical)}.",
            f"{bare} in the gap, driven by the sound metal outside, would lose {thickness(s.loss)}; with its film "
            f"it loses {thickness(s.sound)}.",
            "The model is simple and gives the direction: tighter, deeper, saltier and warmer is worse, and so is a large sound "
            "area outside. Days and millimetres are no promise.",
        ]
