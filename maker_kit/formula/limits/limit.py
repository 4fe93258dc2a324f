"""Limits of substances: what is allowed where, how it is counted, who says so; read from the published tables."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import cache, cached_property
from pathlib import Path

from maker_kit import reference
from maker_kit.errors import Fault, WorkshopError
from maker_kit.formula.limits.counting import counted_names, own_names, read_number
from maker_kit.formula.limits.scope import Scope, read_scope
from maker_kit.formula.substances.naming import substance_key
from maker_kit.names import name_key

FRAGRANCE = "ifra_limits.csv"
IN_PRODUCT = "max_pct_in_finished_product"


@dataclass(frozen=True)
class Limit:
    """Most of a substance in a finished product.

    Attributes
    ----------
    substance : str
        Name as the table has it, such as ``Benzoic acid / sodium benzoate``.
    most_percent : float or None
        Most in the finished product [% by mass, counted as `counted_as` says]; None where the table names the substance
        without a figure: unknown.
    members : tuple of (str, float)
        INCI names it counts, each with the factor that converts the mass as supplied to how the limit counts it
        (0.84746 for sodium benzoate as benzoic acid). Where none are given the substance's own names count, as
        supplied.
    counted_as : str
        ``as supplied``, ``as acid``, ``as active`` and so on.
    applies : {'all', 'rinse-off', 'leave-on'}
    category : str
        Category of the IFRA Standards it is for, or ``all``; empty for a limit that is not by category.
    kind : {'law', 'standard', 'certificate', 'supplier', 'practice'}
    region : str
        Where a law holds (``EU``); empty for what is no law.
    conditions : str
        Its scope in the table's words ("not in spray dispensers"); the judge reads them.
    unrestricted : bool
        The table says "no restriction" for this category.
    amendment, date, source, checked : str
        Amendment or regulation, date the source bears, title and section, and how it was checked (read, computed, from
        memory).
    in_table : str
        The figure's cell in the table's words ("not shown on page").
    by_law : str
        Code of the verdict of the law that it stands for (`maker_kit.formula.annexes.verdict`); empty for other limits.
    """

    substance: str
    most_percent: float | None
    members: tuple[tuple[str, float], ...] = ()
    counted_as: str = "as supplied"
    applies: str = "all"
    category: str = ""
    kind: str = "law"
    region: str = ""
    conditions: str = ""
    unrestricted: bool = False
    amendment: str = ""
    date: str = ""
    source: str = ""
    checked: str = ""
    in_table: str = ""
    by_law: str = ""

    @cached_property
    def scope(self) -> Scope:
        """`conditions` read; `applies` narrows it where it says rinse-off or leave-on."""
        scope = read_scope(self.conditions)
        return scope if self.applies == "all" else replace(scope, applies=self.applies)

    @cached_property
    def counts(self) -> tuple[tuple[str, float], ...]:
        """`members`, each name once, or the substance's own names as supplied where none are given."""
        return tuple(
            {
                substance_key(n): (n, f) for n, f in self.members or ((name, 1.0) for name in own_names(self.substance))
            }.values()
        )

    @property
    def source_in_words(self) -> str:
        """Source with how it was checked."""
        return "; ".join(t for t in (self.source, f"checked: {self.checked}" if self.checked else "") if t)


def load_limits(folder: Path | str | None = None) -> tuple[Limit, ...]:
    """The limits of the published table that hold for any recipe: materials of the IFRA Standards (a standard, no law).
    The law's are those of `maker_kit.formula.limits.law.limits_of`, since they hang on the product.

    Parameters
    ----------
    folder : path, optional
        A folder with tables of the same names and columns; a table that is not there is read from the workbook's own.

    Returns
    -------
    tuple of Limit

    Raises
    ------
    WorkshopError
        If a table lacks a column, or a figure is below 0 or above 100; all faults at once.
    """
    return _package_limits() if folder is None else _load(folder)


@cache
def _package_limits() -> tuple[Limit, ...]:
    return _load(None)


def _load(folder: Path | str | None) -> tuple[Limit, ...]:
    faults: list[Fault] = []
    standard = reference.rows(FRAGRANCE, folder, ("material", "category", IN_PRODUCT, "source", "checked"))
    counted = counted_names(folder)
    limits: list[Limit] = []
    for number, row in enumerate(standard, start=2):
        most, unrestricted = _figure(row, IN_PRODUCT, FRAGRANCE, number, faults)
        listed = (*own_names(row["material"]), *counted.get(name_key(row["material"]), ()))
        limits.append(
            Limit(
                row["material"],
                most,
                tuple({name_key(n): (n, 1.0) for n in listed}.values()),
                category=row["category"].upper() if row["category"] != "all" else "all",
                kind="standard",
                unrestricted=unrestricted,
                in_table=row[IN_PRODUCT],
                amendment=row.get("amendment", ""),
                date=row.get("date", ""),
                source=row["source"],
                checked=row["checked"],
            )
        )
    if faults:
        raise WorkshopError(faults)
    return tuple(limits)


def _figure(row: reference.Row, column: str, file: str, number: int, faults: list[Fault]) -> tuple[float | None, bool]:
    """The most of a cell and whether it says "no restriction"; None where it gives no figure."""
    text = row[column]
    most = read_number(text)
    if most is not None and not 0 <= most <= 100:
        mend = "correct the figure, in percent of the finished product"
        faults.append(Fault(file, number, column, text, "0 to 100", mend))
    if re.match(r"(?i)prohibited|banned|forbidden|not (?:allowed|permitted)", text):
        most = 0.0
    return most, name_key(text) in {"no restriction", "unrestricted", "not restricted"}
