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


def _factor(name: str, value: ArrayLike, size: int) -> Array:
    given = require_array(
        f"factor on {name}", np.broadcast_to(np.asarray(value, float), (size,)), "", 0.0, 1e6
    )
    return np.maximum(given, SMALLEST)


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
    n = law.size
    loss, kinetic = _factor("dissolution", dissolution, n), _factor("oxygen reduction", oxygen, n)
    supply, gas = _factor("oxygen supply", oxygen_supply, n), _factor("hydrogen evolution", hydrogen, n)
    moved = require_array("shift", np.broadcast_to(np.asarray(shift, float), (n,)), "V", -1.0, 1.0)
    amplitude, centre = law.amplitude.copy(), law.centre + moved
    amplitude[ANODIC] *= loss
    amplitude[BREAKDOWN] *= loss
    amplitude[OXYGEN] *= kinetic * supply
    amplitude[HYDROGEN] *= gas
    # The half-wave potential follows the limit, so that the kinetic foot of the wave stays where it was.
    centre[OXYGEN] += np.log(supply) / law.inverse_slope[OXYGEN]
    return Law(centre, law.inverse_slope, amplitude, law.floor, law.floor_potential + moved)
