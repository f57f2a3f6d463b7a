"""Entries of a form that are more than one box: several choices to tick, and steps to put in order.

Each holds its answer as text, values with commas between, so that a form treats it like any other entry.
"""

from __future__ import annotations

import html
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import ipywidgets as widgets
import traitlets

from course.panels.hearing import Hearing, with_ears

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


class OrderEntry(Hearing):
    """Steps with two buttons each to move them up and down; the moving is done in the page, at once.

    ``value`` is the order, values with commas between; as long as no step was moved there is no answer.
    """

    _esm = with_ears(Path(__file__).with_name("order.js"))
    label = traitlets.Unicode().tag(sync=True)
    steps: traitlets.List[Any] = traitlets.List().tag(sync=True)  # of [value, words], as they were given
    value = traitlets.Unicode("").tag(sync=True)

    def __init__(self, label: str, choices: Choices, initial: str = "") -> None:
        steps = [list(choice) for choice in choices]
        super().__init__(label=label, steps=steps, layout=WIDE)
        if sorted(_split(initial)) == sorted(dict(choices)):
            self.value = ", ".join(_split(initial))

    @traitlets.validate("value")
    def _each_once(self, proposal: Any) -> str:
        value = str(proposal["value"])
        if value and sorted(_split(value)) != sorted(step for step, _ in self.steps):
            raise traitlets.TraitError(f"{value!r} does not name each step of {self.label!r} once.")
        return value


def list_entry(kind: str, label: str, choices: Choices, initial: str) -> Any:
    """Return the entry for a field of kind several or order."""
    return (SeveralEntry if kind == "several" else OrderEntry)(label, choices, initial)
