"""Why a list is what it is: every amount that is said is that of a real alternative, found here by hand or by counting
all baskets.
"""

from __future__ import annotations

import random
import re
from dataclasses import replace

import numpy as np
import pytest
from invented_markets import all_costs, nasty_problems

from maker_kit.buying.basket import highs
from maker_kit.buying.basket.basket import Basket, cheapest_basket
from maker_kit.buying.basket.program import ImpossibleNeedError
from maker_kit.buying.basket.reasons import reasons
from maker_kit.buying.market import Market, Pack, Supplier
from maker_kit.errors import BasketError, QuantityError
from maker_kit.money import money


def why(market: Market, **need: int) -> tuple[str, ...]:
    return reasons(cheapest_basket(market, need), market)


def post(**terms: object) -> Supplier:
    return replace(Supplier("Post", ((None, 600),)), **terms)


def pack(
    name: str, price: int, *steps: tuple[int, int], weight: int = 0, supplier: str = "Post", **content: int
) -> Pack:
    return Pack(name, supplier, content, ((1, price), *steps), weight, kit=len(content) > 1)


def test_a_list_of_the_smallest_packs_that_cover_the_need_has_no_reasons() -> None:
    assert why(Market((post(),), (pack("small", 300, oil=10), pack("large", 1100, oil=50))), oil=8) == ()
    assert why(Market((post(),), (pack("small", 300, oil=10),)), oil=0) == ()


def test_goods_bought_to_reach_free_delivery_are_set_against_the_delivery_they_save() -> None:
    # case c03 of the check table, by hand: 19.00 + 3 · 0.40 = 20.20 free; without the two more, 19.40 + 6.00 = 25.40
    market = Market((post(free_from_cents=2000),), (pack("a", 1900, oil=1000), pack("b", 40, wax=5000)))
    (said,) = why(market, oil=1000, wax=50)
    assert (
        "Post reaches free delivery: 0.80 more goods, 6.00 less delivery (3 × b instead of 1 × b; 20.20 "
        "of goods, free from 20.00)"
    ) in said
    assert said.endswith("The cheapest list that stays below costs 25.40, 5.20 more.")


def test_tax_on_goods_and_on_delivery_is_part_of_the_difference() -> None:
    # by hand, 10 % on both: 20.20 · 1.1 = 22.22 against (19.40 + 6.00) · 1.1 = 27.94; tax 2.02 against 2.54
    market = Market((post(free_from_cents=2000, tax_bp=1000),), (pack("a", 1900, oil=1000), pack("b", 40, wax=5000)))
    (said,) = why(market, oil=1000, wax=50)
    assert "0.80 more goods, 6.00 less delivery, 0.52 less tax" in said
    assert "27.94, 5.72 more" in said


def test_free_delivery_that_comes_by_itself_is_called_that() -> None:
    (said,) = why(Market((post(free_from_cents=2000),), (pack("a", 1900, oil=1000),)), oil=1500)
    assert said == (
        "The order at Post reaches free delivery with nothing bought for it (38.00 of goods, free from "
        "20.00): 6.00 less delivery."
    )


def test_free_delivery_that_no_list_can_stay_below_is_called_that() -> None:
    # weight matters: paid delivery ends at 1 kg, so only a free order can be heavy
    market = Market(
        (post(delivery=((10_000, 600),), free_from_cents=2000),),
        (pack("a", 1500, weight=8_000, oil=10), pack("b", 10, weight=0, wax=10)),
    )
    said = why(market, oil=15)
    assert said[0].startswith("Every list that covers the need reaches free delivery at Post (30.00 of goods")


def test_delivery_that_costs_nothing_anyway_is_no_reason() -> None:
    assert (
        why(Market((post(delivery=((None, 0),), free_from_cents=2000),), (pack("a", 1900, oil=1000),)), oil=1500) == ()
    )


