"""A price of the maker's own, saved from a screen: one row, a supplier, the tables before kept, or nothing changed."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from demo_workshop import demo
from workshop_files import read_rows, write_rows

from maker_kit.errors import MakerKitError, NoticeError, WorkshopError
from maker_kit.workbook.keep import own_folder
from maker_kit.workshop import load_workshop, new_workshop
from maker_kit.workshop.own_prices import save_price


@pytest.fixture
def mine(tmp_path: Path) -> Path:
    return new_workshop(tmp_path / "mine")


def tables(folder: Path) -> dict[str, bytes]:
    return {p.name: p.read_bytes() for p in sorted(folder.glob("*.csv"))}


def test_a_pack_is_added_the_invented_ones_of_it_go_and_all_else_stays_to_the_letter(mine: Path) -> None:
    before = tables(mine)
    saved = save_price(mine, "glycerin", "500 mL", "6,20", "Corner shop", "4.90")
    old, new = ((folder / "packs.csv").read_text(encoding="utf-8").splitlines() for folder in (saved.backup, mine))
    assert [line for line in old if line not in new] == [line for line in old if ",Glycerin," in line]
    assert [line for line in new if line not in old] == ["Corner shop,glycerin,500 mL,,6.20,,,"]
    shop = load_workshop(mine)
    (pack,) = (p for p in shop.market.packs if "Glycerin" in p.content and not p.kit)
    assert (pack.prices, pack.invented, pack.supplier) == (((1, 620),), False, "Corner shop")
    assert pack.content["Glycerin"] == 6305  # 500 mL at 1.261 g/mL are 630.5 g
    assert shop.market.supplier("Corner shop").delivery == ((None, 490),)
    assert not shop.market.supplier("Corner shop").invented
    assert {p.name: p.read_bytes() for p in saved.backup.iterdir()} == {
        name: before[name] for name in ("packs.csv", "suppliers.csv", "delivery.csv")
    }
    assert saved.invented == sum(",Glycerin," in line for line in old)
    assert f"backups/{saved.backup.name}" in saved.sentence()


def test_the_same_pack_again_is_replaced_and_a_price_of_ones_own_stays_beside_another(mine: Path) -> None:
    save_price(mine, "Glycerin", "500 mL", "6.20", "Corner shop", "0")
    save_price(mine, "Glycerin", "1 L", "9.80", "Corner shop")
    again = save_price(mine, "Glycerin", "0.5 L", "5.90", "corner shop")
    assert (again.replaced, again.invented, again.new_supplier) == (True, 0, False)
    packs = [p for p in load_workshop(mine).market.packs if "Glycerin" in p.content and not p.kit]
    assert sorted(p.prices[0][1] for p in packs) == [590, 980]


def test_a_table_with_semicolons_and_decimal_commas_stays_one(mine: Path) -> None:
    heads, *rows = read_rows(mine / "packs.csv")
    place = heads.index("price")
    commas = ([*r[:place], r[place].replace(".", ","), *r[place + 1 :]] for r in rows)
    write_rows(mine / "packs.csv", [heads, *commas], ";")
    save_price(mine, "Glycerin", "0.5 kg", "6.20", "N raws")
    with (mine / "packs.csv").open(encoding="utf-8", newline="") as file:
        assert list(csv.reader(file, delimiter=";"))[-1] == ["N raws", "Glycerin", "0,5 kg", "", "6,20", "", "", ""]
    load_workshop(mine)


@pytest.mark.parametrize(
    ("given", "error", "says"),
    [
        (("Glycerin", "", "6.20", "N raws"), NoticeError, "the size is missing"),
        (("Glycerin", "500 g", " ", "N raws"), NoticeError, "the price is missing"),
        (("Glycerin", "500 g", "6.20", ""), NoticeError, "the supplier is missing"),
        (("Glycerin", "500 g", "6.20", "Corner shop"), NoticeError, "no supplier on file yet"),
        (("Glycerin", "500 g", "six", "N raws"), WorkshopError, "one number in digits"),
        (("Glycerin", "500 g", "-6", "N raws"), WorkshopError, "negative"),
        (("Glycerin", "500", "6", "N raws"), WorkshopError, "unit"),
        (("Glycerine", "500 g", "6", "N raws"), WorkshopError, 'did you mean "Glycerin"'),
        (("200 mL jar", "500 g", "6", "N raws"), WorkshopError, "counted in pieces"),
        (("Glycerin", "500 g", "6\0", "N raws"), MakerKitError, "NUL"),
    ],
)
def test_what_cannot_be_taken_changes_nothing(mine: Path, given: tuple[str, ...], error: type, says: str) -> None:
    before = tables(mine)
    with pytest.raises(error, match=says):
        save_price(mine, *given)
    assert tables(mine) == before
    assert not (mine / "backups").exists()


def test_the_demo_stays_as_it_is() -> None:
    with pytest.raises(NoticeError, match="stays as it is"):
        own_folder(demo())
