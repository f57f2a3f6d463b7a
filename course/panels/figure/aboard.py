"""What runs and stands inside the boat of the still figure: bilge, hoses, wires, battery, shore lead, links and clip points."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from matplotlib.patches import PathPatch
from matplotlib.path import Path

from course.panels.figure.shapes import is_lifted, middle, on_wire, page
from course.panels.figure.sheet import Point, Sheet

View = Mapping[str, Any]
LIFTED_M = 0.25  # between the water and the foot of a lifted anode


def bend(sheet: Sheet, points: list[Point], ink: str, width: float, order: float, **more: Any) -> None:
    """Draw a curve through a start, two points that pull it, and an end."""
    path = Path(points, [Path.MOVETO, Path.CURVE4, Path.CURVE4, Path.CURVE4])
    look: dict[str, Any] = {"fill": False, "edgecolor": sheet.ink[ink], "linewidth": width, "zorder": order}
    sheet.axes.add_patch(PathPatch(path, **look, **more))


def draw_bilge(sheet: Sheet, view: View, hull: Any) -> None:
    """Draw the water in the bilge, as deep as it stands; a damp bilge shows as a broken line."""
    bilge = view.get("bilge")
    if not bilge or bilge.get("x_m") is None or bilge["water"] == "dry":
        return
    wet, half = bilge["water"] == "wet", bilge.get("length_m", 1.0) / 2
    x1, top = sheet.at(bilge["x_m"] - half, 0, bilge["height_m"] + (0.1 if wet else 0.03))
    x2, foot = sheet.at(bilge["x_m"] + half, 0, bilge["height_m"] - 0.25)
    sheet.box(x1, foot, x2 - x1, top - foot, "water", edge=None, order=2.3).set_clip_path(hull)
    line = sheet.line([(x1, top), (x2, top)], width=0.9, order=2.3, linestyle="-" if wet else (0, (3, 3)))
    line.set_clip_path(hull)


def hoses_of(view: View) -> list[tuple[View, View]]:
    """Return the hoses of the raw water: from the seacock to each thing that hangs on it, nearest first."""
    hoses = []
    for cock in [part for part in view["parts"] if part["shape"] == "through_hull"]:
        hung = [part for part in view["parts"] if part.get("seacock") == cock["id"]]
        last = cock
        for part in sorted(hung, key=lambda p: p.get("hose_length_m") or 0.0):
            hoses.append((last, part))
            last = part
    return hoses


def draw_hoses(sheet: Sheet, view: View) -> None:
    """Draw the hoses as ribbed bands."""
    for start, end in hoses_of(view):
        (x1, y1), (x2, y2) = sheet.spot(middle(start)), sheet.spot(middle(end))
        up = max(y1, y2) + 0.12 * sheet.scale
        points = [(x1, y1), (x1, up), (x2, up), (x2, y2)]
        bend(sheet, points, "quiet", 3.6, 3.2)
        bend(sheet, points, "hull", 2.4, 3.21)
        bend(sheet, points, "quiet", 2.4, 3.22, linestyle=(0, (0.25, 1.5)), capstyle="butt")


def wire_paths(view: View) -> list[list[Point]]:
    """Return the wires as places on the page [m]; a contact is no wire, and a lifted anode takes its wire along."""
    up = {part["id"] for part in view["parts"] if is_lifted(part)}
    found = []
    for wire in view["conductors"]:
        if wire.get("contact"):
            continue
        ends = [wire["from"], *[wire["to"]] * (len(wire["path"]) - 1)]
        path = zip(wire["path"], ends, strict=True)
        found.append([page(x, y, max(h, LIFTED_M) if end in up else h) for (x, y, h), end in path])
    return found


def gunwale(profile: Any, x_m: float) -> Point:
    """Return the place [m] on the hull's upper edge nearest to ``x_m``."""
    near = min(max(x_m, min(p[0] for p in profile)), max(p[0] for p in profile))
    height = 0.0
    for (x1, h1), (x2, h2) in zip(profile, [*profile[1:], profile[0]], strict=True):
        if min(x1, x2) <= near <= max(x1, x2):
            height = max(height, max(h1, h2) if x1 == x2 else h1 + (h2 - h1) * (near - x1) / (x2 - x1))
    return near, height


