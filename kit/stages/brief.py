"""Stage 00: what is wanted, where, for whom, and whether it can be carried, launched and paid for at all."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Annotated, Literal

import numpy as np

from kit.climate import Climate, MonthName, climate
from kit.estimating import FirstLook, first_look
from kit.handed import Allowance, Hazard, Part, Purchase, Task
from kit.kinds import Choice, Count, In, Rows, Text, YesNo
from kit.quantities import Q, Quantity
from kit.site import (
    ClientQuestions,
    Permissions,
    Signatures,
    SwimmingWater,
    client_questions,
    permissions,
    signatures,
    swimming_water,
)
from kit.stage import run, stage
from kit.water_density import WaterDensity, water_density

__all__ = ["brief"]


@stage(
    "brief",
    "00",
    "Brief",
    settles="Whether this is a thing you can carry, launch and afford, and whether it floats at all; then the place, "
    "water, the weather, the people, and who has to say yes.",
    first_look=("first.length", "first.width", "people", "first.mass", "first.float_volume", "first.materials"),
    have_at_hand=(
        "a sketch with its size",
        "a guess of the mass",
        "the depth of the water where it will lie",
        "how many people on the best day of the year",
    ),
    mistakes=(
        "Counting people at 65 kg because a table says so: yours come wet, dressed and in a hurry.",
        "Taking the mean wind where the gust breaks things.",
        "Measuring the water once, in spring, and never asking how far it falls.",
        "Asking the owner and forgetting the water keeper, the insurer and the neighbours.",
    ),
)
def brief(
    *,
    place: Annotated[str, Text("name of the place", "the tarn", longest=80)],
    rules: Annotated[
        Literal["European", "North American", "handbook only"],
        Choice("your country's rules for timber and screws; chosen once for the whole build"),
    ],
    units: Annotated[Literal["metric", "inch"], Choice("how numbers are shown; changes no stored value")] = "metric",
    currency: Annotated[str, Text("currency, as its three-letter code", "GBP", longest=3)] = "GBP",
    paper: Annotated[Literal["A4", "Letter"], Choice("paper for what is printed")] = "A4",
    named_end: Annotated[str, Text("the end that x points to", "ladder end", longest=30)] = "named end",
    people: Annotated[
        int, Count("people aboard at once", 4, ge=0, le=200, find="ask who will use it on the best day of the year")
    ],
    sharing: Annotated[
        int,
        Count(
            "people who may share an edge or a corner",
            3,
            ge=0,
            le=200,
            find="watch any jetty when something is to be seen",
        ),
    ],
    person_mass: Annotated[
        Quantity,
        In(
            "kg",
            "mass of one person, dressed and wet",
            80,
            ge=20,
            le=200,
            everyday=(60, 110),
            find="codes use 73 to 84 kg; ask your people",
        ),
    ],
    children: Annotated[bool, YesNo("are children about", find="on open water: yes")],
    gust: Annotated[
        Quantity,
        In(
            "m/s",
            "strongest gust, 3 s",
            25,
            ge=0,
            le=90,
            everyday=(15, 50),
            find="national wind map, then exposure; say gust, not mean",
        ),
    ],
    lid_wind: Annotated[
        Quantity, In("m/s", "wind in which lids are shut", 8, ge=0, le=40, find="small branches move at 8 m/s")
    ] = Q(8, "m/s"),
    cold: Annotated[Quantity, In("degC", "coldest air", -10, ge=-60, le=40, find="nearest weather station")],
    hot: Annotated[Quantity, In("degC", "warmest air", 32, ge=0, le=60, find="nearest weather station")],
    lid_steel: Annotated[Quantity, In("degC", "hottest steel under a lid in the sun", 45, ge=0, le=90)] = Q(45, "degC"),
    workshop_temperature: Annotated[
        Quantity,
        In("degC", "temperature in the workshop", 15, ge=-10, le=45, find="thermometer on the bench, a working day"),
    ],
    workshop_humidity: Annotated[
        Quantity, In("percent", "relative humidity in the workshop", 65, ge=5, le=99, find="hygrometer on the bench")
    ],
    latitude: Annotated[
        Quantity,
        In("deg", "latitude, north positive", 54.5, ge=-66, le=66, find="any map of the place", resolution=0.1),
    ],
    altitude: Annotated[
        Quantity, In("m", "height above the sea", 320, ge=-430, le=5000, find="any map of the place", resolution=1)
    ],
    fetch: Annotated[
        Quantity,
        In("m", "longest open water the wind can blow over", 250, ge=0, le=100_000, find="measure it on a map"),
    ],
    current: Annotated[
        Quantity, In("m/s", "strongest current", 0, ge=0, le=3, find="time an orange peel over 5 m, after rain")
    ] = Q(0, "m/s"),
    rises: Annotated[
        Quantity,
        In(
            "m",
            "how far the water rises above its usual level",
            0.6,
            ge=0,
            le=20,
            find="the strand line; ask the keeper",
        ),
    ],
    season_begins: Annotated[MonthName, Choice("first month of the season", find="when it is first used")] = "April",
    season_ends: Annotated[MonthName, Choice("last month of the season", find="when it is last used")] = "October",
    fitting_moisture: Annotated[
        Quantity,
        In(
            "percent",
            "moisture of the wood at fitting, % of dry mass",
            12,
            ge=4,
            le=60,
            find="meter, or weigh an offcut, dry it at 103 degC, weigh again",
        ),
    ],
    wet_moisture: Annotated[
        Quantity,
        In(
            "percent",
            "moisture of the wood when wet through, % of dry mass",
            28,
            ge=4,
            le=200,
            find="weigh one joist after a week in the water",
        ),
    ],
    contingency: Annotated[
        Quantity,
        In(
            "percent",
            "contingency on cost",
            15,
            ge=0,
            le=100,
            find="10 for work you know, 20 to 30 for a first of its kind",
        ),
    ] = Q(15, "percent"),
    budget: Annotated[Quantity | None, In("money", "money there is", 5500, ge=0, le=1e6)] = None,
    signs_and_consents: Annotated[Quantity, In("money", "signs, throw line, fees for consents", 165, ge=0, le=1e6)] = Q(
        0, "money"
    ),
    first: FirstLook = run(
        first_look,
        people="brief.people",
        person_mass="brief.person_mass",
        density="brief.water.density",
        contingency="brief.contingency",
        budget="brief.budget",
    ),
    water: WaterDensity = run(water_density),
    year: Climate = run(climate),
    depth: SwimmingWater = run(swimming_water),
    consents: Permissions = run(permissions),
    asked: ClientQuestions = run(client_questions),
    signed: Signatures = run(signatures),
    allowances: Annotated[
        Sequence[Allowance],
        Rows("allowances for what is not worked out yet", find="a guess now beats a forgotten battery later"),
    ] = (),
) -> Iterator[Part | Purchase | Task | Hazard]:
    """Allowances stand in for stages that come later; signs and consents are bought here."""
    for row in allowances:
        if np.any(row.mass.magnitude):
            yield Part(name=row.name, mass=row.mass, x=row.x, y=row.y, z=row.z, allowance=True)
        if np.any(row.cost.magnitude):
            yield Purchase(name=row.name, needed=Q(1), price=row.cost, size="allowance", allowance=True)
        if np.any(row.slow.magnitude):
            yield Task(name=row.name, quick=row.quick, likely=row.likely, slow=row.slow, allowance=True)
    yield Purchase(name="signs, throw line, consents", needed=Q(1), price=signs_and_consents)
    yield Task(name="brief, survey and consents", quick=Q(4, "h"), likely=Q(6, "h"), slow=Q(10, "h"), wait=Q(60, "d"))
    yield Hazard(
        text="Work over water with a buoyancy aid, a throw line and a second person with a boat; never alone, "
        "never after dark.",
        cites="OSHA-1926.106",
        at="any work afloat",
    )
    yield Hazard(
        text="Cold water disables within minutes: below about 15 degC dress for the water, not for the air.",
        cites="USACE-cold-water",
        at="any work afloat",
    )
    yield Hazard(
        text="Ask the navigation, water and conservation authority and the owner before anything is placed in or "
        "over water.",
        cites="practice",
        at="before you begin",
    )
