"""What is in the cupboard: what was received less what was used, lot by lot. What is past its date is not stock."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import pandas as pd

from maker_kit.bench.log import BenchLog


@dataclass(frozen=True)
class LotLeft:
    """One lot and what is left of it.

    Attributes
    ----------
    code, item, supplier : str
    received_g : float or None
        As the scale shows, else as the label says, else as the list says [g]; None where nobody wrote it down.
    by : {'scale', 'label', 'list', ''}
        Which of them it is.
    used_g : float
        Over all weighings [g].
    left_g : float or None
        [g]; None where it is not known what was received; never below 0.
    best_before : str
        A date; empty where it is not known.
    expired : bool
        Whether that date lies before the day that was asked about.
    certificate : bool or None
    """

    code: str
    item: str
    supplier: str
    received_g: float | None
    by: str
    used_g: float
    left_g: float | None
    best_before: str
    expired: bool
    certificate: bool | None


def lots_of(log: BenchLog, today: date, *, code: str = "", item: str = "") -> tuple[LotLeft, ...]:
    """The lots of the log and what is left of each.

    Parameters
    ----------
    log : BenchLog
    today : date
        For what is past its date.
    code, item : str
        Only this lot, or only lots of this ingredient.

    Returns
    -------
    tuple of LotLeft
        The one that goes off first comes first; without a date, last.

    Raises
    ------
    UnknownNameError
        If there is no lot of that code.
    """
    where = {"id": log.root_of("lot", code)} if code else {}
    used = {r["lot"]: r["mg"] for r in log.ask("SELECT lot, sum(mass_mg) AS mg FROM now_weighing GROUP BY lot")}
    lots = []
    for row in log.now("lot", **where):
        if item and row["item"].casefold() != item.casefold():
            continue
        by, mg = next(
            ((name, row[f"{name}_mg"]) for name in ("scale", "label") if row[f"{name}_mg"] is not None),
            ("list", row["listed_mg"]),
        )
        spent = used.get(row["id"], 0)
        lots.append(
            LotLeft(
                row["code"],
                row["item"],
                row["supplier"] or "",
                None if mg is None else mg / 1000,
                "" if mg is None else by,
                spent / 1000,
                None if mg is None else max(0, mg - spent) / 1000,
                row["best_before"] or "",
                bool(row["best_before"]) and row["best_before"] < today.isoformat(),
                None if row["certificate"] is None else bool(row["certificate"]),
            )
        )
    return tuple(sorted(lots, key=lambda lot: (not lot.best_before, lot.best_before, lot.code)))


def stock(log: BenchLog, today: date) -> dict[str, float]:
    """What there is of each ingredient [g]: over all lots that are not past their date and whose amount is known."""
    there: dict[str, float] = {}
    for lot in lots_of(log, today):
        if lot.left_g and not lot.expired:
            there[lot.item] = there.get(lot.item, 0.0) + lot.left_g
    return there


def stock_frame(lots: tuple[LotLeft, ...]) -> pd.DataFrame:
    """The lots as a table, one a row."""
    rows = [
        (x.item, x.code, x.received_g, x.by, x.used_g, x.left_g, x.best_before, "past its date" if x.expired else "")
        for x in lots
    ]
    heads = ["ingredient", "lot", "received g", "by the", "used g", "left g", "best before", "note"]
    return pd.DataFrame(rows, columns=heads)
