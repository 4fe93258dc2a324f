"""Which questions about cells of the tables concern one recipe, as notes to look at."""

from __future__ import annotations

from collections.abc import Iterable

from maker_kit.findings import Finding, look
from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key
from maker_kit.workshop import Workshop
from maker_kit.workshop.asked import Topic


def asked_findings(workshop: Workshop, recipe: Recipe, items: Iterable[str]) -> tuple[Finding, ...]:
    """The questions about cells that a recipe stands on, one a cell: its own rows, what it is made from, its container,
    the shop product beside it, kits for it, and whoever sells any of its items.

    Parameters
    ----------
    workshop : Workshop
    recipe : Recipe
    items : iterable of str
        What one batch takes from the market.

    Returns
    -------
    tuple of Finding
    """
    if not workshop.asked:
        return ()
    mine = {Topic("workshop", ""), Topic.of("recipe", recipe.name), Topic.of("container", recipe.container)}
    mine |= {Topic.of("shop product", recipe.shop_product)} if recipe.shop_product else set()
    mine |= {Topic.of("ingredient", name) for name in (*recipe.ingredients, *items)}
    mine |= {Topic.of("supplier", s.name) for s in workshop.market.for_items(items).suppliers}
    kits = [kit for kit in workshop.kits if kit.recipe == recipe.name]
    mine |= {Topic.of("kit", kit.name.removeprefix(f"{kit.supplier}: ")) for kit in kits}
    mine |= {Topic("recipe", name_key(recipe.title))}
    return tuple(
        look(
            question.code,
            (question.topic.name or question.file, question.file, str(question.row), question.column),
            f"{question.file}, row {question.row}, {question.column!r}: is {question.found} meant? {question.why}.",
            subject=f"{question.file}, row {question.row}",
            next_step=question.mend,
            source=question.source,
        )
        for question in workshop.asked
        if question.topic in mine
    )
