"""The boat as plain data for whoever draws her: what a person standing aboard can see, and nothing hidden."""

from __future__ import annotations

from typing import Any

from course.boats.afloat import Afloat, conductor_label
from course.boats.datasets import row
from course.boats.description import COMMON_POINT, Anode, Boat, Place
from course.instruments.mendable import mendable
from course.instruments.over_the_side import added, added_leads, hanging, seen_remaining
from course.instruments.points import clip_points, place_of, surface
from course.instruments.state import State

_ANODE_SHAPES = {"flush_plate": "plate_anode", "collar": "collar_anode", "hanging": "hanging_anode"}
_PLAIN = {"anode": False, "remaining": 1.0, "hoistable": False, "lowered": True}


def place(at: Place) -> dict[str, float]:
    """Return a place as the view says it."""
    return {"x_m": at.x_m, "y_m": at.y_m, "height_m": at.height_m}


def _anode_part(afloat: Afloat, part: Anode, state: State) -> dict[str, Any]:
    lowered = part.id not in state.setting.lifted
    return {
        "id": part.id, "label": part.label, "metal": "alloy not marked", "family": "anode",
        "shape": _ANODE_SHAPES[part.mounting], **place(part.place), "length_m": part.length_m, "inside": False, "anode": True,
        "remaining": seen_remaining(afloat, state.setting, part),
        "coating": part.coating, "in_water": lowered, "hoistable": part.mounting == "hanging",
        "lowered": lowered,
    }  # fmt: skip


def _alloy(metal: str) -> dict[str, str]:
    found = row("metals", metal)
    return {"metal": found["label"], "family": found["family"]}


def parts(afloat: Afloat, state: State) -> list[dict[str, Any]]:
    """Return every piece of metal: outside, anodes, inside, and what raw water wets inside."""
    boat = afloat.plan.boat
    anodes = (*boat.anodes, *added(afloat, state.setting))
    outside = [
        {"id": m.id, "label": m.label, **_alloy(m.metal), "shape": m.shape, **place(m.place), "length_m": m.length_m,
         "inside": False, "in_water": True, "coating": m.coating, **_PLAIN}
        for m in boat.metals
    ]  # fmt: skip
    inside = [
        {"id": m.id, "label": m.label, "metal": "", "family": "iron" if m.shape == "engine" else "stainless", "shape": m.shape,
         **place(m.place), "length_m": m.length_m, "inside": True, "in_water": False, "coating": "", **_PLAIN}
        for m in boat.inside
    ]  # fmt: skip
    raw = [
        {"id": m.id, "label": m.label, **_alloy(m.metal), "shape": m.shape, **place(m.place), "length_m": m.length_m,
         "inside": True, "in_water": False, "coating": "", **_PLAIN,
         "seacock": m.seacock, "hose_length_m": m.hose_length_m}
        for m in boat.raw_water
    ]  # fmt: skip
    return [*outside, *(_anode_part(afloat, a, state) for a in anodes), *inside, *raw]


def _path(start: Place, end: Place) -> list[list[float]]:
    """A conductor runs level above the bilge from one end, then straight to the other."""
    level = max(start.height_m, -0.25)
    return [
        [start.x_m, start.y_m, start.height_m],
        [end.x_m, end.y_m, level],
        [end.x_m, end.y_m, end.height_m],
    ]


def conductors(afloat: Afloat, state: State) -> list[dict[str, Any]]:
    """Return the bonding conductors and contacts."""
    boat = afloat.boat(state.setting)
    shown = (*afloat.plan.boat.conductors, *added_leads(afloat, state.setting))
    return [
        {"id": c.id, "from": c.from_, "to": c.to, "path": _path(boat.place(c.from_), boat.place(c.to)),
         "label": conductor_label(c), "contact": c.contact_ohm is not None}
        for c in shown
    ]  # fmt: skip


