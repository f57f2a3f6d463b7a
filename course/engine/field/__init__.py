"""The field in the water: panels of hull and metal, images of surface and bed, reduced once to a matrix.

panels      flat panels, closed bodies and sheets
shapes      plates, boxes, spheres, disks, rods; hull: from station outlines
basin       surface and bed
elementary  closed-form fields; plain and compiled: the two forms of the same kernel
water_field the reduction to a transfer matrix; moving: one sheet elsewhere; plane_map: potential
                on a plane
"""

from course.engine.field.basin import Basin
from course.engine.field.hull import cuts, hull
from course.engine.field.moving import with_moved
from course.engine.field.panels import Panels, join, panels
from course.engine.field.plane_map import PlaneMap, inside, plane_map
from course.engine.field.shapes import (
    box,
    disk,
    even,
    graded,
    plate,
    revolved,
    sector,
    sphere,
    spheroid,
    tube,
)
from course.engine.field.water_field import Field, layer_at, water_field

__all__ = [
    "Basin",
    "Field",
    "Panels",
    "PlaneMap",
    "box",
    "cuts",
    "disk",
    "even",
    "graded",
    "hull",
    "inside",
    "join",
    "layer_at",
    "panels",
    "plane_map",
    "plate",
    "revolved",
    "sector",
    "sphere",
    "spheroid",
    "tube",
    "water_field",
    "with_moved",
]
