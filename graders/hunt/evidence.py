"""From readings to belief: how likely each guess makes an outcome, and what is still possible after some of them.

A reading counts by how many tolerances it differs from the sound boat's: an outcome for each gap between the edges, from far below
to far above.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from graders.hunt.probes import Array
from graders.hunt.table import Table

EDGES = tuple(1.7**k for k in range(11))  # tolerances: from one to two hundred
LEVELS = 2 * len(EDGES) + 1
SPREAD_SHARE = 0.25  # between the severities of the table, and from her own boat to the fleet's
INSTRUMENT_SHARE = 1 / 3  # of the tolerance: three deviations
FLOOR = 0.001  # nothing is quite impossible
BETWEEN = 8  # steps between two severities of the table when the nearest is looked for
ALIKE = 1.0  # two guesses no reading tells apart: within both tolerances
HARDLY = 1e-4  # what is less likely is not reckoned with in choosing
POSSIBLE = 0.01  # of all belief: what is more likely than that is still consistent


def level(difference: Array, tolerance: Array) -> NDArray[np.int64]:
    """Return the outcome, the middle one for no difference, of differences from the sound boat."""
    size = np.abs(difference) / tolerance
    steps = sum((size > edge).astype(np.int64) for edge in EDGES)
    return np.asarray(len(EDGES) + np.sign(difference).astype(np.int64) * steps)


def outcome_chances(shown: Array, tolerance: Array) -> Array:
    """Return how likely each outcome is (guess, probe, level) where each guess shows some differences (guess, probe)."""
    from scipy.special import ndtr

    edges = np.array([*(-edge for edge in reversed(EDGES)), *EDGES])
    spread = np.hypot(INSTRUMENT_SHARE * tolerance, SPREAD_SHARE * shown)
    below = ndtr((edges * tolerance[:, None] - shown[:, :, None]) / spread[:, :, None])
    whole = np.concatenate([np.zeros((*shown.shape, 1)), below, np.ones((*shown.shape, 1))], axis=2)
    return np.asarray((1 - FLOOR * LEVELS) * np.diff(whole, axis=2) + FLOOR)


@lru_cache(maxsize=128)
def chances(table: Table, on: frozenset[str], plugged: bool) -> Array:
    """Return how likely each outcome is (guess, probe, level) in a setting of circuits and shore lead."""
    return outcome_chances(table.shows(on, plugged), table.tolerance)


@lru_cache(maxsize=1024)
def trip_chances(table: Table, on: frozenset[str]) -> Array:
    """Return how likely each guess makes a breaker open when some circuits are put on."""
    return np.where(table.trips & table.lit(on), 1 - FLOOR, FLOOR)


def seen(belief: Array, chance: Array) -> Array:
    """Return a belief (guess,) after something was seen that each guess makes so likely."""
    moved = belief * chance
    return np.asarray(moved / moved.sum())


def by_group(belief: Array, table: Table) -> Array:
    """Return the belief in each group."""
    return np.bincount(table.groups, weights=belief).astype(np.float64)


def entropy(shares: Array) -> float:
    """Return the entropy [bit] of shares that add up to one."""
    some = shares[shares > 1e-12]
    return float(-(some * np.log2(some)).sum())


def gains(belief: Array, table: Table, chance: Array) -> Array:
    """Return how much each probe would tell about the group [bit], on the mean over what it may show."""
    kept = belief > HARDLY
    groups, weights = table.groups[kept], belief[kept]
    size = int(table.groups.max()) + 1
    joint = np.zeros((size, *chance.shape[1:]))
    np.add.at(joint, groups, weights[:, None, None] * chance[kept])
    outcome = joint.sum(axis=0)
    with np.errstate(divide="ignore", invalid="ignore"):
        parts = np.where(joint > 1e-15, joint * np.log2(joint / outcome), 0.0)
    shares = np.bincount(groups, weights=weights).astype(np.float64)
    return np.asarray(entropy(shares) + parts.sum(axis=(0, 2)))


@lru_cache(maxsize=2048)
def gains_at(table: Table, belief: bytes, on: frozenset[str], plugged: bool) -> Array:
    """Return ``gains`` in a setting, kept: hunts on boats of one kind begin alike. ``belief`` as the bytes of its array."""
    return gains(np.frombuffer(belief), table, chances(table, on, plugged))


@dataclass(frozen=True, eq=False)
class Shown:
    """What something shows against the sound boat: with its circuit dead, live, ashore; whether it trips; its circuits."""

    dead: Array
    live: Array
    plugged: Array
    trips: bool
    circuits: frozenset[str]

    def at(self, on: frozenset[str], plugged: bool = False) -> Array:
        """Return the differences (probe,) in a setting."""
        base = self.plugged if plugged else self.dead
        return self.live + base - self.dead if self.circuits & on else base


def apart(table: Table, shown: Shown) -> Array:
    """Return how far each guess is from something shown, in tolerances of both, by the measurement that tells most.

    One in which circuits matter looks at all of: everything off, its circuit alone, the other's alone, the shore lead in.
    """
    spread = 2 * table.tolerance + SPREAD_SHARE * np.maximum(np.abs(shown.dead), np.abs(shown.live))

    def far(one: Array, other: Array) -> Array:
        return np.asarray((np.abs(one - other) / spread).max(axis=1))

    same = table.lit(shown.circuits)
    both = far(table.live, shown.live)
    own, others = far(table.dead, shown.live), far(table.live, shown.dead)
    lit = np.where(same, both, np.maximum(own, others)) if shown.circuits else others
    ashore = far(table.plugged, shown.plugged)
    trips = np.where((table.trips & same) != shown.trips, 10 * ALIKE, 0.0)
    return np.asarray(np.maximum.reduce([far(table.dead, shown.dead), lit, ashore, trips]))


def nearest(table: Table, shown: Shown, named: NDArray[np.bool_]) -> float:
    """Return how far the nearest of some guesses is from something shown, at the best severity between those of the table."""
    best = float("inf")
    for name in dict.fromkeys(g.name for g, one in zip(table.guesses, named, strict=True) if one):
        rows = [k for k, g in enumerate(table.guesses) if g.name == name]
        rows.sort(key=lambda k: float(np.abs(table.live[k]).sum() + np.abs(table.dead[k]).sum()))
        best = min(best, float(apart(_finer(table, rows), shown).min()))
    return best


def _finer(table: Table, rows: list[int]) -> Table:
    """Return a table of some rows with others set between them."""
    shares = np.linspace(0.0, 1.0, BETWEEN + 1)
    pairs = list(pairwise(rows)) or [(rows[0], rows[0])]

    def mixed(values: Array) -> Array:
        ends = ((values[a], values[b]) for a, b in pairs)
        return np.array([_mean(a, b, share) for a, b in ends for share in shares])

    nearer = [a if share < 1.0 else b for a, b in pairs for share in shares]
    return Table(
        tuple(table.guesses[k] for k in nearer),
        table.probes,
        mixed(table.dead),
        mixed(table.live),
        mixed(table.plugged),
        table.trips[nearer],
    )


def _mean(one: Array, other: Array, share: float) -> Array:
    """Return what lies at a share of the way between two rows: by ratio where both have the same sign."""
    ratio = np.sign(one) * np.abs(one) ** (1 - share) * np.abs(other) ** share
    return np.where(np.sign(one) == np.sign(other), ratio, (1 - share) * one + share * other)


@lru_cache(maxsize=64)
def alike(table: Table) -> NDArray[np.bool_]:
    """Return which groups (group, group) no allowed measurement tells apart: some severities of both read the same."""
    size = int(table.groups.max()) + 1
    found = np.eye(size, dtype=bool)
    for k, guess in enumerate(table.guesses):
        circuits = frozenset({guess.circuit} if guess.circuit else ())
        shown = Shown(table.dead[k], table.live[k], table.plugged[k], bool(table.trips[k]), circuits)
        found[table.groups[k], table.groups[apart(table, shown) <= ALIKE]] = True
    return found | found.T
