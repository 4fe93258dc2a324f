"""A run that seldom looks for garbage leaves the collector as it was, and no garbage out of its reach."""

from __future__ import annotations

import gc
import threading
import weakref

import pytest

from maker_kit import collecting
from maker_kit.collecting import NEW, seldom_collected, set_apart


class Node:
    """Holds itself."""

    def __init__(self) -> None:
        self.me = self


@pytest.mark.parametrize("apart", [False, True])
def test_what_was_set_is_set_again_and_what_was_made_is_still_found(
    apart: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(collecting, "_SET_APART", threading.Event())
    if apart:
        set_apart()
    before, frozen = gc.get_threshold(), gc.get_freeze_count()
    with seldom_collected():
        assert gc.get_threshold()[0] == NEW
        node = Node()
        left = weakref.ref(node)
        del node
    assert gc.get_threshold() == before
    assert gc.get_freeze_count() <= frozen
    assert bool(gc.get_freeze_count()) == apart  # what was set apart stays so
    gc.collect()
    assert left() is None
