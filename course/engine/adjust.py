"""A law changed patch by patch, without asking the metals again: what films and uncertainty do to it."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from course.engine.electrode import Law
from course.engine.errors import Array, require_array

SMALLEST = 1e-6  # factors under this are taken as this, so that every law stays strictly increasing
ANODIC, BREAKDOWN, OXYGEN, HYDROGEN = 0, 1, 2, 3  # rows of a Law


def repeated(law: Law, patches: NDArray[np.int64]) -> Law:
    """The law of patches that are each one of the patches of `law`: number `patches` (n,), repeats welcome."""
    return Law(
        law.centre[:, patches],
        law.inverse_slope[:, patches],
        law.amplitude[:, patches],
        law.floor[patches],
        law.floor_potential[patches],
    )


def _factor(name: str, value: ArrayLike, shape: tuple[int, ...]) -> Array:
    given = require_array(f"factor on {name}", np.broadcast_to(np.asarray(value, float), shape), "", 0.0, 1e6)
    return np.maximum(given, SMALLEST)


def adjusted_many(
    law: Law,
    count: int,
    dissolution: ArrayLike = 1.0,
    oxygen: ArrayLike = 1.0,
    oxygen_supply: ArrayLike = 1.0,
    hydrogen: ArrayLike = 1.0,
    shift: ArrayLike = 0.0,
) -> list[Law]:
    """`count` laws made from `law` as by `adjusted`; each factor may be (count, n)."""
    shape = (count, law.size)
    loss, kinetic = _factor("dissolution", dissolution, shape), _factor("oxygen reduction", oxygen, shape)
    supply, gas = (
        _factor("oxygen supply", oxygen_supply, shape),
        _factor("hydrogen evolution", hydrogen, shape),
    )
    moved = require_array("shift", np.broadcast_to(np.asarray(shift, float), shape), "V", -1.0, 1.0)
    amplitude = np.repeat(law.amplitude[None], count, axis=0)
    amplitude[:, ANODIC] *= loss
    amplitude[:, BREAKDOWN] *= loss
    amplitude[:, OXYGEN] *= kinetic * supply
    amplitude[:, HYDROGEN] *= gas
    centre = law.centre + moved[:, None]
    # The half-wave potential follows the limit, so that the kinetic foot of the wave stays where it was.
    centre[:, OXYGEN] += np.log(supply) / law.inverse_slope[OXYGEN]
    rest = law.floor_potential + moved
    return [Law(centre[k], law.inverse_slope, amplitude[k], law.floor, rest[k]) for k in range(count)]


def adjusted(
    law: Law,
    dissolution: ArrayLike = 1.0,
    oxygen: ArrayLike = 1.0,
    oxygen_supply: ArrayLike = 1.0,
    hydrogen: ArrayLike = 1.0,
    shift: ArrayLike = 0.0,
) -> Law:
    """`law` with factors on its terms; each is one number or (n,), 0 to 1e6.

    dissolution scales metal loss (anodic branch and breakdown), oxygen the whole of oxygen reduction,
    oxygen_supply its limit alone (its kinetics stay), hydrogen hydrogen evolution; shift [V, +-1] moves all
    potentials of a patch. Raises OutOfRange or EngineError.
    """
    return adjusted_many(law, 1, dissolution, oxygen, oxygen_supply, hydrogen, shift)[0]
