"""Work on paper: what is asked, what is given in tables, the hints, and the answer form."""

from __future__ import annotations

import html
from collections.abc import Callable, Mapping, Sequence
from typing import Any

import ipywidgets as widgets

from course.panels.forms import AnswerForm

WIDE = {"width": "auto"}
Given = tuple[str, Sequence[str], Sequence[Sequence[str]]]  # title, column heads, rows


def _table(title: str, columns: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    head = "".join(f"<th scope='col'>{html.escape(text)}</th>" for text in columns)
    body = "".join(
        "<tr>" + "".join(f"<td>{html.escape(cell)}</td>" for cell in row) + "</tr>" for row in rows
    )
    return f"<table><caption>{html.escape(title)}</caption><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>"


def asked_html(title: str, prompt: str, card: Mapping[str, str], given: Sequence[Given]) -> str:
    """Return the head of an exercise: title, what is asked, a card of facts and the tables; every text escaped."""
    facts = "".join(
        f"<tr><th scope='row'>{html.escape(name)}</th><td>{html.escape(text)}</td></tr>"
        for name, text in card.items()
    )
    paper = f"<table><caption>Record card</caption>{facts}</table>" if facts else ""
    tables = "".join(_table(*table) for table in given)
    said = "".join(f"<p>{html.escape(line)}</p>" for line in prompt.split("\n") if line.strip())
    return f"<div class='wetslip ws-asked'><h3>{html.escape(title)}</h3>{said}{paper}{tables}</div>"


class HintBox(widgets.VBox):
    """A button that tells one hint after another; ``take`` writes down that it was taken and returns its words."""

    def __init__(self, take: Callable[[int], str], steps: int, price: str, taken: Sequence[str] = ()) -> None:
        self._take = take
        self._steps = steps
        self.told = list(taken)
        self.button = widgets.Button(layout={"width": "180px", "height": "44px"})
        self.button.on_click(lambda _button: self.next())
        self.price = widgets.HTML(f"<p>{html.escape(price)}</p>", layout=WIDE)
        self.words = widgets.HTML("", layout=WIDE)
        super().__init__([self.button, self.price, self.words], layout=WIDE)
        for name in ("wetslip", "ws-form", "ws-hints"):
            self.add_class(name)
        self._show()

    def next(self) -> None:
        """Tell the next hint."""
        if len(self.told) < self._steps:
            self.told.append(self._take(len(self.told) + 1))
            self._show()

    def _show(self) -> None:
        left = self._steps - len(self.told)
        self.button.description = f"Hint {len(self.told) + 1} of {self._steps}" if left else "No more hints"
        self.button.disabled = not left
        lines = "".join(f"<li>{html.escape(line)}</li>" for line in self.told)
        self.words.value = (
            f"<div role='status'><ol class='wetslip ws-told'>{lines}</ol></div>" if lines else ""
        )


class DeskPanel(widgets.VBox):
    """An exercise done on paper, as a learner sees it."""

    def __init__(self, head: str, form: AnswerForm, hints: HintBox) -> None:
        self.form = form
        self.hints = hints
        shown: list[Any] = [widgets.HTML(head, layout=WIDE), hints, form]
        super().__init__(shown, layout=WIDE)
        self.add_class("ws-exercise")
