"""A finite-element oracle: a sphere in unbounded water, bands of metal on it, insulating elsewhere.

scikit-fem, second-order elements in (ln r, polar angle), of which the engine shares nothing but the electrode
laws. Laplace's equation in those coordinates has the weight r sin(angle); on the outer sphere the field is that of a
point source (the error of that falls with the cube of its radius, as the total current is nothing).
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np
import skfem
from scipy.sparse.linalg import splu

from course.engine import Law

OUTER = 6.0  # ln(outer radius/radius): 400 radii
STEP_CAP = 0.05  # V a Newton step; without it the iteration runs away at low conductivity


@dataclass(frozen=True)
class Bands:
    """Metals of a sphere of `radius` [m]: metal k between polar angles edges[k] = (from, to) [rad]."""

    radius: float
    edges: tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Answer:
    """Current [A] of each metal, potential [V] of the bus against remote water, degrees of freedom."""

    current: np.ndarray
    bus: float
    unknowns: int


def crowded(low: float, high: float, at: list[float], count: int, smallest: float) -> np.ndarray:
    """Cuts from low to high, `count` in each piece, closing in on the points `at` like a geometric row."""
    marks = sorted({low, high, *at})
    pieces = []
    for a, b in itertools.pairwise(marks):
        left, right = a in at, b in at
        pieces.append(a + (b - a) * _row(count, left, right, smallest))
    return np.unique(np.concatenate(pieces).round(13))


def _row(count: int, left: bool, right: bool, smallest: float) -> np.ndarray:
    if left and right:
        half = 0.5 * _row(max(2, count // 2), True, False, smallest)
        return np.concatenate([half, 1.0 - half[-2::-1]])
    row = np.concatenate([[0.0], np.geomspace(smallest, 1.0, count)])
    if left:
        return row
    return 1.0 - row[::-1] if right else np.linspace(0.0, 1.0, count + 1)


def solve_by_fem(bands: Bands, law: Law, conductivity: float, count: int) -> Answer:
    """All metals on one bus; `count` sets the mesh: cells between two edges of metal, and outward."""
    marks = [angle for pair in bands.edges for angle in pair if 0.0 < angle < np.pi]
    mesh = skfem.MeshTri.init_tensor(
        np.concatenate([[0.0], np.geomspace(2e-4, OUTER, 2 * count)]),
        crowded(0.0, np.pi, marks, count, 1e-3),
    )
    basis = skfem.Basis(mesh, skfem.ElementTriP2())

    @skfem.BilinearForm
    def stiffness(u, v, w):
        weight = np.exp(w.x[0]) * np.sin(w.x[1])
        return weight * (u.grad[0] * v.grad[0] + u.grad[1] * v.grad[1])

    @skfem.BilinearForm
    def remote(u, v, w):
        return np.exp(w.x[0]) * np.sin(w.x[1]) * u * v

    outer = skfem.FacetBasis(mesh, basis.elem, facets=mesh.facets_satisfying(lambda x: x[0] > OUTER - 1e-9))
    scale = 2.0 * np.pi * conductivity * bands.radius
    matrix = scale * (stiffness.assemble(basis) + remote.assemble(outer))
    parts = []
    for number, pair in enumerate(bands.edges):
        facet = _facets(mesh, basis, pair)
        polar = np.asarray(facet.global_coordinates())[1]
        parts.append(metal_part(number, facet, 2.0 * np.pi * bands.radius**2 * facet.dx * np.sin(polar)))
    place, resistance = water_alone(matrix, parts)
    current, bus = balance(parts, place, np.linalg.inv(resistance), law)
    return Answer(current, bus, basis.N)


def _facets(mesh, basis, pair):
    def on_metal(x):
        return (x[0] < 1e-12) & (x[1] > pair[0]) & (x[1] < pair[1])

    return skfem.FacetBasis(mesh, basis.elem, facets=mesh.facets_satisfying(on_metal), intorder=6)


def metal_part(number, facet, weight):
    """One metal's share of the boundary: its number, shape functions, unknowns and weights by facet and point."""
    shapes = np.array([np.asarray(b[0]) for b in facet.basis])  # (local, facets, points)
    return number, shapes, facet.dofs.element_dofs[:, facet.tind], weight


def water_alone(matrix, parts):
    """Unknowns under the metals, their place in all, and the water's resistance between them, by one factorisation."""
    touched = np.unique(np.concatenate([p[2][np.abs(p[1]).max(axis=2) > 1e-12] for p in parts]))
    place = np.full(matrix.shape[0], -1)
    place[touched] = np.arange(touched.size)
    factors = splu(
        matrix.tocsc(), permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0.0, options={"SymmetricMode": True}
    )
    resistance = np.zeros((touched.size, touched.size))
    for first in range(0, touched.size, 32):
        some = touched[first : first + 32]
        pick = np.zeros((matrix.shape[0], some.size))
        pick[some, np.arange(some.size)] = 1.0
        resistance[:, first : first + some.size] = factors.solve(pick)[touched]
    return place, resistance


def balance(parts, place, conductance, law):
    """Currents of the metals and their bus, by Newton on the potentials under them; `conductance` of the water."""
    size = conductance.shape[0]
    water, bus = np.zeros(size), float(np.mean(law.floor_potential))
    for _ in range(400):
        source, slope, current = _metal_terms(parts, law, place, water, bus)
        residual = np.concatenate([conductance @ water - source, [current.sum()]])
        jacobian = np.zeros((size + 1,) * 2)
        jacobian[:-1, :-1] = conductance + slope
        jacobian[:-1, -1] = -slope.sum(axis=1)
        jacobian[-1] = np.concatenate([-slope.sum(axis=0), [slope.sum()]])
        step = np.linalg.solve(jacobian, -residual)
        step *= min(1.0, STEP_CAP / max(float(np.abs(step).max()), 1e-300))
        water, bus = water + step[:-1], bus + float(step[-1])
        if np.abs(step).max() < 1e-12:
            return _metal_terms(parts, law, place, water, bus)[2], bus
    raise RuntimeError("the finite elements did not settle")


def _metal_terms(parts, law, place, water, bus):
    source, current = np.zeros(water.size), np.zeros(len(parts))
    slope = np.zeros((water.size, water.size))
    for number, shapes, dofs, weight in parts:
        live = place[dofs]  # (local, facets); -1 off the metal, where shapes vanish
        nodal = np.where(live >= 0, water[live], 0.0)
        at = bus - np.einsum("lfq,lf->fq", shapes, nodal)
        full = np.full((*at.shape, law.size), bus)
        full[..., number] = at
        density, steep = (part[..., number] for part in law.evaluate(full))
        current[number] = (weight * density).sum()
        load = np.einsum("lfq,fq->lf", shapes, weight * density)
        stiff = np.einsum("lfq,kfq,fq->lkf", shapes, shapes, weight * steep)
        good = live >= 0
        np.add.at(source, live[good], load[good])
        for i in range(shapes.shape[0]):
            for k in range(shapes.shape[0]):
                both = good[i] & good[k]
                np.add.at(slope, (live[i][both], live[k][both]), stiff[i, k][both])
    return source, slope, current
