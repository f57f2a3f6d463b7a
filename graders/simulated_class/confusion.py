"""Counting what was made against what was told."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import NamedTuple

from graders.mistake import NOT_ANSWERED, UNNAMED

Outcome = str  # "itself", "either" (it or another, both being said), "another" or "unnamed"
ITSELF, EITHER, ANOTHER, NAMELESS = "itself", "either", "another", "unnamed"


class Told(NamedTuple):
    """One wrong answer: where it was given, how it came about, and what the marking called it."""

    exercise: str
    part: str
    kind: str
    way: str
    called: str
    told: str
    names: frozenset[str]
    also: str = ""

    @property
    def outcome(self) -> Outcome:
        """Return whether it was recognised as what it is, as one of two things, as something else, or not at all."""
        if self.told == UNNAMED:
            return NAMELESS
        if self.also and self.names & {self.told, self.also}:
            return EITHER
        return ITSELF if self.told in self.names else ANOTHER

    @property
    def said(self) -> str:
        """Return what it was told as: one name, or one of two."""
        return f"{self.told} or {self.also}" if self.also else self.told

    @property
    def mistake(self) -> str:
        """Return what was made, by its full name: a slip is the same slip in every exercise."""
        return self.called if self.way == "careless" else f"{self.exercise} {self.part} {self.called}"


@dataclass
class Confusion:
    """All wrong answers of a class that were not blank, and how many blanks and right parts there were besides."""

    wrong: list[Told] = field(default_factory=list)
    blank: int = 0
    right: int = 0

    def add(self, one: Told) -> None:
        """Count a wrong answer; a blank is counted apart, for there is nothing in it to understand."""
        if one.told == NOT_ANSWERED.name:
            self.blank += 1
        else:
            self.wrong.append(one)

    @property
    def named(self) -> float:
        """Return the share of wrong answers that were given a name, whichever."""
        return 1 - self.share(NAMELESS)

    def share(self, outcome: Outcome) -> float:
        """Return the share of wrong answers with an outcome."""
        return sum(one.outcome == outcome for one in self.wrong) / max(1, len(self.wrong))

    def by(self, key: Callable[[Told], str]) -> dict[str, Counter[Outcome]]:
        """Return the outcomes counted by a key, in the order of the key."""
        found: dict[str, Counter[Outcome]] = {}
        for one in self.wrong:
            found.setdefault(key(one), Counter())[one.outcome] += 1
        return dict(sorted(found.items()))

    def misnamed(self, fewest: int) -> dict[str, float]:
        """Return for each mistake made at least so often the share that was taken for another, where any was; the worst first."""
        counted = self.by(lambda one: one.mistake)
        shares = {
            name: outcomes[ANOTHER] / outcomes.total()
            for name, outcomes in counted.items()
            if outcomes[ANOTHER] and outcomes.total() >= fewest
        }
        return dict(sorted(shares.items(), key=lambda pair: -pair[1]))

    def pairs(self) -> Counter[tuple[str, str]]:
        """Return how often each mistake was told as which, where that is not itself alone."""
        return Counter((one.mistake, one.said) for one in self.wrong if one.outcome != ITSELF)
