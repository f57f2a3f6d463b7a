"""The compiled twin of `plain`: the same rule and the same elementary fields, pair by pair.

Imported only when a field is built, so that nobody waits for a compiler who needs none. The machine code is kept in
the user's folder and goes by the text of `elementary` alone, so it is never stale. One thread: launching more costs
more than it brings.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numba
import numpy as np
from numba.extending import register_jitable

from course.engine.errors import Array
from course.engine.field import elementary
from course.engine.field.plain import FOUR_PI, NEAR, Shape
from course.engine.jit import user_cache


def _entry(loop: Callable[..., None]) -> Callable[..., None]:
    settings: Any = numba.config
    before = settings.CACHE_DIR
    given = os.environ.get("NUMBA_CACHE_DIR")
    settings.CACHE_DIR = str((Path(given) if given else user_cache() / "wetslip") / "field")
    try:
        made: Callable[..., None] = numba.njit(cache=True, nogil=True, error_model="numpy")(loop)
    finally:
        settings.CACHE_DIR = before
    return made


for _part in ("polygon", "distant", "rest", "beyond", "near_pair", "far_pair"):
    register_jitable(getattr(elementary, _part))
_pair_loop = _entry(elementary.pair_loop)
_point_loop = _entry(elementary.point_loop)


def _arrays(shape: Shape) -> tuple[Array, ...]:
    return tuple(np.ascontiguousarray(getattr(shape, name)) for name in shape.__dataclass_fields__)


def pairs(to: Shape, source: Shape) -> tuple[Array, Array]:
    """Mean potential on panel i and flux through it along its normal, per ampere from panel j [1/m, 1]."""
    potential = np.empty((to.area.size, source.area.size))
    flux = np.empty_like(potential)
    _pair_loop(_arrays(to), _arrays(source), NEAR, to is source, potential, flux)
    return potential / FOUR_PI, flux * (to.area[:, None] / FOUR_PI)


def at_points(points: Array, source: Shape, with_rest: bool = True) -> Array:
    """Potential at points (p, 3) per ampere from each panel [1/m], (p, m)."""
    potential = np.empty((points.shape[0], source.area.size))
    _point_loop(np.ascontiguousarray(points), _arrays(source), NEAR, with_rest, potential)
    return potential / FOUR_PI
