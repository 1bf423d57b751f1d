"""The place of a build and the people on it: what the brief must settle before anything is drawn."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated, Literal

from kit.calculator import calculator, require, result, row
from kit.checks import Check, at_least, at_most, does_not_apply, fails, open_check
from kit.kinds import Asks, Choice, In, Out, Rows, Says, Text, YesNo
from kit.quantities import Q, Quantity

__all__ = [
    "ClientQuestions",
    "Permission",
    "Permissions",
    "Signatures",
    "SwimmingWater",
    "client_questions",
    "permissions",
    "signatures",
    "swimming_water",
]

# 9 ft, the least depth the American Red Cross advises for entering head first.
HEAD_FIRST = Q(2.7, "m")


@row
class Permission:
    """Somebody who has to say yes."""

    name: Annotated[str, Text("who has to say yes", "keeper of the water")]
    answer: Annotated[
        Literal["not asked", "asked", "granted", "refused", "not needed"],
        Choice("answer so far", find="ask in writing and keep the letter"),
    ] = "not asked"


@result
class Permissions:
    """How far the permissions have come."""

    granted: Annotated[Quantity, Out("1", "people who have said yes, or need not be asked")]
    missing: Annotated[str, Says("who has not said yes")]
    may_begin: Annotated[Check, Asks("everybody who has to say yes has said so", "practice")]


@calculator("practice")
def permissions(
    *,
    people: Annotated[
        Sequence[Permission],
        Rows("who has to say yes", find="owner, water keeper, navigation, conservation, insurer, neighbours"),
    ] = (),
) -> Permissions:
    """Count who has agreed; one refusal fails, one silence leaves the check open.

    >>> asked = permissions(people=[Permission(name="keeper", answer="granted")])
    >>> asked.may_begin.verdict
    'meets'
    """
    good = [p for p in people if p.answer in ("granted", "not needed")]
    missing = ", ".join(p.name for p in people if p not in good)
    refused = [p.name for p in people if p.answer == "refused"]
    if refused:
        check = at_most(Q(len(refused)), Q(0), reason=f"refused by {', '.join(refused)}")
    elif missing or not people:
        check = open_check(f"no answer yet from {missing}" if people else "nobody is listed yet")
    else:
        check = at_least(Q(len(good)), Q(len(people)), share=False)
    return Permissions(granted=Q(len(good)), missing=missing or "nobody", may_begin=check)


@result
class ClientQuestions:
    """How many of the questions that are forgotten have an answer."""

    unanswered: Annotated[str, Says("not answered yet")]
    answered: Annotated[Check, Asks("the questions that are forgotten have an answer", "practice")]


def _answer(asks: str, example: str) -> Text:
    return Text(asks, example, longest=300)


@calculator("practice")
def client_questions(
    *,
    users: Annotated[
        str, _answer("who uses it, and who might when nobody looks", "club members; children of walkers")
    ] = "-",
    access: Annotated[
        str, _answer("how it gets there, and the narrowest place on the way", "farm track, gate 2.4 m")
    ] = "-",
    upkeep: Annotated[str, _answer("who looks after it, and how often", "the warden, every month")] = "-",
    winter: Annotated[str, _answer("what becomes of it in winter and in ice", "stays afloat, pump drained")] = "-",
    water_range: Annotated[
        str, _answer("how it is known how far the water rises and falls", "strand line, the keeper")
    ] = "-",
    rescue: Annotated[
        str, _answer("how somebody gets out of the water there, and who comes", "ladder, throw line")
    ] = "-",
    insurer: Annotated[str, _answer("who insures it, and for whom", "the club's public liability")] = "-",
    end: Annotated[str, _answer("who takes it away one day, and who pays", "the club, from a reserve")] = "-",
) -> ClientQuestions:
    """List the questions a client forgets that have no answer yet; a dash is none.

    >>> client_questions(users="members").unanswered.startswith("how it gets there")
    True
    """
    answers = {
        "who uses it": users, "how it gets there": access, "who looks after it": upkeep,
        "what becomes of it in winter": winter, "how the range of the water is known": water_range,
        "how somebody is got out of the water": rescue,
        "who insures it": insurer, "who takes it away one day": end,
    }  # fmt: skip
    silent = ", ".join(question for question, answer in answers.items() if answer.strip() in ("", "-"))
    met = at_least(Q(len(answers)), Q(len(answers)), share=False)
    check = open_check(f"no answer yet: {silent}") if silent else met
    return ClientQuestions(unanswered=silent or "nothing", answered=check)


@result
class Signatures:
    """Who worked it out and who looked at it again."""

    second_pair: Annotated[Check, Asks("looked through by somebody else", "practice")]


@calculator("practice")
def signatures(
    *,
    originator: Annotated[str, Text("who worked it out", "A. Builder", longest=60)] = "-",
    checker: Annotated[str, Text("who looked it through, not the same person", "B. Friend", longest=60)] = "-",
) -> Signatures:
    """Say whether a second pair of eyes has been over it; the same pair twice fails.

    >>> signatures(originator="A. Builder", checker="A. Builder").second_pair.verdict
    'fails'
    """
    names = [" ".join(name.split()).casefold() for name in (originator, checker)]
    if "-" in names or "" in names:
        missing = "who worked it out" if names[0] in ("", "-") else "who looked it through"
        return Signatures(second_pair=open_check(f"nobody is named yet as the one {missing}"))
    if names[0] == names[1]:
        return Signatures(second_pair=fails("the one who looked it through is the one who worked it out"))
    return Signatures(second_pair=at_least(Q(2), Q(2), share=False))


@result
class SwimmingWater:
    """Whether people may enter the water head first."""

    lowest: Annotated[Quantity, Out("m", "depth near the raft when the water is low", resolution=0.01, rounding="down")]
    head_first: Annotated[Check, Asks("deep enough to enter head first", "ARC-depth", hazard=True)]
    words: Annotated[str, Says("what the sign says")]


@calculator("ARC-depth")
def swimming_water(
    *,
    shallowest: Annotated[
        Quantity,
        In(
            "m",
            "shallowest depth within 5 m of the raft, at the level measured",
            3.5,
            ge=0,
            le=200,
            resolution=0.01,
            find="weighted line at nine points; keep the shallowest",
        ),
    ],
    falls: Annotated[
        Quantity,
        In(
            "m",
            "how far the level falls below that",
            0.3,
            ge=0,
            le=50,
            resolution=0.01,
            find="strand line, photographs, ask the keeper, a marked stick for a season",
        ),
    ],
    diving: Annotated[bool, YesNo("may people enter head first", find="if in doubt, no")],
) -> SwimmingWater:
    """Depth at low water against the least depth for entering head first.

    >>> water = swimming_water(shallowest=Q(3.5, "m"), falls=Q(0.3, "m"), diving=True)
    >>> water.head_first.verdict
    'meets'
    """
    require(shallowest >= falls, "the level cannot fall by more than the depth", "shallowest", "falls")
    lowest = shallowest - falls
    if not diving:
        return SwimmingWater(
            lowest=lowest, head_first=does_not_apply("nobody enters head first"), words="No head-first entry."
        )
    check = at_least(lowest, HEAD_FIRST)
    words = "Enter head first only where the depth is marked." if check.passes else "No head-first entry."
    return SwimmingWater(lowest=lowest, head_first=check, words=words)
