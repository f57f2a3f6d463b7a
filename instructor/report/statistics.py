"""What a class's first answers say of the questions: difficulty, discrimination, consistency.

Every function takes a table of shares earned, a row a learner and a column an item, from 0 to 1. Bounds of the words:
Ebel's for discrimination; 0.75 and 0.64 for consistency. No verdict is spoken from fewer than 30 learners.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Table = NDArray[np.float64]

LEAST = 30  # learners from which a verdict is spoken
TOO_HARD, TOO_EASY = 0.2, 0.95
GOOD, FAIR, POOR = 0.40, 0.30, 0.20
CONSISTENT, DOUBTFUL = 0.75, 0.64


@dataclass(frozen=True)
class Item:
    """One item: mean share earned, and its correlation with the total and with the total of the other items.

    A correlation is None where it has no meaning: all earned the same, or there are fewer than three learners.
    """

    name: str
    n: int
    difficulty: float
    with_total: float | None
    with_rest: float | None

    @property
    def verdict(self) -> str:
        """What the numbers say, or nothing while there are too few."""
        if self.n < LEAST:
            return ""
        words = [_discrimination(self.with_rest)]
        if self.difficulty < TOO_HARD:
            words.append("very hard")
        if self.difficulty > TOO_EASY:
            words.append("nearly everybody is right")
        return "; ".join(filter(None, words))

    @property
    def to_repair(self) -> bool:
        """Whether the numbers ask for a look at the item itself."""
        poor = self.with_rest is not None and self.with_rest < POOR
        return self.n >= LEAST and (self.difficulty < TOO_HARD or (poor and self.difficulty <= TOO_EASY))


def _discrimination(value: float | None) -> str:
    if value is None:
        return "tells nobody apart"
    for bound, words in (
        (GOOD, "tells learners apart very well"),
        (FAIR, "tells them apart well"),
        (POOR, "marginal"),
    ):
        if value >= bound:
            return words
    return "poor" if value >= 0 else "negative: look at its key"


def items(table: Table, names: Sequence[str]) -> tuple[Item, ...]:
    """Return the figures of each column."""
    total = table.sum(axis=1)
    return tuple(
        Item(
            name,
            len(table),
            float(column.mean()) if len(table) else math.nan,
            correlation(column, total),
            correlation(column, total - column),
        )
        for name, column in zip(names, table.T, strict=True)
    )


def correlation(item: Table, total: Table) -> float | None:
    """Return the point-biserial correlation of an item with a total (Pearson's, so part credit counts too).

    None for fewer than three learners, or where either is the same for all.
    """
    from scipy.stats import (
        pearsonr,
    )  # pointbiserialr is the same function, and refuses part credit only in name

    if len(item) < 3 or item.std() < 1e-12 or total.std() < 1e-12:
        return None
    return float(pearsonr(item, total).statistic)


def alpha(table: Table) -> float | None:
    """Return Cronbach's alpha, k/(k-1) (1 - sum of item variances / variance of totals); KR-20 for right and wrong.

    None for fewer than two items or three learners, or where all totals are the same.
    """
    learners, columns = table.shape
    if columns < 2 or learners < 3:
        return None
    spread = float(table.sum(axis=1).var())
    if spread < 1e-12:
        return None
    return columns / (columns - 1) * (1.0 - float(table.var(axis=0).sum()) / spread)


def consistency(value: float | None, n: int) -> str:
    """Return what alpha means for this class, in one sentence."""
    if value is None:
        return (
            "Cronbach's alpha cannot be told: it takes two exercises, three learners and totals that differ."
        )
    meaning = (
        f"Cronbach's alpha is {value:.2f} (n = {n}): how far the exercises of this module rank learners alike"
    )
    if n < LEAST:
        return f"{meaning}; with n below {LEAST} no verdict is spoken."
    if value > CONSISTENT:
        return f"{meaning}; over {CONSISTENT} is satisfactory."
    if value >= DOUBTFUL:
        return f"{meaning}; between {DOUBTFUL} and {CONSISTENT} a total is to be read with care."
    return f"{meaning}; under {DOUBTFUL} a total says little, and single exercises are better looked at."
