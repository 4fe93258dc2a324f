"""A workshop that is one workbook: read as files are, faults at sheet and cell, saved into without touching the rest.

What the cells hold is made and looked at with openpyxl, and with LibreOffice where it is here, never with our own code.
"""

from __future__ import annotations

import datetime
import re
import shutil
import subprocess
import warnings
import zipfile
from dataclasses import fields, replace
from pathlib import Path

import openpyxl
import pytest
from spreadsheet import PROGRAM, why_not_here

from maker_kit.cli import main
from maker_kit.decision.decision import decide
from maker_kit.errors import Fault, NoticeError, WorkshopError
from maker_kit.formula.recipe import Line
from maker_kit.plan import make_plan
from maker_kit.plan.sensitivity import Sensitivity
from maker_kit.workbook.run.decide import asked as asked_of
from maker_kit.workbook.shown.decision import decision_page
from maker_kit.workshop import Workshop, load_workshop, new_workshop
from maker_kit.workshop.own_prices import save_price
from maker_kit.workshop.saving import save_recipe
from maker_kit.workshop.xlsx.opened import open_file

LINES = (Line("A", "Water", 94.9877, balance=True), Line("A", "Glycerin", 5.0), Line("2", "Citric acid", 0.0123))
DAY = datetime.date(2026, 3, 2)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Workshop]:
    """A new workshop as a workbook, and the same as files."""
    room = tmp_path_factory.mktemp("workbook")
    assert main(["new", "--xlsx", str(room / "book")]) == 0
    return room / "book", load_workshop(new_workshop(room / "files"))


@pytest.fixture
def folder(made: tuple[Path, Workshop], tmp_path: Path) -> Path:
    return Path(shutil.copytree(made[0], tmp_path / "mine"))


def assert_same(one: Workshop, other: Workshop) -> None:
    one = replace(one, folder=other.folder, tables=other.tables, beside=other.beside)
    assert [f.name for f in fields(one) if getattr(one, f.name) != getattr(other, f.name)] == []


def book_of(folder: Path) -> openpyxl.Workbook:
    return openpyxl.load_workbook(folder / "workshop.xlsx")


def at(page: object, heading: str, row: int) -> object:
    """The cell under a heading."""
    column = next(c.column for c in page[1] if c.value == heading)  # type: ignore[index]
    return page.cell(row, column)  # type: ignore[attr-defined]


def row_of(page: object, **cells: str) -> int:
    headings = [c.value for c in page[1]]  # type: ignore[index]
    return next(
        row[0].row
        for row in page.iter_rows(min_row=2)  # type: ignore[attr-defined]
        if all(row[headings.index(h)].value == text for h, text in cells.items())
    )


def faults_of(path: Path) -> dict[str, Fault]:
    with pytest.raises(WorkshopError) as caught:
        load_workshop(path)
    return {f.place: f for f in caught.value.faults}


def test_a_workbook_is_the_same_workshop_as_the_files(
    made: tuple[Path, Workshop], capsys: pytest.CaptureFixture[str]
) -> None:
    assert sorted(p.name for p in made[0].iterdir()) == ["TABLES.md", "photos", "trials", "workshop.xlsx"]
    assert_same(load_workshop(made[0]), made[1])
    assert load_workshop(made[0] / "workshop.xlsx").folder == made[0]
    assert main(["check", str(made[0])]) == 0
    assert "no fault found in" in capsys.readouterr().out


def test_the_sheets_carry_lists_of_words_notes_and_formats(made: tuple[Path, Workshop]) -> None:
    book = book_of(made[0])
    rules = {r.formula1: r for r in book["recipes"].data_validations.dataValidation}
    assert rules['"rinse-off,leave-on"'].errorStyle in (None, "stop")
    (containers,) = (r for f, r in rules.items() if f.startswith("containers!"))
    assert containers.errorStyle == "warning"
    head = at(book["packs"], "size", 1)
    assert "250 g" in head.comment.text  # type: ignore[attr-defined]
    assert at(book["packs"], "size", 2).number_format == "@"  # type: ignore[attr-defined]
    assert book["packs"].column_dimensions["C"].number_format == "@"
    assert isinstance(at(book["shop_products"], "date", 2).value, datetime.datetime)  # type: ignore[attr-defined]
    assert all(c.comment for page in book.worksheets for c in page[1])


