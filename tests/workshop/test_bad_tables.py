"""Every way in which a maker's tables go wrong: one change to the demo, one fault that names file, row, column, what
was found and how to mend it.
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from workshop_files import DATA, append, append_cells, change, delete, faults, only_fault, read_rows, row_of, write_rows

from maker_kit.errors import WorkshopError
from maker_kit.workshop import load_workshop
from maker_kit.workshop.csv import tables

OPTIONAL = {spec.file for spec in tables.TABLES if spec.optional}

WASH, GEL = "recipes/r1-hand-wash.csv", "recipes/r2-gel-cream.csv"


def cell(folder: Path, file: str, find: dict[str, str], heading: str, text: str) -> tuple[str, int, str]:
    """Change one cell and say where it stands."""
    row = row_of(folder, file, **find)
    change(folder, file, row, heading, text)
    return file, row, heading


CELLS = [
    # file, the row, column, text, words of the fault
    (WASH, {"ingredient": "Glycerin"}, "ingredient", "Glycerine", ['"Glycerine"', 'did you mean "Glycerin"?']),
    (WASH, {"ingredient": "Scent 3"}, "percent", "0.008", ["0.008 % is very little", "0.8", "0.008 sure"]),
    (WASH, {"ingredient": "Sodium benzoate"}, "percent", "0.005", ["very little", "0.5"]),
    (WASH, {"ingredient": "Glycerin"}, "percent", "-3", ["negative", "0 to 100 %"]),
    (WASH, {"ingredient": "Glycerin"}, "percent", "three", ["number in digits"]),
    (WASH, {"ingredient": "Glycerin"}, "percent", "", ["only the balance line", "yes under 'balance'"]),
    (WASH, {"ingredient": "Glycerin"}, "percent", "NaN", ["digits"]),
    (WASH, {"ingredient": "Glycerin"}, "percent", "Infinity", ["digits"]),
    (WASH, {"ingredient": "Glycerin"}, "balance", "yes", ["one balance line", "row 2"]),
    (WASH, {"ingredient": "Glycerin"}, "phase", "", ["nothing", "fill it in"]),
    ("ingredients.csv", {"name": "Dry-feel ester"}, "density [g/mL]", "0.086", ["0.6 to 2.0", "0.086 sure"]),
    ("ingredients.csv", {"name": "Dry-feel ester"}, "density [g/mL]", "860", ["0.05 to 25"]),
    ("ingredients.csv", {"name": "Preservative P"}, "function", "preservatve", ['"preservative"', "sure"]),
    ("ingredients.csv", {"name": "Preservative P"}, "least [%]", "1.2", ["at most 1.1"]),
    ("ingredients.csv", {"name": "Preservative P"}, "most [%]", "110", ["to 100 %"]),
    ("ingredients.csv", {"name": "Water"}, "INCI", "", ["fill it in"]),
    *(
        ("ingredients.csv", {"name": "Beeswax"}, "INCI", f"Phenoxyethanol{between}Ethylhexylglycerin", words)
        for between in (", ", ",", " (and) ", " & ", " / ", "/", " + ", " and ")
        for words in [["separate the names by semicolons: Phenoxyethanol; Ethylhexylglycerin", "sure"]]
    ),
    ("ingredients.csv", {"name": "Beeswax"}, "INCI", "Phenoxythanol", ['did you mean "Phenoxyethanol"?', "sure"]),
    ("ingredients.csv", {"name": "Beeswax"}, "INCI", "Aqua; Sodium benzoat", ['did you mean "Sodium Benzoate"?']),
    ("whats_inside.csv", {"substance": "Citral"}, "substance", "Limonen, Citral", ["its own row: Limonen, Citral"]),
    ("whats_inside.csv", {"substance": "Citral"}, "substance", "Cittral", ['did you mean "Citral"?', "Cittral sure"]),
    ("avoid.csv", {"person": "a guest"}, "avoid", "!", ["a family", "write a word"]),
    ("whats_inside.csv", {"substance": "Phenoxyethanol"}, "low [%]", "95", ["at most 92"]),
    ("whats_inside.csv", {"substance": "Phenoxyethanol"}, "low [%]", "", ["write 0"]),
    ("whats_inside.csv", {"substance": "Phenoxyethanol"}, "high [%]", "", ["write 100"]),
    ("whats_inside.csv", {"substance": "Citral"}, "mixture", "Scent 11", ['did you mean "Scent 1"?']),
    ("certificates.csv", {"most [%]": "0.25"}, "scent", "Scent 5", ["ingredients.csv", "did you mean"]),
    ("certificates.csv", {"most [%]": "0.25"}, "category", "class 3", ["5A", "earlier"]),
    ("certificates.csv", {"most [%]": "0.25"}, "amendment", "49.5", ["whole number"]),
    ("bench_made.csv", {"made from": "Water"}, "made from", "Watter", ['did you mean "Water"?']),
    ("recipes.csv", {"name": "r4-balm"}, "container", "60 ml tins", ['did you mean "60 mL tin"?', "containers.csv"]),
    ("recipes.csv", {"name": "r4-balm"}, "shop product", "Shop blam", ['did you mean "Shop balm"?']),
    ("recipes.csv", {"name": "r4-balm"}, "scent", "Scent 3", ['did you mean "Scent 2"?', "recipes/r4-balm.csv"]),
    ("recipes.csv", {"name": "r2-gel-cream"}, "thickener", "Xanthan gum", ["recipes/r2-gel-cream.csv"]),
    ("recipes.csv", {"name": "r1-hand-wash"}, "scent", "Water", ["not the balance"]),
    ("recipes.csv", {"name": "r4-balm"}, "where it goes", "hands; foot", ['"foot"', "underarm"]),
    ("recipes.csv", {"name": "r4-balm"}, "rinse-off or leave-on", "leave", ["rinse-off, leave-on"]),
    ("recipes.csv", {"name": "r4-balm"}, "fill", "50", ["unit"]),
    ("recipes.csv", {"name": "r4-balm"}, "fill", "2 oz", ["oz wt"]),
    ("recipes.csv", {"name": "r4-balm"}, "fill", "62 g", ["66 mL", "66.7 mL"]),
    ("recipes.csv", {"name": "r1-hand-wash"}, "fill", "283 mL", ["282 mL", "brim"]),
    ("recipes.csv", {"name": "r4-balm"}, "density [g/mL]", "", ["fill it in"]),
    ("recipes.csv", {"name": "r4-balm"}, "loss [%]", "55", ["at most 50 %", "55 sure"]),
    ("recipes.csv", {"name": "r4-balm"}, "title", "gel CREAM", ["title of its own", "row 4"]),
    ("recipes.csv", {"name": "r2-gel-cream"}, "pH from", "6.3", ["at most 5.9"]),
    ("recipes.csv", {"name": "r2-gel-cream"}, "pH to", "", ["together"]),
    ("recipes.csv", {"name": "r2-gel-cream"}, "pH read", "15", ["0 to 14"]),
    ("recipes.csv", {"name": "r2-gel-cream"}, "spread from [cm]", "7", ["at most 6.8"]),
    ("recipes.csv", {"name": "r2-gel-cream"}, "keeps [months]", "0", ["above 0"]),
    ("recipes/r2-gel-cream.steps.csv", {"step": "3"}, "text", "", ["fill it in"]),
    ("recipes/r2-gel-cream.steps.csv", {"step": "3"}, "from [°C]", "30", ["at most 25"]),
    ("packs.csv", {"item": "Xanthan gum"}, "price", "0", ["above 0"]),
    ("packs.csv", {"item": "Xanthan gum"}, "price", "-4.70", ["negative"]),
    ("packs.csv", {"item": "Xanthan gum"}, "price", "", ["fill it in"]),
    ("packs.csv", {"item": "Xanthan gum"}, "price", "=2+2", ['"=2+2"', "number in digits"]),
    ("packs.csv", {"item": "Xanthan gum"}, "price", "<b>4</b>", ['"<b>4</b>"', "number in digits"]),
    ("packs.csv", {"item": "Xanthan gum"}, "price", "1,000.50", ["thousands"]),
    ("packs.csv", {"item": "Xanthan gum"}, "item", "Xantan gum", ['did you mean "Xanthan gum"?', "containers.csv"]),
    ("packs.csv", {"item": "Xanthan gum"}, "supplier", "N row", ['did you mean "N raws"?', "suppliers.csv"]),
    ("packs.csv", {"item": "Xanthan gum"}, "size", "100", ["unit"]),
    ("packs.csv", {"item": "Xanthan gum"}, "size", "3.5 oz", ["oz wt", "fl oz"]),
    ("packs.csv", {"item": "Xanthan gum"}, "size", "2 pieces", ["weighed"]),
    ("packs.csv", {"item": "Xanthan gum"}, "size", "0.01 g", ["0.1 g"]),
    ("packs.csv", {"item": "Xanthan gum"}, "from count", "5", ["1 in the first row"]),
    ("packs.csv", {"item": "Xanthan gum"}, "stock", "-1", ["whole number", "negative"]),
    ("packs.csv", {"item": "Label"}, "size", "10 g", ["24 pieces"]),
    ("packs.csv", {"size": "5 kg", "price": "29.50"}, "price", "37.50", ["at most 37.00", "row 3", "37.50 sure"]),
    ("kits.csv", {"item": "Propanediol"}, "amount", "32", ["unit"]),
    ("kits.csv", {"item": "Scent 1"}, "item", "Scant 1", ['did you mean "Scent 1"?']),
    ("kits.csv", {"item": "Gel former"}, "price", "28.90", ["row 5", "agree"]),
    ("kits.csv", {"item": "Gel former"}, "supplier", "N raws", ["row 5", "agree"]),
    ("delivery.csv", {"up to [kg]": "5"}, "up to [kg]", "1.5", ["more than 2 kg"]),
    ("delivery.csv", {"up to [kg]": "20"}, "price", "9.90", ["at least 10.90"]),
    ("delivery.csv", {"up to [kg]": "5"}, "price", "free", ["number"]),
    ("suppliers.csv", {"supplier": "N raws"}, "tax [%]", "8.875", ["two decimals"]),
    ("containers.csv", {"container": "60 mL tin"}, "kind", "tinn", ['did you mean "tin"?']),
    ("shop_products.csv", {"product": "Shop gel"}, "sale price", "16.00", ["at most 15.50", "16.00 sure"]),
    ("shop_products.csv", {"product": "Shop gel"}, "price", "0", ["above 0"]),
    ("shop_products.csv", {"product": "Shop gel"}, "date", "3/4/2026", ["2026-03-31"]),
    ("shop_products.csv", {"size": "400 mL"}, "label order", "Aqua; Parfum", ["row 5", "agree"]),
    ("shop_products.csv", {"size": "400 mL"}, "size", "4 pieces", ["volume or a mass"]),
    ("thickness.csv", {"spread [cm]": "9.1"}, "recipe", "r2-gel", ['did you mean "r2-gel-cream"?']),
    ("thickness.csv", {"spread [cm]": "9.1"}, "ingredient", "Xanthan gum", ["recipes/r2-gel-cream.csv"]),
    ("thickness.csv", {"spread [cm]": "9.1"}, "spread [cm]", "0", ["above 0"]),
    ("swaps.csv", {"ingredient": "Propanediol"}, "instead", "Glycerine", ['did you mean "Glycerin"?']),
    ("swaps.csv", {"ingredient": "Propanediol"}, "instead", "propanediol", ["another ingredient"]),
    ("workshop.csv", {"setting": "market"}, "value", "UK", ["EU, US"]),
    ("workshop.csv", {"setting": "currency"}, "value", "Euro", ["three capital letters"]),
    ("workshop.csv", {"setting": "scale steps"}, "value", "0.1 g", ["0.1 g to 500 g"]),
    ("workshop.csv", {"setting": "scale steps"}, "value", "0.1 g to 500 g; 0.1 g to 10 kg", ["coarser"]),
    ("workshop.csv", {"setting": "loss [%]"}, "value", "60", ["60 sure"]),
]


@pytest.mark.parametrize(
    ("file", "find", "heading", "text", "words"), CELLS, ids=[f"{c[0]}-{c[2]}-{c[3]}" for c in CELLS]
)
def test_one_wrong_cell_is_one_fault_at_its_place(
    folder: Path, file: str, find: dict[str, str], heading: str, text: str, words: list[str]
) -> None:
    place = cell(folder, file, find, heading, text)
    told = [f for f in faults(folder) if (f.file, f.row, f.column) == place]
    assert len(told) == 1, [f.sentence() for f in faults(folder)]
    sentence = told[0].sentence()
    assert f"{place[0]}, row {place[1]}, column {place[2]!r}" in sentence
    for word in words:
        assert word in sentence
    elsewhere = {f.file for f in faults(folder)} - {file}
    assert elsewhere <= ({"thickness.csv"} if file == "recipes.csv" else set()), (
        "no fault breeds others in tables that are right"
    )


SURE = [
    (WASH, {"ingredient": "Scent 3"}, "percent", "0.008 sure", {"ingredient": "Water"}, "percent", "69.392"),
    ("ingredients.csv", {"name": "Dry-feel ester"}, "density [g/mL]", "0.5 sure", None, "", ""),
    ("recipes.csv", {"name": "r4-balm"}, "loss [%]", "55 sure", None, "", ""),
    ("packs.csv", {"size": "5 kg", "price": "29.50"}, "price", "37.50 sure", None, "", ""),
    ("shop_products.csv", {"product": "Shop gel"}, "sale price", "16.00 sure", None, "", ""),
    ("ingredients.csv", {"name": "Preservative P"}, "function", "preservatve sure", None, "", ""),
    ("ingredients.csv", {"name": "Beeswax"}, "INCI", "Phenoxythanol sure", None, "", ""),
    ("ingredients.csv", {"name": "Beeswax"}, "INCI", "Water, Glycerin sure", None, "", ""),
    ("whats_inside.csv", {"substance": "Citral"}, "substance", "Citrall sure", None, "", ""),
    *(
        ("ingredients.csv", {"name": "Beeswax"}, "INCI", name, None, "", "")
        for name in (
            *("1,2-Hexanediol", "Caprylic/Capric Triglyceride", "Aqua/Water/Eau", "2-Bromo-2-Nitropropane-1,3-Diol"),
            *("Acrylates/C10-30 Alkyl Acrylate Crosspolymer", "PEG/PPG-18/18 Dimethicone", "Coco-Caprylate/Caprate"),
            *("Helianthus Annuus (Sunflower) Seed Oil", "Polysorbate 40", "Lactobacillus/Pumpkin Ferment Extract"),
        )
    ),
]


@pytest.mark.parametrize(("file", "find", "heading", "text", "find_too", "heading_too", "text_too"), SURE)
def test_a_suspicious_value_is_taken_once_it_is_confirmed(
    folder: Path,
    file: str,
    find: dict[str, str],
    heading: str,
    text: str,
    find_too: dict[str, str] | None,
    heading_too: str,
    text_too: str,
) -> None:
    cell(folder, file, find, heading, text)
    if find_too:
        cell(folder, file, find_too, heading_too, text_too)
    load_workshop(folder)


def test_0_008_typed_for_0_8_is_asked_about_even_where_the_sum_comes_out_right(folder: Path) -> None:
    cell(folder, WASH, {"ingredient": "Water"}, "percent", "")
    place = cell(folder, WASH, {"ingredient": "Scent 3"}, "percent", "0.008")
    fault = only_fault(folder)
    assert (fault.file, fault.row, fault.column) == place
    assert "if you meant 0.8 %, write 0.8; if 0.008 % is meant, write: 0.008 sure" in fault.mend


def test_a_little_colour_is_nothing_strange(folder: Path) -> None:
    append_cells(folder, "ingredients.csv", {"name": "Green", "INCI": "CI 61565", "function": "colour"})
    append(folder, WASH, phase="C", ingredient="Green", percent="0.002")
    cell(folder, WASH, {"ingredient": "Water"}, "percent", "68.598")
    assert load_workshop(folder).recipe("r1-hand-wash").percent_of("Green") == 0.002


@pytest.mark.parametrize(("percent", "total", "balance"), [("2.00", "99", "69.6"), ("4.00", "101", "67.6")])
def test_a_recipe_that_adds_up_to_99_or_101_is_not_stretched(
    folder: Path, percent: str, total: str, balance: str
) -> None:
    cell(folder, WASH, {"ingredient": "Glycerin"}, "percent", percent)
    fault = only_fault(folder)
    assert (fault.file, fault.row, fault.column) == (WASH, None, "percent")
    assert f"add up to {total} %" in fault.found
    assert "100 %" in fault.allowed
    assert f"the balance (Water) is {balance} %" in fault.mend


def test_without_a_balance_line_the_sum_still_has_to_be_100(folder: Path) -> None:
    cell(folder, WASH, {"ingredient": "Water"}, "balance", "")
    load_workshop(folder)
    cell(folder, WASH, {"ingredient": "Glycerin"}, "percent", "3.01")
    fault = only_fault(folder)
    assert "100.01 %" in fault.found
    assert "takes what the others leave" in fault.mend


def test_the_balance_may_be_blank_and_takes_the_rest(folder: Path) -> None:
    cell(folder, WASH, {"ingredient": "Water"}, "percent", "")
    cell(folder, WASH, {"ingredient": "Glycerin"}, "percent", "4.5")
    assert (
        load_workshop(folder).recipe("r1-hand-wash").percent_of("Water") == 67.1
    )  # 68.60 less the 1.50 that glycerin gained


def test_nothing_is_left_for_the_balance(folder: Path) -> None:
    cell(folder, WASH, {"ingredient": "Water"}, "percent", "")
    cell(folder, WASH, {"ingredient": "Glycerin"}, "percent", "75")
    fault = only_fault(folder)
    assert "103.4 %" in fault.found
    assert "without Water, the balance" in fault.found


def test_shares_of_one_are_recognised(folder: Path) -> None:
    rows = read_rows(folder / "recipes/r1b-hand-wash.csv")
    rows[1][2], rows[1][3], rows[2][2] = "0.992", "", "0.008 sure"
    write_rows(folder / "recipes/r1b-hand-wash.csv", rows)
    assert "shares of one" in only_fault(folder).mend


DUPLICATES = [
    "workshop.csv",
    "ingredients.csv",
    "whats_inside.csv",
    "bench_made.csv",
    "certificates.csv",
    "containers.csv",
    "recipes.csv",
    "suppliers.csv",
    "delivery.csv",
    "packs.csv",
    "kits.csv",
    "shop_products.csv",
    "thickness.csv",
    "avoid.csv",
    "swaps.csv",
    WASH,
    "recipes/r2-gel-cream.steps.csv",
]


@pytest.mark.parametrize("file", DUPLICATES)
def test_a_row_that_stands_twice(folder: Path, file: str) -> None:
    rows = read_rows(folder / file)
    write_rows(folder / file, [*rows, rows[1]])
    told = [f for f in faults(folder) if f.row == len(rows) + 1 and "as in row 2" in f.found]
    assert [f.file for f in told] == [file]
    assert "delete one of the two rows" in told[0].mend


def test_a_name_that_differs_only_in_capitals_stands_twice(folder: Path) -> None:
    append_cells(folder, "ingredients.csv", {"name": "GLYCERIN", "INCI": "Glycerin", "function": "humectant"})
    assert "as in row 3" in only_fault(folder).found


def test_a_supplier_without_a_delivery_row(folder: Path) -> None:
    delete(folder, "delivery.csv", row_of(folder, "delivery.csv", supplier="K containers"))
    fault = only_fault(folder)
    assert (fault.file, fault.row, fault.column) == ("suppliers.csv", 4, "supplier")
    assert 'no row for "K containers" in delivery.csv' in fault.found


def test_delivery_of_any_weight_comes_last(folder: Path) -> None:
    append(folder, "delivery.csv", supplier="M botanicals", price="9.00", **{"up to [kg]": "5"})
    assert "last row" in only_fault(folder).allowed


def test_a_volume_without_a_density(folder: Path) -> None:
    cell(folder, "ingredients.csv", {"name": "Castor oil"}, "density [g/mL]", "")
    told = faults(folder)
    assert [(f.file, f.column) for f in told] == [("packs.csv", "size")] * 2
    assert '"8 fl oz"' in told[0].found
    assert "'density [g/mL]' of Castor oil in ingredients.csv" in told[0].mend


def test_a_price_that_rises_with_the_number_bought(folder: Path) -> None:
    row = append(folder, "packs.csv", supplier="N raws", item="Xanthan gum", size="100 g", price="4.80", from_count="3")
    fault = only_fault(folder)
    assert (fault.file, fault.row, fault.column) == ("packs.csv", row, "price")
    assert "at most 4.70" in fault.allowed
    assert "rises" in fault.mend


def test_a_recipe_without_its_line_file(folder: Path) -> None:
    (folder / WASH).unlink()
    fault = only_fault(folder)
    assert (fault.file, fault.found) == (WASH, "no such file")


@pytest.mark.parametrize("file", ["recipes/r9-soap.csv", "recipes/r4-blam.steps.csv"])
def test_a_line_file_without_a_row_in_recipes(folder: Path, file: str) -> None:
    shutil.copy(folder / "recipes/r4-balm.csv", folder / file)
    fault = only_fault(folder)
    assert fault.file == file
    assert "recipes.csv does not list" in fault.found


def test_a_spreadsheets_lock_file_is_no_table(folder: Path) -> None:
    (folder / "recipes/.~lock.r4-balm.csv#").write_text("x", encoding="utf-8")
    load_workshop(folder)


@pytest.mark.parametrize("name", ["../r4", "a/b", "hand wash", "r4.balm", "x" * 61, "CON "])
def test_a_recipes_name_stays_inside_its_folder(folder: Path, name: str) -> None:
    row = row_of(folder, "recipes.csv", name="r4-balm")
    change(folder, "recipes.csv", row, "name", name)
    told = [f for f in faults(folder) if (f.file, f.row) == ("recipes.csv", row)]
    assert [f.column for f in told] == ["name"]  # CON is no file's name where it is a device's


def test_blanks_around_a_recipes_name_are_not_part_of_it(folder: Path) -> None:
    row = row_of(folder, "recipes.csv", name="r4-balm")
    change(folder, "recipes.csv", row, "name", "CONE ")
    told = {(f.file, f.found) for f in faults(folder)}
    assert ("recipes/CONE.csv", "no such file") in told
    assert not any((f.file, f.row) == ("recipes.csv", row) for f in faults(folder))


def test_what_is_inside_has_to_name_what_the_ingredient_is_made_of(folder: Path) -> None:
    cell(folder, "whats_inside.csv", {"substance": "Phenoxyethanol"}, "substance", "Phenoxyethanl sure")
    fault = only_fault(folder)
    assert fault.file == "whats_inside.csv"
    assert '"Phenoxyethanol"' in fault.found
    assert 'did you mean "Phenoxyethanl"?' in fault.mend


def test_low_percents_beyond_100(folder: Path) -> None:
    for substance, heading in (("Ethylhexylglycerin", "high [%]"), ("Ethylhexylglycerin", "low [%]")):
        cell(folder, "whats_inside.csv", {"substance": substance}, heading, "20")
    assert "108 %" in only_fault(folder).found


def test_a_mixture_of_several_names_that_nobody_opened_is_unknown_inside(folder: Path) -> None:
    for _ in range(2):
        delete(folder, "whats_inside.csv", row_of(folder, "whats_inside.csv", mixture="Preservative P"))
    inside = load_workshop(folder).ingredient("Preservative P").inside
    assert [(s.substance, s.low_percent, s.high_percent) for s in inside] == [
        ("Phenoxyethanol", None, None),
        ("Ethylhexylglycerin", None, None),
    ]


def test_bench_made_parts_that_miss_100_and_a_mixture_made_from_itself(folder: Path) -> None:
    cell(folder, "bench_made.csv", {"made from": "Water"}, "percent", "49")
    assert "99 %" in only_fault(folder).found
    cell(folder, "bench_made.csv", {"made from": "Water"}, "percent", "50")
    cell(folder, "bench_made.csv", {"made from": "Water"}, "made from", "Citric acid 50 % solution")
    assert "made from itself" in only_fault(folder).found


def test_a_bench_made_mixture_is_not_opened_twice(folder: Path) -> None:
    for substance in ("Citric Acid", "Aqua"):
        append_cells(
            folder,
            "whats_inside.csv",
            {"mixture": "Citric acid 50 % solution", "substance": substance, "low [%]": "50", "high [%]": "50"},
        )
    assert "bench_made.csv" in only_fault(folder).found


def test_one_name_for_one_thing(folder: Path) -> None:
    append_cells(folder, "ingredients.csv", {"name": "60 ml TIN", "INCI": "Tin", "function": "tin"})
    assert "no ingredient has" in only_fault(folder).allowed
    change(folder, "ingredients.csv", len(read_rows(folder / "ingredients.csv")), "name", "label")
    assert "give the ingredient another name" in only_fault(folder).mend


def test_own_limits_are_read_and_checked(folder: Path) -> None:
    good = {
        "substance": "Benzoic acid / sodium benzoate",
        "most [%]": "0.3",
        "members": "Benzoic Acid; Sodium Benzoate = 0.84746",
        "counted as": "as acid",
        "applies": "leave-on",
        "kind": "practice",
        "source": "my own rule",
        "checked": "from memory",
        "date": "2026-01-05",
    }
    row = append_cells(folder, "limits.csv", good)
    (limit,) = load_workshop(folder).limits
    assert limit.members == (("Benzoic Acid", 1.0), ("Sodium Benzoate", 0.84746))
    assert (limit.most_percent, limit.applies, limit.kind, limit.category, limit.date, limit.checked) == (
        0.3,
        "leave-on",
        "practice",
        "",
        "2026-01-05",
        "from memory",
    )
    for heading, text, words in (
        ("members", "Sodium Benzoate = x", "factor"),
        ("members", "Sodium Benzoate = 0", "factor"),
        ("kind", "lore", "practice"),
        ("category", "5Z", "5A"),
        ("source", "", "fill"),
        ("unrestricted", "yes", "no figure"),
        ("applies", "rinsed", "rinse-off"),
    ):
        change(folder, "limits.csv", row, heading, text)
        fault = only_fault(folder)
        assert (fault.file, fault.row, fault.column) == ("limits.csv", row, heading)
        assert words in fault.sentence()
        change(folder, "limits.csv", row, heading, good.get(heading, ""))
    change(folder, "limits.csv", row, "most [%]", "")
    assert load_workshop(folder).limits[0].most_percent is None


def test_a_certificate_written_with_the_word_category(folder: Path) -> None:
    cell(folder, "certificates.csv", {"most [%]": "0.25"}, "category", "Category 5 b")
    assert "5B" in {c.category for c in load_workshop(folder).ingredient("Scent 2").certificates}


@pytest.mark.parametrize(
    "file", [p.relative_to(DATA).as_posix() for p in sorted(DATA.rglob("*.csv")) if ".steps" not in p.name]
)
@pytest.mark.parametrize(
    ("raw", "words"),
    [(None, "no such file"), (b"", "an empty file"), ("name;Crème\n".encode("latin-1"), "0xE8"), (b"\0" * 100, "NUL")],
)
def test_no_table_may_be_missing_empty_or_damaged_and_nothing_else_is_blamed(
    folder: Path, file: str, raw: bytes | None, words: str
) -> None:
    if raw is None and (file in OPTIONAL or file.startswith("trials/")):
        pytest.skip("a workshop may be without it")
    (folder / file).unlink()
    if raw is not None:
        (folder / file).write_bytes(raw)
    told = faults(folder)
    assert [f.file for f in told] == [file], [f.sentence() for f in told]
    assert words in told[0].found


def test_a_workshop_may_be_without_target_cards_and_trials(folder: Path) -> None:
    (folder / "targets.csv").unlink()
    for run in (folder / "trials").iterdir():
        run.unlink()
    shop = load_workshop(folder)
    assert (dict(shop.target_cards), shop.trials) == ({}, ())


def test_every_table_of_headings_only_that_needs_rows_says_so(folder: Path) -> None:
    write_rows(folder / "ingredients.csv", read_rows(folder / "ingredients.csv")[:1])
    told = [f for f in faults(folder) if f.file == "ingredients.csv"]
    assert ["headings without any row" in f.found for f in told] == [True]


@pytest.mark.parametrize(
    "file", ["certificates.csv", "avoid.csv", "swaps.csv", "thickness.csv", "kits.csv", "packs.csv"]
)
def test_a_table_that_may_hold_nothing_may_hold_nothing(folder: Path, file: str) -> None:
    write_rows(folder / file, read_rows(folder / file)[:1])
    load_workshop(folder)


def test_an_unknown_heading_names_the_near_miss(folder: Path) -> None:
    rows = read_rows(folder / "packs.csv")
    rows[0][rows[0].index("stock")] = "stok"
    write_rows(folder / "packs.csv", rows)
    fault = only_fault(folder)
    assert (fault.file, fault.row, fault.column) == ("packs.csv", 1, "stok")
    assert 'did you mean "stock"?' in fault.mend


def test_a_needed_heading_that_lost_its_unit_is_missing_and_named(folder: Path) -> None:
    rows = read_rows(folder / "certificates.csv")
    rows[0][rows[0].index("most [%]")] = "most"
    write_rows(folder / "certificates.csv", rows)
    told = faults(folder)
    assert {f.column for f in told} == {"most", "most [%]"}
    assert 'did you mean "most [%]"?' in told[0].mend


def test_headings_are_matched_whatever_their_capitals_and_blanks(folder: Path) -> None:
    rows = read_rows(folder / "ingredients.csv")
    rows[0] = [
        " NAME",
        "inci",
        "Function",
        "Density[g/mL]",
        "densityfrom",
        "least  [%]",
        "MOST [%]",
        "range from",
        "Note ",
    ]
    write_rows(folder / "ingredients.csv", rows)
    assert load_workshop(folder).ingredients == load_workshop(DATA).ingredients


def test_a_file_under_a_name_that_is_nearly_right(folder: Path) -> None:
    (folder / "packs.csv").rename(folder / "pack.csv")
    told = {f.file: f for f in faults(folder)}
    assert set(told) == {"packs.csv", "pack.csv"}
    assert 'did you mean "packs.csv"?' in told["pack.csv"].mend


def test_a_missing_setting(folder: Path) -> None:
    delete(folder, "workshop.csv", row_of(folder, "workshop.csv", setting="currency"))
    assert "'currency'" in only_fault(folder).found
    append(folder, "workshop.csv", setting="curency", value="EUR")
    assert any('did you mean "currency"?' in f.mend for f in faults(folder))


def test_optional_settings_have_defaults(folder: Path) -> None:
    for name in ("loss [%]", "film [g]", "shipping factor"):
        delete(folder, "workshop.csv", row_of(folder, "workshop.csv", setting=name))
    settings = load_workshop(folder).settings
    assert (settings.loss_percent, settings.film_g, settings.shipping_factor) == (0, 0, 1.08)


def test_a_recipe_that_names_no_loss_takes_the_workshops(folder: Path) -> None:
    cell(folder, "recipes.csv", {"name": "r4-balm"}, "loss [%]", "")
    cell(folder, "workshop.csv", {"setting": "loss [%]"}, "value", "3.5")
    assert load_workshop(folder).recipe("r4-balm").loss_percent == 3.5


def test_all_faults_of_all_tables_are_told_at_once_in_the_order_of_tables_and_rows(folder: Path) -> None:
    cell(folder, "shop_products.csv", {"product": "Shop gel"}, "price", "-1")
    cell(folder, "packs.csv", {"item": "Xanthan gum"}, "size", "3.5 oz")
    cell(folder, "packs.csv", {"item": "Glycerin"}, "price", "")
    cell(folder, WASH, {"ingredient": "Glycerin"}, "percent", "2")
    cell(folder, GEL, {"ingredient": "Scent 1"}, "ingredient", "Sent 1")
    cell(folder, "certificates.csv", {"scent": "Scent 2"}, "scent", "Scent X")
    (folder / "avoid.csv").unlink()
    (folder / "swaps.csv").write_bytes(b"\xe9")
    told = faults(folder)
    assert [f.file for f in told if f.file != "recipes.csv"] == [
        "certificates.csv",
        "packs.csv",
        "packs.csv",
        "shop_products.csv",
        "avoid.csv",
        "swaps.csv",
        WASH,
        GEL,
    ]
    assert [f.row for f in told if f.file == "packs.csv"] == sorted(f.row or 0 for f in told if f.file == "packs.csv")


@pytest.mark.parametrize(
    ("make", "words"), [("missing", "no such folder"), ("file", "a file"), ("empty", "no such file")]
)
def test_a_folder_that_is_no_workshop(tmp_path: Path, make: str, words: str) -> None:
    place = tmp_path / "shop"
    if make == "file":
        place.write_text("x", encoding="utf-8")
    elif make == "empty":
        place.mkdir()
    with pytest.raises(WorkshopError, match=words) as caught:
        load_workshop(place)
    assert len(caught.value.faults) == (16 if make == "empty" else 1)  # sixteen tables


@pytest.mark.parametrize("path", ["a\0b", "~nobody-of-that-name/x", "x" * 5000])
def test_a_path_that_cannot_be_one_is_a_fault_too(path: str) -> None:
    with pytest.raises(WorkshopError):
        load_workshop(path)


def test_a_50_mb_table_is_refused(folder: Path) -> None:
    with (folder / "packs.csv").open("r+b") as file:
        file.truncate(50_000_000)
    fault = only_fault(folder)
    assert (fault.file, fault.found) == ("packs.csv", "a file of 50.0 MB")


def test_markup_and_formulas_in_text_cells_stay_text(folder: Path) -> None:
    change(folder, "avoid.csv", 2, "reason", '=HYPERLINK("http://x")')
    change(folder, "avoid.csv", 3, "reason", "<img src=x onerror=alert(1)>")
    change(folder, "avoid.csv", 3, "person", "'@me")
    avoid = load_workshop(folder).avoid
    assert [a.reason for a in avoid] == ['=HYPERLINK("http://x")', "<img src=x onerror=alert(1)>"]
    assert avoid[1].person == "@me"


def test_a_short_file_of_many_wrong_rows_is_told_in_a_moment(folder: Path) -> None:
    rows = read_rows(folder / "packs.csv")
    write_rows(folder / "packs.csv", [rows[0], *(["N", f"Item {i}", "1", "0", "-1", "x", "y", ""] for i in range(300))])
    assert len([f for f in faults(folder) if f.file == "packs.csv"]) > 1500
