"""One base in many scents in the demo workshop: the base there is, the remainder, the loads that are asked about."""

from __future__ import annotations

from dataclasses import replace

import pytest

from maker_kit.errors import MakerKitError, QuantityError
from maker_kit.plan.scents import base_in_g, plan_split
from maker_kit.workbook.asked import split
from maker_kit.workbook.shown.split import totals_sheet
from maker_kit.workshop import find_workshop

WASH, GEL = "r1b-hand-wash", "r2-gel-cream"
SHARES = [("Scent 1", 0.8, 10), ("Scent 2", 0.6, 8), ("Scent 3", 1.0, 6)]


@pytest.fixture(scope="module")
def workshop():
    return find_workshop("")


def test_a_jug_of_base_is_a_volume_by_its_density(workshop) -> None:
    # one US gallon is 3785.411784 mL; at 1.022 g/mL it weighs 3868.69 g
    assert base_in_g(workshop, WASH, "2 gallons") == pytest.approx(2 * 3785.411784 * 1.022)
    assert base_in_g(workshop, WASH, "7,5 kg") == 7500
    assert base_in_g(workshop, WASH, " ") is None
    # the gel's base is many things, so the recipe's own 0.98 g/mL counts
    assert base_in_g(workshop, GEL, "1 L") == pytest.approx(980)


def test_the_remainder_is_what_is_there_less_the_base_of_all_parts(workshop) -> None:
    # the demo's split takes 6205.6 g; two gallons are 7737.38 g, one is 3868.69 g
    over = plan_split(workshop, WASH, SHARES, base_in_g(workshop, WASH, "2 gallons")).split
    assert over.remainder_g == pytest.approx(7737.38 - 6205.64, abs=0.05)
    short = plan_split(workshop, WASH, SHARES, base_in_g(workshop, WASH, "1 gallon")).split
    assert short.remainder_g == pytest.approx(3868.69 - 6205.64, abs=0.05)
    assert any(f.kind == "look" and "short" in f.text for f in short.findings if f.subject.startswith("base of"))
    assert plan_split(workshop, WASH, SHARES).split.remainder_g is None


@pytest.mark.parametrize("text", ["4 pieces", "8 oz", "much", "-1 kg", "7.5"])
def test_a_base_that_is_no_amount_is_a_sentence(workshop, text) -> None:
    with pytest.raises(MakerKitError) as caught:
        base_in_g(workshop, WASH, text)
    assert "\n" not in str(caught.value)


def test_a_load_typed_as_a_share_is_asked_about(workshop) -> None:
    with pytest.raises(
        QuantityError, match=r"a fragrance load of Scent 1 of 0\.008 % is very little: did you mean 0\.8 %"
    ):
        plan_split(workshop, WASH, [("Scent 1", 0.008, 10)])


def test_who_must_not_meet_it_is_said_of_each_part(workshop) -> None:
    found = [
        f
        for f in plan_split(workshop, "r4-balm", [("Scent 1", 0.4, 2), ("Scent 2", 0.4, 2)]).split.findings
        if f.topic == "avoid" and "almond" in f.subject
    ]
    assert [f.subject.partition(":")[0] for f in found] == ["Scent 1", "Scent 2"]


@pytest.mark.parametrize(
    ("shares", "have", "cash"),
    [
        # bought without base, by hand from packs.csv and delivery.csv: three 10 mL of scent 1 at 4.60 and delivery
        # 6.50; four foamers at 2.10, six for 10.40 and delivery 7.20; ten labels for 2.40
        (SHARES[:1], "2 gallons", "48.70"),
        # 3 × 4.60 + 2 × 4.90 + 2 × 4.20 of scents, below the 50.00 that make delivery free, so + 6.50; 24 foamers
        # for 34.80 + 7.20; three times ten labels at 2.40
        (SHARES, "2 gallons", "87.70"),
        # one gallon more is bought, as the base there is lacks 2336.95 g: + 25.90 brings the scents' supplier to 57.90,
        # so delivery is free, − 6.50
        (SHARES, "1 gallon", "107.10"),
    ],
)
def test_the_base_that_is_there_is_not_bought_again(workshop, shares, have, cash) -> None:
    plan = plan_split(workshop, WASH, shares, base_in_g(workshop, WASH, have))
    without = plan_split(workshop, WASH, shares)
    assert plan.cost.cash == cash
    assert plan.cost.used == without.cost.used  # used up all the same
    assert any("Wash base" in line.pack for line in without.cost.basket.lines)
    assert any("Wash base" in line.pack for line in plan.cost.basket.lines) is (have == "1 gallon")


def test_the_base_that_is_there_is_valued_as_bought_today(workshop) -> None:
    # 10 bottles take 2585.3 g of the 3868.69 g that one gallon holds for 25.90
    plan = plan_split(workshop, WASH, SHARES[:1], base_in_g(workshop, WASH, "2 gallons"))
    assert plan.cost.there_micros / 1_000_000 == pytest.approx(25.90 * 2585.25 / 3868.69, abs=0.005)
    assert plan_split(workshop, WASH, SHARES[:1]).cost.there_micros == 0
    assert plan_split(workshop, WASH, SHARES[:1], 0.0).cost == plan_split(workshop, WASH, SHARES[:1]).cost


def test_a_ready_mixed_base_takes_every_part_off_and_no_scent(workshop) -> None:
    plan = plan_split(workshop, GEL, [("Scent 1", 0.4, 2)], 10_000.0)
    bought = {line.pack for line in plan.cost.basket.lines}
    assert all(any(word in pack for word in ("Scent 1", "200 mL jar", "Label")) for pack in bought)
    assert any("Scent 1" in pack for pack in bought)


def test_a_base_that_nobody_sells_is_used_but_its_cost_is_not_known(workshop) -> None:
    packs = tuple(p for p in workshop.market.packs if "Wash base" not in p.content)
    bare = replace(workshop, market=replace(workshop.market, packs=packs))
    plan = plan_split(bare, WASH, SHARES[:1], 3000.0)
    assert plan.cost.cash == "48.70"
    assert (plan.cost.used, plan.cost.there) == ("unknown", "unknown")
    words = str(totals_sheet(plan))
    assert "what the base that is there cost is not known" in words
    assert "48.70 EUR; the base that is there is taken off" in words


def test_the_words_say_what_was_taken_off(workshop) -> None:
    words = str(totals_sheet(split(workshop, WASH, "Scent 1: 0.8: 10", "2 gallons")))
    assert "48.70 EUR; the base that is there is taken off, it is not bought again" in words
    assert "of it 17.31 EUR for the 2,585.3 g of base that are there" in words
    alone = str(totals_sheet(split(workshop, WASH, "Scent 1: 0.8: 10")))
    assert "74.60 EUR" in alone
    assert "taken off" not in alone
