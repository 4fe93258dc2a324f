"""One base in many scents as a maker reads it: what each part takes, the allergens its label names, what it costs."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from maker_kit.findings import Finding, know
from maker_kit.formula.batch import counted
from maker_kit.formula.changes.split import ScentPart, Split
from maker_kit.plan.scents import SplitPlan
from maker_kit.workbook.amounts import percent
from maker_kit.workbook.shown.answers import NOTHING
from maker_kit.workbook.shown.sheets import Sheet, findings_sheet

UNDISCLOSED = "amount unknown: ask the supplier"
ENOUGH = "kit"
"""Topic of the finding that says whether the base is enough; it is about no scent."""


def split_answer(planned: SplitPlan) -> str:
    """How much base the parts take together, and what stays over, in one sentence."""
    split, left = planned.split, planned.split.remainder_g
    scents = "one part takes" if len(split.parts) == 1 else f"{len(split.parts)} parts take"
    words = f"{split.title}, {counted(split.labels)}: {scents} {split.base_g:,.1f} g of base"
    return words if left is None else f"{words}; {abs(left):,.1f} g {'stay over' if left >= 0 else 'are missing'}"


def split_sheet(planned: SplitPlan) -> Sheet:
    """What each part takes and what its label names."""
    rows = [
        {
            "scent": part.scent,
            "containers, labels": part.containers,
            "load [% of the whole]": percent(part.load_percent),
            "load on base [%]": f"{part.load_on_base_percent:.3f}",
            "most of this scent [% of the whole]": _most(part),
            "base [g]": f"{part.base_g:,.1f}",
            "scent [g]": f"{part.scent_g:,.2f}",
            "scent [mL]": "unknown" if part.scent_ml is None else f"{part.scent_ml:,.2f}",
            "allergens its label names": _allergens(part),
            "notes": _counts(part.findings),
        }
        for part in planned.split.parts
    ]
    widths = {"scent": "9%", "allergens its label names": "26%", "notes": "9%"}
    return Sheet(rows, widths, widths)


def totals_sheet(planned: SplitPlan) -> Sheet:
    """The base of all parts together, what stays over, the labels, and what it costs."""
    split, left = planned.split, planned.split.remainder_g
    over = "unknown: how much base there is was not said"
    if left is not None:
        over = f"{abs(left):,.1f} g {'stay over' if left >= 0 else 'are missing'}"
    named = [allergen for part in split.parts for allergen in part.allergens]
    thresholds = dict.fromkeys(f"{a.threshold_percent:g} % of the whole: {a.source}" for a in named)
    rows = {
        "base for all parts together": f"{split.base_g:,.1f} g = {split.base_ml:,.0f} mL",
        "of the base there is": over,
        "labels": split.labels,
        "what you pay": _paid(planned),
        "what it uses up": _used(planned),
        "a label names an allergen above": "; ".join(thresholds) or "no listed allergen is on file in these scents",
    }
    return Sheet(rows.items(), columns=["all parts", "together"])


def split_notes(planned: SplitPlan) -> Sheet:
    """What to stop for and to look at, each note once with the scents that it holds for."""
    nothing = know("split.nothing", planned.split.title, NOTHING)
    return findings_sheet(together(planned.split) or (nothing,))


def _most(part: ScentPart) -> str:
    if part.ceiling is None:
        return "–"
    return "unknown" if part.ceiling.percent is None else percent(part.ceiling.percent)


def _allergens(part: ScentPart) -> str:
    named = [
        f"{a.substance} ({f'up to {percent(a.high_percent)} %' if a.level == 'over' else UNDISCLOSED})"
        for a in part.allergens
        if a.on_label
    ]
    return "; ".join(named) or "none on file is over its threshold"


def _counts(findings: Iterable[Finding]) -> str:
    kinds = [f.kind for f in findings]
    return f"■\u00a0{kinds.count('stop')}\u00a0stop, ▲\u00a0{kinds.count('look')}\u00a0look"


def _paid(planned: SplitPlan) -> str:
    cost = planned.cost
    if cost.cash_micros is None:
        return f"unknown: {cost.why_not}"
    taken_off = "; the base that is there is taken off, it is not bought again" if planned.split.have_base_g else ""
    return f"{cost.cash} {planned.currency}{taken_off}"


def _used(planned: SplitPlan) -> str:
    cost, have, currency = planned.cost, planned.split.have_base_g, planned.currency
    used = f"unknown: {cost.why_not}" if cost.used_micros is None else f"{cost.used} {currency}"
    if not have:
        return used
    if cost.there_micros is None:
        return f"{used}; what the base that is there cost is not known"
    base = f"the {min(have, planned.split.base_g):,.1f} g of base that are there"
    return f"{used}; of it {cost.there} {currency} for {base}, valued at what they would cost today"


def together(split: Split) -> tuple[Finding, ...]:
    """What is a stop or a look; findings of several scents that differ only in what they say are put together."""
    found: dict[tuple[str, ...], list[tuple[str, Finding]]] = {}
    for part in split.parts:
        for f in part.findings:
            found.setdefault((f.kind, f.code, f.level, f.subject, f.source), []).append((part.scent, f))
    together = [
        replace(
            same[0][1],
            subject=f"{', '.join(dict.fromkeys(scent for scent, _ in same))}: {same[0][1].subject}",
            text="\n".join(dict.fromkeys(f.text for _, f in same)),
            next_step="\n→ ".join(dict.fromkeys(f.next_step for _, f in same if f.next_step)),
        )
        for same in found.values()
    ]
    of_the_base = [f for f in split.findings if f.topic == ENOUGH]
    return tuple(f for f in (*together, *of_the_base) if f.kind != "know")
