"""Workshops of a handful of round numbers, whose costs are worked out by hand beside them."""

from __future__ import annotations

from pathlib import Path

from maker_kit.buying.market import Market, Pack, Supplier
from maker_kit.formula.container import Container
from maker_kit.formula.recipe import Ingredient, Line, ProductType, Recipe
from maker_kit.workshop import Workshop
from maker_kit.workshop.things import Settings, ShopProduct, ShopSize

INGREDIENTS = {
    "Oil": Ingredient("Oil", ("Oleum",), "oil"),
    "Wax": Ingredient("Wax", ("Cera",), "wax"),
    "Scent": Ingredient("Scent", ("Parfum",), "scent"),
}


def recipe(name: str = "balm", oil: float = 60, wax: float = 40, **changed: object) -> Recipe:
    """100 g into a tin, no loss; 600 units of oil, 400 of wax a container."""
    lines = (
        Line("A", "Oil", oil, balance=True),
        Line("A", "Wax", wax),
        *((Line("B", "Scent", 100 - oil - wax),) if oil + wax < 100 else ()),
    )
    return Recipe(
        **{
            "name": name,
            "title": name.capitalize(),
            "version": "1",
            "lines": lines,
            "ingredients": INGREDIENTS,
            "product_type": ProductType(("hands",), rinse_off=False),
            "container": "Tin",
            "fill_ml": 100.0,
            "density_g_per_ml": 1.0,
            "fill_g": 100.0,
            "keeps_months": 6.0,
            "use_per_month": 2.0,
            "shop_product": "Shop balm",
            "scent": "Scent" if oil + wax < 100 else "",
            **changed,
        }
    )


def market(
    *,
    tax_bp: int = 0,
    delivery: int = 500,
    delivery_high: int | None = None,
    free_from: int | None = None,
    stock: int | None = None,
) -> Market:
    """Wax and oil at A, tins and labels at B (carried home)."""
    high = () if delivery_high is None else ((None, delivery_high),)
    a = Supplier("A", ((None, delivery),), 100, free_from, 0, tax_bp, delivery_high=high)
    b = Supplier("B", ((None, 0),))
    packs = (
        Pack("A: oil 100 g", "A", {"Oil": 1000}, ((1, 200),), 1000, stock),
        Pack("A: oil 500 g", "A", {"Oil": 5000}, ((1, 700),), 5000),
        Pack("A: wax 100 g", "A", {"Wax": 1000}, ((1, 300),), 1000),
        Pack("A: scent 10 g", "A", {"Scent": 100}, ((1, 450),), 100),
        Pack("B: tin", "B", {"Tin": 1}, ((1, 50),)),
        Pack("B: 10 labels", "B", {"Label": 10}, ((1, 240),)),
    )
    return Market((a, b), packs, frozenset({"Tin", "Label"}))


def workshop(sold: Market | None = None, *recipes: Recipe, shop_cents: int = 900) -> Workshop:
    made = recipes or (recipe(),)
    shop = ShopProduct("Shop balm", (ShopSize("100 g", shop_cents, size_g=100.0),))
    return Workshop(
        Path("small"),
        Settings("EUR", "EU", ((500.0, 0.1),)),
        INGREDIENTS,
        {r.name: r for r in made},
        {"Tin": Container("Tin", "tin", 120, 130, 10)},
        sold or market(),
        shop_products={"Shop balm": shop},
    )
