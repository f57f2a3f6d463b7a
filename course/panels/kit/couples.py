"""The couple explorer: two polarisation curves, where they meet, the current that passes, and the metal it takes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from course.boats.datasets import row
from course.boats.series import Curve, Pair, curve, loss_by_ratio, pair, series
from course.boats.waters import water_names
from course.engine.uncertainty import Band
from course.panels.kit.base import Panel, choice, switch
from course.panels.kit.chooser import metal_names
from course.panels.kit.layout import fitted
from course.panels.kit.plot import Arrow, Axis, Dot, Drawing, Line, Mark, Note, Plot, Rule
from course.panels.kit.plot import Band as Hatched
from course.panels.kit.said import amperes, amperes_between, cell_names, in_cell, mv, short, thickness
from course.panels.kit.scales import plain
from course.panels.kit.slide import Slide

Array = NDArray[np.float64]
DECADES = 4.0


def ratio_words(ratio: float) -> str:
    """Return an area ratio, second over first, in words."""
    return f"{plain(ratio)} : 1" if ratio >= 1.0 else f"1 : {plain(1.0 / ratio)}"


@dataclass(frozen=True, eq=False)
class Joined:
    """The pair, both curves, loss by ratio of the first metal, and the settings it was found for."""

    pair: Pair
    curves: dict[str, Curve]
    ratios: Array
    losses: Band
    first: str
    second: str
    ratio: float
    area: float
    cell: str
    water: str

    @property
    def loss_of_first(self) -> Band:
        """Metal loss [mm/yr] of the first metal, joined."""
        return self.pair.loss if self.pair.suffers == self.first else self.pair.spared_loss


class CoupleExplorer(Panel[Joined]):
    """Controls: first, second, ratio (area of the second over that of the first), area [m2] of the first, water, cell, apart."""

    title = "Couple explorer: two metals joined in one water"
    terms = (
        "couple",
        "mixed potential",
        "couple current",
        "area ratio",
        "polarisation curve",
        "metal loss",
        "band",
    )

    def controls_of(self) -> dict[str, Any]:
        """Return the controls."""
        areas = [
            ("1 cm², a screw", 1e-4),
            ("10 cm²", 1e-3),
            ("100 cm², a fitting", 1e-2),
            ("1000 cm², a rudder", 0.1),
        ]
        return {
            "first": choice("one metal", metal_names(), "mild_steel"),
            "second": choice("joined to", metal_names(), "silicon_bronze"),
            "area": choice("area of the first", areas, 1e-2),
            "ratio": Slide(
                "area ratio, second to first", 10.0, 1e-3, 1e3, log=True, steps=120, words=ratio_words
            ),
            "water": choice("in", water_names(), "sea_still"),
            "cell": choice("read against", cell_names(), "silver_chloride_sea_water"),
            "apart": switch("count the water between them (untick: they touch)", True),
        }

    def find(self, values: Mapping[str, Any]) -> Joined:
        """Return the pair as the engine joins it."""
        metals = (values["first"], values["second"])
        areas = (values["area"], values["area"] * values["ratio"])
        found = pair(values["water"], metals, areas, values["apart"])
        places = series(values["water"])
        rests = [places[name].middle for name in metals]
        low, high = min(rests) - 0.12, max(rests) + 0.12
        curves = {n: curve(n, values["water"], a, low, high) for n, a in zip(metals, areas, strict=True)}
        ratios, losses = loss_by_ratio(values["water"], metals, values["area"], values["apart"])
        return Joined(
            found,
            curves,
            ratios,
            losses,
            *metals,
            values["ratio"],
            values["area"],
            values["cell"],
            values["water"],
        )

    def draw(self, found: Joined) -> Drawing:
        """Return the crossing of the curves, and the loss of the first metal against the area ratio."""
        return Drawing(self.title, " ".join(self.say(found)), (self._crossing(found), self._by_ratio(found)))

    def _crossing(self, found: Joined) -> Plot:
        couple = found.pair
        flow = max(float(couple.current.middle) * 1e3, 1e-7)
        low, high = 10 ** np.floor(np.log10(flow) - DECADES / 2), 10 ** np.ceil(np.log10(flow) + DECADES / 3)
        ends_of = (float(low), float(high))
        marks = self._one(found, couple.suffers, 1.0, ends_of) + self._one(
            found, couple.spared, -1.0, ends_of
        )
        ends = [
            float(in_cell(p.middle, found.cell, found.water))
            for p in (couple.potential, couple.spared_potential)
        ]
        marks += [Rule(flow, "y", f"couple current {amperes(flow / 1e3)}", "dotted", "accent", "end")]
        marks.append(Dot(ends[0], flow, "", tone="accent"))
        if abs(ends[1] - ends[0]) > 4.0:
            marks += [
                Arrow((ends[0], flow), (ends[1], flow), "accent", 2.0),
                Dot(ends[1], flow, "", "diamond", "accent"),
            ]
        edge = in_cell(found.curves[found.first].potential[[0, -1]], found.cell, found.water)
        axis = Axis(f"potential, mV against {short(found.cell)}", float(edge[0]), float(edge[1]))
        return Plot(
            axis,
            Axis("current, mA", float(low), float(high), log=True),
            tuple(marks),
            height=300,
            left=100,
            right=52,
        )

    def _one(self, found: Joined, name: str, sign: float, ends: tuple[float, float]) -> list[Mark]:
        """One metal's curve with its band: what it gives (sign 1) or takes (-1) [mA], between two ends of current."""
        low, high = ends
        one = found.curves[name]
        at = in_cell(one.potential, found.cell, found.water)
        three = [sign * v * 1e3 for v in (one.current.low, one.current.middle, one.current.high)]
        here = (three[1] > low * 0.3) & (three[1] < high * 1.05)
        if not here.any():  # too small to be seen beside the couple current
            return []
        bounds = np.sort(np.array(three), axis=0)[:, here]
        gives = sign > 0
        order = slice(None) if gives else slice(None, None, -1)
        x, y = at[here][order], three[1][here][order]
        words = f"{fitted(row('metals', name)['label'], 200)}\n{'gives' if gives else 'takes'}"
        return [
            Hatched(
                at[here], np.maximum(bounds[0], low), np.maximum(bounds[2], low), "///" if gives else "\\\\\\"
            ),
            Line(x, y, "", "solid" if gives else "dashed", width=2.6),
            _tag(x, y, words, low, high, sign),
        ]

    def _by_ratio(self, found: Joined) -> Plot:
        losses, now = found.losses, found.loss_of_first
        low = 10 ** np.floor(np.log10(max(float(losses.low.min()), 1e-5)))
        high = 10 ** np.ceil(np.log10(max(float(losses.high.max()), 1e-4)))
        marks = (
            Hatched(found.ratios, np.maximum(losses.low, low), np.maximum(losses.high, low)),
            Line(found.ratios, np.maximum(losses.middle, low)),
            Dot(
                found.ratio,
                max(float(now.middle), low),
                f"{plain(float(now.middle), 2)} mm a year",
                tone="accent",
                side="end" if found.ratio > 10 else "start",
                lift=18,
            ),
        )
        words = tuple((10.0**k, ratio_words(10.0**k)) for k in range(-3, 4))
        label = row("metals", found.first)["label"]
        return Plot(
            Axis(f"area of the {row('metals', found.second)['label']} : area of the {label}", 1e-3, 1e3, True, words),
            Axis("first metal's loss, mm a year", float(low), float(high), log=True),
            marks, height=190, left=100, right=52,
        )  # fmt: skip

    def say(self, found: Joined) -> list[str]:
        """Return the couple in words."""
        c = found.pair
        worse, better = (row("metals", name)["label"] for name in (c.suffers, c.spared))
        at, there = (
            float(in_cell(p.middle, found.cell, found.water)) for p in (c.potential, c.spared_potential)
        )
        lines = [
            f"The {worse} suffers: it loses {thickness(c.loss)}; alone it would lose {thickness(c.alone)}.",
            f"Couple current {amperes_between(c.current)}; area ratio {ratio_words(found.ratio)}, "
            f"{row('metals', found.second)['label']} to {row('metals', found.first)['label']}.",
        ]
        if abs(at - there) > 4.0:
            lines.append(
                f"The {worse} stands at {mv(at)}, the {better} at {mv(there)} against {short(found.cell)}: the water between "
                f"them, about {plain(c.resistance, 2)} ohm, keeps them apart."
            )
        else:
            lines.append(
                f"Both stand at the mixed potential, {mv(at)} against {short(found.cell)}, where the curves cross."
            )
        if c.sure < 0.95:
            lines.append(
                f"In {100 * (1 - c.sure):.0f} of 100 of our draws it is the other metal that suffers: measure."
            )
        lines.append(
            f"The {better} loses {thickness(c.spared_loss)}; alone it would lose {thickness(c.spared_alone)}."
        )
        return lines


def _tag(x: Array, y: Array, words: str, low: float, high: float, sign: float) -> Mark:
    """Set a curve's name beside it: of the one that gives high up on its left, of the other low down on its left."""
    wanted = high / 4 if sign > 0 else low * 6
    k = int(np.argmin(np.abs(np.log(np.maximum(y, low * 0.1) / wanted))))
    lean = abs(float(x[-1] - x[0])) * (0.05 if sign > 0 else 0.1)
    return Note(float(x[k]) - lean, float(y[k]), words, "end")
