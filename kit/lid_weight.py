"""What a lid weighs with everything on it, and where that lies: trim, glass, inlay, counterweight, water, snow."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

from kit.calculator import calculator, require, result, row
from kit.kinds import In, Out, Rows, Text
from kit.quantities import Q, Quantity

__all__ = ["LidExtra", "LidWeight", "lid_weight"]


@row
class LidExtra:
    """Something that moves with the lid; a counterweight has a minus along."""

    name: Annotated[str, Text("what it is", "edging")]
    mass: Annotated[Quantity, In("kg", "mass", 0.5, ge=0, le=300, basis="measured", find="kitchen scale")]
    along: Annotated[
        Quantity,
        In(
            "mm",
            "its middle, along the lid from the pin (behind it is minus)",
            320,
            ge=-3000,
            le=3000,
            resolution=1,
            out_by="5 mm",
            find="rule",
        ),
    ]
    above: Annotated[
        Quantity,
        In(
            "mm",
            "its middle, above the pin, lid closed",
            0,
            ge=-1000,
            le=1000,
            resolution=1,
            out_by="5 mm",
            find="rule",
        ),
    ] = Q(0, "mm")
    soaks: Annotated[Quantity, In("percent", "water it takes up, of its mass", 0, ge=0, le=300)] = Q(0, "percent")


@result
class LidWeight:
    """Mass and centre of a lid as it is hung, wet through, and what snow lies on it."""

    mass: Annotated[Quantity, Out("kg", "mass of the lid with everything on it", resolution=0.1)]
    centre: Annotated[Quantity, Out("mm", "its centre of gravity, along it from the pin", resolution=1)]
    centre_above: Annotated[Quantity, Out("mm", "its centre of gravity, above the pin", resolution=1)]
    wet_mass: Annotated[Quantity, Out("kg", "mass wet through", resolution=0.1, rounding="up")]
    snow_mass: Annotated[Quantity, Out("kg", "snow on it", resolution=0.1, rounding="up")]
    snow_centre: Annotated[Quantity, Out("mm", "middle of the snow, along the lid from the pin", resolution=1)]
    moment: Annotated[Quantity, Out("N*m", "moment of its weight about the pin, held level", resolution=0.1)]
    with_snow: Annotated[Quantity, Out("kg", "mass under snow, wet through", resolution=0.1, rounding="up")]


@calculator("kit")
def lid_weight(
    *,
    panel: Annotated[Quantity, In("kg", "mass of the bare lid", 8.6, ge=0.1, le=300, basis="measured")],
    panel_wet: Annotated[Quantity, In("kg", "the same, wet through", 9.7, ge=0.1, le=400)],
    panel_centre: Annotated[Quantity, In("mm", "its centre of gravity, from its hinge edge", 315, ge=0, le=3000)],
    panel_above: Annotated[
        Quantity,
        In(
            "mm",
            "its centre of gravity, above the pin, lid closed",
            0,
            ge=-300,
            le=300,
            out_by="3 mm",
            find="half its thickness, less what the pin stands above its underside; battens pull it down",
        ),
    ] = Q(0, "mm"),
    pin_behind: Annotated[
        Quantity,
        In(
            "mm",
            "hinge pin behind the lid's hinge edge (in front of it is minus)",
            0,
            ge=-500,
            le=500,
            resolution=1,
            out_by="1 mm",
            find="rule",
        ),
    ] = Q(0, "mm"),
    extras: Annotated[Sequence[LidExtra], Rows("edging, glass, inlay, counterweight and the like", most=40)] = (),
    depth: Annotated[Quantity, In("mm", "depth of the lid", 640, ge=50, le=3000)],
    width: Annotated[Quantity, In("mm", "width of the lid", 550, ge=50, le=5000)],
    snow: Annotated[Quantity, In("mm", "depth of snow, or of standing water", 0, ge=0, le=2000, chosen=True)] = Q(
        0, "mm"
    ),
    snow_density: Annotated[
        Quantity,
        In(
            "kg/m^3",
            "its density",
            200,
            ge=20,
            le=1100,
            basis="common practice",
            find=("fresh snow 100, settled 200, wet 400, water 1000"),
        ),
    ] = Q(200, "kg/m^3"),
) -> LidWeight:
    """Add up a lid and everything that moves with it about its hinge pin.

    centre = sum(m x) / sum(m), along and above.  What goes behind the pin works
    as a counterweight.  Snow lies evenly on the whole lid and slides off when it
    is opened: it is kept apart.  Where the wet wood's water sits is left out.

    >>> lid = lid_weight(panel=Q(8.6, "kg"), panel_wet=Q(9.7, "kg"), panel_centre=Q(315, "mm"), depth=Q(640, "mm"),
    ...     width=Q(550, "mm"), extras=[LidExtra(name="counterweight", mass=Q(4, "kg"), along=Q(-150, "mm"))])
    >>> print(f"{lid.mass:.1f~P}, {lid.centre:.0f~P} from the pin")
    12.6 kg, 167 mm from the pin
    """
    along = panel_centre + pin_behind
    mass, first, up, water = panel, panel * along, panel * panel_above, panel_wet - panel
    for one in extras:
        mass, first, up = mass + one.mass, first + one.mass * one.along, up + one.mass * one.above
        water = water + one.mass * one.soaks.to("")
    centre = (first / mass).to("mm")
    require(centre >= Q(0, "mm"), "what is behind the pin outweighs the lid and holds it open: take some off", "extras")
    snow_mass = (snow * snow_density * depth * width).to("kg")
    return LidWeight(
        mass=mass,
        centre=centre,
        centre_above=(up / mass).to("mm"),
        wet_mass=mass + water,
        snow_mass=snow_mass,
        snow_centre=pin_behind + depth / 2,
        with_snow=mass + water + snow_mass,
        moment=(mass * Q(9.80665, "m/s^2") * centre).to("N*m"),
    )
