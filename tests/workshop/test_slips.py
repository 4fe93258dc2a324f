"""Single cells that are asked about, and `sure` behind them; a few of what `tests/benchmarks/try_slips.py` tries."""

from __future__ import annotations

import random
import shutil
from datetime import date, timedelta
from pathlib import Path

import pytest
from clean_workshops import clean_workshop
from slip_maker import make_slip
from workshop_files import DATA, append, change, row_of

from maker_kit.errors import WorkshopError
from maker_kit.plan.judged import judge_recipes
from maker_kit.units import parse_amount
from maker_kit.workshop import Workshop, load_workshop
from maker_kit.workshop.slips.written import odd_size

CELLS = [
    ("packs.csv", {"item": "Glycerin", "size": "5 kg"}, "price", "2.95", "slip.price_of_size"),
    ("packs.csv", {"item": "Glycerin", "size": "1 lb"}, "price", "52.00", "slip.price_of_others"),
    ("packs.csv", {"item": "Citric acid"}, "price", "0.27", "slip.price_unusual"),
    ("packs.csv", {"item": "Xanthan gum"}, "size", "100 kg", "slip.price_unusual"),
    ("packs.csv", {"item": "Water"}, "size", "5 mL", "slip.price_unusual"),
    ("packs.csv", {"item": "Xanthan gum"}, "shipping [g]", "11000", "slip.shipping"),
    ("kits.csv", {"item": "Light triglyceride"}, "amount", "600 g", "slip.kit_amount"),
    ("kits.csv", {"item": "200 mL jar"}, "amount", "40 pieces", "slip.kit_amount"),
    ("shop_products.csv", {"product": "Shop wash", "size": "250 mL"}, "size", "250 L", "slip.shop_size"),
    ("shop_products.csv", {"product": "Shop balm"}, "price", "120.00", "slip.shop_price"),
    ("shop_products.csv", {"product": "Shop gel"}, "size", "6.67 fl oz", "slip.shop_size"),  # 6.76 fl oz are 200 mL
    ("shop_products.csv", {"product": "Shop gel"}, "sale price", "1.09", "slip.sale_price"),
    ("shop_products.csv", {"product": "Shop cleansing water", "size": "400 mL"}, "price", "0.99", "slip.shop_price"),
    ("shop_products.csv", {"product": "Shop gel"}, "date", "2062-03-02", "slip.date"),
    ("shop_products.csv", {"product": "Shop gel"}, "date", "1926-03-02", "slip.date"),
    ("shop_products.csv", {"product": "Shop gel"}, "date", "2025-03-02", "slip.date"),
    ("suppliers.csv", {"supplier": "N raws"}, "handling", "29.00", "slip.supplier"),
    ("suppliers.csv", {"supplier": "N raws"}, "free from", "750.00", "slip.free_from"),
    ("suppliers.csv", {"supplier": "K containers"}, "least order", "100.00", "slip.supplier"),
    ("suppliers.csv", {"supplier": "K containers"}, "tax [%]", "1.9", "slip.tax"),
    ("delivery.csv", {"supplier": "M botanicals"}, "price", "65.00", "slip.delivery"),
    ("delivery.csv", {"up to [kg]": "31.5"}, "up to [kg]", "31500", None),
    ("delivery.csv", {"up to [kg]": "31.5"}, "up to [kg]", "315", "slip.delivery_weight"),
    ("containers.csv", {"container": "60 mL tin"}, "mass [g]", "140", "slip.container_mass"),
    ("containers.csv", {"container": "250 mL pump"}, "brim [mL]", "2760", "slip.container"),
    ("containers.csv", {"container": "250 mL pump"}, "nominal [mL]", "25", "slip.container"),
    ("recipes.csv", {"name": "r2-gel-cream"}, "fill", "20 mL", "slip.fill"),
    ("recipes.csv", {"name": "r1b-hand-wash"}, "fill", "205 mL", "slip.fill"),
    ("recipes.csv", {"name": "r5-hand-lotion"}, "density [g/mL]", "1.98", "slip.density"),
    ("recipes.csv", {"name": "r5-hand-lotion"}, "loss [%]", "50", "slip.loss"),
    ("recipes.csv", {"name": "r5-hand-lotion"}, "pH read", "2.5", "slip.ph"),
    ("ingredients.csv", {"name": "Sunflower oil"}, "INCI", "Helianthus Annuus Seed Oli", None),
    ("ingredients.csv", {"name": "Shea butter"}, "INCI", "Vitellaria Nova Buttter", "slip.name"),
    ("recipes.csv", {"name": "r5-hand-lotion"}, "keeps [months]", "90", "slip.keeping"),
    ("recipes.csv", {"name": "r4-balm"}, "use per month", "500", "slip.use"),
    ("recipes.csv", {"name": "r2-gel-cream"}, "shop spread [cm]", "64", "slip.wanted_thickness"),
    ("thickness.csv", {"level [%]": "0.8"}, "spread [cm]", "70", "slip.thickness_reading"),
    ("thickness.csv", {"level [%]": "0.8"}, "level [%]", "8", "slip.thickness_level"),
    ("ingredients.csv", {"name": "Sunflower oil"}, "density [g/mL]", "1.92", "slip.density"),
    ("ingredients.csv", {"name": "Preservative P"}, "most [%]", "11", "slip.range"),
    ("whats_inside.csv", {"substance": "Coumarin"}, "high [%]", "10", "slip.inside"),
    ("certificates.csv", {"scent": "Scent 1", "category": "5A"}, "amendment", "94", "slip.amendment"),
    ("certificates.csv", {"scent": "Scent 1", "category": "5A"}, "amendment", "4", "slip.amendment"),
    ("certificates.csv", {"scent": "Scent 1", "category": "5A"}, "most [%]", "18", "slip.certificate"),
    ("watch.csv", {"batch": "R2-07", "day": "7", "at [°C]": "20"}, "spread [cm]", "64", None),
    ("watch.csv", {"batch": "R1B-01", "day": "7"}, "pH", "0.5", "slip.watch"),
    ("targets.csv", {"must-have": "scent strength"}, "gap", "150", "slip.target"),
    ("decisions.csv", {"recipe": "r4-balm"}, "dose [g]", "5", "slip.dose"),
    ("decisions.csv", {"recipe": "r4-balm"}, "containers", "1200", "slip.count"),
    ("decisions.csv", {"recipe": "r2-gel-cream"}, "containers", "1", "slip.count"),
    ("swaps.csv", {"ingredient": "Propanediol"}, "grams for one gram", "10", "slip.swap"),
    ("workshop.csv", {"setting": "currency"}, "value", "ERU", "slip.setting"),
    ("workshop.csv", {"setting": "scale steps"}, "value", "10 g to 500 g", "slip.setting"),
    ("papers.csv", {"recipe": "r2-gel-cream", "paper": "patch test"}, "date", "2036-03-20", "slip.date"),
]
WITHOUT_SURE = {"value"}
"""Columns of text, behind which `sure` would be text too; but for figures of workshop.csv."""


