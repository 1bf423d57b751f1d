"""A two-wire bus: addresses that must differ, pull-ups that are strong enough and not too strong, length of cable."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Sequence
from typing import Annotated, Any, Literal

import numpy as np

from kit.calculator import calculator, require, result, row
from kit.checks import Check, at_least, at_most, fails
from kit.columns import cell, column
from kit.kinds import Asks, Choice, In, Out, Rows, Says, Text
from kit.quantities import Q, Quantity

__all__ = ["BusDevice", "TwoWireBus", "read_address", "two_wire_bus"]

Speed = Literal["100 kHz", "400 kHz", "1000 kHz"]
# Rise time in ns and capacitance in pF allowed, current in mA that a device must be able to sink, by speed.
_LIMITS = {"100 kHz": (1000, 400, 3), "400 kHz": (300, 400, 3), "1000 kHz": (120, 550, 20)}
# ln(0.7/0.3): the rise is taken from three to seven tenths of the supply.
_RISE = np.log(0.7 / 0.3)
_LOW = Q(0.4, "V")
_HEX = re.compile(r"0[xX][0-9A-Fa-f]{1,3}|[0-9]{1,3}")


@row
class BusDevice:
    """One device on the bus."""

    name: Annotated[str, Text("device", "display", longest=40)]
    address: Annotated[str, Text("address, 7 bits", "0x3C", longest=6, find="data sheet, or a scan of the bus")]
    capacitance: Annotated[Quantity, In("pF", "capacitance of its pins and board", 15, ge=0, le=400,
                                        basis="data sheet")] = Q(15, "pF")
    pull_up: Annotated[Quantity | None, In("kohm", "pull-up on its board", 10, ge=0.1, le=1000, find=(
        "resistors beside the pins of a ready-made board"))] = None


@result
class TwoWireBus:
    """Pull-ups and addresses of the bus."""

    capacitance: Annotated[Quantity, Out("pF", "capacitance of the bus", rounding="up")]
    together: Annotated[Quantity, Out("kohm", "all pull-ups together", resolution=0.01, absent="no pull-up at all")]
    least: Annotated[Quantity, Out("kohm", "least pull-up that the devices can pull down", resolution=0.01,
                                   rounding="up")]
    most: Annotated[Quantity, Out("kohm", "greatest pull-up that rises in time", resolution=0.01, rounding="down")]
    rise: Annotated[Quantity, Out("ns", "rise time", rounding="up", absent="it never rises")]
    longest: Annotated[Quantity, Out("m", "longest cable with these pull-ups", resolution=0.1, rounding="down",
                                     absent="no pull-up at all")]
    taken: Annotated[str, Says("addresses taken")]
    differ: Annotated[Check, Asks("every address on the bus differs", "UM10204")]
    free: Annotated[Check, Asks("no address is a reserved one", "UM10204")]
    rises: Annotated[Check, Asks("pull-ups are strong enough for the capacitance", "UM10204")]
    sinks: Annotated[Check, Asks("pull-ups are not too strong for the devices", "UM10204")]
    short: Annotated[Check, Asks("capacitance is within the limit of the bus", "UM10204")]


@calculator("UM10204")
def two_wire_bus(
    *,
    devices: Annotated[Sequence[BusDevice], Rows("devices", least=1, most=60)],
    speed: Annotated[Speed, Choice("speed", "100 kHz")] = "100 kHz",
    supply: Annotated[Quantity, In("V", "supply of the bus", 3.3, ge=1.6, le=5.5)] = Q(3.3, "V"),
    pull_up: Annotated[Quantity | None, In("kohm", "pull-up at the controller", 4.7, ge=0.1, le=1000)] = None,
    cable: Annotated[Quantity, In("m", "cable of the bus", 0.5, out_by="50 mm",
                                  ge=0, le=100, basis="measured")] = Q(0.5, "m"),
    per_metre: Annotated[Quantity, In("pF/m", "capacitance of a metre of cable", 100, ge=10, le=500, find=(
        "50 to 100 pF/m for thin cable, from memory"))] = Q(100, "pF/m"),
    controller: Annotated[Quantity, In("pF", "capacitance of the controller's pin", 10, ge=0, le=200)] = Q(10, "pF"),
) -> TwoWireBus:
    """Pull-ups between what the devices can pull down and what the capacitance lets rise, and addresses that differ.

    Rp <= t_rise/(0.8473 C), 0.8473 = ln(0.7/0.3); Rp >= (supply - 0.4 V)/I with
    3 mA (20 mA at 1000 kHz), below 2 V of supply 0.2 of it for 0.4 V (from
    memory).  Pull-ups on ready-made boards all count, in parallel.

    >>> bus = two_wire_bus(pull_up=Q(4.7, "kohm"), devices=[BusDevice(name="display", address="0x3C"),
    ...                                                     BusDevice(name="clock", address="0x68")])
    >>> bus.differ.verdict, f"{bus.rise:.0f~P}"
    ('meets', '358 ns')
    """
    addresses = {one.name: read_address(one) for one in devices}
    in_time, allowed, sinks = _LIMITS[speed]
    parts = column((one.capacitance for one in devices), "pF")
    fixed = cell(Q(parts.sum(axis=0), "pF")) + controller
    total = Q(fixed + cable * per_metre, "pF")
    pulls = _parallel(devices, pull_up)
    most = Q(Q(in_time, "ns") / (_RISE * total), "kohm")
    low = np.where(supply.m_as("V") > 2, _LOW.m, 0.2 * supply.m_as("V"))
    least = Q((supply - Q(low[()], "V")) / Q(sinks, "mA"), "kohm")
    room = np.minimum(allowed, Q(Q(in_time, "ns") / (_RISE * pulls), "pF").m) - fixed.m_as("pF")
    return TwoWireBus(
        capacitance=total, together=pulls, least=least, most=most, rise=Q(_RISE * pulls * total, "ns"),
        longest=Q(Q(np.maximum(room, 0), "pF") / per_metre, "m"),
        taken=", ".join(f"{name} 0x{number:02X}" for name, number in sorted(addresses.items(), key=lambda x: x[1])),
        differ=_differ(addresses), free=_free(addresses), rises=_pulled(pulls, most, at_most, least),
        sinks=_pulled(pulls, least, at_least, least),
        short=at_most(total, Q(float(allowed), "pF"), reason=f"{speed}"),
    )


def read_address(one: BusDevice) -> int:
    """The address of a device, from "0x3C" or "60"; refuses what is not 7 bits."""
    text = one.address.strip()
    readable = _HEX.fullmatch(text) is not None
    number = int(text, 0 if text[:2].lower() == "0x" else 10) if readable else -1
    example = "0x3C" if not 127 < number < 256 else f"0x{number >> 1:02X}, for the 8-bit form holds the direction too"
    require(readable and number <= 127, f"'{text}' of {one.name} is no 7-bit address; write {example}", "devices")
    return number


def _parallel(devices: Sequence[BusDevice], pull_up: Quantity | None) -> Quantity:
    """All pull-ups in parallel, or nan when there is none."""
    given = [one.pull_up for one in devices if one.pull_up is not None] + ([] if pull_up is None else [pull_up])
    if not given:
        return Q(np.nan, "kohm")
    together: Any = sum((1 / one for one in given[1:]), 1 / given[0])
    return Q(1 / together, "kohm")


def _differ(addresses: dict[str, int]) -> Check:
    """How many devices share an address, and which."""
    by_address: dict[int, list[str]] = defaultdict(list)
    for name, number in addresses.items():
        by_address[number].append(name)
    clashes = {number: names for number, names in by_address.items() if len(names) > 1}
    said = "; ".join(f"{' and '.join(names)} both at 0x{number:02X}" for number, names in clashes.items())
    return at_most(Q(len(clashes)), Q(0), reason=said or "addresses used twice")


def _free(addresses: dict[str, int]) -> Check:
    reserved = [f"{name} at 0x{number:02X}" for name, number in addresses.items() if not 0x08 <= number <= 0x77]
    reason = "; ".join(reserved) or "reserved are 0x00 to 0x07 and 0x78 to 0x7F"
    return at_most(Q(len(reserved)), Q(0), reason=reason)


def _pulled(pulls: Quantity, limit: Quantity, hold: Any, least: Quantity) -> Check:
    if np.isnan(pulls.m).all():
        ohms = np.mean(least.m_as("kohm"))
        return fails(f"there is no pull-up: fit one of at least {ohms:.2f} kohm at the controller")
    return hold(pulls, limit)  # type: ignore[no-any-return]