def test_a_kit_is_set_against_the_cheapest_lists_with_fewer_of_it() -> None:
    # by hand: two kits 2 · 10.00 + 6.00 = 26.00; one kit and an oil and a wax 10.00 + 7.00 + 6.00 + 6.00 = 29.00; none
    # 2 · 7.00 + 2 · 6.00 + 6.00 = 32.00
    market = Market((post(),), (pack("oil", 700, oil=10), pack("wax", 600, wax=10), pack("kit", 1000, oil=10, wax=10)))
    assert why(market, oil=20, wax=20) == (
        (
            "2 × kit, 20.00: with 1 of them the cheapest list costs 29.00, 3.00 more; without any the "
            "cheapest list costs 32.00, 6.00 more."
        ),
    )
    assert why(market, oil=10, wax=10) == ("1 × kit, 10.00: without it the cheapest list costs 19.00, 3.00 more.",)


def test_a_kit_that_nothing_replaces_is_called_that() -> None:
    assert why(Market((post(),), (pack("oil", 700, oil=10), pack("kit", 1000, oil=10, wax=10))), oil=10, wax=5) == (
        "1 × kit, 10.00: without it no list covers the need.",
    )


def test_three_that_cost_less_than_two_are_called_that() -> None:
    # case c05 of the check table: 3 · 1.90 = 5.70, 2 · 3.00 = 6.00
    market = Market((post(delivery=((None, 0),)),), (pack("a", 300, (3, 190), oil=1000),))
    (told,) = why(market, oil=2000)
    assert told == "3 × a cost less than 2, which would do (price 1.90 each from 3): 5.70 and 6.00."
    assert why(market, oil=1000) == ()


def test_a_price_step_that_is_reached_by_need_is_set_against_the_cheapest_list_below_it() -> None:
    # by hand: 4 · 1.90 = 7.60; below the step, 2 · 3.00 and 2 of the other at 3.20 each are 12.40
    market = Market((post(delivery=((None, 0),)),), (pack("a", 300, (3, 190), oil=10), pack("b", 320, oil=10)))
    assert why(market, oil=40) == (
        "4 × a reach the price from 3 (1.90 each): the cheapest list with fewer costs 12.40, 4.80 more.",
    )


def test_one_larger_pack_is_set_against_the_smaller_ones_that_would_do() -> None:
    market = Market((post(),), (pack("small", 300, oil=10), pack("middle", 500, oil=20), pack("large", 1100, oil=50)))
    assert why(market, oil=50) == (
        "One larger pack costs less than 3 smaller ones: 11.00 for 1 × large, 15.00 for 3 × middle.",
    )
    # the middle one beside it stays: 70 needed, 50 of it to be replaced
    assert "One larger pack costs less than 3 smaller ones: 11.00 for 1 × large, 15.00 for 3 × middle." in why(
        market, oil=70
    )


def test_smaller_packs_with_a_price_step_are_priced_at_the_step_they_reach() -> None:
    market = Market((post(),), (pack("small", 300, (4, 230), oil=10), pack("large", 1100, oil=50)))
    assert why(market, oil=50) == (
        "One larger pack costs less than 5 smaller ones: 11.00 for 1 × large, 11.50 for 5 × small.",
    )


def test_an_order_kept_in_a_lighter_step_is_set_against_the_list_that_would_be_cheapest_by_goods() -> None:
    # by hand: two small 2 · 3.10 = 6.20 at 1.8 kg, 5.00 delivery; one large 5.00 at 2.1 kg, 9.00 delivery
    market = Market(
        (post(delivery=((20_000, 500), (None, 900))),),
        (pack("small", 310, weight=9_000, oil=10), pack("large", 500, weight=21_000, oil=20)),
    )
    (said,) = why(market, oil=20)
    assert said == (
        "The order at Post stays within 2 kg (it weighs 1.8 kg): 1.20 more goods, 4.00 less delivery (2 × "
        "small instead of 1 × large). "
        "The list that would be cheapest if weight made no difference costs 14.00, 2.80 more."
    )


def test_an_order_kept_below_the_heaviest_delivery_says_what_weight_stands_in_the_way_of() -> None:
    market = Market(
        (post(delivery=((20_000, 500),)),),
        (pack("small", 310, weight=9_000, oil=10), pack("large", 500, weight=21_000, oil=20)),
    )
    (said,) = why(market, oil=20)
    assert said == (
        "The order at Post stays within 2 kg (it weighs 1.8 kg), and no heavier list that would be "
        "cheaper is delivered (2 × small instead of 1 × large): "
        "it would cost 10.00 if weight made no difference."
    )


