"""What the tables of offers become: whole base units, price steps, shipping weights."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from demo_workshop import demo
from hypothesis import given
from hypothesis import strategies as st
from reference_tables import reference_rows
from workshop_files import append, append_cells, change, faults, only_fault, row_of

from maker_kit.buying.market import Pack
from maker_kit.formula.recipe import Ingredient
from maker_kit.units import parse_amount
from maker_kit.workshop import Workshop, load_workshop
from maker_kit.workshop.csv.faults import Names
from maker_kit.workshop.offers import Goods

# NIST Handbook 44 (2023), Appendix C, exact
LB_G, FL_OZ_ML, GALLON_ML = Fraction("453.59237"), Fraction("29.5735295625"), Fraction("3785.411784")


WATER = Ingredient("Water", ("Aqua",), "solvent")


def pack(shop: Workshop, name: str) -> Pack:
    return next(p for p in shop.market.packs if p.name == name)


@pytest.fixture(scope="module")
def shop() -> Workshop:
    return demo()


@pytest.mark.parametrize(
    ("name", "exact_g"),
    [
        ("M botanicals: Glycerin 1 lb", LB_G),
        ("M botanicals: Shea butter 5 lb", 5 * LB_G),
        ("M botanicals: Shea butter 8 oz wt", LB_G / 2),
        ("M botanicals: Wash base 128 fl oz", GALLON_ML * Fraction("1.022")),
        ("M botanicals: Wash base 32 fl oz", 32 * FL_OZ_ML * Fraction("1.022")),
        ("M botanicals: Castor oil 8 fl oz", 8 * FL_OZ_ML * Fraction("0.96")),
        ("M botanicals: Scent 1 50 mL", Fraction("46.5")),
        ("C corner shop: Water 5 L", Fraction(4990)),
        ("N raws: Glycerin 5 kg", Fraction(5000)),
    ],
)
def test_contents_are_whole_tenths_of_a_gram_rounded_down(shop: Workshop, name: str, exact_g: Fraction) -> None:
    assert list(pack(shop, name).content.values()) == [math.floor(exact_g * 10)]


def test_a_gallon_of_base_weighs_what_the_demo_says(shop: Workshop) -> None:
    assert pack(shop, "M botanicals: Wash base 128 fl oz").content == {
        "Wash base": 38_686
    }  # 3 785.4 mL × 1.022 = 3 868.7 g, less what is not a whole 0.1 g


@pytest.mark.parametrize(
    "row",
    [
        r
        for r in reference_rows("units.csv")
        if r["unit"] in {"g", "mL"}
        and re.match(r"1 .*(oz|lb|gallon|quart|pint|cup|spoon|kg|litre|liter)", r["quantity"])
    ],
    ids=lambda r: r["quantity"],
)
def test_a_pack_of_one_unit_holds_the_published_amount(folder: Path, row: dict[str, str]) -> None:
    text = re.sub(r"\s*\(.*\)", "", row["quantity"])
    exact = Fraction(row["value"])
    append_cells(folder, "packs.csv", {"supplier": "N raws", "item": "Water", "size": text, "price": "0.01"})
    density = Fraction("0.998") if row["unit"] == "mL" else Fraction(1)
    shop = load_workshop(folder)
    found = [p for p in shop.market.packs if p.supplier == "N raws" and "Water" in p.content]
    assert [p.content["Water"] for p in found] == [math.floor(exact * density * 10)]


@given(st.integers(1, 10**6), st.integers(600, 2000))
def test_content_never_overstates_and_never_lacks_a_whole_step(tenths_ml: int, density_thousandths: int) -> None:
    density = density_thousandths / 1000
    water = replace(WATER, density_g_per_ml=density)
    goods = Goods(Names("an item", "", None), {"Water": water}, {}, 1.08)
    exact_dg = Fraction(tenths_ml, 10) * Fraction(density_thousandths, 1000) * 10
    amount = parse_amount(f"{tenths_ml / 10:.1f} mL")
    if exact_dg >= 1:
        assert goods.base_units("Water", amount) == math.floor(exact_dg)


def test_offers_have_names_of_their_own_that_can_be_read(shop: Workshop) -> None:
    names = [p.name for p in shop.market.packs]
    assert len(set(names)) == len(names)
    assert all(p.name.startswith(f"{p.supplier}: ") for p in shop.market.packs)


def test_shipping_weight_is_given_or_follows_from_the_content(shop: Workshop) -> None:
    assert pack(shop, "N raws: Glycerin 1 kg").shipping_dg == 10_800  # × 1.08
    assert pack(shop, "K containers: 250 mL foamer 6 pieces").shipping_dg == 6 * 420
    assert pack(shop, "C corner shop: Label 10 pieces").shipping_dg == 0
    assert pack(shop, "C corner shop: Water 5 L").shipping_dg == 0


def test_rows_with_rising_counts_are_price_steps_of_one_pack_in_any_order(folder: Path) -> None:
    append(folder, "packs.csv", supplier="N raws", item="Xanthan gum", size="0.1 kg", price="4.10", from_count="10")
    append(
        folder, "packs.csv", supplier="n RAWS", item="xanthan gum", size="100 g", price="4.40", from_count="3", stock=""
    )
    assert pack(load_workshop(folder), "N raws: Xanthan gum 100 g").prices == ((1, 470), (3, 440), (10, 410))


def test_the_steps_of_a_pack_agree_on_its_stock(folder: Path) -> None:
    change(folder, "packs.csv", row_of(folder, "packs.csv", item="Xanthan gum"), "stock", "5")
    append(folder, "packs.csv", supplier="N raws", item="Xanthan gum", size="100 g", price="4.40", from_count="3")
    assert pack(load_workshop(folder), "N raws: Xanthan gum 100 g").stock == 5
    append(
        folder,
        "packs.csv",
        supplier="N raws",
        item="Xanthan gum",
        size="100 g",
        price="4.30",
        from_count="4",
        stock="6",
    )
    assert "agree" in only_fault(folder).mend


def test_the_same_step_twice_is_a_duplicate_row(folder: Path) -> None:
    append(folder, "packs.csv", supplier="N raws", item="Xanthan gum", size="100 g", price="4.40", from_count="1")
    assert any("the same supplier, item, size, from count as in row" in f.found for f in faults(folder))


def test_taxes_and_thresholds_are_read(folder: Path) -> None:
    for heading, text in (("tax [%]", "8.25"), ("tax on fees", "no"), ("threshold after tax", "yes")):
        change(folder, "suppliers.csv", 2, heading, text)
    supplier = load_workshop(folder).market.supplier("N raws")
    assert (supplier.tax_bp, supplier.tax_on_fees, supplier.threshold_after_tax) == (825, False, True)


def test_a_kit_without_a_shipping_weight_weighs_what_is_in_it(folder: Path) -> None:
    for row in (2, 3, 4):
        change(folder, "kits.csv", row, "shipping [g]", "")
    # 1050.0 g and 14.2 g times 1.08, four foamers of 42 g
    assert (
        pack(load_workshop(folder), "M botanicals: Kit 1, wash for four").shipping_dg
        == math.ceil(10_500 * Fraction("1.08")) + math.ceil(142 * Fraction("1.08")) + 4 * 420
    )


def test_what_concerns_the_whole_kit_may_stand_in_its_first_row_only(folder: Path) -> None:
    for row in (3, 4):
        for heading in ("supplier", "recipe", "makes", "price", "shipping [g]"):
            change(folder, "kits.csv", row, heading, "")
    assert load_workshop(folder).kits == demo().kits
    change(folder, "kits.csv", 2, "price", "")
    assert (only_fault(folder).file, only_fault(folder).row, only_fault(folder).column) == ("kits.csv", 2, "price")


def test_a_kit_may_be_meant_for_a_recipe_by_its_title(folder: Path) -> None:
    for row in (2, 3, 4):
        change(folder, "kits.csv", row, "recipe", "Foaming hand wash, from a ready base")
    assert load_workshop(folder).kits[0].recipe == "r1b-hand-wash"
