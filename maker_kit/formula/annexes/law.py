"""The tables of Annexes II–VI, read once: entries, the uses each lists, their conditions, and by which name each is
found.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import lru_cache

from maker_kit import reference
from maker_kit.formula.annexes.entries import Condition, Entry, Prohibition, Use, WarningLine
from maker_kit.formula.annexes.uses import Clause, read_clauses
from maker_kit.formula.substances.cas import cas_numbers
from maker_kit.formula.substances.naming import table_key
from maker_kit.formula.substances.published import names_of
from maker_kit.formula.substances.spelling import fold


@dataclass(frozen=True)
class Law:
    """The annexes, and by which key each entry is found.

    Attributes
    ----------
    entries : tuple of Entry
    by_key, by_cas : dict of str to tuple of int
        Key of a substance, or CAS number → places in `entries`.
    prohibitions : tuple of Prohibition
    banned, banned_linked, banned_salts, banned_cas : dict of str to tuple of int
        Key → places in `prohibitions`, by the entry's own names, by linked names, by names whose salts the entry
        names too, and by CAS number.
    banned_starts : dict of str to tuple of int
        Key with which a name begins (a plant, with its preparations) → places in `prohibitions`.
    words : dict of str to tuple of (str, str, str, frozenset of str)
        Word → (annex, entry, ``first`` where it has to be the first word, keys it does not mean).
    """

    entries: tuple[Entry, ...]
    by_key: dict[str, tuple[int, ...]] = field(default_factory=dict)
    by_cas: dict[str, tuple[int, ...]] = field(default_factory=dict)
    prohibitions: tuple[Prohibition, ...] = ()
    banned: dict[str, tuple[int, ...]] = field(default_factory=dict)
    banned_linked: dict[str, tuple[int, ...]] = field(default_factory=dict)
    banned_salts: dict[str, tuple[int, ...]] = field(default_factory=dict)
    banned_cas: dict[str, tuple[int, ...]] = field(default_factory=dict)
    banned_starts: dict[str, tuple[int, ...]] = field(default_factory=dict)
    words: dict[str, tuple[tuple[str, str, str, frozenset[str]], ...]] = field(default_factory=dict)

    def entry(self, annex: str, number: str) -> Entry:
        """The first entry of that number.

        Raises
        ------
        KeyError
            If there is none.
        """
        for entry in self.entries:
            if entry.annex == annex and entry.number == number:
                return entry
        raise KeyError((annex, number))


@lru_cache(maxsize=1)
def law() -> Law:
    """Annexes II–VI, read once.

    Returns
    -------
    Law

    Raises
    ------
    WorkshopError
        If a table is missing or lacks a column.
    """
    entries = _entries()
    found = Law(entries, prohibitions=_prohibitions())
    dropped = {
        (r["annex"], r["entry"], table_key(r["inci"]))
        for r in reference.rows("annex_factors.csv")
        if r["group"] == "not alone"
    }
    for place, entry in enumerate(entries):
        for key in {table_key(n) for n in entry.names}:
            if (entry.annex, entry.number, key) not in dropped:
                found.by_key[key] = (*found.by_key.get(key, ()), place)
    for place, row in enumerate(_entry_rows()):
        for number in cas_numbers(row["cas"]):
            found.by_cas[number] = (*found.by_cas.get(number, ()), place)
    _index_prohibitions(found)
    for row in reference.rows("annex_words.csv", columns=("annex", "entry", "word", "where", "unless")):
        unless = frozenset(table_key(n) for n in row["unless"].split("; ") if n)
        found.words[row["word"]] = (
            *found.words.get(row["word"], ()),
            (row["annex"], row["entry"], row["where"], unless),
        )
    return found


@lru_cache(maxsize=1)
def _entry_rows() -> tuple[reference.Row, ...]:
    columns = ("annex", "record", "entry", "substance", "names", "more_names", "texts", "cas", "moved", "declare_quote")
    return tuple(row for row in reference.rows("annex_entries.csv", columns=columns) if not row["moved"])


def _entries() -> tuple[Entry, ...]:
    readings: dict[tuple[str, str], reference.Row] = {}
    by_hand: dict[tuple[str, str, str], reference.Row] = {}
    for row in reference.rows(
        "annex_products.csv", columns=("annex", "entry", "letter", "product", "covers", "may", "most")
    ):
        if row["entry"]:
            by_hand[row["annex"], row["entry"], row["letter"]] = row
        else:
            readings[row["annex"], row["product"]] = row
    uses: dict[str, list[reference.Row]] = {}
    for row in reference.rows("annex_uses.csv", columns=("record", "letter", "product", "most_text", "most")):
        uses.setdefault(row["record"], []).append(row)
    conditions: dict[tuple[str, str], list[Condition]] = {}
    for row in reference.rows(
        "annex_conditions.csv", columns=("annex", "entry", "letter", "members", "kind", "value", "where", "says")
    ):
        where, _, unless = row["where"].partition("unless ")
        made = Condition(
            row["kind"],
            row["letter"],
            row["members"],
            row["value"],
            read_clauses(where),
            read_clauses(unless),
            row["says"],
        )
        conditions.setdefault((row["annex"], row["entry"]), []).append(made)
    more: dict[tuple[str, str], list[str]] = {}
    for row in reference.rows("annex_members.csv", columns=("annex", "entry", "inci")):
        more.setdefault((row["annex"], row["entry"]), []).append(row["inci"])
    warnings: dict[str, list[WarningLine]] = {}
    for row in reference.rows("annex_warnings.csv", columns=("record", "letters", "line", "text", "around", "kind")):
        letters, footnote = frozenset(row["letters"].split()), row["kind"] == "footnote"
        line = WarningLine(letters, row["line"], row["text"], row["around"], footnote)
        warnings.setdefault(row["record"], []).append(line)
    found = []
    for row in _entry_rows():
        annex, number = row["annex"], row["entry"]
        listed = (
            *names_of(row, "names", "more_names"),
            *more.get((annex, number), ()),
            *names_of(row, "texts"),
        )
        read = tuple(_use(annex, number, use, readings, by_hand) for use in uses[row["record"]])
        found.append(
            Entry(
                annex,
                number,
                row["substance"],
                tuple(dict.fromkeys(listed)),
                read,
                tuple(conditions.get((annex, number), ())),
                row["basis"],
                tuple(warnings.get(row["record"], ())),
                row["declare_quote"],
                row["declare_as"],
                _percent(row["declare_leave_on"]),
                _percent(row["declare_rinse_off"]),
                row["instrument"],
                row["updated"],
                bool(row["salts"]),
            )
        )
    return tuple(found)


def _use(
    annex: str,
    number: str,
    row: reference.Row,
    readings: dict[tuple[str, str], reference.Row],
    by_hand: dict[tuple[str, str, str], reference.Row],
) -> Use:
    product = row["product"]
    said = product or (row["most_text"] if annex == "IV" and not row["most"] else "")
    reading = by_hand.get((annex, number, row["letter"])) or readings.get((annex, said))
    use = Use(row["letter"], said, _percent(row["most"]), row["most_text"])
    if reading is None:
        return replace(use, covers=(Clause("any"),))
    most = _percent(reading["most"]) if reading["entry"] and reading["most"] else use.most
    rest = reading["covers"] == "other"
    return replace(
        use,
        most=most,
        covers=() if rest else read_clauses(reading["covers"]),
        may=read_clauses(reading["may"]),
        the_rest=rest,
    )


def _percent(text: str) -> Fraction | None:
    return Fraction(text) if text else None


def _prohibitions() -> tuple[Prohibition, ...]:
    found = []
    for row in reference.rows(
        "annex_ii.csv",
        columns=(
            "entry",
            "name",
            "names",
            "linked",
            "cas",
            "flag",
            "about",
            "linked_flag",
            "family",
            "see",
            "not_these",
        ),
    ):
        see: list[tuple[str, str]] = []
        if row["see"]:
            annex, *numbers = row["see"].split()
            for number in numbers:
                first, _, last = number.partition("-")
                see += [(annex, str(n)) for n in range(int(first), int(last) + 1)] if last else [(annex, number)]
        excepted = frozenset(table_key(n) for n in row["not_these"].split("; ") if n)
        conditional = "moved" if row["flag"] == "moved" else row["about"] if row["flag"] else ""
        found.append(
            Prohibition(row["entry"], row["name"], conditional, tuple(see), excepted, row["instrument"], row["updated"])
        )
    return tuple(found)


def _index_prohibitions(found: Law) -> None:
    def put(index: dict[str, tuple[int, ...]], key: str, place: int) -> None:
        if key and place not in index.get(key, ()):
            index[key] = (*index.get(key, ()), place)

    for place, row in enumerate(reference.rows("annex_ii.csv")):
        if row["flag"] == "moved":
            continue
        own = row["names"].split("; ") if row["names"] else [row["name"]]
        put(found.banned, fold(row["name"]), place)
        for name in own:
            for key in {fold(name), table_key(name)}:
                put(found.banned, key, place)
                if row["family"] in {"salts", "compounds"}:
                    put(found.banned_salts, key, place)
            if row["family"] == "preparations" and re.match(r"^[A-Z][a-z]{5,}$|^[A-Z][a-z]{2,} [a-z]{3,}", name):
                put(found.banned_starts, fold(" ".join(name.split()[:2])), place)
        for name in row["linked"].split("; "):
            put(found.banned_linked if row["linked_flag"] else found.banned, table_key(name) if name else "", place)
        for number in cas_numbers(row["cas"]):
            put(found.banned_cas, number, place)
