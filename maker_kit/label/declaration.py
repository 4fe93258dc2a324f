"""What must stand on our own label's list: substances summed over all that a recipe holds, in the law's order."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from maker_kit.errors import LabelError
from maker_kit.findings import in_order
from maker_kit.formula.annexes.purpose import WORDS
from maker_kit.formula.inside.composition import Expansion, expand
from maker_kit.formula.inside.undisclosed import undisclosed_in
from maker_kit.formula.kinds import SCENT_NAMES, WATER_NAMES, holds_many, is_nameless, is_plant_water
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.substances.naming import colour_index, spoken, substance
from maker_kit.formula.substances.spelling import words
from maker_kit.label.declared import (
    ABOVE,
    ALLERGEN,
    COLOUR,
    GROUPS,
    MAYBE_UNDER,
    SCENT,
    SOURCES,
    UNDER,
    WATER,
    Declaration,
    Declared,
)
from maker_kit.label.declared_allergens import due_allergens
from maker_kit.label.declared_notes import list_findings
from maker_kit.label.order.bounds import bounds_of
from maker_kit.label.order.label_order import label_order
from maker_kit.names import name_key


def declare(
    recipe: Recipe, market: str = "EU", *, on: date | None = None, expansion: Expansion | None = None
) -> Declaration:
    """The list of ingredients of a recipe, as the law orders it.

    EU: Regulation (EC) No 1223/2009, Article 19(1)(g): by mass at the time they are added, under 1 % in any order,
    scent as parfum, its allergens over the threshold by name, colours last, nanomaterials with "(nano)". US: 21 CFR
    701.3: descending, 1 % or less in any order, then colours; fragrance. Both from memory.

    Parameters
    ----------
    recipe : Recipe
    market : {'EU', 'US'}
    on : date, optional
        Day on which the label is used, for names that are due from a day on; all of them unless given.
    expansion : Expansion, optional
        The recipe's substances, where they are known already.

    Returns
    -------
    Declaration

    Raises
    ------
    LabelError
        If the market is neither.
    RecipeError, QuantityError
        If a composition is impossible.
    """
    if market not in SOURCES:
        raise LabelError(f'the market is "{market}", and the rules on file are those of {" and ".join(SOURCES)}')
    expansion = expansion or expand(recipe)
    amounts = _amounts(recipe, expansion)
    rows = [_declared(key, found, recipe, market) for key, found in amounts.items()]
    gaps = _gaps(recipe, expansion)
    due = due_allergens(recipe, on, expansion=expansion) if market == "EU" else ()
    listed = {substance(r.substance).key for r in rows}
    rows += [
        Declared(d.name, d.name, ALLERGEN, d.low, d.high if d.high is not None else d.low, True, d.lines)
        for d in due
        if d.print_it and not listed & {substance(n).key for n in (d.name, *d.substances)}
    ]
    ordered = _in_order(rows)
    return Declaration(market, ordered, gaps, in_order(list_findings(recipe, expansion, ordered, gaps, due, market)))


@dataclass
class _Sum:
    substance: str
    low: Fraction = Fraction(0)
    high: Fraction = Fraction(0)
    told: bool = True
    lines: tuple[str, ...] = ()

    def add(self, line: str, low: Fraction, high: Fraction, *, told: bool = True) -> None:
        self.low, self.high, self.told = self.low + low, self.high + high, self.told and told
        self.lines = (*self.lines, line) if line not in self.lines else self.lines


def _amounts(recipe: Recipe, expansion: Expansion) -> dict[str, _Sum]:
    """Least and most of each substance over all lines; a scent is one name, whatever is in it."""
    found: dict[str, _Sum] = {}

    def add(name: str, line: str, low: Fraction, high: Fraction, *, told: bool = True) -> None:
        key = substance(name).key or name_key(name)
        found.setdefault(key, _Sum(name)).add(line, low, high, told=told)

    for line, percent in expansion.percent.items():
        if not percent:
            continue
        if line in recipe.scents:
            add("Parfum", line, percent, percent)
            continue
        parts = expansion.inside[line]
        plant = _plant(recipe, line)
        if plant:
            add(plant, line, percent, percent)
            continue
        by_order = _by_order(recipe, line) if any(p.unknown for p in parts.values()) else {}
        for key, part in parts.items():
            if part.unknown and key in by_order:
                low, high = by_order[key]
                add(part.substance, line, percent * low, percent * high, told=False)
            elif not part.unknown:
                add(part.substance, line, percent * part.low, percent * part.high)
            elif recipe.ingredients[line].inci or part.low:
                add(part.substance, line, percent * part.low, percent, told=False)
    return found


def _plant(recipe: Recipe, line: str) -> str:
    """The one name of a plant's water, oil or extract: what is told to be inside it is its own, and no ingredient."""
    thing = recipe.ingredients[line]
    one = thing.inci[0] if len(thing.inci) == 1 and not thing.made_from else ""
    return one if one and thing.inside and (is_plant_water(one) or holds_many(one)) else ""


