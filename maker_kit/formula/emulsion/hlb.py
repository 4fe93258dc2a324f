"""Published HLB values: what an oil asks for and what an emulsifier has, with every source that gives one, also where
they differ.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from maker_kit import reference
from maker_kit.errors import QuantityError, UnknownNameError
from maker_kit.names import name_key, near_miss
from maker_kit.numbers import exact_number

LEAST_HLB, MOST_HLB = 0.0, 50.0
"""HLB values that are taken; sodium lauryl sulphate, the highest of the tables, has 40."""
OWN = "the maker's own"
_TRUST = ("read", "computed", "from memory")


@dataclass(frozen=True)
class HlbValue:
    """One published (or the maker's own) HLB value.

    Attributes
    ----------
    name : str
        As its table has it.
    hlb : float
        Required HLB of an oil for oil-in-water, or HLB of an emulsifier.
    source, checked : str
        Who says so, and how that was checked.
    also : tuple of str
        Other names of the same thing, INCI names among them.
    has_source : bool
        Whether a published source gives it.
    """

    name: str
    hlb: float
    source: str
    checked: str
    also: tuple[str, ...] = ()
    has_source: bool = True


OwnValues = Mapping[str, float | tuple[float, str]]
"""The maker's own values by name: an HLB, or an HLB and where it is from."""


def required_values(folder: Path | str | None = None) -> tuple[HlbValue, ...]:
    """Every required HLB on file (oil-in-water), from ``hlb_required.csv``."""
    return _table("hlb_required.csv", "oil", "required_hlb_ow", folder)


def emulsifier_values(folder: Path | str | None = None) -> tuple[HlbValue, ...]:
    """Every emulsifier's HLB on file, from ``hlb_emulsifiers.csv``."""
    return _table("hlb_emulsifiers.csv", "emulsifier", "hlb", folder)


def values_for(names: Iterable[str], table: Iterable[HlbValue], own: OwnValues | None = None) -> tuple[HlbValue, ...]:
    """Every value for something known by some names, the one to use first.

    The maker's own value comes first; then what was read, what was computed, and what is from memory; a value that says
    it has no published source comes last.

    Parameters
    ----------
    names : iterable of str
        Its name and INCI names.
    table : iterable of HlbValue
    own : mapping, optional

    Raises
    ------
    QuantityError
        If an own value is no HLB.
    """
    wanted = {name_key(name) for name in names if name.strip()}
    mine = [_own(name, value) for name, value in (own or {}).items() if name_key(name) in wanted]
    found = [value for value in table if wanted & _names(value)]
    return (*mine, *sorted(found, key=_rank))


def emulsifier_hlb(name: str, own: OwnValues | None = None, folder: Path | str | None = None) -> HlbValue:
    """The HLB of an emulsifier, with its source.

    Raises
    ------
    UnknownNameError
        If no table has it and the maker gave no own value; the nearest name is given.
    """
    table = emulsifier_values(folder)
    found = values_for((name,), table, own)
    if not found:
        hint = near_miss(name, [v.name for v in table]).sentence
        raise UnknownNameError(f'no HLB is on file for "{name}": {hint} Ask its supplier and give the value yourself')
    return found[0]


def check_hlb(value: float, what: str = "an HLB") -> float:
    """The HLB itself, if it is one.

    Raises
    ------
    QuantityError
        If it is no number from 0 to 50.
    """
    number = float(exact_number(value, what))
    if not LEAST_HLB <= number <= MOST_HLB:
        raise QuantityError(f"{what} of {number:g}: an HLB lies between {LEAST_HLB:g} and {MOST_HLB:g}")
    return number


def value_rows(values: Iterable[HlbValue]) -> list[tuple[float, str, str, str]]:
    """The values as rows of a table: HLB, whether it is used (the first is), source, how it was checked."""
    return [(v.hlb, "other source" if k else "used", v.source, v.checked) for k, v in enumerate(values)]


def _table(file: str, name: str, value: str, folder: Path | str | None) -> tuple[HlbValue, ...]:
    return tuple(
        HlbValue(
            row[name],
            check_hlb(row[value], f"the HLB of {row[name]} in {file}"),
            row["source"],
            row["checked"],
            tuple(a.strip() for a in (row.get("also") or "").split(";") if a.strip()),
            row.get("published") != "no",
        )
        for row in reference.rows(file, folder, columns=(name, value, "source", "checked"))
    )


def _own(name: str, value: float | tuple[float, str]) -> HlbValue:
    number, source = value if isinstance(value, tuple) else (value, OWN)
    return HlbValue(name, check_hlb(number, f"the maker's own HLB of {name}"), source, OWN)


def _names(value: HlbValue) -> set[str]:
    plain = re.sub(r"\(.*?\)", " ", value.name)
    return {name_key(piece) for piece in (value.name, plain, *plain.split("/"), *value.also)} - {""}


def _rank(value: HlbValue) -> tuple[bool, int]:
    return not value.has_source, _TRUST.index(value.checked) if value.checked in _TRUST else len(_TRUST)