def test_every_cell_that_cannot_be_taken_is_a_fault_at_its_sheet_and_cell(folder: Path) -> None:
    book = book_of(folder)
    packs, lines, shelf, recipes = book["packs"], book["recipe_lines"], book["shop_products"], book["recipes"]
    packs["E2"].value, packs["E2"].data_type = "#REF!", "e"
    packs["A3"].value, packs["A3"].data_type = "#N/A", "e"
    packs["E4"] = "=1+1"  # nobody has worked it out
    packs["E5"], packs["E5"].number_format = 0.05, "0%"
    packs["E6"], packs["E6"].number_format = 7.4, '"$"#,##0.00'
    packs["C7"], packs["C7"].number_format = datetime.datetime(2026, 2, 1), "d/m"
    packs["E8"] = True
    packs["E9"] = "1,250"  # 1250 or 1.25
    packs.merge_cells("A10:A11")
    packs["A12"] = "N rwas"
    shelf["F2"] = "03/04/2026"
    lines["D2"] = "ten"
    recipes["F2"] = "perhaps"
    lines.append([None, "A", "Water", 1])
    nameless = lines.max_row
    book.create_sheet("pack").append(["x"])
    del book["swaps"]
    book.save(folder / "workshop.xlsx")
    found = faults_of(folder)
    wanted = {f"packs!{cell}" for cell in ["E2", "A3", "E4", "E5", "E6", "C7", "E8", "E9", "A10", "A12"]}
    assert wanted <= set(found)
    assert {"shop_products!F2", "recipe_lines!D2", "recipes!F2", "sheet swaps"} <= set(found)
    assert f"recipe_lines!A{nameless}" in found
    assert found["packs!A12"].meant == "N raws"
    assert "2026-04-03" in found["shop_products!F2"].mend
    assert "2026-03-04" in found["shop_products!F2"].mend
    assert "1250" in found["packs!E9"].mend
    assert "packs.csv" not in "".join(f.sentence() for f in found.values())


def test_joined_headings_are_one_fault_with_their_place_and_not_one_a_row(folder: Path) -> None:
    book = book_of(folder)
    book["packs"].merge_cells("B1:C1")
    book.save(folder / "workshop.xlsx")
    (fault,) = faults_of(folder).values()
    assert "B1:C1" in fault.found
    assert "unmerge" in fault.mend


def test_a_question_and_all_that_is_told_of_a_workbook_names_sheet_and_cell(folder: Path) -> None:
    book = book_of(folder)
    packs = book["packs"]
    row = row_of(packs, supplier="N raws", item="Candelilla wax")
    cell = at(packs, "price", row)
    cell.value = 490  # type: ignore[attr-defined]
    book.save(folder / "workshop.xlsx")
    shop = load_workshop(folder)
    (asked,) = shop.asked
    assert asked.place == f"packs!{cell.coordinate}"  # type: ignore[attr-defined]
    assert asked.sentence().startswith(f"{asked.place}, 'price': is ")
    plan = make_plan(shop, "r4-balm")
    (note,) = [f for f in plan.findings if f.code == asked.code]
    assert (note.subject, note.text.startswith(asked.place)) == (asked.place, True)
    assert ".csv" not in "".join(f.text + f.next_step for f in plan.findings)
    plan, bought, view = asked_of(shop, "r4-balm", {"upto": 1})
    none_moved = Sensitivity(plan.batches, 1, None, None, None, ())
    page = decision_page(decide(plan, bought, view, moved=none_moved))
    cells = [c for part in page.parts for c in (*part.sentences, *(c for row in part.rows for c in row))]
    told = "\n".join("\n".join((c.text, *c.rests_on)) for c in cells)
    assert "the sheet papers, row " in told or "the sheet recipes" in told
    assert ".csv" not in told


def test_cells_as_spreadsheets_keep_them_are_read_as_they_are_shown(folder: Path) -> None:
    book = book_of(folder)
    lines, packs, shelf = book["recipe_lines"], book["packs"], book["shop_products"]
    row = row_of(lines, recipe="r5-hand-lotion", ingredient="Glycerin")
    cell = at(lines, "percent", row)
    cell.value, cell.number_format = 0.04, "0.0%"  # type: ignore[attr-defined]
    pack = row_of(packs, supplier="N raws", item="Glycerin", size="250 g")
    at(packs, "price", pack).value = "3,10 €"  # type: ignore[attr-defined]
    at(packs, "price", pack).number_format = "@"  # type: ignore[attr-defined]
    at(shelf, "date", 2).value = "2.3.2026"  # type: ignore[attr-defined]
    at(shelf, "refill", 2).value = False  # type: ignore[attr-defined]
    packs["C900"].number_format = "0.00"  # a row that only has a look
    book["avoid"].sheet_state = "hidden"
    book.create_sheet("My thoughts").append(["anything"])
    packs.title, packs.title = "for a moment", "Packs"
    book.save(folder / "workshop.xlsx")
    shop = load_workshop(folder)
    assert {f.code for f in shop.beside} == {"sheet.hidden", "sheet.not_read"}
    (glycerin,) = (line for line in shop.recipe("r5-hand-lotion").lines if line.ingredient == "Glycerin")
    assert glycerin.percent == 4.0
    prices = {p.name: p.prices for p in shop.market.packs}
    assert prices["N raws: Glycerin 250 g"] == ((1, 310),)
    assert shop.shop_product("Shop wash").sizes[0].read_on == datetime.date(2026, 3, 2)


