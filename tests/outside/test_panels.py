"""Panels against solid bodies of an independent geometry library."""

from __future__ import annotations

import numpy as np
import pytest
import trimesh

from kit.panels import Batten, Fitting, panel, sheet
from kit.quantities import Q

# Wood Handbook, FPL-GTR-190, Table 5-3a: specific gravity at 12 %, two decimals printed (from memory).
OAK, CEDAR = "0.68", "0.32"


def solid(size, middle, density):
    """A box of a size in metres about a middle, with a density."""
    box = trimesh.creation.box(extents=size, transform=trimesh.transformations.translation_matrix(middle))
    box.density = density
    return box


@pytest.mark.outside("panel", "trimesh, mass and centre of mass of solid boxes")
def test_mass_and_centre_are_those_of_solid_boxes():
    """A lid with two battens, as three boxes of oak at 12 %, and a handle as a point."""
    density = 1000 * float(OAK) * 1.12
    bodies = [solid((0.55, 0.64, 0.026), (0, 0.32, 0), density)]
    bodies += [solid((0.5, 0.06, 0.026), (0, y, -0.026), density) for y in (0.12, 0.5)]
    mass = sum(body.mass for body in bodies) + 0.2
    centre = (sum(body.mass * body.center_mass[1] for body in bodies) + 0.2 * 0.62) / mass

    lid = panel(
        timber="white oak", width=Q(550, "mm"), depth=Q(640, "mm"), thickness=Q(26, "mm"), boards=5,
        rough_width=Q(118, "mm"), rough_thickness=Q(32, "mm"), fitting_moisture=Q(12, "percent"),
        wet_moisture=Q(28, "percent"),
        battens=[Batten(name=str(y), length=Q(500, "mm"), width=Q(60, "mm"), thickness=Q(26, "mm"), place=Q(y, "mm"))
                 for y in (120, 500)],
        fittings=[Fitting(name="handle", mass=Q(0.2, "kg"), place=Q(620, "mm"))])

    assert lid.mass.m_as("kg") == pytest.approx(mass, rel=1e-9)
    assert lid.centre.m_as("m") == pytest.approx(centre, rel=1e-9)


@pytest.mark.outside("sheet", "trimesh, mass of a hollow box of boards")
def test_a_carcass_weighs_what_its_boards_weigh():
    """An open box of 22 mm cedar, cut from the solid: its area at mid-thickness times its thickness."""
    t, length, width, height = 0.022, 1.35, 0.6, 0.42
    outer = trimesh.creation.box(extents=(length, width, height)).volume
    hollow = trimesh.creation.box(extents=(length - 2 * t, width - 2 * t, height - t)).volume
    area = (outer - hollow) / t

    carcass = sheet(timber="western redcedar", area=Q(area, "m^2"), thickness=Q(22, "mm"),
                    fitting_moisture=Q(12, "percent"), wet_moisture=Q(28, "percent"))

    assert carcass.mass.m_as("kg") == pytest.approx((outer - hollow) * 1000 * float(CEDAR) * 1.12, rel=1e-9)


@pytest.mark.parametrize("width", np.arange(300, 900, 37))
@pytest.mark.outside("panel", "counting boards one by one")
def test_boards_needed_are_the_fewest_that_reach(width):
    """Boards are laid down one by one until they reach, as at the bench."""
    laid = 0
    while laid * 134 < width + 10:
        laid += 1

    made = panel(timber="white oak", width=Q(float(width), "mm"), depth=Q(640, "mm"), thickness=Q(26, "mm"), boards=5,
                 rough_width=Q(140, "mm"), rough_thickness=Q(32, "mm"), fitting_moisture=Q(12, "percent"),
                 wet_moisture=Q(28, "percent"))

    assert made.boards_needed == Q(laid)
