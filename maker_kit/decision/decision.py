"""The decision: one page's worth of facts on a recipe, and what the written rules make of them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from maker_kit.decision.card import CardRow, card_rows
from maker_kit.decision.filed import as_listed
from maker_kit.decision.gate import gate
from maker_kit.decision.gate_step import GATES, Gate
from maker_kit.decision.hangs_on import Hang, hangs_on
from maker_kit.decision.money import Money, amount_of, money
from maker_kit.decision.rules import APART_RULE, COMPARING, Facts, Ruled, compared, ruled
from maker_kit.findings import Finding, in_order
from maker_kit.money import MICROS_PER_CENT
from maker_kit.plan.costs import CurveView
from maker_kit.plan.judged import Judged, judge_recipes
from maker_kit.plan.log.kept import kept_record
from maker_kit.plan.plan import Plan, Unpriced
from maker_kit.plan.sensitivity import Sensitivity
from maker_kit.plan.shopping.purchases import Purchase
from maker_kit.workshop.judged_targets import card_of, judged_targets


@dataclass(frozen=True)
class Decision:
    """Shall I make it? Everything the answer stands on.

    Attributes
    ----------
    plan : Plan
        As set, at the count looked at.
    judged : Judged
    card : tuple of CardRow
    card_version : int or None
        Of the target card; None where there is none.
    money : Money
    hangs_on : tuple of Hang
    gate : Gate
    rules : tuple of Ruled
        Every rule with what it said; one decides.
    bought : Purchase or None
        The shopping list; None where the cost is unknown.
    money_upto : int
        Up to how many containers the counts that pay were looked at; 0 where the cost is unknown.
    """

    plan: Plan
    judged: Judged
    card: tuple[CardRow, ...]
    card_version: int | None
    money: Money
    hangs_on: tuple[Hang, ...]
    gate: Gate
    rules: tuple[Ruled, ...]
    bought: Purchase | None = None
    money_upto: int = 0

    @property
    def decided_by(self) -> Ruled:
        """The first rule that holds."""
        return next(said for said in self.rules if said.decides)

    @property
    def verdict(self) -> str:
        """``make``, ``buy``, ``change``, ``do not use`` or ``not yet``."""
        return self.decided_by.rule.verdict

    @property
    def waits(self) -> str:
        """Which steps apart it waits for, in words; empty where it waits for none."""
        named = [GATES[step.step] for step in self.gate.waits]
        return f"it waits for its {' and its '.join(named)}" if named else ""

    @property
    def because(self) -> str:
        """Why, in words: when the rule that decides holds, and which gate it waits for where that decides."""
        rule = self.decided_by.rule
        return f"{self.waits}, and is not to be used before that is open" if rule.code == APART_RULE else rule.words

    @property
    def risks(self) -> tuple[Finding, ...]:
        """What is to be looked at on purpose, and what is unknown."""
        return tuple(f for f in self.judged.notes if f.kind == "look" or (f.kind == "know" and f.level == "unknown"))

    @property
    def saves(self) -> bool | None:
        """Whether ours costs no more than the shop's; None where nobody knows."""
        pair = self.money.pair(self.money.by_use)
        return None if pair is None else pair[0] <= pair[1]

    def sentence(self) -> str:
        """The answer in a sentence."""
        return f"{self.plan.recipe.title}: {self.verdict}, because {self.because}."

    def beside(self) -> tuple[str, ...]:
        """What is said beside the verdict and its rows: what it costs, what that hangs on, what is apart from money."""
        said = []
        if self.waits and self.decided_by.rule.code != APART_RULE:
            said.append(f"Apart from that, {self.waits}, and is not to be used before that is open.")
        if self.decided_by.rule.code not in COMPARING:
            said.append(compared(self.money))
        if self.saves and self.decided_by.rule.code == "must_missed":
            said.append("It is cheaper, and still not what was wanted.")
        others = [price.line.name for price in self.money.prices if not price.fair and price.pays is False]
        if others and self.saves:
            said.append(f"That depends on the price: against {', '.join(others)} ours is dearer.")
        left = self.money.left
        pair = (self.money.each_cash_micros, self.money.fair_micros)
        if left is not None and None not in pair and self.saves and pair[0] > pair[1]:
            said.append("It holds only if what is left over is used: all that is paid comes to more than the shop's.")
        intent = self.money.intent
        worth = intent.worth_it_for if intent else ""
        said.append(
            f"Apart from money, by the maker's own word, it is worth it for: {worth}. No rule reads this."
            if worth
            else "Nothing is on file of what making it is worth apart from money, such as control or pleasure."
        )
        return tuple(said)

    def record(self) -> dict[str, Any]:
        """It as plain values for other programs; money in the workshop's currency, percent by mass of the whole."""

        def shown(micros: Any, per_use: bool = False) -> float | None:
            return None if micros is None else float(amount_of(micros, per_use))

        cash, left, recipe = self.money, self.money.left, self.plan.recipe
        return {
            "recipe": recipe.name,
            "title": recipe.title,
            "version": recipe.version,
            "market": self.gate.market,
            "law_as_of": self.gate.law_as_of,
            "verdict": self.verdict,
            "rule": self.decided_by.rule.code,
            "answer": self.sentence(),
            "waits_for": [step.step for step in self.gate.waits],
            "because": [row.text for row in self.decided_by.rows],
            "beside": list(self.beside()),
            "rules": [
                {"rule": said.rule.code, "verdict": said.rule.verdict, "when": said.rule.words, "decides": said.decides}
                | {"rows": [{"part": row.part, "text": row.text} for row in said.rows]}
                for said in self.rules
            ],
            "card_version": self.card_version,
            "card": [
                {"must_have": row.target.must_have, "weight": row.target.weight, "measure": row.target.measure}
                | {"answer": row.target.answer, "met": row.met, "result": row.result, "rests_on": list(row.rests_on)}
                for row in self.card
            ],
            "currency": self.plan.currency,
            "batch_size": self.plan.batch_size,
            "batches": self.plan.batches,
            "containers": self.plan.containers,
            "containers_used_in_time": cash.used_containers,
            "paid": shown(left.cash_micros if left else None),
            "used_up": shown(left.used_micros if left else None),
            "used_up_and_expiring": shown(left.used_plus_expiring_micros if left else None),
            "one_container": shown(cash.each_micros),
            "one_container_in_the_shop": shown(cash.fair_micros),
            "one_use": shown(cash.use_micros, True),
            "one_use_in_the_shop": shown(cash.shop_use_micros, True),
            "unknown": list(cash.why),
            "shop_prices": [
                {
                    "name": p.line.name,
                    "price": shown(p.line.price_cents * MICROS_PER_CENT),
                    "fair": p.fair,
                    "pays": p.pays,
                }
                | {"counts_that_pay": [[a * self.plan.batch_size, b * self.plan.batch_size] for a, b in p.line.pays]}
                for p in cash.prices
            ],
            "hangs_on": [
                {"input": row.name, "low": row.low, "high": row.high, "turns": row.turns}
                | {"one_container_low": shown(row.low_micros), "one_container_high": shown(row.high_micros)}
                for row in self.hangs_on
            ],
            "risks": [
                {"kind": f.kind, "code": f.code, "about": list(f.about), "text": f.text, "source": f.source}
                for f in self.risks
            ],
            "gate": [
                {"step": step.step, "answer": step.answer, "waits_for": list(step.waits_for)}
                | {
                    "needs": [
                        {"code": n.code, "asked": n.asked, "state": n.state, "because": n.because, "who": n.who}
                        | {"next_step": n.next_step, "source": n.source, "rests_on": list(n.rests_on)}
                        for n in step.needs
                    ]
                }
                for step in self.gate.steps
            ],
        }


