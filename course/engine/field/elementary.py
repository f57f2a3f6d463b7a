"""Elementary fields, written without a branch so that they work on numbers and on arrays alike.

The compiled kernel runs these very functions on numbers; its plain twin runs them on arrays. All fields are of
unit strength and without the factor 1/(4 pi). Lengths in m. The loops over pairs stand here too, as the compiler
keeps what it compiled for as long as this one file stays the same.
"""

from __future__ import annotations

from typing import Any

import numpy as np

TINY = 1e-150
FLAT = 1e-9  # m: a point nearer than this to a panel's plane is in the plane, and sees it edge-on


def polygon(x: Any, y: Any, z: Any, c: Any, n: Any) -> tuple[Any, Any, Any, Any]:
    """Integral of 1/r over a flat quadrilateral, and its gradient at (x, y, z), in closed form.

    c[k, 0..2] are the corners, n[0..2] the unit normal they go anticlockwise about. Wilton et al., IEEE
    Trans. Antennas Propag. 32 (1984) 276 (from memory); the logarithm in the form without cancellation.
    """
    h = (x - c[0, 0]) * n[0] + (y - c[0, 1]) * n[1] + (z - c[0, 2]) * n[2]
    deep = np.abs(h)
    value, gx, gy, gz, angle = 0.0 * h, 0.0 * h, 0.0 * h, 0.0 * h, 0.0 * h
    for k in range(4):
        k1 = (k + 1) % 4
        sx, sy, sz = c[k1, 0] - c[k, 0], c[k1, 1] - c[k, 1], c[k1, 2] - c[k, 2]
        e = np.sqrt(sx * sx + sy * sy + sz * sz)
        one = 1.0 / (e + TINY)
        sx, sy, sz = sx * one, sy * one, sz * one
        mx, my, mz = sy * n[2] - sz * n[1], sz * n[0] - sx * n[2], sx * n[1] - sy * n[0]
        ax, ay, az = c[k, 0] - x, c[k, 1] - y, c[k, 2] - z
        t = ax * mx + ay * my + az * mz
        low = ax * sx + ay * sy + az * sz
        high = low + e
        near2 = t * t + h * h + TINY
        r_low, r_high = np.sqrt(near2 + low * low), np.sqrt(near2 + high * high)
        log = np.log((r_low + r_high + e) / (np.abs(r_low + r_high - e) + 1e-15 * (e + TINY)))
        turn = np.arctan(t * high / (near2 + deep * r_high)) - np.arctan(t * low / (near2 + deep * r_low))
        value, angle = value + t * log - deep * turn, angle + turn
        gx, gy, gz = gx - mx * log, gy - my * log, gz - mz * log
    side = h / (deep + FLAT) * angle
    return value, gx - n[0] * side, gy - n[1] * side, gz - n[2] * side


def distant(x: Any, y: Any, z: Any, m: Any) -> tuple[Any, Any, Any, Any]:
    """1/r of a unit source spread with second moment m (xx, yy, zz, xy, xz, yz [m2]), and its gradient.

    (x, y, z) from source to target. With the sum of both second moments it is the mean over source and target.
    Error of fourth order in size over distance.
    """
    r2 = x * x + y * y + z * z
    one2 = 1.0 / r2
    one = np.sqrt(one2)
    vx, vy, vz = (
        m[0] * x + m[3] * y + m[4] * z,
        m[3] * x + m[1] * y + m[5] * z,
        m[4] * x + m[5] * y + m[2] * z,
    )
    stretch, trace = (x * vx + y * vy + z * vz) * one2, m[0] + m[1] + m[2]
    value = one * (1.0 + 0.5 * one2 * (3.0 * stretch - trace))
    one3 = one * one2
    pull = -one3 * (1.0 + one2 * (7.5 * stretch - 1.5 * trace))
    push = 3.0 * one3 * one2
    return value, pull * x + push * vx, pull * y + push * vy, pull * z + push * vz


def rest(rho2: Any, down: Any, up: Any, rings: Any) -> tuple[Any, Any, Any, Any]:
    """All images of the bed but its own mirror, at level distance squared rho2 [m2].

    `down` is z - z', `up` is z + z'; `rings` comes from `Basin.rings`. Returns the value, (1/rho) d/d rho of it,
    and its derivatives by `down` and by `up`.
    """
    depth, k = rings[0], rings[1]
    value, aside, by_down, by_up = 0.0 * rho2, 0.0 * rho2, 0.0 * rho2, 0.0 * rho2
    weight = 1.0
    for n in range(1, int(rings[2]) + 1):
        weight *= k
        lift = 2.0 * depth * n
        for sign in (-1.0, 1.0):
            h = down + sign * lift
            one2 = 1.0 / (rho2 + h * h)
            one = weight * np.sqrt(one2)
            value, aside, by_down = value + one, aside - one * one2, by_down - one * one2 * h
            if n > 1 or sign < 0.0:
                h = up + sign * lift
                one2 = 1.0 / (rho2 + h * h)
                one = weight * np.sqrt(one2)
                value, aside, by_up = value + one, aside - one * one2, by_up - one * one2 * h
    v, w, by_down_more = beyond(rho2, down, rings)
    value, aside, by_down = value + v, aside + w, by_down + by_down_more
    v, w, by_up_more = beyond(rho2, up, rings)
    return value + v, aside + w, by_down, by_up + by_up_more


