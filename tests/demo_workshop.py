"""The demo workshop, read once for all tests that only look at it."""

from __future__ import annotations

from functools import cache

from maker_kit.workshop import Workshop, demo_folder, load_workshop


@cache
def demo() -> Workshop:
    """The demo workshop; nothing in it can be changed."""
    return load_workshop(demo_folder())
