"""Whole curves at once, against baskets counted one by one, the integer program and the solved cases: what is called
proved is right, and every band holds the truth.

Seeds are fixed. The environment variable MAKER_KIT_NIGHTLY multiplies the number of markets.
"""

from __future__ import annotations

import os
import random
import time
from fractions import Fraction
from typing import Any

import pytest
from curves import between, open_counts, told
from generated_markets import TooManyError, cheapest_by_merging, wide_market, workshop_market
from invented_markets import cheapest_by_counting, market_of_case, nasty_problems, need_of_case, per_batch_of_case
from reference_tables import reference_json

from maker_kit.buying.basket.basket import cheapest_basket
from maker_kit.buying.basket.caps import Restriction
from maker_kit.buying.basket.program import ImpossibleNeedError, Problem
from maker_kit.buying.basket.ties import settle_ties
from maker_kit.buying.curve import covers, kit_counts
from maker_kit.buying.curve import supplier_subsets as supplier_subsets
from maker_kit.buying.curve.solver import CurveSolver
from maker_kit.buying.curve_point import CurvePoint
from maker_kit.buying.market import Market, Pack, Supplier
from maker_kit.buying.needs import need_of
from maker_kit.buying.pricing import bought_units, price_basket

TIMES = int(os.environ.get("MAKER_KIT_NIGHTLY", "1"))
CASES = reference_json("basket_cases.json")["cases"]


def faults(band: tuple[CurvePoint, ...], truth: dict[int, int | None], needs: dict[int, dict[str, int]]) -> list[tuple]:
    """Counts of which a band says something that is not so."""
    wrong = []
    for n, cost in truth.items():
        low, high, status = band[n - 1].lower_micros, band[n - 1].upper_micros, band[n - 1].status
        if cost is None:
            good = high is None and status != "proved"
        else:
            good = (
                low <= cost
                and (high is None or cost <= high)
                and status != "impossible"
                and (status != "proved" or low == high == cost)
            )
        basket = band[n - 1].basket
        if basket is not None:
            bought = bought_units(band[0].market, basket.counts)
            good = (
                good
                and price_basket(band[0].market, basket.counts).cost_micros == high
                and all(bought.get(item, 0) >= units for item, units in needs[n].items())
            )
        if not good:
            wrong.append((n, status, low, cost, high))
    return wrong


def counted(market: Market, need: dict[str, int]) -> int | None:
    found = cheapest_by_counting(market, need)
    return None if found is None else found[0]


def programmed(market: Market, need: dict[str, int]) -> int | None:
    try:
        return cheapest_basket(market, need, tie_break=False).cost_micros
    except ImpossibleNeedError:
        return None


@pytest.mark.parametrize("seed", range(8))
def test_small_nasty_markets_cost_what_counting_every_basket_gives(seed: int) -> None:
    wrong, still_open, settled = [], 0, 0
    for market, need in nasty_problems(1000 + seed, 250 * TIMES):
        per_batch = {item: Fraction(units, 2) for item, units in need.items()}
        needs = {n: need_of(per_batch, n) for n in (1, 2)}
        truth = {n: counted(market, needs[n]) for n in needs}
        band = CurveSolver(market).curve(per_batch, 2)
        still_open += len(open_counts(band))
        settled += 2 - len(open_counts(band))
        wrong += [(market, *fault) for fault in faults(band, truth, needs)]
    assert not wrong
    assert still_open < settled / 8  # left to the integer program: heavier steps that cost less, orders nobody delivers


def test_what_the_search_leaves_open_of_them_is_closed_by_the_integer_program() -> None:
    wrong, closed = [], 0
    for market, need in nasty_problems(2000, 400 * TIMES):
        solver, per_batch = CurveSolver(market), {item: Fraction(units) for item, units in need.items()}
        band = solver.curve(per_batch, 1)
        if open_counts(band):
            band = solver.close(band)
            closed += 1
        truth = counted(market, need)
        assert band[0].status == ("impossible" if truth is None else "proved")
        assert bool(band[0].why) == (truth is None)
        wrong += [(market, *fault) for fault in faults(band, {1: truth}, {1: need})]
    assert not wrong
    assert closed