def test_what_a_least_order_adds_is_told_with_the_supplier_that_asks_for_it() -> None:
    market = Market(
        (post(least_order_cents=1000), Supplier("Other", ((None, 0),), least_order_cents=100)),
        (pack("jar", 160, jar=1), pack("label", 240, supplier="Other", label=10)),
    )
    (said,) = why(market, jar=4, label=4)
    assert said == "The least order at Post (from 10.00) adds 4.80: 4.80 more goods (7 × jar instead of 4 × jar)."


def test_a_supplier_is_worth_its_fees_if_the_list_without_it_costs_a_little_more() -> None:
    # by hand: the jar at Other 20.00 + 1.00 and the oil at Post 3.00 + 6.00 are 30.00; all at Post 3.00 + 22.00 + 6.00
    # are 31.00
    market = Market(
        (post(), Supplier("Other", ((None, 100),))),
        (pack("oil", 300, oil=10), pack("jar", 2000, supplier="Other", jar=1), pack("dear jar", 2200, jar=1)),
    )
    assert why(market, oil=10, jar=1) == (
        "Ordering at Other is worth its fees: the cheapest list without it costs 31.00, 1.00 more.",
    )


def test_reasons_are_asked_of_the_market_that_the_list_was_made_for() -> None:
    market = Market((post(),), (pack("oil", 700, oil=10),))
    basket = cheapest_basket(market, {"oil": 10})
    for other in (
        Market((post(handling_cents=1),), market.packs),
        Market(market.suppliers, (replace(market.packs[0], name="another"),)),
    ):
        with pytest.raises(BasketError, match="other prices"):
            reasons(basket, other)
    with pytest.raises(QuantityError, match="time limit"):
        reasons(basket, market, time_limit_s=0)


def test_what_there_was_no_time_for_is_told_and_not_guessed(monkeypatch: pytest.MonkeyPatch) -> None:
    market = Market(
        (post(free_from_cents=2000),),
        (
            pack("oil", 700, (3, 650), oil=10),
            pack("wax", 600, wax=10),
            pack("kit", 1000, oil=10, wax=10),
            pack("large", 1000, oil=50),
        ),
    )
    basket = cheapest_basket(market, {"oil": 50, "wax": 20})
    late = reasons(basket, market, time_limit_s=1e-9)
    assert late[-1].startswith("Not compared, for want of time: ")
    assert not [said for said in late[:-1] if "cheapest list" in said]
    real = highs.solve
    monkeypatch.setattr(highs, "solve", lambda program, _: real(program, 1e-9))
    assert reasons(basket, market)[-1] == late[-1]


def rows_of(market: Market, basket: Basket) -> tuple[np.ndarray, np.ndarray]:
    """All baskets for the same need that are taken and delivered, and their costs."""
    counts, cost, good = all_costs(market, basket.need)
    return counts[good], cost[good]


def least(cost: np.ndarray) -> str:
    return money(int(cost.min()))


