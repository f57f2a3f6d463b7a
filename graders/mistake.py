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
