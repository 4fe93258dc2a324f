"""One base in many scents as a maker reads it: what each part takes, which allergens its label names, what stays over, what it costs."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import replace

import pandas as pd

from maker_kit.errors import NoticeError
from maker_kit.findings import Finding, know
from maker_kit.formula.changes.split import UNSCENTED, ScentPart
from maker_kit.numbers import typed_number
from maker_kit.plan.scents import SplitPlan, base_in_g, plan_split
from maker_kit.workbook.charts import split as charts_split
from maker_kit.workbook.charts.picture import Picture, Still
from maker_kit.workbook.shown.sheets import Sheet, findings_sheet, percent
from maker_kit.workshop import Workshop

Share = tuple[str, float, int]
"""Scent (empty or "unscented" for none), load of the whole [%], containers."""
_BETWEEN = re.compile(r"[;\n]|,(?!\d)")


def read_shares(text: str) -> tuple[Share, ...]:
    """Scent, load and containers of each part, from ``Scent 1: 0.8: 10, Scent 2: 0.6: 8``.

    Raises
    ------
    NoticeError
        If a part is not written so.
    """
    shares = []
    for part in filter(None, (p.strip() for p in _BETWEEN.split(text))):
        pieces = [piece.strip() for piece in part.rsplit(":", 2)]
        try:
            name, load, count = pieces
            shares.append((name, float(typed_number(load.removesuffix("%"), "a load", "0.8")), int(count)))
        except ValueError as error:
            msg = f'"{part}" is no share: write scent, load in % of the whole and containers, as in "Scent 1: 0.8: 10"'
            raise NoticeError(msg) from error
    return tuple(shares)


def split(workshop: Workshop, recipe: str, shares: str | Sequence[Share], have: str = "") -> SplitPlan:
    """One base into many scents.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
    shares : str or sequence of (str, float, int)
        Scent, load of the whole [%] and containers of each part; a text as `read_shares` takes it.
    have : str
        The base there is, such as ``2 gallons``; empty where it is not known.

    Returns
    -------
    SplitPlan

    Raises
    ------
    MakerKitError
        As `read_shares`, `maker_kit.plan.scents.base_in_g` and `maker_kit.plan.scents.plan_split` do.
    """
    parts = read_shares(shares) if isinstance(shares, str) else shares
    wanted = [("" if name.strip() == UNSCENTED else name, load, count) for name, load, count in parts]
    return plan_split(workshop, recipe, wanted, base_in_g(workshop, recipe, have))


def split_sheet(planned: SplitPlan) -> Sheet:
    """What each part takes and what its label names."""
    rows = [
        {
            "scent": part.scent,
            "containers, labels": str(part.containers),
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
    return Sheet(
        pd.DataFrame(rows),
        left=("scent", "allergens its label names", "notes"),
        widths={"scent": "9%", "allergens its label names": "26%", "notes": "9%"},
    )


def split_words(planned: SplitPlan) -> Sheet:
    """The base of all parts together, what stays over, the labels, and what it costs."""
    split_, left = planned.split, planned.split.remainder_g
    over = (
        "unknown: how much base there is was not said"
        if left is None
        else f"{left:,.1f} g stay over"
        if left >= 0
        else f"{-left:,.1f} g are missing"
    )
    thresholds = dict.fromkeys(
        f"{a.threshold_percent:g} % of the whole: {a.source}" for part in split_.parts for a in part.allergens
    )
    rows = [
        ("base for all parts together", f"{split_.base_g:,.1f} g = {split_.base_ml:,.0f} mL"),
        ("of the base there is", over),
        ("labels", str(split_.labels)),
        ("what you pay", _paid(planned)),
        ("what it uses up", _used(planned)),
        ("a label names an allergen above", "; ".join(thresholds) or "no listed allergen is on file in these scents"),
    ]
    return Sheet(pd.DataFrame(rows, columns=["all parts", "together"]), left=("all parts", "together"))


def split_notes(planned: SplitPlan) -> Sheet:
    """What to stop for and to look at, each note once with the scents that it holds for."""
    return findings_sheet(
        _together(f for f in planned.split.findings if f.kind != "know")
        or (
            know(
                "split.note",
                planned.split.title,
                "Nothing to stop for or to look at was found in the tables on file. That is not a promise that it is safe.",
            ),
        )
    )


def split_picture(planned: SplitPlan) -> Still:
    """The base that each scent takes, and what stays over."""
    return Still(
        Picture(charts_split.draw_split, 9.4, charts_split.split_height).png(planned.split),
        charts_split.words_of_split(planned.split),
    )


def _most(part: ScentPart) -> str:
    if part.ceiling is None:
        return "–"
    return "unknown" if part.ceiling.percent is None else percent(part.ceiling.percent)


def _allergens(part: ScentPart) -> str:
    named = [
        f"{a.substance} (up to {percent(a.high_percent)} %)"
        if a.level == "over"
        else f"{a.substance} (amount unknown: ask the supplier)"
        for a in part.allergens
        if a.on_label
    ]
    return "; ".join(named) or "none on file is over its threshold"


def _counts(findings: Iterable[Finding]) -> str:
    kinds = [f.kind for f in findings]
    return f"■\u00a0{kinds.count('stop')}\u00a0stop, ▲\u00a0{kinds.count('look')}\u00a0look"


def _paid(planned: SplitPlan) -> str:
    cash = _cost(planned, planned.cost.cash)
    return (
        f"{cash}; the base that is there is taken off, it is not bought again"
        if planned.split.have_base_g and planned.cost.cash_micros is not None
        else cash
    )


def _used(planned: SplitPlan) -> str:
    used = _cost(planned, planned.cost.used)
    if not planned.split.have_base_g:
        return used
    if planned.cost.there_micros is None:
        return f"{used}; what the base that is there cost is not known"
    taken = min(planned.split.have_base_g, planned.split.base_g)
    return f"{used}; of it {planned.cost.there} {planned.currency} for the {taken:,.1f} g of base that are there, valued at what they would cost today"


def _cost(planned: SplitPlan, amount: str) -> str:
    return f"{amount} {planned.currency}" if amount != "unknown" else f"unknown: {planned.cost.why_not}"


def _together(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Notes that differ only in the scent they are about, once."""
    found: dict[tuple[str, ...], list[tuple[str, Finding]]] = {}
    for f in findings:
        scent, colon, about = f.subject.partition(": ")
        scent, about = (scent, about) if colon else ("", f.subject)
        text, step = (words.replace(scent, "{scent}") if scent else words for words in (f.text, f.next_step))
        found.setdefault((f.kind, f.level, f.topic, about, text, step, f.source), []).append((scent, f))
    together = []
    for (_, _, _, about, text, step, _), same in found.items():
        scents = list(dict.fromkeys(scent for scent, _ in same))
        who = scents[0] if len(scents) == 1 else "each of these scents"
        subject = f"{', '.join(scents)}: {about}" if scents[0] else about
        together.append(
            replace(
                same[0][1], subject=subject, text=text.replace("{scent}", who), next_step=step.replace("{scent}", who)
            )
        )
    return tuple(together)
