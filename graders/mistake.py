"""A wrong turn that we can name, and the ones every exercise knows."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Mistake:
    """A wrong turn that we can name, with a sentence that teaches. ``also`` names another that gives the same answer, if any."""

    name: str
    sentence: str
    also: str = ""


UNNAMED = "unnamed"  # a wrong answer that matches no mistake we know: it is told how to go about it
FOLLOWS = "follows_from_earlier"  # rightly worked out from an earlier value that was wrong
NOT_ANSWERED = Mistake("blank", "Nothing is written here.")
NOT_CHOSEN = Mistake("blank", "Nothing is chosen here.")
NOT_TICKED = Mistake("blank", "Nothing is ticked here; at least one of them holds.")
NOT_ORDERED = Mistake("blank", "The steps still stand as they were shown to you: move them into order.")
NO_CHOICE = Mistake("unread", "What is written here is none of the choices.")
NO_ORDER = Mistake("unread", "That is no order of the steps: each of them has to be in it, once.")
