"""Whole curves of awkward size: thousands of packs or counts, too many suppliers, nothing to buy, nothing that can be
bought; and a cancel that works.
"""

from __future__ import annotations

import random
from concurrent.futures import ThreadPoolExecutor
from fractions import Fraction

import pytest
from curves import open_counts, told
from generated_markets import workshop_market

from maker_kit.buying.basket.basket import cheapest_basket
from maker_kit.buying.costing import cost_curve
from maker_kit.buying.curve import table_cache as tables_kept
from maker_kit.buying.curve.catalogue import catalogue
from maker_kit.buying.curve.solver import CurveSolver
from maker_kit.buying.curve.supplier_subsets import MOST_WAYS, supplier_subsets
from maker_kit.buying.market import Market, Pack, Supplier
from maker_kit.buying.needs import need_of
from maker_kit.errors import BasketError, QuantityError

HOME = Supplier("Corner", ((None, 0),))
JUG = Pack("Corner: Soap 1 kg", "Corner", {"Soap": 10_000}, ((1, 500),))


def test_ten_thousand_packs_come_out_right() -> None:
    rng = random.Random(1)
    sellers = tuple(Supplier(f"S{k}", ((None, 590),), free_from_cents=7500) for k in range(4))
    packs = tuple(
        Pack(
            f"pack {k}",
            f"S{rng.randrange(4)}",
            {f"item {k % 500}": rng.choice((1000, 2500, 5000, 10_000))},
            ((1, rng.randint(100, 3000)),),
            1100,
        )
        for k in range(10_000)
    )
    market = Market(sellers, packs)
    per_batch = {f"item {k}": Fraction(rng.randint(100, 3000)) for k in range(12)}
    band = CurveSolver(market.for_items(per_batch)).curve(per_batch, 30)
    for n in (1, 30):
        cost = cheapest_basket(market.for_items(per_batch), need_of(per_batch, n), tie_break=False).cost_micros
        assert band[n - 1].lower_micros <= cost <= band[n - 1].upper_micros


def test_many_sets_of_suppliers_share_the_combinations_of_multipliers_and_joined_modes_try_none() -> None:
    market, per_batch = workshop_market(1, "large", "steps")  # six suppliers of five steps: 5^6 modes when all are open
    subsets = supplier_subsets(catalogue(market, per_batch), most_dg=1000)
    tried = {len(subset.open): len(subset.multipliers) for subset in subsets}
    assert sum(len(subset.multipliers) for subset in subsets) <= 4 * MOST_WAYS  # 7,059 of them before
    assert tried[1] > 1  # a price of weight helps where every mode is told apart
    assert tried[5] == tried[6] == 1  # and means nothing where one mode below all of its own stands for a supplier
    assert all(len(subset.fees) == 1 for subset in subsets if len(subset.open) >= 5)


def test_five_thousand_counts_are_all_proved() -> None:
    market, per_batch = workshop_market(1, "small", "flat")
    band = CurveSolver(market).curve(per_batch, 5000)
    assert not open_counts(band)
    short = CurveSolver(market).curve(per_batch, 100)
    assert told(band, "upper_micros")[:100] == told(short, "upper_micros")


@pytest.mark.parametrize("delivery", ["threshold", "mixed"])
def test_a_cancel_is_obeyed_soon_and_keeps_what_is_known(delivery: str) -> None:
    market, per_batch = workshop_market(2, "medium", delivery)
    asked: list[int] = []

    def stop() -> bool:
        asked.append(1)
        return len(asked) > 3

    band = CurveSolver(market).curve(per_batch, 1000, cancelled=stop)
    assert len(asked) <= 20  # the search ends; it does not go on asking
    assert open_counts(band)
    assert len(band) == 1000
    assert all(point.upper_micros is None or point.lower_micros <= point.upper_micros for point in band)


def test_closing_can_be_cancelled_and_asked_counts_come_first() -> None:
    market = Market(
        tuple(Supplier(f"S{k}", ((None, 100 + k),)) for k in range(9)),
        tuple(Pack(f"p{k}", f"S{k}", {"Soap": 1000 + k}, ((1, 300 + k),)) for k in range(9)),
    )
    solver = CurveSolver(market)
    band = solver.curve({"Soap": Fraction(700)}, 6)
    assert told(band, "status") == ("not proved",) * 6  # nine suppliers are left to the integer program
    seen: list[tuple[int, int]] = []
    stopped = solver.close(band, first=(5,), progress=lambda *done: seen.append(done), cancelled=lambda: bool(seen))
    assert stopped[4].status == "proved"
    assert stopped[4].upper_micros == cheapest_basket(market, {"Soap": 3500}).cost_micros
    assert seen == [(6 - len(open_counts(stopped)), 6)]
    whole = solver.close(stopped)
    assert told(whole, "status") == ("proved",) * 6
    assert told(whole, "upper_micros") == tuple(
        cheapest_basket(market, {"Soap": 700 * n}).cost_micros for n in range(1, 7)
    )


