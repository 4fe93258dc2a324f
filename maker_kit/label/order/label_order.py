"""An ordered list of names, and what is known of their amounts: the question, as exact figures."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from maker_kit.errors import LabelError, QuantityError, short
from maker_kit.names import name_key
from maker_kit.numbers import exact_share

Percent = str | int | float | Decimal | Fraction
LAWS = ("us", "eu", "all")
"""Above the 1 % line more than 1 % and under it at most 1 % (21 CFR 701.3(f)); 1 % or more and less than 1 %
(Regulation (EC) No 1223/2009, Article 19(1)(g), read strictly); no line, descending all the way."""
MOST_NAMES = 150
"""Longest list that is taken; nothing on a pack is longer (common practice, no source)."""


@dataclass(frozen=True)
class NameSum:
    """A sum over several names.

    Attributes
    ----------
    names : tuple of str
    least, most : Fraction or None
        Least and most of all of them together [% by mass]; None where nothing is known.
    """

    names: tuple[str, ...]
    least: Fraction | None = None
    most: Fraction | None = None


@dataclass(frozen=True)
class LabelOrder:
    """An ordered list of names with what is known of them. Made by `label_order`.

    Attributes
    ----------
    names : tuple of str
        As the label has them; the colours last.
    law : {'eu', 'us', 'all'}
        Whose 1 % line holds; ``all`` where the order is meant to hold to the end.
    colours_last : int
        How many of the last names are colours: free in order and size.
    at_most, at_least : Mapping of str to Fraction
        Most and least of a name [% by mass].
    sums : tuple of NameSum
    maybe_absent : frozenset of str
        Names that may not be there at all ("may contain"); every other name is more than nothing.
    """

    names: tuple[str, ...]
    law: str
    colours_last: int
    at_most: Mapping[str, Fraction]
    at_least: Mapping[str, Fraction]
    sums: tuple[NameSum, ...] = ()
    maybe_absent: frozenset[str] = frozenset()

    def keeping(
        self, at_most: Iterable[str] | None = None, at_least: Iterable[str] | None = None, sums: Iterable[int] = ()
    ) -> LabelOrder:
        """The same order with some of its rules only: caps and floors of these names (all where None), these sums."""
        caps = self.at_most if at_most is None else {n: self.at_most[n] for n in at_most}
        floors = self.at_least if at_least is None else {n: self.at_least[n] for n in at_least}
        return replace(self, at_most=caps, at_least=floors, sums=tuple(self.sums[k] for k in sums))


def label_order(
    names: Sequence[str],
    *,
    law: str = "eu",
    colours_last: int = 0,
    at_most: Mapping[str, Percent] | None = None,
    at_least: Mapping[str, Percent] | None = None,
    sums: Iterable[NameSum | Mapping[str, object]] = (),
    maybe_absent: Iterable[str] = (),
) -> LabelOrder:
    """An ordered list with what is known of it, checked.

    Parameters
    ----------
    names : sequence of str
    law : {'eu', 'us', 'all'}
    colours_last : int
    at_most, at_least : Mapping of str to number
        Percent by mass [%] by name; a text or a float is taken by its decimal text.
    sums : iterable of NameSum, or of Mapping with ``names`` and ``least`` or ``most``
    maybe_absent : iterable of str

    Returns
    -------
    LabelOrder

    Raises
    ------
    LabelError
        If there is no name, more than `MOST_NAMES`, a name twice, an unknown law, or a rule for a name that is not
        there.
    QuantityError
        If a figure is no percentage from 0 to 100.
    """
    names = tuple(names)
    keys = [name_key(n) for n in names]
    twice = [n for k, n in enumerate(names) if keys[k] in keys[:k]]
    unknown = [n for n in (*(at_most or {}), *(at_least or {}), *maybe_absent) if n not in names]
    fault = ""
    if not names or not all(keys):
        fault = "a label order needs names, one after the other; none is given, or one is empty"
    elif len(names) > MOST_NAMES:
        fault = f"{len(names)} names: a list of at most {MOST_NAMES} is taken; look whether two lists were joined"
    elif twice:
        fault = f'"{short(twice[0])}" stands twice in this list; a name is listed once, so look at the pack again'
    elif law not in LAWS:
        fault = f'the 1 % line is "{law}", and here it is one of {", ".join(LAWS)}'
    elif not 0 <= colours_last <= len(names):
        fault = f"{colours_last} colours last, in a list of {len(names)} names"
    elif unknown:
        fault = f'"{short(unknown[0])}" has a figure and does not stand in this list; correct the name'
    if fault:
        raise LabelError(fault)
    made = tuple(_sum(s, names) for s in sums)
    caps = {n: _share(p, f"the most of {short(n)}") for n, p in (at_most or {}).items()}
    floors = {n: _share(p, f"the least of {short(n)}") for n, p in (at_least or {}).items()}
    return LabelOrder(names, law, colours_last, caps, floors, made, frozenset(maybe_absent))


def _share(percent: Percent, what: str) -> Fraction:
    if isinstance(percent, str):
        try:
            percent = Fraction(percent)
        except (ValueError, ZeroDivisionError):
            raise QuantityError(
                f'{what} is "{short(percent)}", and that is no percentage; write a plain number'
            ) from None
    return exact_share(percent, what)


def _sum(given: NameSum | Mapping[str, object], names: tuple[str, ...]) -> NameSum:
    if isinstance(given, NameSum):
        members, ends = given.names, (given.least, given.most)
    else:
        members, ends = tuple(given["names"]), (given.get("least"), given.get("most"))
    strange = [n for n in members if n not in names]
    if not members or strange or len(set(members)) < len(members):
        what = f'"{short(strange[0])}" does not stand in this list' if strange else "it names none, or one twice"
        raise LabelError(f"a sum over several names: {what}; correct the sum")
    least, most = (None if e is None else _share(e, f"a sum over {len(members)} names") for e in ends)
    return NameSum(members, least, most)