@pytest.fixture(scope="module")
def demo() -> Workshop:
    return load_workshop(DATA)


def asked_or_refused(folder: Path) -> bool:
    try:
        return bool(load_workshop(folder).asked)
    except WorkshopError:
        return True


def _row(folder: Path, file: str, cells: dict[str, str]) -> int:
    return row_of(folder, file, **{key.replace(" ", "_"): text for key, text in cells.items()})


def test_the_demo_is_asked_nothing(demo: Workshop) -> None:
    assert demo.asked == ()


@pytest.mark.parametrize(("file", "cells", "heading", "text", "code"), CELLS, ids=lambda x: str(x)[:40])
def test_a_slip_is_asked_about_and_sure_ends_it(
    tmp_path: Path, file: str, cells: dict[str, str], heading: str, text: str, code: str | None
) -> None:
    folder = Path(shutil.copytree(DATA, tmp_path / "w"))
    headings = (folder / file).read_text(encoding="utf-8-sig").partition("\n")[0]
    assert heading in headings
    row = _row(folder, file, cells)
    change(folder, file, row, heading, text)
    if code is None:
        assert asked_or_refused(folder)
        return
    found = [q for q in load_workshop(folder).asked if q.file == file]
    assert code in [q.code for q in found]
    question = next(q for q in found if q.code == code)
    assert question.mend.endswith("sure")
    assert question.source == "common practice, no source"
    asked = question.row, question.column
    if heading not in WITHOUT_SURE and next(row for row in CELLS if row[4] == code)[3] == text:
        held = (folder / file).read_text(encoding="utf-8-sig")
        change(folder, file, asked[0], asked[1], f"{question.found[1:-1]} sure")
        assert held != (folder / file).read_text(encoding="utf-8-sig")
        again = load_workshop(folder).asked
        assert asked not in [(q.row, q.column) for q in again if q.file == file and q.code == code]