@pytest.mark.parametrize("seed", range(3))
def test_eight_to_ten_items_with_a_supplier_that_lacks_some_cost_what_merging_every_basket_gives(seed: int) -> None:
    rng, wrong, tried, still_open = random.Random(3000 + seed), [], 0, 0
    while tried < 100 * TIMES:
        market, need = wide_market(rng)
        try:
            truth = cheapest_by_merging(market, need)
        except TooManyError:
            continue
        tried += 1
        band = CurveSolver(market).curve({item: Fraction(units) for item, units in need.items()}, 1)
        still_open += len(open_counts(band))
        wrong += [(market, *fault) for fault in faults(band, {1: truth}, {1: need})]
    assert not wrong
    assert still_open < tried / 10


def test_the_two_ways_of_counting_baskets_agree() -> None:
    agreed = 0
    for market, need in nasty_problems(4000, 60):
        fees = [[cents for _, cents in s.delivery] for s in market.suppliers]
        if all(row == sorted(row) for row in fees):
            assert cheapest_by_merging(market, need) == counted(market, need)
            agreed += 1
    assert agreed > 30


@pytest.mark.parametrize("delivery", ["flat", "threshold", "steps", "mixed"])
@pytest.mark.parametrize("size", ["small", "medium"])
def test_workshop_markets_cost_what_the_integer_program_gives(size: str, delivery: str) -> None:
    rng = random.Random(f"{size} {delivery}")
    for seed in range({"small": 4, "medium": 1}[size] * TIMES):
        market, per_batch = workshop_market(seed, size, delivery)
        counts = sorted(rng.sample(range(1, 81), {"small": 5, "medium": 4}[size]))
        band = CurveSolver(market).curve(per_batch, 80)
        needs = {n: need_of(per_batch, n) for n in counts}
        assert not faults(band, {n: programmed(market, needs[n]) for n in counts}, needs), (size, delivery, seed)
        assert len(open_counts(band)) < 20


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_the_solved_cases_cost_what_was_solved_elsewhere(case: dict[str, Any]) -> None:
    market, last = market_of_case(case), max(point["n"] for point in case["results"])
    solver = CurveSolver(market)
    band = solver.close(solver.curve(per_batch_of_case(case), last))
    truth = {point["n"]: point["cost_e4cents"] for point in case["results"]}
    assert not faults(band, truth, {n: need_of_case(case, n) for n in truth})
    assert {band[n - 1].status for n in truth} <= {"proved", "impossible"}


@pytest.mark.parametrize(("size", "delivery"), [("small", "threshold"), ("small", "steps"), ("medium", "mixed")])
def test_wherever_the_search_is_stopped_the_band_holds_the_truth_and_narrows(size: str, delivery: str) -> None:
    market, per_batch = workshop_market(5, size, delivery)
    solver = CurveSolver(market)
    whole = solver.curve(per_batch, 60)
    widths = []
    for asked in (0, 1, 3, 6, 9, 14, 20, 40):
        left = iter(range(asked))
        band = solver.curve(per_batch, 60, cancelled=lambda left=left: next(left, None) is None)
        assert between(band, whole)
        assert all((p.status == "proved") == (p.lower_micros == p.upper_micros) for p in band)
        widths.append(sum((10**12 if p.upper_micros is None else p.upper_micros) - p.lower_micros for p in band))
    assert widths[-1] <= widths[0]


def test_a_moved_slider_gives_what_a_fresh_solver_gives() -> None:
    market, per_batch = workshop_market(2, "small", "mixed")
    solver = CurveSolver(market)
    solver.curve(per_batch, 50)
    for level in (Fraction(101, 100), Fraction(3, 4), Fraction(2), Fraction(1)):
        moved = {item: amount * (level if k % 2 else 1) for k, (item, amount) in enumerate(per_batch.items())}
        kept, fresh = solver.curve(moved, 50), CurveSolver(market).curve(moved, 50)
        for what in ("lower_micros", "upper_micros"):
            assert told(kept, what) == told(fresh, what)


def test_cost_never_falls_with_the_count() -> None:
    for delivery in ("flat", "threshold", "steps", "mixed"):
        market, per_batch = workshop_market(7, "small", delivery)
        band = CurveSolver(market).curve(per_batch, 120)
        assert list(told(band, "lower_micros")) == sorted(told(band, "lower_micros"))
        assert list(told(band, "upper_micros")) == sorted(told(band, "upper_micros"))


def test_the_same_question_always_gets_the_same_baskets() -> None:
    market, per_batch = workshop_market(3, "small", "threshold")
    one, other = (CurveSolver(market).curve(per_batch, 60) for _ in range(2))
    assert told(one, "packs") == told(other, "packs")


