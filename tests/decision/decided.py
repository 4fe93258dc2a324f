"""The demo's workshop, read once, and decisions on its recipes."""

from __future__ import annotations

from functools import cache

from maker_kit.decision.decision import Decision, decide
from maker_kit.plan.sensitivity import Sensitivity
from maker_kit.workbook.run.decide import asked
from maker_kit.workshop import Workshop, find_workshop


@cache
def demo() -> Workshop:
    return find_workshop()


def decided(shop: Workshop, name: str, **values: object) -> Decision:
    """A decision without what it hangs on, which takes longest and which no rule reads."""
    plan, bought, view = asked(shop, name, {"upto": 24, **values})
    return decide(plan, bought, view, moved=Sensitivity(plan.batches, 24, None, None, None, ()))


@cache
def demo_decision(name: str) -> Decision:
    """The one on a recipe of the demo."""
    return decided(demo(), name)
