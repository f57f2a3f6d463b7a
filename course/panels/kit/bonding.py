"""The bonding survey: each metal's resistance to the common point, the verdict, and what a bad joint does to its potential."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from course.boats.bond_survey import (
    SOUND_OHM,
    Bond,
    behind,
    bonds_of,
    potential_behind,
    potential_curve,
    survey,
)
from course.boats.datasets import row
from course.boats.description import fleet_boat
from course.boats.panel_plans import fleet_names
from course.boats.waters import water_names
from course.panels.kit.base import Panel, choice, table
from course.panels.kit.plot import Axis, Dot, Drawing, Line, Mark, Marker, Plot, Rule, Side, Tone
from course.panels.kit.said import cell_names, in_cell, mv, short
from course.panels.kit.scales import plain
from course.panels.kit.slide import Slide

LOW, HIGH = 1e-3, 1e4  # ohm, ends of the drawing


@dataclass(frozen=True, eq=False)
class Surveyed:
    """The bonds as a meter finds them with the joint as set; the worsened bond's metal, its potential now [mV], that of the
    best bonded metal, and its potential against the joint's resistance."""

    bonds: tuple[Bond, ...]
    boat: str
    member: str
    ohm: float
    potential: float
    best: float
    ohms: NDArray[np.float64]
    curve: NDArray[np.float64]
    cell: str

    @property
    def worsened(self) -> Bond:
        """The bond with the bad joint."""
        return next(bond for bond in self.bonds if bond.member == self.member)


def ohms(value: float) -> str:
    """Return a resistance in words, as one writes it down in a survey."""
    return "open" if math.isinf(value) else f"{value:.3f} Ω" if value < 1.0 else f"{plain(value)} Ω"


class BondingSurvey(Panel[Surveyed]):
    """Controls: boat, bond (a conductor's id), ohm (of a bad joint in it), water, cell."""

    title = "Bonding survey: resistance, verdict, and what it does"
    terms = ("bonding", "bonding conductor", "common bonding point", "bonding survey", "resistance")

    def controls_of(self) -> dict[str, Any]:
        """Return the controls."""
        boats = [(words, name) for words, name in fleet_names() if bonds_of(fleet_boat(name))]
        first = "marsh_lantern" if any(name == "marsh_lantern" for _, name in boats) else boats[0][1]
        controls = {
            "boat": choice("boat", boats, first),
            "bond": choice(
                "a bad joint in the", bonds_of(fleet_boat(first)), bonds_of(fleet_boat(first))[0][1]
            ),
            "ohm": Slide("resistance of the bad joint", 5.0, LOW, HIGH, log=True, steps=140, words=ohms),
            "water": choice("in", water_names(), "sea_still"),
            "cell": choice("read against", cell_names(), "silver_chloride_sea_water"),
        }
        controls["boat"].observe(lambda change: self._another(change["new"]), "value")
        return controls

    def _another(self, boat: str) -> None:
        """Offer the bonds of another boat."""
        held, self._held = self._held, True
        self.controls["bond"].options = bonds_of(fleet_boat(boat))
        self._held = held

    def find(self, values: Mapping[str, Any]) -> Surveyed:
        """Return the survey and the curve."""
        boat, bond, water = fleet_boat(values["boat"]), values["bond"], values["water"]
        here, best = potential_behind(values["boat"], water, bond, values["ohm"])
        added, levels = potential_curve(values["boat"], water, bond)
        cell = values["cell"]
        return Surveyed(
            survey(boat, {bond: values["ohm"]}),
            boat.name,
            behind(boat, bond),
            values["ohm"],
            float(in_cell(here, cell, water)),
            float(in_cell(best, cell, water)),
            added,
            in_cell(levels, cell, water),
            cell,
        )

    def draw(self, found: Surveyed) -> Drawing:
        """Return the bonds on decades of resistance, and the potential behind the bad joint against its resistance."""
        marks: list[Mark] = [Rule(SOUND_OHM, "x", "1 Ω", "dashed")]
        for k, bond in enumerate(found.bonds):
            at = min(max(bond.ohm, LOW), HIGH)
            tone: Tone = "accent" if bond.member == found.member else "ink"
            shape: Marker = (
                "circle" if bond.verdict == "sound" else "diamond" if bond.verdict == "poor" else "square"
            )
            words = f"{ohms(bond.ohm)}, {bond.verdict}"
            aside: Side = (
                "end" if at > 30 or 0.02 < at < SOUND_OHM else "start"
            )  # not across the rule at 1 ohm
            marks.append(Dot(at, k, words, shape, tone, aside, bond.verdict == "sound"))
        names = tuple((float(k), bond.label) for k, bond in enumerate(found.bonds))
        rows = Axis("", len(names) - 0.4, -0.9, ticks=names)
        axis = Axis("resistance to the common bonding point, Ω", LOW, HIGH, True)
        top = Plot(axis, rows, tuple(marks), height=25 * len(names) + 18, left=210, right=30)
        return Drawing(self.title, " ".join(self.say(found)), (top, self._effect(found)))

    def _effect(self, found: Surveyed) -> Plot:
        low, high = float(found.curve.min()), float(found.curve.max())
        room = max(60.0, 0.2 * (high - low))
        marks = (
            Line(found.ohms, found.curve),
            Rule(SOUND_OHM, "x", "1 Ω", "dashed"),
            Dot(
                found.ohm,
                found.potential,
                mv(found.potential),
                tone="accent",
                side="end" if found.ohm > 30 else "start",
                lift=16,
            ),
        )
        return Plot(
            Axis(f"resistance of the bad joint at the {found.worsened.label}, Ω", LOW, HIGH, True),
            Axis(f"mV, {short(found.cell)}", low - room, high + room), marks, height=190, left=210, right=30,
        )  # fmt: skip

    def say(self, found: Surveyed) -> list[str]:
        """Return the survey in words."""
        bad = found.worsened
        counts = {v: sum(1 for b in found.bonds if b.verdict == v) for v in ("sound", "poor", "not bonded")}
        lift = found.potential - found.best
        return [
            f"{found.boat}: {counts['sound']} sound, {counts['poor']} poor, {counts['not bonded']} not bonded. The {bad.label} reads "
            f"{ohms(bad.ohm)}: {bad.verdict}.",
            f"With {ohms(found.ohm)} in its joint the {bad.label} stands at {mv(found.potential)} against {short(found.cell)}; the "
            f"largest well-bonded metal stands at {mv(found.best)}"
            + (
                f", so {mv(lift)} of its protection are lost."
                if lift > 20.0
                else ", so it is protected as well as the rest."
            ),
            "Under 1 Ω counts as sound (common practice). A small bare metal needs little current, so that a poor bond may "
            "still do its work: the reading of its potential decides.",
        ]

    def table_html(self, found: Surveyed) -> str:
        """Return the survey as one writes it down."""
        rows = [(b.label, row("metals", b.metal)["label"], ohms(b.ohm), b.verdict) for b in found.bonds]
        return table(
            "Bonding survey", ("metal in the water", "of", "to the common bonding point", "verdict"), rows
        )

    def more(self, found: Surveyed) -> list[str]:
        """Return each bond of the table."""
        listed = "; ".join(f"{b.label} {ohms(b.ohm)}, {b.verdict}" for b in found.bonds)
        return [f"The survey: {listed}."]
