"""How a recipe stands to each limit: the substances counted as the limit counts them, its worst case against the figure, and the most of an ingredient that stays within."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from maker_kit.formula.inside.composition import Expansion, Part, expand, open_ingredient
from maker_kit.formula.limits.categories import Categories, categories_of, certificate_for
from maker_kit.formula.limits.limit import Limit, own_names
from maker_kit.formula.limits.scope import Standing, standing
from maker_kit.formula.recipe import Ingredient, Recipe
from maker_kit.names import name_key
from maker_kit.numbers import HUNDREDTH, exact_number, number_text, round_down, significant

NEAR = Fraction(80, 100)
"""Share of a limit from which a finding says near."""


@dataclass(frozen=True)
class Judgement:
    """One limit and what a recipe holds of its substances.

    Attributes
    ----------
    limit : Limit
    members : tuple of str
        INCI names found, the one that counts most first.
    low, known_high : Fraction
        Least, and most of what is known, counted as the limit counts [% of the whole].
    unknown_in : tuple of str
        Ingredients that bring an unknown amount.
    lines : tuple of str
        Ingredients that bring any, the largest contribution first.
    standing : Standing
    level : {'over', 'near', 'unknown', 'fine'}
    most : Fraction or None
        The figure that counts here [%]: 0 where such a use is barred, None where none is known.
    covered_by : str
        What binds instead where no figure is known (a certificate); empty otherwise.
    binding : bool
        Whether it is the tightest of all limits on the same substance.
    """

    limit: Limit
    members: tuple[str, ...]
    low: Fraction
    known_high: Fraction
    unknown_in: tuple[str, ...]
    lines: tuple[str, ...]
    standing: Standing
    level: str
    most: Fraction | None
    covered_by: str = ""
    binding: bool = False

    @property
    def exactly_at(self) -> bool:
        """Whether the worst case is the limit itself."""
        return self.most is not None and self.known_high == self.most and not self.unknown_in


@dataclass(frozen=True)
class PermittedMaximum:
    """The most of an ingredient that keeps a recipe within the limits on file.

    Attributes
    ----------
    ingredient : str
    percent : float or None
        Most of the whole [%], rounded down to 0.01; None where no limit on file bounds it.
    binding : Limit or None
        The limit that sets it.
    unknown : tuple of str
        Substances in it that have a limit without a figure, or an amount nobody has told: the true most may be lower.
    """

    ingredient: str
    percent: float | None
    binding: Limit | None
    unknown: tuple[str, ...]


def counted(limit: Limit, amounts: Callable[[str], Fraction]) -> Fraction:
    """Σ amount × factor over a limit's members [%]; each product is rounded to five significant digits, as many as a factor has, where the factor is not 1."""
    total = Fraction(0)
    for name, factor in limit.counts:
        if amount := amounts(name):
            total += amount if factor == 1 else significant(amount * exact_number(factor))
    return total


def judgements(
    recipe: Recipe, limits: Iterable[Limit], categories: tuple[str, ...] | None = None
) -> tuple[Judgement, ...]:
    """How a recipe stands to every limit on a substance it holds, in its worst case (the high end of what is inside).

    Parameters
    ----------
    recipe : Recipe
    limits : iterable of Limit
    categories : tuple of str, optional
        Categories of the IFRA Standards to judge by; those of the recipe's product type unless given.

    Returns
    -------
    tuple of Judgement
        In the order of the limits. A substance that tables name, but not for such a product, is unknown.
    """
    expansion = expand(recipe)
    seen = Categories(categories) if categories is not None else categories_of(recipe.product_type)
    groups: dict[tuple[str, str, str, str], list[Limit]] = {}
    for limit in limits:
        if limit.needs and not any(expansion.find(n) for n in (limit.needs, *own_names(limit.substance))):
            continue
        if any(expansion.find(n) for n, _ in limit.counts) or any(expansion.find(n) for n in limit.uncounted):
            groups.setdefault((limit.kind, limit.region, name_key(limit.substance), limit.group), []).append(limit)
    found: list[Judgement] = []
    for rows in groups.values():
        for limit, stands in _for_product(rows, recipe, seen):
            judged = _judge(limit, stands, expansion)
            if judged is not None:
                found.append(judged)
    return tuple(_with_cover(_with_binding(found), recipe, seen))


