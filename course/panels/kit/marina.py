"""The marina view: who is plugged in, what currents run in the earths, and which boat's anodes pay for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from course.boats.datasets import row
from course.boats.quay import ARRANGEMENTS, Moored, Quay, quay, quay_boats
from course.boats.waters import water_label, water_names
from course.boats.wording import capital
from course.panels.kit.base import Panel, choice, table
from course.panels.kit.plot import Arrow, Axis, Drawing, Mark, Note, Plot, Shape, Style
from course.panels.kit.said import amperes, amperes_between, between, cell_names, in_cell, mv, short
from course.panels.kit.scales import plain

FEW = 1e-4  # A: less than this in an earth is called nothing much
AT_FIRST = {"cruiser": "plain earth", "workboat": "plain earth", "ketch": "plain earth"}


@dataclass(frozen=True)
class Seen:
    """The pontoon in its settings."""

    quay: Quay
    water: str
    cell: str


def outline(x: float, y: float, length: float, beam: float) -> list[tuple[float, float]]:
    """Return a boat's outline [m] seen from above, bow towards the dock at y = 0."""
    half, bow, stern = beam / 2, y - length / 2, y + length / 2
    curve = [(0.0, 0.0), (0.55, 0.16), (0.9, 0.36), (1.0, 0.6), (0.92, 1.0)]
    right = [(x + half * wide, bow + (stern - bow) * along) for wide, along in curve]
    return [*right, *((2 * x - px, py) for px, py in reversed(right))]