def test_a_stock_that_does_not_reach_is_impossible_from_there_on_with_a_sentence() -> None:
    scarce = Market((HOME,), (Pack(JUG.name, "Corner", JUG.content, JUG.prices, stock=2),))
    band = CurveSolver(scarce).curve({"Soap": Fraction(9_000)}, 5)
    assert told(band, "status") == ("proved", "proved", "impossible", "impossible", "impossible")
    assert "stock of Soap does not reach" in band[2].why
    assert told(band, "why")[2:] == (band[2].why,) * 3
    assert told(band, "packs")[2:] == told(band, "upper_micros")[2:] == (None,) * 3
    assert band[2].basket is None


def test_orders_too_heavy_to_be_delivered_are_found_impossible_from_the_first_on() -> None:
    heavy = Market(
        (Supplier("Post", ((25_000, 500),)),), (Pack("Post: Soap", "Post", {"Soap": 10_000}, ((1, 400),), 10_000),)
    )
    solver = CurveSolver(heavy)
    band = solver.close(solver.curve({"Soap": Fraction(8_000)}, 40))
    assert told(band, "status") == ("proved",) * 2 + ("impossible",) * 38
    assert "too heavy" in band[2].why


def test_an_item_nobody_sells_is_impossible_with_its_name() -> None:
    band = CurveSolver(Market((HOME,), (JUG,))).curve({"Soap": Fraction(1), "Scent": Fraction(1)}, 3)
    assert told(band, "status") == ("impossible",) * 3
    assert "Scent" in band[0].why


def test_nothing_needed_costs_nothing() -> None:
    band = CurveSolver(Market((HOME,), (JUG,))).curve({"Soap": Fraction(0)}, 3)
    assert told(band, "upper_micros") == told(band, "lower_micros") == (0, 0, 0)
    assert band[1].basket.counts == {}


def test_things_given_away_cost_nothing() -> None:
    gifts = Market(
        (HOME,),
        (
            Pack("gift", "Corner", {"Soap": 100}, ((1, 0),)),
            Pack("kit", "Corner", {"Soap": 50, "Oil": 5}, ((1, 0),), kit=True),
        ),
    )
    band = CurveSolver(gifts).curve({"Soap": Fraction(70), "Oil": Fraction(3)}, 4)
    assert told(band, "status") == ("proved",) * 4
    assert told(band, "upper_micros") == (0,) * 4


def test_prices_too_large_for_the_tables_are_left_to_the_integer_program() -> None:
    dear = Market((HOME,), (Pack("gold", "Corner", {"Soap": 1}, ((1, 10**9),)),))
    solver = CurveSolver(dear)
    band = solver.curve({"Soap": Fraction(200)}, 2)
    assert told(band, "status") == ("not proved",) * 2
    assert told(band, "upper_micros") == (None, None)


def test_needs_are_rounded_up_exactly_where_floats_would_buy_one_pack_too_many() -> None:
    third = Fraction(10_000, 3)
    band = CurveSolver(Market((HOME,), (JUG,))).curve({"Soap": third}, 6)
    assert told(band, "upper_micros") == tuple(5_000_000 * k for k in (1, 1, 1, 2, 2, 2))


def test_what_is_no_market_or_no_count_is_refused() -> None:
    with pytest.raises(QuantityError, match="no delivery step"):
        CurveSolver(Market((Supplier("Corner", ()),), (JUG,)))
    with pytest.raises(BasketError, match="too large"):
        CurveSolver(Market((HOME,), (JUG,))).curve({"Soap": Fraction(10**9)}, 3)


def test_the_curve_a_maker_sees_is_this_one() -> None:
    market, per_batch = workshop_market(4, "small", "threshold")
    curve = cost_curve(market, per_batch, 25)
    band = CurveSolver(market).curve(per_batch, 25)
    assert all(point.proved for point in curve.points)
    assert all(band[k].lower_micros <= curve.cost_micros[k] <= band[k].upper_micros for k in range(25))


def test_two_curves_of_one_solver_at_a_time_are_both_right(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(tables_kept, "MOST_BYTES", 1 << 20)  # tables are forgotten all the time
    market, per_batch = workshop_market(3, "small", "mixed")
    alone = {
        k: CurveSolver(market).curve({item: amount * k for item, amount in per_batch.items()}, 20) for k in range(1, 6)
    }
    solver = CurveSolver(market)
    with ThreadPoolExecutor(4) as pool:
        found = [
            (k, pool.submit(solver.curve, {item: amount * k for item, amount in per_batch.items()}, 20))
            for k in (1, 5, 2, 4, 3, 5, 1, 2)
        ]
    for k, asked in found:
        sure = [n for n, state in enumerate(told(alone[k], "status")) if state == "proved"]
        assert sure
        for n in sure:
            assert asked.result()[n].lower_micros <= alone[k][n].upper_micros <= asked.result()[n].upper_micros
