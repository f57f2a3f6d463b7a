"""The look, computed: contrast in both themes, one palette for screen and print, the still figure.

Contrast: WCAG 2.2, relative luminance and contrast ratio as defined there (from memory); 4.5 for text (1.4.3),
3 for what is drawn (1.4.11).
"""

from __future__ import annotations

import io
import itertools
import re
from pathlib import Path
from typing import Any

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from course.boats.datasets import datasets_folder
from course.boats.description import fleet_boat
from course.boats.personal import draw_plan, seed_for
from course.boats.plan import Start
from course.instruments.slip import Slip
from course.panels.figure.ink import DARK, HATCHES, LIGHT
from course.panels.figure.whole import scene_figure

FLEET = sorted(path.stem for path in (datasets_folder() / "boats").glob("*.yaml"))
CROWDED = "dawn_squall"
STYLE = (Path(__file__).parents[2] / "course" / "panels" / "scene.css").read_text(encoding="utf-8")
TEXT = [("ink", back) for back in ("paper", "hull", "water", "bed")]
TEXT += [("quiet", "paper"), ("digits", "screen"), ("on-accent", "accent")]
TEXT += [("accent", back) for back in ("paper", "water", "hull")]
DRAWN = [(f"ramp-{tone}", "water") for tone in range(7)]
DRAWN += [("focus", "paper"), ("focus", "water"), ("focus", "hull"), ("quiet", "water"), ("line", "paper")]


def themes() -> dict[str, dict[str, str]]:
    """Return the variables of each block that sets them, by its selector."""
    found = {}
    for selector, body in re.findall(r"([^{}]*)\{([^{}]*--ws-paper: [^{}]*)\}", STYLE):
        found[" ".join(selector.split())] = dict(re.findall(r"--ws-([\w-]+):\s*(#[0-9a-f]{6});", body))
    return found


def luminance(colour: str) -> float:
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_the_measure_itself() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)  # by definition
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)  # from memory: just under 4.5


def test_each_theme_is_written_the_same_both_ways() -> None:
    light, dark, lab_light, lab_dark = themes().values()
    assert light == lab_light
    assert dark == lab_dark
    assert light != dark
    assert set(light) == set(dark)


@pytest.mark.parametrize("theme", themes(), ids=lambda selector: selector.strip("*/ ")[-40:])
def test_contrast(theme: str) -> None:
    colours = themes()[theme]
    for front, back in TEXT:
        assert contrast(colours[front], colours[back]) >= 4.5, (front, back)
    for front, back in DRAWN:
        assert contrast(colours[front], colours[back]) >= 3.0, (front, back)


@pytest.mark.parametrize("theme", themes(), ids=lambda selector: selector.strip("*/ ")[-40:])
def test_the_ramp_of_the_contour_lines_is_even_and_one_way(theme: str) -> None:
    """Lightness by CIE 1976, L* = 116 Y^(1/3) - 16 (from memory); a step is within a third of the mean step."""
    tones = [116 * luminance(themes()[theme][f"ramp-{k}"]) ** (1 / 3) - 16 for k in range(7)]
    steps = [b - a for a, b in itertools.pairwise(tones)]
    assert min(steps) > 0
    assert max(abs(step - sum(steps) / 6) for step in steps) < sum(steps) / 18


def test_print_has_the_colours_of_the_screen() -> None:
    light, dark, *_ = themes().values()
    assert light.items() >= LIGHT.items()
    assert dark.items() >= DARK.items()


def test_no_text_is_set_smaller_than_16_px() -> None:
    sizes = [float(size) for size in re.findall(r"font(?:-size)?:\s*(?:[\w]+ )*?([\d.]+)px", STYLE)]
    assert min(sizes) >= 16
    assert len(sizes) > 5


@pytest.mark.parametrize("dark", [False, True])
def test_the_still_figure_has_no_words_on_words(view: dict[str, Any], dark: bool) -> None:
    assert {"Two propellers", "Common bonding", "-0.904 V", "COM"} <= words_apart(
        scene_figure(view, dark=dark)
    )


