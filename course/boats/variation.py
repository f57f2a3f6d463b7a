"""How one boat differs from another of her kind: berth and water, areas, contacts, wear, instruments, neighbours."""

from __future__ import annotations

from course.boats.datasets import load, row
from course.boats.description import Anode, Boat, Conductor, Metal
from course.boats.draws import Draw
from course.boats.plan import Berth, Dock, Kit, Neighbour, NeighbourMetal

SHAFT_ANODE_REMAINING = (0.06, 0.16)  # they go first: small, and next to the propellers; invented
SHAFT_ANODE_NEARLY_GONE = (0.01, 0.04)
CELLS = ("silver_chloride_sea_water", "silver_chloride_saturated", "copper_sulphate", "zinc_sea_water")


def berth_of(draw: Draw, marina: str) -> Berth:
    """Return a berth of a marina with the water of the day."""
    place = row("marina", marina)
    return Berth(
        marina=place["name"],
        name=draw.choice("berth", tuple(place["berths"])),
        water=place["water"],
        depth_m=draw.between("depth", place["depth_m"], 1),
        temperature_degC=draw.between("temperature", place["temperature_degC"], 1),
        salinity=draw.between("salinity", place["salinity"], 1),
        flow_m_per_s=draw.between("flow", place["flow_m_per_s"], 3),
        bed_reflection=draw.between("bed", place["bed_reflection"], 2),
    )


def middle_berth(marina: str) -> Berth:
    """Return a berth in the middle of everything a marina offers."""
    place = row("marina", marina)

    def middle(name: str) -> float:
        return round((float(place[name]["low"]) + float(place[name]["high"])) / 2, 3)

    return Berth(
        marina=place["name"],
        name=place["berths"][0],
        water=place["water"],
        depth_m=middle("depth_m"),
        temperature_degC=middle("temperature_degC"),
        salinity=middle("salinity"),
        flow_m_per_s=middle("flow_m_per_s"),
        bed_reflection=middle("bed_reflection"),
    )


def varied(
    boat: Boat,
    draw: Draw,
    remaining: tuple[float, float],
    shaft_remaining: tuple[float, float] = SHAFT_ANODE_REMAINING,
) -> Boat:
    """Return the boat with personal areas (+-15 %), shaft contacts, and large anodes worn to a fraction within ``remaining``."""

    def metal(part: Metal) -> Metal:
        twin = part.id.removesuffix("_port").removesuffix("_starboard")
        scale = draw.number(f"area {twin}", 0.85, 1.15, 3)
        return part.model_copy(update={"wetted_area_m2": round(part.wetted_area_m2 * scale, 4)})

    def anode(part: Anode) -> Anode:
        bounds = shaft_remaining if part.mounting == "collar" else remaining
        return part.model_copy(update={"remaining": draw.number(f"remaining {part.id}", *bounds, 2)})

    def conductor(part: Conductor) -> Conductor:
        if part.contact_ohm is None:
            return part
        return part.model_copy(
            update={
                "contact_ohm": round(part.contact_ohm * draw.number(f"contact {part.id}", 0.5, 1.8, 2), 5)
            }
        )

    return boat.model_copy(
        update={
            "metals": tuple(metal(part) for part in boat.metals),
            "anodes": tuple(anode(part) for part in boat.anodes),
            "conductors": tuple(conductor(part) for part in boat.conductors),
        }
    )


def kit_of(draw: Draw) -> Kit:
    """Return the learner's instruments: a meter whose scale is off by up to 0.3 %, a clamp whose zero has drifted, a long lead."""
    return Kit(
        cells=CELLS,
        meter_gain=draw.number("meter gain", 0.997, 1.003, 5),
        clamp_zero_mA=draw.number("clamp zero", -40.0, 40.0, 0),
        long_lead_ohm=draw.number("long lead", 0.15, 0.6, 2),
    )


def dock_of(marina: str) -> Dock:
    """Return the dock of a marina."""
    found = {
        name: value for name, value in row("marina", marina)["dock"].items() if name in Dock.model_fields
    }
    return Dock(**found)


def neighbours_of(draw: Draw, marina: str, count: int = 2) -> tuple[Neighbour, ...]:
    """Return some of the boats that may lie beside one, none twice, in the order they were drawn."""
    water = row("marina", marina)["water"]
    left = sorted(name for name, found in load("neighbours").items() if water in found["waters"])
    chosen = []
    for k in range(min(count, len(left))):
        name = draw.choice(f"neighbour {k}", tuple(left))
        left.remove(name)
        chosen.append(neighbour_of(name))
    return tuple(chosen)


def neighbour_of(name: str) -> Neighbour:
    """Return a boat that may lie in the next berth, as the table has her. Raises UnknownName for another."""
    found = row("neighbours", name)
    metals = tuple(
        NeighbourMetal(metal=m["metal"], area_m2=m["area_m2"], depth_m=m["depth_m"]) for m in found["metals"]
    )
    return Neighbour(
        id=found["id"],
        label=found["label"],
        **found["place"],
        metals=metals,
        arrangement=found["arrangement"],
        plugged=found["plugged"],
        leak=found["leak"],
    )