def _for_product(rows: list[Limit], recipe: Recipe, seen: Categories) -> list[tuple[Limit, Standing]]:
    """The rows of one substance that hold for a product; where there is none, a row without a figure."""
    stands = [(r, standing(r.scope, recipe.product_type)) for r in rows]
    plain = [(r, s) for r, s in stands if not r.category]
    result = [(r, s) for r, s in plain if s.kind != "elsewhere"]
    if plain and not result and plain[0][0].kind == "law":
        row, where = plain[0]
        result.append(
            (
                replace(
                    row,
                    most_percent=None,
                    unrestricted=False,
                    in_table=f"only rows for {', '.join(dict.fromkeys(s.reason for _, s in plain))}",
                ),
                replace(where, kind="applies", reason=""),
            )
        )
    by_category = [(r, s) for r, s in stands if r.category]
    if by_category:
        blank = replace(by_category[0][0], most_percent=None, unrestricted=False)
        always = [(r, s) for r, s in by_category if r.category == "all"]
        for category in seen.found:
            here = [(r, s) for r, s in by_category if r.category == category and s.kind != "elsewhere"]
            result += here
            if not here and not always and blank.kind == "standard":
                result.append((replace(blank, category=category, in_table="no row"), Standing("applies")))
        if seen.unknown and not always and blank.kind == "standard":
            result.append(
                (
                    replace(blank, category="", in_table=f"no category on file for {'; '.join(seen.unknown)}"),
                    Standing("applies"),
                )
            )
        result += always
    return result


def _judge(limit: Limit, stands: Standing, expansion: Expansion) -> Judgement | None:
    rows = {n: row for n, _ in limit.counts if (row := expansion.find(n))}
    loose = [row for n in limit.uncounted if (row := expansion.find(n))]
    low = counted(limit, lambda n: rows[n].low if n in rows else Fraction(0))
    high = counted(limit, lambda n: rows[n].known_high if n in rows else Fraction(0))
    unknown_in = tuple(dict.fromkeys(name for row in rows.values() for name in row.unknown_in)) + tuple(
        name for row in loose for name in row.lines
    )
    if not high and not unknown_in:
        return None
    weight = dict(limit.counts)
    members = sorted(rows, key=lambda n: -(rows[n].known_high * exact_number(weight[n])))
    shares = {
        name: _brings(limit, expansion.inside[name], expansion.percent[name])
        for row in (*rows.values(), *loose)
        for name in row.lines
    }
    most = (
        Fraction(0)
        if stands.kind == "barred"
        else None
        if limit.most_percent is None
        else exact_number(limit.most_percent)
    )
    if stands.kind == "barred":
        level = "over"
    elif limit.unrestricted:
        level = "fine"
    elif most is None:
        level = "unknown"
    elif high > most:
        level = "over"
    elif unknown_in:
        level = "unknown"
    elif high >= NEAR * most:
        level = "near"
    else:
        level = "unknown" if stands.to_check else "fine"
    names = tuple(rows[n].substance for n in members) or tuple(row.substance for row in loose)
    return Judgement(
        limit,
        names,
        low,
        high,
        tuple(dict.fromkeys(unknown_in)),
        tuple(sorted(shares, key=lambda n: -shares[n])),
        stands,
        level,
        most,
    )


def _brings(limit: Limit, parts: Mapping[str, Part], percent: Fraction) -> Fraction:
    return counted(limit, lambda n: parts[name_key(n)].high * percent if name_key(n) in parts else Fraction(0))


def _tightness(judged: Judgement) -> tuple[int, Fraction]:
    if judged.standing.kind == "barred":
        return 3, Fraction(0)
    if judged.most is None:
        return (0 if judged.limit.unrestricted else 1), Fraction(0)
    return (2, judged.known_high / judged.most) if judged.most else (3, Fraction(0))


def _with_binding(found: list[Judgement]) -> list[Judgement]:
    best: dict[str, int] = {}
    for i, judged in enumerate(found):
        name = name_key(judged.members[0])
        if not judged.limit.label_trigger and (name not in best or _tightness(judged) > _tightness(found[best[name]])):
            best[name] = i
    return [replace(judged, binding=i in best.values()) for i, judged in enumerate(found)]


