"""Which INCI names a table's substance goes by, and what of a salt or ester is its acid."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path

from maker_kit import reference
from maker_kit.errors import Fault, WorkshopError
from maker_kit.names import name_key

SALTS, COUNTED = "salt_to_acid_factors.csv", "counted_as.csv"
ACID_SHORT_NAMES = {"dha": "dehydroacetic acid"}


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


def counted_names(folder: Path | str | None) -> Mapping[str, tuple[str, ...]]:
    """The table ``counted_as.csv``: the INCI names that a substance of another table, by its key, counts too."""
    found: dict[str, tuple[str, ...]] = {}
    for row in reference.rows(COUNTED, folder, ("substance", "inci")):
        key = name_key(row["substance"])
        found[key] = (*found.get(key, ()), row["inci"])
    return found


def read_number(text: str) -> float | None:
    """The number in a table's cell, with or without its percent sign; None where it is none."""
    low = name_key(text)
    return float(low.rstrip("% ")) if re.fullmatch(r"[+-]?\d*\.?\d+(?:e[+-]?\d+)?\s*%?", low) else None
