"""Answer forms: what the learner typed goes on as it was typed, and what comes back is said in words.

A panel knows no marking: the form is handed a ``check`` that takes the raw strings and returns a Reply.
"""

from __future__ import annotations

import html
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

import ipywidgets as widgets

from course.panels.checking import CheckButton
from course.panels.entries import list_entry

Verdict = Literal["right", "partly", "wrong", "open", "unread", "note"]
VERDICT_WORDS: dict[str, str] = {
    "right": "✓ Right",
    "partly": "◐ Partly right",
    "wrong": "✗ Not right",
    "open": "– Not answered",
    "unread": "? Could not be read",
    "note": "Note",
}
MANY_CHOICES = 5
UNCHOSEN = "nothing chosen yet"


@dataclass(frozen=True)
class Field:
    """One thing asked for: ``unit`` is shown beside a number, ``choices`` are (value, words) pairs."""

    name: str
    label: str
    unit: str = ""
    kind: Literal["number", "choice", "several", "order", "text"] = "number"
    choices: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class ReplyLine:
    """What is said about one part of an answer."""

    part: str
    verdict: Verdict
    text: str


@dataclass(frozen=True)
class Reply:
    """What is said about a whole answer."""

    lines: tuple[ReplyLine, ...]
    summary: str = ""


def _verdict(line: ReplyLine) -> str:
    said = VERDICT_WORDS[line.verdict]
    if not line.part:
        return f"<strong>{said}.</strong> "
    return f"<strong>{said}: {html.escape(line.part)}</strong>" + ("<br>" if line.text else "")


def reply_html(reply: Reply) -> str:
    """Return a reply as HTML: verdict in sign and word, never by colour alone; every text escaped."""
    items = "".join(
        f'<li class="ws-{line.verdict}">{_verdict(line)}{html.escape(line.text)}</li>' for line in reply.lines
    )
    summary = f"<p>{html.escape(reply.summary)}</p>" if reply.summary else ""
    return f'<div class="wetslip ws-reply" role="status">{summary}<ul>{items}</ul></div>'


def _label(field: Field) -> str:
    unit = field.unit.replace("degC", "°C")
    return f"{field.label} [{unit}]" if unit else field.label


def _entry(field: Field, initial: str) -> Any:
    wide: dict[str, Any] = {
        "description": _label(field),
        "style": {"description_width": "initial"},
        "layout": {"width": "auto", "max_width": "640px"},
    }
    if field.kind in ("several", "order"):
        return list_entry(field.kind, _label(field), field.choices, initial)
    if field.kind == "choice":
        if not field.choices:
            raise ValueError(
                f"The field {field.name!r} is a choice and names no choices; at least one is needed."
            )
        options = [(words, value) for value, words in field.choices]
        known = initial if initial in dict(field.choices) else None
        if len(field.choices) <= MANY_CHOICES:
            return widgets.RadioButtons(options=options, value=known, **wide)
        return widgets.Dropdown(options=[(UNCHOSEN, ""), *options], value=known or "", **wide)
    if field.kind == "text":
        return widgets.Textarea(value=initial, rows=7, **wide)
    entry = widgets.Text(value=initial, continuous_update=False, **wide)
    entry.add_class("ws-figure")
    return entry


class AnswerForm(widgets.VBox):
    """A form for one exercise.

    ``check`` is called with the raw strings by field name ('' where nothing was entered) and its Reply is
    shown; the form keeps what was typed. ``initial`` puts earlier answers back; ``tell`` is called with each
    reply after it is shown. ``note`` is said until the first reply.
    """

    def __init__(
        self,
        title: str,
        fields: Sequence[Field],
        check: Callable[[dict[str, str]], Reply],
        tell: Callable[[Reply], None] | None = None,
        initial: Mapping[str, str] | None = None,
        note: str = "",
    ) -> None:
        names = [field.name for field in fields]
        if len(set(names)) != len(names):
            raise ValueError(
                f"The form {title!r} names a field twice ({', '.join(names)}); each name may stand once."
            )
        earlier = initial or {}
        self._check = check
        self._tell = tell
        self.entries: dict[str, Any] = {
            field.name: _entry(field, earlier.get(field.name, "")) for field in fields
        }
        self.button = CheckButton("Check my answer", list(self.entries.values()), self.submit)
        self.reply = widgets.HTML(reply_html(Reply((), note)) if note else "", layout={"width": "auto"})
        heading = widgets.HTML(f"<h3>{html.escape(title)}</h3>")
        super().__init__([heading, *self.entries.values(), self.button, self.reply], layout={"width": "auto"})
        for name in ("wetslip", "ws-form"):
            self.add_class(name)

    @property
    def answers(self) -> dict[str, str]:
        """Return what stands in the form, as typed."""
        return {name: entry.value or "" for name, entry in self.entries.items()}

    def submit(self) -> Reply:
        """Have the answers checked and show what is said about them; return it."""
        try:
            reply = self._check(self.answers)
        except (
            ValueError
        ) as refusal:  # an answer that cannot be taken, for instance a folder that cannot be written
            reply = Reply((), str(refusal))
        self.reply.value = reply_html(reply)
        if self._tell is not None:
            self._tell(reply)
        return reply
