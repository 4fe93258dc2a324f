"""Limits of substances: what is allowed where, how it is counted, who says so; read from the published tables."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property, lru_cache
from pathlib import Path

import pandas as pd

from maker_kit import reference
from maker_kit.errors import Fault, WorkshopError
from maker_kit.formula.limits.scope import Scope, read_scope
from maker_kit.names import name_key

PRESERVATIVES = "eu_preservative_limits.csv"
FRAGRANCE = "ifra_limits.csv"
SALTS = "salt_to_acid_factors.csv"
CATIONS = ("Sodium", "Potassium", "Calcium", "Magnesium", "Ammonium", "Lithium", "Zinc", "MEA-", "DEA-", "TEA-")
ACID_SHORT_NAMES = {"dha": "dehydroacetic acid"}


@dataclass(frozen=True)
class Limit:
    """Most of a substance in a finished product.

    Attributes
    ----------
    substance : str
        Name as the table has it, such as ``Benzoic acid / sodium benzoate``.
    most_percent : float or None
        Most in the finished product [% by mass, counted as `counted_as` says]; None where the table names the substance without a figure: unknown.
    members : tuple of (str, float)
        INCI names it counts, each with the factor that converts the mass as supplied to how the limit counts it (0.84746 for sodium benzoate as benzoic acid).
        Where none are given the substance's own names count, as supplied.
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
        Amendment or regulation, date the source bears, title and section, and how it was checked (read, computed, from memory).
    uncounted : tuple of str
        INCI names that bring an amount which cannot be worked out (formaldehyde from what releases it).
    label_trigger : bool
        Beyond the figure a warning on the label is due; it is no most.
    in_table : str
        The figure's cell in the table's words ("not shown on page").
    group : str
        Which of the table's substances it is for, where each counts by itself.
    needs : str
        INCI name that has to be there for it to be a case of this limit (a mixture); empty for any member.
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
    uncounted: tuple[str, ...] = ()
    label_trigger: bool = False
    in_table: str = ""
    group: str = ""
    needs: str = ""

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
                name_key(n): (n, f) for n, f in self.members or ((name, 1.0) for name in own_names(self.substance))
            }.values()
        )

    @property
    def source_in_words(self) -> str:
        """Source with how it was checked."""
        return "; ".join(t for t in (self.source, f"checked: {self.checked}" if self.checked else "") if t)


def limits_to_frame(limits: Iterable[Limit]) -> pd.DataFrame:
    """The limits as a table: substance, most [%], counted as, for what, kind, region, amendment, source, checked."""
    return pd.DataFrame(
        [
            (
                x.substance,
                x.most_percent,
                x.counted_as,
                x.category or x.conditions or x.applies,
                x.kind,
                x.region,
                x.amendment,
                x.source,
                x.checked,
            )
            for x in limits
        ],
        columns=["substance", "most %", "counted as", "for", "kind", "region", "amendment", "source", "checked"],
    )


@lru_cache(maxsize=4096)
def own_names(substance: str) -> tuple[str, ...]:
    """The names that a table's substance goes by: as written, without brackets, each side of a slash, without "and salts" and the like.

    Parameters
    ----------
    substance : str
        Such as ``Sorbic acid / potassium sorbate``.

    Returns
    -------
    tuple of str
        The text itself first.
    """
    plain = " ".join(re.sub(r"\([^)]*\)", " ", substance).split())
    names = [substance, plain]
    for piece in (plain, *re.split(r"\s*/\s*", plain)):
        bare = re.sub(
            r"(?i)[\s,]+(?:and|or|\+|&)\s+(?:its |their |other )?(?:\w+ )?(?:salts?|esters?)(?:\s+and\s+(?:salts?|esters?))?$|\s+(?:etc\.?|salts)$",
            "",
            piece,
        ).strip()
        names += [n for n in (piece, bare) if len(n) >= 4 and not n.endswith("-") and not n.startswith("-")]
    return tuple({name_key(n): n for n in reversed(names) if n}.values())[::-1]


