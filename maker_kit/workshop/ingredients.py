"""Ingredients with what is inside them, what they are made from at the bench, and the certificates of scents."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal

from maker_kit.formula.limits.categories import FIRST_AMENDMENT, known_categories, plain_category
from maker_kit.formula.recipe import Certificate, Ingredient, Share
from maker_kit.names import name_key, near_miss
from maker_kit.workshop.csv.faults import Names, shown
from maker_kit.workshop.csv.records import Record, Records
from maker_kit.workshop.csv.same_rows import grouped

_WHOLE_SCENT = frozenset({"parfum", "fragrance", "aroma"})
_ONE_END = "write 0 where the supplier says only the most", "write 100 where the supplier says only the least"
_CORRECT = "correct the percents"

Grouped = Mapping[str, list[Record]]


def read_ingredients(
    listed: Records, inside: Records, made: Records, papers: Records
) -> tuple[dict[str, Ingredient], Names]:
    """The ingredients of a workshop.

    Parameters
    ----------
    listed, inside, made, papers : Records
        Rows of ingredients.csv, whats_inside.csv, bench_made.csv and certificates.csv.

    Returns
    -------
    ingredients : dict of str to Ingredient
        Those whose own row could be read.
    names : Names
        All names, also those of rows with a fault.
    """
    names = listed.names("an ingredient", "name")
    for record in listed:
        record.check_ends("least_percent", "most_percent")
    shares, parts = grouped(inside, "mixture", names), grouped(made, "mixture", names)
    certificates = grouped(papers, "scent", names)
    for record in made:
        record.named("made_from", names)
    for record in inside:
        record.check_ends("low_percent", "high_percent", both=_ONE_END)
    for record in papers:
        _check_category(record)
    _check_parts(parts, names)
    by_name = {r["name"]: r for r in listed if r["name"]}
    for mixture, rows in shares.items():
        _check_shares(mixture, rows, by_name.get(mixture), mixture in parts)
    found = {r["name"]: _ingredient(r, shares, parts, certificates, names) for r in listed if r.whole}
    return found, names


def _check_category(record: Record) -> None:
    if (
        record["amendment"]
        and record["category"]
        and record["amendment"] >= FIRST_AMENDMENT
        and plain_category(record["category"]) not in known_categories()
    ):
        record.refuse(
            "category",
            "one of the categories since the 49th amendment: " + ", ".join(known_categories()),
            "write the category as the paper has it; if the paper counts other classes, its amendment is an earlier "
            "one",
        )


def _check_parts(parts: Grouped, names: Names) -> None:
    sources = {
        name_key(mixture): [name_key(names.spelled(r["made_from"])) for r in rows if r["made_from"]]
        for mixture, rows in parts.items()
    }
    for mixture, rows in parts.items():
        if all("percent" in r.values for r in rows):
            total = sum((r["percent"] for r in rows), Decimal(0))
            if total != 100:
                found = f"parts of {mixture} that add up to {total.normalize():f} %"
                rows[0].refuse("percent", "100 %", _CORRECT, found)
        seen: set[str] = set()
        waiting = [*sources[name_key(mixture)]]
        while waiting:
            part = waiting.pop()
            if part not in seen:
                seen.add(part)
                waiting.extend(sources.get(part, ()))
        if name_key(mixture) in seen:
            allowed, mend = "ingredients that are bought, or made from others", "take it out of its own parts"
            rows[0].refuse("made_from", allowed, mend, f"{mixture} is made from itself")


def _check_shares(mixture: str, rows: list[Record], listed: Record | None, is_made: bool) -> None:
    first = rows[0]
    lows = sum((r["low_percent"] or Decimal(0) for r in rows), Decimal(0))
    ends = [(r["low_percent"], r["high_percent"]) for r in rows]
    if lows > 100 and all(low is None or high is None or low <= high for low, high in ends):
        found = f"low percents of {mixture} that add up to {lows.normalize():f} %"
        first.refuse("low_percent", "at most 100 %", _CORRECT, found)
    if is_made:
        found = f"{mixture}, which bench_made.csv makes from its parts"
        first.refuse("mixture", "bought mixtures", "take it out of one of the two tables", found)
    if not all("substance" in r.values for r in rows):
        return
    named = [r["substance"] for r in rows if r["substance"]]
    known = _WHOLE_SCENT.union(map(name_key, named))
    for inci in (listed["inci"] or ()) if listed else ():
        if name_key(inci) not in known:
            hint = near_miss(inci, named).sentence
            first.refuse(
                "substance",
                "a row for every INCI name of a mixture that is listed here",
                f"{hint} Correct the name, or add a row and leave low and high blank where they are not known",
                f"no row for {shown(inci)}, which ingredients.csv names as part of {mixture}",
            )


def _ingredient(record: Record, shares: Grouped, parts: Grouped, certificates: Grouped, names: Names) -> Ingredient:
    def of(rows: Grouped) -> list[Record]:
        return [r for r in rows.get(record["name"], ()) if r.whole]

    inside = tuple(r.make(Share) for r in of(shares))
    made_from = tuple((names.spelled(r["made_from"]), float(r["percent"])) for r in of(parts))
    if not inside and not made_from and len(record["inci"]) > 1:
        inside = tuple(Share(substance, None, None, "not stated") for substance in record["inci"])
    papers = tuple(_certificate(r) for r in of(certificates))
    return record.make(Ingredient, inside=inside, made_from=made_from, certificates=papers)


def _certificate(record: Record) -> Certificate:
    category = record["category"]
    return record.make(
        Certificate, category=plain_category(category) if record["amendment"] >= FIRST_AMENDMENT else category
    )
