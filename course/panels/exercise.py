"""One exercise on the page: what is asked, the boat's record card, the bench, and the answer form under it."""

from __future__ import annotations

import html
from collections.abc import Mapping

import ipywidgets as widgets

from course.panels.bench import Bench
from course.panels.forms import AnswerForm


def _heading(title: str, prompt: str, card: Mapping[str, str]) -> str:
    rows = "".join(
        f"<tr><th scope='row'>{html.escape(k)}</th><td>{html.escape(v)}</td></tr>" for k, v in card.items()
    )
    return (
        f"<div class='wetslip ws-asked'><h3>{html.escape(title)}</h3><p>{html.escape(prompt)}</p>"
        f"<table><caption>Record card</caption>{rows}</table></div>"
    )


class ExercisePanel(widgets.VBox):
    """An exercise as a learner sees it: heading, bench and form, one under the other."""

    def __init__(
        self, title: str, prompt: str, card: Mapping[str, str], bench: Bench, form: AnswerForm
    ) -> None:
        self.bench = bench
        self.form = form
        wide = {"width": "auto"}  # not 100 %: widgets have margins
        super().__init__([widgets.HTML(_heading(title, prompt, card), layout=wide), bench, form], layout=wide)
        self.add_class("ws-exercise")
