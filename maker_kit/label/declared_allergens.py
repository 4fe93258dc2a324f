"""Which scent allergens our list has to name, under which name, and from which day on."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from maker_kit.formula.annexes.law import law
from maker_kit.formula.inside.composition import Expansion, expand
from maker_kit.formula.limits.law import law_verdicts
from maker_kit.formula.notes.allergens import allergens
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.substances.naming import substance

NEW_FROM, ALL_FROM = date(2026, 7, 31), date(2028, 7, 31)
"""From when the names added by Regulation (EU) 2023/1545 are due: for new products, and for all (its footnotes
(*) and (**), read as quoted)."""
ADDED = "(EU) 2023/1545"
"""The regulation, as the annexes' table names what set an entry."""


@dataclass(frozen=True)
class Due:
    """One allergen over its threshold, or that may be.

    Attributes
    ----------
    name : str
        Name to be declared.
    substances : tuple of str
        INCI names in the recipe.
    low : Fraction
    high : Fraction or None
        [% of the whole]; None where nobody has told.
    threshold : Fraction
        Above this the list names it [%].
    lines : tuple of str
    added : bool
        Whether Regulation (EU) 2023/1545 added it.
    print_it : bool
        Whether it is due on the day asked for.
    source : str
    """

    name: str
    substances: tuple[str, ...]
    low: Fraction
    high: Fraction | None
    threshold: Fraction
    lines: tuple[str, ...]
    added: bool
    print_it: bool
    source: str

    @property
    def when(self) -> str:
        """From when on, in words; empty for what is due already by the earlier list."""
        if not self.added:
            return ""
        return f" (new products from {NEW_FROM.isoformat()}, all from {ALL_FROM.isoformat()})"


def due_allergens(recipe: Recipe, on: date | None = None, *, expansion: Expansion | None = None) -> tuple[Due, ...]:
    """The allergens that a recipe's list has to name.

    Several substances of one entry (a plant's oils) are added up under the name that the law declares. At the high end
    of what is inside.

    Parameters
    ----------
    recipe : Recipe
    on : date, optional
        Day on which the label is used; all names unless given, as a new product has them.
    expansion : Expansion, optional

    Returns
    -------
    tuple of Due
        The most first.
    """
    expansion = expansion or expand(recipe)
    named = _names_of_the_law(recipe, expansion)
    found: dict[str, Due] = {}
    for one in allergens(recipe, expansion=expansion):
        if one.undisclosed or (not one.on_label and one.substance not in named):
            continue
        name = named.get(one.substance, substance(one.substance).name)
        low, high = _amount(recipe, expansion, one.substance)
        before = found.get(name)
        if before is not None:
            low, high = low + before.low, None if None in (high, before.high) else high + before.high
        found[name] = Due(
            name,
            (*(before.substances if before else ()), one.substance),
            low,
            high,
            Fraction(str(one.threshold_percent)),
            tuple(dict.fromkeys((*(before.lines if before else ()), *one.lines))),
            one.added,
            not one.added or on is None or on >= NEW_FROM,
            one.source,
        )
    instruments = {(e.annex, e.number): e.instrument for e in law().entries}
    for name in named:  # what only the annexes name
        row = expansion.find(name)
        if row is not None and not any(name in d.substances for d in found.values()):
            verdict = next(v for v in law_verdicts(recipe, expansion) if v.code == "declare" and name in v.names)
            added = instruments[verdict.annex, verdict.entry] == ADDED
            due = not added or on is None or on >= NEW_FROM
            low, high = _amount(recipe, expansion, name)
            found.setdefault(
                named[name],
                Due(named[name], (name,), low, high, verdict.most, row.lines, added, due, verdict.source),
            )
    return tuple(sorted(found.values(), key=lambda d: (d.high is not None, -(d.high or 0))))


def _amount(recipe: Recipe, expansion: Expansion, name: str) -> tuple[Fraction, Fraction | None]:
    """Least and most of an allergen [%]; a plant's oil that was bought as such is all of its line, whatever is told to
    be inside it.
    """
    row, key = expansion.find(name), substance(name).key
    if row is not None and not row.unknown:
        return row.low, row.known_high
    bought = {n: [substance(i).key for i in recipe.ingredients[n].inci] for n, p in expansion.percent.items() if p}
    lines = [n for n, inci in bought.items() if inci == [key]]
    if lines and (row is None or set(row.lines) <= set(lines)):
        whole = sum((expansion.percent[n] for n in lines), Fraction(0))
        return whole, whole
    return (row.low if row else Fraction(0)), None


def _names_of_the_law(recipe: Recipe, expansion: Expansion) -> dict[str, str]:
    """Substance → name to be declared, of what the annexes say is to be declared."""
    found = {}
    for verdict in law_verdicts(recipe, expansion):
        if verdict.code == "declare" and verdict.annex == "III":
            for name in verdict.names:
                found[name] = _tidy(verdict.wording) or substance(name).name
    return found


def _tidy(name: str) -> str:
    return name.replace("/ ", "/").strip()
