"""What a tilted water surface cuts off tubes, boxes and drums: volumes, moments and waterplane.

A kernel on plain SI numbers, for speed: metres, cubic metres, no quantities.
Coordinates are the build's own (x towards the named end, y to the right, z up).
The water surface is the plane `n . r = d`, `n` the unit vector that points up;
what lies below it is immersed.  Everything is exact: circular segments are
integrated along a tube and across a drum by their antiderivatives, boxes
column by column.

Arrays are (compartments, cases).  Tilt must stay below 80 degrees, so that
every column of a box or a drum meets the surface once; past that the whole is
looked at from another side (`kit.hydro_turned`).
"""

from __future__ import annotations

from functools import reduce
from operator import add

import numpy as np

from kit.hydro_boxes import of_boxes
from kit.hydro_shapes import Array, Boxes, Compartments, Immersed, Tubes, Up, Uprights
from kit.hydro_tubes import of_tubes
from kit.hydro_uprights import of_uprights

__all__ = ["Boxes", "Compartments", "Immersed", "Tubes", "Uprights", "immersed"]


def immersed(bodies: Compartments, share: Array, depth: Array, up: Up) -> Immersed:
    """What the plane `up . r = depth` cuts off, each compartment counted with its buoyant `share`."""
    of_tube, of_box, of_upright = bodies.shares(share)
    parts = []
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        if len(bodies.tubes.z):
            parts.append(of_tubes(bodies.tubes, of_tube, depth, up))
        if len(bodies.boxes.z):
            parts.append(of_boxes(bodies.boxes, of_box, depth, up))
        if len(bodies.uprights.z):
            parts.append(of_uprights(bodies.uprights, of_upright, depth, up))
    return reduce(add, parts)
