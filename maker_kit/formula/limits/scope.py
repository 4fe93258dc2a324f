"""The scope of a limit, read from its table's prose: for which products it holds, which it bars, and what is left for
the maker to check.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache

from maker_kit.formula.annexes.uses import for_small_children
from maker_kit.formula.recipe import ProductType

PLACE_WORDS = {
    "underarm": r"deodorants?|antiperspirants?|underarms?|axilla\w*",
    "hair": r"hair|shampoos?|conditioners?|scalp",
    "lips": r"lips?|lipsticks?",
    "oral": r"oral|mouth\w*|tooth\w*",
    "eye area": r"eyes?|eyelids?|eyelash\w*",
    "face": r"face|facial",
    "hands": r"hands?",
    "intimate area": r"intimate|mucous|anogenital",
    "nappy area": r"napp(?:y|ies)|diapers?",
    "body": r"body",
}
"""Places named in scopes; ``oral`` and ``nappy area`` are no places of a product type, see `standing`."""

_NEGATIVE = r"(?:not|no|except|excluding|prohibited|banned|forbidden|never|other than)"
_SPRAY = re.compile(r"\b(?:sprays?|aerosols?)\b")
_CHILDREN = re.compile(
    r"(?:<|under|below|younger than)\s*(?:3|three)\s*(?:yr|years?|y)\b|\b(?:child|children|infants?|bab(?:y|ies))\b"
)
_RINSE = re.compile(r"rinse[- ]?off|wash[- ]?off")
_LEAVE = re.compile(r"leave[- ]?on")
_WASHES = re.compile(r"\b(?:shampoos?|shower|bath|soaps?)\b")
_DUTY = re.compile(r"^(?:label|also|avoid|warn|since|state)\b")
_EVERYTHING = re.compile(r"^(?:all|any releaser|single|(?:all )?(?:cosmetic )?products|general|any|every product|)$")


@dataclass(frozen=True)
class Bar:
    """One use that a scope rules out. All of what is named has to be met.

    Attributes
    ----------
    words : str
        The table's words.
    place : str
        A place of `PLACE_WORDS`; empty for any.
    use : {'', 'rinse-off', 'leave-on'}
    spray, children : bool
        Only sprays; only small children.
    exception : str
        What the table takes out again ("shampoo").
    """

    words: str
    place: str = ""
    use: str = ""
    spray: bool = False
    children: bool = False
    exception: str = ""


@dataclass(frozen=True)
class Scope:
    """What a table's prose says of where a limit holds.

    Attributes
    ----------
    applies : {'all', 'rinse-off', 'leave-on'}
    places : tuple of (str, str)
        Only these places, each with the use it is named with (``rinse-off``, ``leave-on`` or empty); empty for all.
    places_only : bool
        The table says "only": elsewhere the substance is not allowed.
    spray_only : bool
    single : bool
        Each substance counts by itself, not their sum.
    bars : tuple of Bar
    to_check : tuple of str
        Words that may restrict and are not understood: for the maker to check.
    duties : tuple of str
        What has to be done or labelled beside the figure.
    """

    applies: str = "all"
    places: tuple[tuple[str, str], ...] = ()
    places_only: bool = False
    spray_only: bool = False
    single: bool = False
    bars: tuple[Bar, ...] = ()
    to_check: tuple[str, ...] = ()
    duties: tuple[str, ...] = ()


@dataclass(frozen=True)
class Standing:
    """How a limit stands to one product.

    Attributes
    ----------
    kind : {'applies', 'barred', 'elsewhere'}
        The figure holds; the substance is not allowed in such a product; the row is for other products.
    reason : str
        The table's words that decide; empty where the figure simply holds.
    to_check : tuple of str
        What the maker has to check before the figure may be trusted.
    """

    kind: str
    reason: str = ""
    to_check: tuple[str, ...] = ()


@lru_cache(maxsize=1024)
def read_scope(text: str) -> Scope:
    """The scope in a table's words, read with caution: whatever may restrict and is not understood is kept for the
    maker to check.

    Parameters
    ----------
    text : str
        Such as ``rinse-off; not <3 yr except bath/shower/shampoo; not oral/lip``.

    Returns
    -------
    Scope
    """
    applies: set[str] = set()
    places: list[tuple[str, str]] = []
    bars: list[Bar] = []
    to_check: list[str] = []
    duties: list[str] = []
    single = spray_only = places_only = False
    for clause in _clauses(text):
        low = clause.casefold()
        if re.match(rf"{_NEGATIVE}\b", low):
            got, odd = _bars(clause, low)
            bars += got
            to_check += odd
            continue
        if _DUTY.match(low):
            duties.append(clause)
            continue
        rinse, leave = bool(_RINSE.search(low)), bool(_LEAVE.search(low))
        named = [p for p, words in PLACE_WORDS.items() if re.search(rf"\b(?:{words})\b", low)]
        only = re.search(r"\bonly\b", low) is not None
        uses = ({"rinse-off"} if rinse or (not leave and _WASHES.search(low)) else set()) | (
            {"leave-on"} if leave else set()
        )
        applies |= set() if named else uses
        if only and rinse != leave:
            bars.append(Bar(clause, use="leave-on" if rinse else "rinse-off"))
        places += [(p, next(iter(uses)) if len(uses) == 1 else "") for p in named]
        places_only = places_only or (only and bool(named))
        single = single or low == "single"
        spray_only = spray_only or (only and bool(_SPRAY.search(low)))
        understood = (
            rinse or leave or named or _WASHES.search(low) or _EVERYTHING.match(low) or (only and _SPRAY.search(low))
        )
        if not understood or _CHILDREN.search(low) or (_SPRAY.search(low) and not only):
            to_check.append(clause)
    applies |= {use for _, use in places} if places and all(use for _, use in places) else set()
    use = applies.pop() if len(applies) == 1 else "all"
    return Scope(
        use,
        tuple(dict.fromkeys(places)),
        places_only,
        spray_only,
        single,
        tuple(dict.fromkeys(bars)),
        tuple(to_check),
        tuple(duties),
    )


def _clauses(text: str) -> list[str]:
    """The text cut at semicolons, brackets, commas and before each word that denies; "not … except …" stays in one
    piece.
    """
    found: list[str] = []
    for piece in re.split(r"[;()]|,\s", " ".join(text.split())):
        for part in re.split(r"(?i)\s+(?=(?:not|excluding|prohibited|banned|forbidden|never|other than)\b)", piece):
            denied = re.match(rf"(?i)\s*{_NEGATIVE}\b", part)
            found += [part] if denied else re.split(r"(?i)\s+(?=except\b)", part)
    return [c.strip() for c in found if c.strip()]


def _bars(clause: str, low: str) -> tuple[list[Bar], list[str]]:
    body = re.sub(rf"^{_NEGATIVE}\b\s*(?:allowed|permitted|for|in|on|to be used)?\s*", "", low)
    body, _, exception = body.partition("except")
    if re.match(r"prohibited|banned|forbidden", low) and re.match(r"\s*(?:$|since\b|from\b|\d)", body):
        return [Bar(clause)], []
    bars: list[Bar] = []
    odd: list[str] = [] if body.strip() else [clause]
    for piece in re.split(r"/|\bor\b|\band\b", body):
        spray, children = bool(_SPRAY.search(piece)), bool(_CHILDREN.search(piece))
        use = "leave-on" if _LEAVE.search(piece) else "rinse-off" if _RINSE.search(piece) else ""
        named = [p for p, words in PLACE_WORDS.items() if re.search(rf"\b(?:{words})\b", piece)]
        if named == ["body"] and re.search(r"lotion|cream|butter|milk", piece):
            use = use or "leave-on"
        if named or spray or children or use:
            bars += [Bar(clause, place, use, spray, children, exception.strip()) for place in named or [""]]
        elif piece.strip():
            odd.append(clause)
    return bars, list(dict.fromkeys(odd))


def standing(scope: Scope, product: ProductType) -> Standing:
    """How a limit of this scope stands to a product; the strictest of its places counts.

    Parameters
    ----------
    scope : Scope
    product : ProductType

    Returns
    -------
    Standing
    """
    use = "rinse-off" if product.rinse_off else "leave-on"
    to_check = list(scope.to_check)
    for bar in scope.bars:
        hit = _hit(bar, product, use)
        if hit == "yes":
            return Standing("barred", bar.words)
        if hit == "perhaps":
            to_check.append(bar.words)
    if scope.applies not in {"all", use} or (scope.spray_only and not product.spray):
        return Standing("elsewhere", scope.applies if scope.applies not in {"all", use} else "spray")
    named = ", ".join(dict.fromkeys(place for place, _ in scope.places))
    owns = [
        any(
            _touches(place, replace(product, places=(own,))) == "yes" and use_of in {"", use}
            for place, use_of in scope.places
        )
        for own in product.places
    ]
    if scope.places_only and not all(owns):
        return Standing("barred", f"{named} only")
    if scope.places and not any(owns):
        return Standing("elsewhere", named)
    return Standing("applies", "", tuple(dict.fromkeys(to_check)))


def _touches(place: str, product: ProductType) -> str:
    places = set(product.places)
    if place == "oral":
        return "perhaps" if "lips" in places else "no"
    if place == "nappy area":
        return "yes" if places & {"baby", "intimate area", "body"} else "no"
    if place == "body" and "baby" in places:
        return "yes"
    return "yes" if place in places else "no"


def _hit(bar: Bar, product: ProductType, use: str) -> str:
    if (
        (bar.spray and not product.spray)
        or (bar.children and not for_small_children(product))
        or (bar.use and bar.use != use)
    ):
        return "no"
    touch = _touches(bar.place, product) if bar.place else "yes"
    if (
        touch == "yes"
        and bar.exception
        and product.rinse_off
        and (_WASHES.search(bar.exception) or _RINSE.search(bar.exception))
    ):
        shampoo_only = set(product.places) == {"hair"} and "shampoo" in bar.exception
        return "no" if shampoo_only else "perhaps"
    return touch
