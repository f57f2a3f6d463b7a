"""When to look at something again: boxes of 1, 2, 4, 8 and 16 days (Leitner). For facts, symbols and limits, not for hunts."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

DAYS = (1, 2, 4, 8, 16)


@dataclass(frozen=True)
class Card:
    """Something to be kept in mind: which box it lies in (0 the first), and when it is due."""

    box: int = 0
    due: date = date.min

    def answered(self, right: bool, today: date) -> Card:
        """Return the card after an answer: right moves it a box on, wrong puts it back into the first."""
        box = min(self.box + 1, len(DAYS) - 1) if right else 0
        return Card(box, today + timedelta(days=DAYS[box]))


def first_look(today: date) -> Card:
    """Return a card that is met for the first time: it begins in the first box, whatever the answer."""
    return Card(0, today + timedelta(days=DAYS[0]))


def after(answers: Iterable[tuple[date, bool]]) -> Card:
    """Return the card after a row of answers, each with its day."""
    card: Card | None = None
    for day, right in answers:
        card = first_look(day) if card is None else card.answered(right, day)
    return card or Card()
