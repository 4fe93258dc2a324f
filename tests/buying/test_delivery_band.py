"""A delivery known only as low–high, in the market's records."""

from __future__ import annotations

import pytest

from maker_kit.buying.market import Market, Pack, Supplier
from maker_kit.buying.pricing import price_basket
from maker_kit.errors import QuantityError

LOW, HIGH = ((20_000, 590), (None, 790)), ((20_000, 690), (None, 790))


def test_delivery_is_known_unless_a_dearer_one_is_named() -> None:
    assert Supplier("A", LOW).delivery_known
    assert Supplier("A", LOW, delivery_high=LOW).delivery_known
    assert not Supplier("A", LOW, delivery_high=HIGH).delivery_known


def test_at_its_dearest_it_is_an_ordinary_delivery() -> None:
    assert Supplier("A", LOW, 290, delivery_high=HIGH).at_high_delivery() == Supplier("A", HIGH, 290)
    assert Supplier("A", LOW).at_high_delivery() == Supplier("A", LOW)
    assert Supplier("A", LOW, delivery_high=LOW).at_high_delivery() == Supplier("A", LOW)


@pytest.mark.parametrize(
    ("high", "words"),
    [
        (((20_000, 580), (None, 790)), "dearest costs less"),
        (((30_000, 690), (None, 790)), "different steps"),
        (((None, 790),), "different steps"),
        (((20_000, 690),), "different steps"),
    ],
)
def test_steps_that_do_not_belong_together_are_refused(high: tuple[tuple[int | None, int], ...], words: str) -> None:
    with pytest.raises(QuantityError, match=f"^A: .*{words}"):
        Supplier("A", LOW, delivery_high=high).at_high_delivery()


def test_a_basket_is_priced_at_the_cheapest_and_at_the_dearest() -> None:
    pack = Pack("p", "A", {"Oil": 1000}, ((1, 200),), 1000)
    market = Market((Supplier("A", LOW, 290, delivery_high=HIGH),), (pack,))
    assert price_basket(market, {"p": 1}).cost_micros == (200 + 290 + 590) * 10_000
    assert price_basket(market.at_high_delivery(), {"p": 1}).cost_micros == (200 + 290 + 690) * 10_000


def test_a_market_knows_its_delivery_if_everyone_who_sells_there_does() -> None:
    known, vague = Supplier("A", LOW), Supplier("B", LOW, delivery_high=HIGH)
    pack = Pack("p", "A", {"Oil": 1000}, ((1, 200),))
    assert Market((known, vague), (pack,)).delivery_known
    assert not Market((known, vague), (pack, Pack("q", "B", {"Oil": 1000}, ((1, 200),)))).delivery_known
