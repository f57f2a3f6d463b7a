"""A barge with three flush plates in her bottom: by scikit-fem in three dimensions, and by the engine.

Half the water is meshed (she is symmetric about y = 0) with second-order bricks that close in on the edges of the
plates and of the hull; the outer sides let out the field of a point source. The engine has the whole barge. Both
take a number n: cells between two edges grow with it.
"""

from __future__ import annotations

import itertools
from collections.abc import Sequence

import numpy as np
import skfem

from course.engine import Law, Network, System, solve
from course.engine.field import Basin, Panels, join, plate, water_field

from .axisymmetric import Answer, balance, metal_part, water_alone

LENGTH, BEAM, DRAFT = 4.0, 1.6, 0.6  # m; x from -2 to 2
PLATES = ((-1.6, -1.2), (-0.2, 0.2), (1.2, 1.6))  # m along x
HALF_WIDTH = 0.3  # m, of each plate
FAR = 14.0  # m to the outer sides, beyond the hull


def cosine(low: float, high: float, parts: int, ends: str = "both") -> np.ndarray:
    """Cuts that close in on one end or both."""
    x = np.linspace(0.0, 1.0, parts + 1)
    row = {
        "both": 0.5 - 0.5 * np.cos(np.pi * x),
        "low": 1 - np.cos(0.5 * np.pi * x),
        "high": np.sin(0.5 * np.pi * x),
    }
    return low + (high - low) * row[ends]


def geometric(length: float, parts: int, ends: str, smallest: float) -> np.ndarray:
    """Cuts of [0, length] that close in on one end or both like a geometric row."""
    one = np.concatenate([[0.0], np.geomspace(smallest, 1.0, parts)])
    if ends == "low":
        return length * one
    if ends == "high":
        return length * (1.0 - one[::-1])
    return length * np.concatenate([0.5 * one, 1.0 - 0.5 * one[-2::-1]])


