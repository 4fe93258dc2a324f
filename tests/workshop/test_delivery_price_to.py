"""delivery.csv with a second price: delivery known only as low–high."""

from __future__ import annotations

from pathlib import Path

import pytest
from demo_workshop import demo
from workshop_files import DATA, only_fault, read_rows, row_of, write_rows

from maker_kit.workshop import load_workshop


def with_price_to(folder: Path, **prices: str) -> None:
    """Add the column, blank but for the named steps of N raws (kg as in the table)."""
    rows = read_rows(folder / "delivery.csv")
    at = rows[0].index("price") + 1
    for k, row in enumerate(rows):
        row.insert(
            at, "price to" if k == 0 else prices.get(f"kg{row[1]}".replace(".", "_"), "") if row[0] == "N raws" else ""
        )
    write_rows(folder / "delivery.csv", rows)


def test_without_the_column_every_delivery_is_known() -> None:
    assert "price to" not in read_rows(DATA / "delivery.csv")[0]
    assert all(supplier.delivery_high == () for supplier in demo().market.suppliers)


def test_a_blank_column_changes_nothing(folder: Path) -> None:
    before = load_workshop(folder).market
    with_price_to(folder)
    assert load_workshop(folder).market == before


def test_a_blank_step_costs_what_it_says_and_the_others_go_from_low_to_high(folder: Path) -> None:
    with_price_to(folder, kg2="6.50", kg31_5="25")
    market = load_workshop(folder).market
    n_raws = market.supplier("N raws")
    assert n_raws.delivery == ((20_000, 590), (50_000, 790), (100_000, 1090), (200_000, 1590), (315_000, 2190))
    assert n_raws.delivery_high == ((20_000, 650), (50_000, 790), (100_000, 1090), (200_000, 1590), (315_000, 2500))
    assert not market.delivery_known
    assert market.supplier("K containers").delivery_high == ()


def test_the_same_price_twice_is_a_known_delivery(folder: Path) -> None:
    with_price_to(folder, kg2="5.90")
    assert load_workshop(folder).market.delivery_known


@pytest.mark.parametrize(
    ("prices", "step", "allowed"),
    [
        ({"kg2": "5.89"}, "2", "at least 5.90, the price in the same row"),
        ({"kg2": "8.00"}, "5", "at least 8.00, the most that the lighter step in row 2 may cost"),
        ({"kg5": "-1"}, "5", "a price from 0"),
        ({"kg5": "about 9"}, "5", "one number"),
    ],
)
def test_a_second_price_that_cannot_be_is_a_fault_of_its_cell(
    folder: Path, prices: dict[str, str], step: str, allowed: str
) -> None:
    with_price_to(folder, **prices)
    fault = only_fault(folder)
    assert (fault.file, fault.row, fault.column) == (
        "delivery.csv",
        row_of(folder, "delivery.csv", supplier="N raws", **{"up_to_[kg]": step}),
        "price to",
    )
    assert allowed in fault.allowed