def draw_wires(sheet: Sheet, view: View) -> None:
    """Draw the conductors, and the line that anything over the side hangs on."""
    for path in wire_paths(view):
        points = [sheet.spot(place) for place in path]
        sheet.line(points, "hull", 2.4, 3.4, solid_joinstyle="round")
        sheet.line(points, "ink", 1.0, 3.5, solid_joinstyle="round")
    tied = {end for wire in view["conductors"] for end in (wire["from"], wire["to"])}
    for part in view["parts"]:
        if part["shape"] == "hanging_anode" and (part["id"] not in tied or is_lifted(part)):
            (x, y), (rail_x, rail_h) = sheet.spot(middle(part)), gunwale(view["boat"]["profile"], part["x_m"])
            start = sheet.at(rail_x, part["y_m"], rail_h)
            sheet.line(
                [start, (x, start[1]), (x, y + part["length_m"] * sheet.scale / 2)], width=0.8, order=3.5
            )


def battery_place(view: View) -> View | None:
    """Return where the battery stands, or None on a boat that shows none."""
    post = next((point for point in view["points"] if point["id"] == "battery_positive"), None)
    battery: View | None = view.get("battery")
    return post or (battery if battery and battery.get("x_m") is not None else None)


def _battery(sheet: Sheet, post: View) -> None:
    x, y = sheet.at(post["x_m"], post["y_m"], post["height_m"])
    w = max(0.36 * sheet.scale, 13.0)
    sheet.box(x - 0.25 * w, y - 2 - 0.62 * w, 1.1 * w, 0.62 * w, order=4.2)
    sheet.line([(x + 0.5 * w, y - 2), (x + 0.5 * w, y + 1)], width=1.0, order=4.3)
    for place, sign in ((0.02, "+"), (0.56, "\N{MINUS SIGN}")):
        look: dict[str, Any] = {"fontsize": 6, "ha": "center", "va": "center"}
        sheet.words(x + (place + 0.03) * w, y - 2 - 0.33 * w, sign, order=4.4, **look)


def inlet_of(sheet: Sheet, view: View) -> Point | None:
    """Return where the shore lead goes into the boat [points], or None on a boat without."""
    shore = view.get("shore")
    if not shore or shore["arrangement"] == "none":
        return None
    if shore.get("x_m") is None:
        return sheet.at(0.4, 0.0, gunwale(view["boat"]["profile"], 0.4)[1])
    return sheet.at(shore["x_m"], shore.get("y_m") or 0.0, shore["height_m"])


def _shore(sheet: Sheet, shore: View, inlet: Point) -> None:
    x, y = inlet
    if shore["plugged"]:
        points = [(x - 3, y), (x - 20, y - 14), (x - 32, y + 32), (0.0, 0.55 * sheet.scale)]
    else:
        points = [(x - 8, y - 2), (x - 13, y - 18), (x - 18, y - 10), (x - 26, y - 13)]
    bend(sheet, points, "hull", 3.6, 4.2)
    bend(sheet, points, "ink", 1.8, 4.21)
    sheet.box(x - 3, y - 4, 6, 8, order=4.3)
    for up in (-1.5, 1.5):
        sheet.line([(x - 1, y + up), (x + 1, y + up)], order=4.4)


def draw_supply(sheet: Sheet, view: View) -> None:
    """Draw the battery, and the shore lead to the left, where the dock is."""
    post, inlet = battery_place(view), inlet_of(sheet, view)
    if view.get("battery") and post:
        _battery(sheet, post)
    if inlet is not None:
        _shore(sheet, view["shore"], inlet)


def draw_links_and_points(sheet: Sheet, view: View) -> None:
    """Draw what can be opened, and bare metal for the clip."""
    for link in view["links"]:
        x, y = sheet.spot(on_wire(link, view["conductors"]))
        far, up = (4.0, 8.0) if link["open"] else (6.0, 0.0)
        sheet.line([(x - 6, y), (x + 6, y)], "hull", 3, 4.5)
        sheet.line([(x - 6, y), (x + far, y + up)], "ink", 1.4, 4.6)
        for end in (x - 6, x + 6):
            sheet.dot((end, y), "o", 3.6)
    for point in view["points"]:
        at = sheet.at(point["x_m"], point["y_m"], point["height_m"])
        sheet.dot(at, "s", 5.0)
        sheet.dot(at, "+", 2.4, order=4.8, fill="ink")
