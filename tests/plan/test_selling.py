"""Selling prices and a year of sales, against the textbook's worked examples and by hand.

Worked examples: OpenStax, Principles of Accounting, Volume 2: Managerial Accounting (CC BY-NC-SA), the section of each
row in cost_worked_examples.csv.
"""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from plan.textbook_sales import Product, sales_mix, sales_year
from reference_tables import reference_rows

from maker_kit.errors import QuantityError
from maker_kit.plan.selling import cents_up, selling_prices

N = r"([0-9]+(?:\.[0-9]+)?)"
WHOLE = [
    (row, [float(x) for x in found.groups()])
    for row in reference_rows("cost_worked_examples.csv")
    if (found := re.fullmatch(f"(?:price|sale) {N}, variable {N}, fixed {N}", row["inputs"].strip()))
]


def after(section: str, pattern: str) -> list[tuple[dict[str, str], list[float], float]]:
    """Rows that go on with the numbers of the last whole example of their section."""
    found, base = [], None
    for row in reference_rows("cost_worked_examples.csv"):
        if numbers := re.fullmatch(f"(?:price|sale) {N}, variable {N}, fixed {N}", row["inputs"].strip()):
            base = (row["section"], [float(x) for x in numbers.groups()])
        elif (
            base
            and base[0] == row["section"] == section
            and row["inputs"].strip() in ("", "as above")
            and (match := re.fullmatch(pattern, row["what"].strip()))
        ):
            found.append((row, base[1], float(match[1] or 0)))
    return found


