"""A shop size of "6.5 oz" is a band of both readings: 6.5 × 28.349523125 g (avoirdupois ounce, exact) and
6.5 × 29.5735295625 mL (US fluid ounce, exact; NIST Handbook 44, Appendix C).
"""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from maker_kit.decision.money import money
from maker_kit.plan import curve_view, make_plan, purchase
from maker_kit.plan.marks import shop_lines
from maker_kit.workshop import Workshop, load_workshop

DATA = Path(__file__).resolve().parents[2] / "data"
GRAMS, MILLILITRES = 6.5 * 28.349523125, 6.5 * 29.5735295625


def _against(tmp_path: Path, price: str) -> Workshop:
    folder = Path(shutil.copytree(DATA, tmp_path / "w"))
    for file, old, new in (
        ("recipes.csv", "Shop lotion", "Market-stall lotion"),
        ("shop_products.csv", "6.5 oz,8.40", f"6.5 oz,{price}"),
        ("targets.csv", "Shop lotion", "Market-stall lotion"),
    ):
        text = (folder / file).read_text(encoding="utf-8-sig")
        assert old in text or file == "targets.csv"
        (folder / file).write_text(text.replace(old, new), encoding="utf-8")
    return load_workshop(folder)


def test_both_readings_are_lines_of_the_picture(tmp_path: Path) -> None:
    shop = _against(tmp_path, "8.40")
    recipe = shop.recipe("r5-hand-lotion")
    lines = {line.name: line for line in shop_lines(shop, recipe)}
    assert list(lines) == ["6.5 oz (if weight)", "6.5 oz (if volume)"]
    fill_g = 250 * 0.98
    assert lines["6.5 oz (if weight)"].price == pytest.approx(8.40 * fill_g / GRAMS)
    assert lines["6.5 oz (if volume)"].price == pytest.approx(8.40 * 250 / MILLILITRES)


@pytest.mark.parametrize(("price", "fair"), [("99.00", True), ("0.10", True)])
def test_where_both_readings_agree_there_is_a_fair_price(tmp_path: Path, price: str, fair: bool) -> None:
    plan = make_plan(_against(tmp_path, price), "r5-hand-lotion", batches=3)
    found = money(plan, purchase(plan), curve_view(plan, 3))
    assert (found.fair_micros is not None) is fair
    assert any("may be a weight or a volume" in why for why in found.why)
    assert not any("No fair price is on file" in why for why in found.why)


def test_where_they_do_not_it_is_not_known(tmp_path: Path) -> None:
    plan = make_plan(_against(tmp_path, "8.40"), "r5-hand-lotion", batches=3)
    each = money(plan, purchase(plan), curve_view(plan, 3)).each_micros
    assert each is not None
    by_weight, by_volume = 250 * 0.98 / GRAMS, 250 / MILLILITRES
    between = float(each) / 1e6 / ((by_weight + by_volume) / 2)
    (tmp_path / "again").mkdir()
    plan = make_plan(_against(tmp_path / "again", f"{between:.2f}"), "r5-hand-lotion", batches=3)
    found = money(plan, purchase(plan), curve_view(plan, 3))
    assert found.fair_micros is None
    assert any("that is not known" in why for why in found.why)
