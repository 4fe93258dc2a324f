"""How names are compared: capitals, blanks, hyphens, accents, Greek letters, British spellings make no difference."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache

GREEK = {
    "α": "alpha",
    "β": "beta",
    "γ": "gamma",
    "δ": "delta",
    "ε": "epsilon",
    "κ": "kappa",
    "ω": "omega",
    "ψ": "psi",
    "ß": "beta",
}
BRITISH = (
    ("sulph", "sulf"),
    ("aluminium", "aluminum"),
    ("colour", "color"),
    ("oestr", "estr"),
    ("caesium", "cesium"),
    ("hydrochloride", "hcl"),
)
"""Other spellings of one thing → the one that is compared; ``HCl`` is how INCI writes a hydrochloride."""
GRADES = re.compile(
    r"(?i)[\s,]+\(?(?:usp|bp|ep|ph\.? ?eur\.?|nf|food grade|cosmetic grade|technical grade|pharma grade|powder|"
    r"powdered|crystals?|granules|granular|flakes|pellets|pastilles|pure|organic|bio|"
    r"refined|unrefined|virgin|extra virgin|cold[- ]pressed|raw|deodori[sz]ed|fine|coarse|natural|vegan|kosher|"
    r"essential oil)\)?$"
)
_GRADES_BEFORE = re.compile(
    r"(?i)^(?:organic|refined|unrefined|extra virgin|virgin|cold[- ]pressed|raw|pure|natural|food grade|"
    r"cosmetic grade|powdered|deodori[sz]ed)\s+(?=\S)"
)
_DIGIT = re.compile(r"[0-9]")
_NEITHER = re.compile(r"[^a-z0-9]+")
_NOTHING = re.compile(r"(?<![0-9])[^a-z0-9]+|[^a-z0-9]+(?![a-z0-9])|[^a-z0-9]+(?=[a-z])")
_BETWEEN = re.compile(r"[^a-z0-9]+")
_FOOTNOTE = re.compile(r"\s*\(\d{1,2}\s?\)\s*$")
_GREEK = re.compile("[" + "".join(GREEK) + "]")


@lru_cache(maxsize=32768)
def fold(name: str) -> str:
    """The name as names are compared: letters and digits only, small, ``-`` between two numbers that stood apart.

    Parameters
    ----------
    name : str
        A name in any spelling, such as ``α-Isomethyl Ionone`` or ``1,2-Hexanediol``.

    Returns
    -------
    str
        ``alphaisomethylionone``, ``1-2hexanediol``; empty where the name holds neither letter nor digit.
    """
    bare = _FOOTNOTE.sub("", name) if name.endswith(")") else name
    text = bare.casefold()
    if not text.isascii():
        text = _GREEK.sub(lambda found: GREEK[found[0]], bare.replace("ß", "beta").casefold())
        text = "".join(c for c in unicodedata.normalize("NFKD", text) if not unicodedata.combining(c))
    key = _BETWEEN.sub("-", _NOTHING.sub("", text)) if _DIGIT.search(text) else _NEITHER.sub("", text)
    return american(key)


def american(key: str) -> str:
    """A name or a pattern of names, in small letters, with the spellings that are compared (`BRITISH`)."""
    for british, compared in BRITISH:
        if british in key:
            key = key.replace(british, compared)
    return key


def words(name: str) -> tuple[str, ...]:
    """The words and numbers of a name, folded one by one."""
    return tuple(w for w in (fold(piece) for piece in re.split(r"[\s/()\[\],;&+\-–—.'’]+", name)) if w)


def without_brackets(name: str) -> str:
    """The name without what stands in round brackets: ``Helianthus Annuus (Sunflower) Seed Oil`` → ``Helianthus
    Annuus Seed Oil``.
    """
    return " ".join(re.sub(r"\([^()]*\)", " ", name).split())


def without_grade(name: str) -> str:
    """The name without a grade or form before or behind it: ``Citric Acid powder`` → ``Citric Acid``, ``Extra virgin
    olive oil`` → ``olive oil``.
    """
    return _GRADES_BEFORE.sub("", GRADES.sub("", name.strip()))