def with_part(path: Path, change: dict[str, tuple[str, str]]) -> None:
    """Rewrite parts of a workbook's file as text, with zipfile alone."""
    with zipfile.ZipFile(path) as old:
        parts = {name: old.read(name) for name in old.namelist()}
    for name, (pattern, new) in change.items():
        text, count = re.subn(pattern, new, parts[name].decode("utf-8"), count=1, flags=re.DOTALL)
        assert count == 1, name
        parts[name] = text.encode("utf-8")
    with zipfile.ZipFile(path, "w") as new_file:
        for name, content in parts.items():
            new_file.writestr(name, content)


def part_of(path: Path, title: str) -> str:
    return open_file(path).sheets[title].part


def test_a_formula_counts_with_its_value_and_stays_a_formula_when_something_is_saved(folder: Path) -> None:
    path = folder / "workshop.xlsx"
    formula = r'<c r="E2"\1><f>2+1.1</f><v>3.1</v></c>'
    with_part(path, {part_of(path, "packs"): (r'<c r="E2"([^>]*?)(?: t="\w+")?>.*?</c>', formula)})
    before = load_workshop(folder)
    assert before.market.packs[0].prices == ((1, 310),)
    with zipfile.ZipFile(path) as held:
        parts = {name: held.read(name) for name in held.namelist()}
    saved = save_recipe(folder, "r9-mine", "=1+1", LINES, "own trials; 1-2", DAY, like="r2-gel-cream")
    assert (saved.title, saved.lines, saved.written_on) == ("=1+1", LINES, DAY)
    told = save_price(folder, "Glycerin", "3 kg", "19,90", "A new shop", "4.90").sentence()
    assert "the sheet packs" in told
    after = load_workshop(folder)
    assert after.recipes["r9-mine"] == saved
    assert ((1, 1990),) in [p.prices for p in after.market.packs]
    with zipfile.ZipFile(path) as held:
        now = {name: held.read(name) for name in held.namelist()}
    changed = {part_of(path, t) for t in ("recipes", "recipe_lines", "packs", "suppliers", "delivery")}
    assert {name for name in parts if parts[name] != now[name]} == changed
    assert b"<f>2+1.1</f><v>3.1</v>" in now[part_of(path, "packs")]
    recipes = book_of(folder)["recipes"]
    title = at(recipes, "title", row_of(recipes, name="r9-mine"))
    assert (title.value, title.data_type) in {("=1+1", "s"), ("=1+1", "inlineStr")}  # type: ignore[attr-defined]
    (kept,) = (folder / "backups").iterdir()
    with zipfile.ZipFile(kept / "workshop.xlsx") as held:
        assert held.read(part_of(path, "packs")) == parts[part_of(path, "packs")]


def test_a_workbook_that_is_open_elsewhere_is_not_saved_into(folder: Path) -> None:
    raw = (folder / "workshop.xlsx").read_bytes()
    for mark in ("~$workshop.xlsx", ".~lock.workshop.xlsx#"):
        (folder / mark).write_text("someone", encoding="utf-8")
        with pytest.raises(NoticeError, match="open in a spreadsheet program"):
            save_recipe(folder, "r9-mine", "Mine", LINES, "x", DAY, like="r2-gel-cream")
        (folder / mark).unlink()
    assert (folder / "workshop.xlsx").read_bytes() == raw