def _with_cover(found: Iterable[Judgement], recipe: Recipe, seen: Categories) -> list[Judgement]:
    """What binds instead of a standard's missing figure: another limit on file for it, or the certificates of the scents that bring it, if each has one for each category."""
    found = list(found)
    result = []
    for judged in found:
        cover = ""
        if (
            judged.limit.kind == "standard"
            and judged.level == "unknown"
            and judged.most is None
            and seen.found
            and not seen.unknown
        ):
            categories = seen.found if judged.limit.category == "all" else (judged.limit.category,)
            others = [
                o.limit
                for o in found
                if o.limit.most_percent is not None
                and o.limit.kind != "practice"
                and name_key(o.members[0]) == name_key(judged.members[0])
            ]
            if all(any(o.category in {c, "all"} for o in others) for c in categories):
                result.append(
                    replace(
                        judged,
                        covered_by="; ".join(
                            dict.fromkeys(
                                f"{o.source or o.kind} allows {number_text(o.most_percent)} %" for o in others
                            )
                        ),
                    )
                )
                continue
            papers = [(name, certificate_for(recipe.ingredients[name], c)) for name in judged.lines for c in categories]
            if papers and all(paper for _, paper in papers):
                cover = "; ".join(
                    dict.fromkeys(
                        f"the certificate of {n} ({p.amendment}th amendment) allows {p.most_percent:g} % of it in category {p.category}"
                        for n, p in papers
                        if p
                    )
                )
        result.append(replace(judged, covered_by=cover) if cover else judged)
    return result


def most_of(
    parts: Mapping[str, Part],
    limit: Limit,
    most: Fraction,
    others: Callable[[str], Fraction],
    step: Fraction = HUNDREDTH,
) -> float | None:
    """Most of an ingredient that keeps one limit [% of the whole], rounded down to the step.

    ``most − what the others bring``, divided by what 1 % of it brings, both counted as the limit counts, at the high ends.

    Parameters
    ----------
    parts : Mapping of str to Part
        What is inside the ingredient.
    limit : Limit
    most : Fraction
        The figure that counts [%].
    others : callable
        Known high [% of the whole] of a substance from all other lines.
    step : Fraction
        What it is rounded down to [%].

    Returns
    -------
    float or None
        None where the ingredient holds nothing that counts, or may be used pure.
    """

    def total(percent: Fraction) -> Fraction:
        return counted(limit, lambda n: others(n) + (parts[name_key(n)].high * percent if name_key(n) in parts else 0))

    unit = sum(
        (parts[name_key(n)].high * exact_number(f) for n, f in limit.counts if name_key(n) in parts), Fraction(0)
    )
    if not unit:
        return None
    if total(Fraction(100)) <= most:
        return None
    if total(Fraction(0)) > most:
        return 0.0
    base = sum((others(n) * exact_number(f) for n, f in limit.counts), Fraction(0))
    steps = min((most - base) / unit, Fraction(100)) // step + 2
    while steps > 0 and total(steps * step) > most:
        steps -= 1
    return round_down(steps * step, step)


def permitted_maximum(
    recipe: Recipe,
    ingredient: str | Ingredient,
    limits: Iterable[Limit],
    *,
    categories: tuple[str, ...] | None = None,
    step: Fraction = HUNDREDTH,
) -> PermittedMaximum:
    """The most of an ingredient that keeps a recipe within every limit on file, with what the other lines bring left as it is.

    Parameters
    ----------
    recipe : Recipe
        Its product type decides which limits apply.
    ingredient : str or Ingredient
        A line of the recipe, or an ingredient to try in it.
    limits : iterable of Limit
    categories : tuple of str, optional
        Categories of the IFRA Standards; those of the product type unless given.
    step : Fraction
        What the most is rounded down to [%]; 0.01 unless given.

    Returns
    -------
    PermittedMaximum

    Raises
    ------
    UnknownNameError
        If no line holds an ingredient named by text.
    """
    if isinstance(ingredient, str):
        recipe.percent_of(ingredient)
        thing = recipe.ingredients[ingredient]
    else:
        thing = ingredient
    trial = replace(
        recipe,
        lines=(
            *(x for x in recipe.lines if x.ingredient != thing.name),
            replace(recipe.lines[0], ingredient=thing.name, percent=1.0, balance=False),
        ),
        ingredients={**recipe.ingredients, thing.name: thing},
    )
    parts = open_ingredient(thing, trial.ingredients)
    rest = expand(replace(trial, lines=trial.lines[:-1])).by_name

    def others(name: str) -> Fraction:
        return rest[name_key(name)].known_high if name_key(name) in rest else Fraction(0)

    best: float | None = None
    binding: Limit | None = None
    unknown: list[str] = []
    for judged in judgements(trial, limits, categories):
        if thing.name not in judged.lines or judged.limit.label_trigger:
            continue
        if judged.most is None:
            unknown += [] if judged.limit.unrestricted else [judged.members[0]]
            continue
        unknown += [judged.members[0]] if judged.unknown_in else []
        most = most_of(parts, judged.limit, judged.most, others, step)
        if most is not None and (best is None or most < best):
            best, binding = most, judged.limit
    return PermittedMaximum(thing.name, best, binding, tuple(dict.fromkeys(unknown)))
