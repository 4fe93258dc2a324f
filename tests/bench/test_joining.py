"""Joining phases. Expected values: OpenStax University Physics Volume 2, section 1.4 (0.250 kg of water at 20 °C on
0.500 kg of aluminium at 150 °C: 59.1 °C), the check table of heat capacities, and the invented scenario (lotion, 61
and 72 °C: 62.5 °C, under 70).
"""

from __future__ import annotations

import pytest
from demo_workshop import demo
from hypothesis import given
from hypothesis import strategies as st
from reference_tables import reference_rows

from maker_kit import reference
from maker_kit.bench.joining import Part, heat_capacity, heat_capacity_of_fat, join, phase_part
from maker_kit.errors import QuantityError, UnknownNameError
from maker_kit.formula.ingredient import Ingredient

ROWS = {row["material"]: row for row in reference_rows("heat_capacity.csv")}
LOTION = demo().recipe("r5-hand-lotion")


@pytest.mark.parametrize("name", [n for n in ROWS if n.startswith("Generic oil")])
def test_fats_by_choi_and_okos(name: str) -> None:
    # the table rounds to 0.1
    assert heat_capacity_of_fat(float(name.split()[2])) == pytest.approx(float(ROWS[name]["cp_J_kgK"]), abs=0.06)


def test_water_glycerin_and_ethanol_on_file_hold_the_table_s() -> None:
    on_file = {
        row["inci_like"]: (float(row["least"]), float(row["most"]))
        for row in reference.rows("heat_capacity.csv")
        if row["least"]
    }
    for name, key in (("Water", "aqua"), ("Glycerin", "glycerin"), ("Ethanol", "alcohol")):
        for row in ROWS.values():
            if row["material"].startswith(name):
                least, most = on_file[key]
                assert least - 0.5 <= float(row["cp_J_kgK"]) <= most + 0.5


def test_water_on_aluminium() -> None:
    joined = join([Part("aluminium", 500, 150, 900, 900), Part("water", 250, 20, 4186, 4186)])
    assert joined.low_c == joined.high_c == pytest.approx(59.09, abs=0.005)


def test_the_lotion_joined_too_cold_stops() -> None:
    parts = [phase_part(LOTION, "A", 1000, 61), phase_part(LOTION, "b", 1000, 72)]
    assert [p.mass_g for p in parts] == pytest.approx([742, 230])
    joined = join(parts, 70)
    assert joined.low_c < 62.5 < joined.high_c
    assert joined.high_c - joined.low_c < 1
    assert [f.code for f in joined.findings] == ["joining.cold"]
    assert [f.code for f in join([phase_part(LOTION, x, 1000, 75) for x in "AB"], 70).findings] == ["joining.warm"]


def test_a_phase_that_was_not_read_stops() -> None:
    joined = join([phase_part(LOTION, "A", 1000, 75), phase_part(LOTION, "B", 1000, None)], 70)
    assert (joined.low_c, [f.code for f in joined.findings]) == (None, ["joining.not_read"])


def test_near_the_floor_and_without_one() -> None:
    parts = [Part("a", 500, 80, 1000, 4193), Part("b", 500, 60, 4186, 4186)]
    assert [f.code for f in join(parts, 66).findings] == ["joining.perhaps_cold"]
    assert [f.code for f in join(parts).findings] == ["joining.no_floor"]


def test_what_is_not_on_file_is_a_range() -> None:
    assert heat_capacity(Ingredient("Slime", ("Zyxwor Slime",), ""), 70) == (1000.0, 4193.0)
    low, high = heat_capacity(Ingredient("Wash", ("Aqua", "Decyl Glucoside"), ""), 70)
    assert low < 2100 < 4186 < high


@given(
    st.lists(
        st.tuples(st.floats(1, 5000), st.floats(0, 99), st.floats(500, 4000), st.floats(0, 2000)),
        min_size=2,
        max_size=4,
    )
)
def test_the_mix_lies_between_its_parts_and_within_all_heat_capacities(rows) -> None:
    parts = [Part(f"p{k}", m, t, c, c + more) for k, (m, t, c, more) in enumerate(rows)]
    joined = join(parts)
    assert min(p.celsius for p in parts) - 1e-9 <= joined.low_c <= joined.high_c + 1e-9
    assert joined.high_c <= max(p.celsius for p in parts) + 1e-9
    for ends in range(2 ** len(parts)):  # brute force over the ends
        heat = [(p, p.mass_g * (p.most if ends >> k & 1 else p.least)) for k, p in enumerate(parts)]
        mixed = sum(c * p.celsius for p, c in heat) / sum(c for _, c in heat)
        assert joined.low_c - 1e-6 <= mixed <= joined.high_c + 1e-6


@pytest.mark.parametrize(
    ("parts", "says"),
    [
        ([Part("a", 1, 20, 1, 1)], "two phases"),
        ([Part("a", 0, 20, 1, 1), Part("b", 1, 20, 1, 1)], "above 0 g"),
        ([Part("a", 1, 500, 1, 1), Part("b", 1, 20, 1, 1)], "°F"),
        ([Part("a", float("nan"), 20, 1, 1), Part("b", 1, 20, 1, 1)], "mass of a"),
    ],
)
def test_what_cannot_be_joined_is_refused(parts, says) -> None:
    with pytest.raises(QuantityError, match=says):
        join(parts)


def test_a_phase_that_is_not_there() -> None:
    with pytest.raises(UnknownNameError, match="no phase"):
        phase_part(LOTION, "Z", 1000, 70)