def test_a_workbook_that_changes_while_it_is_saved_stays(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from maker_kit.workshop.xlsx import saving

    path = folder / "workshop.xlsx"
    with_edits = saving.with_edits

    def meanwhile(*given: object, **more: object) -> bytes:
        found = with_edits(*given, **more)  # type: ignore[arg-type]
        path.write_bytes(path.read_bytes() + b"\0")
        return found

    monkeypatch.setattr(saving, "with_edits", meanwhile)
    with pytest.raises(NoticeError, match="has been changed meanwhile"):
        save_recipe(folder, "r9-mine", "Mine", LINES, "x", DAY, like="r2-gel-cream")


def test_where_files_and_a_workbook_stand_it_is_said_which_is_read(made: tuple[Path, Workshop], tmp_path: Path) -> None:
    both = Path(shutil.copytree(made[1].folder, tmp_path / "both"))
    shutil.copy(made[0] / "workshop.xlsx", both / "my.xlsx")
    named = load_workshop(both / "my.xlsx")
    assert [(f.code, f.about) for f in named.beside] == [("table.not_read", ("workshop.csv", "my.xlsx"))]
    shutil.move(both / "my.xlsx", both / "workshop.xlsx")
    files = load_workshop(both)
    assert files.tables == both
    assert [f.about for f in files.beside] == [("workshop.xlsx", "workshop.csv")]
    books = tmp_path / "books"
    books.mkdir()
    for name in ("one.xlsx", "two.xlsx"):
        (books / name).write_bytes(b"PK\3\4")
    with pytest.raises(WorkshopError, match=r"2 workbooks \(one\.xlsx, two\.xlsx\)"):
        load_workshop(books)


def bomb(path: Path) -> None:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/workbook.xml", "<x/>")
        packed.writestr("xl/worksheets/sheet1.xml", b"0" * 160_000_000)


def entities(path: Path) -> None:
    with zipfile.ZipFile(path, "w") as packed:
        packed.writestr("xl/workbook.xml", '<!DOCTYPE x [<!ENTITY a "b">]><x>&a;</x>')
        packed.writestr("xl/_rels/workbook.xml.rels", "<x/>")


def place_before_the_beginning(path: Path) -> None:
    """The list at the end of a ZIP says that a part begins before the file does (APPNOTE.TXT 6.3.10, section 4.3.16:
    the offset of the list, here a whole file too far on).
    """
    raw = bytearray(path.read_bytes())
    at = raw.rindex(b"PK\5\6") + 16
    raw[at : at + 4] = (int.from_bytes(raw[at : at + 4], "little") + len(raw)).to_bytes(4, "little")
    path.write_bytes(raw)


HOSTILE = {
    "a part before the beginning": place_before_the_beginning,
    "empty": lambda path: path.write_bytes(b""),
    "text": lambda path: path.write_text("supplier,item"),
    "old kind": lambda path: path.write_bytes(b"\xd0\xcf\x11\xe0" + b"\0" * 600),
    "cut off": lambda path: path.write_bytes(path.read_bytes()[:3000]),
    "no workbook": lambda path: zipfile.ZipFile(path, "w").close() or path.write_bytes(b"PK\3\4" + path.read_bytes()),
    "unpacks to too much": bomb,
    "definitions": entities,
    "no such file": lambda path: path.unlink(),
}


@pytest.mark.parametrize("what", HOSTILE)
def test_a_file_that_is_no_workbook_is_one_fault_in_a_sentence(
    what: str, made: tuple[Path, Workshop], tmp_path: Path
) -> None:
    path = tmp_path / "workshop.xlsx"
    shutil.copy(made[0] / path.name, path)
    HOSTILE[what](path)
    with pytest.raises(WorkshopError) as caught:
        load_workshop(path)
    (fault,) = caught.value.faults
    assert fault.sentence().startswith("workshop.xlsx: found ")
    assert fault.mend


def test_a_workbook_that_a_spreadsheet_program_saved_is_the_same_and_can_be_saved_into(
    folder: Path, made: tuple[Path, Workshop]
) -> None:
    if reason := why_not_here():
        pytest.skip(reason)
    out = folder / "out"
    words = [f"-env:UserInstallation={(folder / 'profile').as_uri()}", "--headless", "--norestore", "--convert-to"]
    subprocess.run(
        [str(PROGRAM), *words, "xlsx:Calc MS Excel 2007 XML", "--outdir", str(out), str(folder / "workshop.xlsx")],
        check=True,
        capture_output=True,
        timeout=240,
    )
    shutil.copy(out / "workshop.xlsx", folder / "workshop.xlsx")
    assert_same(load_workshop(folder), made[1])
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        assert book_of(folder)["recipes"].data_validations.dataValidation
    assert save_recipe(folder, "r9-mine", "Mine", LINES, "own trials", DAY, like="r2-gel-cream").lines == LINES
