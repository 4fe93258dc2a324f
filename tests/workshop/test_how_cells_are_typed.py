"""The settings of how cells are typed: currency, decimal mark, order of day and month, ounces; and the reference."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
from workshop_files import append, append_cells, change, only_fault, row_of

from maker_kit.cli import build_parser, main
from maker_kit.plan.plan import make_plan
from maker_kit.reference import package_folder, rows
from maker_kit.reference.memory import from_memory
from maker_kit.workbook.run.sheets_to_print import sheet_for
from maker_kit.workbook.shown.formula import weigh_out_sheet
from maker_kit.workshop import load_workshop
from maker_kit.workshop.csv.cells import CellError, Marks, read_cell
from maker_kit.workshop.csv.columns import Column, rows_of
from maker_kit.workshop.csv.habits import Habits, stroke_days
from maker_kit.workshop.csv.meanings import blank_means, meaning_of, settings, tables
from maker_kit.workshop.csv.told import tables_text

OUNCE_G = Fraction("453.59237") / 16  # NIST Handbook 44, Appendix C, section 4


def setting(folder: Path, name: str, value: str) -> None:
    append(folder, "workshop.csv", setting=name, value=value)


def test_a_date_with_strokes_is_read_by_the_setting_and_asked_about_without(folder: Path) -> None:
    change(folder, "shop_products.csv", 2, "date", "03/04/2026")
    fault = only_fault(folder)
    assert (fault.file, fault.row, fault.column) == ("shop_products.csv", 2, "date")
    assert "2026-04-03" in fault.mend
    assert "2026-03-04" in fault.mend
    setting(folder, "date order", "day first")
    assert load_workshop(folder).shop_product("Shop wash").sizes[0].read_on == date(2026, 4, 3)
    row = row_of(folder, "workshop.csv", setting="date order")
    change(folder, "workshop.csv", row, "value", "month first")
    assert load_workshop(folder).shop_product("Shop wash").sizes[0].read_on == date(2026, 3, 4)


@pytest.mark.parametrize(
    ("text", "order", "days"),
    [
        ("25/12/2026", "", (date(2026, 12, 25),)),
        ("12/25/2026", "", (date(2026, 12, 25),)),
        ("5/5/2026", "", (date(2026, 5, 5),)),
        ("12/25/2026", "day first", ()),
        ("31/02/2026", "", ()),
        ("3/4/26", "", None),
        ("2026-03-04", "", None),
    ],
)
def test_the_days_a_date_with_strokes_may_be(text: str, order: str, days: tuple[date, ...] | None) -> None:
    assert stroke_days(text, order) == days


PRICE = Column("price", "money", True)


@pytest.mark.parametrize("text", ["7.40 EUR", "7.40 €", "€7.40", "EUR 7.40", "7.40€", "7.40"])
def test_a_price_may_carry_the_workshops_currency(text: str) -> None:
    assert read_cell(text, PRICE, Marks(habits=Habits("EUR")))[0] == 740


@pytest.mark.parametrize(("text", "currency"), [("$7.40", "EUR"), ("7.40 GBP", "EUR"), ("7.40 €", "USD")])
def test_a_price_in_another_currency_is_never_taken(text: str, currency: str) -> None:
    with pytest.raises(CellError, match=currency):
        read_cell(text, PRICE, Marks(habits=Habits(currency)))


def test_decimal_commas_by_the_setting(folder: Path) -> None:
    row = row_of(folder, "packs.csv", supplier="N raws", item="Glycerin", size="250 g")
    change(folder, "packs.csv", row, "price", "3,15")
    assert "decimal point" in only_fault(folder).allowed
    setting(folder, "decimal mark", "comma")
    assert ((1, 315),) in [p.prices for p in load_workshop(folder).market.packs]


def test_a_plain_ounce_is_one_of_weight_only_where_the_maker_weighs_in_ounces(folder: Path) -> None:
    append_cells(folder, "packs.csv", {"supplier": "N raws", "item": "Glycerin", "size": "8 oz", "price": "3.00 sure"})
    assert "oz" in only_fault(folder).found
    setting(folder, "weights in", "oz")
    shop = load_workshop(folder)
    (pack,) = (p for p in shop.market.packs if p.name == "N raws: Glycerin 8 oz wt" or p.name.endswith("8 oz"))
    assert pack.content == {"Glycerin": int(8 * OUNCE_G * 10)}
    size = Column("size", "amount", True, bases=("volume", "mass"), bare_oz=True)
    assert read_cell("6.5 oz", size, Marks(habits=Habits(weights_in="oz")))[0].text == "6.5 oz"  # a shop's own word


def told_of(table: str) -> set[str]:
    """Keys of the columns of which a table's meanings are written down."""
    return {row["key"] for row in rows_of(table) if row["means"] and row["example"]}


