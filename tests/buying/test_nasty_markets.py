"""Nasty markets of every kind, each against every basket there is; many more by hand: see `nasty_markets`."""

from __future__ import annotations

import pytest
from nasty_markets import KINDS, differences, nasty, truth

from maker_kit.buying.market import Market, Pack, Supplier


@pytest.mark.parametrize("seed", range(2 * len(KINDS)))
def test_curve_list_and_order_of_ties_are_what_counting_says(seed: int) -> None:
    kind, _, wrong = differences(seed)
    assert wrong == [], kind


def test_every_kind_comes_up_and_is_counted() -> None:
    kinds = {nasty(seed).kind.partition(" and ")[0] for seed in range(len(KINDS))}
    assert kinds == {kind.__name__ for kind in KINDS}
    assert len(kinds) == 21


def test_the_counting_itself_comes_out_as_by_hand() -> None:
    # by hand: 5 of 2 at 3.00 are 9.00 and 7 % tax 0.63, delivery 4.00 without tax: 13.63; three packs, one left over
    post = Supplier("Post", ((None, 400),), tax_bp=700, tax_on_fees=False)
    market = Market((post,), (Pack("two", "Post", {"a": 2}, ((1, 300),)), Pack("five", "Post", {"a": 5}, ((1, 950),))))
    assert truth(market, {"a": 5}) == (13_630_000, {"two": 3})
    assert truth(market, {"b": 1}) is None