def test_the_shown_basket_is_the_first_of_the_fixed_order() -> None:
    for seed in range(3):
        for market, need in nasty_problems(5000 + seed, 25):
            found = cheapest_by_counting(market, need)
            solver = CurveSolver(market)
            band = solver.close(solver.curve({item: Fraction(units) for item, units in need.items()}, 1))
            if found is not None:
                later = time.monotonic() + 10
                assert (
                    settle_ties(Problem(market, band[0].need, Restriction(), later), band[0].packs, found[0])
                    == found[1]
                )


OUNCES = (
    Supplier("M", ((None, 650),), free_from_cents=5000),
    Supplier("N", ((20_000, 490), (100_000, 990), (None, 1900))),
)
OUNCE_PACKS = tuple(
    Pack(f"{seller}: {item} {name}", seller, {item: units}, steps, units + 50)
    for item, sizes in {
        "shea": [
            ("M", "8 oz", 2268, ((1, 590),)),
            ("M", "1 lb", 4536, ((1, 980), (3, 900))),
            ("M", "5 lb", 22_680, ((1, 3900),)),
            ("N", "250 g", 2500, ((1, 610),)),
            ("N", "1 kg", 10_000, ((1, 1890),)),
        ],
        "oil": [
            ("M", "8 fl oz", 2177, ((1, 540),)),
            ("M", "32 fl oz", 8707, ((1, 1590),)),
            ("N", "100 g", 1000, ((1, 220),)),
            ("N", "500 g", 5000, ((1, 950), (4, 900))),
        ],
    }.items()
    for seller, name, units, steps in sizes
)


def test_ounces_beside_grams_cost_what_the_integer_program_gives(monkeypatch: pytest.MonkeyPatch) -> None:
    market, per_batch = Market(OUNCES, OUNCE_PACKS), {"shea": Fraction(7003, 3), "oil": Fraction(1919, 7)}
    needs = {n: need_of(per_batch, n) for n in (1, 2, 5, 9, 17, 40)}
    truth = {n: programmed(market, needs[n]) for n in needs}
    band = CurveSolver(market).curve(per_batch, 40)
    assert not faults(band, truth, needs)
    monkeypatch.setattr(covers, "DENSE_ROWS", 10**6)
    dense = CurveSolver(market).curve(per_batch, 40)
    for what in ("lower_micros", "upper_micros"):
        assert told(dense, what) == told(band, what)


def test_tables_of_few_and_of_many_rows_agree_on_every_nasty_market(monkeypatch: pytest.MonkeyPatch) -> None:
    problems = list(nasty_problems(6000, 150))
    dense = [
        CurveSolver(market).curve({item: Fraction(units) for item, units in need.items()}, 2)
        for market, need in problems
    ]
    monkeypatch.setattr(covers, "DENSE_ROWS", 0)
    for (market, need), band in zip(problems, dense, strict=True):
        sparse = CurveSolver(market).curve({item: Fraction(units) for item, units in need.items()}, 2)
        truth = {n: counted(market, {item: n * units for item, units in need.items()}) for n in (1,)}
        assert not faults(sparse, truth, {1: need})
        assert all(
            a.upper_micros is None or b.upper_micros is None or a.upper_micros == b.upper_micros or open_counts((a, b))
            for a, b in zip(sparse, band, strict=True)
        )


@pytest.mark.parametrize("delivery", ["threshold", "steps"])
def test_counts_with_too_many_choices_of_kits_stay_open_with_a_band_that_holds(
    delivery: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    market, per_batch = workshop_market(0, "medium", delivery)
    whole = CurveSolver(market).curve(per_batch, 60)
    monkeypatch.setattr(kit_counts, "MOST_LISTED", 1)
    band = CurveSolver(market).curve(per_batch, 60)
    assert len(open_counts(band)) > len(open_counts(whole))
    assert between(band, whole)


def test_suppliers_with_too_many_ways_to_charge_keep_a_band_that_holds(monkeypatch: pytest.MonkeyPatch) -> None:
    for seed in range(3):
        market, per_batch = workshop_market(seed, "small", "mixed")
        whole = CurveSolver(market).curve(per_batch, 60)
        with monkeypatch.context() as patch:
            patch.setattr(supplier_subsets, "MOST_WAYS", 1)
            band = CurveSolver(market).curve(per_batch, 60)
        assert between(band, whole)
