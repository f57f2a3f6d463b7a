"""From a seed to numbers: what makes one learner's boat differ from another's.

seed = SHA-256 over scheme version, purpose, cohort, learner, exercise and attempt. Same seed, same numbers, everywhere:
draws use whole-number hashing only, and every drawn number is rounded to a decimal or taken from a list.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field
from typing import Literal

SCHEME = "wetslip seed 1"
Purpose = Literal["practice", "assignment", "paper"]


def seed_for(purpose: str, cohort: str, learner: str, exercise: str, attempt: int) -> str:
    """Return the seed, 64 hex digits, of one learner's try at one exercise."""
    parts = (SCHEME, purpose, cohort, learner, exercise, str(attempt))
    text = "\x1f".join(f"{len(part)}:{part}" for part in parts)
    return hashlib.sha256(text.encode("utf-8")).hexdigest()


@dataclass(frozen=True)
class Draw:
    """Numbers drawn from a seed by name, so that adding one changes no other."""

    seed: str

    def number(self, name: str, low: float, high: float, decimals: int) -> float:
        """Return a number between two bounds, rounded."""
        digest = hashlib.sha256(f"{self.seed}|{name}".encode()).digest()
        return round(low + (high - low) * int.from_bytes(digest[:6], "big") / 2**48, decimals)

    def choice(self, name: str, options: tuple[str, ...]) -> str:
        """Return one of several options."""
        digest = hashlib.sha256(f"{self.seed}|{name}".encode()).digest()
        return options[int.from_bytes(digest[:6], "big") % len(options)]

    def between(self, name: str, bounds: dict[str, float], decimals: int) -> float:
        """Return a number within the low and high of a dataset's range."""
        return self.number(name, bounds["low"], bounds["high"], decimals)

    def one_of(self, name: str, options: tuple[float, ...]) -> float:
        """Return one number of a list."""
        digest = hashlib.sha256(f"{self.seed}|{name}".encode()).digest()
        return options[int.from_bytes(digest[:6], "big") % len(options)]


@dataclass(frozen=True)
class CountingDraw(Draw):
    """A draw that notes how many values each number it is asked for can have."""

    counted: dict[str, int] = field(default_factory=dict)

    def number(self, name: str, low: float, high: float, decimals: int) -> float:
        """Return a number as `Draw.number` does."""
        self.counted[name] = 1 + int((high - low) * 10**decimals + 1e-9)
        return super().number(name, low, high, decimals)

    def one_of(self, name: str, options: tuple[float, ...]) -> float:
        """Return a number as `Draw.one_of` does."""
        self.counted[name] = len(options)
        return super().one_of(name, options)
