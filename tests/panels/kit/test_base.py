"""What every panel of the kit must be: operable by keyboard, told in words, legible, and the same on paper."""

from __future__ import annotations

import io
import re
import xml.etree.ElementTree as ET
from pathlib import Path
from typing import Any

import ipywidgets as widgets
import pytest
import traitlets
from matplotlib.backends.backend_agg import FigureCanvasAgg

import course
from course.boats.glossary import meaning
from course.panels import kit
from course.panels.kit.base import label_of, style
from course.panels.kit.layout import WIDE, Text, laid_out
from course.panels.kit.plot import Axis, Bar, Line, Shape
from course.panels.kit.scales import plain, ticks
from course.panels.kit.slide import Slide

KINDS = [
    kit.MetalChooser,
    kit.CoupleExplorer,
    kit.LossCalculator,
    kit.SeasonPlayer,
    kit.CreviceExplorer,
    kit.MarinaView,
    kit.IsolatorExplorer,
    kit.BondingSurvey,
    kit.AnodeSizing,
]
STYLE = (Path(kit.__file__).parent / "kit.css").read_text(encoding="utf-8")
NARROW = 7.4  # pixels: a letter of 16 px on average, in the page's fonts


@pytest.fixture(scope="module", params=KINDS, ids=lambda kind: kind.__name__)
def panel(request: pytest.FixtureRequest) -> Any:
    return request.param()


def drawing(panel: Any) -> Any:
    return panel.draw(panel.found)


def test_controls_are_native_and_labelled(panel: Any) -> None:
    for name, control in panel.controls.items():
        assert isinstance(control, widgets.Dropdown | widgets.Checkbox | Slide), name
        assert len(label_of(control)) > 1, name
    assert len({label_of(control) for control in panel.controls.values()}) == len(panel.controls)


def test_the_drawing_is_told_to_who_does_not_see_it(panel: Any) -> None:
    markup = re.search(r"<svg.*</svg>", panel.drawing.value, re.DOTALL)
    assert markup is not None
    root = ET.fromstring(markup.group())
    title, told = root.find("title"), root.find("desc")
    assert title is not None
    assert told is not None
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == f"{title.get('id')} {told.get('id')}"
    assert panel.say(panel.found)[0] in (told.text or "")
    assert 'tabindex="0"' in panel.drawing.value  # what scrolls sideways can be reached by key
    assert 'role="status"' in panel.words.value


def test_text_says_the_settings_and_what_follows(panel: Any) -> None:
    text = panel.text()
    assert panel.title in text
    for control in panel.controls.values():
        assert label_of(control) in text
    for line in panel.say(panel.found):
        assert line in text
    assert not re.search(r"\b(nan|inf|None|\[|array)\b", text)
    assert not re.search(r"\de[-+]\d", text)  # no exponents for a reader


def test_no_colour_of_its_own(panel: Any) -> None:
    assert not re.search(r"#[0-9a-fA-F]{3,6}\b(?!-)", re.sub(r"url\(#[^)]*\)", "", panel.drawing.value))
    assert "var(--ws-ink)" in panel.drawing.value


def test_axes_have_units_or_words(panel: Any) -> None:
    for plot in drawing(panel).plots:
        if not plot.framed:
            continue
        for axis in (plot.x, plot.y):
            worded = axis.ticks is not None and any(words for _, words in axis.ticks)
            shared = axis is plot.x and axis.ticks is not None  # the plot below carries the words
            assert axis.label or worded or shared


def test_nothing_is_told_by_colour_alone(panel: Any) -> None:
    for plot in drawing(panel).plots:
        lines = [mark for mark in plot.marks if isinstance(mark, Line)]
        looks = [(line.style, line.label) for line in lines]
        assert len(set(looks)) == len(looks)
        for bar in (mark for mark in plot.marks if isinstance(mark, Bar)):
            assert bar.hatch


def test_words_stay_on_the_sheet_and_off_each_other(panel: Any) -> None:
    boxes = []
    for item in laid_out(drawing(panel)).items:
        if not isinstance(item, Text) or item.turned or not item.words:
            continue
        wide = len(item.words) * NARROW
        left = item.x - {"start": 0.0, "middle": wide / 2, "end": wide}[item.side]
        assert left >= -2, item.words
        assert left + wide <= WIDE + 8, item.words
        boxes.append((left, item.y - 8, left + wide, item.y + 8, item.words))
    for k, one in enumerate(boxes):
        for other in boxes[k + 1 :]:
            across = min(one[2], other[2]) - max(one[0], other[0])
            down = min(one[3], other[3]) - max(one[1], other[1])
            assert across <= 6 or down <= 3, (one[4], other[4])


