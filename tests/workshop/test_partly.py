"""One faulty row disables what stands on it, and nothing else; what is left is as it was without the fault."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from demo_workshop import demo
from test_bad_tables import CELLS, cell
from workshop_files import DATA, append, faults, read_rows, write_rows

from maker_kit.errors import WorkshopError
from maker_kit.workshop import load_workshop

WHOLE = demo()
ALL = set(WHOLE.recipes)
PACKS = {pack.name for pack in WHOLE.market.packs}


def uses(*names: str) -> set[str]:
    """The demo recipes that hold one of some ingredients, themselves or in what they are made from."""
    return {name for name, recipe in WHOLE.recipes.items() if set(names) & set(recipe.ingredients)}


@pytest.mark.parametrize(("file", "find", "heading", "text", "words"), CELLS)
def test_what_is_left_is_as_it_was_and_the_rest_is_named(
    folder: Path, file: str, find: dict[str, str], heading: str, text: str, words: list[str]
) -> None:
    cell(folder, file, find, heading, text)
    if file == "workshop.csv":
        with pytest.raises(WorkshopError):
            load_workshop(folder, partly=True)
        return
    shop = load_workshop(folder, partly=True)
    assert shop.faults == faults(folder)
    assert set(shop.recipes) | set(shop.left_out) == ALL
    assert not set(shop.recipes) & set(shop.left_out)
    for name, recipe in shop.recipes.items():
        assert recipe in (WHOLE.recipes[name], replace(WHOLE.recipes[name], shop_product=""))
    for told in shop.left_out.values():
        assert told
        assert set(told) <= set(shop.faults)
    assert all(WHOLE.ingredients[name] == thing for name, thing in shop.ingredients.items())
    assert all(pack.name in PACKS for pack in shop.market.packs)
    if file in {"packs.csv", "suppliers.csv", "delivery.csv", "kits.csv", "shop_products.csv", "thickness.csv"}:
        assert set(shop.recipes) == ALL, "who sells it, and what the shop asks, disables no recipe"


@pytest.mark.parametrize(
    ("file", "find", "heading", "text", "ingredient"),
    [
        ("ingredients.csv", {"name": "Beeswax"}, "density [g/mL]", "heavy", "Beeswax"),
        ("ingredients.csv", {"name": "Preservative P"}, "INCI", "Phenoxyethanol, Ethylhexylglycerin", "Preservative P"),
        ("whats_inside.csv", {"substance": "Phenoxyethanol"}, "high [%]", "many", "Preservative P"),
        ("whats_inside.csv", {"substance": "Tocopherol"}, "mixture", "Antioxidant blnd", "Antioxidant blend"),
        ("bench_made.csv", {"made from": "Water"}, "percent", "half", "Citric acid 50 % solution"),
        ("certificates.csv", {"scent": "Scent 3"}, "amendment", "last", "Scent 3"),
    ],
)
def test_a_faulty_ingredient_disables_the_recipes_that_hold_it(
    folder: Path, file: str, find: dict[str, str], heading: str, text: str, ingredient: str
) -> None:
    cell(folder, file, find, heading, text)
    shop = load_workshop(folder, partly=True)
    hold = uses(ingredient)
    assert hold
    assert set(shop.left_out) == hold
    assert all(told[0].file == file for told in shop.left_out.values())
    assert ingredient not in shop.ingredients
    with pytest.raises(WorkshopError) as caught:
        shop.recipe(min(hold))
    assert caught.value.faults == shop.left_out[min(hold)]
    assert not any(ingredient in pack.content for pack in shop.market.packs)


def test_a_fault_in_what_a_mixture_is_made_from_reaches_the_recipe(folder: Path) -> None:
    cell(folder, "ingredients.csv", {"name": "Citric acid"}, "function", "")
    shop = load_workshop(folder, partly=True)
    assert set(shop.left_out) == uses("Citric acid", "Citric acid 50 % solution")
    assert all(told[0].file == "ingredients.csv" for told in shop.left_out.values())


def test_a_container_that_cannot_be_read(folder: Path) -> None:
    cell(folder, "containers.csv", {"container": "60 mL tin"}, "brim [mL]", "full")
    shop = load_workshop(folder, partly=True)
    assert set(shop.left_out) == {n for n, r in WHOLE.recipes.items() if r.container == "60 mL tin"} != set()


def test_a_line_that_cannot_be_read_and_a_file_that_is_none(folder: Path) -> None:
    cell(folder, "recipes/r4-balm.csv", {"ingredient": "Beeswax"}, "percent", "some")
    (folder / "recipes" / "r2-gel-cream.csv").write_bytes(b"\x00\x01\x02")
    shop = load_workshop(folder, partly=True)
    assert set(shop.left_out) == {"r4-balm", "r2-gel-cream"}
    assert {f.file for f in shop.left_out["r4-balm"]} == {"recipes/r4-balm.csv"}


def test_a_shop_product_that_cannot_be_read_leaves_its_recipe(folder: Path) -> None:
    cell(folder, "shop_products.csv", {"product": "Shop balm"}, "price", "much")
    shop = load_workshop(folder, partly=True)
    assert shop.recipes["r4-balm"].shop_product == ""
    assert not shop.left_out


@pytest.mark.parametrize(
    "file", ["packs.csv", "suppliers.csv", "delivery.csv", "kits.csv", "swaps.csv", "thickness.csv"]
)
def test_a_table_of_the_market_that_is_gone_disables_no_recipe(folder: Path, file: str) -> None:
    (folder / file).unlink()
    shop = load_workshop(folder, partly=True)
    assert set(shop.recipes) == ALL
    assert file in {f.file for f in shop.faults}
    if file in {"packs.csv", "suppliers.csv", "delivery.csv"}:
        assert not [pack for pack in shop.market.packs if not pack.kit]


@pytest.mark.parametrize("file", ["ingredients.csv", "whats_inside.csv", "containers.csv"])
def test_without_a_table_that_every_recipe_stands_on_none_is_left(folder: Path, file: str) -> None:
    (folder / file).unlink()
    shop = load_workshop(folder, partly=True)
    assert set(shop.left_out) == ALL
    assert not shop.recipes


def test_a_table_with_a_row_cut_off_disables_what_stands_on_it_like_one_that_is_gone(folder: Path) -> None:
    with (folder / "ingredients.csv").open("a", encoding="utf-8") as file:
        file.write("Oat oil\r\n")
    shop = load_workshop(folder, partly=True)
    assert set(shop.left_out) == ALL
    assert {f.row is not None for f in shop.faults} == {True}


@pytest.mark.parametrize("file", ["limits.csv", "avoid.csv"])
def test_a_rule_that_cannot_be_read_is_told_as_not_counted(folder: Path, file: str) -> None:
    (folder / file).unlink()
    shop = load_workshop(folder, partly=True)
    assert set(shop.recipes) == ALL
    assert {f.file for f in shop.not_counted} == {file}


def test_what_is_inside_nobody_knows_what_is_told_as_not_counted(folder: Path) -> None:
    append(folder, "whats_inside.csv", mixture="Zzzqx", substance="Formaldehyde")
    shop = load_workshop(folder, partly=True)
    assert set(shop.recipes) == ALL
    assert [f.file for f in shop.not_counted] == ["whats_inside.csv"]


def test_a_row_that_stands_twice_disables_both(folder: Path) -> None:
    rows = read_rows(folder / "ingredients.csv")
    write_rows(folder / "ingredients.csv", [*rows, next(r for r in rows if r[0] == "Beeswax")])
    assert set(load_workshop(folder, partly=True).left_out) == uses("Beeswax")


def test_a_sound_workshop_read_partly_is_the_whole_one() -> None:
    assert load_workshop(DATA, partly=True) == WHOLE


def test_no_folder_is_a_fault_still(tmp_path: Path) -> None:
    with pytest.raises(WorkshopError):
        load_workshop(tmp_path / "nothing", partly=True)
