"""What must stand on our own label's list: substances summed over all that a recipe holds, in the law's order."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

import pandas as pd

from maker_kit.errors import LabelError
from maker_kit.findings import Finding, in_order, know, look, stop
from maker_kit.formula.annexes.purpose import WORDS
from maker_kit.formula.inside.composition import Expansion, expand
from maker_kit.formula.inside.undisclosed import undisclosed_in
from maker_kit.formula.kinds import SCENT_NAMES, WATER_NAMES, holds_many, is_nameless, is_plant_water
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.substances.naming import colour_index, substance
from maker_kit.formula.substances.spelling import words
from maker_kit.frames import frame_of
from maker_kit.label.declared_allergens import Due, due_allergens
from maker_kit.label.order.bounds import bounds_of
from maker_kit.label.order.label_order import label_order
from maker_kit.names import name_key
from maker_kit.numbers import number_text

ABOVE, MAYBE_UNDER, UNDER, ALLERGEN, COLOUR = (
    "above 1 %",
    "may fall under the 1 % line",
    "under 1 %, any order",
    "allergen of a scent",
    "colour, last",
)
GROUPS = (ABOVE, MAYBE_UNDER, UNDER, ALLERGEN, COLOUR)
SOURCES = {
    "EU": "Regulation (EC) No 1223/2009, Article 19(1)(g), from memory",
    "US": "21 CFR 701.3, from memory",
}
SCENT = {"EU": "Parfum", "US": "Fragrance"}
WATER = {"EU": "Aqua", "US": "Water"}


@dataclass(frozen=True)
class Declared:
    """One name of our list.

    Attributes
    ----------
    name : str
        As it is to be printed.
    substance : str
        The INCI name as the recipe has it.
    group : str
        One of `GROUPS`.
    low, high : Fraction
        Least and most [% by mass of the whole].
    told : bool
        Whether its amount is told; else it is worked out from the order of a supplier's list.
    lines : tuple of str
        Ingredients that bring it.
    ties : tuple of str
        Names of the same amount: any order of these is right.
    overlaps : tuple of str
        Later names that may be more than this one, since their ranges overlap.
    """

    name: str
    substance: str
    group: str
    low: Fraction
    high: Fraction
    told: bool
    lines: tuple[str, ...]
    ties: tuple[str, ...] = ()
    overlaps: tuple[str, ...] = ()

    @property
    def middle(self) -> Fraction:
        """Middle of its range [%], by which it is ordered."""
        return (self.low + self.high) / 2


@dataclass(frozen=True)
class Declaration:
    """The list of our own label. Made by `declare`.

    Attributes
    ----------
    market : {'EU', 'US'}
    rows : tuple of Declared
        In the order to be printed.
    gaps : tuple of str
        Ingredients whose inside is not told: the list cannot be finished without them.
    findings : tuple of Finding
    """

    market: str
    rows: tuple[Declared, ...]
    gaps: tuple[str, ...]
    findings: tuple[Finding, ...]

    @property
    def text(self) -> str:
        """The list as one text; a gap stands in it by name."""
        open_ends = [f"[not told: what is inside {gap}]" for gap in self.gaps]
        return ", ".join([*(r.name for r in self.rows), *open_ends])

    def to_frame(self) -> pd.DataFrame:
        """Name, where it stands, middle, least and most [%], ties, overlaps, and what brings it; then the gaps."""
        frame = frame_of(
            self.rows,
            {
                "name": "name",
                "where": "group",
                "middle %": lambda r: float(r.middle),
                "least %": lambda r: float(r.low),
                "most %": lambda r: float(r.high),
                "same amount as": lambda r: ", ".join(r.ties),
                "may be less than": lambda r: ", ".join(r.overlaps),
                "from": lambda r: ", ".join(r.lines),
                "amount": lambda r: "told" if r.told else "from the order of its supplier's list",
            },
        )
        rest = pd.DataFrame(
            [(f"[not told: {g}]", "gap", g, "not told") for g in self.gaps], columns=["name", "where", "from", "amount"]
        )
        return pd.concat([frame, rest], ignore_index=True) if self.gaps else frame


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
        msg = f'the market is "{market}", and the rules on file are those of {" and ".join(SOURCES)}'
        raise LabelError(msg)
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
    return Declaration(market, ordered, gaps, in_order(_findings(recipe, expansion, ordered, gaps, due, market)))


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
    name = meant.name if meant.known else " ".join(bare.split())
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


def _findings(
    recipe: Recipe,
    expansion: Expansion,
    rows: tuple[Declared, ...],
    gaps: tuple[str, ...],
    due: tuple[Due, ...],
    market: str,
) -> Iterable[Finding]:
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
    untold = [r for r in rows if not r.told]
    if untold:
        names = ", ".join(r.name for r in untold)
        told = f"{names}: the supplier tells the names and no percents; their places are those of the supplier's list."
        yield look(
            "label.untold_percent",
            [r.name for r in untold],
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
        told = f"{', '.join(waters)}: a plant's water brings scent allergens of its own, and nobody has told how much."
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
            "label.scent_untold",
            closed,
            told,
            level="missing",
            next_step="Ask the supplier for the allergen sheet.",
            source=source,
        )
    if market == "US":
        told = (
            "Scent allergens are not named by rule in the US list on file; colours need the names of 21 CFR 73, 74 and "
            "82, which are not on file."
        )
        yield know("label.us_limits", "list", told, level="unknown", source="21 CFR 701.3, from memory")


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
