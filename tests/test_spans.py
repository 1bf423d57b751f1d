"""A member over its supports: what each load, place and rule does to it."""

from __future__ import annotations

import pytest

from kit.calculator import InputError
from kit.floats import FloatBody
from kit.quantities import Q
from kit.spans import Support, span_forces
from tests.one_by_one import agrees_one_by_one


def seats(*places):
    """Supports at places in mm."""
    return [Support(name=f"support {n}", place=Q(place, "mm")) for n, place in enumerate(places)]


def crossing(*places, **changed):
    """A joist of 2200 mm on four saddles."""
    given = {"length": Q(2200, "mm"), "spacing": Q(400, "mm"), "deck_weight": Q(0.2, "kPa"),
             "own_weight": Q(30, "N/m"), "crowd": Q(2.5, "kPa"), "person": Q(1500, "N"), "rules": "handbook only"}
    return span_forces(supports=seats(*(places or (250, 775, 1425, 1950))), **given | changed)


def tube(name, y):
    """A tube that lies lengthwise."""
    return FloatBody(name=name, diameter=Q(500, "mm"), length=Q(3, "m"), y=Q(y, "m"), z=Q(-0.26, "m"),
                     mass_per_metre=Q(22, "kg/m"))


def test_an_overhang_worked_by_hand():
    """Dead 110 N/m and 1500 N at a tip of 250 mm: 378.4 N m over the support, 1527.5 N of shear."""
    found = crossing()

    assert found.dead_line.m_as("N/m") == pytest.approx(110)
    assert found.live_line.m_as("N/m") == pytest.approx(1000)
    assert found.hogging.m_as("N*m") == pytest.approx(1500 * 0.25 + 110 * 0.25**2 / 2)
    assert found.governed_by == "one person, over a support"
    assert found.tip_live.m_as("N*m^3") > 1500 * 0.25**3 / 3


def test_load_factors_are_those_of_the_rules():
    """European 1.35 on what lies there and 1.5 on people; stiffness takes neither."""
    european, plain = crossing(rules="European"), crossing()

    assert european.hogging.m_as("N*m") == pytest.approx(1.5 * 375 + 1.35 * 110 * 0.25**2 / 2)
    assert european.sag_live.m == pytest.approx(plain.sag_live.m)


def test_what_the_years_add_goes_by_rules_and_damp():
    """Dead load alone sags three times as far in wet European practice, one and a half times in dry American."""
    alone = {"crowd": Q(0, "kPa"), "person": Q(0, "N"), "length": Q(2, "m")}
    once = crossing(0, 2000, crowd=Q(0.275, "kPa"), person=Q(0, "N"), length=Q(2, "m")).sag_live
    wet = crossing(0, 2000, rules="European", service="wet", **alone)
    dry = crossing(0, 2000, rules="North American", service="dry", **alone)

    assert (wet.sag_lasting / once).m_as("") == pytest.approx(3)
    assert (dry.sag_lasting / once).m_as("") == pytest.approx(1.5)


def test_a_crowd_that_stays_for_years_counts_as_dead_load():
    """All of it lasting: three times its sag where wood is wet."""
    crowd = {"person": Q(0, "N"), "deck_weight": Q(0, "kPa"), "own_weight": Q(0, "N/m"), "rules": "European"}
    gone, stays = (crossing(0, 2200, lasting=Q(share, "percent"), **crowd) for share in (0, 100))

    assert (stays.sag_lasting / gone.sag_lasting).m_as("") == pytest.approx(3)


def test_floats_are_supports_where_they_cross_the_joists():
    """Four tubes lengthwise hold joists that lie across; two in one line are one support."""
    tubes = [tube(f"tube {n}", y) for n, y in enumerate((-0.85, -0.325, 0.325, 0.85, 0.85))]
    floating = span_forces(
        length=Q(2200, "mm"), spacing=Q(400, "mm"), deck_weight=Q(0.2, "kPa"), own_weight=Q(30, "N/m"),
        crowd=Q(2.5, "kPa"), rules="handbook only", floats=tubes)

    assert floating.hogging.m_as("N*m") == pytest.approx(crossing().hogging.m_as("N*m"))
    with pytest.raises(InputError, match="0 places to rest on are given; a member needs 2 to 6"):
        span_forces(length=Q(2200, "mm"), spacing=Q(400, "mm"), deck_weight=Q(0.2, "kPa"), floats=tubes,
                    run="along the width")


def test_a_support_beyond_the_end_is_refused():
    """With what to write."""
    with pytest.raises(InputError, match="a support lies beyond the end of the member; write 250 mm to 1950 mm"):
        crossing(250, 2300)


def test_the_order_of_supports_does_not_matter():
    """They are sorted by place."""
    assert crossing(1950, 250, 1425, 775).reaction.m == pytest.approx(crossing().reaction.m)


def test_feet_and_pounds_give_the_same_moment():
    """The unit of an entry does not matter."""
    imperial = crossing(person=Q(1500 / 4.4482216152605, "lbf"), length=Q(2200 / 25.4, "in"))

    assert imperial.hogging.m_as("N*m") == pytest.approx(crossing().hogging.m_as("N*m"))


def test_samples_agree_one_by_one():
    """Places, spacing, loads and length each in their own order."""
    def together(pick):
        places = (pick([200, 250, 300], "mm"), pick([1400, 900, 1100], "mm"), Q(1900, "mm"))
        return span_forces(
            supports=[Support(name=str(n), place=place) for n, place in enumerate(places)],
            length=pick([2200, 2300, 2000], "mm"), spacing=pick([300, 400, 500], "mm"),
            deck_weight=pick([0.1, 0.2, 0.3], "kPa"), person=pick([900, 2000, 1500], "N"))

    agrees_one_by_one(together, 3)
