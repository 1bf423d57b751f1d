"""Electrics beside water: how tight each part is, and voltages that cannot hurt.

A box is as tight as the leakiest thing in its wall.  Tested against going
under (7, 8) does not mean tested against a hose (5, 6).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Annotated, Literal

import numpy as np

from kit.calculator import calculator, require, result, row
from kit.checks import Check, at_least, at_most, does_not_apply, fails, open_check
from kit.columns import at_rows, column, worst_row
from kit.kinds import Asks, Choice, In, Out, Rows, Says, Text, YesNo
from kit.quantities import Q, Quantity
from kit.wire import FACTS

__all__ = ["LowVoltage", "Seal", "Splash", "low_voltage", "read_protection", "splash"]

Place = Literal["dry, under a roof", "rain", "splashed", "hosed", "may go under"]
_NEEDS: dict[str, int] = {"dry, under a roof": 0, "rain": 3, "splashed": 4, "hosed": 5, "may go under": 7}
_CODE = re.compile(r"IP([0-6X])([0-9X])", re.IGNORECASE)


@row
class Seal:
    """Something in the way of the water: a box, a gland, a connector, a switch in the wall."""

    name: Annotated[str, Text("part", "cable gland", longest=40)]
    code: Annotated[str, Text("its IP code", "IP67", longest=16, find="moulded on it; IP65/IP67 for both")]
    place: Annotated[Place, Choice("what it has to stand", "splashed")] = "splashed"
    load: Annotated[Quantity | None, In("A", "current through it, if it is a connector", 3, ge=0, le=1000)] = None
    rated: Annotated[Quantity | None, In("A", "current a connector is rated for", 10, ge=0.1, le=1000, chosen=True,
                                         basis="data sheet", find="data sheet, all contacts loaded")] = None


@result
class Splash:
    """Whether everything is tight enough."""

    weakest: Annotated[str, Says("the part that is least tight")]
    short: Annotated[str, Says("what is not tight enough")]
    tight: Annotated[Check, Asks("every part stands the water that reaches it", "IEC-60529", hazard=True)]
    connectors: Annotated[Check, Asks("no connector carries more than it is rated for", "practice")]


@calculator("IEC-60529")
def splash(
    *,
    parts: Annotated[Sequence[Seal], Rows("what keeps water out", least=1, most=60)],
) -> Splash:
    """Second digit of each IP code against the water that reaches the part.

    Up to 6 a digit holds for all lower ones; 7 and 8 (under water) hold for 1
    to 4 only, unless a jet is named beside them.  Rain asks for 3, splashes
    for 4, a hose for 5, going under for 7 (common practice, no source).  A
    connector is also held to the current it is rated for.

    >>> splash(parts=[Seal(name="box", code="IP67", place="hosed")]).short
    'box: IP67 is not tested against a hose'
    """
    tests = {one.name: read_protection(one) for one in parts}
    bad = [one for one in parts if not _stands(tests[one.name], _NEEDS[one.place])]
    said = "; ".join(_words(one, tests[one.name]) for one in bad)
    weakest = min(parts, key=lambda one: max(tests[one.name]))
    return Splash(
        weakest=f"{weakest.name}, {weakest.code.strip()}", short=said or "nothing",
        tight=at_most(Q(len(bad)), Q(0), reason=said or "parts that are not tight enough"),
        connectors=_connectors(parts),
    )


def _connectors(parts: Sequence[Seal]) -> Check:
    loaded = [one for one in parts if one.load is not None]
    if not loaded:
        return does_not_apply("no part is given a current")
    unrated = [one.name for one in loaded if one.rated is None]
    if unrated:
        return open_check(f"{unrated[0]}: enter the current it is rated for, from its data sheet")
    loads, rated = column((one.load for one in loaded), "A"), column((one.rated for one in loaded), "A")
    rows, worst = worst_row(loads.m / rated.m)
    return at_most(at_rows(loads, rows), at_rows(rated, rows), reason=loaded[worst].name)


def read_protection(one: Seal) -> tuple[int, ...]:
    """Second digits of a part's IP codes; X is 0.  Refuses what is no such code."""
    found = [0 if water.upper() == "X" else int(water) for _, water in _CODE.findall(one.code)]
    require(bool(found), f"'{one.code}' of {one.name} is no IP code; write IP65 or IP65/IP67", "parts")
    return tuple(found) or (0,)


def _stands(tests: Sequence[int], need: int) -> bool:
    """A jet is stood by 5 and 6 only, going under by 7 and 8 only, anything less by all that are higher."""
    if need >= 7:
        return any(7 <= test <= 8 for test in tests)
    if need >= 5:
        return any(need <= test <= 6 or test == 9 for test in tests)
    return any(test >= need for test in tests)


