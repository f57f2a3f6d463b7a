"""The season player: anodes, potential and water on one time axis, for a boat of the fleet that may move between waters."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from course.boats.panel_plans import fleet_names
from course.boats.voyages import Leg, Track, track
from course.boats.waters import water_label, water_names
from course.panels.kit.base import Panel, choice
from course.panels.kit.plot import Axis, Band, Dot, Drawing, Line, Mark, Plot, Rule, Style
from course.panels.kit.said import cell_names, in_cell, mv, short
from course.panels.kit.scales import plain
from course.panels.kit.slide import Slide

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
MONTH_DAYS = 365.25 / 12
STAYS = "stays"
USES = [
    ("never leaves", 0.0),
    ("half an hour a day", 0.5),
    ("two hours a day", 2.0),
    ("eight hours a day", 8.0),
]
STYLES: tuple[Style, ...] = ("solid", "dashed", "dash-dot", "dotted")


def date_words(day: float) -> str:
    """Return a day counted from the first of January in words."""
    month = int(day / MONTH_DAYS + 1e-9)
    year = f", year {month // 12 + 1}" if month >= 12 else ""
    return f"{int(day - month * MONTH_DAYS) + 1} {MONTHS[month % 12]}{year}"


@dataclass(frozen=True, eq=False)
class Played:
    """The whole track, the day the player stands at, and the cell that potentials are told against."""

    track: Track
    legs: tuple[Leg, ...]
    day: float
    cell: str
    boat: str

    def now(self, values: Any) -> float:
        """Return what a column of the track is on the day."""
        return float(np.interp(self.day, self.track.days, values))

    def share(self, anode: str) -> tuple[float, float, float]:
        """Return (low, middle, high): what is left of an anode on the day, as a share of what it was."""
        low, middle, high = (self.now(v) for v in self.track.mass[anode])
        whole = float(self.track.mass[anode][1][0])
        return low / whole, middle / whole, high / whole

    def left(self, anode: str) -> bool:
        """Return whether an anode is still there on the day."""
        return self.day < self.track.gone.get(anode, float("inf"))

    @property
    def levels(self) -> list[Any]:
        """The potential's low, middle and high course [mV], each leg against the cell in that leg's own water."""
        leg = np.searchsorted(self.track.starts, self.track.days, side="right") - 1
        offsets = np.array([float(in_cell(0.0, self.cell, one.water)) for one in self.legs])[leg]
        return [np.asarray(v) * 1e3 + offsets for v in self.track.potential]

    @property
    def water(self) -> str:
        """The water she lies in on the day."""
        started = [
            leg.water for leg, start in zip(self.legs, self.track.starts, strict=True) if start <= self.day
        ]
        return started[-1]


def alike(track: Track) -> list[tuple[str, ...]]:
    """Return the anodes in groups whose courses differ by less than three parts in a hundred of their mass."""
    groups: list[list[str]] = []
    for name, (_, middle, _) in track.mass.items():
        for group in groups:
            other = track.mass[group[0]][1]
            if np.abs(middle / middle[0] - other / other[0]).max() < 0.03:
                group.append(name)
                break
        else:
            groups.append([name])
    return [tuple(group) for group in groups]


class SeasonPlayer(Panel[Played]):
    """Controls: boat, water, then (another water, or "stays"), moved (month of the move), years, use (hours a day), cell, day."""

    title = "Season player: what eats the anodes"
    terms = ("sacrificial anode", "hull potential", "conductivity", "salinity", "capacity", "band")

    def controls_of(self) -> dict[str, Any]:
        """Return the controls; its button plays the day on."""
        boats = fleet_names()
        first = "marsh_lantern" if any(name == "marsh_lantern" for _, name in boats) else boats[0][1]
        return {
            "boat": choice("boat", boats, first),
            "water": choice("from January in", water_names(), "sea_still"),
            "then": choice(
                "then", (("stays there", STAYS), *((f"moves to {w}", n) for w, n in water_names())), STAYS
            ),
            "moved": choice(
                "moving at the start of", [(m, k) for k, m in enumerate(MONTHS) if 2 <= k <= 10], 5
            ),
            "years": choice("for", [("one year", 1), ("two years", 2), ("three years", 3)], 1),
            "use": choice("under way", USES, 0.5),
            "cell": choice("read against", cell_names(), "silver_chloride_sea_water"),
            "day": Slide(
                "the player stands at", 120.0, 0.0, 365.25 * 3, steps=365 * 3, words=date_words, stride=7
            ),
        }

    def follow(self) -> None:
        """Redraw; playing ends where the track ends."""
        super().follow()
        self.controls["day"].last = self.controls["day"].nearest(365.25 * self.controls["years"].value)

    def find(self, values: Mapping[str, Any]) -> Played:
        """Return her track; the player never stands beyond its end."""
        whole, use = 365.25 * values["years"], values["use"]
        if values["then"] in (STAYS, values["water"]):
            legs: tuple[Leg, ...] = (Leg(whole, values["water"], use),)
        else:
            before = values["moved"] * MONTH_DAYS
            legs = (Leg(before, values["water"], use), Leg(whole - before, values["then"], use))
        found = track(values["boat"], legs)
        boat = next(words for words, name in fleet_names() if name == values["boat"])
        return Played(found, legs, min(values["day"], whole), values["cell"], boat)

    def draw(self, found: Played) -> Drawing:
        """Return four plots on one time axis."""
        return Drawing(self.title, " ".join(self.say(found)), self._plots(found))

    def _plots(self, found: Played) -> tuple[Plot, ...]:
        t, end = found.track, float(found.track.days[-1])
        every = 1 if end < 400 else 3
        marks_at = [
            (k * MONTH_DAYS, MONTHS[k % 12]) for k in range(0, int(end / MONTH_DAYS + 0.5) + 1, every)
        ]
        bare = Axis("", 0.0, end, ticks=tuple((day, "") for day, _ in marks_at))
        dated = Axis("months from January", 0.0, end, ticks=tuple(marks_at))
        moves = tuple(Rule(start, "x", "moves", "dotted") for start in t.starts[1:])
        here = Rule(found.day, "x", "", "solid", "accent")
        side: dict[str, Any] = {"right": 190}
        levels = found.levels
        low, high = float(levels[0].min()) - 40, float(levels[2].max()) + 40
        return (
            Plot(bare, Axis("anode left, %", 0.0, 105.0), (*self._anodes(found), *moves, here), 210, **side),
            Plot(
                bare, Axis("potential, mV", low, high),
                (Band(t.days, levels[0], levels[2]), Line(t.days, levels[1], t.metal), here,
                 Dot(found.day, found.now(levels[1]), "", tone="accent")), 150, **side,
            ),
            Plot(bare, Axis("water, °C", 0.0, 35.0), (Line(t.days, t.temperature, "temperature"), here), 90, **side),
            Plot(
                dated, Axis("S/m", 0.01, 10.0, log=True), (Line(t.days, t.conductivity, "conductivity"), here), 100, **side,
            ),
        )  # fmt: skip

    def _anodes(self, found: Played) -> list[Mark]:
        marks: list[Mark] = []
        for k, names in enumerate(alike(found.track)):
            low, middle, high = (
                v / found.track.mass[names[0]][1][0] * 100.0 for v in found.track.mass[names[0]]
            )
            there = found.track.days <= found.track.gone.get(names[0], np.inf) + 1e-6
            days = found.track.days[there]
            label = found.track.labels[names[0]]
            if len(names) > 1:
                label += f", ×{len(names)}"
            marks.append(Band(days, low[there], high[there], "///" if k % 2 == 0 else "\\\\\\"))
            marks.append(Line(days, middle[there], label, STYLES[k % len(STYLES)]))
            if found.left(names[0]):
                marks.append(Dot(found.day, found.now(middle), "", tone="accent"))
        return marks

    def say(self, found: Played) -> list[str]:
        """Return the day in words, and when each anode goes."""
        t = found.track
        left = "; ".join(
            f"{t.labels[name]} {100 * middle:.0f} % (band {100 * low:.0f} to {100 * high:.0f})"
            for name, (low, middle, high) in (
                (name, found.share(name)) for name in t.mass if found.left(name)
            )
        )
        level = [found.now(v) for v in found.levels]
        lines = [
            f"{found.boat}, on {date_words(found.day)} in {water_label(found.water)}: left of the anodes: {left or 'nothing'}.",
            f"Her {t.metal} stands at {mv(level[1])} (band {mv(level[0])} to {mv(level[2])}) against {short(found.cell)}; water "
            f"{found.now(t.temperature):.0f} °C, {plain(found.now(t.conductivity), 2)} S/m.",
        ]
        for name, day in sorted(t.gone.items(), key=lambda item: item[1]):
            lines.append(f"The {t.labels[name]} is used up about {date_words(day)}.")
        if not t.gone and t.mass:
            lines.append("No anode is used up in the time shown.")
        lines += [f"She moves on {date_words(start)}." for start in t.starts[1:]]
        return lines