def decide(
    plan: Plan,
    bought: Purchase | Unpriced,
    view: CurveView | Unpriced,
    *,
    moved: Sensitivity | Unpriced | None = None,
) -> Decision:
    """The decision on one plan, by the written rules of `maker_kit.decision.rules`.

    Parameters
    ----------
    plan : Plan
    bought : Purchase or Unpriced
    view : CurveView or Unpriced
        With the counts that pay.
    moved : Sensitivity or Unpriced, optional
        What moves the verdict, where it was worked out before; of the same plan.

    Returns
    -------
    Decision
        The same for the same tables and settings: nothing of it hangs on the clock.
    """
    workshop, recipe = plan.workshop, plan.recipe
    (judged,) = judge_recipes(workshop, [recipe])
    of_this_batch = [f for f in (*plan.findings, *plan.cautions) if f.kind == "stop" and f not in judged.findings]
    judged = replace(judged, findings=in_order((*judged.findings, *of_this_batch)))
    targets = judged_targets(workshop, recipe.name)
    card = card_of(workshop, recipe.name)
    costs = money(plan, bought, view)
    rows = card_rows(targets, costs, tried=as_listed(workshop, recipe))
    passed = gate(workshop, recipe, judged, targets, kept_record(workshop, workshop.recipes.get(recipe.name, recipe)))
    said = ruled(Facts(judged, passed, rows, costs))
    hangs = hangs_on(costs, moved if isinstance(moved, Sensitivity) else None)
    upto = 0 if isinstance(view, Unpriced) else view.containers[-1]
    paid = None if isinstance(bought, Unpriced) else bought
    version = card.version if card else None
    return Decision(plan, judged, rows, version, costs, hangs, passed, said, paid, upto)