def test_every_amount_that_is_said_is_that_of_the_cheapest_alternative() -> None:
    checked = {"kit": 0, "free": 0, "least": 0, "without": 0, "step": 0, "more for less": 0, "larger": 0}
    rng = random.Random(11)
    for market, need in nasty_problems(11, 250, largest=5_000):
        try:
            basket = cheapest_basket(market, need, tie_break=rng.random() < 0.5)
        except ImpossibleNeedError:
            continue
        counts, cost = rows_of(market, basket)
        at = {pack.name: k for k, pack in enumerate(market.packs)}
        for said in reasons(basket, market):
            if found := re.match(r"(\d+) × (\w+), [\d.]+: (.*)\.$", said):
                checked["kit"] += 1
                for later, part in enumerate(found[3].split("; ")):
                    held = int(m[1]) if (m := re.match(r"with (\d+) of them", part)) else 0
                    mine = counts[:, at[found[2]]]
                    held = min(held, int(mine.max()))  # of what is free a list may hold more than is worth having
                    if "no list covers" in part:
                        assert not (mine <= held).any(), said
                    else:
                        assert f"costs {least(cost[mine == held])}," in part, said
                        assert later or f"costs {least(cost[mine < int(found[1])])}," in part, said
            elif found := re.search(r"(\w+) reaches free delivery: .* stays below costs ([\d.]+),", said):
                checked["free"] += 1
                supplier = market.supplier(found[1])
                goods = sum(
                    counts[:, at[p.name]]
                    * np.select(
                        [counts[:, at[p.name]] >= s for s, _ in p.prices[::-1]], [c for _, c in p.prices[::-1]], 0
                    )
                    for p in market.packs
                    if p.supplier == found[1]
                )
                reached = (
                    goods * (10_000 + (supplier.tax_bp if supplier.threshold_after_tax else 0))
                    >= supplier.free_from_cents * 10_000
                )
                assert found[2] == least(cost[~reached]), said
            elif found := re.match(r"The least order at .* adds ([\d.]+):", said):
                checked["least"] += 1
                free = replace(market, suppliers=tuple(replace(s, least_order_cents=0) for s in market.suppliers))
                assert found[1] == money(basket.cost_micros - int(rows_of(free, basket)[1].min())), said
            elif found := re.match(r"Ordering at (\w+) .* costs ([\d.]+),", said):
                checked["without"] += 1
                mine = [at[p.name] for p in market.packs if p.supplier == found[1]]
                assert found[2] == least(cost[counts[:, mine].sum(axis=1) == 0]), said
            elif found := re.match(r"\d+ × (\w+) reach the price from (\d+) .* costs ([\d.]+),", said):
                checked["step"] += 1
                assert found[3] == least(cost[counts[:, at[found[1]]] < int(found[2])]), said
            elif found := re.match(
                r"(\d+) × (\w+) cost (?:less than|the same as) (\d+), "
                r"which would do .*: ([\d.]+) and ([\d.]+)\.$",
                said,
            ):
                checked["more for less"] += 1
                pack, count, fewer = next(p for p in market.packs if p.name == found[2]), int(found[1]), int(found[3])
                assert [found[4], found[5]] == [money(k * pack.price_cents(k) * 10_000) for k in (count, fewer)], said
                assert float(found[4]) <= float(found[5])
                assert covered(market, basket, {pack.name: fewer}), said
                assert fewer == pack.prices[0][0] or not covered(market, basket, {pack.name: fewer - 1}), said
            elif found := re.match(
                (
                    r"One larger pack costs less than (\d+) smaller ones: ([\d.]+) for 1 × (\w+), ([\d.]+) "
                    r"for (\d+) × (\w+)\.$"
                ),
                said,
            ):
                checked["larger"] += 1
                large, small = (next(p for p in market.packs if p.name == name) for name in (found[3], found[6]))
                here, there, more = basket.counts[large.name], basket.counts.get(small.name, 0), int(found[5])
                assert int(found[1]) == more >= 2
                assert small.content.keys() == large.content.keys()
                assert found[2] == money((cost_of(large, here) - cost_of(large, here - 1)) * 10_000), said
                assert found[4] == money((cost_of(small, there + more) - cost_of(small, there)) * 10_000), said
                assert float(found[2]) < float(found[4]), said
                assert covered(market, basket, {large.name: here - 1, small.name: there + more}), said
                assert not covered(market, basket, {large.name: here - 1, small.name: there + more - 1}), said
    assert min(checked.values()) > 0, checked


def cost_of(pack: Pack, count: int) -> int:
    """Cents of so many of a pack; none where it is not sold in so small a number."""
    return count * pack.price_cents(count) if count >= pack.prices[0][0] else 0


def covered(market: Market, basket: Basket, changed: dict[str, int]) -> bool:
    """Whether the need is still covered when some counts of the basket are changed."""
    counts = basket.counts | changed
    return all(
        sum(counts.get(pack.name, 0) * pack.content.get(item, 0) for pack in market.packs) >= units
        for item, units in basket.need.items()
    )


def test_a_larger_pack_that_is_bought_for_free_delivery_and_costs_more_is_not_called_cheaper() -> None:
    # by hand: 2 · 3.00 + 6.00 = 12.00 against 7.00 free
    (said,) = why(
        Market((post(free_from_cents=700),), (pack("small", 300, oil=10), pack("large", 700, oil=50))), oil=20
    )
    assert "1.00 more goods, 6.00 less delivery (1 × large instead of 2 × small" in said
