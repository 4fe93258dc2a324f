"""A workshop in which the hand wash from a ready base has every paper, so that every step of its gate is open: then
one fact after another can be taken away.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date

from maker_kit.decision.gate import gate
from maker_kit.decision.gate_step import Gate
from maker_kit.formula.recipe import Recipe
from maker_kit.plan.judged import Judged, judge_recipes
from maker_kit.workshop import Workshop, find_workshop
from maker_kit.workshop.csv.paper_tables import ASSESSED, DEVIATION, PAPERS
from maker_kit.workshop.judged_targets import judged_targets
from maker_kit.workshop.papers import Paper

WASH = "r1b-hand-wash"
DAY = date(2026, 3, 31)
_JUDGED: dict[tuple[int, str], tuple[Recipe, Judged]] = {}
"""Notes by recipe: papers, watch and trials do not change them."""


def complete(market: str = "EU") -> Workshop:
    """The demo with every kind of paper on file for the wash."""
    shop = find_workshop()
    kinds = [
        kind
        for kind in next(c.choices for c in PAPERS.columns if c.key == "paper")
        if kind not in (DEVIATION, "supplier's sheet", *ASSESSED[1:])
    ]
    papers = [
        Paper(kind, DAY, WASH, shop.recipes[WASH].version, by="somebody", qualification="invented", row=100 + k)
        for k, kind in enumerate(kinds)
    ]
    return replace(shop, papers=(*shop.papers, *papers), settings=replace(shop.settings, market=market))


def gate_of(shop: Workshop, recipe: Recipe | str = WASH) -> Gate:
    """The gate of a recipe in a workshop."""
    recipe = shop.recipe(recipe)
    key = (id(recipe), shop.settings.market)
    if key not in _JUDGED:
        _JUDGED[key] = (recipe, judge_recipes(shop, [recipe])[0])  # the recipe is kept, so that its id stays its own
    judged = _JUDGED[key][1]
    card = judged_targets(shop, recipe.name) if recipe.name in shop.recipes else ()
    return gate(shop, recipe, judged, card)


def _of_recipe(**changed: object) -> Callable[[Workshop], Workshop]:
    def taken(shop: Workshop) -> Workshop:
        recipes = {**shop.recipes, WASH: replace(shop.recipes[WASH], **changed)}
        return replace(shop, recipes=recipes)

    return taken


def _without_paper(kind: str) -> Callable[[Workshop], Workshop]:
    return lambda shop: replace(shop, papers=tuple(p for p in shop.papers if p.paper != kind or p.recipe != WASH))


def _without_places(shop: Workshop) -> Workshop:
    recipe = shop.recipes[WASH]
    return _of_recipe(product_type=replace(recipe.product_type, places=()))(shop)


def _of_ingredients(shop: Workshop, change: Callable[[str], Mapping[str, object]]) -> Workshop:
    recipe = shop.recipes[WASH]
    things = {name: replace(thing, **change(name)) for name, thing in recipe.ingredients.items()}
    return _of_recipe(ingredients=things)(replace(shop, ingredients={**shop.ingredients, **things}))


def _base_of_unknown_names(shop: Workshop) -> Workshop:
    return _of_ingredients(
        shop, lambda name: {"inci": ("Nobody Knows This",), "inside": ()} if name == "Wash base" else {}
    )


def _no_certificates(shop: Workshop) -> Workshop:
    return _of_ingredients(shop, lambda name: {"certificates": (), "inside": ()})


FACTS: dict[str, tuple[Callable[[Workshop], Workshop], str]] = {
    "pH": (_of_recipe(ph_read=None), "own use"),
    "band": (_of_recipe(ph_low=None, ph_high=None), "own use"),
    "keeping time": (_of_recipe(keeps_months=None), "own use"),
    "use": (_of_recipe(use_per_month=None), "own use"),
    "places": (_without_places, "own use"),
    "names": (_base_of_unknown_names, "own use"),
    "sheets": (_without_paper("supplier's sheet"), "own use"),
    "patch test": (_without_paper("patch test"), "own use"),
    "version": (_of_recipe(version="another"), "own use"),
    "watch": (lambda shop: replace(shop, watched=()), "gift"),
    "first day": (lambda shop: replace(shop, watched=tuple(w for w in shop.watched if w.day)), "gift"),
    "last day": (lambda shop: replace(shop, watched=tuple(w for w in shop.watched if w.day < 28)), "gift"),
    "what was seen": (
        lambda shop: replace(shop, watched=tuple(replace(w, as_before=None) for w in shop.watched)),
        "gift",
    ),
    "batch record": (_without_paper("batch record"), "gift"),
    "label": (_without_paper("label"), "gift"),
    "card": (lambda shop: replace(shop, target_cards={}), "sale"),
    "trials": (lambda shop: replace(shop, trials=()), "sale"),
    "challenge test": (_without_paper("challenge test"), "sale"),
    "stability": (_without_paper("stability"), "sale"),
}
"""A fact, how it is taken away, and the first step that closes without it."""
EU_FACTS = {
    kind: (_without_paper(kind), "sale")
    for kind in (
        *("safety assessment", "responsible person", "product file", "good practice"),
        *("notification", "claims", "complaints"),
    )
}
