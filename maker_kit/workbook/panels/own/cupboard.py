"""The tick that asks the cupboard first: what the bench log says is there does not have to be bought."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import ipywidgets as w

from maker_kit.errors import MakerKitError
from maker_kit.plan.log.cupboard import cupboard_of, stocked
from maker_kit.plan.plan import Plan
from maker_kit.plan.shopping.purchases import Solvers
from maker_kit.workbook.bench_book import BenchBook
from maker_kit.workshop import Workshop

WORDS = "ask the cupboard first"
NOTHING = f"{WORDS} (your bench log has no stock)"


class AskCupboard:
    """A tick, and what there is while it is set.

    Parameters
    ----------
    workshop : Workshop
    asked : bool, optional
        None sets it where the maker's own bench log has stock. The demo's records are invented: they are asked only
        where the maker says so.

    Attributes
    ----------
    tick : ipywidgets.Checkbox
        Cannot be set where there is no stock.
    solvers : Solvers
        Of plans with the cupboard in them; new whenever the log is read again.
    """

    def __init__(self, workshop: Workshop, asked: bool | None = None) -> None:
        self._book, self._there = BenchBook(workshop), None
        self.solvers, self.why = Solvers(), ""
        own = not self._book.is_demo and bool(self.there)
        can = own or self._book.is_demo
        self.tick = w.Checkbox(value=own if asked is None else asked and can, indent=False, disabled=not can)
        self.tick.description = self.why or (WORDS if can else NOTHING)
        self.tick.add_class("maker-ask-cupboard")
        self.tick.layout.width = "auto"
        self.tick.observe(self._read_again, names="value")

    @property
    def there(self) -> Mapping[str, float]:
        """What there is of each ingredient [g], by the log as it was when the tick was set; nothing where it cannot be
        read.
        """
        if self._there is None:
            try:
                self._there = cupboard_of(self._book.log, self._book.today)
            except MakerKitError as error:
                self._there, self.why = {}, f"the cupboard is not asked: {error}"
        return self._there

    def stocked(self, plan: Plan) -> Plan:
        """The plan with the cupboard asked first where the tick is set; itself where it is not, or holds nothing."""
        return stocked(plan, self.there) if self.tick.value else plan

    def _read_again(self, change: Mapping[str, Any]) -> None:
        if change["new"]:
            self._there, self.solvers = None, Solvers()
