"""thickness.csv and what recipes.csv wants: spread, funnel or viscosity, one a row; repeats are counted, old tables
still load.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from thickness_tables import FUNNEL, GEL, HEADINGS, NO_SPREAD, VISCOSITY, curve_folder, curve_shop, readings
from workshop_files import change, only_fault, read_rows, write_rows

from maker_kit.workshop import load_workshop


def test_each_way_of_reading_is_read_with_its_wish(tmp_path: Path) -> None:
    rows = [*readings(FUNNEL, "funnel"), *readings(VISCOSITY, "viscosity"), *readings([(0.4, 9.0)])]
    wish = {
        **NO_SPREAD,
        "shop funnel [s]": "15",
        "funnel from [s]": "13",
        "funnel to [s]": "17",
        "viscosity from [mPa·s]": "2000",
        "viscosity to [mPa·s]": "4000",
    }
    shop = curve_shop(tmp_path / "mine", rows, wish)
    samples = shop.thickness_readings
    for measure, pairs in (("funnel", FUNNEL), ("viscosity", VISCOSITY), ("spread", [(0.4, 9.0)])):
        assert [(p.level_percent, p.value) for p in samples if p.measure == measure] == pairs
    funnel, viscosity = shop.wanted_thickness(GEL, "funnel"), shop.wanted_thickness(GEL, "viscosity")
    assert funnel is not None
    assert (funnel.shop, funnel.band) == (15, (13, 17))
    assert viscosity is not None
    assert (viscosity.shop, viscosity.band) == (None, (2000, 4000))
    assert shop.wanted_thickness(GEL) is None


def test_a_table_of_spreads_without_the_new_columns_still_loads(tmp_path: Path) -> None:
    folder = curve_folder(tmp_path / "mine", [])
    write_rows(
        folder / "thickness.csv",
        [
            ["recipe", "ingredient", "level [%]", "spread [cm]", "at [°C]", "after [h]", "note"],
            [GEL, "Gel former", "0.4", "11.8", "20", "24", ""],
        ],
    )
    assert [(p.value, p.measure) for p in load_workshop(folder).thickness_readings] == [(11.8, "spread")]


@pytest.mark.parametrize("heading", ["viscosity [mPa·s]", "viscosity [mPas]", "Viscosity [mPa s]"])
def test_the_unit_may_be_written_without_its_dot(tmp_path: Path, heading: str) -> None:
    folder = curve_folder(tmp_path / "mine", readings(VISCOSITY, "viscosity"))
    rows = read_rows(folder / "thickness.csv")
    rows[0][HEADINGS.index("viscosity [mPas]")] = heading
    write_rows(folder / "thickness.csv", rows)
    assert len(load_workshop(folder).thickness_readings) == len(VISCOSITY)


def test_two_figures_in_a_row_and_none_are_faults_of_their_cells(tmp_path: Path) -> None:
    folder = curve_folder(tmp_path / "mine", readings(FUNNEL, "funnel"))
    change(folder, "thickness.csv", 3, "spread [cm]", "9")
    fault = only_fault(folder)
    assert (fault.row, fault.column) == (3, "funnel [s]")
    assert "one figure a row" in fault.allowed
    assert "row of its own" in fault.mend
    change(folder, "thickness.csv", 3, "spread [cm]", "")
    change(folder, "thickness.csv", 3, "funnel [s]", "")
    fault = only_fault(folder)
    assert (fault.row, fault.column) == (3, "spread [cm]")


def test_a_sample_read_twice_is_a_repeat_and_a_row_copied_is_a_fault(tmp_path: Path) -> None:
    rows = readings([(0.4, 11), (0.4, 11), (0.6, 9), (0.8, 7)])
    folder = curve_folder(tmp_path / "mine", rows)
    assert len(load_workshop(folder).thickness_readings) == 4
    change(folder, "thickness.csv", 3, "repeat", "1")
    fault = only_fault(folder)
    assert "as in row 2" in fault.found
    assert "write 1 and 2 under a heading repeat" in fault.mend


def test_the_same_level_by_another_way_of_reading_is_no_copy(tmp_path: Path) -> None:
    assert (
        len(curve_shop(tmp_path / "mine", [*readings([(0.4, 11)]), *readings([(0.4, 7)], "funnel")]).thickness_readings)
        == 2
    )


def test_half_a_band_of_funnel_times_is_a_fault(tmp_path: Path) -> None:
    folder = curve_folder(tmp_path / "mine", readings(FUNNEL, "funnel"), {"funnel from [s]": "13", "funnel to [s]": ""})
    assert only_fault(folder).column == "funnel to [s]"
