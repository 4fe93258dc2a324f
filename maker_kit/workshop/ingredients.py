"""Ingredients with what is inside them, what they are made from at the bench, and the certificates of scents."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import Decimal

from maker_kit.formula.limits.categories import FIRST_AMENDMENT, known_categories, plain_category
from maker_kit.formula.recipe import Certificate, Ingredient, Share
from maker_kit.names import name_key, near_miss
from maker_kit.workshop.csv.faults import FaultBook, Names, shown
from maker_kit.workshop.csv.records import Record, Records, as_float, grouped

_WHOLE_SCENT = frozenset({"parfum", "fragrance", "aroma"})


def read_ingredients(
    listed: Records, inside: Records, made: Records, papers: Records, book: FaultBook
) -> tuple[dict[str, Ingredient], Names]:
    """The ingredients of a workshop.

    Parameters
    ----------
    listed, inside, made, papers : Records
        Rows of ingredients.csv, whats_inside.csv, bench_made.csv and certificates.csv.
    book : FaultBook
        Where faults go.

    Returns
    -------
    ingredients : dict of str to Ingredient
        Those whose own row could be read.
    names : Names
        All names, also those of rows with a fault.
    """
    names = Names.of("an ingredient", listed.file, listed.names("name"))
    for record in listed:
        _check_range(record, "least", "most", book)
    shares = grouped(inside, "mixture", names, book)
    parts = grouped(made, "mixture", names, book)
    certificates = grouped(papers, "scent", names, book)
    for record in made:
        if record["made_from"]:
            names.check(book, record.place("made_from"), record["made_from"])
    for record in inside:
        _check_range(record, "low", "high", book, both=True)
    for record in papers:
        _check_category(record, book)
    _check_parts(parts, names, book)
    by_name = {r["name"]: r for r in listed if r["name"]}
    for mixture, rows in shares.items():
        _check_shares(mixture, rows, by_name.get(mixture), mixture in parts, book)
    found = {r["name"]: _ingredient(r, shares, parts, certificates, names) for r in listed if r.whole}
    return found, names


def _check_range(record: Record, low: str, high: str, book: FaultBook, *, both: bool = False) -> None:
    if low not in record.values or high not in record.values:
        return
    least, most = record[low], record[high]
    if least is not None and most is not None and least > most:
        record.refuse(
            book,
            low,
            f"at most {most:f}, which stands under {record.heading(high)!r}",
            "exchange the two, or correct one",
        )
    if both and (least is None) != (most is None):
        blank, hint = (
            (low, "write 0 where the supplier says only the most")
            if least is None
            else (high, "write 100 where the supplier says only the least")
        )
        record.refuse(book, blank, "both a low and a high percent, or neither where it is not known", hint)


def _check_category(record: Record, book: FaultBook) -> None:
    if (
        record["amendment"]
        and record["category"]
        and record["amendment"] >= FIRST_AMENDMENT
        and plain_category(record["category"]) not in known_categories()
    ):
        record.refuse(
            book,
            "category",
            "one of the categories since the 49th amendment: " + ", ".join(known_categories()),
            "write the category as the paper has it; if the paper counts other classes, its amendment is an earlier one",
        )


def _check_parts(parts: Mapping[str, list[Record]], names: Names, book: FaultBook) -> None:
    sources = {
        mixture: {name_key(names.find(r["made_from"]) or r["made_from"]): r for r in rows if r["made_from"]}
        for mixture, rows in parts.items()
    }
    by_fold = {name_key(m): m for m in parts}
    for mixture, rows in parts.items():
        if all("percent" in r.values for r in rows):
            total = sum((r["percent"] for r in rows), Decimal(0))
            if total != 100:
                book.add(
                    rows[0].file,
                    rows[0].row,
                    "percent",
                    f"parts of {mixture} that add up to {total.normalize():f} %",
                    "100 %",
                    "correct the percents",
                )
        seen, waiting = {name_key(mixture)}, list(sources[mixture])
        while waiting:
            part = waiting.pop()
            if part == name_key(mixture):
                book.add(
                    rows[0].file,
                    rows[0].row,
                    "made from",
                    f"{mixture} is made from itself",
                    "ingredients that are bought, or made from others",
                    "take it out of its own parts",
                )
                break
            if part not in seen and part in by_fold:
                waiting.extend(sources[by_fold[part]])
            seen.add(part)


def _check_shares(mixture: str, rows: Iterable[Record], listed: Record | None, is_made: bool, book: FaultBook) -> None:
    rows = list(rows)
    file, row = rows[0].file, rows[0].row
    lows = sum((r["low"] or Decimal(0) for r in rows), Decimal(0))
    if lows > 100 and all(r["low"] is None or r["high"] is None or r["low"] <= r["high"] for r in rows):
        book.add(
            file,
            row,
            rows[0].heading("low"),
            f"low percents of {mixture} that add up to {lows.normalize():f} %",
            "at most 100 %",
            "correct the percents",
        )
    if is_made:
        book.add(
            file,
            row,
            "mixture",
            f"{mixture}, which bench_made.csv makes from its parts",
            "bought mixtures",
            "take it out of one of the two tables",
        )
    named = [r["substance"] for r in rows if r["substance"]]
    for inci in (listed["inci"] or ()) if listed else ():
        if name_key(inci) not in {name_key(n) for n in named} | _WHOLE_SCENT:
            book.add(
                file,
                row,
                "substance",
                f"no row for {shown(inci)}, which ingredients.csv names as part of {mixture}",
                "a row for every INCI name of a mixture that is listed here",
                f"{near_miss(inci, named).sentence} Correct the name, or add a row and leave low and high blank where they are not known",
            )


def _ingredient(
    record: Record,
    shares: Mapping[str, list[Record]],
    parts: Mapping[str, list[Record]],
    certificates: Mapping[str, list[Record]],
    names: Names,
) -> Ingredient:
    name, inci = record["name"], record["inci"]
    inside = tuple(
        Share(r["substance"], as_float(r["low"]), as_float(r["high"]), r["source"] or "")
        for r in shares.get(name, ())
        if r.whole
    )
    made_from = tuple(
        (names.find(r["made_from"]) or r["made_from"], float(r["percent"])) for r in parts.get(name, ()) if r.whole
    )
    if not inside and not made_from and len(inci) > 1:
        inside = tuple(Share(substance, None, None, "not stated") for substance in inci)
    return Ingredient(
        name=name,
        inci=inci,
        function=record["function"],
        density_g_per_ml=as_float(record["density"]),
        density_source=record["density_from"] or "",
        least_percent=as_float(record["least"]),
        most_percent=as_float(record["most"]),
        inside=inside,
        certificates=tuple(_certificate(r) for r in certificates.get(name, ()) if r.whole),
        made_from=made_from,
    )


def _certificate(record: Record) -> Certificate:
    category = plain_category(record["category"]) if record["amendment"] >= FIRST_AMENDMENT else record["category"]
    return Certificate(record["amendment"], category, float(record["most"]), record["source"])
