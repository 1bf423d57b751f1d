"""Panels glued up from boards: how much rough timber they take, what they weigh and where their weight is.

Boards lie side by side across the width of a panel and run along its depth,
from the hinge edge (or the back edge, where there is no hinge) to the front.
`sheet` is the short form for a carcass or anything else known by its area.

    >>> top = panel(timber="white oak", width=Q(400, "mm"), depth=Q(640, "mm"), thickness=Q(26, "mm"), boards=4,
    ...             rough_width=Q(110, "mm"), rough_thickness=Q(32, "mm"),
    ...             fitting_moisture=Q(12, "percent"), wet_moisture=Q(28, "percent"))
    >>> print(f"{top.mass:.2f~P}, boards of {top.board_width:.0f~P}")
    5.07 kg, boards of 100 mm
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Any

import numpy as np

from kit.calculator import calculator, require, result, row
from kit.checks import Check, at_least
from kit.kinds import Asks, Count, In, Out, Rows, Text
from kit.quantities import Q, Quantity
from kit.timber import SPECIES, moisture, species

__all__ = ["Batten", "Fitting", "Panel", "Sheet", "panel", "sheet"]

# A whole number is whole when it is this near: 560 mm of boards cover 560 mm of panel.
_NEAR = 1e-9


def _size(meaning: str, example: float, most: float, find: str = "rule or calipers") -> In:
    """A length of timber."""
    return In("mm", meaning, example, ge=1, le=most, resolution=1, find=find, basis="measured")


def _taken_off(meaning: str, example: float, most: float) -> In:
    """A length lost in preparing timber."""
    return In("mm", meaning, example, ge=0, le=most, resolution=0.5, find="plane one offcut flat and measure again",
              basis="common practice")


def _from_hinge(meaning: str, example: float) -> In:
    """A place along the depth of a panel."""
    return In("mm", meaning, example, ge=-1000, le=5000, resolution=1, basis="measured",
              find="rule, from the hinge edge (or the back edge)")


@row
class Batten:
    """A batten across the back of a panel, of the same timber."""

    name: Annotated[str, Text("batten", "batten at the hinge")]
    length: Annotated[Quantity, _size("length, across the panel", 500, 5000)]
    width: Annotated[Quantity, _size("width", 60, 500)]
    thickness: Annotated[Quantity, _size("thickness", 26, 200)]
    place: Annotated[Quantity, _from_hinge("its middle, from the hinge edge", 120)]


@row
class Fitting:
    """Anything else screwed to a panel: handle, hinge leaves, strut mount, seal."""

    name: Annotated[str, Text("fitting", "handle")]
    mass: Annotated[Quantity, In("kg", "mass", 0.2, ge=0, le=500, basis="measured",
                                 find="kitchen scale, screws included")]
    place: Annotated[Quantity, _from_hinge("its middle, from the hinge edge", 620)]


@result
class Panel:
    """A panel: rough timber, joints, mass and centre."""

    mass: Annotated[Quantity, Out("kg", "mass at fitting, battens and fittings included", resolution=0.1)]
    wet_mass: Annotated[Quantity, Out("kg", "mass when wet through", resolution=0.1, rounding="up")]
    centre: Annotated[Quantity, Out("mm", "distance of the centre of gravity from the hinge edge", resolution=1)]
    board_mass: Annotated[Quantity, Out("kg", "mass of the boards alone", resolution=0.01)]
    batten_mass: Annotated[Quantity, Out("kg", "mass of the battens", resolution=0.01)]
    fitting_mass: Annotated[Quantity, Out("kg", "mass of the fittings", resolution=0.01)]
    worked_out: Annotated[Quantity, Out("kg", "mass by size and species, whatever the scale says", resolution=0.01)]
    density: Annotated[Quantity, Out("kg/m^3", "density of the timber at fitting", resolution=1)]
    board_width: Annotated[Quantity, Out("mm", "width of one board in the finished panel", resolution=0.1)]
    jointed_width: Annotated[Quantity, Out("mm", "width of all boards after jointing", resolution=0.1, rounding="down")]
    planed_thickness: Annotated[Quantity, Out(
        "mm", "greatest thickness the rough boards plane to", resolution=0.1, rounding="down")]
    boards_needed: Annotated[Quantity, Out("1", "boards needed", rounding="up")]
    rough_length: Annotated[Quantity, Out("mm", "length to cut each rough board", resolution=1, rounding="up")]
    rough_volume: Annotated[Quantity, Out("m^3", "rough timber to buy, battens included", rounding="up")]
    rough_feet: Annotated[Quantity, Out("bdft", "the same in board feet, under 1 in thick counted as 1 in",
                                        resolution=0.1, rounding="up")]
    board_length: Annotated[Quantity, Out("m", "length of all rough boards, battens included", resolution=0.01,
                                          rounding="up")]
    yielded: Annotated[Quantity, Out("percent", "share of the rough timber in the finished panel", rounding="down")]
    faces: Annotated[Quantity, Out("m^2", "area of faces and long edges, battens included", resolution=0.01)]
    ends: Annotated[Quantity, Out("m^2", "area of its end grain", resolution=0.001)]
    hidden: Annotated[Quantity, Out("m^2", "area that lies under battens, both sides", resolution=0.001)]
    joints: Annotated[Quantity, Out("1", "glue lines between the boards")]
    joint_area: Annotated[Quantity, Out("m^2", "area of the glue lines, one face each", resolution=0.001)]
    wide_enough: Annotated[Check, Asks("rough boards make up the width", "practice")]
    thick_enough: Annotated[Check, Asks("rough boards plane to the thickness", "practice")]
    notes: tuple[str, ...] = ()


@calculator("FPL-GTR-190", "practice", "kit")
def panel(
    *,
    timber: Annotated[str, species("species of the boards and battens", "white oak")],
    width: Annotated[Quantity, _size("width of the panel, across the boards", 550, 5000)],
    depth: Annotated[Quantity, _size("depth of the panel, from hinge edge to front edge", 640, 5000)],
    thickness: Annotated[Quantity, In(
        "mm", "thickness of the boards after planing", 26, ge=3, le=150, everyday=(12, 60), resolution=0.5,
        find="calipers on a planed offcut", basis="measured")],
    boards: Annotated[int, Count("boards side by side", 5, ge=1, le=60,
                                 find="narrow boards stay flatter: 80 to 130 mm each")],
    rough_width: Annotated[Quantity, _size("width of a rough board", 118, 1000)],
    rough_thickness: Annotated[Quantity, _size("thickness of a rough board", 32, 300)],
    fitting_moisture: Annotated[Quantity, moisture("moisture when it is fitted", 12)],
    wet_moisture: Annotated[Quantity, moisture("moisture when wet through", 28)],
    battens: Annotated[Sequence[Batten], Rows("battens", most=20)] = (),
    fittings: Annotated[Sequence[Fitting], Rows("handle and other fittings", most=40)] = (),
    edge: Annotated[Quantity, _taken_off("jointed off each edge of a board", 3, 50)] = Q(3, "mm"),
    face: Annotated[Quantity, _taken_off("planed off each face of a board", 3, 50)] = Q(3, "mm"),
    end: Annotated[Quantity, _taken_off("cut off each end of a board", 25, 500)] = Q(25, "mm"),
    trim: Annotated[Quantity, _taken_off("cut off the width of the glued panel", 10, 200)] = Q(10, "mm"),
    weighed: Annotated[Quantity | None, In(
        "kg", "mass of the finished panel, if it has been weighed", 8.6, ge=0.01, le=500,
        find="bathroom scale, with and without", basis="measured")] = None,
) -> Panel:
    """Rough boards, glue lines, mass and centre of gravity of a panel glued up from boards.

    A board gives rough_width - 2 edge, and ceil((width + trim) / that) boards
    are needed; it planes to rough_thickness - 2 face at most.  Mass is volume
    times density at the moisture of fitting; the centre is sum(m y) / sum(m)
    over boards, battens and fittings.  Wet through, the timber gains as its
    moisture does, (1 + wet) / (1 + fitting); fittings gain nothing.  A weighed
    mass takes the place of the worked-out one; the centre stays worked out.
    Slots, screw holes and inlays are left out.

    >>> lid = panel(timber="white oak", width=Q(550, "mm"), depth=Q(640, "mm"), thickness=Q(26, "mm"), boards=5,
    ...             rough_width=Q(118, "mm"), rough_thickness=Q(32, "mm"),
    ...             fitting_moisture=Q(12, "percent"), wet_moisture=Q(28, "percent"),
    ...             fittings=[Fitting(name="handle", mass=Q(0.3, "kg"), place=Q(620, "mm"))])
    >>> print(f"{lid.mass:.1f~P}, {lid.centre:.0f~P} from the hinge")
    7.3 kg, 332 mm from the hinge
    """
    _preparable(rough_width, edge, rough_thickness, face)
    kind = SPECIES[timber]
    density = kind.density(fitting_moisture)
    board_mass = (width * depth * thickness * density).to("kg")
    batten_mass = sum((_batten_volume(b) * density for b in battens), Q(0, "kg"))
    fitting_mass = sum((f.mass for f in fittings), Q(0, "kg"))
    timber_mass = board_mass + batten_mass
    worked_out = timber_mass + fitting_mass
    mass = worked_out if weighed is None else weighed
    jointed, planed = _left(rough_width, edge), _left(rough_thickness, face)
    length = depth + 2 * end
    rough = boards * rough_width * rough_thickness * length
    volume = _rough_volume(rough, battens, (edge, face, end))
    ribs = [(b.length, b.width, b.thickness) for b in battens]
    hidden = sum((2 * long * wide for long, wide, _ in ribs), Q(0, "m^2"))
    around = sum((2 * long * wide + 2 * thick * long for long, wide, thick in ribs), Q(0, "m^2"))
    return Panel(
        mass=mass.to("kg"),
        wet_mass=(mass + timber_mass * _gain(fitting_moisture, wet_moisture)).to("kg"),
        centre=_centre(board_mass, depth, density, battens, fittings),
        board_mass=board_mass, batten_mass=batten_mass.to("kg"), fitting_mass=fitting_mass.to("kg"),
        worked_out=worked_out.to("kg"), density=density.to("kg/m^3"),
        board_width=(width / boards).to("mm"),
        jointed_width=(boards * jointed).to("mm"),
        planed_thickness=planed,
        boards_needed=Q(np.ceil(((width + trim) / jointed).m_as("") - _NEAR)),
        rough_length=length.to("mm"), rough_volume=volume,
        rough_feet=Q(volume * np.maximum(1.0, 1 / rough_thickness.m_as("in")), "bdft"),
        board_length=Q(sum((b.length + 2 * end for b in battens), boards * length), "m"),
        yielded=(Q(timber_mass / density) / volume).to("percent"),
        faces=(2 * width * depth + 2 * depth * thickness + around).to("m^2"),
        ends=(2 * width * thickness).to("m^2"), hidden=hidden.to("m^2"),
        joints=Q(boards - 1.0),
        joint_area=((boards - 1) * depth * thickness).to("m^2"),
        wide_enough=at_least((boards * jointed).to("mm"), (width + trim).to("mm"), share=False,
                             reason="jointing and trimming are already taken off"),
        thick_enough=at_least(planed, thickness.to("mm"), share=False,
                              reason="planing of both faces is already taken off"),
        notes=kind.remembered("gravity", "gravity_green"),
    )


def _preparable(rough_width: Quantity, edge: Quantity, rough_thickness: Quantity, face: Quantity) -> None:
    require(rough_width - 2 * edge >= Q(1, "mm"),
            "nothing is left of a rough board after jointing; the width must be more than twice what is jointed off, "
            "such as 118 mm with 3 mm off each edge", "rough_width", "edge")
    require(rough_thickness - 2 * face >= Q(1, "mm"),
            "nothing is left of a rough board after planing; the thickness must be more than twice what is planed off, "
            "such as 32 mm with 3 mm off each face", "rough_thickness", "face")


def _left(rough: Quantity, off: Quantity) -> Quantity:
    """What is left between two edges or faces; nan where a sample leaves nothing."""
    left = np.asarray((rough - 2 * off).m_as("mm"))
    return Q(np.where(left > 0, left, np.nan)[()], "mm")


def _batten_volume(batten: Batten) -> Quantity:
    return Q(batten.length * batten.width * batten.thickness)


def _centre(
    board_mass: Quantity, depth: Quantity, density: Quantity, battens: Sequence[Batten], fittings: Sequence[Fitting]
) -> Quantity:
    masses = [board_mass, *(_batten_volume(b) * density for b in battens), *(f.mass for f in fittings)]
    places = [depth / 2, *(b.place for b in battens), *(f.place for f in fittings)]
    moment = sum((m * y for m, y in zip(masses, places, strict=True)), Q(0, "kg*mm"))
    return Q(moment / sum(masses, Q(0, "kg")), "mm")


def _gain(fitting: Quantity, wet: Quantity) -> Any:
    """Mass of water taken up as a share of the mass at fitting."""
    return (1 + wet.m_as("")) / (1 + fitting.m_as("")) - 1


def _rough_volume(
    boards: Quantity, battens: Sequence[Batten], off: tuple[Quantity, Quantity, Quantity]
) -> Quantity:
    """Boards and battens before jointing and planing; `off` is what each edge, face and end loses."""
    edge, face, end = off
    rough = [(b.length + 2 * end) * (b.width + 2 * edge) * (b.thickness + 2 * face) for b in battens]
    return Q(sum(rough, boards), "m^3")


@result
class Sheet:
    """A carcass, or anything of one thickness known by its area."""

    mass: Annotated[Quantity, Out("kg", "mass at fitting", resolution=0.1)]
    wet_mass: Annotated[Quantity, Out("kg", "mass when wet through", resolution=0.1, rounding="up")]
    density: Annotated[Quantity, Out("kg/m^3", "density of the timber at fitting", resolution=1)]
    stock: Annotated[Quantity, Out("m^2", "area to buy, waste included", resolution=0.01, rounding="up")]
    outside: Annotated[Quantity, Out("m^2", "area of both faces", resolution=0.01)]
    notes: tuple[str, ...] = ()


@calculator("FPL-GTR-190", "practice", "kit")
def sheet(
    *,
    timber: Annotated[str, species("species of the carcass", "western redcedar")],
    area: Annotated[Quantity, In("m^2", "area of all its sides, bottom and divisions", 3, ge=0.001, le=500,
                                 resolution=0.01, find="add length x height of every piece", basis="measured")],
    thickness: Annotated[Quantity, _size("thickness after planing", 22, 150)],
    fitting_moisture: Annotated[Quantity, moisture("moisture when it is fitted", 12)],
    wet_moisture: Annotated[Quantity, moisture("moisture when wet through", 28)],
    waste: Annotated[Quantity, In("percent", "waste on the area", 10, ge=0, le=100, basis="common practice",
                                  find="10 for clear boards, 25 for knotty or crooked ones")] = Q(10, "percent"),
    weighed: Annotated[Quantity | None, In("kg", "its mass, if it has been weighed", 23.7, ge=0.01, le=5000,
                                           find="bathroom scale, with and without", basis="measured")] = None,
) -> Sheet:
    """Mass and stock of a carcass of one thickness.

    mass = area * thickness * density; screws, glue and joints cut away are left
    out.  Wet through, the timber gains as its moisture does.

    >>> carcass = sheet(timber="western redcedar", area=Q(3, "m^2"), thickness=Q(22, "mm"),
    ...                 fitting_moisture=Q(12, "percent"), wet_moisture=Q(28, "percent"))
    >>> print(f"{carcass.mass:.1f~P}")
    23.7 kg
    """
    kind = SPECIES[timber]
    density = kind.density(fitting_moisture)
    worked_out = (area * thickness * density).to("kg")
    mass = worked_out if weighed is None else weighed.to("kg")
    return Sheet(
        mass=mass,
        wet_mass=mass + worked_out * _gain(fitting_moisture, wet_moisture),
        density=density.to("kg/m^3"),
        stock=(area * (1 + waste.m_as(""))).to("m^2"),
        outside=(2 * area).to("m^2"),
        notes=kind.remembered("gravity", "gravity_green"),
    )
