"""The two tables of one recipe, its lines and its steps: their files, and what is checked of them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from decimal import Decimal

from maker_kit.formula.recipe import LEAST_USUAL_PERCENT, SUM_TOLERANCE_PERCENT
from maker_kit.names import name_key
from maker_kit.workshop.csv.faults import FaultBook, Names
from maker_kit.workshop.csv.records import Record, Records, read_records
from maker_kit.workshop.csv.sources import Tables
from maker_kit.workshop.csv.tables import LINES, STEPS

NAME_RULE = (
    "letters a to z, digits, hyphens and underscores, at most 60, and no device's name such as con: "
    "it is a file's name too"
)
_TINY_IS_USUAL = frozenset({"colour"})
_NAME = re.compile(r"[a-z0-9][a-z0-9_-]{0,59}", re.IGNORECASE)
_DEVICES = frozenset({"con", "prn", "aux", "nul", *(f"{d}{n}" for d in ("com", "lpt") for n in range(1, 10))})


def is_recipe_name(name: object) -> bool:
    """Whether a recipe may be called so: its name is a file's name on every system, so it is none of a device."""
    return isinstance(name, str) and bool(_NAME.fullmatch(name)) and name.casefold() not in _DEVICES


def line_file(name: str) -> str:
    """The file of a recipe's lines, relative to the workshop's folder."""
    return f"recipes/{name}{LINES.file}"


def step_file(name: str) -> str:
    """The file of a recipe's steps, relative to the workshop's folder."""
    return f"recipes/{name}{STEPS.file}"


def check_lines(record: Record, lines: Records, ingredients: Names, functions: Mapping[str, str]) -> None:
    """Write down what is wrong with the lines of the recipe of a row.

    Parameters
    ----------
    record : Record
        The recipe's row in recipes.csv.
    lines : Records
    ingredients : Names
    functions : Mapping of str to str
        What each ingredient does, where that is known.
    """
    steered = {name_key(record[key]) for key in ("scent", "thickener") if record[key]}
    for line in lines:
        function = functions.get(line.named("ingredient", ingredients), "")
        percent = line["percent"]
        if percent is None and "percent" in line.values and line["balance"] is False:
            line.refuse(
                "percent",
                "a number from 0 to 100 %; only the balance line may leave it blank",
                "fill it in, or write yes under 'balance' if this line takes what the others leave",
            )
        tiny = percent is not None and 0 < percent < LEAST_USUAL_PERCENT and "percent" not in line.sure
        if tiny and (name_key(function) not in _TINY_IS_USUAL or name_key(line["ingredient"] or "") in steered):
            meant = f"{(percent * 100).normalize():f}"
            line.refuse(
                "percent",
                f"a level of {float(LEAST_USUAL_PERCENT):g} % or more, or one you are sure of",
                f"{percent:f} % is very little: if you meant {meant} %, write {meant}; "
                f"if {percent:f} % is meant, write: {percent:f} sure",
            )
    known = all("percent" in r.values and "balance" in r.values for r in lines)
    if lines.readable and lines.rows and "percent" in lines.keys and known:
        _check_sum(record["title"] or record["name"], lines)


def _check_sum(title: str, lines: Records) -> None:
    balances = [r for r in lines if r["balance"]]
    if len(balances) > 1:
        mend = f"row {balances[0].row} is marked as the balance already: unmark one of the two"
        balances[1].refuse("balance", "one balance line at most", mend)
        return
    blank = [r for r in lines if r["percent"] is None]
    if any(not r["balance"] for r in blank):
        return
    total = total_percent(lines)
    found, rest = f"lines of {title} that add up to {_plain(total)} %", 100 - total
    allowed, mend = "100 %, which nothing is stretched to in silence", "correct a line"
    if blank:
        found += f" without {blank[0]['ingredient']}, the balance"
        allowed = "at most 100 %, so that something is left for the balance"
    elif balances:
        rest += balances[0]["percent"]
        if rest >= 0:
            mend += f"; if the others are right, the balance ({balances[0]['ingredient']}) is {_plain(rest)} %"
            mend += ": write that, or leave its percent blank"
    elif abs(total - 1) <= Decimal("0.02"):
        mend = "these look like shares of one: write percent, a hundred times as much"
    else:
        mend += ", or write yes under 'balance' for the line that takes what the others leave"
    if total > 100 if blank else abs(total - 100) > Decimal(str(SUM_TOLERANCE_PERCENT)):
        lines.book.add(lines.file, None, "percent", found, allowed, mend)


def total_percent(lines: Iterable[Record]) -> Decimal:
    """What the lines that name a percent add up to [%]."""
    return sum((r["percent"] for r in lines if r["percent"] is not None), Decimal(0))


def _plain(number: Decimal) -> str:
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def read_steps(source: Tables, name: str, book: FaultBook) -> Records:
    """The rows of the steps of a recipe, in order; none where nobody wrote them down."""
    if source.is_away(step_file(name)):
        return Records(step_file(name), (), book)
    records = read_records(source, STEPS, book, step_file(name))
    last = 0
    for r in records:
        r.check_ends("from_c", "to_c")
        if r["number"] is not None and r["number"] < last:
            r.refuse("number", f"a number above {last}, the step before", "put the steps in their order")
        last = max(last, r["number"] or 0)
    return records
