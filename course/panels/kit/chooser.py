"""The metal chooser: the galvanic series as ranges for the chosen cell and water, and what a chosen pair would do."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from course.boats.datasets import load
from course.boats.series import COMMON, Place, series
from course.boats.waters import water_label, water_names
from course.boats.wording import capital
from course.panels.figure.ink import HATCHES
from course.panels.kit.base import Panel, choice
from course.panels.kit.plot import Arrow, Axis, Bar, Drawing, Mark, Note, Plot, Rule, Side
from course.panels.kit.said import cell_names, in_cell, mv, short

ROW_PX = 25


@dataclass(frozen=True)
class Pick:
    """The series in millivolts against the cell: (place, low, high) by row; the two chosen; which of them suffers."""

    rows: tuple[tuple[Place, float, float], ...]
    pair: tuple[Place, Place]
    difference: float
    least: float
    overlap: bool
    cell: str
    water: str

    @property
    def suffers(self) -> Place:
        """The more negative of the two."""
        return min(self.pair, key=lambda place: place.middle)


def metal_names() -> list[tuple[str, str]]:
    """Return (words, id) of every metal, by the alphabet."""
    return sorted((found["label"], name) for name, found in load("metals").items())


class MetalChooser(Panel[Pick]):
    """Controls: water, cell, first, second, show ("common", or a family of metals, or "all")."""

    title = "Metal chooser: where each metal stands in the galvanic series"
    terms = (
        "galvanic series",
        "noble",
        "corrosion potential",
        "galvanic corrosion",
        "reference cell",
        "band",
    )

    def controls_of(self) -> dict[str, Any]:
        """Return the controls."""
        families = sorted({found["family"] for found in load("metals").values()})
        shows = [("common on boats", "common"), *((f.replace("_", " "), f) for f in families), ("all", "all")]
        return {
            "first": choice("one metal", metal_names(), "silicon_bronze"),
            "second": choice("joined to", metal_names(), "mild_steel"),
            "water": choice("in", water_names(), "sea_flowing"),
            "cell": choice("read against", cell_names(), "silver_chloride_sea_water"),
            "show": choice("show besides", shows, "common"),
        }

    def find(self, values: Mapping[str, Any]) -> Pick:
        """Return the places of all metals shown, and of the pair."""
        places = series(values["water"])
        pair = places[values["first"]], places[values["second"]]
        wanted = {values["first"], values["second"]} | {
            name
            for name, place in places.items()
            if values["show"] in ("all", place.family) or (values["show"] == "common" and name in COMMON)
        }
        rows = []
        for name, place in places.items():
            if name in wanted:
                low, high = in_cell([place.low, place.high], values["cell"], values["water"])
                rows.append((place, float(low), float(high)))
        worse, better = sorted(pair, key=lambda place: place.middle)
        difference = (better.middle - worse.middle) * 1e3
        least = (better.low - worse.high) * 1e3
        return Pick(tuple(rows), pair, difference, least, least < 0.0, values["cell"], values["water"])

    def draw(self, found: Pick) -> Drawing:
        """Return the ranges, one row a metal, the chosen pair standing out."""
        chosen = {p.metal for p in found.pair}
        marks: list[Mark] = []
        heights: dict[str, tuple[int, float]] = {}
        for k, (place, low, high) in enumerate(found.rows):
            mine = place.metal in chosen
            heights[place.metal] = (k, (low + high) / 2)
            hatch = HATCHES.get(place.family, "////")
            marks.append(Bar((low, high), (k - 0.36, k + 0.36), hatch, tone="accent" if mine else "ink"))
        marks += self._pair_marks(found, heights)
        low = min(low for _, low, _ in found.rows) - 60
        high = max(high for *_, high in found.rows) + 60
        names = tuple((float(k), place.label) for k, (place, *_) in enumerate(found.rows))
        axis = Axis(f"potential, mV against {short(found.cell)}   (nobler to the right)", low, high)
        rows = Axis("", len(names) - 0.3, -0.7, ticks=names)
        plot = Plot(axis, rows, tuple(marks), height=ROW_PX * len(names) + 16, left=330, right=20)
        return Drawing(self.title, " ".join((*self.say(found), *self.more(found))), (plot,))

    def _pair_marks(self, found: Pick, heights: Mapping[str, tuple[int, float]]) -> list[Mark]:
        side: Side
        if found.pair[0].metal == found.pair[1].metal:
            return []
        (row_a, at_a), (row_b, at_b) = (heights[place.metal] for place in found.pair)
        (worse_row, worse_at), (better_row, better_at) = sorted(
            ((row_a, at_a), (row_b, at_b)), key=lambda e: e[1]
        )
        middle = (worse_row + better_row) / 2
        low, high = next((low, high) for place, low, high in found.rows if place is found.suffers)
        roomy = worse_at < (found.rows[0][1] + found.rows[-1][2]) / 2  # the rows run down to the right
        end, side = (high + 14, "start") if roomy else (low - 14, "end")
        words = f"suffers: {mv(found.difference)} apart"
        return [
            Rule(better_at, "x", style="dotted", tone="accent"),
            Rule(worse_at, "x", style="dotted", tone="accent"),
            Arrow((better_at, middle), (worse_at, middle), "accent", 2.5),
            Note(end, worse_row, words, side, "accent", bold=True),
        ]

    def say(self, found: Pick) -> list[str]:
        """Return the pair in words."""
        one, two = found.pair
        if one.metal == two.metal:
            first = f"{capital(one.label)} joined to itself: no difference, and nothing suffers for it."
        else:
            better = max(found.pair, key=lambda place: place.middle)
            first = (
                f"The {found.suffers.label} suffers: it stands {mv(found.difference)} more negative than the "
                f"{better.label} in {water_label(found.water)}."
            )
        more = [first]
        if one.metal != two.metal and found.overlap:
            more.append("Their ranges overlap, so on a real boat it may be the other way round: measure.")
        elif one.metal != two.metal:
            more.append(f"At the nearest ends of their ranges {mv(found.least)} are left between them.")
        more.append("How far apart they stand does not say how fast it goes: areas and oxygen decide that.")
        basis = (
            "Ranges are published ones, measured in flowing sea water of 10 to 27 °C (against a saturated calomel cell, converted)."
            if one.published
            else "There is no published range for this water; ranges are computed, 5 to 95 % of our model's spread."
        )
        return [*more, basis]

    def more(self, found: Pick) -> list[str]:
        """Return the whole series."""
        listed = "; ".join(f"{p.label} {mv(low)} to {mv(high)}" for p, low, high in found.rows)
        return [f"Against {short(found.cell)}, from most negative: {listed}."]
