"""Prices that nobody asks: marked in a new workshop, gone when they are written over, and said where they cost."""

from __future__ import annotations

import csv
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from workshop_files import DATA, change, read_rows, row_of, write_rows

from maker_kit.buying.invented import invented_in_list
from maker_kit.plan.costs import curve_view
from maker_kit.plan.plan import make_plan
from maker_kit.plan.shopping.purchases import purchase
from maker_kit.workbook.shown.counts import curve_answer
from maker_kit.workbook.shown.make_or_buy import shopping_sheet
from maker_kit.workshop import Workshop, load_workshop, new_workshop
from maker_kit.workshop.csv.cells import Marks, is_invented, read_cell
from maker_kit.workshop.csv.columns import Column

MONEY = {
    "packs.csv": ("price",),
    "kits.csv": ("price",),
    "suppliers.csv": ("handling", "free from", "least order"),
    "delivery.csv": ("price",),
    "shop_products.csv": ("price", "sale price"),
}
PRICE = Column("price", "money", True, above=True)


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    return new_workshop(tmp_path / "mine")


def unmarked(shop: Workshop) -> Workshop:
    """The workshop without its marks."""
    market = replace(
        shop.market,
        suppliers=tuple(replace(s, invented=False) for s in shop.market.suppliers),
        packs=tuple(replace(p, invented=False) for p in shop.market.packs),
    )
    shelf = {
        name: replace(product, sizes=tuple(replace(size, invented=False) for size in product.sizes))
        for name, product in shop.shop_products.items()
    }
    return replace(shop, market=market, shop_products=shelf)


@pytest.mark.parametrize("file", MONEY)
def test_every_price_of_a_new_workshop_is_the_demos_with_the_word_behind_it(mine: Path, file: str) -> None:
    heads, *rows = read_rows(DATA / file)
    mine_heads, *mine_rows = read_rows(mine / file)
    assert mine_heads == heads
    for old, new in zip(rows, mine_rows, strict=True):
        for heading, before, after in zip(heads, old, new, strict=True):
            if heading in MONEY[file] and before:
                assert after == f"{before} invented"
            elif heading == "note":
                assert "invented" not in after
            else:
                assert after == before


def test_a_new_workshop_means_what_the_demo_means(mine: Path) -> None:
    demo = load_workshop(DATA)
    assert unmarked(replace(load_workshop(mine), folder=DATA)) == demo
    assert unmarked(demo) == demo  # nothing of the demo itself is marked: its name says it


def test_a_price_written_over_is_no_longer_invented_and_neither_is_one_without_the_word(mine: Path) -> None:
    for size, text in (("250 g", "3.35"), ("1 kg", "7.40")):
        change(
            mine, "packs.csv", row_of(mine, "packs.csv", item="Glycerin", size=size, supplier="N raws"), "price", text
        )
    packs = {pack.name: pack for pack in load_workshop(mine).market.packs}
    told = [packs[f"N raws: Glycerin {size}"] for size in ("250 g", "1 kg", "5 kg")]
    assert [(p.prices[0][1], p.invented) for p in told] == [(335, False), (740, False), (2950, True)]


@given(
    cents=st.integers(1, 10**7),
    word=st.sampled_from(["invented", "Invented", "INVENTED", "invented."]),
    blanks=st.sampled_from([" ", "  ", "\t", ""]),
    sure=st.booleans(),
)
def test_the_word_changes_no_price(cents: int, word: str, blanks: str, sure: bool) -> None:
    text = f"{Decimal(cents) / 100:.2f}"
    marked = f"{text}{blanks or ' '}{word}{' sure' if sure else ''}"
    assert read_cell(marked, PRICE, Marks()) == (cents, sure)
    assert is_invented(marked, PRICE)
    assert not is_invented(text, PRICE)


def test_a_table_with_decimal_commas_keeps_them(mine: Path) -> None:
    heads, *rows = read_rows(mine / "packs.csv")
    place = heads.index("price")
    commas = ([*r[:place], r[place].replace(".", ","), *r[place + 1 :]] for r in rows)
    write_rows(mine / "packs.csv", [heads, *commas], ";")
    assert unmarked(replace(load_workshop(mine), folder=DATA)) == load_workshop(DATA)


def test_the_total_says_how_many_prices_of_the_list_are_invented(mine: Path) -> None:
    change(mine, "packs.csv", row_of(mine, "packs.csv", item="Wash base", size="128 fl oz"), "price", "1.00 sure")
    shop = load_workshop(mine)
    plan = make_plan(shop, "r1b-hand-wash", batches=12)
    bought = purchase(plan)
    with (mine / "packs.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    marked = {
        f"{r['supplier']}: {r['item']} {r['size']}" for r in rows if r["price"].endswith("invented")
    }  # read with Python's csv alone
    kits = {line.pack for line in bought.basket.lines if "Kit" in line.pack}
    by_hand = sum(line.pack in marked | kits for line in bought.basket.lines) + len(bought.basket.orders)
    found = invented_in_list(plan.market, bought.basket)
    assert (found.count, found.of) == (by_hand, len(bought.basket.lines) + len(bought.basket.orders))
    assert found.count < found.of
    said = f"{found.count} of {found.of} prices in this list are invented"
    assert said in curve_answer(curve_view(plan, 12))
    assert said in shopping_sheet(bought).html()


def test_a_plan_carries_a_note_of_it_and_the_demo_none(mine: Path) -> None:
    (note,) = (f for f in make_plan(load_workshop(mine), "r4-balm").findings if f.code == "cost.invented")
    assert (note.kind, note.level) == ("look", "unknown")
    sold = {pack.name for pack in make_plan(load_workshop(DATA), "r4-balm").market.packs}
    assert sold <= set(note.about)
    demo = make_plan(load_workshop(DATA), "r4-balm", batches=12)
    assert [f for f in demo.findings if f.topic == "cost"] == []
    assert "invented" not in curve_answer(curve_view(demo, 12))
    assert "invented" not in shopping_sheet(purchase(demo)).html()


def test_check_says_it(mine: Path) -> None:
    assert "89 of 89 packs, kits and suppliers" in load_workshop(mine).summary().sentence()
    assert "invented" not in load_workshop(DATA).summary().sentence()
