"""What one batch takes from the market, and so many batches: ingredients in 0.1 g, containers and labels in pieces,
exactly.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from maker_kit.errors import QuantityError
from maker_kit.formula.batch import check_containers, needs_g
from maker_kit.formula.recipe import Recipe

BASE_UNITS_PER_G = 10
"""Base units of mass in one gram: the market counts in 0.1 g."""


def needs_per_batch(
    recipe: Recipe, batch_size: int, container_item: str = "", label_item: str = ""
) -> dict[str, Fraction]:
    """What one batch takes of every bought item.

    Parameters
    ----------
    recipe : Recipe
    batch_size : int
        Containers in one batch.
    container_item, label_item : str
        Items of which one goes with each container; empty for none.

    Returns
    -------
    dict of str to Fraction
        Base units [0.1 g, or pieces]; what is mixed at the bench counts as what it is mixed from, and a line at 0 %
        needs nothing.

    Raises
    ------
    QuantityError
        If the batch size is not a whole number in range, or the container or label is called like something else that
        is needed: pieces and grams are never added up.
    RecipeError
        If a bench mixture is made from something unknown, or from itself.
    """
    size = check_containers(batch_size)
    needs = {item: mass * BASE_UNITS_PER_G for item, mass in needs_g(recipe, size).items()}
    for item in (container_item, label_item):
        if item in needs:
            msg = (
                f'"{item}" would be counted twice, once in pieces for each container of {recipe.title}; '
                "give the ingredient, the container and the label names of their own"
            )
            raise QuantityError(msg)
        if item:
            needs[item] = Fraction(size)
    return needs


def check_per_batch(per_batch: Mapping[str, Fraction]) -> None:
    """Refuse an amount that cannot be counted exactly.

    Raises
    ------
    QuantityError
        If an amount is negative or a float: 0.1 g and floats never meet, or an exact multiple would buy one pack too
        many.
    """
    for item, amount in per_batch.items():
        if isinstance(amount, float) or amount < 0:
            msg = f"{item}: {amount!r} for one batch; write an exact fraction of base units, 0 or more"
            raise QuantityError(msg)


def need_of(per_batch: Mapping[str, Fraction], count: int) -> dict[str, int]:
    """What so many batches need of every item, in whole base units, rounded up exactly: ``ceil(n · per batch)``.

    Raises
    ------
    QuantityError
        If the count is below 1, or as `check_per_batch` does.
    """
    return {item: -(-amount // 1) for item, amount in exact_need(per_batch, count).items()}


def exact_need(per_batch: Mapping[str, Fraction], count: int) -> dict[str, Fraction]:
    """What so many batches use up of every item [base units], exactly: ``n · per batch``, not rounded to what is
    bought.

    Raises
    ------
    QuantityError
        If the count is below 1, or as `check_per_batch` does.
    """
    if count < 1:
        msg = f"a count of {count} batches: a count is 1 or more"
        raise QuantityError(msg)
    check_per_batch(per_batch)
    return {item: Fraction(amount) * count for item, amount in per_batch.items()}
