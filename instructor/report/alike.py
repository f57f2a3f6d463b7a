"""Logbooks that look alike: a reason to ask, never a proof.

Two learners' boats differ, so the readings do; the way it was gone about may be told from the acts: the same places
to the centimetre, the same waits, in the same order. Acts that much of the class did alike (the taught procedure)
say nothing and are left out. Rows that carry the same name were copied.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from instructor.report.data import Pupil

RUN = 4  # acts in a row that are compared as one
COMMON = 0.2  # a run that a greater share of the class did is the taught procedure
ALIKE, FEWEST = 0.8, 12  # share of their own runs that two have in common, and how many those are at least
MOST_HOLDERS = 40


@dataclass(frozen=True)
class Alike:
    """Two learners, what about them is alike, and the share of it that is."""

    one: str
    other: str
    what: str
    share: float


def alike(pupils: Sequence[Pupil]) -> tuple[Alike, ...]:
    """Return the pairs that look alike, the likest first."""
    found = [*_copied(pupils), *_same_way(pupils)]
    return tuple(sorted(found, key=lambda pair: (-pair.share, pair.one, pair.other)))


def _copied(pupils: Sequence[Pupil]) -> Iterator[Alike]:
    """Yield the pairs that hold rows of the same name: every row's name is drawn by lot."""
    holders: dict[str, list[str]] = defaultdict(list)
    size = {pupil.id: len(pupil.ids) for pupil in pupils}
    for pupil in pupils:
        for name in pupil.ids:
            holders[name].append(pupil.id)
    shared: Counter[tuple[str, str]] = Counter()
    for who in holders.values():
        shared.update(combinations(who[:MOST_HOLDERS], 2))
    for (one, other), count in shared.items():
        yield Alike(one, other, f"{count} rows are the very same", count / min(size[one], size[other]))


def _same_way(pupils: Sequence[Pupil]) -> Iterator[Alike]:
    """Yield the pairs who went about it alike where the rest of the class did not."""
    runs = {pupil.id: _runs(pupil) for pupil in pupils}
    holders: dict[tuple[str, ...], list[str]] = defaultdict(list)
    for who, own in runs.items():
        for run in own:
            holders[run].append(who)
    most = max(2.0, COMMON * len(pupils))
    rare = {run: who for run, who in holders.items() if len(who) <= most}
    own_rare = Counter(who for several in rare.values() for who in several)
    shared: Counter[tuple[str, str]] = Counter()
    for several in rare.values():
        shared.update(combinations(sorted(several)[:MOST_HOLDERS], 2))
    for (one, other), count in shared.items():
        share = count / max(own_rare[one], own_rare[other])
        if count >= FEWEST and share >= ALIKE:
            yield Alike(one, other, f"{count} runs of acts are alike that few others have", share)


def _runs(pupil: Pupil) -> set[tuple[str, ...]]:
    return {
        (exercise, *acts[start : start + RUN])
        for exercise, acts in pupil.acts.items()
        for start in range(len(acts) - RUN + 1)
    }