def _words(one: Seal, tests: Sequence[int]) -> str:
    code = one.code.strip()
    if one.place == "hosed" and max(tests) >= 7:
        return f"{one.name}: {code} is not tested against a hose"
    return f"{one.name}: {code} where it is {one.place}" if one.place != "rain" else f"{one.name}: {code} in the rain"


@result
class LowVoltage:
    """Voltage, charger, earth and separation."""

    touch: Annotated[Quantity, Out("mA", "current through a wet body at the highest voltage", rounding="up")]
    extra_low: Annotated[Check, Asks("voltage is low enough beside water", "IEC-60364-7-702", hazard=True)]
    isolated: Annotated[Check, Asks("nothing ties it to the mains", "IEC-60364-7-702", hazard=True)]
    joints_dry: Annotated[Check, Asks("no joint lies in the water", "IEC-60364-7-702", hazard=True)]
    separate: Annotated[Check, Asks("signal wires keep away from power wires", "practice")]
    one_earth: Annotated[Check, Asks("all minus wires meet at one point", "practice")]


@calculator("IEC-60364-7-702", "kuphaldt")
def low_voltage(
    *,
    highest: Annotated[Quantity, In("V", "highest voltage of the charger, cold", 15.3, ge=1, le=1000)],
    mains: Annotated[
        Literal["none afloat", "isolated, ashore", "not isolated", "not known"],
        Choice("charger or anything else on the mains", "none afloat", find="ask: is there a mains charger, and is it "
               "double insulated or behind an isolating transformer"),
    ],
    joints_in_water: Annotated[bool, YesNo("a joint lies below the water or where waves reach", False)],
    side_by_side: Annotated[Quantity, In("m", "longest stretch of signal beside power wire", 1, ge=0, le=500)],
    apart: Annotated[Quantity, In("mm", "distance between them there", 100, out_by="10 mm",
                                  ge=0, le=5000, basis="measured")],
    twisted: Annotated[bool, YesNo("signal wires are a twisted or screened pair", True)],
    earth: Annotated[Literal["one point", "several points", "through the water"],
                     Choice("where the minus wires meet", "one point")],
    body: Annotated[Quantity, In("ohm", "resistance of a wet body, worst case", 1000, ge=100, le=100_000,
                                 basis="handbook")] = Q(1000, "ohm"),
) -> LowVoltage:
    """Limits for separated extra-low voltage, and order among the wires.

    Where people bathe at most 30 V direct, with its source outside and safely
    separated from the mains; a 12 V battery on charge is inside that.  Shock
    is then not what hurts: a short circuit does.  Signal wires beside power
    keep 100 mm off over more than half a metre, twisted ones 30 mm (common
    practice, no source).  Defer to local codes and a licensed electrician for
    anything on the mains.

    >>> wet = low_voltage(highest=Q(15.3, "V"), mains="none afloat", joints_in_water=False, side_by_side=Q(1, "m"),
    ...                   apart=Q(100, "mm"), twisted=True, earth="one point")
    >>> wet.extra_low.verdict, f"{wet.touch.m:.0f} mA"
    ('meets', '15 mA')
    """
    least = Q(30 if twisted else 100, "mm")
    close = np.all(side_by_side <= Q(0.5, "m"))
    return LowVoltage(
        touch=Q(highest / body, "mA"), extra_low=at_most(highest, FACTS["dry dc"].q, reason="direct current"),
        isolated=_isolated(mains),
        joints_dry=fails("a joint in the water corrodes and leaks: bring it above, or make the cable whole")
        if joints_in_water else at_most(Q(0), Q(0), reason="no joint in the water"),
        separate=does_not_apply("they run side by side for less than half a metre") if close and not _many(side_by_side)
        else at_least(apart, Q(np.where(side_by_side <= Q(0.5, "m"), 0.0, least.m)[()], "mm"),
                      reason="twisted or screened" if twisted else "neither twisted nor screened"),
        one_earth=_earth(earth),
    )


def _many(value: Quantity) -> bool:
    return bool(np.ndim(value.magnitude))


def _isolated(mains: str) -> Check:
    if mains == "not known":
        return open_check("find out whether the charger separates the battery safely from the mains")
    if mains == "not isolated":
        return fails("a charger that is not separated brings mains to the water: nobody may be in it")
    return at_most(Q(0), Q(0), reason=mains)


def _earth(earth: str) -> Check:
    if earth == "through the water":
        return fails("current through the water eats metal away: isolate every metal part from the minus")
    if earth == "several points":
        return fails("motor current then flows through signal wires: bring all minus wires to one point")
    return at_most(Q(1), Q(1), reason="one point", share=False)
