"""The pictures of a split, of a kit that came and of a blend: every bar as long as its figure, read without colour,
nothing left of the last drawing.
"""

from __future__ import annotations

import pytest
from demo_workshop import demo
from matplotlib.colors import to_rgba
from matplotlib.figure import Figure

from maker_kit.formula.emulsion.blend_choice import choose_blend
from maker_kit.plan.kit_received import receive_kit
from maker_kit.plan.scents import plan_split
from maker_kit.workbook.charts.emulsion import BLEND
from maker_kit.workbook.charts.kit import RECEIVED
from maker_kit.workbook.charts.split import SPLIT

SHARES = [("Scent 1", 0.8, 10), ("Scent 2", 0.6, 8), ("Scent 3", 1.0, 6)]


@pytest.fixture(scope="module")
def shop():
    return demo()


def drawn(draw, result, height=4.0):
    ax = Figure(figsize=(9.4, height)).add_subplot()
    return draw(result, ax)


def texts(ax) -> str:
    return " | ".join(t.get_text() for t in ax.texts)


def test_the_bars_of_a_split_are_the_base_of_each_part_and_what_stays_over(shop) -> None:
    # the demo's figures; two gallons weigh 7737.4 g
    ax = drawn(SPLIT.draw, plan_split(shop, "r1b-hand-wash", SHARES, 7737.4).split)
    assert [round(bar.get_width(), 1) for bar in ax.patches] == [2585.3, 2072.4, 1548.0, 1531.8]
    assert [t.get_text() for t in ax.get_yticklabels()] == ["Scent 1", "Scent 2", "Scent 3", "stays over"]
    assert "2,585.3 g, 10 containers" in texts(ax)
    looks = {(bar.get_hatch(), bar.get_linestyle()) for bar in ax.patches}
    assert len(looks) == 4  # told apart without colour


def test_a_base_that_is_short_says_so(shop) -> None:
    split = plan_split(shop, "r1b-hand-wash", SHARES, 3868.7).split
    assert "2,336.9 g – SHORT" in texts(drawn(SPLIT.draw, split))
    assert SPLIT.words(split).endswith("2,336.9 g short")


def test_a_kit_has_three_bars_a_thing_and_an_empty_place_for_what_was_not_weighed(shop) -> None:
    kit = receive_kit(shop, "Kit 2", {"Propanediol": 28.9, "Citric acid": 1.0})
    ax = drawn(RECEIVED.draw, kit, 7)
    things = [t.get_text() for t in ax.get_yticklabels()]
    assert "Water" not in things
    bars = {
        name: [round(b.get_width(), 1) for b in ax.patches if abs(b.get_y() + b.get_height() / 2 - at) < 0.4]
        for at, name in enumerate(things)
    }
    # 40.768 g are needed, 32 g listed, 28.9 g on the scale: 100, 78.5 and 70.9 %
    assert bars["Propanediol"] == [100.0, 78.5, 70.9]
    assert len(bars["Glycerin"]) == 2
    assert bars["Citric acid"] == [100.0, 200.0, 200.0]  # 245 % of what is needed is cut, with an arrow
    assert "40.77 / 32.00 / 28.90 g – SHORT" in texts(ax)
    assert "not weighed" in texts(ax)
    short = [b for b in ax.patches if b.get_hatch() == "////" and b.get_facecolor() == to_rgba("white")]
    assert len(short) == 1


def test_a_blend_stands_between_its_two_and_an_unknown_aim_is_said(shop) -> None:
    lotion = shop.recipe("r5-hand-lotion")
    known = choose_blend(lotion, "Sorbitan oleate", "Polysorbate 80", 10)
    ax = drawn(BLEND.draw, known)
    assert {round(float(line.get_xdata()[0]), 1) for line in ax.lines if line.get_marker() == "D"} == {10.0}
    assert "your aim: HLB 10.0" in texts(ax)
    unknown = choose_blend(lotion, "Sorbitan oleate", "Polysorbate 80")
    assert "unknown" in texts(drawn(BLEND.draw, unknown))
    assert "unknown" in BLEND.words(unknown)


def test_another_result_on_the_same_axes_leaves_nothing_of_the_last(shop) -> None:
    picture = RECEIVED.picture()
    first = receive_kit(shop, "Kit 2", {"Propanediol": 28.9})
    other = receive_kit(shop, "Kit 1", {"Wash base": 1051})
    alone = RECEIVED.picture().png(other)
    picture.png(first)
    assert picture.png(other) == alone
