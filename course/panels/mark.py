"""The line under an exercise that says how it stands: put up to date whenever the form above it is checked."""

from __future__ import annotations

import html
from collections.abc import Sequence

import ipywidgets as widgets

# the cell's number is for whoever marks; a learner reads the line
STYLE = "<style>.jp-OutputArea:has(.ws-mark) .jp-OutputArea-executeResult { display: none; }</style>"


class MarkLine(widgets.HTML):
    """One sentence, and under it, folded away, what is said about each part."""

    def __init__(self) -> None:
        super().__init__("", layout={"width": "auto"})
        self.add_class("ws-mark")

    def show(self, sentence: str, lines: Sequence[str] = ()) -> None:
        """Say how the exercise stands; every text is escaped."""
        said = html.escape(sentence)
        if lines:
            items = "".join(f"<li>{html.escape(line)}</li>" for line in lines)
            said = f"<details><summary>{said}</summary><ul>{items}</ul></details>"
        self.value = f"{STYLE}<div class='wetslip ws-standing'>{said}</div>"