def test_paper_is_the_same_drawing_and_legible_in_grey(panel: Any) -> None:
    for dark in (False, True):
        figure = panel.figure(dark)
        said = {text.get_text() for axes in figure.axes for text in axes.texts}
        assert {i.words for i in laid_out(drawing(panel)).items if isinstance(i, Text)} <= said
    canvas, out = FigureCanvasAgg(panel.figure()), io.BytesIO()
    canvas.print_png(out)
    assert len(out.getvalue()) > 5000


def test_terms_are_in_the_glossary(panel: Any) -> None:
    assert panel.terms
    for term in panel.terms:
        assert meaning(term)


def test_a_control_it_has_not_is_named(panel: Any) -> None:
    with pytest.raises(ValueError, match="has no control 'colour'"):
        panel.set(colour="red")


def test_a_notebook_reaches_every_panel() -> None:
    for kind in KINDS:
        name = re.sub(r"(?<!^)(?=[A-Z])", "_", kind.__name__).lower()
        assert getattr(course, name) is kind
        assert name in course.__all__


def test_one_sheet_of_style_with_the_scene() -> None:
    assert "--ws-paper" in style()
    assert STYLE in style()
    assert not re.search(r"#[0-9a-fA-F]{3,6}\b", STYLE)
    sizes = [float(size) for size in re.findall(r"font(?:-size)?:\s*([\d.]+)px", STYLE)]
    assert min(sizes) >= 16


def test_a_slide_goes_both_ways() -> None:
    slide = Slide("current", 1.0, 0.001, 1000.0, "A", log=True, steps=60)
    assert slide.position == 30
    slide.position = 40
    assert slide.value == pytest.approx(10.0)
    assert slide.shown == "10 A"
    slide.value = 33.3
    assert slide.value == 33.3  # kept as given
    with pytest.raises(traitlets.TraitError, match=r"allowed is 0\.001 to 1000 A"):
        slide.value = 2000.0
    slide.position = 0
    assert slide.value == 0.001


def test_numbers_as_one_writes_them() -> None:
    assert plain(1234567) == "1 230 000"
    assert plain(-0.000123, 2) == "−0.00012"
    assert plain(1000.0) == "1 000"
    assert [words for _, words in ticks(Axis("", 1e-6, 1.0, log=True))] == [
        "10⁻⁶",
        "10⁻⁵",
        "0.0001",
        "0.001",
        "0.01",
        "0.1",
        "1",
    ]
    assert [value for value, _ in ticks(Axis("", -300.0, 300.0))] == [
        -300.0,
        -200.0,
        -100.0,
        0.0,
        100.0,
        200.0,
        300.0,
    ]


def test_shapes_are_in_the_marina() -> None:
    panel = kit.MarinaView(cruiser="isolator", workboat="transformer")
    words = [i.words for i in laid_out(drawing(panel)).items if isinstance(i, Text)]
    assert "I" in words
    assert "T" in words
    assert any(isinstance(mark, Shape) for mark in drawing(panel).plots[0].marks)


def ends_of(control: Any) -> list[Any]:
    """Return what a control may be set to: both ends of a slider, some choices of a list, either way of a box."""
    if isinstance(control, Slide):
        return [control.low, control.high]
    if isinstance(control, widgets.Checkbox):
        return [True, False]
    known = [value for _, value in control._options_full]
    return known[:: max(1, len(known) // 2)]


SLOW = {kit.SeasonPlayer, kit.BondingSurvey, kit.CoupleExplorer}
SWEPT = [pytest.param(kind, marks=[pytest.mark.long] if kind in SLOW else []) for kind in KINDS]


@pytest.mark.parametrize("kind", SWEPT, ids=lambda kind: kind.__name__)
def test_no_setting_breaks_it(kind: Any) -> None:
    """Each control to its ends, the others as they are: an answer or a sentence, and all words on the sheet."""
    panel = kind()
    for name, control in panel.controls.items():
        before = control.value
        for value in ends_of(control):
            control.value = value
            assert panel.text()
            for item in laid_out(drawing(panel)).items:
                if isinstance(item, Text) and not item.turned:
                    wide = len(item.words) * NARROW
                    left = item.x - {"start": 0.0, "middle": wide / 2, "end": wide}[item.side]
                    assert -2 <= left <= left + wide <= WIDE + 8, (name, value, item.words)
        control.value = before
