"""A cell of INCI names: cut at semicolons, and a list that stands with commas, "(and)", "&", "/" or "+" recognised
as one.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from maker_kit.formula.substances.naming import substance
from maker_kit.formula.substances.published import published

_ONE_THING = re.compile(
    r"(?i)(?:polymer|crosspolymer|ferment(?: (?:filtrate|lysate|extract))?|resin|dimethicone|extract|glycerides?|"
    r"triglycerides?|esters?|silicate|silica|starch)$"
)
_CHEMISTRY = re.compile(r"^\d|^[a-z]-|-$|^\W|^(?:its|bis|tris|di|mono)\b")


@dataclass(frozen=True)
class CellParts:
    """What an INCI cell holds.

    Attributes
    ----------
    parts : tuple of str
        The names, in their order.
    asked : bool
        Whether the parts stood with something else than ";": ask before the list is taken.
    between : str
        What stood between them (``,``, ``(and)``, ``&``, ``/``, ``+``, ``and`` in any language, ``|`` for a bar or dot,
        ``%`` for figures); empty where nothing is asked.
    """

    parts: tuple[str, ...]
    asked: bool = False
    between: str = ""


@lru_cache(maxsize=4096)
def parts_of_cell(text: str) -> CellParts:
    """The names in an INCI cell.

    Parameters
    ----------
    text : str
        ``Cetearyl Alcohol; Ceteareth-20``, ``Phenoxyethanol, Ethylhexylglycerin``, ``Caprylic/Capric Triglyceride``.

    Returns
    -------
    CellParts
        One name stays one name: ``1,2-Hexanediol``, ``Aqua/Water/Eau``, ``Acrylates/C10-30 Alkyl Acrylate
        Crosspolymer``, ``PEG-7 Glyceryl Cocoate``.
    """
    parts: list[str] = []
    between = ""
    for piece in text.split(";"):
        whole = " ".join(piece.split())
        if whole:
            names, mark = _list(whole)
            parts += names
            between = between or mark
    return CellParts(tuple(parts), bool(between), between)


def _list(whole: str) -> tuple[list[str], str]:
    """The names that one piece lists and what stands between them; the piece itself where it is one name."""
    if substance(whole).known:
        return [whole], ""
    for cut, mark in (
        (r"\s*\(\s*and\s*\)\s*", "(and)"),
        (r",\s+(?=\D)|(?<=[^\d\s]),(?=[^\d\s])", ","),
        (r"\s+and\s+", "and"),
        (r"\s+(?:und|et|y|con|mit|avec)\s+", "and"),
        (r"\s*[•·|│]\s*", "|"),
        (r"\s*\(?\b\d+(?:[.,]\d+)?\s*%\)?[\s,]*", "%"),
        (r"\s*&\s*", "&"),
        (r"\s*\+\s*", "+"),
        (r"\s*/\s*", "/"),
    ):
        names = [n for n in _cut(whole, cut) if n]
        if len(names) < 2:
            continue
        if len({substance(n).key for n in names}) == 1:
            return [names[0]], ""
        if _is_list(names, mark):
            return [n for name in names for n in _list(name)[0]], mark
    return [whole], ""


def _cut(whole: str, pattern: str) -> list[str]:
    """The text cut at a pattern, but not inside brackets (save at "(and)" itself)."""
    found: list[str] = []
    start = 0
    for match in re.finditer(pattern, whole, re.IGNORECASE):
        before = whole[: match.start()]
        if before.count("(") == before.count(")") and before.count("[") == before.count("]"):
            found.append(whole[start : match.start()].strip())
            start = match.end()
    return [*found, whole[start:].strip()]


def _is_list(names: list[str], mark: str) -> bool:
    known = [_is_known(n) for n in names]
    clear = [ok or _clearly_a_name(n) for n, ok in zip(names, known, strict=True)]
    if mark == "(and)":
        return True
    if mark == ",":
        return all(clear)
    if mark == "%":
        return all(known)
    if mark == "/":
        return all(known) or (
            known[0] and all(clear) and any(_regulated(n) for n in names) and not _ONE_THING.search(names[-1])
        )
    return all(known) or (any(known) and all(clear))


def _is_known(name: str) -> bool:
    meant = substance(name)
    return meant.known or meant.key in published().distinct


def _regulated(name: str) -> bool:
    meant = substance(name)
    return meant.known and meant.key not in published().carriers


def _clearly_a_name(name: str) -> bool:
    return len(name) >= 4 and re.search(r"[A-Za-z]{4}", name) is not None and not _CHEMISTRY.search(name)
