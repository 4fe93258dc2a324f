"""The names in a pasted recipe: taken where they are a known name or its INCI name to the letter, and otherwise asked
about.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, field
from difflib import SequenceMatcher
from functools import lru_cache

from maker_kit.formula.ingredient import Ingredient
from maker_kit.formula.substances.naming import substance
from maker_kit.names import NearMiss, near_miss

MASK = "\ue000"
"""Stands for each letter of a known name while numbers are looked for, so that the 75 of "Panthenol 75 %" is no amount.
"""
MOST_COMPARED = 120
"""Longest written name that near misses are looked for [characters]."""

CLOSE_FIRST = 0.75
"""Least likeness of the first words of two names, for one to be offered for the other: *polysorbate* is no slip of
*potassium sorbate*.
"""

_TOKEN = re.compile(r"\w+|[^\w\s]")
_DASHES = str.maketrans(dict.fromkeys("‐‑‒–—―−﹣－", "-"))
_DIGIT_GAP = re.compile("(?<=[0-9])[\u00a0\u2009\u202f](?=[0-9]{3}(?![0-9]))")
_FRACTIONS = {
    chr(c): f" {unicodedata.normalize('NFKC', chr(c)).replace('⁄', '/')} "
    for c in (0xBC, 0xBD, 0xBE, *range(0x2150, 0x215F))
}


def plain(text: str) -> str:
    """One line of text as it is read: single blanks, one kind of dash, ``½`` as ``1/2``, full-width signs as plain
    ones, and nothing invisible.
    """
    if text.isascii() and text.isprintable():
        return " ".join(text.split())
    signs = map(_sign, _DIGIT_GAP.sub("", text).translate(_DASHES).replace("⁄", "/"))
    return " ".join(unicodedata.normalize("NFC", "".join(signs)).split())


@lru_cache(maxsize=2_000)
def _sign(c: str) -> str:
    if c in _FRACTIONS:
        return _FRACTIONS[c]
    if "！" <= c <= "～":
        return chr(ord(c) - 0xFEE0)
    kind = unicodedata.category(c)
    if c.isspace() or kind in {"Cc", "Co", "Cs"}:
        return " "
    return "" if kind == "Cf" else c


@lru_cache(maxsize=20_000)
def tokens(name: str) -> tuple[str, ...]:
    """A name as names are compared: its words and signs, without blanks, in small letters."""
    return tuple(t.casefold() for t in _TOKEN.findall(plain(name)))


@dataclass(frozen=True)
class NameBook:
    """The known names, ready to be found in a text.

    Attributes
    ----------
    known : Mapping of str to Ingredient
    exact : Mapping of tuple to tuple of str
        Words of a name or of a single INCI name to the ingredients that go by it.
    starts : Mapping of str to tuple of tuple
        First word to the names that start with it, the longest first.
    """

    known: Mapping[str, Ingredient]
    exact: Mapping[tuple[str, ...], tuple[str, ...]] = field(default_factory=dict)
    starts: Mapping[str, tuple[tuple[str, ...], ...]] = field(default_factory=dict)

    @classmethod
    def of(cls, known: Mapping[str, Ingredient]) -> NameBook:
        """The names of these ingredients; a name of its own goes before an INCI name."""
        exact: dict[tuple[str, ...], tuple[str, ...]] = {}
        for name in known:
            exact[tokens(name)] = (*exact.get(tokens(name), ()), name)
        own = frozenset(exact)
        for name, ingredient in known.items():
            inci = tokens(ingredient.inci[0]) if len(ingredient.inci) == 1 else ()
            if inci and inci not in own:
                exact[inci] = (*exact.get(inci, ()), name)
        exact.pop((), None)
        starts: dict[str, list[tuple[str, ...]]] = {}
        for words in exact:
            starts.setdefault(words[0], []).append(words)
        return cls(
            known, exact, {first: tuple(sorted(names, key=len, reverse=True)) for first, names in starts.items()}
        )

    def masked(self, line: str) -> str:
        """The line with `MASK` in the place of every sign of a known name; as long as it was."""
        found = list(_TOKEN.finditer(line))
        words = [m[0].casefold() for m in found]
        signs, at = list(line), 0
        while at < len(words):
            name = next((n for n in self.starts.get(words[at], ()) if tuple(words[at : at + len(n)]) == n), None)
            if name is None:
                at += 1
                continue
            start, end = found[at].start(), found[at + len(name) - 1].end()
            signs[start:end] = MASK * (end - start)
            at += len(name)
        return "".join(signs)

    def find(self, written: str) -> str:
        """The ingredient of exactly this name; empty where there is none, or more than one."""
        found = self.exact.get(tokens(written), ())
        if len(found) > 1:
            return written if written in found else ""
        return found[0] if found else ""

    def hint(self, written: str) -> NearMiss:
        """What may have been meant, as a clause: never more than a suggestion."""
        words = tokens(written)
        several = self.exact.get(words, ())
        if not several and words and len(written) <= MOST_COMPARED:
            several = tuple(n for n in self.known if set(words) <= set(tokens(n)))
            if not several:
                inside = [n for n in self.known if set(tokens(n)) <= set(words)]
                several = (max(inside, key=len),) if inside else ()
        several = tuple(n for n in several if not self._another(written, n))
        if several:
            return NearMiss(several, ())
        if len(written) > MOST_COMPARED:
            return near_miss("", self.known)
        like = {n: None for n in self.known if _alike(words, tokens(n)) and not self._another(written, n)}
        near = near_miss(written, like) if like else NearMiss((), ())
        return near if near.close else near_miss("", self.known)

    def _another(self, written: str, name: str) -> bool:
        """Whether the tables know what is written, and as another substance than the ingredient of this name."""
        if len(written) > MOST_COMPARED:
            return False
        meant, inci = substance(written), self.known[name].inci
        return meant.known and len(inci) == 1 and substance(inci[0]).key != meant.key


def _alike(words: tuple[str, ...], others: tuple[str, ...]) -> bool:
    """Whether two names may be spellings of one thing: their first words are a slip apart."""
    return bool(words and others) and SequenceMatcher(None, words[0], others[0]).ratio() >= CLOSE_FIRST