def brick_lines(n: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Mesh lines along x, y (half) and z."""
    small = 0.3 / 2.2**n
    marks = [-2.0, *(x for pair in PLATES for x in pair), 2.0]
    inner = [a + geometric(b - a, n, "both", small) for a, b in itertools.pairwise(marks)]
    out = geometric(FAR, n + 4, "low", small / 12)
    x = np.concatenate([-2.0 - out[:0:-1], *inner, 2.0 + out[1:]])
    side = BEAM / 2
    y = np.concatenate(
        [
            geometric(HALF_WIDTH, n, "high", small),
            HALF_WIDTH + geometric(side - HALF_WIDTH, n, "both", small),
            side + out[1:],
        ]
    )
    z = np.concatenate([-DRAFT - out[:0:-1], -geometric(DRAFT, n, "high", small)[::-1]])
    return np.unique(x.round(12)), np.unique(y.round(12)), np.unique(z.round(12))


def solve_by_bricks(law: Law, conductivities: Sequence[float], n: int) -> list[Answer]:
    """The finite-element answers, one for each conductivity [S/m]; currents are of the whole barge."""
    whole = skfem.MeshHex.init_tensor(*brick_lines(n))
    x, y, z = whole.p[:, whole.t].mean(axis=1)
    dry = (np.abs(x) < LENGTH / 2) & (y < BEAM / 2) & (z > -DRAFT)
    mesh = whole.restrict(np.nonzero(~dry)[0])
    element = skfem.ElementHexS2()
    basis = skfem.Basis(mesh, element, intorder=4)

    @skfem.BilinearForm
    def stiffness(u, v, w):
        return sum(u.grad[k] * v.grad[k] for k in range(3))

    @skfem.BilinearForm
    def remote(u, v, w):
        r2 = w.x[0] ** 2 + w.x[1] ** 2 + w.x[2] ** 2
        outward = w.n[0] * w.x[0] + w.n[1] * w.x[1] + w.n[2] * w.x[2]
        return outward / r2 * u * v

    edge = LENGTH / 2 + FAR - 1e-6, BEAM / 2 + FAR - 1e-6, -DRAFT - FAR + 1e-6
    outer = mesh.facets_satisfying(lambda p: (np.abs(p[0]) > edge[0]) | (p[1] > edge[1]) | (p[2] < edge[2]))
    far = skfem.FacetBasis(mesh, element, facets=outer, intorder=4)
    matrix = 2.0 * (stiffness.assemble(basis) + remote.assemble(far))  # both halves
    facets = [_bottom(mesh, element, pair) for pair in PLATES]
    parts = [metal_part(number, facet, 2.0 * facet.dx) for number, facet in enumerate(facets)]
    place, resistance = water_alone(matrix.tocsr(), parts)
    conductance = np.linalg.inv(resistance)
    return [Answer(*balance(parts, place, kappa * conductance, law), basis.N) for kappa in conductivities]


def _bottom(mesh, element, pair):
    def on_plate(p):
        return (np.abs(p[2] + DRAFT) < 1e-9) & (p[0] > pair[0]) & (p[0] < pair[1]) & (p[1] < HALF_WIDTH)

    return skfem.FacetBasis(mesh, element, facets=mesh.facets_satisfying(on_plate), intorder=5)


def barge_panels(n: int) -> tuple[Panels, np.ndarray]:
    """The whole barge; each panel of a plate is a patch. Also the plate each patch belongs to."""
    marks = [-2.0, *(x for pair in PLATES for x in pair), 2.0]
    parts = [n if (a, b) in PLATES or b - a > 0.5 else round(0.75 * n) for a, b in itertools.pairwise(marks)]
    cuts = [cosine(a, b, k) for (a, b), k in zip(itertools.pairwise(marks), parts, strict=True)]
    x = np.unique(np.concatenate(cuts).round(12))
    side = BEAM / 2
    half = np.concatenate(
        [cosine(0, HALF_WIDTH, max(2, round(0.75 * n)), "high"), cosine(HALF_WIDTH, side, round(0.75 * n))]
    )
    y = np.unique(np.concatenate([-half, half]).round(12))
    z = cosine(0, DRAFT, max(2, round(0.5 * n)), "low")
    fx, fy, fz = (np.clip(f, 0.0, 1.0) for f in ((x + 2.0) / LENGTH, (y + side) / BEAM, z / DRAFT))
    corner, ux, uy, uz = (
        np.array(v) for v in ([-2.0, -side, -DRAFT], [LENGTH, 0, 0], [0, BEAM, 0], [0, 0, DRAFT])
    )
    bottom = plate(corner, uy, ux, (fy, fx), True)
    middle = bottom.centre
    owner = np.full(bottom.size, -1)
    for number, (low, high) in enumerate(PLATES):
        chosen = (middle[:, 0] > low) & (middle[:, 0] < high) & (np.abs(middle[:, 1]) < HALF_WIDTH)
        owner[chosen] = number
    patch = np.full(bottom.size, -1)
    metal = np.nonzero(owner >= 0)[0]
    patch[metal] = np.arange(metal.size)
    sides = [
        plate(corner, ux, uz, (fx, fz), True),
        plate(corner, uz, uy, (fz, fy), True),
        plate(corner + uy, uz, ux, (fz, fx), True),
        plate(corner + ux, uy, uz, (fy, fz), True),
    ]
    all_panels = join(bottom.numbered(patch), *sides)
    one_body = Panels(all_panels.corners, all_panels.patch, np.zeros(all_panels.size, dtype=int))
    return one_body, owner[metal]


def solve_by_panels(law: Law, conductivities: Sequence[float], n: int, gauss: int = 3) -> list[Answer]:
    """The engine's answers, one for each conductivity."""
    panels, owner = barge_panels(n)
    field = water_field(panels, Basin(), gauss)
    laws = Law(
        law.centre[:, owner],
        law.inverse_slope[:, owner],
        law.amplitude[:, owner],
        law.floor[owner],
        law.floor_potential[owner],
    )
    area = field.patch_area
    answers = []
    for kappa in conductivities:
        found = solve(System(field.transfer / kappa, area, laws, np.zeros(area.size, dtype=int), Network(1)))
        current = np.array([found.current[owner == k].sum() for k in range(len(PLATES))])
        answers.append(Answer(current, float(found.node_voltage[0]), panels.size))
    return answers
