"""Bad input to the shopping list: a sentence that names what, what was found and what is allowed; and no answer that is
not proved.
"""

from __future__ import annotations

import math
import re
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from invented_markets import market_of_case, need_of_case
from reference_tables import reference_json

from maker_kit.buying.basket import highs
from maker_kit.buying.basket.basket import LARGEST_NEED, cheapest_basket
from maker_kit.buying.basket.program import ImpossibleNeedError, NotProvedError
from maker_kit.buying.market import Market, Pack, Supplier
from maker_kit.buying.pricing import price_basket
from maker_kit.errors import BasketError, MakerKitError, QuantityError, UnknownNameError

SHOP = Supplier("Shop", ((20_000, 590), (50_000, 790)), handling_cents=290, least_order_cents=1500)
OIL = Pack("Shop: Oil 1 kg", "Shop", {"Oil": 10_000}, ((1, 700), (3, 600)), 10_800)
MARKET = Market((SHOP,), (OIL,))


def refused(market: Market, need: dict[str, Any], kind: type[MakerKitError], *words: str) -> None:
    with pytest.raises(kind) as caught:
        cheapest_basket(market, need)
    text = str(caught.value)
    assert not [word for word in words if word not in text], text
    assert not re.search(r"kernel|\bcell|traceback|exception|\bNone\b|<", text), text


def with_oil(**changes: Any) -> Market:
    return Market((SHOP,), (replace(OIL, **changes),))


def with_shop(**changes: Any) -> Market:
    return Market((replace(SHOP, **changes),), (OIL,))


@pytest.mark.parametrize("units", [-1, 1.5, 2.0, True, "3", math.nan, np.float64(4), np.bool_(True)])
def test_a_need_is_a_whole_number_from_zero_up(units: object) -> None:
    refused(MARKET, {"Oil": units}, QuantityError, "Oil", f"{units}", "0" if units == -1 else "whole number")


def test_a_need_of_zero_is_no_need_and_buys_nothing() -> None:
    for need in ({}, {"Oil": 0}, {"Oil": 0, "what nobody sells": 0}):
        basket = cheapest_basket(MARKET, need)
        assert (basket.cost_micros, dict(basket.counts), basket.orders, dict(basket.need)) == (0, {}, (), {})
        assert list(basket.to_frame()["cost"]) == ["0.00"]
    assert cheapest_basket(Market((), ()), {}).cost_micros == 0


def test_a_whole_number_of_numpys_is_taken() -> None:
    assert cheapest_basket(MARKET, {"Oil": np.int64(30_000)}) == cheapest_basket(MARKET, {"Oil": 30_000})


@pytest.mark.parametrize("containers", [10**9, 10**12])
def test_a_billion_containers_are_refused_at_once(containers: int) -> None:
    refused(MARKET, {"Oil": 255 * containers}, BasketError, "Oil", "too large", "fewer containers")