def words_apart(figure: Figure) -> set[str]:
    """Return the words of a figure, none of which is upon another or off the page."""
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    words = [text for text in figure.axes[0].texts if text.get_text().strip()]
    page = figure.bbox.padded(1.0)
    boxes = [(text.get_text(), text.get_window_extent(canvas.get_renderer())) for text in words]
    for (one, a), (other, b) in itertools.combinations(boxes, 2):
        assert not a.shrunk(0.9, 0.8).overlaps(b.shrunk(0.9, 0.8)), (one, other)
    for one, a in boxes:
        assert page.x0 <= a.x0, one
        assert a.x1 <= page.x1, one
        assert page.y0 <= a.y0 <= a.y1 <= page.y1, one
    return {text.get_text() for text in words}


def slip_of(name: str, folder: Path) -> Slip:
    """Return a boat of the fleet with all she has in use: every lead, the clamp, a breaker off, the other meter."""
    plan = draw_plan("hull_potential", "03.1", seed_for("practice", "tests", "fleet", "03.1", 0))
    boat = fleet_boat(name)
    berth = plan.berth.model_copy(update={"depth_m": max(3.0, boat.hull.draft_m + 1.2)})
    slip = Slip(plan.model_copy(update={"boat": boat, "berth": berth, "start": Start()}), folder)
    slip.act("take_meter", {"meter": "analogue"})
    slip.act("plug", {"lead": "cell lead", "jack": "COM"})
    slip.act("plug", {"lead": "test lead", "jack": "V"})
    slip.act("turn_dial", {"position": "10 V"})
    slip.act("hang_cell", {"x_m": boat.hull.length_m / 2, "depth_m": 1.0})
    slip.act("close_clamp", {"around": [slip.view()["clampable"][0]["id"]], "arrow": "forward"})
    slip.act("breaker", {"circuit": boat.circuits[0].id, "closed": False})
    return slip


@pytest.mark.parametrize(
    "name", [CROWDED, *(pytest.param(b, marks=pytest.mark.long) for b in FLEET if b != CROWDED)]
)
def test_the_still_figure_shows_what_the_scene_shows(tmp_path: Path, name: str) -> None:
    view = slip_of(name, tmp_path).view()
    view["neighbours"] = [{"id": "n", "label": "the steel ketch in the next berth", "x_m": 5.0, "y_m": 6.0}]
    lines = words_apart(scene_figure(view))
    said = " ".join(lines)
    plain = " ".join(said.split()).replace("\N{NO-BREAK SPACE}", " ")
    for item in view["breakers"]:
        state = "on" if item["closed"] else "off"
        assert f"{item['label'][:1].upper()}{item['label'][1:]}: {state};" in plain
    assert {"analogue meter", "long lead", "bilge probe"} <= lines
    for words in ("Clamp ", "hose", "In sight: the steel ketch", "switch: on"):
        assert words in plain
    assert ("Bilge water" in plain) == (view["bilge"]["water"] != "dry")


def test_families_differ_in_hatching_alone(view: dict[str, Any]) -> None:
    """A grey copy tells them apart: each family of the boat has a hatch of its own, and none is told by a colour."""
    families = {part["family"] for part in view["parts"]}
    assert len({HATCHES[family] for family in families}) == len(families)
    figure = scene_figure(view)
    metal = [patch for patch in figure.axes[0].patches if patch.get_hatch() and patch.get_zorder() >= 3]
    fills = {patch.get_facecolor() for patch in metal}
    assert len(fills) == 1


@pytest.mark.parametrize("kind", ["png", "svg", "pdf"])
def test_the_still_figure_is_written_in_every_state(view: dict[str, Any], kind: str) -> None:
    view["cell"]["in_water"] = False
    view["leads"] = {"cell lead": {"jack": None}, "test lead": {"jack": None, "point": None}}
    view["links"][0]["open"] = True
    hanging = next(part for part in view["parts"] if part["hoistable"])
    hanging.update(lowered=False, in_water=False)
    view["meter"].update(display="", unit="", dial="off")
    out = io.BytesIO()
    scene_figure(view).savefig(out, format=kind)
    assert len(out.getvalue()) > 5000
