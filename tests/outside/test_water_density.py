"""Density of water against independent libraries and an older equation."""

from __future__ import annotations

import pytest

from kit.quantities import Q
from kit.water_density import water_density

# -- water density ---------------------------------------------------------------------------------

# t in degC; IAPWS-95 for pure water; TEOS-10 at absolute salinity 10 and 35.16504 g/kg; all at one atmosphere
WATER_TABLE = [
    ("0.01", "999.844", "1007.918", "1028.107"),
    ("4", "999.975", "1007.907", "1027.786"),
    ("10", "999.702", "1007.462", "1026.954"),
    ("15", "999.103", "1006.748", "1025.976"),
    ("20", "998.207", "1005.758", "1024.766"),
    ("25", "997.048", "1004.520", "1023.344"),
    ("30", "995.649", "1003.057", "1021.726"),
    ("40", "992.216", "999.545", "1017.971"),
]


@pytest.mark.outside("water_density", "IAPWS-95 by CoolProp and TEOS-10 by gsw, evaluated at one atmosphere")
@pytest.mark.parametrize(("celsius", "fresh", "brackish", "sea"), WATER_TABLE)
def test_density_of_fresh_brackish_and_sea_water(celsius, fresh, brackish, sea):
    """Pure water to 0.002; salt by the equation of 1980, which TEOS-10 moved by up to 0.01 (0.004 up to 30 degC)."""
    at = Q(float(celsius), "degC")
    old = 0.004 if float(celsius) <= 30 else 0.010

    for kind, printed, tolerance in (("fresh", fresh, 0.002), ("brackish", brackish, old), ("sea", sea, old)):
        found = water_density(kind=kind, temperature=at).density.m_as("kg/m^3")
        assert found == pytest.approx(float(printed), abs=tolerance)


@pytest.mark.outside("water_density", "CoolProp, IAPWS-95, one atmosphere")
@pytest.mark.parametrize("celsius", [1.0, 7.3, 12.5, 18.0, 33.0, 39.0])
def test_density_of_fresh_water_by_an_independent_library(celsius):
    """To 0.002 kg/m3, at temperatures that stand in no table."""
    props = pytest.importorskip("CoolProp.CoolProp")
    expected = props.PropsSI("D", "T", celsius + 273.15, "P", 101325, "Water")

    found = water_density(kind="fresh", temperature=Q(celsius, "degC")).density.m_as("kg/m^3")
    assert found == pytest.approx(expected, abs=0.002)


@pytest.mark.outside("water_density", "Kell's equation, J. Res. NIST 97 (1992) 335-340, Eq. 1, with 16.879850e-3")
@pytest.mark.parametrize(
    ("celsius", "printed"), [("4", "999.972"), ("10", "999.700"), ("20", "998.204"), ("30", "995.647")]
)
def test_density_of_fresh_water_on_the_older_scale(celsius, printed):
    """An older equation differs by its isotopes, 0.003 kg/m3; a slip in it of two digits would show as 0.07."""
    found = water_density(kind="fresh", temperature=Q(float(celsius), "degC")).density.m_as("kg/m^3")

    assert found == pytest.approx(float(printed), abs=0.004)