class MarinaView(Panel[Seen]):
    """Controls: one for each boat by id ("unplugged", "plain earth", "isolator", "transformer"), water, cell."""

    title = "Marina view: boats on one dock earth"
    terms = (
        "shore power",
        "shore lead",
        "safety earth",
        "dock earth",
        "galvanic isolator",
        "isolation transformer",
        "band",
    )

    def controls_of(self) -> dict[str, Any]:
        """Return the controls."""
        options = [(words, words) for words in ARRANGEMENTS]
        boats = {
            name: choice(label, options, AT_FIRST.get(name, "unplugged")) for label, name in quay_boats()
        }
        return boats | {
            "water": choice("all in", water_names(), "sea_still"),
            "cell": choice("read against", cell_names(), "silver_chloride_sea_water"),
        }

    def find(self, values: Mapping[str, Any]) -> Seen:
        """Return what becomes of every boat."""
        arrangements = {name: values[name] for _, name in quay_boats()}
        return Seen(quay(arrangements, values["water"]), values["water"], values["cell"])

    def draw(self, found: Seen) -> Drawing:
        """Return the plan: dock with its earth, boats bow to it, current along each earth."""
        marks: list[Mark] = [
            Shape([(-1, -3.2), (34, -3.2), (34, -0.6), (-1, -0.6)], "bed"),
            Note(-0.6, -2.6, "dock, with its earth joined to steel piles", "start"),
            Shape([(1.5, -1.2), (32, -1.2)], "", closed=False, style="dash-dot", width=2.5),
        ]
        for boat in found.quay.boats:
            marks += self._boat(boat, found)
        plot = Plot(
            Axis("", -1.0, 34.0),
            Axis("", 16.6, -3.4),
            tuple(marks),
            height=440,
            left=16,
            right=16,
            framed=False,
        )
        return Drawing(self.title, " ".join(self.say(found)), (plot,))

    def _boat(self, boat: Moored, found: Seen) -> list[Mark]:
        place = row("quay", boat.name)
        x, y, length = place["x_m"], place["y_m"], place["length_m"]
        flow, bow = float(boat.earth.middle), y - length / 2
        marks: list[Mark] = [
            Shape(outline(x, y, length, place["beam_m"]), "hull"),
            Shape([(x - 0.25, -1.45), (x + 0.25, -1.45), (x + 0.25, -0.95), (x - 0.25, -0.95)], "hull"),
            Note(
                x,
                y + length / 2 + 0.9,
                f"{boat.label}\n{boat.arrangement}\n{self._level(boat, found)}",
                "middle",
            ),
        ]
        if boat.arrangement == "unplugged":
            return marks
        style: Style = "solid" if boat.arrangement == "plain earth" else "dashed"
        marks.append(Shape([(x, -0.95), (x, bow + 1.6)], "", closed=False, style=style, width=2.0))
        sign = {"isolator": "I", "transformer": "T"}.get(boat.arrangement)
        if sign:
            box = [(x - 0.5, bow + 1.6), (x + 0.5, bow + 1.6), (x + 0.5, bow + 2.6), (x - 0.5, bow + 2.6)]
            marks += [Shape(box, "water", width=2.0), Note(x, bow + 2.1, sign, bold=True)]
        if abs(flow) > FEW:
            ends = ((x + 0.55, bow + 3.4), (x + 0.55, bow + 0.6))
            wide = min(6.0, 1.5 + 8.0 * abs(flow))
            start, end = ends if flow > 0.0 else ends[::-1]
            side = "suffers" if flow < 0.0 else "is spared"
            marks += [
                Arrow(start, end, "accent", wide),
                Note(x, y + length * 0.12, f"{amperes(abs(flow))}\n{side}", "middle", "accent", bold=True),
            ]
        return marks

    def _level(self, boat: Moored, found: Seen) -> str:
        return mv(float(in_cell(boat.potential.middle, found.cell, found.water)))

    def say(self, found: Seen) -> list[str]:
        """Return every boat in words, the one that pays most first."""
        pays = min(found.quay.boats, key=lambda b: float(b.earth.middle))
        if float(pays.earth.middle) < -FEW:
            first = (
                f"{capital(pays.label)} pays: {amperes(-float(pays.earth.middle))} comes to her through the safety earth and "
                f"leaves her metal for the water; her {row('metals', pays.wasting)['label']} loses {between(pays.loss, 'kg a year')}, and "
                f"{plain(pays.alone, 2)} kg with everybody unplugged."
            )
        else:
            first = "No boat pays for another: hardly any current runs in the earths."
        lines = [first, *(self._one(boat, found) for boat in found.quay.boats)]
        piles = float(found.quay.piles.middle)
        if abs(piles) > FEW:
            verb = "take" if piles < 0.0 else "give"
            lines.append(f"The dock's own piles {verb} {amperes_between_abs(found.quay)}.")
        lines.append(
            "An isolator stops these small voltages and keeps the safety earth; a transformer joins no wire to the shore. "
            "Pulling the plug stops the current too. The safety earth itself is never cut. Water here is "
            f"{water_label(found.water)}; currents through the water from boat to boat are counted in. "
            "Each number is the middle of its own band, so the currents add up only roughly."
        )
        return lines

    def _one(self, boat: Moored, found: Seen) -> str:
        flow = float(boat.earth.middle)
        level = f"her metal stands at {self._level(boat, found)} against {short(found.cell)}"
        if boat.arrangement == "unplugged":
            return f"{capital(boat.label)}: not plugged in; {level}."
        way = "nothing much runs in her earth"
        if abs(flow) > FEW:
            way = f"{amperes_between(boat.earth)} {'out to the dock' if flow > 0.0 else 'in from the dock'} by her earth".replace(
                "−", ""
            )
        return f"{capital(boat.label)}: {boat.arrangement}; {way}; {level}."

    def table_html(self, found: Seen) -> str:
        """Return the boats as a table."""
        heads = (
            "boat",
            "shore power",
            "current in her earth",
            "potential",
            "wastes most",
            "kg a year",
            "alone",
        )
        rows = [
            (
                boat.label, boat.arrangement, amperes(abs(float(boat.earth.middle))), self._level(boat, found),
                row("metals", boat.wasting)["label"], between(boat.loss, "kg"), f"{plain(boat.alone, 2)} kg",
            )
            for boat in found.quay.boats
        ]  # fmt: skip
        return table("The boats of the pontoon", heads, rows)


def amperes_between_abs(pontoon: Quay) -> str:
    """Return the piles' current in words, without its sign."""
    return amperes_between(pontoon.piles).replace("−", "")
