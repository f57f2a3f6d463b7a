"""The look layer in words: where current leaves metal for the water, where it enters metal again, and how much."""

from __future__ import annotations

import re
from dataclasses import dataclass

from course.boats.afloat import Afloat
from course.boats.surroundings import DOCK_METAL
from course.instruments.look_paths import Map
from course.instruments.state import State

NUMBERS = {2: "two", 3: "three", 4: "four", 5: "five", 6: "six"}
ASIDE = re.compile(r"\b(port|starboard)\s+|,\s*(port|starboard)\b", re.IGNORECASE)
NOTHING = 1e-9  # A
LEAST_SHARE = 0.01  # of all current: metals that give or take less are told together


@dataclass(frozen=True)
class Exchange:
    """What metal of one name gives the water [A]: above nought it leaves the metal, below it enters it."""

    name: str
    current: float


def _name(afloat: Afloat, state: State, member: str) -> str:
    if member == DOCK_METAL:
        return "dock's own metal"
    if member.startswith("neighbour:"):
        neighbour = member.split(":")[1]
        return next((n.label for n in afloat.plan.neighbours if n.id == neighbour), "neighbour")
    return afloat.boat(state.setting).label(member)


def exchanges(afloat: Afloat, state: State) -> list[Exchange]:
    """Return what each kind of metal gives the water now, twins together, a neighbour's metals as one; largest first."""
    named: dict[str, dict[str, float]] = {}
    currents = zip(state.moment.bodies, state.moment.solution.current, strict=True)
    for member, current in currents:
        name = _name(afloat, state, member)
        parts = named.setdefault(ASIDE.sub("", name), {})
        parts[name] = parts.get(name, 0.0) + float(current)
    found = []
    for plain, parts in named.items():
        both = f"{NUMBERS.get(len(parts), str(len(parts)))} {plain}{'' if plain.endswith('s') else 's'}"
        found.append(Exchange(both if len(parts) > 1 else next(iter(parts)), sum(parts.values())))
    found = [one for one in found if abs(one.current) > NOTHING]
    return sorted(found, key=lambda one: -abs(one.current))


def amount(current: float) -> str:
    """Return a current in milliamperes, three figures of it."""
    milli = abs(1000 * current)
    return f"{milli:.0f} mA" if milli >= 100 else f"{milli:.3g} mA"


def _the(name: str) -> str:
    return name if name.split(" ")[0] in ("the", *NUMBERS.values()) else f"the {name}"


def _both(name: str) -> str:
    return " together" if name.split(" ")[0] in NUMBERS.values() else ""


def _told(found: list[Exchange], total: float) -> str:
    large = [one for one in found if abs(one.current) >= LEAST_SHARE * total]
    small = [one for one in found if one not in large]
    said = [f"{_the(one.name)}, {amount(one.current)}{_both(one.name)}" for one in large]
    if small:
        rest = sum(one.current for one in small)
        said.append(f"and {len(small)} more with {amount(rest)} between them" if len(small) > 1
                    else f"and {_the(small[0].name)}, {amount(rest)}")  # fmt: skip
    return "; ".join(said)


def _where(water: Map, highest: bool) -> str:
    k = int(water.potential.argmax() if highest else water.potential.argmin())
    row, column = divmod(k, water.x.size)
    milli = 1000 * float(water.potential[row, column])
    along = f"{abs(water.x[column]):.1f} m"
    place = (
        "at the transom"
        if along == "0.0 m"
        else f"{along} {'forward of' if water.x[column] > 0 else 'abaft'} the transom"
    )
    value = f"{milli:+.1f} mV".replace("-", "\N{MINUS SIGN}")
    return f"{value}, {place}, {water.depth[row]:.1f} m deep"


def look_words(afloat: Afloat, state: State, water: Map) -> list[str]:
    """Return the layer's paragraph, a sentence each; every current in it is one of the boat as she is this minute."""
    found = exchanges(afloat, state)
    leaving, entering = [e for e in found if e.current > 0], [e for e in found if e.current < 0]
    total = sum(one.current for one in leaving)
    if total < 1e-6:
        return ["No current worth a word runs through the water: no metal gives it any."]
    return [
        f"Current leaves metal for the water at {_told(leaving, total)}; in all {amount(total)}. Metal wastes there.",
        f"It enters metal from the water at {_told(entering, total)}; in all {amount(total)}. Metal is spared there.",
        f"Beside the boat the water is highest, {_where(water, True)}, and lowest, {_where(water, False)}, against water far away; "
        "current runs from high to low.",
        "The lines with arrows are its ways in the plane the cell hangs in; one that ends at the bed or at the edge goes on there. "
        "The dotted lines join places of one potential; their numbers are mV.",
    ]
