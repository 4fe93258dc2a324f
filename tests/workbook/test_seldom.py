"""A run that seldom looks for garbage leaves the collector as it was, and no garbage out of its reach."""

from __future__ import annotations

import gc
import weakref

from maker_kit.workbook.run.seldom import NEW, seldom_collected


class Node:
    """Holds itself."""

    def __init__(self) -> None:
        self.me = self


def test_what_was_set_is_set_again_and_what_was_made_is_still_found() -> None:
    before, frozen = gc.get_threshold(), gc.get_freeze_count()
    with seldom_collected():
        assert gc.get_threshold()[0] == NEW
        node = Node()
        left = weakref.ref(node)
        del node
    assert gc.get_threshold() == before
    assert gc.get_freeze_count() <= frozen
    gc.collect()
    assert left() is None