def test_the_largest_need_is_still_worked_out_exactly() -> None:
    endless = replace(SHOP, delivery=((None, 0),))
    basket = cheapest_basket(Market((endless,), (OIL,)), {"Oil": LARGEST_NEED})
    assert dict(basket.counts) == {OIL.name: LARGEST_NEED // 10_000}
    refused(Market((endless,), (OIL,)), {"Oil": LARGEST_NEED + 1}, BasketError, "Oil", str(LARGEST_NEED))


@pytest.mark.parametrize(
    ("prices", "words"),
    [
        ((), ("no price",)),
        (((1, -5),), ("0 or more", "-5")),
        (((1, 7.0),), ("whole numbers", "7.0")),
        (((1, True),), ("whole numbers",)),
        (((1, 5), (3, 6)), ("rises with the count", "0.05", "0.06")),
        (((0, 7),), ("start from 1 or more",)),
        (((3, 7), (1, 6)), ("start from 1 or more and rise",)),
        (((1, 7), (1, 6)), ("start from 1 or more and rise",)),
    ],
)
def test_a_price_is_whole_not_negative_and_never_rises_with_the_count(
    prices: tuple[tuple[int, int], ...], words: tuple[str, ...]
) -> None:
    refused(with_oil(prices=prices), {"Oil": 5}, QuantityError, OIL.name, *words)


def test_a_price_of_zero_is_something_given_away() -> None:
    basket = cheapest_basket(
        Market((replace(SHOP, least_order_cents=0),), (replace(OIL, prices=((1, 0),)),)), {"Oil": 15_000}
    )
    assert (dict(basket.counts), basket.cost_micros) == ({OIL.name: 2}, (290 + 790) * 10_000)


def test_a_pack_of_an_unknown_supplier_is_refused_with_the_near_miss_named() -> None:
    refused(with_oil(supplier="Shopp"), {"Oil": 5}, UnknownNameError, OIL.name, '"Shopp"', 'did you mean "Shop"?')


def test_a_supplier_that_sells_needs_a_price_of_delivery_and_one_that_does_not_needs_none() -> None:
    refused(with_shop(delivery=()), {"Oil": 5}, QuantityError, "Shop", "no delivery step", "price 0")
    idle = Market((SHOP, Supplier("Idle", ())), (OIL,))
    assert cheapest_basket(idle, {"Oil": 5}).cost_micros == cheapest_basket(MARKET, {"Oil": 5}).cost_micros


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"handling_cents": -1}, "0 or more"),
        ({"tax_bp": 19.5}, "whole numbers"),
        ({"least_order_cents": -3}, "0 or more"),
        ({"free_from_cents": -3}, "0 or more"),
        ({"delivery": ((None, -1),)}, "0 or more"),
        ({"delivery": ((-5, 1),)}, "0 or more"),
        ({"delivery": ((None, 1.5),)}, "whole numbers"),
    ],
)
def test_a_fee_a_tax_a_subtotal_and_a_step_of_delivery_are_whole_and_not_negative(
    changes: dict[str, Any], words: str
) -> None:
    refused(with_shop(**changes), {"Oil": 5}, QuantityError, "Shop", words)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"content": {}}, "content"),
        ({"content": {"Oil": 0}}, "content"),
        ({"content": {"Oil": 2.5}}, "content"),
        ({"shipping_dg": -1}, "shipping weight"),
        ({"stock": -1}, "stock"),
        ({"stock": 2.0}, "stock"),
    ],
)
def test_content_weight_and_stock_are_whole_and_not_negative(changes: dict[str, Any], words: str) -> None:
    refused(with_oil(**changes), {"Oil": 5}, QuantityError, OIL.name, words, "whole")


def test_every_pack_and_every_supplier_has_a_name_of_its_own() -> None:
    refused(Market((SHOP,), (OIL, OIL)), {"Oil": 5}, UnknownNameError, OIL.name, "every pack needs a name of its own")
    refused(
        Market((SHOP, SHOP), (OIL,)), {"Oil": 5}, UnknownNameError, '"Shop"', "every supplier needs a name of its own"
    )


def test_an_item_that_nobody_sells_is_named_with_the_near_miss() -> None:
    refused(MARKET, {"Oli": 5}, ImpossibleNeedError, 'Nobody sells "Oli"', 'did you mean "Oil"?')
    refused(Market((), ()), {"Oil": 5}, ImpossibleNeedError, 'Nobody sells "Oil"')


def test_a_stock_that_does_not_reach_is_told_with_both_amounts() -> None:
    refused(with_oil(stock=2), {"Oil": 30_000}, ImpossibleNeedError, "stock of Oil", "3000.0 g", "2000.0 g")
    pieces = Market((SHOP,), (Pack("Shop: Jar", "Shop", {"Jar": 1}, ((1, 160),), 550, stock=3),), frozenset({"Jar"}))
    refused(pieces, {"Jar": 4}, ImpossibleNeedError, "stock of Jar", "4 pieces", "3 pieces")
    # each item alone would be there, but not both at once: the last step of one pack starts beyond its stock
    refused(
        Market((replace(SHOP, least_order_cents=0),), (replace(OIL, prices=((3, 100),), stock=2),)),
        {"Oil": 10_000},
        ImpossibleNeedError,
        "stock",
        "Oil",
    )


