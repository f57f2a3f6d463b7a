"""Below an exercise: fetch a copy of it for practice, with another boat or other numbers, and find the earlier ones again."""

from __future__ import annotations

import html
from collections.abc import Callable, Sequence
from typing import Any

import ipywidgets as widgets

WIDE = {"width": "auto"}
NONE = 0


class PracticeBox(widgets.VBox):
    """A button for a fresh copy, a list of those there are, and the one that is shown.

    ``fetch`` is given a number from 1 and returns what is shown of that copy, or raises ValueError with one sentence, or OSError.
    """

    def __init__(self, noun: str, begun: Sequence[int], fetch: Callable[[int], Any]) -> None:
        self._noun, self._fetch = noun, fetch
        self._numbers = sorted(begun)
        self._made: dict[int, Any] = {}
        self.another = widgets.Button(description=f"Another {noun} for practice", layout=WIDE)
        self.another.on_click(lambda _button: self.fetch_another())
        self.chosen = widgets.Dropdown(
            description="For practice", style={"description_width": "initial"}, layout=WIDE
        )
        self.said = widgets.HTML("", layout=WIDE)
        row = widgets.HBox(
            [self.another, self.chosen], layout={"flex_flow": "row wrap", "align_items": "center"}
        )
        head = widgets.VBox([row, self.said], layout=WIDE)
        for name in ("wetslip", "ws-form", "ws-practice"):
            head.add_class(name)
        self.shown = widgets.VBox([], layout=WIDE)
        super().__init__([head, self.shown], layout=WIDE)
        self._list(NONE)
        self.chosen.observe(lambda change: self._show(change["new"]), "value")

    def fetch_another(self) -> None:
        """Fetch a copy that was not there yet, and show it."""
        number = max(self._numbers, default=0) + 1
        self._numbers.append(number)
        self._list(number)

    def _list(self, number: int) -> None:
        """List what there is, with one of them chosen."""
        words = [(f"{self._noun} {n}", n) for n in self._numbers]
        self.chosen.options = [("none shown", NONE), *words]
        self.chosen.value = number
        self.chosen.layout.display = "" if words else "none"

    def _show(self, number: int | None) -> None:
        self.shown.children = ()
        if not number:
            self._say("")
            return
        try:
            made = self._made[number] = self._made.get(number) or self._fetch(number)
        except (ValueError, OSError) as refusal:
            self._say(str(refusal))
            return
        self.shown.children = (made,)
        kept = "your own boat and her logbook stay" if self._noun == "boat" else "what you did above stays"
        left = "you left them" if self._noun == "boat" else "you left it"
        self._say(f"Practice {self._noun} {number} stands below. It is for practice only: {kept} as {left}.")

    def _say(self, sentence: str) -> None:
        self.said.value = f"<p role='status'>{html.escape(sentence)}</p>" if sentence else ""
