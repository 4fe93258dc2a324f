"""One order for several recipes: what a maker may type, what the tables say, and the sliders."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from demo_workshop import demo

from maker_kit.buying.basket.basket import cheapest_basket
from maker_kit.errors import MakerKitError, NoticeError, UnknownNameError
from maker_kit.plan import make_plan
from maker_kit.workbook.ordering import order_for, read_counts
from maker_kit.workbook.panels.combined_order import combined_order_panel
from maker_kit.workbook.shown.combined_order import order_sheets


@pytest.fixture(scope="module")
def shop():
    return demo()


@pytest.mark.parametrize(
    ("text", "asked"),
    [
        ("r1b-hand-wash: 12, r4-balm: 10", {"r1b-hand-wash": 12, "r4-balm": 10}),
        ("  Hand and heel balm :3 ", {"r4-balm": 3}),
        (
            "Foaming hand wash, from a ready base: 4, r4-balm: 1,",
            {"r1b-hand-wash": 4, "r4-balm": 1},
        ),  # a title with a comma in it
        ("", {}),
    ],
)
def test_names_and_titles_with_counts_are_read(shop, text: str, asked: dict[str, int]) -> None:
    assert read_counts(shop, text) == asked


@pytest.mark.parametrize(
    ("text", "fault", "says"),
    [
        ("r1b-hand-wash", NoticeError, "no recipe with a count"),
        ("r1b-hand-wash: many", NoticeError, "no recipe with a count"),
        ("r1b-hand-wash: -3", NoticeError, "no recipe with a count"),
        ("r1b-hand-wash: 2.5", NoticeError, "no recipe with a count"),
        ("r1b-hand-wash: ²", NoticeError, "no recipe with a count"),
        ("r4-balm: 3, Hand and heel balm: 2", NoticeError, "named twice"),
        ("r4-balsam: 3", UnknownNameError, "r4-balm"),
    ],
)
def test_anything_else_is_a_sentence(shop, text: str, fault: type[MakerKitError], says: str) -> None:
    with pytest.raises(fault, match=says):
        read_counts(shop, text)


def test_a_count_of_nothing_leaves_a_recipe_out_and_all_of_them_is_said(shop) -> None:
    assert [share.title for share in order_for(shop, {"r4-balm": 2, "r1b-hand-wash": 0}).shares] == [
        "Hand and heel balm"
    ]
    with pytest.raises(NoticeError, match="no recipe is chosen"):
        order_for(shop, {"r4-balm": 0})


def test_the_list_is_the_cheapest_for_all_needs_added_up(shop) -> None:
    plans = [make_plan(shop, name, batches=n) for name, n in (("r1b-hand-wash", 6), ("r4-balm", 5))]
    need: dict[str, Fraction] = {}
    for plan in plans:
        for item, each in plan.needs.items():
            need[item] = need.get(item, Fraction(0)) + each * plan.batches
    whole = {item: -(-units // 1) for item, units in need.items()}
    cost = cheapest_basket(shop.market.for_items(whole), whole).cost_micros  # one integer program on the sum
    order = order_for(shop, {"r1b-hand-wash": 6, "r4-balm": 5})
    assert order.cost_micros <= cost  # two parcels may cost less than one
    text = repr(order_sheets(shop, order))
    assert f"Together {cost / 1e6:.2f} in one order" in text
    assert text.count(f"{cost / 1e6:.2f}") == 3  # in the sentence, under the shares and under the list
    assert "K containers" in text


def test_lists_that_are_ordered_apart_say_for_whom_each_is(shop) -> None:
    order = order_for(shop, {"r1b-hand-wash": 6, "r4-balm": 5})
    twice = type(order)(order.shares, order.baskets * 2, ((0,), (1,)), order.cost_micros, order.rule)
    page = order_sheets(shop, twice).html()
    assert page.count("list for") == 2
    assert "Hand and heel balm</td>" in page


def test_nothing_asked_is_said(shop) -> None:
    assert "Not asked for" in repr(order_sheets(shop, order_for(shop, " ")))


def test_the_sliders_choose_recipes_and_counts(shop) -> None:
    panel = combined_order_panel(shop, "r1b-hand-wash: 12, r4-balm: 12")
    sliders = dict(zip(shop.recipes, panel.controls, strict=True))
    assert {name: slider.value for name, slider in sliders.items() if slider.value} == {
        "r1b-hand-wash": 12,
        "r4-balm": 12,
    }
    before = panel.words.value
    sliders["r2-gel-cream"].box.value = "4"
    assert "Gel cream" in panel.words.value
    assert panel.words.value != before
    for slider in sliders.values():
        slider.slider.value = 0
    assert "no recipe is chosen" in panel.fault.value
    assert panel.words.value == ""
    sliders["r4-balm"].slider.value = 1
    assert panel.fault.value == ""
    # one recipe alone has nobody to share with: its share is what it costs
    row = re.search(r"Hand and heel balm</td>(.*?)</tr>", panel.words.value, re.DOTALL).group(1)
    alone, share, saves = re.findall(r">([\d.]+)<", row)[-3:]
    assert (alone, saves) == (share, "0.00")
