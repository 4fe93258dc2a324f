"""The demo's workshop, read once, and decisions on its recipes."""

from __future__ import annotations

from functools import cache
from typing import Any

import pytest

from maker_kit.decision.decision import Decision
from maker_kit.workbook.run.decide import decision_of
from maker_kit.workshop import Workshop, find_workshop


@cache
def demo() -> Workshop:
    return find_workshop()


@cache
def demo_decision(name: str) -> Decision:
    return decision_of(demo(), name, {"upto": 24})


@pytest.fixture(scope="session")
def shop() -> Any:
    return demo()
