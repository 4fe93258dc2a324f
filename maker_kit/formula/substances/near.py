"""Names that are a letter or two off a published one: asked about, never taken in silence."""

from __future__ import annotations

from functools import lru_cache

from maker_kit.formula.substances.naming import either_of, substance
from maker_kit.formula.substances.published import in_title_case, published
from maker_kit.formula.substances.spelling import fold, words

SHORTEST = 5
_KINDS = ("oil", "extract", "butter", "water")
_ENDS = (
    *_KINDS,
    "wax",
    "seed",
    "kernel",
    "flower",
    "leaf",
    "fruit",
    "root",
    "peel",
    "powder",
    "juice",
    "protein",
    "acid",
)
"""Words that INCI names of plants and acids end with."""
TWO_LETTERS_FROM = 10
"""Length of a folded name from which two letters may be off; below it one."""


@lru_cache(maxsize=1)
def _index() -> tuple[dict[tuple[int, int, str], tuple[str, ...]], frozenset[str]]:
    """(length, which third, third of the name) → folded names, and all words of published names.

    Of a name cut in three, a spelling with at most two letters off keeps at least one part whole (pigeonhole
    principle).
    """
    tables = published()
    parts: dict[tuple[int, int, str], list[str]] = {}
    for key in {*tables.names, *tables.means, *tables.distinct}:
        if len(key) >= SHORTEST and not key.replace("-", "").isdigit():
            for third, piece in enumerate(_thirds(key)):
                parts.setdefault((len(key), third, piece), []).append(key)
    vocabulary = {
        word
        for name in (*tables.names.values(), *tables.distinct.values(), *tables.means.values())
        for word in words(name)
    }
    return {place: tuple(names) for place, names in parts.items()}, frozenset(vocabulary)


def _thirds(key: str) -> tuple[str, str, str]:
    a, b = len(key) // 3, 2 * len(key) // 3
    return key[:a], key[a:b], key[b:]


@lru_cache(maxsize=4096)
def near_word(name: str) -> tuple[str, str]:
    """A word of an unknown name that no published name has, a letter off one that such names end with: ``il`` and
    ``Oil`` of *Vitis Vinifera Seed il*; two empty texts where there is none.
    """
    if substance(name).known:
        return "", ""
    _, vocabulary = _index()
    for written in name.split():
        word = written.casefold()
        if word.isalpha() and len(word) > 1 and word not in vocabulary:
            for end in _ENDS:
                if _distance(word, end, 1) == 1:
                    return written, end.title()
    return "", ""


@lru_cache(maxsize=4096)
def near_names(name: str) -> tuple[str, ...]:
    """The published names that an unknown name is a letter or two off, or between which only the maker can tell
    (`either_of`).

    Parameters
    ----------
    name : str

    Returns
    -------
    tuple of str
        The nearest first, at most three; empty for a known name, for one of which every word is a word of published
        names (a correctly spelt other substance), and where only a
        number differs (``Polysorbate 20`` and ``Polysorbate 80``).
    """
    if told := either_of(name):
        return told
    tables = published()
    key = fold(name)
    meant = substance(name)
    if meant.known or meant.key in tables.distinct or meant.faulty_cas or len(key) < SHORTEST:
        return ()
    index, vocabulary = _index()
    if all(word in vocabulary or word.isdigit() for word in words(name)):
        return ()
    most = 2 if len(key) >= TWO_LETTERS_FROM else 1
    seen: set[str] = set()
    for length in range(len(key) - most, len(key) + most + 1):
        a, b = length // 3, 2 * length // 3
        for third, (start, end) in enumerate(((0, a), (a, b), (b, length))):
            for shift in range(-most, most + 1):
                if 0 <= start + shift < end + shift <= len(key):
                    seen.update(index.get((length, third, key[start + shift : end + shift]), ()))
    found: dict[str, int] = {}
    digits = [c for c in key if c.isdigit()]
    for other in seen:
        off = _distance(key, other, most)
        if 0 < off <= most and [c for c in other if c.isdigit()] == digits and _of_one_kind(key, other):
            published_name = (
                tables.names.get(fold(tables.means.get(other, other)))
                or tables.distinct.get(other)
                or tables.means.get(other, other)
            )
            shown = in_title_case(published_name)
            found[shown] = min(off, found.get(shown, off))
    return tuple(sorted(found, key=lambda n: (found[n], n))[:3])


def _of_one_kind(key: str, other: str) -> bool:
    """Whether two folded names are of one kind as far as their ends tell: an oil is no near miss of what is none."""
    return all(key.endswith(kind) is other.endswith(kind) for kind in _KINDS)


def _distance(a: str, b: str, most: int) -> int:
    """Letters to insert, leave out, replace or swap with the next (optimal string alignment); `most` + 1 where it is
    more.
    """
    if abs(len(a) - len(b)) > most:
        return most + 1
    before: list[int] = []
    last = list(range(len(b) + 1))
    for i, x in enumerate(a, start=1):
        row = [i]
        for j, y in enumerate(b, start=1):
            step = min(last[j] + 1, row[j - 1] + 1, last[j - 1] + (x != y))
            if i > 1 and j > 1 and x == b[j - 2] and a[i - 2] == y:
                step = min(step, before[j - 2] + 1)
            row.append(step)
        if min(row) > most:
            return most + 1
        before, last = last, row
    return last[-1]
