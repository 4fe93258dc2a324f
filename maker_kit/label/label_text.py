"""The text of a label's list as names: cut, cleaned, and each with what it is: in the order, a colour, inside a scent.

What cannot be read surely is asked about, never guessed in silence.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache

from maker_kit import reference
from maker_kit.errors import LabelError, short
from maker_kit.formula.annexes.law import law
from maker_kit.formula.kinds import SCENT_NAMES, is_essential_oil
from maker_kit.formula.notes.allergens import TABLE, is_listed_as
from maker_kit.formula.preservation.agents import is_preservative
from maker_kit.formula.substances.naming import colour_index, spoken, substance
from maker_kit.formula.substances.near import near_names
from maker_kit.formula.substances.published import published
from maker_kit.formula.substances.spelling import fold
from maker_kit.label.order.label_order import MOST_NAMES
from maker_kit.label.pieces import cut, fold_any, pieces
from maker_kit.names import name_key
from maker_kit.numbers import with_point

ORDERED, COLOUR, MAYBE, INSIDE = "in the order", "colour", "may contain", "inside"
PIGMENTS = frozenset(map(fold, ("Mica", "Titanium Dioxide", "Iron Oxides", "Tin Oxide", "Zinc Oxide", "Carmine")))
"""Names that are colours where they stand last, and may be fillers or filters elsewhere (common practice)."""

_PERCENT = re.compile(r"[\[(]?\s*(\d{1,3}(?:[.,]\d{1,4})?)\s*%\s*[\])]?")
_NANO = re.compile(r"(?i)[\[(]\s*nano\s*[\])]")
_US_COLOUR = re.compile(
    r"(?i)^(?:(?:ext\. )?(?:fd&c|d&c) )?(?:red|yellow|blue|green|orange|violet|brown|black)(?: no\.?)? ?\d+(?: lake)?$"
)
_BLEND = re.compile(r"(?i)\s*\(\s*(?:and|&)\s*\)\s*")
_AND = re.compile(r"(?i)\s+(?:and|&|et|und|y|e)\s+")


@dataclass(frozen=True)
class Listed:
    """One name of a label's list.

    Attributes
    ----------
    written : str
        As it stands on the pack.
    name : str
        As it is told here: the published name, or as written where no table knows it.
    known : bool
        Whether a published table knows it.
    role : str
        `ORDERED`, `COLOUR` (last, free in order), `MAYBE` (may not be there), or `INSIDE` another name.
    of : tuple of str
        For `INSIDE`: the names that hold it.
    percent : Fraction or None
        Percent printed beside it [%].
    nano : bool
    """

    written: str
    name: str
    known: bool
    role: str = ORDERED
    of: tuple[str, ...] = ()
    percent: Fraction | None = None
    nano: bool = False


@dataclass(frozen=True)
class Question:
    """What has to be answered by whoever has the pack.

    Attributes
    ----------
    code : str
        ``spelling``, ``twice``, ``brackets``, ``blend``, ``inside``, ``where``, ``when``, ``colours``, ``claim``.
    about : str
        Name it is about; empty for the whole list.
    text : str
    choices : tuple of str
        Likely answers.
    """

    code: str
    about: str
    text: str
    choices: tuple[str, ...] = ()


@dataclass(frozen=True)
class LabelText:
    """A list as it was read: its names, what is asked, what was left out."""

    names: tuple[Listed, ...]
    questions: tuple[Question, ...] = ()
    left_out: tuple[str, ...] = ()


def read_text(text: str, meant: Mapping[str, str] | None = None) -> LabelText:
    """The names of a label's list.

    Parameters
    ----------
    text : str
        As it stands on the pack, with or without its heading; names parted by commas, semicolons, dots or lines.
    meant : Mapping of str to str, optional
        What a written name means, where that was asked.

    Returns
    -------
    LabelText

    Raises
    ------
    LabelError
        If it is empty, too long, the list of a drug, or holds more than `MOST_NAMES` names.
    """
    sure, maybe, notes = pieces(text)
    answers = {name_key(k): v for k, v in (meant or {}).items()}
    found: list[Listed] = []
    asked: list[Question] = []
    for piece, role in [*((p, ORDERED) for p in sure), *((p, MAYBE) for p in maybe)]:
        if piece.startswith("*") or not fold_any(piece):
            notes.append(piece)
            continue
        found += _names_of(piece, role, answers, asked)
    if not found:
        raise LabelError(
            f'no name was found in "{short(text)}"; type the names as they stand on the pack, with commas between them'
        )
    if len(found) > MOST_NAMES:
        raise LabelError(
            f"{len(found)} names: a list of at most {MOST_NAMES} is read; look whether two lists were joined"
        )
    names = _with_roles(_once(found, asked, notes), asked)
    return LabelText(names, tuple(asked), tuple(n for n in notes if n.strip(" .*")))


def _names_of(piece: str, role: str, answers: Mapping[str, str], asked: list[Question]) -> list[Listed]:
    written = piece
    nano = bool(_NANO.search(piece))
    piece = _NANO.sub(" ", piece)
    printed = _PERCENT.search(piece)
    piece = " ".join(_PERCENT.sub(" ", piece, count=1).split()) if printed else piece
    piece = piece.strip(" *†‡°¹²³") or written
    percent = Fraction(Decimal(with_point(printed[1]))) if printed else None
    blend = [p for p in _BLEND.split(piece) if fold_any(p)]
    if len(blend) > 1 and not re.search(r"[(\[].*[)\]]", _BLEND.sub(" ", piece)):
        told = (
            f'"{short(piece)}" stands in one place: it is read as a blend of {len(blend)} names, none of them more '
            "than all; is that what the pack means?"
        )
        asked.append(Question("blend", piece, told))
        whole = Listed(written, piece, known=True, role=role, percent=percent, nano=nano)
        inner = [_one(p, p, INSIDE, None, False, answers, asked) for p in blend]
        return [whole, *(replace(i, of=(whole.name,)) for i in inner)]
    holder, parts = _bracketed(piece)
    if len(parts) > 1:
        whole = _one(holder or written, written, role, percent, nano, answers, asked)
        if name_key(whole.name) not in SCENT_NAMES:
            asked.append(
                Question(
                    "brackets",
                    whole.name,
                    f"{whole.name} names {len(parts)} others in brackets: they are read as what it holds, and not "
                    "counted beside it; is that what the pack means?",
                )
            )
        inner = [_one(p, p, INSIDE, None, False, answers, asked) for p in parts]
        return [whole, *(replace(i, of=(whole.name,)) for i in inner)]
    if not _is_known(piece) and name_key(piece) not in answers:
        halves = _AND.split(piece)
        if len(halves) == 2 and all(map(_is_known, halves)):
            return [_one(h, h, role, None, nano, answers, asked) for h in halves]
    return [_one(piece, written, role, percent, nano, answers, asked)]


def _bracketed(piece: str) -> tuple[str, list[str]]:
    """A name and the names that its outermost bracket lists; none where the bracket is a translation, or figures."""
    found = re.search(r"[(\[](.*)[)\]]", piece)
    parts = [q for p in cut(found[1]) for q in _BLEND.split(p) if fold_any(q)] if found else []
    holder = " ".join((piece[: found.start()] + piece[found.end() :]).split()) if found else piece
    if len(parts) < 2 or re.fullmatch(r"[\d,;. ]*", found[1]):
        return piece, []
    own = substance(holder).key
    others = [p for p in parts if not _is_known(p) or substance(p).key != own]
    listed = any(map(_is_known, others)) or not _is_known(piece)
    return (holder, parts) if listed and others else (piece, [])


def _one(
    name: str,
    written: str,
    role: str,
    percent: Fraction | None,
    nano: bool,
    answers: Mapping[str, str],
    asked: list[Question],
) -> Listed:
    told = answers.get(name_key(name)) or answers.get(name_key(written))
    meant = substance(told or name)
    if _is_known(told or name):
        shown = colour_index(meant.name) or spoken(meant.name)
        return Listed(written, shown, True, role, percent=percent, nano=nano)
    near = () if told else near_names(name)
    shown = " ".join((told or name).split())
    if near:
        asked.append(
            Question(
                "spelling",
                shown,
                f'"{short(shown)}" stands in no table here; is it {_or(near)}? Until then it is read as written',
                near,
            )
        )
    return Listed(written, colour_index(shown) or shown, bool(colour_index(shown)), role, percent=percent, nano=nano)


def _is_known(name: str) -> bool:
    meant = substance(name)
    return bool(meant.key) and (meant.known or meant.key in published().distinct)


def _once(found: list[Listed], asked: list[Question], notes: list[str]) -> list[Listed]:
    """Each name once: one that stands twice is kept where it first stands, and asked about."""
    kept: dict[str, Listed] = {}
    for one in found:
        key = substance(one.name).key or name_key(one.name)
        if key not in kept:
            kept[key] = one
        elif one.role != INSIDE and kept[key].role != INSIDE:
            asked.append(
                Question(
                    "twice",
                    one.name,
                    f"{one.name} stands twice in this list; it is read where it first stands. Look at the pack again",
                )
            )
            notes.append(one.written)
        elif kept[key].role == INSIDE and one.role != INSIDE:
            kept[key] = replace(one, of=())
    return list(kept.values())


def _with_roles(found: list[Listed], asked: list[Question]) -> tuple[Listed, ...]:
    """Colours of the last run, and the allergens that stand after a scent or an oil that brings them."""
    ordered = [k for k, one in enumerate(found) if one.role == ORDERED]
    while ordered and len(ordered) > 1 and is_colour(found[ordered[-1]].name):
        last_one = ordered.pop()
        found[last_one] = replace(found[last_one], role=COLOUR)
    holders: tuple[str, ...] = ()
    inside: list[int] = []
    for k in ordered:
        name = found[k].name
        if brings_scent(name):
            holders = (*holders, name)
        elif holders and is_scent_allergen(name) and not is_preservative(name):
            found[k] = replace(found[k], role=INSIDE, of=holders)
            inside.append(k)
    while inside and inside[-1] == ordered[-1]:
        inside.pop(), ordered.pop()
    if inside:  # other names follow
        names = ", ".join(found[k].name for k in inside)
        told = (
            f"{names}: read as inside {', '.join(found[inside[-1]].of)}, as the allergens of a scent are listed again. "
            "Other names follow: was it put in by itself?"
        )
        asked.append(Question("inside", names, told))
    return tuple(found)


@lru_cache(maxsize=4096)
def is_colour(name: str) -> bool:
    """Whether a name is a colour where it stands last: a colour index number, a colour of the US list, or a pigment."""
    return bool(colour_index(name) or _US_COLOUR.match(name)) or fold(name) in PIGMENTS


@lru_cache(maxsize=4096)
def brings_scent(name: str) -> bool:
    """Whether a name stands for a scent or an essential oil, which brings allergens that are listed again."""
    return name_key(name) in SCENT_NAMES or substance(name).key in SCENT_NAMES or is_essential_oil(name)


@lru_cache(maxsize=4096)
def is_scent_allergen(name: str) -> bool:
    """Whether a name is one that a label lists for a scent's sake: by the table of allergens, or as the law's entries
    name it.
    """
    if any(is_listed_as(row["name"], name) for row in reference.rows(TABLE)):
        return True
    return name_key(name) in {name_key(e.declare_as) for e in law().entries if e.declare_as}


def _or(names: tuple[str, ...]) -> str:
    return " or ".join(f'"{n}"' for n in names)
