"""The hand wash from a ready base, with its market typed off the demo workshop's tables: twenty costs and the counts
that pay, worked out twice by separate integer programs before this package was written.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache

import pytest
from demo_figures import WASH_COSTS, WASH_PAYS

from maker_kit.buying.basket.basket import cheapest_basket
from maker_kit.buying.basket.reasons import reasons
from maker_kit.buying.costing import CostCurve, cost_curve
from maker_kit.buying.counts_that_pay import counts_that_pay
from maker_kit.buying.market import Market, Pack, Supplier
from maker_kit.buying.needs import need_of

FL_OZ_ML = Fraction("29.5735295625")  # NIST Handbook 44 (2023), Appendix C sec. 4: 1 US fluid ounce, exact
BASE, SCENT = Fraction("1.022"), Fraction("0.95")  # g/mL

M, K, C = "M botanicals", "K containers", "C corner shop"
LATER = {24: "118.60", 36: "166.00", 48: "202.60"}


def units(volume_ml: Fraction, density: Fraction) -> int:
    return int(volume_ml * density * 10)


MARKET = Market(
    (
        Supplier(M, ((None, 650),), free_from_cents=5000),
        Supplier(K, ((None, 720),), free_from_cents=9000, least_order_cents=1000),
        Supplier(C, ((None, 0),)),
    ),
    (
        *(
            Pack(f"M: Wash base {size} fl oz", M, {"Wash base": units(size * FL_OZ_ML, BASE)}, ((1, cents),))
            for size, cents in ((32, 990), (128, 2590))
        ),
        *(
            Pack(f"M: Scent 3 {size} mL", M, {"Scent 3": units(Fraction(size), SCENT)}, ((1, cents),))
            for size, cents in ((10, 420), (50, 1340), (100, 2200))
        ),
        Pack(
            "M: Kit 1",
            M,
            {"Wash base": 10_500, "Scent 3": units(Fraction(15), SCENT), "Foamer": 4},
            ((1, 2690),),
            kit=True,
        ),
        *(
            Pack(f"K: Foamer, {size}", K, {"Foamer": size}, ((1, cents),))
            for size, cents in ((1, 210), (6, 1040), (24, 3480))
        ),
        Pack("C: Labels, sheet of 10", C, {"Label": 10}, ((1, 240),)),
    ),
    frozenset({"Foamer", "Label"}),
)
MASS = 250 * BASE * Fraction("1.02") * 10  # 0.1 g of product for one bottle, 2 % loss
PER_BOTTLE = {
    "Wash base": MASS * Fraction("0.992"),
    "Scent 3": MASS * Fraction("0.008"),
    "Foamer": Fraction(1),
    "Label": Fraction(1),
}


@cache
def curve() -> CostCurve:
    return cost_curve(MARKET, PER_BOTTLE, 48)


def in_words(cost_micros: int) -> str:
    return f"{cost_micros // 1_000_000}.{cost_micros % 1_000_000 // 10_000:02d}"


@pytest.mark.parametrize("count", [*range(1, 21), *LATER])
def test_the_cheapest_list_costs_what_was_worked_out_before(count: int) -> None:
    cost = cheapest_basket(MARKET, need_of(PER_BOTTLE, count), tie_break=False).cost_micros
    assert cost % 10_000 == 0
    assert in_words(cost) == (WASH_COSTS[count - 1] if count <= 20 else LATER[count])


def test_the_curve_has_the_same_costs() -> None:
    assert all(point.proved for point in curve().points)
    assert [in_words(cost) for cost in curve().cost_micros[:20] if cost is not None] == WASH_COSTS
    assert {n: in_words(curve().cost_micros[n - 1] or 0) for n in LATER} == LATER


@pytest.mark.parametrize("price", WASH_PAYS)
def test_every_interval_of_counts_that_pay_is_found(price: str) -> None:
    assert counts_that_pay(curve(), Fraction(price) * 100) == WASH_PAYS[price]


def test_packs_that_no_line_needs_change_nothing_here() -> None:
    balm = (
        Pack("M: Castor oil 8 fl oz", M, {"Castor oil": 2271}, ((1, 430),)),
        Pack("K: Tin, 1", K, {"Tin": 1}, ((1, 70),)),
    )
    for count in (4, 7, 12):
        need = need_of(PER_BOTTLE, count)
        assert (
            cheapest_basket(
                Market(MARKET.suppliers, (*MARKET.packs, *balm), MARKET.pieces), need, tie_break=False
            ).cost_micros
            == cheapest_basket(MARKET, need, tie_break=False).cost_micros
        )


def test_eight_bottles_are_two_kits_and_a_sheet_of_labels_with_free_delivery() -> None:
    basket = cheapest_basket(MARKET, need_of(PER_BOTTLE, 8))
    assert dict(basket.counts) == {"M: Kit 1": 2, "C: Labels, sheet of 10": 1}
    assert basket.to_frame()["cost"].tolist() == ["53.80", "2.40", "0.00", "56.20"]
    assert any("free delivery" in sentence for sentence in reasons(basket, MARKET))
