"""What came is put into the cupboard: one lot a thing, with what list, label and scale say of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from maker_kit.bench.log import BenchLog
from maker_kit.errors import UnknownNameError
from maker_kit.findings import PRACTICE, Finding, in_order, look, stop
from maker_kit.formula.changes.received import Received
from maker_kit.formula.kinds import is_scent
from maker_kit.formula.recipe import Ingredient
from maker_kit.names import name_key, near_miss

DAYS_A_MONTH = 30.4375


@dataclass(frozen=True)
class PutAway:
    """What was written down of a delivery.

    Attributes
    ----------
    lots : Mapping of str to str
        Thing → code of its lot.
    findings : tuple of Finding
        ``came.past_date`` (stop), ``came.no_paper`` (look): a scent without a certificate, ``came.short_lived`` (look):
        it goes off before the product would, ``came.no_date`` (look).
    """

    lots: Mapping[str, str]
    findings: tuple[Finding, ...]


def put_away(
    log: BenchLog,
    came: Received,
    on: date,
    ingredients: Mapping[str, Ingredient],
    *,
    codes: Mapping[str, str] | None = None,
    best_before: Mapping[str, date] | None = None,
    certificates: frozenset[str] = frozenset(),
    supplier: str = "",
    keeps_months: float | None = None,
) -> PutAway:
    """Write a delivery into the log, all of it or nothing: one lot for each ingredient that came.

    Parameters
    ----------
    log : BenchLog
    came : Received
        As it was checked; what did not come, and what is counted in pieces, gets no lot.
    on : date
    ingredients : Mapping of str to Ingredient
        By name, for what is a scent.
    codes : Mapping of str to str, optional
        The numbers that stand on the bottles, by thing; a thing without one is given one, such as ``2026-11-02/3``.
    best_before : Mapping of str to date, optional
    certificates : frozenset of str
        Things that came with one.
    supplier : str
    keeps_months : float or None
        Of the recipe [months].

    Returns
    -------
    PutAway

    Raises
    ------
    UnknownNameError
        If a number, date or certificate is of something that did not come.
    QuantityError
        If a lot of that number is in the log already, or an amount cannot be.
    """
    there = {name_key(r.item): r for r in came.rows if r.unit == "g" and _came(r)}
    codes = _of(codes or {}, there)
    best_before = _of(best_before or {}, there)
    papers = frozenset(_of(dict.fromkeys(certificates, True), there))
    taken = {row["code"].casefold() for row in log.now("lot")}
    rows, lots, found, number = [], {}, [], 0
    for key, row in there.items():
        code = codes.get(key, "").strip()
        while not code or (key not in codes and code.casefold() in taken):
            number += 1
            code = f"{on.isoformat()}/{number}"
        taken.add(code.casefold())
        lots[row.item], until = code, best_before.get(key)
        rows.append(
            {
                "code": code,
                "item": row.item,
                "supplier": supplier or None,
                "listed_mg": _milligrams(row.listed),
                "label_mg": _milligrams(row.label),
                "scale_mg": _milligrams(row.found),
                "received_on": on.isoformat(),
                "best_before": until.isoformat() if until else None,
                "certificate": True if key in papers else None,
            }
        )
        found += _notes(row.item, until, on, keeps_months)
        if row.item in ingredients and is_scent(ingredients[row.item]) and key not in papers:
            text = f"{row.item} came without a certificate: what most of it may go in is not known from its supplier."
            found.append(
                look(
                    "came.no_paper",
                    row.item,
                    text,
                    level="unknown",
                    next_step="Ask for the certificate.",
                    source=PRACTICE,
                )
            )
    log.add_all("lot", rows)
    return PutAway(lots, in_order(found))


def _notes(item: str, until: date | None, on: date, keeps_months: float | None) -> list[Finding]:
    if until is None:
        text = f"{item} has no best-before date on file: how long what is made of it keeps is not known from it."
        return [look("came.no_date", item, text, level="unknown", next_step="Read the label.", source=PRACTICE)]
    if until < on:
        text = f"{item} is past its date, {until}: it is not stock."
        return [stop("came.past_date", item, text, level="over", next_step="Send it back.", source=PRACTICE)]
    months = (until - on).days / DAYS_A_MONTH
    if keeps_months is not None and months < keeps_months:
        text = f"{item} is good until {until}, {months:.1f} months: the product keeps no longer, not {keeps_months:g}."
        step = "Write the shorter date on the label, or take another lot."
        return [look("came.short_lived", item, text, level="near", next_step=step, source=PRACTICE)]
    return []


def _came(row) -> bool:
    return any(value is not None and value > 0 for value in (row.listed, row.label, row.found)) and row.found != 0


def _milligrams(grams: float | None) -> int | None:
    return None if grams is None else round(grams * 1000)


def _of(given: Mapping[str, object], there: Mapping[str, object]) -> dict:
    for name in given:
        if name_key(name) not in there:
            raise UnknownNameError(
                f'"{name}" is not among what came; {near_miss(name, [r.item for r in there.values()])}'
            )
    return {name_key(name): value for name, value in given.items()}