@pytest.mark.parametrize("size", ["6.76 fl oz", "16.91 fl oz", "8.45 fl. oz", "1.69 fl oz", "3.4 fl oz", "200 mL"])
def test_sizes_as_they_are_printed_are_not_asked_about(tmp_path: Path, size: str) -> None:
    """200, 500, 250 and 50 mL in US fluid ounces of 29.5735 mL; one decimal and mL tell nothing."""
    folder = Path(shutil.copytree(DATA, tmp_path / "w"))
    change(folder, "shop_products.csv", row_of(folder, "shop_products.csv", product="Shop gel"), "size", size)
    assert not [q for q in load_workshop(folder).asked if "round number" in q.why]


WRITTEN = [
    ("packs.csv", {"item": "Citric acid"}, "size", "520 g", "slip.size"),  # 250 g, swapped
    ("packs.csv", {"item": "Xanthan gum"}, "price", "9.9", "slip.decimals"),
    ("shop_products.csv", {"product": "Shop wash", "size": "250 mL"}, "size", "205 mL", "slip.shop_size"),
    ("shop_products.csv", {"product": "Shop lotion"}, "price", "09.80", "slip.zero"),
    ("recipes.csv", {"name": "r5-hand-lotion"}, "pH from", "4.66", "slip.ph"),
    ("recipes.csv", {"name": "r5-hand-lotion"}, "loss [%]", "0.5", "slip.loss"),
    ("recipes.csv", {"name": "r5-hand-lotion"}, "keeps [months]", "21", "slip.keeping"),
    ("recipes.csv", {"name": "r1b-hand-wash"}, "density [g/mL]", "1.082", "slip.density"),  # its parts: 1.030
    ("recipes/r3v2-cleansing-water.csv", {"ingredient": "Preservative P"}, "percent", "0.08", "slip.level"),
    ("recipes/r3v2-cleansing-water.csv", {"ingredient": "Water"}, "percent", "", ""),
]


def test_swapped_digits_and_slipped_points_are_asked_about_by_how_they_are_written(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(DATA, tmp_path / "w"))
    places = [(*row, _row(folder, row[0], row[1])) for row in WRITTEN]
    for file, _, heading, text, _, row in places:
        change(folder, file, row, heading, text)
    wanted = {(file, row, heading, code) for file, _, heading, _, code, row in places if code}
    found = {(q.file, q.row, q.column, q.code) for q in load_workshop(folder).asked}
    assert wanted <= found
    for file, _, heading, text, code, row in places:
        change(folder, file, row, heading, f"{text} sure" if code else text)
    assert not wanted & {(q.file, q.row, q.column, q.code) for q in load_workshop(folder).asked}


ROUND = "250 g;1 kg;15 g;125 mL;454 g;1 lb;8 oz wt;236 mL;907 g;2.5 kg;3.4 fl oz;1.7 fl oz;5 lb;480 mL;113 g;375 g;2 g"
SOLD = "50 mL;118 mL;222 mL;237 mL;330 mL;355 mL;384 mL;414 mL;532 mL;946 mL;45 g;65 mL;177 mL;2.6 oz wt;13.5 fl oz"