def test_an_order_heavier_than_the_last_step_of_delivery_is_refused_with_both_weights() -> None:
    refused(
        MARKET,
        {"Oil": 50_000},
        ImpossibleNeedError,
        "too heavy",
        "Shop delivers at most 5 kg",
        "5.4 kg",
        "fewer containers",
    )


def test_a_least_order_that_nothing_on_sale_reaches_is_named() -> None:
    refused(
        Market((replace(SHOP, least_order_cents=10_000),), (replace(OIL, stock=2),)),
        {"Oil": 5},
        ImpossibleNeedError,
        "least order",
        "Shop",
        "100.00",
    )


@pytest.mark.parametrize("limit", [0, -1, math.nan])
def test_a_time_limit_is_above_zero(limit: float) -> None:
    with pytest.raises(QuantityError, match="time limit"):
        cheapest_basket(MARKET, {"Oil": 5}, time_limit_s=limit)


def test_time_that_is_up_is_not_proved_and_never_an_answer() -> None:
    with pytest.raises(NotProvedError, match=r"could not be proved.*Allow more time"):
        cheapest_basket(MARKET, {"Oil": 5}, time_limit_s=1e-9)


def hard_case() -> tuple[Market, dict[str, int]]:
    case = max(reference_json("basket_cases.json")["cases"], key=lambda c: len(c["products"]))
    return market_of_case(case), need_of_case(case, 29)


def test_the_solvers_own_time_limit_is_not_proved_either(monkeypatch: pytest.MonkeyPatch) -> None:
    market, need = hard_case()
    real = highs.solve
    monkeypatch.setattr(highs, "solve", lambda program, _: real(program, 1e-6))
    with pytest.raises(NotProvedError, match="could not be proved"):
        cheapest_basket(market, need)


@pytest.mark.parametrize("lie", ["one pack less", "cheaper than it is", "a bound below", "no answer"])
def test_an_answer_that_does_not_stand_the_exact_check_is_not_proved(monkeypatch: pytest.MonkeyPatch, lie: str) -> None:
    real = highs.solve

    def lies(program: highs.Program, time_limit_s: float) -> highs.Answer:
        if lie == "no answer":
            return highs.Answer(highs.NO_ANSWER)
        found = real(program, time_limit_s)
        x, cost, bound = list(found.values), found.cost, found.bound
        if lie == "one pack less":
            k = x.index(max(x))
            x[k] -= 1
            cost, bound = cost - program.cost[k], bound - program.cost[k]
        if lie == "cheaper than it is":
            cost -= 1
        if lie == "a bound below":
            bound -= 1
        return highs.Answer(highs.PROVED, tuple(x), cost, bound)

    monkeypatch.setattr(highs, "solve", lies)
    with pytest.raises(NotProvedError, match="could not be proved"):
        cheapest_basket(MARKET, {"Oil": 25_000}, tie_break=False)


@pytest.mark.parametrize(
    ("counts", "words"),
    [
        ({OIL.name: -1}, "0 or more"),
        ({OIL.name: 1.0}, "whole number"),
        ({OIL.name: True}, "whole number"),
        ({OIL.name: 1}, "15.00"),
        ({OIL.name: 5}, "5 kg"),
    ],
)
def test_a_basket_that_no_supplier_would_take_has_no_price(counts: dict[str, Any], words: str) -> None:
    with pytest.raises(BasketError, match=re.escape(words)):
        price_basket(MARKET, counts)


def test_a_pack_that_the_market_does_not_have_is_an_unknown_name_with_the_near_miss() -> None:
    with pytest.raises(UnknownNameError, match=re.escape('did you mean "Shop: Oil 1 kg"?')):
        price_basket(MARKET, {"Shop: Oil 2 kg": 1})
    with pytest.raises(UnknownNameError, match=re.escape('did you mean "Shop"?')):
        MARKET.supplier("Shopp")


def test_more_than_the_stock_and_less_than_is_sold_at_once_have_no_price() -> None:
    with pytest.raises(BasketError, match="stock is 2"):
        price_basket(with_oil(stock=2), {OIL.name: 3})
    with pytest.raises(BasketError, match="sold from 2 on"):
        price_basket(with_oil(prices=((2, 900),)), {OIL.name: 1})
