"""Noise as a pure function of seed and occasion, the same to the last bit on every machine.

Made from SHA-256 and whole numbers only: a library's random distributions may change between versions.
"""

from __future__ import annotations

import hashlib

_PARTS = 12  # the sum of twelve uniform numbers has variance one


def uniform(seed: str, *occasion: object) -> float:
    """Return a number in [0, 1) that depends on the seed and the occasion alone."""
    digest = _digest(seed, occasion)
    return int.from_bytes(digest[:6], "big") / 2**48


def normal(seed: str, *occasion: object) -> float:
    """Return a number of mean 0 and standard deviation 1, bounded to +-6, that depends on seed and occasion alone."""
    digest = hashlib.sha512(_digest(seed, occasion)).digest()
    total = sum(int.from_bytes(digest[4 * k : 4 * k + 4], "big") for k in range(_PARTS))
    return (total - _PARTS * (2**32 - 1) / 2) / 2**32


def _digest(seed: str, occasion: tuple[object, ...]) -> bytes:
    text = "|".join((seed, *(str(item) for item in occasion)))
    return hashlib.sha256(text.encode("utf-8")).digest()
