"""Which signal goes to which pin of the controller, and whether any pin sees more volts than it bears.

The reader describes the controller pin by pin; nothing is assumed about it.
Signals are given pins so that all find one, plain pins are used before those
that can do more, and no voltage lands where it is not borne, if that is
possible at all.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import field
from typing import Annotated, Any, Literal

import numpy as np
from scipy.optimize import linear_sum_assignment

from kit.calculator import calculator, require, result, row
from kit.checks import Check, at_least, at_most, does_not_apply
from kit.columns import at_rows, cells, column, middle, worst_row
from kit.kinds import Asks, Choice, In, Out, Rows, Says, Text, YesNo
from kit.quantities import Q, Quantity

__all__ = ["Pin", "PinPlan", "PinUse", "Signal", "can", "pin_plan"]

Need = Literal[
    "digital in", "digital out", "PWM out", "analog in", "bus data", "bus clock", "serial in", "serial out"
]
Special = Literal["-", "bus data", "bus clock", "serial in", "serial out"]
# What a pin that cannot serve costs, and one that would see too many volts: more than any preference adds up to.
_NEVER, _HARMED = 1e6, 1e3
# Different ways in which samples may harm pins that are each given a plan of their own.
_PATTERNS = 64


@row
class Pin:
    """One pin of the controller."""

    name: Annotated[str, Text("pin, as printed on the board", "4", longest=20)]
    bears: Annotated[Quantity, In("V", "most it bears", 3.3, ge=0.5, le=60, basis="data sheet",
                                  find="absolute maximum of the data sheet; 5 V only if it says so",
                                  chosen=True)] = field(
        default_factory=lambda: Q(3.3, "V")
    )
    input: Annotated[bool, YesNo("digital input", True)] = True
    output: Annotated[bool, YesNo("digital output", True)] = True
    pwm: Annotated[bool, YesNo("PWM output", True)] = True
    analog: Annotated[bool, YesNo("analogue input")] = False
    special: Annotated[Special, Choice("bus or serial line", "-")] = "-"


@row
class Signal:
    """One thing that is connected."""

    name: Annotated[str, Text("signal", "float switch", longest=40)]
    need: Annotated[Need, Choice("what it needs", "digital in")]
    volts: Annotated[Quantity, In("V", "highest voltage it can bring to the pin", 3.3, ge=0, le=200, find=(
        "with the charger at its highest; a switch to the 12 V side brings 15 V"), chosen=True)] = field(
        default_factory=lambda: Q(3.3, "V")
    )
    pin: Annotated[str, Text("pin it must have, '-' for any", "-", longest=20)] = "-"
    wire: Annotated[str, Text("number or colour of its wire", "-", longest=20)] = "-"


@result
class PinUse:
    """A signal and the pin it got."""

    name: Annotated[str, Says("signal")]
    pin: Annotated[str, Says("pin")]
    need: Annotated[str, Says("as")]
    volts: Annotated[Quantity, Out("V", "highest voltage", rounding="up")]
    bears: Annotated[Quantity, Out("V", "pin bears", rounding="down", absent="no pin")]
    wire: Annotated[str, Says("wire")]


@result
class PinPlan:
    """Every signal with its pin."""

    uses: Annotated[tuple[PinUse, ...], Rows("pin plan")]
    spare: Annotated[Quantity, Out("1", "pins left over", resolution=1)]
    spares: Annotated[str, Says("pins left over")]
    placed: Annotated[Check, Asks("every signal finds a pin that can do it", "kit")]
    unharmed: Annotated[Check, Asks("no pin sees more volts than it bears", "kit", hazard=True)]
    distinct: Annotated[Check, Asks("no two signals ask for the same pin", "kit")]


@calculator("kit")
def pin_plan(
    *,
    pins: Annotated[Sequence[Pin], Rows("pins of the controller", least=1, most=100, find="the board's own diagram")],
    signals: Annotated[Sequence[Signal], Rows("signals", least=1, most=100)],
    divided: Annotated[str, Text("signal that comes from the divider", "battery", longest=40)] = "battery",
    divided_volts: Annotated[Quantity | None, In("V", "worst voltage behind the divider", 2.8, ge=0, le=200)] = None,
) -> PinPlan:
    """Give every signal a pin by the cheapest assignment.

    A pin costs one for every use that would be wasted on it, so that plain
    pins go first; a pin that would see too many volts is taken only when there
    is no other, and then the check names it.  The pins
    named are those of the mean voltages when sampled.

    >>> plan = pin_plan(pins=[Pin(name="4"), Pin(name="34", analog=True, output=False, pwm=False)],
    ...     signals=[Signal(name="battery", need="analog in", volts=Q(2.8, "V")), Signal(name="lamp", need="PWM out")])
    >>> [(use.name, use.pin) for use in plan.uses], plan.unharmed.verdict
    ([('battery', '34'), ('lamp', '4')], 'meets')
    """
    names = [pin.name for pin in pins]
    for one in signals:
        require(one.pin == "-" or one.pin in names, f"'{one.name}' asks for pin '{one.pin}', which is not there; "
                                                    f"write one of {', '.join(names[:8])} or '-'", "signals")
    volts = column((divided_volts if one.name == divided and divided_volts is not None else one.volts
                    for one in signals), "V")
    limits = column((pin.bears for pin in pins), "V")
    harmed = volts.m[:, None] > limits.m[None] * (1 + 1e-12)
    by_sample = _by_sample(pins, signals, harmed)
    volts_mean, limits_mean = (np.array([middle(line) for line in one.m]) for one in (volts, limits))
    got = _assign(pins, signals, volts_mean[:, None] > limits_mean * (1 + 1e-12))
    bears = _borne(limits, by_sample)
    left = [pin.name for n, pin in enumerate(pins) if n not in got]
    columns = (cells(one, len(signals)) for one in (volts, bears))
    return PinPlan(
        uses=tuple(
            PinUse(name=one.name, pin=pins[at].name if at >= 0 else "none", need=one.need, volts=brings, bears=most,
                   wire=one.wire)
            for one, at, brings, most in zip(signals, got, *columns, strict=True)),
        spare=Q(len(left)), spares=", ".join(left) or "none", placed=_placed(signals, got),
        unharmed=_unharmed(signals, volts, bears), distinct=_distinct(signals),
    )


def can(pin: Pin, need: str) -> bool:
    """Whether a pin can do what a signal needs."""
    plain = {"digital in": pin.input, "digital out": pin.output, "PWM out": pin.pwm, "analog in": pin.analog}
    return plain.get(need, pin.special == need)


def _by_sample(pins: Sequence[Pin], signals: Sequence[Signal], harmed: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
    """Pin of each signal in each sample; samples that harm the same pins are assigned together.

    With more than `_PATTERNS` of them only the commonest are assigned by
    themselves, and the others get the plan of the commonest.
    """
    flat = harmed.reshape(-1, harmed.shape[-1]).T
    packed = np.ascontiguousarray(np.packbits(flat, axis=1))
    _, first, which, count = np.unique(packed.view(f"V{packed.shape[1]}").ravel(), return_index=True,
                                       return_inverse=True, return_counts=True)
    common = np.argsort(-count, kind="stable")[:_PATTERNS]
    plans = np.array([_assign(pins, signals, flat[first[n]].reshape(harmed.shape[:2])) for n in common])
    place = np.zeros(count.size, dtype=int)
    place[common] = np.arange(common.size)
    return np.asarray(plans[place[which.reshape(-1)]].T)


def _borne(limits: Any, got: np.ndarray[Any, Any]) -> Any:
    """What the pin of each signal bears in each sample; nan without one."""
    wide = np.broadcast_to(limits.m, (limits.shape[0], max(limits.shape[1], got.shape[1])))
    places = np.broadcast_to(got, (got.shape[0], wide.shape[1]))
    return Q(np.where(places >= 0, np.take_along_axis(wide, np.maximum(places, 0), axis=0), np.nan), "V")


def _assign(pins: Sequence[Pin], signals: Sequence[Signal], harmed: np.ndarray[Any, Any]) -> list[int]:
    """Place of the pin of each signal, -1 for none, at the least cost."""
    rich = [sum((pin.input, pin.output, pin.pwm, pin.analog, 2 * (pin.special != "-"))) for pin in pins]
    # Columns beyond the pins stand for "no pin", so that more signals than pins can be dealt with too.
    cost = np.full((len(signals), len(pins) + len(signals)), _NEVER)
    for n, one in enumerate(signals):
        for m, pin in enumerate(pins):
            if can(pin, one.need) and one.pin in ("-", pin.name):
                # The last term keeps the order of the table among equals.
                cost[n, m] = rich[m] + _HARMED * harmed[n, m] + 1e-4 * m
    rows, columns = linear_sum_assignment(cost)
    return [int(m) if cost[n, m] < _NEVER else -1 for n, m in zip(rows, columns, strict=True)]


def _placed(signals: Sequence[Signal], got: Sequence[int]) -> Check:
    without = [f"{one.name} ({one.need})" for one, at in zip(signals, got, strict=True) if at < 0]
    reason = f"no pin for {', '.join(without)}" if without else "signals with a pin"
    return at_least(Q(len(signals) - len(without)), Q(len(signals)), reason=reason, share=False)


def _unharmed(signals: Sequence[Signal], volts: Any, bears: Any) -> Check:
    if np.isnan(bears.m).all():
        return does_not_apply("no signal has a pin")
    wide = np.broadcast_shapes(volts.shape, bears.shape)
    rows, worst = worst_row(np.broadcast_to(volts.m / bears.m, wide))
    one = signals[worst]
    reason = f"{one.name}, {one.need}: divide it or put a switch between" if one.need != "analog in" else one.name
    # A level equal to the pin's own supply is as it should be, so no share is shown.
    return at_most(at_rows(volts, rows), at_rows(bears, rows), reason=reason, share=False)


def _distinct(signals: Sequence[Signal]) -> Check:
    asked = [one.pin for one in signals if one.pin != "-"]
    twice = sorted({pin for pin in asked if asked.count(pin) > 1})
    said = "; ".join(f"pin {pin}: {' and '.join(s.name for s in signals if s.pin == pin)}" for pin in twice)
    return at_most(Q(len(twice)), Q(0), reason=said or "pins asked for twice")
