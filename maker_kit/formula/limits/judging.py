"""How a recipe stands to each limit: the substances counted as the limit counts them, its worst case against the
figure, and the most of an ingredient that stays within.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from maker_kit.formula.inside.composition import Expansion, FoundSubstance, Part, expand
from maker_kit.formula.limits.categories import Categories, categories_of, certificate_for
from maker_kit.formula.limits.limit import Limit
from maker_kit.formula.limits.scope import Standing, standing
from maker_kit.formula.limits.worst_end import worst_ends
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.substances.naming import part_key
from maker_kit.names import name_key
from maker_kit.numbers import exact_number, number_text, ordinal, significant

NEAR = Fraction(80, 100)
"""Share of a limit from which a finding says near."""
NEAR_IN_WORDS = (
    f"(Near is said from {float(100 * NEAR):g} % of a limit on, up to the limit itself: common practice, no source.)"
)


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
    worst : Fraction
        Most that there can be, what nobody has told at its unfavourable end (`worst_ends`) [% of the whole].
    surely : Fraction
        The same without what is only common practice.
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
    worst: Fraction = Fraction(0)
    surely: Fraction = Fraction(0)

    @property
    def exactly_at(self) -> bool:
        """Whether the worst case is the limit itself."""
        return self.most is not None and self.known_high == self.most and not self.unknown_in

    @property
    def within_all_the_same(self) -> bool:
        """Whether it keeps to the figure however much there is of what nobody has told."""
        undisclosed = self.level == "unknown" and bool(self.unknown_in) and not self.standing.to_check
        return undisclosed and self.most is not None and self.surely <= self.most

    @property
    def may_be_over(self) -> bool:
        """Whether an amount that nobody has told can bring it over."""
        return self.level == "unknown" and bool(self.unknown_in) and self.most is not None and self.worst > self.most


def counted(limit: Limit, amounts: Callable[[str], Fraction]) -> Fraction:
    """Σ amount × factor over a limit's members [%]; each product is rounded to five significant digits, as many as a
    factor has, where the factor is not 1.
    """
    total = Fraction(0)
    for name, factor in limit.counts:
        if amount := amounts(name):
            total += amount if factor == 1 else significant(amount * exact_number(factor))
    return total


def judgements(
    recipe: Recipe,
    limits: Iterable[Limit],
    categories: tuple[str, ...] | None = None,
    *,
    expansion: Expansion | None = None,
) -> tuple[Judgement, ...]:
    """How a recipe stands to every limit on a substance it holds, in its worst case (the high end of what is inside).

    Parameters
    ----------
    recipe : Recipe
    limits : iterable of Limit
    categories : tuple of str, optional
        Categories of the IFRA Standards to judge by; those of the recipe's product type unless given.
    expansion : Expansion, optional
        The recipe's substances, where they are known already.

    Returns
    -------
    tuple of Judgement
        In the order of the limits. A substance that tables name, but not for such a product, is unknown.
    """
    expansion = expansion or expand(recipe)
    seen = Categories(categories) if categories is not None else categories_of(recipe.product_type, called=recipe.title)
    groups: dict[tuple[str, str, str], list[Limit]] = {}
    for limit in limits:
        if any(expansion.find(n) for n, _ in limit.counts):
            groups.setdefault((limit.kind, limit.region, name_key(limit.substance)), []).append(limit)
    ends = worst_ends(recipe, expansion), worst_ends(recipe, expansion, practice=False)
    found = [
        _judge(x, stands, expansion, ends) for rows in groups.values() for x, stands in _for_product(rows, recipe, seen)
    ]
    bound = _with_binding([j for j in found if j is not None])
    return tuple(replace(j, covered_by=_cover(j, bound, recipe, seen)) for j in bound)


def _for_product(rows: list[Limit], recipe: Recipe, seen: Categories) -> list[tuple[Limit, Standing]]:
    """The rows of one substance that hold for a product; where there is none, a row without a figure."""
    stands = [(r, standing(r.scope, recipe.product_type)) for r in rows]
    plain = [(r, s) for r, s in stands if not r.category]
    result = [(r, s) for r, s in plain if s.kind != "elsewhere"]
    if plain and not result and plain[0][0].kind == "law":
        row, where = plain[0]
        only = f"only rows for {', '.join(dict.fromkeys(s.reason for _, s in plain))}"
        result.append((_blank(row, only), replace(where, kind="applies", reason="")))
    by_category = [(r, s) for r, s in stands if r.category]
    if not by_category:
        return result
    first = by_category[0][0]
    always = [(r, s) for r, s in by_category if r.category == "all"]
    gaps = not always and first.kind == "standard"
    for category in seen.found:
        here = [(r, s) for r, s in by_category if r.category == category and s.kind != "elsewhere"]
        result += here
        if not here and gaps:
            result.append((_blank(first, "no row", category), Standing("applies")))
    if seen.unknown and gaps:
        missing = f"no category on file for {'; '.join(seen.unknown)}"
        result.append((_blank(first, missing, ""), Standing("applies")))
    return result + always


def _blank(limit: Limit, in_table: str, category: str | None = None) -> Limit:
    category = limit.category if category is None else category
    return replace(limit, most_percent=None, unrestricted=False, in_table=in_table, category=category)


def _judge(
    limit: Limit, stands: Standing, expansion: Expansion, ends: tuple[Mapping[str, Fraction], Mapping[str, Fraction]]
) -> Judgement | None:
    rows = {n: row for n, _ in limit.counts if (row := expansion.find(n))}
    low = counted(limit, lambda n: rows[n].low if n in rows else Fraction(0))
    high = counted(limit, lambda n: rows[n].known_high if n in rows else Fraction(0))
    undisclosed = [name for row in rows.values() for name in row.unknown_in]
    if not high and not undisclosed:
        return None
    weight = dict(limit.counts)
    members = sorted(rows, key=lambda n: -(rows[n].known_high * exact_number(weight[n])))
    lines = dict.fromkeys(name for row in rows.values() for name in row.lines)
    brings = {
        n: counted(limit, lambda s, n=n: high_inside(expansion.inside[n], s) * expansion.percent[n]) for n in lines
    }
    barred = stands.kind == "barred"
    most = Fraction(0) if barred else None if limit.most_percent is None else exact_number(limit.most_percent)
    if barred or limit.unrestricted:
        level = "over" if barred else "fine"
    elif most is None or (undisclosed and high <= most):
        level = "unknown"
    elif high >= NEAR * most:
        level = "over" if high > most else "near"
    else:
        level = "unknown" if stands.to_check else "fine"
    return Judgement(
        limit,
        tuple(rows[n].substance for n in members),
        low,
        high,
        tuple(dict.fromkeys(undisclosed)),
        tuple(sorted(brings, key=lambda n: -brings[n])),
        stands,
        level,
        most,
        worst=_all_of(limit, rows, ends[0]),
        surely=_all_of(limit, rows, ends[1]),
    )


def _all_of(limit: Limit, rows: Mapping[str, FoundSubstance], ends: Mapping[str, Fraction]) -> Fraction:
    return counted(limit, lambda n: ends.get(part_key(rows[n].substance), Fraction(0)) if n in rows else Fraction(0))


def high_inside(parts: Mapping[str, Part], substance: str) -> Fraction:
    """The known high end of a substance in an ingredient, as a share of it, 0 to 1; 0 where it is not in there."""
    part = parts.get(part_key(substance))
    return part.high if part else Fraction(0)


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
        if name not in best or _tightness(judged) > _tightness(found[best[name]]):
            best[name] = i
    return [replace(judged, binding=i in best.values()) for i, judged in enumerate(found)]


def _cover(judged: Judgement, found: Iterable[Judgement], recipe: Recipe, seen: Categories) -> str:
    """What binds instead of a standard's missing figure: another limit for it, or the certificates of the scents that
    bring it, if each has one for each category.
    """
    limit, name = judged.limit, name_key(judged.members[0])
    missing = limit.kind == "standard" and judged.level == "unknown" and (judged.most is None or judged.may_be_over)
    if not missing or not seen.found or seen.unknown:
        return ""
    categories = seen.found if limit.category == "all" else (limit.category,)
    others = [
        o.limit
        for o in found
        if o is not judged
        and o.limit.most_percent is not None
        and o.limit.kind != "practice"
        and not o.may_be_over
        and name_key(o.members[0]) == name
    ]
    if all(any(o.category in {c, "all"} for o in others) for c in categories):
        allowed = (f"{o.source or o.kind} allows {number_text(o.most_percent)} %" for o in others)
        return "; ".join(dict.fromkeys(allowed))
    papers = [(n, certificate_for(recipe.ingredients[n], c)) for n in judged.lines for c in categories]
    if not all(paper for _, paper in papers):
        return ""
    allowed = (
        f"the certificate of {n} ({ordinal(p.amendment)} amendment) allows {p.most_percent:g} % of the scent in "
        f"category {p.category}"
        for n, p in papers
        if p
    )
    return "; ".join(dict.fromkeys(allowed))
