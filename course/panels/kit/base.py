"""The base of every panel: controls, the number behind them, a drawing, the same in words, a figure for print.

A panel holds no physics: it asks `course.engine` and `course.boats`, and shows what they say.
"""

from __future__ import annotations

import html
import itertools
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any, ClassVar, Generic, TypeVar

import ipywidgets as widgets

from course.boats.glossary import Unknown, meaning
from course.engine import EngineError
from course.panels.kit.plot import Drawing
from course.panels.kit.svg import svg

PANELS = Path(__file__).parents[1]
Found = TypeVar("Found")
_numbers = itertools.count()


@cache
def style() -> str:
    """Return the look: the scene's colours, then what the kit adds."""
    sheets = (PANELS / "scene.css", PANELS / "kit" / "kit.css")
    return "".join(sheet.read_text(encoding="utf-8") for sheet in sheets)


def choice(label: str, options: Sequence[tuple[str, Any]], value: Any) -> Any:
    """Return a labelled list to choose from; options are (words, value) pairs."""
    width = {"description_width": "initial"}
    return widgets.Dropdown(
        description=label, options=list(options), value=value, style=width, layout={"width": "auto"}
    )


def switch(label: str, value: bool) -> Any:
    """Return a labelled box to tick."""
    return widgets.Checkbox(description=label, value=value, indent=False, layout={"width": "auto"})


def table(caption: str, heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    """Return an HTML table, every cell escaped; the first column heads its row."""
    top = "".join(f'<th scope="col">{html.escape(head)}</th>' for head in heads)
    body = "".join(
        f'<tr><th scope="row">{html.escape(cells[0])}</th>'
        + "".join(f"<td>{html.escape(cell)}</td>" for cell in cells[1:])
        + "</tr>"
        for cells in rows
    )
    return f"<table><caption>{html.escape(caption)}</caption><thead><tr>{top}</tr></thead><tbody>{body}</tbody></table>"


class Panel(widgets.VBox, Generic[Found]):
    """One panel. Made of four things that a kind of panel gives:

    controls_of() -> the controls by name; find(values) -> what the engine says for their values; draw(found) ->
    Drawing; say(found) -> sentences. `found` is the number behind what is shown.
    """

    title: ClassVar[str] = ""
    terms: ClassVar[tuple[str, ...]] = ()

    def __init__(self, **values: Any) -> None:
        self.name = f"ws-kit-{next(_numbers)}"
        self.controls: dict[str, Any] = self.controls_of()
        self.found: Found | None = None
        self.refusal = ""
        self._held = False
        row = widgets.Box(list(self.controls.values()), layout={"overflow": "visible"})
        row.add_class("ws-controls")
        self.drawing = widgets.HTML("", layout={"width": "auto"})
        self.words = widgets.HTML("", layout={"width": "auto"})
        head = widgets.HTML(f"<style>{style()}</style><h3>{html.escape(self.title)}</h3>")
        terms = widgets.HTML(self._terms_html(), layout={"width": "auto"})
        super().__init__([head, row, self.drawing, self.words, terms], layout={"width": "auto"})
        self.add_class("wetslip")
        self.add_class("ws-kit")
        for control in self.controls.values():
            control.observe(lambda _change: self.follow(), "value")
        self.set(**values)

    def controls_of(self) -> dict[str, Any]:
        """Return the controls by name, in the order of the keyboard."""
        raise NotImplementedError

    def find(self, values: Mapping[str, Any]) -> Found:
        """Return what the engine says."""
        raise NotImplementedError

    def draw(self, found: Found) -> Drawing:
        """Return what is drawn."""
        raise NotImplementedError

    def say(self, found: Found) -> list[str]:
        """Return everything the drawing shows, in plain sentences; the first says what matters most."""
        raise NotImplementedError

    def more(self, found: Found) -> list[str]:
        """Return sentences for who wants every value of the drawing; they stand folded away."""
        del found
        return []

    def table_html(self, found: Found) -> str:
        """Return a table to stand under the sentences, or nothing."""
        del found
        return ""

    @property
    def values(self) -> dict[str, Any]:
        """What the controls stand at."""
        return {name: control.value for name, control in self.controls.items()}

    def set(self, **values: Any) -> None:
        """Set several controls by name and redraw once. Raises ValueError for a control the panel has not."""
        for name in values:
            if name not in self.controls:
                raise ValueError(f"{self.title} has no control {name!r}; it has {', '.join(self.controls)}.")
        self._held = True
        try:
            for name, value in values.items():
                self.controls[name].value = value
        finally:
            self._held = False
        self.follow()

    def follow(self) -> None:
        """Ask the engine again and show the answer; what it refuses is said in its own sentence."""
        if self._held:
            return
        try:
            self.found, self.refusal = self.find(self.values), ""
        except EngineError as refusal:
            self.refusal = str(refusal)
            self.words.value = (
                f'<div class="ws-words"><div role="status"><p>{html.escape(self.refusal)}</p></div></div>'
            )
            return
        shown = svg(self.draw(self.found), self.name)
        label = html.escape(f"drawing: {self.title}", quote=True)
        self.drawing.value = (
            f'<div class="ws-sheet" tabindex="0" role="region" aria-label="{label}">{shown}</div>'
        )
        told = "".join(f"<p>{html.escape(line)}</p>" for line in self.say(self.found))
        rest = "".join(f"<p>{html.escape(line)}</p>" for line in self.more(self.found))
        folded = f"<details><summary>Every value in words</summary>{rest}</details>" if rest else ""
        self.words.value = f'<div class="ws-words"><div role="status">{told}</div>{self.table_html(self.found)}{folded}</div>'

    def _shown(self) -> Found:
        if self.found is None:
            raise EngineError(self.refusal or "nothing is shown yet.")
        return self.found

    def text(self) -> str:
        """Return everything the panel shows, in words: its settings and what follows from them."""
        set_to = "; ".join(f"{label_of(control)}: {words_of(control)}" for control in self.controls.values())
        found = self._shown() if not self.refusal else None
        told = [self.refusal] if found is None else [*self.say(found), *self.more(found)]
        return "\n".join([f"{self.title}. {set_to}.", *told])

    def figure(self, dark: bool = False) -> Any:
        """Return the drawing as a matplotlib figure, for print."""
        from course.panels.kit.paper import paper

        return paper(self.draw(self._shown()), dark)

    def _terms_html(self) -> str:
        if not self.terms:
            return ""
        return f"<details><summary>Words used here</summary>{terms_html(self.terms)}</details>"


def terms_html(terms: Sequence[str]) -> str:
    """Return terms with their meanings as an HTML list."""
    rows = []
    for term in terms:
        try:
            said = meaning(term)
        except Unknown as unknown:  # a term is missing: the panel still works, and a test says so
            said = str(unknown)
        rows.append(f"<dt>{html.escape(term)}</dt><dd>{html.escape(said)}</dd>")
    return f"<dl>{''.join(rows)}</dl>"


def label_of(control: Any) -> str:
    """Return a control's label."""
    return str(getattr(control, "label", "") if hasattr(control, "shown") else control.description)


def words_of(control: Any) -> str:
    """Return what a control stands at, in its own words."""
    if hasattr(control, "shown"):
        return str(control.shown)
    if isinstance(control, widgets.Checkbox):
        return "yes" if control.value else "no"
    return str(control.label)
