"""The costing report as a page to hand over: the answer in a sentence, what to make, notes with numbered sources."""

from __future__ import annotations

import html
from dataclasses import replace
from fractions import Fraction

from maker_kit.buying.invented import invented_in_list
from maker_kit.formula.annexes.state import law_as_of
from maker_kit.formula.batch import counted
from maker_kit.plan.costs import CurveView
from maker_kit.plan.marks import ShopLine
from maker_kit.plan.plan import Plan, make_plan
from maker_kit.plan.sensitivity import BarEnd, Sensitivity
from maker_kit.plan.shopping.purchases import Purchase
from maker_kit.visible import NO_FORMULA
from maker_kit.workbook.amounts import money, spans
from maker_kit.workbook.shown.answers import faults_told
from maker_kit.workbook.shown.counts import open_words
from maker_kit.workbook.shown.formula import overview
from maker_kit.workbook.shown.make_or_buy import or_why
from maker_kit.workbook.shown.sheets import SIGNS, Sheet


class Words:
    """Sentences that show themselves in a notebook, a page or a text, escaped: the first large, the others small.

    Parameters
    ----------
    *sentences : str
    """

    def __init__(self, *sentences: str) -> None:
        self.sentences = sentences

    def _repr_html_(self) -> str:
        marks = ("answer", *("under-answer" for _ in self.sentences[1:]))
        return "".join(
            f'<p class="{m} {NO_FORMULA}">{html.escape(s)}</p>' for m, s in zip(marks, self.sentences, strict=True)
        )

    def __repr__(self) -> str:
        return "\n".join(self.sentences)


def law_date() -> str:
    """Of what day the law in the tables is (ISO date)."""
    return law_as_of()


def whole_order(plan: Plan) -> Plan:
    """What is made for the count looked at: batches of one container as one batch of them all, others as they are.

    Parameters
    ----------
    plan : Plan

    Returns
    -------
    Plan
        Judged and weighed out again where the batch grew: what is too small for the scale in one jar may not be in
        twelve. Its costs are not asked: they stay those of `plan`.
    """
    if plan.batch_size > 1 or plan.batches == 1:
        return plan
    return make_plan(plan.workshop, plan.recipe, batch_size=plan.batches, batches=1)


@or_why
def verdict(bought: Purchase, view: CurveView, made: Plan) -> Words:
    """What one container costs, what the shop asks for as much, the counts that pay, and how many stops there are.

    Parameters
    ----------
    bought : Purchase
    view : CurveView
        With own time where that counts.
    made : Plan
        What is made: see `whole_order`.

    Returns
    -------
    Words
    """
    own_micros = Fraction(view.own_batch_micros) / view.plan.batch_size
    each = money(bought.unit_cash_micros + own_micros)
    answer = f"{counted(bought.plan.containers)}: {each} {view.currency} each"
    if view.shop_lines:
        line, last = view.shop_lines[0], view.containers[-1]
        answer += f", {line.price:.2f} in the shop ({line.name}); "
        answer += _pays(line, view.plan.batch_size, last)
    else:
        answer += "; no price of the shop is on file, so nobody can say from what count it pays"
    batch = counted(bought.plan.batch_size)
    time = (
        f"With {money(own_micros)} own time in each, as for batches of {batch}."
        if own_micros
        else "Own time is not counted."
    )
    stops, looks = len(made.of_kind("stop")), len(made.of_kind("look"))
    grave = (
        f"{SIGNS['stop']}{'' if stops == 1 else 's'}: {stops}. Do not make or give it as it stands."
        if stops
        else "No stop was found in the tables on file."
    )
    invented = invented_in_list(bought.plan.market, bought.basket).words()
    marked = f"▲ {invented[0].upper()}{invented[1:]}: this is no real cost yet." if invented else ""
    open_ = f" {open_words(view)}" if view.curve.open_counts else ""
    told = f"{grave} {looks} to look at. {time}{open_}"
    return Words(f"{answer}.", *filter(None, (marked, told)), *faults_told(made.workshop))


def _pays(line: ShopLine, size: int, last: int) -> str:
    """The counts that pay in words, of containers, and those of which that is not known yet."""
    places = []
    unknown = spans((size * a, size * b) for a, b in line.not_known)
    for low, high in ((size * a, size * b) for a, b in line.pays):
        if high == last and low < high:
            places.append(f"from {low} on")
        else:
            places.append(f"at {low}" if low == high else f"from {low} to {high}")
    open_ = f"whether it pays is not known yet at {unknown}" if unknown else ""
    if not places:
        return open_ or f"it pays at no count up to {last}"
    said = " and ".join(filter(None, (", ".join(places[:-1]), places[-1])))
    return "; ".join(filter(None, (f"pays {said} (looked at up to {last})", open_)))


def facts_sheet(made: Plan) -> Sheet:
    """Of what day the law is, and what is planned."""
    return Sheet([("law in the tables, as of", law_date()), *overview(made).rows], columns=["what", "as planned"])


def making_words(made: Plan) -> Words:
    """How many batches of what size make the whole order."""
    if made.batches == 1:
        return Words(f"Make 1 batch of {counted(made.batch_size)}: {made.batch_mass_g:,.1f} g in all.")
    whole = made.batches * made.batch_mass_g
    return Words(
        f"Make {made.batches} batches of {counted(made.batch_size)}, each weighed out as below: "
        f"{made.batch_mass_g:,.1f} g a batch, {whole:,.1f} g in all."
    )


def in_containers(moves: Sensitivity, batch_size: int) -> Sensitivity:
    """What moves the verdict, with its first counts in containers instead of batches."""

    def end(of: BarEnd) -> BarEnd:
        return replace(of, first=None if of.first is None else of.first * batch_size)

    bars = (replace(bar, low=end(bar.low), high=end(bar.high)) for bar in moves.bars)
    first = None if moves.first is None else moves.first * batch_size
    return replace(moves, first=first, bars=tuple(bars), counted="containers")