@lru_cache(maxsize=1)
def _package_limits() -> tuple[Limit, ...]:
    return _load(None)


def load_limits(folder: Path | str | None = None) -> tuple[Limit, ...]:
    """The limits of the published tables: EU preservatives (law) and materials of the IFRA Standards (a standard, no law).

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


def _load(folder: Path | str | None) -> tuple[Limit, ...]:
    faults: list[Fault] = []
    law = reference.rows(
        PRESERVATIVES,
        folder,
        ("entry", "substance", "scope", "max_pct", "basis", "equivalent_pct", "equivalent_as", "source", "checked"),
    )
    standard = reference.rows(
        FRAGRANCE, folder, ("material", "category", "max_pct_in_finished_product", "source", "checked")
    )
    counted = _counted(folder)
    factors = salt_factors(folder)
    needs = {
        name_key(r["substance"]): r["needs"] for r in reference.rows("counted_as.csv", folder, ("substance", "needs"))
    }
    limits: list[Limit] = []
    for number, row in enumerate(law, start=2):
        most, unrestricted = _figure(row["max_pct"], PRESERVATIVES, number, "max_pct", faults)
        for group, (members, uncounted) in _members(row, most, counted, factors).items():
            limits.append(
                Limit(
                    row["substance"],
                    most,
                    members,
                    "as supplied" if row["basis"] in {"", "as is"} else row["basis"],
                    read_scope(row["scope"]).applies,
                    kind="law",
                    region="EU",
                    conditions=row["scope"],
                    unrestricted=unrestricted,
                    amendment=_amendment(row["source"]),
                    date=_date(row["source"]),
                    source=f"{row['source']}, entry {row['entry']}",
                    checked=row["checked"],
                    uncounted=uncounted,
                    label_trigger="trigger" in row["substance"].casefold(),
                    in_table=row["max_pct"],
                    group=group,
                    needs=needs.get(name_key(row["substance"]), ""),
                )
            )
    for number, row in enumerate(standard, start=2):
        most, unrestricted = _figure(
            row["max_pct_in_finished_product"], FRAGRANCE, number, "max_pct_in_finished_product", faults
        )
        names = {name_key(n): (n, 1.0) for n in own_names(row["material"])} | {
            name_key(n): (n, 1.0) for n, _ in counted.get(name_key(row["material"]), {}).get("", [])
        }
        limits.append(
            Limit(
                row["material"],
                most,
                tuple(names.values()),
                category=row["category"].upper() if row["category"] != "all" else "all",
                kind="standard",
                unrestricted=unrestricted,
                amendment=_amendment(row["source"]),
                date=_date(row["source"]),
                source=row["source"],
                checked=row["checked"],
                in_table=row["max_pct_in_finished_product"],
            )
        )
    if faults:
        raise WorkshopError(faults)
    return tuple(limits)


def salt_factors(folder: Path | str | None = None) -> Mapping[str, tuple[str, float]]:
    """Mass factors from a salt to its acid, from ``salt_to_acid_factors.csv``: acid mass = salt mass × factor.

    Parameters
    ----------
    folder : path, optional
        Where to look for the table first.

    Returns
    -------
    Mapping of str to (str, float)
        Name of the salt in small letters → (acid, factor).

    Raises
    ------
    WorkshopError
        If a factor is no number above 0.
    """
    found: dict[str, tuple[str, float]] = {}
    for number, row in enumerate(reference.rows(SALTS, folder, ("conversion", "mass_factor")), start=2):
        salt, _, acid = re.sub(r"\([^)]*\)", " ", row["conversion"]).partition("->")
        name = name_key(acid)
        factor = _number(row["mass_factor"])
        if not factor:
            raise WorkshopError(
                [
                    Fault(
                        SALTS,
                        number,
                        "mass_factor",
                        row["mass_factor"] or "nothing",
                        "a number above 0",
                        "write the mass of acid in one gram of salt",
                    )
                ]
            )
        found[name_key(salt)] = (ACID_SHORT_NAMES.get(name, name), factor)
    return found


def _counted(folder: Path | str | None) -> dict[str, dict[str, list[tuple[str, float | None]]]]:
    """Substance of a table → group → INCI names with their factor, None where the amount cannot be worked out."""
    found: dict[str, dict[str, list[tuple[str, float | None]]]] = {}
    for row in reference.rows("counted_as.csv", folder, ("substance", "group", "inci", "factor")):
        found.setdefault(name_key(row["substance"]), {}).setdefault(row["group"], []).append(
            (row["inci"], float(row["factor"]) if row["factor"] else None)
        )
    return found


Members = tuple[tuple[str, float], ...]


def _members(
    row: reference.Row,
    most: float | None,
    counted: Mapping[str, Mapping[str, list[tuple[str, float | None]]]],
    factors: Mapping[str, tuple[str, float]],
) -> dict[str, tuple[Members, tuple[str, ...]]]:
    """Group (empty unless each substance counts by itself) → members and uncounted names of one row."""
    as_acid = "acid" in row["basis"].casefold()
    groups = counted.get(name_key(row["substance"]), {})
    single = read_scope(row["scope"]).single
    own = own_names(row["substance"])
    if single and not groups:
        return {name: (((name, 1.0),), ()) for name in own}
    result: dict[str, tuple[Members, tuple[str, ...]]] = {}
    for group, listed in (groups or {"": []}).items():
        found = {
            name_key(n): (n, factors[name_key(n)][1] if as_acid and name_key(n) in factors else f)
            for n, f in listed
            if f is not None
        }
        if not group:
            for name in own:
                found.setdefault(name_key(name), (name, 1.0))
        if as_acid:
            for salt, (acid, factor) in factors.items():
                if acid in found and found[acid][1] == 1 and not single and (not groups or salt not in found):
                    found[salt] = (salt, factor)
            equivalent, percent = (
                re.sub(r"^as (?:anhydrous )?", "", row["equivalent_as"]),
                _number(row["equivalent_pct"]),
            )
            if (
                equivalent
                and percent
                and most
                and not single
                and name_key(equivalent) not in factors
                and (not groups or name_key(equivalent) not in found)
            ):
                found[name_key(equivalent)] = (equivalent, most / percent)
            for name, factor in list(found.values()):
                if not groups and factor == 1 and name_key(name).endswith("ic acid"):
                    salts = (
                        f"{cation}{'' if cation.endswith('-') else ' '}{name[: -len('ic acid')]}ate"
                        for cation in CATIONS
                    )
                    found.update({name_key(salt): (salt, 1.0) for salt in salts if name_key(salt) not in found})
        result[group] = (tuple(found.values()), tuple(n for n, f in listed if f is None))
    return result


def _number(text: str) -> float | None:
    low = name_key(text)
    return float(low.rstrip("% ")) if re.fullmatch(r"[+-]?\d*\.?\d+(?:e[+-]?\d+)?\s*%?", low) else None


def _figure(text: str, file: str, number: int, column: str, faults: list[Fault]) -> tuple[float | None, bool]:
    """The most of a cell and whether it says "no restriction"; None where it gives no figure."""
    most = _number(text)
    if most is not None and not 0 <= most <= 100:
        faults.append(
            Fault(file, number, column, text, "0 to 100", "correct the figure, in percent of the finished product")
        )
    if re.match(r"(?i)prohibited|banned|forbidden|not (?:allowed|permitted)", text):
        most = 0.0
    return most, name_key(text) in {"no restriction", "unrestricted", "not restricted"}


def _amendment(source: str) -> str:
    if found := re.search(r"Amendment (\d+)|(\d+)(?:st|nd|rd|th) [Aa]mendment", source):
        return found[1] or found[2]
    return ", ".join(n for n in re.findall(r"\b\d{3,4}/\d{3,4}\b", source) if n != "1223/2009")


def _date(source: str) -> str:
    if dated := re.search(r"dated ([\d–-]+)", source):
        return dated[1]
    return max(re.findall(r"\b(?:19|20)\d{2}\b", source), default="")