def links(boat: Boat, state: State) -> list[dict[str, Any]]:
    """Return what can be opened by hand in the bonding."""
    found = []
    for conductor in boat.conductors:
        if conductor.openable:
            end = boat.place(conductor.to)
            at = {"x_m": round(end.x_m + 0.35, 2), "y_m": end.y_m, "height_m": 0.1}
            is_open = conductor.id in state.setting.open_links
            found.append({"id": conductor.id, "label": conductor.label, "open": is_open, **at})
    return found


def points(boat: Boat, state: State) -> list[dict[str, Any]]:
    """Return where a clip can bite, and what it meets there."""
    return [
        {"id": p.id, "label": p.label, **place(place_of(boat, p.id)),
         "surface": "bright" if p.id in state.scraped else surface(boat, p.id)}
        for p in clip_points(boat)
    ]  # fmt: skip


def breakers(boat: Boat, state: State) -> list[dict[str, Any]]:
    """Return the circuits with their breakers."""
    return [
        {"id": c.id, "label": c.label, "closed": c.id not in state.open_breakers, "note": c.note, "load_A": c.load_A,
         "breaker_A": c.breaker_A, "feed": c.feed, "tripped": c.id in state.tripped}
        for c in boat.circuits
    ]  # fmt: skip


def _bilge(boat: Boat) -> dict[str, Any] | None:
    if boat.bilge is None:
        return None
    at = boat.bilge.place
    return {
        "x_m": at.x_m, "y_m": at.y_m, "height_m": at.height_m, "length_m": boat.bilge.length_m, "water": boat.bilge.water,
    }  # fmt: skip


def _supplies(boat: Boat, state: State) -> dict[str, Any]:
    battery, shore = boat.battery, boat.shore
    has_shore = shore is not None and shore.arrangement != "none"
    return {
        "battery": {"on": state.setting.battery_on, "label": battery.label, **place(battery.place)} if battery else None,
        "shore": {"arrangement": shore.arrangement, "plugged": state.setting.shore_plugged, **place(shore.inlet)}
        if shore is not None and has_shore else None,
    }  # fmt: skip


def _hull(boat: Boat) -> dict[str, Any]:
    hull = boat.hull
    return {
        "name": boat.name, "kind": boat.kind, "length_m": hull.length_m, "beam_m": hull.beam_m, "draft_m": hull.draft_m,
        "hulls": hull.hulls, "hull_spacing_m": hull.hull_spacing_m, "material": hull.material,
        "profile": [list(p) for p in hull.profile], "deckhouse": [list(p) for p in hull.deckhouse],
        "cabin_sole_height_m": hull.cabin_sole_height_m, "history": boat.history,
    }  # fmt: skip


def boat_view(afloat: Afloat, state: State) -> dict[str, Any]:
    """Return the boat, her berth and what can be set aboard: as her papers tell it, and what an eye sees besides.

    An eye sees what hangs over the side, what is hauled up, and how wet the bilge is.
    """
    plan = afloat.plan
    berth, boat = plan.berth, plan.boat
    return {
        "boat": _hull(boat),
        "berth": {"marina": berth.marina, "name": berth.name, "depth_m": berth.depth_m, "water": berth.water,
                  "water_temperature_degC": berth.temperature_degC, "salinity": berth.salinity},
        "record_card": dict(plan.record_card),
        "parts": parts(afloat, state),
        "common_bonding_point": place(boat.place(COMMON_POINT)),
        "conductors": conductors(afloat, state),
        "links": links(boat, state),
        "points": points(boat, state),
        "breakers": breakers(boat, state),
        **_supplies(boat, state),
        "bilge": _bilge(afloat.boat(state.setting)),
        "hoists": [{"id": a.id, "label": a.label, "lowered": a.id not in state.setting.lifted}
                   for a in hanging(afloat, state.setting)],
        "mendable": [{"id": name, "label": label} for name, label in mendable(plan).items()],
        "neighbours": [{"id": n.id, "label": n.label, "x_m": n.x_m, "y_m": n.y_m} for n in plan.neighbours],
    }  # fmt: skip