def _by_order(recipe: Recipe, line: str) -> Mapping[str, tuple[Fraction, Fraction]]:
    """Shares (0 to 1) of a mixture of which only names are told, from their order, the most first."""
    thing = recipe.ingredients[line]
    figures = [s for s in thing.inside if s.low_percent is not None or s.high_percent is not None]
    names = tuple(dict.fromkeys(thing.inci)) or tuple(dict.fromkeys(s.substance for s in thing.inside))
    if figures or len(names) < 2 or thing.made_from:
        return {}
    rows = bounds_of(label_order(names)).rows
    return {name_key(r.name): (r.least.exact / 100, r.most.exact / 100) for r in rows}


def _declared(key: str, found: _Sum, recipe: Recipe, market: str) -> Declared:
    name = printed_name(found.substance, market)
    colour = _is_colour(found, recipe)
    edge = found.low > 1 if market == "US" else found.low >= 1
    under = found.high <= 1 if market == "US" else found.high < 1
    group = COLOUR if colour else ABOVE if edge else UNDER if under else MAYBE_UNDER
    return Declared(name, found.substance, group, found.low, found.high, found.told, found.lines)


def printed_name(inci: str, market: str = "EU") -> str:
    """A substance as a label of the market names it: water, scent, colours and nanomaterials by its rules.

    Parameters
    ----------
    inci : str
    market : {'EU', 'US'}

    Returns
    -------
    str
        ``Aqua`` or ``Water``; ``Parfum`` or ``Fragrance``; a nanomaterial with "(nano)" in the EU.
    """
    nano = "nano" in words(inci)
    bare = (
        inci
        if not nano
        else " ".join(
            w
            for w in inci.replace("(", " ").replace(")", " ").replace("[", " ").replace("]", " ").split()
            if name_key(w) != "nano"
        )
    )
    meant = substance(bare)
    name = spoken(meant.name if meant.known else " ".join(bare.split()))
    if name_key(name) in WATER_NAMES:
        return WATER[market]
    if name_key(name) in SCENT_NAMES:
        return SCENT[market]
    return f"{name} (nano)" if nano and market == "EU" else name


def _is_colour(found: _Sum, recipe: Recipe) -> bool:
    functions = [recipe.ingredients[line].function for line in found.lines]
    told = [f for f in functions if f.strip()]
    if told:
        return all(WORDS["colour"].search(f) for f in told)
    return bool(colour_index(found.substance))


def _in_order(rows: Iterable[Declared]) -> tuple[Declared, ...]:
    """The names in the order to be printed, with ties and overlaps told."""
    ordered = sorted(rows, key=lambda r: (_rank(r), -r.middle, name_key(r.name)))
    strict = [r for r in ordered if r.group in {ABOVE, MAYBE_UNDER}]
    told = []
    for row in ordered:
        if row not in strict:
            told.append(row)
            continue
        ties = tuple(o.name for o in strict if o is not row and o.middle == row.middle)
        later = strict[strict.index(row) + 1 :]
        told.append(
            replace(row, ties=ties, overlaps=tuple(o.name for o in later if o.high > row.low and o.name not in ties))
        )
    return tuple(told)


def _rank(row: Declared) -> int:
    return 0 if row.group in {ABOVE, MAYBE_UNDER} else GROUPS.index(row.group)


def _gaps(recipe: Recipe, expansion: Expansion) -> tuple[str, ...]:
    """Ingredients of which not even the names are told, or whose told figures do not make the whole."""
    nameless = [n for n, p in expansion.percent.items() if p and is_nameless(recipe.ingredients[n])]
    closed = [n for n in undisclosed_in(recipe, expansion) if n not in recipe.scents]
    short = [n for n in closed if not recipe.ingredients[n].inci and n not in nameless]
    return tuple(dict.fromkeys((*nameless, *short)))
