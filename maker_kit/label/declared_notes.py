"""What is to be said of our own list before it is printed."""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction

from maker_kit.findings import Finding, know, look, stop
from maker_kit.formula.inside.composition import Expansion
from maker_kit.formula.inside.undisclosed import undisclosed_in
from maker_kit.formula.recipe import Recipe
from maker_kit.label.declared import COLOUR, MAYBE_UNDER, SOURCES, Declared
from maker_kit.label.declared_allergens import Due
from maker_kit.numbers import number_text

_EU_ONLY = re.compile(
    r"^CI \d|\b(?:Cera|Lac|Mel|Olus|Adeps|Maris|Paraffinum|Solum|Ovum|Lanolin Cera)\b|"
    r"^(?!Hydrogenated)[A-Z][a-z]+ [A-Z][a-z]+(?: [A-Z][a-z]+)* "
    r"(?:Oil|Butter|Extract|Juice|Water|Wax|Powder|Starch|Flour|Gum|Cera)$"
)
"""How names look that the EU writes in Latin, and the US in English or with the English name in brackets (practice)."""


def list_findings(
    recipe: Recipe,
    expansion: Expansion,
    rows: tuple[Declared, ...],
    gaps: tuple[str, ...],
    due: tuple[Due, ...],
    market: str,
) -> Iterable[Finding]:
    """What is to be said of a list: gaps, ties, overlaps, names that may fall under the line, allergens."""
    source = SOURCES[market]
    for gap in gaps:
        told = f"Nobody has told what is inside {gap}: the list is not finished, and must not be printed as if it were."
        yield stop(
            "label.gap",
            gap,
            told,
            level="missing",
            next_step=f"Ask the supplier of {gap} for its INCI list.",
            source=source,
        )
    undisclosed = [r for r in rows if not r.told]
    if undisclosed:
        names = ", ".join(r.name for r in undisclosed)
        told = f"{names}: the supplier tells the names and no percents; their places are those of the supplier's list."
        yield look(
            "label.undisclosed_percent",
            [r.name for r in undisclosed],
            told,
            level="unknown",
            next_step="Ask the supplier for ranges.",
            source=source,
        )
    for group in _tied(rows):
        names = ", ".join(r.name for r in group)
        told = f"{names}: all at {number_text(group[0].middle)} %, so any order of them is right."
        yield know("label.tie", [r.name for r in group], told, source=source)
    for row in rows:
        if row.group == MAYBE_UNDER and row.told:
            told = (
                f"{row.name}: {number_text(row.low)} to {number_text(row.high)} %, so it may fall under the 1 % line."
            )
            yield know("label.line", row.name, told, source=source)
    overlapping = [r for r in rows if r.overlaps and r.told]
    for row in overlapping:
        told = (
            f"{row.name} and {', '.join(row.overlaps)}: their ranges overlap, so the order may be another in some lots."
        )
        yield know("label.overlap", (row.name, *row.overlaps), told, source=source)
    for d in due:
        yield from _on_allergen(d)
    waters = [
        n for n in undisclosed_in(recipe, expansion, scent_allergen=True) if n not in undisclosed_in(recipe, expansion)
    ]
    if waters and market == "EU":
        told = f"{', '.join(waters)}: a plant's water brings scent allergens of its own, and not all of them are told."
        yield look(
            "label.water_allergens",
            waters,
            told,
            level="unknown",
            next_step="Ask its supplier for an allergen sheet.",
            source=source,
        )
    closed = [n for n in recipe.scents if n in undisclosed_in(recipe, expansion) and not recipe.ingredients[n].inside]
    if closed and market == "EU":
        told = f"{', '.join(closed)}: nobody has told which allergens are inside, so the list may lack names."
        yield stop(
            "label.scent_undisclosed",
            closed,
            told,
            level="missing",
            next_step="Ask the supplier for the allergen sheet.",
            source=source,
        )
    if market == "US":
        yield from _us_names(rows)


def _us_names(rows: tuple[Declared, ...]) -> Iterable[Finding]:
    """That the US's own names are not on file, and which of ours they would most likely differ from."""
    differ = [r.name for r in rows if _EU_ONLY.search(r.name)]
    named = f" Look first at {', '.join(differ)}." if differ else ""
    told = (
        "This list has the names that the EU uses, with Water and Fragrance. The US asks for those of its own "
        f"dictionary: a plant with its English name, others in English, and these names are not on file.{named}"
    )
    yield look(
        "label.us_names",
        differ or "list",
        told,
        level="unknown",
        next_step="Look up each name, or ask its supplier for the name on US labels, before it is printed.",
        subject="names of the list",
        source="21 CFR 701.3(c), from memory",
    )
    colours = [r.name for r in rows if r.group == COLOUR]
    if colours:
        told = (
            f"{', '.join(colours)}: the US names colours by 21 CFR 73, 74 and 82, and allows only those that are "
            "listed there; not all of either is on file."
        )
        yield look(
            "label.us_colours",
            colours,
            told,
            level="unknown",
            next_step="Ask the supplier for the US name, and whether its batch is certified.",
            source="21 CFR 701.3 and 70 to 82, from memory",
        )
    told = "Scent allergens are not named by rule in the US list on file; a rule for them was announced in 2022."
    source = "Modernization of Cosmetics Regulation Act of 2022, section 609(b) of the Act, from memory"
    yield know("label.us_limits", "list", told, level="unknown", source=source)


def _on_allergen(due: Due) -> Iterable[Finding]:
    amount = "an amount nobody has told" if due.high is None else f"up to {number_text(due.high)} %"
    told = f"{due.name}: {amount}, over {number_text(due.threshold)} %, so the list names it{due.when}."
    if due.print_it:
        kind = look if due.high is None else know
        yield kind("label.allergen", due.name, told, level="unknown" if due.high is None else "note", source=due.source)
    else:
        yield know("label.allergen_later", due.name, told, source=due.source)


def _tied(rows: tuple[Declared, ...]) -> list[tuple[Declared, ...]]:
    groups: dict[Fraction, list[Declared]] = {}
    for row in rows:
        if row.ties:
            groups.setdefault(row.middle, []).append(row)
    return [tuple(g) for g in groups.values()]
