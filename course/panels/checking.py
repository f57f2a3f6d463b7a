"""The button under a form. It sends what stands in the form as it is pressed, together with the press.

A box of ipywidgets sends what was typed by itself, and holds it back while its last message is under way. On a busy machine
the press of an ordinary button overtakes it, and what is marked and written down is not what stands on the screen.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import Any

import ipywidgets as widgets
import traitlets

from course.panels.entries import OrderEntry
from course.panels.hearing import Hearing, with_ears

TYPED = (widgets.Text, widgets.Textarea, widgets.Checkbox)
CHOSEN = (widgets.RadioButtons, widgets.Dropdown)


def boxes(entries: Sequence[Any]) -> Iterator[tuple[Any, str]]:
    """Yield what a learner fills in, as (widget, name of the trait that holds it)."""
    for entry in entries:
        if isinstance(entry, (*TYPED, OrderEntry)):
            yield entry, "value"
        elif isinstance(entry, CHOSEN):
            yield entry, "index"
        elif isinstance(entry, widgets.Box):
            yield from boxes(entry.children)


class CheckButton(Hearing):
    """A button for a form of ``entries``; ``pressed`` is called once they hold what stood on the screen."""

    _esm = with_ears(Path(__file__).with_name("checking.js"))
    label = traitlets.Unicode().tag(sync=True)
    busy = traitlets.Unicode("Checking …").tag(sync=True)  # what it says till it is answered
    asks = traitlets.List(traitlets.Any()).tag(sync=True)  # of [model id, trait]
    answered = traitlets.Int(0).tag(sync=True)

    def __init__(
        self, label: str, entries: Sequence[Any], pressed: Callable[[], object], **traits: Any
    ) -> None:
        self._boxes = {box.model_id: (box, trait) for box, trait in boxes(entries)}
        self._pressed = pressed
        asks = [[name, trait] for name, (_, trait) in self._boxes.items()]
        layout = {"margin": "12px 0 0", "width": "auto"}
        super().__init__(**{"label": label, "asks": asks, "layout": layout, **traits})
        self.on_msg(self._on_message)

    def click(self) -> None:
        """Press it."""
        try:
            self._pressed()
        finally:
            self.answered += 1

    def _on_message(self, _widget: Any, content: Any, _buffers: Any) -> None:
        stood = content.get("stood") if isinstance(content, dict) else None
        for name, value in stood.items() if isinstance(stood, dict) else ():
            box, trait = self._boxes.get(name, (None, ""))
            try:
                if box is not None:
                    box.set_trait(trait, value)
            except traitlets.TraitError:
                continue  # nothing a page sends
        self.click()
