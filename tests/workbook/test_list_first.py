"""A market of eight suppliers and 126 packs: the list of the count looked at is there before any other count is closed,
it is said how many are still open, and a control that moves in the midst of closing is obeyed.

The search of all counts at once is put off, as it would prove many; of the integer programs only the list's is solved.
What is held is the order of what happens, so that no clock of a busy machine decides.
"""

from __future__ import annotations

import sys
import threading
from pathlib import Path

import pytest

sys.path[:0] = [str(Path(__file__).parents[1] / name) for name in ("benchmarks", "buying")]

import generated_markets  # noqa: E402 - found through the line above
from medium_workshop import RECIPE, make_workshop  # noqa: E402

from maker_kit.buying.curve import solver as solvers  # noqa: E402
from maker_kit.buying.curve.search import Search  # noqa: E402
from maker_kit.workbook.panels.make_or_buy import MakeOrBuyPanel, make_or_buy_panel  # noqa: E402
from maker_kit.workshop import load_workshop  # noqa: E402

ITEMS, SUPPLIERS, PACKS, KITS = 12, 8, 126, 0
LAST = 12


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory):
    folder = tmp_path_factory.mktemp("eight") / "shop"
    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(generated_markets.SIZES, "eight", (ITEMS, SUPPLIERS, PACKS, KITS))
        size = make_workshop(folder, 0, "eight", "threshold")
    return load_workshop(folder), size


@pytest.fixture
def told(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, str]]:
    """What happens, in its order: what the screen shows, and the counts that are to be closed."""
    happened: list[tuple[str, str]] = []
    show = MakeOrBuyPanel.show

    def seen(panel: MakeOrBuyPanel, what: dict) -> None:
        happened.extend((name, str(value)) for name, value in what.items() if name in ("basket", "state"))
        show(panel, what)

    monkeypatch.setattr(MakeOrBuyPanel, "show", seen)
    monkeypatch.setattr(Search, "run", lambda search: None)
    return happened


def places(told: list[tuple[str, str]], name: str, words: str = "") -> list[int]:
    return [k for k, (what, value) in enumerate(told) if what == name and words in value]


def test_its_list_and_reasons_come_before_any_other_count_is_closed(shop, told, monkeypatch) -> None:
    def unproved(points: solvers.Points, count: int, **_: object) -> solvers.Points:
        told.append(("closes", str(count)))
        return points

    monkeypatch.setattr(solvers, "_solved", unproved)
    workshop, size = shop
    panel = make_or_buy_panel(workshop, RECIPE, batch_size=size, batches=5, upto=LAST)
    panel.tabs.selected_index = 0
    assert panel.wait(120)
    market = panel.view.plan.market
    assert (len(market.suppliers), len(market.packs)) == (SUPPLIERS, PACKS + 1)  # and the container
    closes = places(told, "closes")
    assert [told[k][1] for k in closes] == [str(n) for n in range(1, LAST + 1) if n != 5]
    assert places(told, "basket", "total")[0] < closes[0]
    assert places(told, "basket", "why this list")[0] < closes[0]
    # said before the list, with it, and at last
    states = [told[k][1] for k in places(told, "state")]
    assert f"{LAST} of {LAST} counts are not proved yet" in states[0]
    assert f"{LAST - 1} of {LAST} counts are not proved yet" in states[-1]
    assert panel.view.curve.at(5).proved


def test_a_control_moved_in_the_midst_of_closing_brings_the_next_list_before_that_count_ends(
    shop, told, monkeypatch
) -> None:
    closing, go_on, begun = threading.Event(), threading.Event(), []

    def waits(points: solvers.Points, count: int, **_: object) -> solvers.Points:
        begun.append(count)
        closing.set()
        if len(begun) == 1:
            assert go_on.wait(120)
            told.append(("ended", str(count)))
        return points

    monkeypatch.setattr(solvers, "_solved", waits)
    workshop, size = shop
    panel = make_or_buy_panel(workshop, RECIPE, batch_size=size, batches=5, upto=LAST)
    panel.tabs.selected_index = 0
    assert closing.wait(120)
    panel.count.slider.value = 6
    assert panel.wait(120)
    go_on.set()
    assert panel.view.curve.at(6).proved
    assert not places(told, "ended")
    assert len(begun) > 1
