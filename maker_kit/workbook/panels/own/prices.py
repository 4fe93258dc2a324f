"""Prices of the maker's own beside the answer: what the recipe takes, what is on file for it, and a pack with its price
to write down.
"""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as w

from maker_kit.plan.plan import Plan
from maker_kit.workbook.keep import own_tables
from maker_kit.workbook.panels.call import as_html, keep_button
from maker_kit.workbook.panels.controls import dropdown, field, look, text_box
from maker_kit.workbook.shown.own.prices import prices_sheet
from maker_kit.workshop import Workshop
from maker_kit.workshop.own_prices import save_price

WIDE = look("26em", "10em")


class OwnPrices(w.HBox):
    """Fields for one pack, and beside them the prices on file for what a recipe takes.

    Parameters
    ----------
    plan : Plan
    saved : callable
        Called with the workshop as it is read again, once a price is saved.
    """

    def __init__(self, plan: Plan, saved: Callable[[Workshop], None]) -> None:
        self._plan, self._saved = plan, saved
        self.item = dropdown("what", [*plan.needs], next(iter(plan.needs)), **WIDE)
        self.size = field("pack", placeholder="such as 500 g or 24 pieces", **WIDE)
        self.price = field(f"price of one [{plan.currency}]", placeholder="such as 6.90", **WIDE)
        self.supplier = w.Combobox(description="supplier", placeholder="who sells it", **WIDE)
        self.delivery = field("delivery of an order", placeholder="only for a new supplier; 0 if free", **WIDE)
        fault, said, self.table = (text_box(f"maker-prices-{what}") for what in ("fault", "saved", "table"))
        kept = keep_button("save this price", self._save, fault, said)
        fields = (self.item, self.size, self.price, self.supplier, self.delivery)
        left = w.VBox([*fields, kept, fault, said], layout={"width": "28em", "flex": "0 0 auto"})
        right = w.VBox([self.table], layout={"flex": "1 1 30em", "min_width": "18em"})
        super().__init__([left, right], layout={"flex_flow": "row wrap", "width": "100%"})
        self.add_class("maker-prices")
        self.of(plan)

    def of(self, plan: Plan) -> None:
        """Show what another plan takes; what was typed stays."""
        self._plan = plan
        if self.item.options != (items := tuple(plan.needs)):
            value = self.item.value
            self.item.options = items
            self.item.value = value if value in items else items[0]
        self.supplier.options = tuple(s.name for s in plan.workshop.market.suppliers)
        self.table.value = as_html(prices_sheet(plan))

    def _save(self) -> str:
        tables = own_tables(self._plan.workshop)
        boxes = (self.item, self.size, self.price, self.supplier, self.delivery)
        found = save_price(tables, *(box.value for box in boxes))
        self.size.value = self.price.value = self.delivery.value = ""
        self._saved(found.workshop)
        return found.sentence()
