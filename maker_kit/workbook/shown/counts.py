"""The curve in words: the counts that pay, how far it is proved, what one container costs at the count looked at."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from maker_kit.buying.counts_that_pay import intervals
from maker_kit.formula.batch import counted
from maker_kit.plan.costs import CurveView
from maker_kit.workbook.amounts import money, spans
from maker_kit.workbook.charts.make_or_buy import Runs, runs_in_containers
from maker_kit.workbook.shown.answers import invented_words

MOST_RUNS = 3
"""So many runs of open counts are named; the others are counted."""


def counts_in_words(pays: Runs, not_known: Runs) -> str:
    """Counts that pay and counts of which it is not known yet: ``8, 10–48; not known yet: 9``; empty where no count
    does or may.
    """
    return "; ".join(filter(None, (spans(pays), f"not known yet: {spans(not_known)}" if not_known else "")))


def open_words(view: CurveView) -> str:
    """How far the curve is proved, what is open, and why it stays so where the time was up."""
    size, open_ = view.plan.batch_size, set(view.curve.open_counts)
    if not open_:
        return "Every count is proved."
    counts = view.curve.counts
    runs = [(a * size, b * size) for a, b in intervals(counts, tuple(n in open_ for n in counts))]
    late = any(point.late for point in view.curve.points)
    why = "the time was up; look at fewer counts or allow more" if late else "what is crossed"
    bounds = [(point.lower_micros, point.upper_micros) for point in view.curve.points if point.count in open_]
    widest = max((1 if high is None else 1 - Fraction(low, high or 1) for low, high in bounds), default=0)
    within = f", each known to within {math.ceil(1000 * widest) / 10:g} %" if widest < 1 else ""
    return f"{len(open_)} of {len(counts)} counts are not proved yet ({few_spans(runs)}){within}: {why}."


def few_spans(runs: Sequence[tuple[int, int]]) -> str:
    """The first intervals of counts in words, and how many more there are: ``8, 10–12, 14 and 2 more runs``."""
    more = len(runs) - MOST_RUNS
    return spans(runs[:MOST_RUNS]) + (f" and {more} more run{'s' * (more > 1)}" if more > 0 else "")


def curve_answer(view: CurveView) -> str:
    """What one container costs at the count looked at and in the shop, and the counts that pay; what is not proved is
    said to be not known yet: ``12 containers: 6.48 EUR each, 7.20 in the shop; pays at 8 and from 10 on``.
    """
    plan, last = view.plan, view.containers[-1]
    of = f" ({plan.batches} batches of {plan.batch_size})" if plan.batch_size > 1 else ""
    words = f"{counted(plan.containers)}{of}: {_each_in_words(view)}"
    for line in view.shop_lines[:1]:
        pays, unknown = runs_in_containers(view, line)
        upto = "" if unknown else f" (looked at up to {last})"  # with both, the line would not stay one
        said = [f"pays {pays_in_words(pays, view.containers)}{upto}"] if pays else []
        said += [f"not known yet at {few_spans(unknown)}"] if unknown else []
        words += f", {line.price:.2f} in the shop; " + ("; ".join(said) or f"does not pay up to {last}")
    point = view.curve.at(plan.batches) if plan.batches <= view.curve.counts[-1] else None
    return words + invented_words(plan, point.basket if point else None)


def _each_in_words(view: CurveView) -> str:
    """What one container costs at the count looked at, own time included."""
    plan = view.plan
    point = view.curve.at(plan.batches) if plan.batches <= view.curve.counts[-1] else None
    if point is not None and point.impossible:
        return "not to be had from these suppliers"
    if point is None or point.cost_micros is None:
        return "not known yet"
    each = money(Fraction(point.cost_micros + view.own_batch_micros * plan.batches) / plan.containers)
    words = f"{each} {view.currency} each{' with your own time' if view.own_batch_micros else ''}"
    return words + cupboard_words(view)


def cupboard_words(view: CurveView) -> str:
    """That the cupboard was asked first, and what one container of the count looked at uses up all the same; empty
    where it was not.
    """
    if view.without is None:
        return ""
    used = view.used_cost_micros[view.plan.batches - 1] if view.plan.batches <= view.curve.counts[-1] else None
    worth = "not known yet" if used is None else f"worth {money(Fraction(used) / view.plan.containers)}"
    return f" still to pay, cupboard first (it uses up what is {worth})"


def pays_in_words(runs: Sequence[tuple[int, int]], counts: Sequence[int]) -> str:
    """Counts that pay, in words: ``at 8 and from 10 on``, ``at every count``; empty where none does."""
    if tuple(runs) == ((counts[0], counts[-1]),) and len(counts) > 1:
        return "at every count"
    last = [f"from {first} on" for first, end in runs if end == counts[-1] and first != end]
    at = spans(run for run in runs if run[1] != counts[-1] or run[0] == run[1])
    return " and ".join(([f"at {at}"] if at else []) + last)
