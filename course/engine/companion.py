"""The linear step of the solve: laws replaced by their tangents at chosen points."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from course.engine.electrode import STRAIGHT_FROM
from course.engine.errors import Array
from course.engine.lapack import linalg
from course.engine.system import System


@dataclass
class Point:
    """Where the laws are linearised: patches at `patch` [V SHE] (n,), diode strings at `string` [V] (d,)."""

    patch: Array
    string: Array


def diode_terms(system: System, at: Array) -> tuple[Array, Array]:
    """Current [A] and conductance [S] of the diode strings at string voltages `at` [V]."""
    tree = system.tree
    x = at / tree.diode_volts
    capped = np.minimum(x, STRAIGHT_FROM)
    rise = np.exp(capped)
    return tree.diode_current * (
        rise * (1.0 + x - capped) - 1.0
    ), tree.diode_current / tree.diode_volts * rise


@dataclass
class Kept:
    """The factors of a tangent step, for chord steps after it: slopes (n,), R + 1/D, its answer to the metal voltages
    (n, m), and the tree's own matrix.
    """

    steep: Array
    inner: Array
    solved: Array
    outer: Array


def tangent_step(
    system: System, point: Point, density: Array, steep: Array, keep: list[Kept] | None = None
) -> tuple[Array, Array] | None:
    """Currents I (n,) A and tree voltages u (m,) V of the circuit with every law replaced by its tangent at
    `point`.

    density [A/m2] and steep [A/m2/V] are the electrode laws there. Solves
        I = I0 + D (B u - R I),    (Y + diodes) u + B'I = inflow
    by the symmetric positive definite matrices R + 1/D and Y + B'(R + 1/D)^-1 B. None where floating point
    finds them indefinite. The factors are left in the list `keep`, if given.
    """
    transfer, reach, tree = system.transfer, system.reach, system.tree
    n = density.shape[0]
    inner = transfer.copy()
    inner.flat[:: n + 1] += 1.0 / (system.area * steep)
    right = np.empty((n, reach.shape[1] + 1), order="F")
    right[:, :-1] = reach
    right[:, -1] = density / steep - point.patch
    inner, solved, info = linalg().lapack.dposv(inner, right, overwrite_b=True)
    if info != 0:
        return None
    outer = reach.T @ solved
    matrix, inflow = tree.matrix + outer[:, :-1], tree.inflow - outer[:, -1]
    if point.string.size:
        current, conductance = diode_terms(system, point.string)
        rows = tree.diode_rows
        matrix += rows.T @ (conductance[:, None] * rows)
        inflow -= rows.T @ (current - conductance * point.string)
    outer, u, info = linalg().lapack.dposv(matrix, inflow)
    if info != 0:
        return None
    if keep is not None:
        keep[:] = [Kept(steep, inner, solved[:, :-1], outer)]
    return solved[:, :-1] @ u + solved[:, -1], u


def chord_step(system: System, point: Point, density: Array, kept: Kept) -> tuple[Array, Array]:
    """As `tangent_step` for a system without diodes, with the slopes, and so the factors, of an earlier step.

    Its fixed point is the same circuit; near it each step costs a tenth of a tangent step.
    """
    alone, _ = linalg().lapack.dpotrs(kept.inner, density / kept.steep - point.patch)
    u, _ = linalg().lapack.dpotrs(kept.outer, system.tree.inflow - system.reach.T @ alone)
    return kept.solved @ u + alone, u
