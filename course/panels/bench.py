"""The bench of one slip: the scene, a line for notes, and the logbook, one under the other."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

import ipywidgets as widgets

from course.panels.checking import CheckButton
from course.panels.logbook import logbook_html
from course.panels.scene import Scene, SlipLike

WIDE = {"width": "auto"}  # not 100 %: widgets have margins


class Bench(widgets.VBox):
    """What a learner sees and touches of a slip; ``text()`` says it in words, ``figure()`` draws it."""

    def __init__(self, slip: SlipLike, look: bool = False) -> None:
        """``look`` lets the learner show the potential of the water: for teaching, never where it is to be measured."""
        self._slip = slip
        self.scene = Scene(slip, look_allowed=look)
        self.logbook = widgets.HTML(logbook_html(self.scene.view["logbook"]), layout=WIDE)
        self.note = widgets.Text(
            description="Note",
            placeholder="what you saw, in your own words",
            layout={"width": "60%", "min_width": "240px"},
        )
        self.about = widgets.Dropdown(description="about", options=self._rows(), layout={"width": "260px"})
        self.write = CheckButton(
            "Write the note",
            [self.note, self.about],
            self._write_note,
            busy="Writing …",
            layout={"margin": "2px 0 2px 8px", "width": "auto"},
        )
        self.refusal = widgets.HTML("")
        self.scene.observe(lambda _change: self._follow(), "shown")
        line = widgets.HBox(
            [self.note, self.about, self.write], layout={"flex_flow": "row wrap", "align_items": "center"}
        )
        for name in ("wetslip", "ws-form", "ws-note"):
            line.add_class(name)
        super().__init__([self.scene, line, self.refusal, self.logbook], layout=WIDE)

    def _rows(self) -> list[tuple[str, int]]:
        rows = self.scene.view["logbook"]
        return [
            ("nothing in particular", 0),
            *((f"row {row['ordinal']}", row["ordinal"]) for row in reversed(rows)),
        ]

    def _follow(self) -> None:
        self.logbook.value = logbook_html(self.scene.view["logbook"])
        chosen, options = self.about.value, self._rows()
        self.about.options = options
        self.about.value = chosen if any(chosen == value for _, value in options) else 0

    def _write_note(self) -> None:
        text = self.note.value.strip()
        if not text:
            self.refusal.value = "<p>There is nothing in the note yet.</p>"
            return
        args: dict[str, Any] = {"text": text, "about": self.about.value or None}
        refused = self.scene.act("note", args, str(uuid4()))
        self.refusal.value = ""  # a refusal of the slip is said in the scene
        if not refused:
            self.note.value = ""
            self.about.value = 0

    def refresh(self) -> None:
        """Show what the slip is now, after it was changed from elsewhere."""
        self.scene.refresh()

    def text(self) -> str:
        """Return everything the slip shows, in words, and the look layer's while that is shown."""
        return "\n".join([self._slip.text(), *self.scene.layer.get("words", ())])

    def figure(self, dark: bool = False) -> Any:
        """Return the drawing as a matplotlib figure, for print."""
        from course.panels.figure.whole import scene_figure

        return scene_figure(self.scene.view, dark=dark)
