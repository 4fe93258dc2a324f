"""One bar a limited substance of a recipe, for the picture."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from maker_kit.formula.limits.judging import Judgement, judgements
from maker_kit.formula.limits.limit import Limit
from maker_kit.formula.recipe import Recipe


@dataclass(frozen=True)
class LimitBar:
    """One limited substance of a recipe beside its wall.

    Attributes
    ----------
    substance : str
        Name as the limit's table has it.
    found_low_percent : float
        Least in the product, counted as the limit counts [% of the whole].
    found_high_percent : float or None
        Most, counted likewise; None where an amount is unknown.
    limit_percent : float or None
        The tightest limit [%]: 0 where such a use is barred, None where no figure is known or there is no restriction.
    counted_as : str
    level : {'over', 'near', 'unknown', 'fine'}
    kind : str
        law, standard, certificate, supplier or practice.
    category : str
        Category of the IFRA Standards; empty for others.
    unrestricted : bool
        Whether the table says that there is no restriction here.
    source : str
        With how it was checked.
    """

    substance: str
    found_low_percent: float
    found_high_percent: float | None
    limit_percent: float | None
    counted_as: str
    level: str
    kind: str
    category: str
    unrestricted: bool
    source: str


def limit_bars(
    recipe: Recipe,
    limits: Iterable[Limit],
    categories: tuple[str, ...] | None = None,
    *,
    judged: tuple[Judgement, ...] | None = None,
) -> tuple[LimitBar, ...]:
    """One bar a limited substance, with the tightest of its limits; the fullest first, then those without a figure.

    Parameters
    ----------
    recipe : Recipe
    limits : iterable of Limit
    categories : tuple of str, optional
        Categories of the IFRA Standards to judge by; those of the product type unless given.
    judged : tuple of Judgement, optional
        What `judgements` says of them, where that is known already.

    Returns
    -------
    tuple of LimitBar
    """
    shown = sorted(
        (j for j in (judgements(recipe, limits, categories) if judged is None else judged) if j.binding),
        key=lambda j: (j.most is None, -(j.known_high / j.most) if j.most else Fraction(-1000)),
    )
    return tuple(
        LimitBar(
            j.limit.substance,
            float(j.low),
            None if j.unknown_in else float(j.known_high),
            None if j.most is None else float(j.most),
            j.limit.counted_as,
            j.level,
            j.limit.kind,
            j.limit.category,
            j.limit.unrestricted,
            j.limit.source_in_words,
        )
        for j in shown
    )