def test_every_column_has_a_meaning_and_an_example_that_can_be_read() -> None:
    for name, spec, about in tables():
        assert about
        assert told_of(name) == {c.key for c in spec.columns}
        for column in spec.columns:
            meaning = meaning_of(name, column)
            value, _ = read_cell(meaning.example, column, Marks(habits=Habits("EUR")))
            assert value not in (None, "", ())
            assert meaning.means
            assert meaning.empty.startswith("not allowed") == column.needed
    assert {m.column.key for m in settings()} == told_of("settings")


@pytest.mark.parametrize(
    ("column", "words"),
    [
        (Column("x"), "none"),
        (Column("x", "number"), "not known"),
        (Column("x", "yes/no"), "no"),
        (Column("x", "yes/no", blank=True), "yes"),
        (Column("x", "money", blank=150), "1.50"),
        (Column("x", "number", blank=Decimal("1.08")), "1.08"),
    ],
)
def test_an_empty_cell_in_words(column: Column, words: str) -> None:
    assert blank_means(column) == words


def test_the_reference_names_every_table_and_column(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["tables"]) == 0
    text = capsys.readouterr().out
    for name, spec, _ in tables():
        part = text.split(f"\n## {name}\n")[1].split("\n## ")[0]
        assert [f"**{c.heading}**" in part for c in spec.columns] == [True] * len(spec.columns)
    assert main(["tables", "packs.csv"]) == 0
    assert capsys.readouterr().out == tables_text("packs")
    assert main(["tables", "pakcs"]) == 1
    assert "packs" in capsys.readouterr().err


def test_every_command_and_option_has_its_help() -> None:
    (verbs,) = (a for a in build_parser()._actions if hasattr(a, "choices") and a.choices)
    told = {choice.dest: choice.help for choice in verbs._choices_actions}
    assert set(told) == set(verbs.choices)
    assert verbs.metavar == " | ".join(verbs.choices)
    for verb in verbs.choices.values():
        assert [a.help for a in verb._actions if not a.help] == []


def test_the_list_from_memory_holds_every_table_that_has_such_figures() -> None:
    found = list(from_memory())
    assert 0 < len(found) <= 111, "a figure from memory is looked up, or told in words; the list only gets shorter"
    with_numbers = {
        path.name
        for path in package_folder().glob("*.csv")
        for row in rows(path.name)
        if "memory" in row.get("checked", "") and any(re.fullmatch(r"[0-9]+\.[0-9]+", t) for t in row.values())
    }
    assert with_numbers - {"sources.csv"} <= {each.table for each in found}
    assert all(each.confirm for each in found)
    assert main(["memory"]) == 0


def test_who_weighs_in_ounces_reads_them_on_the_sheet_of_the_day_and_who_weighs_in_grams_does_not(folder: Path) -> None:
    plan = make_plan(load_workshop(folder), "r4-balm", batch_size=4)
    assert not any("oz" in line.weigh for line in sheet_for(plan.workshop, "r4-balm", 4).lines)
    setting(folder, "weights in", "oz")
    shop = load_workshop(folder)
    for row, line in zip(plan.weigh_out.rows, sheet_for(shop, "r4-balm", 4).lines, strict=True):
        assert line.weigh.endswith(f"({float(Fraction(str(row.weighed_g)) / OUNCE_G):.3f} oz)")
    change(folder, "workshop.csv", row_of(folder, "workshop.csv", setting="weights in"), "value", "g")
    html = weigh_out_sheet(make_plan(load_workshop(folder), "r4-balm", batch_size=4)).html()
    assert "oz" not in html
