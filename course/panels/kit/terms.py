"""The glossary as a panel: choose a term, read it in one sentence, go on to its neighbours."""

from __future__ import annotations

import html
from typing import Any

import ipywidgets as widgets

from course.boats.glossary import Unknown, meaning, related, terms
from course.boats.wording import capital
from course.panels.kit.base import choice, style, terms_html


class Glossary(widgets.VBox):
    """Control: term. Buttons lead to related terms; all terms stand below, folded away."""

    def __init__(self, term: str = "galvanic corrosion") -> None:
        named = next((known for known in terms() if meaning(known) == meaning(term)), term)
        head = widgets.HTML(f"<style>{style()}</style><h3>Glossary</h3>")
        self.term: Any = choice("term", [(known, known) for known in terms()], named)
        self.meaning = widgets.HTML("", layout={"width": "auto"})
        self.onwards = widgets.Box([], layout={"flex_flow": "row wrap", "grid_gap": "8px"})
        whole = widgets.HTML(f"<details><summary>All terms</summary>{terms_html(terms())}</details>")
        super().__init__([head, self.term, self.meaning, self.onwards, whole], layout={"width": "auto"})
        self.add_class("wetslip")
        self.add_class("ws-kit")
        self.term.observe(lambda _change: self._follow(), "value")
        self._follow()

    def _follow(self) -> None:
        said = html.escape(f"{capital(self.term.value)}: {meaning(self.term.value)}")
        self.meaning.value = f'<div class="ws-words"><div role="status"><p>{said}</p></div></div>'
        self.onwards.children = tuple(self._button(other) for other in related(self.term.value))

    def _button(self, other: str) -> Any:
        button = widgets.Button(description=f"see {other}", layout={"width": "auto", "height": "44px"})
        button.on_click(lambda _button: setattr(self.term, "value", other))
        return button

    def text(self) -> str:
        """Return the term, its meaning, and where to go on."""
        onwards = ", ".join(related(self.term.value))
        return f"{self.term.value}: {meaning(self.term.value)}" + (
            f" See also: {onwards}." if onwards else ""
        )


def glossary(term: str = "") -> Any:
    """Return a term's meaning in one sentence, or, without a term, the glossary to be shown.

    A word that is not there is answered with the nearest that is.
    """
    if not term:
        return Glossary()
    try:
        return meaning(term)
    except Unknown as unknown:
        return f"{capital(str(unknown))}"
