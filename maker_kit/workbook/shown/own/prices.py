"""The prices on file for what a recipe takes."""

from __future__ import annotations

from maker_kit.buying.market import Pack
from maker_kit.plan.plan import Plan
from maker_kit.workbook.shown.sheets import Sheet

NOTHING = "no price on file"


def prices_sheet(plan: Plan) -> Sheet:
    """Everything a plan buys, with its packs, each with its price and whether that is invented; first what has none."""
    currency, packs = plan.currency, [pack for pack in plan.market.packs if not pack.kit]
    rows = []
    for item in plan.needs:
        sold = [pack for pack in packs if item in pack.content]
        rows += [(item, pack.size, pack.supplier, *_price(pack)) for pack in sold]
        if not sold:
            rows.insert(0, (item, "–", "–", "–", NOTHING))
    columns = ["what it takes", "pack", "supplier", f"price of one [{currency}]", "whose price"]
    return Sheet(rows, ("what it takes", "pack", "supplier", "whose price"), columns=columns)


def _price(pack: Pack) -> tuple[str, str]:
    return f"{pack.prices[0][1] / 100:.2f}", "▲ invented" if pack.invented else "yours"
