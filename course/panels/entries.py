"""Entries of a form that are more than one box: several choices to tick, and steps to put in order.

Each holds its answer as text, values with commas between, so that a form treats it like any other entry.
"""

from __future__ import annotations

import html
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import ipywidgets as widgets

WIDE = {"width": "auto"}
Choices = Sequence[tuple[str, str]]


def _split(text: str) -> list[str]:
    return [value for raw in text.split(",") if (value := raw.strip())]


def _caption(text: str) -> Any:
    return widgets.HTML(f"<p class='ws-caption'>{html.escape(text)}</p>", layout=WIDE)


class SeveralEntry(widgets.VBox):
    """Boxes to tick, all that hold."""

    def __init__(self, label: str, choices: Choices, initial: str = "") -> None:
        ticked = set(_split(initial))
        self.boxes = {
            value: widgets.Checkbox(
                value=value in ticked, description=words, indent=False, layout={"width": "auto"}
            )
            for value, words in choices
        }
        super().__init__([_caption(label), *self.boxes.values()], layout=WIDE)
        self.add_class("ws-several")

    @property
    def value(self) -> str:
        """Return what is ticked, with commas between; nothing ticked is no answer."""
        return ", ".join(value for value, box in self.boxes.items() if box.value)


@dataclass(frozen=True)
class Line:
    """One place in an order: its two buttons and the words of the step that stands there."""

    up: widgets.Button
    down: widgets.Button
    words: widgets.HTML

    def show(self, place: int, last: int, step: str) -> None:
        """Show the step that stands here."""
        self.up.disabled, self.down.disabled = place == 0, place == last
        self.up.tooltip, self.down.tooltip = f"Move up: {step}", f"Move down: {step}"
        self.words.value = f"{place + 1}. {html.escape(step)}"

    def focus(self, by: int) -> None:
        """Put the focus where the step can be moved on in the same direction, or back from an end."""
        wanted, other = (self.up, self.down) if by < 0 else (self.down, self.up)
        (other if wanted.disabled else wanted).focus()


class OrderEntry(widgets.VBox):
    """Steps with a button each to move them up and down; the focus goes with the step, for who has only a keyboard."""

    def __init__(self, label: str, choices: Choices, initial: str = "") -> None:
        self.words = dict(choices)
        known = _split(initial)
        self.given = sorted(known) == sorted(self.words)  # an order that nobody touched is no answer
        self.order = known if self.given else list(self.words)
        self.lines = [self._line(place) for place in range(len(self.order))]
        rows = [
            widgets.HBox([line.up, line.down, line.words], layout={"width": "auto", "align_items": "center"})
            for line in self.lines
        ]
        super().__init__([_caption(label), *rows], layout=WIDE)
        self.add_class("ws-order")
        self._show()

    @property
    def value(self) -> str:
        """Return the order as it stands, with commas between; as long as no step was moved there is no answer."""
        return ", ".join(self.order) if self.given else ""

    def move(self, value: str, by: int) -> None:
        """Move a step up (-1) or down (1); at the end of the list it stays."""
        place = self.order.index(value)
        target = place + by
        if 0 <= target < len(self.order):
            self.order.insert(target, self.order.pop(place))
            self.given = True
            self._show()
            self.lines[target].focus(by)

    def _show(self) -> None:
        for place, line in enumerate(self.lines):
            line.show(place, len(self.lines) - 1, self.words[self.order[place]])

    def _line(self, place: int) -> Line:
        def button(sign: str, by: int) -> widgets.Button:
            made = widgets.Button(description=sign, layout={"width": "44px", "height": "44px"})
            made.on_click(lambda _button: self.move(self.order[place], by))
            return made

        return Line(button("↑", -1), button("↓", 1), widgets.HTML(layout={"width": "auto"}))


def list_entry(kind: str, label: str, choices: Choices, initial: str) -> Any:
    """Return the entry for a field of kind several or order."""
    return (SeveralEntry if kind == "several" else OrderEntry)(label, choices, initial)