def beyond(rho2: Any, h: Any, rings: Any) -> tuple[Any, Any, Any]:
    """Value, aside and along, as in `rest`, of the rings left to the series.

    The sum of c_l u_l, u_l = R^l P_l(h/R), by the recurrence of Legendre.
    """
    r2 = rho2 + h * h
    before, now = 0.0 * r2 + 1.0, 0.0 * r2 + h
    w_before, w_now = 0.0 * r2, 0.0 * r2
    value, aside, along = rings[3] * before, 0.0 * r2, 0.0 * r2
    for half in range(1, rings.shape[0] - 3):
        even = 2 * half
        a, b = (2.0 * even - 1.0) / even, (even - 1.0) / even
        u, w = a * h * now - b * r2 * before, a * h * w_now - b * (r2 * w_before + 2.0 * before)
        c = rings[3 + half]
        value, aside, along = value + c * u, aside + c * w, along + c * even * now
        a, b = (2.0 * even + 1.0) / (even + 1.0), even / (even + 1.0)
        before, w_before, u_odd, w_odd = (
            u,
            w,
            a * h * u - b * r2 * now,
            a * h * w - b * (r2 * w_now + 2.0 * now),
        )
        now, w_now = u_odd, w_odd
    return value, aside, along


def near_pair(outer: Any, weight: Any, mirror: Any, corners: Any, facing: Any) -> tuple[Any, Any]:
    """Integral of 1/r over a target in closed form, and the flux through it, both times 4 pi.

    Means over the source's Gauss points, mirrored. The flux is a solid angle: it stays bounded where panels
    touch, and adds up to the same over a closed body wherever the source stands.
    """
    value, flux = 0.0, 0.0
    for q in range(outer.shape[0]):
        z = mirror[0] + mirror[1] * outer[q, 2]
        v, gx, gy, gz = polygon(outer[q, 0], outer[q, 1], z, corners, facing)
        value += weight[q] * v
        flux -= weight[q] * (gx * facing[0] + gy * facing[1] + gz * facing[2])
    return value, flux


def far_pair(x: Any, y: Any, z: Any, flip: Any, normal: Any, a: Any, b: Any) -> tuple[Any, Any]:
    """As `near_pair` but per target area, by second moments: a of the target, which is mirrored, b of the source."""
    moment = (a[0] + b[0], a[1] + b[1], a[2] + b[2], a[3] + b[3], flip * a[4] + b[4], flip * a[5] + b[5])
    v, gx, gy, gz = distant(x, y, z, moment)
    return v, gx * normal[0] + gy * normal[1] + flip * gz * normal[2]


def pair_loop(to: Any, source: Any, near: Any, same: Any, potential: Any, flux: Any) -> None:
    """Fill `potential` (m, n) and `flux` per target area (m, n), times 4 pi, as `plain.pairs` describes them.

    `to` and `source` are the arrays of a `plain.Shape` in their order; `near` the factor of its rule;
    `same` that both are one, so that the far images of the bed are needed once for two.
    """
    centre, normal, spread, reach, area, corners, _, _, mirrors, rings = to
    centre1, _, spread1, reach1, _, _, outer, weight, _, _ = source
    for i in range(centre.shape[0]):
        for j in range(centre1.shape[0]):
            v, s = 0.0, 0.0
            limit = near * (reach[i] + reach1[j])
            x, y = centre[i, 0] - centre1[j, 0], centre[i, 1] - centre1[j, 1]
            rho2 = x * x + y * y
            for k in range(mirrors.shape[0]):
                z = mirrors[k, 0] + mirrors[k, 1] * centre[i, 2] - centre1[j, 2]
                if rho2 + z * z < limit * limit:
                    one, slope = near_pair(outer[j], weight[j], mirrors[k], corners[i], normal[i])
                    one, slope = one / area[i], slope / area[i]
                else:
                    one, slope = far_pair(x, y, z, mirrors[k, 1], normal[i], spread[i], spread1[j])
                v, s = v + mirrors[k, 2] * one, s + mirrors[k, 2] * slope
            potential[i, j] = v
            flux[i, j] = s
            if rings.shape[0] > 0 and (j <= i or not same):
                one, aside, by_down, by_up = rest(
                    rho2, centre[i, 2] - centre1[j, 2], centre[i, 2] + centre1[j, 2], rings
                )
                nx, ny, nz = normal[i, 0], normal[i, 1], normal[i, 2]
                potential[i, j] += one
                flux[i, j] += aside * (x * nx + y * ny) + (by_up + by_down) * nz
                if same and j < i:
                    nx, ny, nz = normal[j, 0], normal[j, 1], normal[j, 2]
                    potential[j, i] += one
                    flux[j, i] += (by_up - by_down) * nz - aside * (x * nx + y * ny)


def point_loop(points: Any, source: Any, near: Any, with_rest: Any, potential: Any) -> None:
    """Fill `potential` (p, n) at points, times 4 pi, as `plain.at_points` describes it."""
    centre, facing, spread, reach, area, corners, _, _, mirrors, rings = source
    for i in range(points.shape[0]):
        for j in range(centre.shape[0]):
            v, limit = 0.0, near * reach[j]
            x, y = points[i, 0] - centre[j, 0], points[i, 1] - centre[j, 1]
            rho2 = x * x + y * y
            for k in range(mirrors.shape[0]):
                height = mirrors[k, 0] + mirrors[k, 1] * points[i, 2]
                z = height - centre[j, 2]
                if rho2 + z * z < limit * limit:
                    one = polygon(points[i, 0], points[i, 1], height, corners[j], facing[j])[0] / area[j]
                else:
                    one = distant(x, y, z, spread[j])[0]
                v += mirrors[k, 2] * one
            if with_rest and rings.shape[0] > 0:
                v += rest(rho2, points[i, 2] - centre[j, 2], points[i, 2] + centre[j, 2], rings)[0]
            potential[i, j] = v
