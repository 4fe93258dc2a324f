"""Glycerol and water by formula: the published check table, measured viscosities of Segur and Oberstar 1951. Against
CoolProp's fits of Melinder 2010 they are held in `test_density`, where that library is fetched anyhow.
"""

from __future__ import annotations

import math

import pytest
from formula.glycerol_water import (
    DENSITY_CELSIUS,
    VISCOSITY_CELSIUS,
    VISCOSITY_ERROR,
    glycerol_water_density,
    glycerol_water_viscosity,
)
from hypothesis import given
from hypothesis import strategies as st
from reference_tables import reference_rows

from maker_kit.errors import QuantityError
from maker_kit.formula.density import additive_density

ROWS = reference_rows("glycerol_water.csv")


def name(row: dict[str, str]) -> str:
    return f"{row['glycerol_mass_fraction']} at {row['temp_C']}"


@pytest.mark.parametrize("row", ROWS, ids=name)
def test_density_is_that_of_the_table_and_near_coolprops(row) -> None:
    w, t = float(row["glycerol_mass_fraction"]), float(row["temp_C"])
    if not DENSITY_CELSIUS[0] <= t <= DENSITY_CELSIUS[1]:
        pytest.skip("outside the range of the formula")
    found = 1000 * glycerol_water_density(w, t)
    assert found == pytest.approx(float(row["density_volk"]), abs=0.0061)  # the table is rounded to 0.01
    if row["density_coolprop"]:
        assert found == pytest.approx(float(row["density_coolprop"]), rel=5e-4)


@pytest.mark.parametrize("row", ROWS, ids=name)
def test_viscosity_is_that_of_the_table_and_near_the_measured(row) -> None:
    w, t = float(row["glycerol_mass_fraction"]), float(row["temp_C"])
    found = glycerol_water_viscosity(w, t)
    assert found == pytest.approx(float(row["cheng_mPa_s"]), rel=6e-5)  # the table is rounded to four decimals
    if row["segur_oberstar_mPa_s"]:
        assert found == pytest.approx(float(row["segur_oberstar_mPa_s"]), rel=VISCOSITY_ERROR)
    if row["coolprop_mPa_s"]:
        assert found == pytest.approx(float(row["coolprop_mPa_s"]), rel=0.045)


# Segur and Oberstar 1951, Ind. Eng. Chem. 43:2117, read in a program that carries their table: glycerol by mass [%],
# then
# what was measured at 0, 10, 20, 30 and 40 °C [mPa·s]
MEASURED = """
0 1.792 1.308 1.005 0.8007 0.656
20 3.44 2.41 1.76 1.35 1.07
40 8.25 5.37 3.72 2.72 2.07
60 29.9 17.4 10.8 7.19 5.08
65 45.7 25.3 15.2 9.85 6.8
70 76 38.8 22.5 14.1 9.4
80 255 116 60.1 33.9 20.8
90 1310 498 219 109 60
95 3690 1270 523 237 121
100 12070 3900 1410 612 284
"""


@pytest.mark.parametrize("line", MEASURED.strip().splitlines(), ids=lambda line: f"{line.split()[0]} %")
def test_viscosity_is_as_far_from_the_measured_as_it_may_be_and_no_further(line) -> None:
    percent, *measured = map(float, line.split())
    for celsius, value in zip((0, 10, 20, 30, 40), measured, strict=True):
        assert glycerol_water_viscosity(percent / 100, celsius) == pytest.approx(value, rel=VISCOSITY_ERROR)


@pytest.mark.parametrize("celsius", [15, 20, 25, 30])
def test_the_additive_rule_is_low_by_about_1_percent_at_most_against_the_formula(celsius) -> None:
    pure = glycerol_water_density(1, celsius), glycerol_water_density(0, celsius)
    off = []
    for k in range(1, 100):
        real = glycerol_water_density(k / 100, celsius)
        rule = additive_density([(k, pure[0]), (100 - k, pure[1])]).density_g_per_ml
        off.append((real - rule) / real)
    assert min(off) >= 0
    assert 0.008 < max(off) < 0.0125


@pytest.mark.parametrize("celsius", [15, 20, 25, 30])
def test_pure_water_is_as_dense_as_iapws_says(celsius) -> None:
    iapws = pytest.importorskip("iapws")
    assert 1000 * glycerol_water_density(0, celsius) == pytest.approx(
        iapws.IAPWS95(T=273.15 + celsius, P=0.101325).rho, abs=0.4
    )


@given(st.floats(0, 0.98), st.floats(15, 30))
def test_more_glycerol_is_denser_and_thicker(w, t) -> None:
    more = w + 0.02
    assert glycerol_water_density(more, t) > glycerol_water_density(w, t)
    assert glycerol_water_viscosity(more, t) > glycerol_water_viscosity(w, t)


@given(st.floats(0, 1), st.floats(0, 99))
def test_warmer_is_thinner(w, t) -> None:
    assert glycerol_water_viscosity(w, t + 1) < glycerol_water_viscosity(w, t)


@pytest.mark.parametrize(
    ("formula", "span"), [(glycerol_water_density, DENSITY_CELSIUS), (glycerol_water_viscosity, VISCOSITY_CELSIUS)]
)
def test_outside_its_range_a_formula_is_silent(formula, span) -> None:
    for w, t in (
        (-0.01, 20),
        (1.01, 20),
        (50, 20),
        (math.nan, 20),
        (0.5, math.nan),
        (0.5, span[0] - 0.1),
        (0.5, span[1] + 0.1),
        (0.5, math.inf),
    ):
        with pytest.raises(QuantityError):
            formula(w, t)
    assert formula(1, span[0]) > 0
    assert formula(0, span[1]) > 0
