"""Bounds of label orders against published cases, an exact simplex and HiGHS."""

from __future__ import annotations

import os
import random
import time
from fractions import Fraction

import numpy as np
import pytest
from exact_simplex import rows_of, solved
from hypothesis import given
from hypothesis import strategies as st
from random_labels import near_sum, ordinary
from reference_tables import reference_json
from scipy.optimize import linprog

from maker_kit.errors import ContradictionError, LabelError, QuantityError
from maker_kit.label.order.because import because
from maker_kit.label.order.bounds import PROGRAMS, OrderBounds, bounds_of, together
from maker_kit.label.order.label_order import LabelOrder, label_order

LABELS = int(os.environ.get("MAKER_KIT_LABELS", "200"))
"""How many random labels of each kind; more by hand: MAKER_KIT_LABELS=3000."""
CASES = reference_json("label_cases.json")["cases"]


def made(case: dict) -> LabelOrder:
    """The case as an order."""
    return label_order(
        case["names"],
        law=case["law"],
        colours_last=case["colours_last"],
        at_most=case["at_most"],
        at_least=case["at_least"],
        sums=case["sums"],
    )


def found_of(case: dict) -> OrderBounds | None:
    """Its bounds; None where it contradicts itself."""
    try:
        return bounds_of(made(case))
    except ContradictionError:
        return None


@pytest.mark.parametrize("case", CASES, ids=[str(c["case"]) for c in CASES])
def test_solved_cases(case):
    """label_cases.json: solved by an exact rational simplex over every place, checked against HiGHS."""
    if "contradiction" in case:
        with pytest.raises(ContradictionError) as caught:
            bounds_of(made(case))
        sets = [sorted(map(str, s)) for s in case["contradiction"]["minimal_sets"]]
        assert sorted(str(_plain(rule)) for rule in caught.value.rules) in sets
        assert str(caught.value).endswith(".")
        return
    found, wanted = bounds_of(made(case)), case["solved"]
    assert found.way == {"LP": PROGRAMS}.get(case["way"], case["way"])
    assert list(found.line_after) == wanted["line_after"]
    for row, *ends in zip(
        found.rows,
        wanted["least"],
        wanted["most"],
        wanted["least_is_reached"],
        wanted["most_is_reached"],
        strict=True,
    ):
        assert (row.least.exact, row.most.exact) == (Fraction(ends[0]), Fraction(ends[1])), row.name
        assert (row.least.reached, row.most.reached) == (ends[2], ends[3]), row.name


def _plain(rule: tuple) -> list:
    kind, what = rule
    if kind != "sum":
        return [kind, what]
    said = {"names": list(what.names), "least": what.least, "most": what.most}
    return [kind, {k: v if isinstance(v, list) else str(v) for k, v in said.items() if v is not None}]


