"""How far shapes are apart, or how deep one is in another."""

from __future__ import annotations

import math

from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

#: What the checker lets pass for rounding, in millimetres.
SLACK = 1.0e-3
#: Beyond any board, in millimetres.
FAR = 1.0e5


def depth_beyond(inner: BaseGeometry, outer: BaseGeometry) -> float:
    """How far a shape sticks out of another; minus its clearance where it does not."""
    beyond = inner.difference(outer)
    if beyond.is_empty or beyond.area < 1e-12:
        return -inner.distance(outer.boundary) if inner.within(outer) else 0.0
    far = 0.0
    for polygon in getattr(beyond, "geoms", [beyond]):
        if polygon.geom_type == "Polygon":
            far = max(far, max(Point(p).distance(outer) for p in polygon.exterior.coords))
    # Where the outer shape's corner pokes in, from inside.
    corners = [Point(p) for ring in (outer.exterior, *outer.interiors) for p in ring.coords]
    return max([far, *(p.distance(inner.exterior) for p in corners if inner.contains(p))])


def apart(a: BaseGeometry, b: BaseGeometry) -> float:
    """Distance; where they overlap, minus a measure of how deep."""
    distance = a.distance(b)
    if distance > 0.0:
        return distance
    overlap = a.intersection(b)
    if overlap.area < 1e-12:
        return 0.0
    rectangle = overlap.minimum_rotated_rectangle
    if rectangle.geom_type != "Polygon":
        return 0.0
    corners = list(rectangle.exterior.coords)
    return -min(math.dist(corners[0], corners[1]), math.dist(corners[1], corners[2]))
