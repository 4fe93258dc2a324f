"""Which INCI names a limit counts, and by which factor: a table's own names, acids with their salts and esters,
groups.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

from maker_kit import reference
from maker_kit.errors import Fault, WorkshopError
from maker_kit.formula.limits.scope import read_scope
from maker_kit.names import name_key

SALTS, COUNTED = "salt_to_acid_factors.csv", "counted_as.csv"
CATIONS = ("Sodium", "Potassium", "Calcium", "Magnesium", "Ammonium", "Lithium", "Zinc", "MEA-", "DEA-", "TEA-")
ACID_SHORT_NAMES = {"dha": "dehydroacetic acid"}
Members = tuple[tuple[str, float], ...]
"""INCI names, each with its factor."""
Counted = Mapping[str, Mapping[str, list[tuple[str, float | None]]]]
"""Substance of a table → group → INCI names with their factor, None where the amount cannot be worked out."""


@lru_cache(maxsize=4096)
def own_names(substance: str) -> tuple[str, ...]:
    """The names that a table's substance goes by: as written, without brackets, each side of a slash, without "and
    salts" and the like.

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
            r"(?i)[\s,]+(?:and|or|\+|&)\s+(?:its |their |other )?(?:\w+ "
            r")?(?:salts?|esters?)(?:\s+and\s+(?:salts?|esters?))?$|\s+(?:etc\.?|salts)$",
            "",
            piece,
        ).strip()
        names += [n for n in (piece, bare) if len(n) >= 4 and not n.endswith("-") and not n.startswith("-")]
    return tuple({name_key(n): n for n in reversed(names) if n}.values())[::-1]


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
        factor = read_number(row["mass_factor"])
        if not factor:
            mend = "write the mass of acid in one gram of salt"
            found_text = row["mass_factor"] or "nothing"
            raise WorkshopError([Fault(SALTS, number, "mass_factor", found_text, "a number above 0", mend)])
        found[name_key(salt)] = (ACID_SHORT_NAMES.get(name, name), factor)
    return found


def read_counted(folder: Path | str | None) -> Counted:
    """The table ``counted_as.csv``: what each substance of another table counts."""
    found: dict[str, dict[str, list[tuple[str, float | None]]]] = {}
    for row in reference.rows(COUNTED, folder, ("substance", "group", "inci", "factor")):
        found.setdefault(name_key(row["substance"]), {}).setdefault(row["group"], []).append(
            (row["inci"], float(row["factor"]) if row["factor"] else None)
        )
    return found


def members_of(
    row: reference.Row,
    most: float | None,
    counted: Counted,
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
            equivalent = re.sub(r"^as (?:anhydrous )?", "", row["equivalent_as"])
            percent, key = read_number(row["equivalent_pct"]), name_key(equivalent)
            usable = equivalent and percent and most and not single and key not in factors
            if usable and (not groups or key not in found):
                found[key] = (equivalent, most / percent)
            for name, factor in list(found.values()):
                if not groups and factor == 1 and name_key(name).endswith("ic acid"):
                    salts = (
                        f"{cation}{'' if cation.endswith('-') else ' '}{name[: -len('ic acid')]}ate"
                        for cation in CATIONS
                    )
                    found.update({name_key(salt): (salt, 1.0) for salt in salts if name_key(salt) not in found})
        result[group] = (tuple(found.values()), tuple(n for n, f in listed if f is None))
    return result


def read_number(text: str) -> float | None:
    """The number in a table's cell, with or without its percent sign; None where it is none."""
    low = " ".join(text.casefold().split())
    return float(low.rstrip("% ")) if re.fullmatch(r"[+-]?\d*\.?\d+(?:e[+-]?\d+)?\s*%?", low) else None