@pytest.mark.parametrize(
    ("row", "numbers"),
    [pair for pair in WHOLE if re.match(r"break-even(?!.*(dollars|composite))|exercise", pair[0]["what"])],
    ids=lambda x: x["what"] if isinstance(x, dict) else "",
)
def test_the_printed_break_even_counts_come_out(row: dict[str, str], numbers: list[float]) -> None:
    price, variable, fixed = numbers
    year = sales_year(price, variable, sold=1, fixed_costs=fixed)
    assert year.break_even == -(-Fraction(row["recomputed"]) // 1)
    assert year.contribution == pytest.approx(price - variable)


@pytest.mark.parametrize(
    ("row", "numbers", "profit"),
    [
        *after("3.2", rf"units for target profit {N}"),
        *after("3.2", rf"target {N}(?: [a-z]+)?"),
        *after("3.5", rf"units with {N} added"),
    ],
    ids=lambda x: x["what"] if isinstance(x, dict) else "",
)
def test_the_printed_counts_for_a_wanted_profit_come_out(
    row: dict[str, str], numbers: list[float], profit: float
) -> None:
    price, variable, fixed = numbers
    assert sales_year(price, variable, sold=0, fixed_costs=fixed, wanted_profit=profit).for_wanted_profit == int(
        row["published"]
    )


@pytest.mark.parametrize(
    ("row", "numbers", "sold"),
    after("3.2", rf"operating income at {N} units"),
    ids=lambda x: x["what"] if isinstance(x, dict) else "",
)
def test_the_printed_income_comes_out(row: dict[str, str], numbers: list[float], sold: float) -> None:
    price, variable, fixed = numbers
    assert sales_year(price, variable, sold=sold, fixed_costs=fixed).income == float(row["published"])


@pytest.mark.parametrize(
    ("row", "numbers"),
    [(row, base) for row, base, _ in after("3.5", r"margin of safety %()")],
    ids=lambda x: x["what"] if isinstance(x, dict) else "",
)
def test_the_printed_margin_of_safety_comes_out(row: dict[str, str], numbers: list[float]) -> None:
    # the row prints the share and not the sales: those that lie so far above break-even have just that margin
    price, variable, fixed = (Fraction(str(x)) for x in numbers)
    share = Fraction(row["published"])
    sold = fixed / (price - variable) / (1 - share)
    year = sales_year(*numbers[:2], sold=sold, fixed_costs=numbers[2])
    assert year.safety_ratio == pytest.approx(float(share))
    assert year.safety_units == pytest.approx(float(sold * share))


@pytest.mark.parametrize(
    "row",
    [
        r
        for r in reference_rows("cost_worked_examples.csv")
        if "leverage" in r["what"] and re.fullmatch(f"CM {N}, income {N}", r["inputs"].strip())
    ],
    ids=lambda r: r["what"],
)
def test_the_printed_leverage_comes_out(row: dict[str, str]) -> None:
    contribution, income = (float(x) for x in re.fullmatch(f"CM {N}, income {N}", row["inputs"].strip()).groups())
    year = sales_year(2, 1, sold=contribution, fixed_costs=contribution - income)
    assert year.leverage == pytest.approx(float(row["recomputed"]))


@pytest.mark.parametrize(
    ("row", "numbers"),
    [pair for pair in WHOLE if "composite" in pair[0]["what"]],
    ids=lambda x: x["what"] if isinstance(x, dict) else "",
)
def test_the_printed_mix_comes_out(row: dict[str, str], numbers: list[float]) -> None:
    price, variable, fixed = numbers
    mix = sales_mix([Product("all", 1, price, variable)], fixed_costs=fixed)
    assert mix.mixes == pytest.approx(float(row["recomputed"]))
    if re.search("[0-9]", row["note"]):
        assert str(mix.whole_mixes) in row["note"]


def test_a_mix_of_three_by_hand() -> None:
    # 5 at 10 (cost 6), 3 at 8 (cost 5), 2 at 4 (cost 3): 82 for 51, 31 left; 1 000 and 240 take 40 mixes
    products = [Product("a", 5, 10, 6), Product("b", 3, 8, 5), Product("c", 2, 4, 3)]
    mix = sales_mix(products, fixed_costs=1000, wanted_profit=240)
    assert (mix.mix_price, mix.mix_cost, mix.mixes, mix.whole_mixes) == (82, 51, 40, 40)
    assert mix.units() == (200, 120, 80)
    assert list(mix.to_frame()["containers"]) == [200, 120, 80]
    assert sales_mix(products, fixed_costs=1001).whole_mixes == 33  # 32.29


def test_mark_up_and_margin_are_two_things() -> None:
    prices = selling_prices(10, markup_percent=50, margin_percent=50)
    assert (prices.floor, prices.price_at_markup, prices.price_at_margin) == (10, 15, 20)
    frame = prices.to_frame()
    assert list(frame["price"]) == [
        "floor: what one costs",
        "mark-up of 50 % of the cost",
        "margin of 50 % of the price",
    ]
    assert list(frame["asked"]) == ["10.00", "15.00", "20.00"]
    assert list(frame["left over the cost"]) == ["0.00", "5.00", "10.00"]
    assert list(frame["mark-up, % of cost"]) == ["0.0", "50.0", "100.0"]
    assert list(frame["margin, % of price"]) == ["0.0", "33.3", "50.0"]


@given(st.fractions(Fraction(1, 100), 1000), st.integers(0, 300), st.integers(0, 99))
def test_a_price_rounded_up_never_leaves_less_than_asked(cost: Fraction, markup: int, margin: int) -> None:
    prices = selling_prices(cost, markup_percent=markup, margin_percent=margin)
    by_markup, by_margin = (Fraction(cents_up(p), 100) for p in (prices.price_at_markup, prices.price_at_margin))
    slack = Fraction(1, 10**9)
    assert by_markup >= cost * (1 + Fraction(markup, 100)) - slack
    assert by_margin - cost >= by_margin * Fraction(margin, 100) - slack
    assert prices.floor <= prices.price_at_markup
    assert prices.floor <= prices.price_at_margin


@given(st.integers(1, 5000), st.integers(0, 5000), st.integers(0, 10**6), st.integers(0, 10**6), st.integers(0, 2000))
def test_the_break_even_count_is_the_least_that_makes_no_loss(
    price_cents: int, cost_cents: int, fixed: int, profit: int, sold: int
) -> None:
    year = sales_year(price_cents / 100, cost_cents / 100, sold=sold, fixed_costs=fixed, wanted_profit=profit)

    def leaves(n: int) -> Fraction:
        return Fraction((price_cents - cost_cents) * n, 100) - fixed

    if year.break_even is None:
        assert price_cents <= cost_cents
        assert all(leaves(n) < 0 for n in (1, 10, 10**9))
    else:
        assert leaves(year.break_even) >= 0
        assert year.break_even == 0 or leaves(year.break_even - 1) < 0
    if year.for_wanted_profit is not None:
        assert leaves(year.for_wanted_profit) >= profit
        assert year.for_wanted_profit == 0 or leaves(year.for_wanted_profit - 1) < profit
    assert year.income == pytest.approx(float(leaves(sold)))
    assert (year.leverage is not None) == (leaves(sold) > 0)
    assert len(year.to_frame()) == 6


def test_a_price_below_the_cost_never_covers_anything_and_says_so() -> None:
    year = sales_year(3, 4, sold=10, fixed_costs=100)
    assert year.break_even is year.for_wanted_profit is year.safety_units is None
    assert year.income == -110
    assert "never: the price does not cover the unit cost" in set(year.to_frame()["figure"])


def test_nothing_sold_has_no_share_of_safety() -> None:
    year = sales_year(5, 4, sold=0, fixed_costs=10)
    assert (year.safety_units, year.safety_ratio) == (-10, None)


def test_no_cost_at_all_has_no_mark_up() -> None:
    frame = selling_prices(0, markup_percent=50, margin_percent=50).to_frame()
    assert set(frame["mark-up, % of cost"]) == {"none: it costs nothing"}


@pytest.mark.parametrize(
    "ask",
    [
        lambda: selling_prices(-1, markup_percent=1, margin_percent=1),
        lambda: selling_prices(1, markup_percent=-1, margin_percent=1),
        lambda: selling_prices(1, markup_percent=1, margin_percent=100),
        lambda: selling_prices(float("nan"), markup_percent=1, margin_percent=1),
        lambda: sales_year(-1, 1, sold=1),
        lambda: sales_year(1, 1, sold=-1),
        lambda: sales_year(1, 1, sold=1, fixed_costs=-1),
        lambda: sales_year(1, 1, sold=1, wanted_profit=-1),
        lambda: sales_mix([], fixed_costs=1),
        lambda: sales_mix([Product("a", 1, 3, 4)], fixed_costs=1),
        lambda: sales_mix([Product("a", -1, 3, 1)], fixed_costs=1),
    ],
)
def test_bad_figures_are_refused(ask: object) -> None:
    with pytest.raises(QuantityError):
        ask()