@pytest.mark.parametrize(
    ("shop", "sizes", "odd"),
    [
        (False, ROUND, False),  # metric, or as ounces of 28.35 g and 29.57 mL and pounds of 453.6 g come to
        (False, "520 g;52 g;51 g;510 mL;215 g;152 mL;0.4 oz wt", True),  # 250, 25, 15, 150, 125 and 4, slipped
        (True, SOLD, False),
        (True, "205 mL;520 mL;152 mL;54 g", True),
    ],
)
def test_round_sizes_are_not_asked_about(shop: bool, sizes: str, odd: bool) -> None:
    assert [text for text in sizes.split(";") if odd_size(parse_amount(text), shop=shop) != odd] == []


def test_a_price_far_from_the_other_products_of_its_use_is_asked_about(tmp_path: Path) -> None:
    # 1.85 for 250 mL lies within what such things cost at all; gel, balm and cleansing water cost 4 to 15 times as much
    folder = Path(shutil.copytree(DATA, tmp_path / "w"))
    row = row_of(folder, "shop_products.csv", product="Shop lotion")
    change(folder, "shop_products.csv", row, "sale price", "")
    change(folder, "shop_products.csv", row, "price", "1.85")
    assert [(q.code, q.row) for q in load_workshop(folder).asked] == [("slip.shop_price", row)]


def test_a_letter_off_a_published_name_is_asked_about_in_every_table(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(DATA, tmp_path / "w"))
    change(folder, "shop_products.csv", _row(folder, "shop_products.csv", {"product": "Shop gel"}), "label order",
           "Aqua; Propanedial; Glycerin; Metyl eugenol")  # fmt: skip
    append(folder, "avoid.csv", person="a friend", avoid="Linalol", reason="a rash")
    found = {(q.file, q.code) for q in load_workshop(folder).asked}
    assert {("shop_products.csv", "slip.name"), ("avoid.csv", "slip.name")} <= found
    change(folder, "whats_inside.csv", _row(folder, "whats_inside.csv", {"substance": "Methyl eugenol"}), "substance",
           "Methyl eugenole")  # fmt: skip
    with pytest.raises(WorkshopError, match="Methyl Eugenol"):
        load_workshop(folder)


def test_questions_are_notes_to_look_at_of_the_recipes_that_use_the_row(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(DATA, tmp_path / "w"))
    change(folder, "packs.csv", _row(folder, "packs.csv", {"item": "Xanthan gum"}), "price", "470.00")
    notes = {
        each.recipe: [f for f in each.findings if f.code == "slip.price_unusual"]
        for each in judge_recipes(load_workshop(folder))
    }
    assert [name for name, found in notes.items() if found] == ["r5-hand-lotion"]
    (note,) = notes["r5-hand-lotion"]
    assert note.kind == "look"
    assert "470.00 sure" in note.next_step


def test_check_tells_the_questions_and_still_finds_no_fault(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from maker_kit.cli import main

    folder = Path(shutil.copytree(DATA, tmp_path / "w"))
    change(folder, "packs.csv", _row(folder, "packs.csv", {"item": "Xanthan gum"}), "price", "470.00")
    assert main(["check", str(folder)]) == 0
    told = capsys.readouterr().out
    assert "1 cell is asked about" in told
    assert "packs.csv, row" in told


def test_a_clock_that_is_behind_makes_no_questions(demo: Workshop, monkeypatch: pytest.MonkeyPatch) -> None:
    from maker_kit.workshop import loading

    class Early(date):
        @classmethod
        def today(cls) -> date:
            return date(2020, 1, 1) + timedelta(days=3)

    monkeypatch.setattr(loading, "date", Early)
    assert load_workshop(DATA).asked == ()


@pytest.mark.parametrize("seed", range(2))
def test_clean_workshops_are_asked_nothing_and_most_slips_in_them_are_asked_about(tmp_path: Path, seed: int) -> None:
    base = clean_workshop(tmp_path / "clean", 77_000 + seed, 3)
    assert load_workshop(base).asked == ()
    silent = []
    for k in range(12):
        folder = Path(shutil.copytree(base, tmp_path / f"slipped{k}"))
        slip = make_slip(folder, random.Random(f"{seed} {k}"))
        try:
            if slip.kind not in ("swapped", "year") and not load_workshop(folder).asked:
                silent.append(slip)
        except WorkshopError:
            pass
    assert len(silent) <= 4, silent  # some of them change nothing
