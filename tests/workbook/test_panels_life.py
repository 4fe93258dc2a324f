"""The panels before the bench without a browser: kit, split, blend, swap, short bottle; a wrong entry is a sentence,
and nothing stale stands beside it.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from demo_workshop import demo

from maker_kit.errors import MakerKitError, NoticeError, UnknownNameError
from maker_kit.workbook.panels import changes, split, stock, swap
from maker_kit.workbook.panels.changes import changes_panel
from maker_kit.workbook.panels.emulsion import blend_panel
from maker_kit.workbook.panels.hand import NO_KIT, Hand
from maker_kit.workbook.panels.text import text_panel
from maker_kit.workshop import load_workshop, new_workshop

GEL, WASH, LOTION = "r2-gel-cream", "r1b-hand-wash", "r5-hand-lotion"
SHARES = "Scent 1: 0.8: 10, Scent 2: 0.6: 8, Scent 3: 1.0: 6"
OWN = "Shea butter = 8, a; Sunflower oil = 7, b; Light triglyceride = 5, c"


@pytest.fixture(scope="module")
def shop():
    return demo()


@pytest.fixture
def mine(tmp_path: Path):
    return load_workshop(new_workshop(tmp_path / "mine"))


def kit_panel(shop, name: str = "", scale: str = "", labels: str = "", **more):
    """What came, by itself, with the controls that it shares with the others over it."""
    return with_hand(Hand(shop, kit=name, scale=scale, labels=labels, **more), changes.kit_panel)


def short_panel(shop, recipe: str, name: str = "", have: str = "", makes: int = 4):
    hand = Hand(shop, recipe, name, makes=makes)
    if not name:
        hand.kit.value = ""
    return with_hand(hand, lambda hand: stock.short_panel(hand, have))


def swap_panel(shop, recipe: str, old: str, new: str, makes: int = 1):
    return with_hand(Hand(shop, recipe, makes=makes), lambda hand: swap.swap_panel(hand, old, new))


def split_panel(shop, recipe: str, shares: str, jug: str = ""):
    return with_hand(Hand(shop, recipe), lambda hand: split.split_panel(hand, shares, jug))


def with_hand(hand: Hand, make):
    panel = make(hand)
    hand.watch(panel.redraw)
    panel.hand = hand
    return panel


def opened(panel, title: str) -> str:
    """What a tab shows, once it is opened."""
    panel.tabs.selected_index = panel.tabs.titles.index(title)
    return "".join(panel.places[place].value for place in panel._tabs[title])


def every(panel) -> str:
    """All that the tabs of a screen show."""
    return "".join(opened(panel, title) for title in panel._tabs)


def named(panel, description: str):
    """The one control of that description or tooltip, wherever it stands in a panel or in what it shares."""
    hand = getattr(panel, "hand", None)
    found, open_ = [], [panel, *([hand.row] if hand else [])]
    while open_:
        thing = open_.pop()
        open_ += list(getattr(thing, "children", ()))
        if description in {getattr(thing, "description", ""), getattr(thing, "tooltip", "")} and thing not in found:
            found.append(thing)
    assert len(found) == 1, (description, len(found))
    return found[0]


def said(panel, ending: str) -> str:
    open_ = [panel]
    while open_:
        thing = open_.pop()
        open_ += list(getattr(thing, "children", ()))
        if any(name.endswith(ending) for name in getattr(thing, "_dom_classes", ())):
            return thing.value
    raise AssertionError(ending)


def test_the_split_follows_its_controls(shop) -> None:
    panel = split_panel(shop, WASH, SHARES, "2 gallons")
    assert panel.fault.value == ""
    assert "1,531.7 g stay over" in every(panel)  # 7737.38 g of two gallons less 6205.64 g
    assert "Limonene" in every(panel)
    picture = panel.picture.image.value
    named(panel, "containers 1").value = "20"
    # by hand: ten more bottles of scent 1 take 2585.25 g more
    assert "1,053.5 g are missing" in every(panel)
    assert panel.picture.image.value != picture
    named(panel, "load 2").value = "5,0"
    assert "Scent 2" in every(panel)
    named(panel, "base there is").value = ""
    assert "unknown: how much base there is was not said" in every(panel)


def test_a_part_may_stay_unscented_and_another_scent_may_be_added(shop) -> None:
    panel = split_panel(shop, WASH, "Scent 1: 0.8: 2", "")
    named(panel, "scent 1").value = "unscented"
    assert panel.fault.value == ""
    assert "unscented" in every(panel)
    assert named(panel, "load 1").disabled
    named(panel, "one scent more").click()
    assert named(panel, "containers 2").value == "0"
    named(panel, "containers 2").value = "3"
    assert panel.fault.value == ""
    assert "Scent 1" in every(panel)


@pytest.mark.parametrize(
    ("control", "value", "says"),
    [
        ("base there is", "8 oz", "basis is unknown"),
        ("base there is", "<b>much", "does not start with a number"),
        ("load 1", "0", "load above 0"),
        ("containers 1", "0", "no parts"),
        ("recipe", "r4-balm", ""),
    ],
)
def test_a_wrong_entry_of_a_split_is_a_sentence_and_takes_the_old_result_away(
    shop, control: str, value: object, says: str
) -> None:
    panel = split_panel(shop, WASH, "Scent 1: 0.8: 2", "")
    named(panel, control).value = value
    assert says in panel.fault.value
    assert "<b>much" not in panel.fault.value
    if says:
        assert every(panel) == ""
        assert panel.picture.image.layout.display == "none"
        for right, number in (("base there is", ""), ("load 1", "0.8"), ("containers 1", "2")):
            named(panel, right).value = number
        assert panel.fault.value == ""
        assert panel.picture.image.layout.display is None


def test_shares_that_are_none_are_refused_where_nobody_is_looking(shop) -> None:
    with pytest.raises(NoticeError, match="is no share"):
        split_panel(shop, WASH, "Scent 1: much")


@pytest.mark.parametrize(
    "start",
    [
        lambda shop: split_panel(shop, WASH, "Scent 9: 0.8: 10"),
        lambda shop: blend_panel(shop, LOTION, "Sorbitan oleat", "Polysorbate 80"),
        lambda shop: swap_panel(shop, GEL, "Scent 1", "Scent 9"),
        lambda shop: swap_panel(shop, GEL, "Beeswax", "Glycerin"),
        lambda shop: split_panel(shop, "r9", SHARES),
        lambda shop: kit_panel(shop, "Kit 9"),
    ],
)
def test_a_start_that_is_on_no_list_is_a_sentence(shop, start) -> None:
    with pytest.raises(UnknownNameError) as caught:
        start(shop)
    assert "\n" not in str(caught.value)


def test_the_kit_follows_what_the_scale_shows(shop) -> None:
    panel = kit_panel(shop, "Kit 2", "Propanediol = 28.9; glycerin = 30.4")
    assert panel.fault.value == ""
    assert named(panel, "Glycerin").value == "30.4"
    assert "not weighed" in every(panel)
    assert "2.88 g" in every(panel)  # 9 % of 32 g
    picture = panel.picture.image.value
    named(panel, "Propanediol").value = "41,0"
    assert panel.picture.image.value != picture
    assert "28.90" not in every(panel)
    assert "Recipe against scale" not in every(panel)
    named(panel, "label of Glycerin").value = "25 g"
    assert "the list says 30.00 g of Glycerin, the label 25.00 g" in every(panel)


def test_another_kit_brings_its_own_boxes_recipe_and_count(shop) -> None:
    panel = kit_panel(shop, "Kit 2", "Propanediol = 28.9")
    named(panel, "kit").value = next(k.name for k in shop.kits if "Kit 1" in k.name)
    assert named(panel, "recipe").value == WASH
    assert named(panel, "Wash base").value == ""
    named(panel, "Wash base").value = "1030"
    # four bottles take 1034.1 g
    assert "1030.00 g are there" in every(panel)


@pytest.mark.parametrize(
    ("box", "typed", "says"),
    [
        ("Propanediol", "much", "Propanediol on the scale"),
        ("Propanediol", "3 oz", "basis is unknown"),
        ("Propanediol", "-3", "below zero"),
        ("200 mL jar", "3 g", "counted in pieces"),
        ("label of Glycerin", "30 things", "Glycerin on the label"),
        ("Glycerin", "<img src=x onerror=alert(1)>", "Glycerin on the scale"),
    ],
)
def test_a_wrong_weight_is_a_sentence(shop, monkeypatch: pytest.MonkeyPatch, box: str, typed: str, says: str) -> None:
    panel = kit_panel(shop, "Kit 2")
    named(panel, box).value = typed
    assert says in panel.fault.value
    assert "<img" not in panel.fault.value
    assert every(panel) == ""
    named(panel, box).value = ""
    assert panel.fault.value == ""
    monkeypatch.setenv("MAKER_KIT_HEADLESS", "1")
    with pytest.raises(MakerKitError, match=says):
        named(panel, box).value = typed


def test_no_kit_named_takes_one_that_is_short_by_its_own_list(shop) -> None:
    # of the demo's two kits the second lists 32 g of propanediol, and four jars take 40.77 g
    assert "Kit 2" in Hand(shop).kit.value
    assert "Kit 1" in Hand(shop, WASH).kit.value
    assert Hand(shop, "r4-balm").kit.value == ""


def test_without_a_kit_what_the_recipe_takes_is_weighed_from_the_shelf(shop) -> None:
    panel = with_hand(Hand(replace(shop, kits=()), GEL, makes=4), changes.kit_panel)
    assert panel.hand.kit.value == ""
    assert NO_KIT in dict(panel.hand.kit.options)
    assert "Nothing is weighed yet" in panel.answer.value
    assert panel.picture.image.layout.display == "none"
    named(panel, "Propanediol").value = "30"
    # by hand: four jars take 40.77 g
    assert "Propanediol is short" in panel.answer.value
    named(panel, "save the table as CSV").click()
    assert "stays as it is" in said(panel, "-kept-fault")


def test_one_count_and_one_set_of_weighed_amounts_for_all_four(shop) -> None:
    whole = changes_panel(shop, GEL, "Kit 2", scale="Propanediol = 41; Glycerin = 20")
    tabs = whole.children[1]
    came, short = tabs.parts["what came"].part, None
    assert "Glycerin is short" in came.answer.value
    tabs.selected_index = 1
    short = tabs.parts["short"].part
    # by hand: a jar takes 6.115 g of glycerin, and 20 g were weighed: three full jars, though the kit lists 30 g
    assert "fills 3 of 4 containers; Glycerin runs out first" in short.answer.value
    assert "Not weighed, taken as label or kit list say: Gel former" in short.taken.value
    tabs.selected_index = 0
    named(came, "Glycerin").value = "26"
    assert "fills 3" in short.answer.value  # out of sight, and not worked out yet
    tabs.selected_index = 1
    assert "is enough for 4 containers" in short.answer.value
    count = named(whole, "containers wanted")
    count.value = "5"
    assert "of 5 containers" in short.answer.value
    tabs.selected_index = 2
    assert "for 5 containers" in tabs.parts["swap"].part.answer.value


def test_a_kit_that_names_no_recipe_takes_the_one_that_is_given(shop) -> None:
    bare = replace(shop, kits=tuple(replace(k, recipe="", makes=None) for k in shop.kits))
    panel = kit_panel(bare, "Kit 2", "Propanediol = 28.9", recipe=GEL, makes=4)
    assert (named(panel, "recipe").value, named(panel, "containers wanted").value) == (GEL, "4")
    assert "40.77 g" in every(panel)


def test_the_blend_follows_its_controls(shop) -> None:
    panel = blend_panel(shop, LOTION, "Sorbitan oleate", "Polysorbate 80", OWN, "", 5.0)
    assert panel.fault.value == ""
    # by hand: (2·15 + 4·8 + 8·7 + 4·5) / 18 = 7.667; (7.667 − 15) / (4.3 − 15) = 68.54 % of the first, 3.43
    # of 5 %
    assert "68.54" in every(panel)
    assert "3.43" in every(panel)
    named(panel, "both together").value = "4"
    assert "2.74" in every(panel)
    named(panel, "own HLB, first").value = "5, its supplier"
    # (7.667 − 15) / (5 − 15) = 73.33 %
    assert "73.33" in every(panel)
    assert "other source" in every(panel)
    assert "Sources differ on the HLB of Sorbitan oleate" in every(panel)
    named(panel, "own HLB of oils").value = ""
    assert "unknown" in every(panel)
    assert "73.33" not in every(panel)
    named(panel, "HLB to aim at").value = "10"
    assert "50.00" in every(panel)


@pytest.mark.parametrize(
    ("control", "value", "says"),
    [
        ("HLB to aim at", "ten", "is no HLB to aim at"),
        ("HLB to aim at", "3", "lies outside"),
        ("HLB to aim at", "99", "between 0 and 50"),
        ("own HLB, second", "high", "is no HLB of Polysorbate 80"),
        ("own HLB of oils", "Sunflower oil 7", "is not understood"),
        ("own HLB of oils", "Sunflower oil = 7\nSunflower oil = 8", "named twice"),
        ("second emulsifier", "Sorbitan oleate", "named twice"),
        ("recipe", "r1-hand-wash", "no oil phase"),
    ],
)
def test_a_wrong_entry_of_a_blend_is_a_sentence(shop, control: str, value: str, says: str) -> None:
    panel = blend_panel(shop, LOTION, "Sorbitan oleate", "Polysorbate 80", OWN)
    named(panel, control).value = value
    assert says in panel.fault.value
    assert every(panel) == ""


def test_a_swap_is_kept_as_a_recipe_and_as_a_table(mine) -> None:
    panel = swap_panel(mine, GEL, "Scent 1", "Scent 2", 4)
    named(panel, "short name").value, named(panel, "title").value = "gel-herb", "Gel cream, herb"
    named(panel, "save as a recipe").click()
    assert "recipes/gel-herb.csv" in said(panel, "-kept")
    again = load_workshop(mine.folder).recipe("gel-herb")
    assert (again.scent, again.percent_of("Scent 2"), again.ph_read) == ("Scent 2", 0.4, None)
    assert "untested" in again.source
    named(panel, "save the table as CSV").click()
    table = mine.folder / "tables" / f"{GEL}-swap.csv"
    assert "Scent 2 [%]" in table.read_text(encoding="utf-8-sig")
    named(panel, "save the table as CSV").click()
    assert "nothing is overwritten" in said(panel, "-kept-fault")
    assert said(panel, "-kept") == ""
    load_workshop(mine.folder)  # nothing is read from its folder of tables


def test_a_way_on_is_kept_as_a_recipe(mine) -> None:
    panel = short_panel(mine, GEL, "Kit 2", "", 4)
    named(panel, "short name").value = "gel-made-up"
    named(panel, "save as a recipe").click()
    # by hand: 32 g of 815.36 g are 3.925 % propanediol, and water takes the rest up
    again = load_workshop(mine.folder).recipe("gel-made-up")
    assert again.percent_of("Propanediol") == pytest.approx(3.9247, abs=5e-4)
    assert sum(line.percent for line in again.lines) == pytest.approx(100)
    named(panel, "which way").value = "part swap"
    named(panel, "short name").value = "gel-swapped"
    named(panel, "save as a recipe").click()
    assert load_workshop(mine.folder).recipe("gel-swapped").percent_of("Glycerin") == pytest.approx(4.0753, abs=5e-4)


def test_what_is_enough_says_so_instead_of_four_ways(shop) -> None:
    panel = short_panel(shop, GEL, "", "Propanediol = 32 g; Glycerin = 100 g", 3)
    # three jars take 30.58 g of propanediol
    assert "enough for 3 containers" in every(panel)
    named(panel, "containers wanted").value = "4"
    assert "Fill 3 instead of 4" in every(panel)
    assert "100 g" in every(panel)  # the pack on sale, with its unit


def test_the_demo_stays_as_it_is(shop) -> None:
    before = sorted(p.name for p in shop.folder.rglob("*"))
    panel = swap_panel(shop, GEL, "Scent 1", "Scent 2")
    named(panel, "short name").value = "mine"
    for button in ("save as a recipe", "save the table as CSV"):
        named(panel, button).click()
        assert "stays as it is" in said(panel, "-kept-fault")
    assert sorted(p.name for p in shop.folder.rglob("*")) == before


TEXT = "2 oz wt shea butter; 10 drops Scent 2; 30 g glycerin; 1 cup mystery; sweet almond oil to 500 g"


def fields(panel) -> dict[str, str]:
    return {box.description: box.value for _, box in (pair.children for pair in panel.questions.children)}


def test_each_question_has_a_field_and_answering_one_keeps_the_others(shop) -> None:
    panel = text_panel(shop, TEXT)
    assert panel.fault.value == ""
    first = list(fields(panel))
    assert "line 2: amount" in first
    assert "line 4: ingredient" in first
    assert "open" in panel.answer.value
    named(panel, "line 2: amount").value = "0.4 g"
    assert list(fields(panel))[: len(first)] == first
    assert fields(panel)["line 2: amount"] == "0.4 g"
    named(panel, "line 4: ingredient").value = "as written"
    named(panel, "line 4: amount").value = "US"
    named(panel, "density of mystery").value = "0.9"
    assert fields(panel) == {
        "line 2: amount": "0.4 g",
        "line 4: ingredient": "as written",
        "line 4: amount": "US",
        "density of mystery": "0.9",
    }
    assert "nothing is left to ask; not on file: mystery" in panel.answer.value


def test_an_answer_that_is_none_is_a_sentence_and_keeps_what_was_typed(shop) -> None:
    panel = text_panel(shop, "60 g water; 10 drops Scent 2; 30 g glycerin", "line 2: amount = 10 g")
    assert "60.0000" in panel.percents.value
    named(panel, "line 2: amount").value = "some"
    assert "not one amount" in panel.fault.value
    assert panel.percents.value == ""
    assert fields(panel) == {"line 2: amount": "some"}
    named(panel, "line 2: amount").value = "10 g"
    assert panel.fault.value == ""
    assert "60.0000" in panel.percents.value


def test_an_answer_goes_with_its_line_and_never_to_another(shop) -> None:
    panel = text_panel(shop, "60 g water; 10 drops Scent 2; 30 g glycerin", "line 2: amount = 10 g")
    panel.text.value = f"5 g panthenol 75 %\n{panel.text.value}"
    assert fields(panel) == {"line 3: amount": "10 g"}
    panel.text.value = "60 g water\n1 g glycerin\n20 drops Scent 2"
    assert fields(panel) == {"line 3: amount": ""}
    assert "1 question is open" in panel.answer.value
    panel.text.value = ""
    assert "no line of a recipe" in panel.fault.value
    panel.text.value = "60 g water\n40 g glycerin"
    assert (panel.fault.value, fields(panel)) == ("", {})
    assert "60.0000" in panel.percents.value
