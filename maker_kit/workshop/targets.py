"""The target cards of a workshop: what a product must do beside a shop product, read and checked."""

from __future__ import annotations

from itertools import pairwise

from maker_kit.names import name_key
from maker_kit.trial.card import LEAST_MUST_HAVES, MOST_MUST_HAVES, MustHave, TargetCard
from maker_kit.workshop.csv.faults import Names, shown
from maker_kit.workshop.csv.records import Record, Records
from maker_kit.workshop.csv.same_rows import check_agreed

OF_TASTERS = "% of tasters"
"""The unit of a gap that is a share of tasters who can tell."""
_WHOLE = ("against", "written_on")


def read_targets(records: Records, recipes: Names, products: Names) -> dict[str, tuple[TargetCard, ...]]:
    """The cards by recipe, each recipe's versions rising.

    Parameters
    ----------
    records : Records
        Rows of targets.csv.
    recipes, products : Names
        The recipes and shop products there are.

    Returns
    -------
    dict of str to tuple of TargetCard
    """
    groups: dict[tuple[str, int], list[Record]] = {}
    for r in records:
        recipe = r.named("recipe", recipes)
        r.named("against", products)
        _check_row(r)
        if recipe and "version" in r.values:
            groups.setdefault((recipe, r["version"]), []).append(r)
    cards: dict[str, list[TargetCard]] = {}
    for (recipe, version), rows in sorted(groups.items(), key=lambda item: item[0]):
        check_agreed(rows, _WHOLE, "card")
        card = _card(recipe, version, rows, products)
        if card is not None:
            cards.setdefault(recipe, []).append(card)
    for recipe in cards:
        _check_versions([(version, rows) for (name, version), rows in groups.items() if name == recipe])
    return {recipe: tuple(found) for recipe, found in cards.items()}


def _card(recipe: str, version: int, rows: list[Record], products: Names) -> TargetCard | None:
    if not LEAST_MUST_HAVES <= len(rows) <= MOST_MUST_HAVES:
        rows[0].refuse(
            "name",
            f"{LEAST_MUST_HAVES} to {MOST_MUST_HAVES} must-haves on a card",
            "a card of a few things that matter can be tried; take the others out"
            if len(rows) > MOST_MUST_HAVES
            else "add what else the product must do",
            f"{len(rows)} on version {version} of the card of {recipe}",
        )
        return None
    against = products.find(rows[0]["against"]) if rows[0]["against"] else None
    if not all(r.whole for r in rows) or not against:
        return None
    return TargetCard(recipe, against, version, rows[0]["written_on"], tuple(r.make(MustHave) for r in rows))


def _check_row(record: Record) -> None:
    measure, unit, gap = record["measure"], (record["unit"] or "").strip(), record["gap"]
    if not measure or "gap" not in record.values:
        return
    if measure == "kind":
        words = [name_key(word) for word in unit.split(";") if word.strip()]
        if unit and (len(words) < 2 or len(set(words)) < len(words)):
            allowed = "for a kind, two words or more to choose from, each once: gel; lotion"
            record.refuse("unit", allowed, "write the kinds that it may be, with semicolons between them")
        if gap is not None:
            record.refuse("gap", "nothing for a kind: it is the same, or it is not", "leave it blank")
        return
    if gap is None or (gap == 0 and measure != "cost"):
        mend = "say how far apart they may lie and still be called the same"
        record.refuse("gap", f"a number above 0, in {unit or 'its unit'}", mend)
    if measure == "tasters":
        if unit and name_key(unit) != OF_TASTERS:
            mend = f"write {OF_TASTERS}: the gap is the share of tasters who may truly tell"
            record.refuse("unit", OF_TASTERS, mend)
        if gap is not None and gap >= 100:
            record.refuse("gap", "below 100 % of the tasters", "30 is usual: of ten, three may truly tell")
    if unit and not any(sign.isalpha() or sign == "%" for sign in unit):
        record.refuse("unit", "a unit, such as s, mm or cm", "write what the figure is in")


def _check_versions(versions: list[tuple[int, list[Record]]]) -> None:
    """Versions follow each other from 1, with days that do not go back: an old card stays to be read."""
    ordered = sorted(versions, key=lambda item: item[0])
    if ordered[0][0] != 1:
        mend = "keep the rows of the first version: results were judged by it"
        ordered[0][1][0].refuse("version", "a card that begins with version 1", mend)
    for (old, before), (new, rows) in pairwise(ordered):
        if new != old + 1:
            mend = f"number it {old + 1}, or put back what is missing"
            rows[0].refuse("version", f"{old + 1}, after version {old}", mend)
        days = before[0]["written_on"], rows[0]["written_on"]
        if None not in days and days[1] < days[0]:
            found = shown(rows[0].texts["written_on"])
            rows[0].refuse("written_on", f"{days[0].isoformat()} or later, after version {old}", "correct it", found)
