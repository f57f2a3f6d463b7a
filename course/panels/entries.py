"""Entries of a form that are more than one box: several choices to tick, and steps to put in order.

Each holds its answer as text, values with commas between, so that a form treats it like any other entry.
"""

from __future__ import annotations

import html
from collections.abc import Sequence
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


class OrderEntry(widgets.VBox):
    """Steps with a button each to move them up and down; works by keyboard as any button does."""

    def __init__(self, label: str, choices: Choices, initial: str = "") -> None:
        self.words = dict(choices)
        known = _split(initial)
        self.order = known if sorted(known) == sorted(self.words) else list(self.words)
        self.caption = _caption(label)
        super().__init__([], layout=WIDE)
        self.add_class("ws-order")
        self._show()

    @property
    def value(self) -> str:
        """Return the order as it stands, with commas between."""
        return ", ".join(self.order)

    def move(self, value: str, by: int) -> None:
        """Move a step up (-1) or down (1); at the end of the list it stays."""
        place = self.order.index(value)
        target = place + by
        if 0 <= target < len(self.order):
            self.order.insert(target, self.order.pop(place))
            self._show()

    def _show(self) -> None:
        self.children = (self.caption, *(self._line(k, value) for k, value in enumerate(self.order)))

    def _line(self, place: int, value: str) -> Any:
        def button(sign: str, by: int, name: str) -> Any:
            end = place + by < 0 or place + by >= len(self.order)
            tip = f"Move step {place + 1} {name}"
            made = widgets.Button(
                description=sign, tooltip=tip, disabled=end, layout={"width": "44px", "height": "44px"}
            )
            made.on_click(lambda _button: self.move(value, by))
            return made

        words = widgets.HTML(f"{place + 1}. {html.escape(self.words[value])}", layout={"width": "auto"})
        return widgets.HBox(
            [button("↑", -1, "up"), button("↓", 1, "down"), words],
            layout={"width": "auto", "align_items": "center"},
        )


def list_entry(kind: str, label: str, choices: Choices, initial: str) -> Any:
    """Return the entry for a field of kind several or order."""
    return (SeveralEntry if kind == "several" else OrderEntry)(label, choices, initial)
