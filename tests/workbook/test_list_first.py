"""A market of eight suppliers and 126 packs: the list of the count looked at is there before any other count is closed,
it is said how many are still open, and a control that moves in the midst of closing is obeyed.

The search of all counts at once is put off, as it would prove many; of the integer programs only the list's is solved.
What is held is the order of what happens, so that no clock of a busy machine decides.
"""

from __future__ import annotations

import csv
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

ITEMS, SUPPLIERS, PACKS = 4, 8, 126
LAST = 12


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory):
    folder = tmp_path_factory.mktemp("eight") / "shop"
    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(generated_markets.SIZES, "eight", (ITEMS, SUPPLIERS, PACKS - 2, 0))  # a container and its label
        size = make_workshop(folder, 0, "eight", "flat")
    for name in ("packs", "kits"):  # of the demo's own suppliers nothing is bought
        head, *rows = csv.reader((folder / f"{name}.csv").read_text(encoding="utf-8-sig").splitlines())
        mine = [row for row in rows if row[0] in {f"S{k}" for k in range(SUPPLIERS)}]
        mine += [["S0", "Label", *row[2:]] for row in mine if row[1] == "250 mL foamer"]
        with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as file:
            csv.writer(file).writerows([head, *mine])
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


def test_the_list_comes_before_any_other_count_is_closed_and_a_moved_control_before_that_count_ends(
    shop, told, monkeypatch
) -> None:
    closing, go_on = threading.Event(), threading.Event()

    def unproved(points: solvers.Points, count: int, **_: object) -> solvers.Points:
        told.append(("closes", str(count)))
        if not closing.is_set():
            closing.set()
            assert go_on.wait(120)
            told.append(("ended", ""))
        return points

    monkeypatch.setattr(solvers, "_solved", unproved)
    workshop, size = shop
    panel = make_or_buy_panel(workshop, RECIPE, batch_size=size, batches=5, upto=LAST)
    panel.tabs.selected_index = 0
    assert closing.wait(120)
    market = panel.view.plan.market
    assert (len({pack.supplier for pack in market.packs}), len(market.packs)) == (SUPPLIERS, PACKS)
    closes = places(told, "closes")[0]
    assert places(told, "basket", "total")[0] < closes
    assert places(told, "basket", "why this list")[0] < closes
    states = [told[k][1] for k in places(told, "state") if k < closes]
    assert f"{LAST} of {LAST} counts are not proved yet" in states[0]
    assert f"{LAST - 1} of {LAST} counts are not proved yet" in states[-1]
    assert panel.view.curve.at(5).proved
    panel.count.slider.value = 6  # in the midst of closing
    assert panel.wait(120)
    assert panel.view.curve.at(6).proved
    assert f"{6 * size} containers." in panel.state.value
    assert not places(told, "ended")
    assert {told[k][1] for k in places(told, "closes")} >= {str(n) for n in range(1, LAST + 1) if n not in (5, 6)}
    go_on.set()