@pytest.mark.slow
@pytest.mark.parametrize("kind", [ordinary, near_sum])
def test_equal_to_the_exact_simplex(kind):
    """Bounds, whether they are reached, places, and contradictions: equal, on random and on near-sum labels."""
    draw = random.Random()
    seed = draw.randrange(10**9)
    draw.seed(seed)
    for _ in range(LABELS):
        _compare(kind(draw, 4), seed)
    for _ in range(LABELS // 20):
        _compare(kind(draw, 6), seed)


def test_sums_equal_the_exact_simplex():
    """With sums: in closed form where they allow it, by linear programs where not; equal, not only near."""
    draw = random.Random()
    seed = draw.randrange(10**9)
    draw.seed(seed)
    for _ in range(LABELS // 16):
        _compare(ordinary(draw, 5, sums=True), seed)
        _compare(near_sum(draw, 4, sums=True), seed)


def _compare(case: dict, seed: int) -> None:
    exact, found = solved(case), found_of(case)
    assert (exact is None) == (found is None), (seed, case)
    if exact is None:
        return
    assert list(found.line_after) == exact["places"], (seed, case)
    for row, low, high in zip(found.rows, exact["least"], exact["most"], strict=True):
        for bound, (value, hair) in ((row.least, low), (row.most, high)):
            assert bound.exact == value, (seed, case, row.name, found.way)
            assert bound.reached == (hair == 0), (seed, case, row.name)


@pytest.mark.slow
@pytest.mark.parametrize("kind", [ordinary, near_sum])
def test_equal_to_highs_over_every_place(kind):
    """Thousands of bounds of longer labels against linear programs over every place of the line."""
    draw = random.Random()
    seed = draw.randrange(10**9)
    draw.seed(seed)
    for _ in range(LABELS // 15):
        case = kind(draw, 14)
        found = found_of(case)
        n = len(case["names"])
        if found is None:
            continue  # strictness decides contradictions; the exact simplex looks at those
        for i in draw.sample(range(n), min(n, 2)):
            low, high = np.inf, -np.inf
            for k in found.line_after:
                rows = rows_of(case, k)
                upper = [
                    (np.array(a, float) * (1 if s == "<=" else -1), float(b[0]) * (1 if s == "<=" else -1))
                    for a, s, b in rows
                    if s != "="
                ]
                for sign in (1, -1):
                    answer = linprog(
                        [sign * (j == i) for j in range(n)],
                        A_ub=np.array([a for a, _ in upper]),
                        b_ub=[b for _, b in upper],
                        A_eq=np.ones((1, n)),
                        b_eq=[100],
                        method="highs",
                    )
                    assert answer.status == 0, (seed, case)
                    low, high = min(low, answer.x[i]), max(high, answer.x[i])
            assert found.rows[i].least.percent == pytest.approx(low, abs=1e-6), (seed, case)
            assert found.rows[i].most.percent == pytest.approx(high, abs=1e-6), (seed, case)


@given(st.integers(1, 60), st.sampled_from(["us", "eu", "all"]))
def test_place_k_holds_at_most_100_over_k(n, law):
    """Of a descending list the k-th name is at most 100/k %, and the first at least 100/n %."""
    found = bounds_of(label_order([f"N{i}" for i in range(n)], law=law))
    assert [r.most.exact for r in found.rows] == [Fraction(100, i + 1) for i in range(n)]
    assert found.rows[0].least.exact == Fraction(100, n)


@given(st.randoms(use_true_random=False), st.booleans())
def test_rules_in_a_contradiction_are_all_needed(draw, near):
    """What is named collides, and none of it can be left out."""
    case = near_sum(draw, 12) if near else ordinary(draw, 12)
    try:
        bounds_of(made(case))
    except ContradictionError as error:
        rules = error.rules
    else:
        return
    assert rules
    for left_out in (None, *rules):
        kept = [r for r in rules if r != left_out]
        names = [n for kind, n in kept if kind == "at_most"], [n for kind, n in kept if kind == "at_least"]
        fewer = made(case).keeping(*names)
        if left_out is None:
            with pytest.raises(ContradictionError):
                bounds_of(fewer)
        else:
            bounds_of(fewer)


@pytest.mark.slow
def test_rules_with_sums_in_a_contradiction_are_all_needed():
    """The same with sums, judged by the exact simplex."""
    draw = random.Random()
    seed = draw.randrange(10**9)
    draw.seed(seed)
    for _ in range(LABELS // 30):
        case = ordinary(draw, 4, sums=True)
        try:
            bounds_of(made(case))
        except ContradictionError as error:
            rules = error.rules
        else:
            continue
        for left_out in (None, *rules):
            kept = [r for r in rules if r != left_out]
            fewer = {
                **case,
                "at_most": {n: case["at_most"][n] for kind, n in kept if kind == "at_most"},
                "at_least": {n: case["at_least"][n] for kind, n in kept if kind == "at_least"},
                "sums": [vars(s) for kind, s in kept if kind == "sum"],
            }
            assert (solved(fewer) is None) == (left_out is None), (seed, case, left_out)


@given(st.randoms(use_true_random=False))
def test_tighter_rules_never_widen(draw):
    """A bound with one rule fewer is never tighter."""
    case = ordinary(draw, 15)
    found = found_of(case)
    if found is None or not case["at_most"]:
        return
    gone = draw.choice(sorted(case["at_most"]))
    wider = found_of({**case, "at_most": {n: p for n, p in case["at_most"].items() if n != gone}})
    for tight, loose in zip(found.rows, wider.rows, strict=True):
        assert loose.least.exact <= tight.least.exact <= tight.most.exact <= loose.most.exact


def test_sums_that_do_not_move_a_bound_leave_its_rule():
    """By hand: the anchor alone holds what follows at 1 %; a sum of 3 over two of them changes nothing."""
    more = {"at_most": {"X": "1"}, "sums": [{"names": ["C", "D"], "most": "3"}]}
    for law in ("eu", "us"):
        row = bounds_of(label_order(["A", "B", "X", "C", "D"], law=law, **more)).of("C")
        assert (row.most.exact, row.most.rule) in {(1, "cap"), (1, "line")}
        assert row.most.by in {"X", ""}


def test_which_rule_makes_a_bound():
    """By hand: the anchor makes all names after it at most 1 %, the claim lifts all before it."""
    found = bounds_of(label_order(["A", "B", "C", "D"], law="eu", at_most={"C": "0.8"}, at_least={"B": "5"}))
    assert "C holds at most 0.8 %" in because(found, "C", "most")
    assert "B holds at least 5 %" in because(found, "A", "least") or "C holds" in because(found, "A", "least")
    assert found.of("D").most.exact == 1
    assert "1 % line" in because(found, "D", "most") or "0.8" in because(found, "D", "most")
    assert because(found, "D", "least") == "it only has to be there"


def test_sixty_names_in_five_milliseconds_and_a_thousand_times_faster_than_programs():
    """60 names without sums in at most 5 ms (the best of several, as the machine is shared), at least 1,000 times
    faster than linear programs over every place."""
    case = near_sum(random.Random(4), 1) | {"names": [f"N{i}" for i in range(60)], "colours_last": 0, "law": "eu"}
    case |= {"at_most": {"N0": "85", "N30": "1"}, "at_least": {"N3": "4"}}
    order = made(case)
    ours = min(_timed(lambda: bounds_of(order)) for _ in range(30))
    assert ours < 0.005
    rows = rows_of(case, 20)
    upper = [
        (np.array(a, float) * (1 if s == "<=" else -1), float(b[0]) * (1 if s == "<=" else -1))
        for a, s, b in rows
        if s != "="
    ]
    matrix, right = np.array([a for a, _ in upper]), [b for _, b in upper]
    aim = np.zeros(60)
    aim[7] = 1
    one = min(
        _timed(lambda: linprog(aim, A_ub=matrix, b_ub=right, A_eq=np.ones((1, 60)), b_eq=[100], method="highs"))
        for _ in range(3)
    )
    programs = 120 * len(bounds_of(order).line_after)
    assert programs * one > 1000 * ours


@pytest.mark.parametrize(
    ("sums", "capped"),
    [
        ([{"names": ["N1", "N3", "N5"], "least": "5", "most": "20"}], {}),
        ([{"names": [f"N{i}" for i in range(2, 12)], "least": "10", "most": "30"}], {"N20": "1"}),
        ([{"names": ["N1", "N3"], "most": "20"}, {"names": ["N3", "N40"], "least": "10"}], {"N0": "30"}),
    ],
)
def test_sums_that_trade_along_58_names_take_no_seconds(sums, capped):
    """A tenth of a second here; linear programs for every bound at every place would be 6,600 of some ms each. The
    bounds that were found are held: each by a composition, so the group's own most is not passed by its names."""
    order = label_order([f"N{i}" for i in range(58)], at_most=capped, sums=sums)
    start = time.process_time()
    found = bounds_of(order)
    assert time.process_time() - start < 1
    assert found.way == PROGRAMS
    for one in sums:
        low, high = together(order, one["names"])
        assert Fraction(one.get("least", 0)) <= low.exact <= high.exact <= Fraction(one.get("most", 100))
        assert all(found.of(n).most.exact <= high.exact for n in one["names"])


def _timed(call) -> float:
    start = time.perf_counter()
    call()
    return time.perf_counter() - start


@pytest.mark.parametrize(
    ("names", "more", "fault"),
    [
        ([], {}, LabelError),
        (["A", ""], {}, LabelError),
        (["A", "a "], {}, LabelError),
        ([f"N{i}" for i in range(200)], {}, LabelError),
        (["A", "B"], {"law": "mars"}, LabelError),
        (["A", "B"], {"at_most": {"C": 1}}, LabelError),
        (["A", "B"], {"at_most": {"A": "ten"}}, QuantityError),
        (["A", "B"], {"at_most": {"A": 101}}, QuantityError),
        (["A", "B"], {"sums": [{"names": ["A", "C"], "most": 3}]}, LabelError),
    ],
)
def test_bad_lists_are_refused_in_a_sentence(names, more, fault):
    with pytest.raises(fault) as caught:
        label_order(names, **more)
    assert len(str(caught.value)) > 20
