"""Large workshops cost in proportion to their size: by counts of calls, for times say nothing on a busy machine."""

from __future__ import annotations

import cProfile
import gc
import pstats
import sys
from pathlib import Path

import pytest

sys.path[:0] = [str(Path(__file__).parents[1] / "benchmarks")]

from large_workshop import make_workshop  # noqa: E402 - found through the line above

from maker_kit.collecting import NEW  # noqa: E402 - found through the line above
from maker_kit.errors import NoticeError  # noqa: E402
from maker_kit.plan.plan import make_plan  # noqa: E402
from maker_kit.workbook.run.side_by_side import side_by_side  # noqa: E402
from maker_kit.workbook.shown.start import pages, start_in_words  # noqa: E402
from maker_kit.workshop import Workshop, load_workshop  # noqa: E402
from maker_kit.workshop.csv.reading import MOST_ROWS  # noqa: E402
from maker_kit.workshop.loading import find_workshop, read_once  # noqa: E402

SMALL, LARGE = 6, 24
TIMES = LARGE // SMALL


@pytest.fixture(scope="module")
def shops(tmp_path_factory: pytest.TempPathFactory) -> dict[int, Path]:
    room = tmp_path_factory.mktemp("large")
    for recipes in (SMALL, LARGE):
        make_workshop(room / str(recipes), recipes, 10 * recipes, 40 * recipes)
    return {recipes: room / str(recipes) for recipes in (SMALL, LARGE)}


def calls(what: object, *given: object) -> int:
    """How many functions are called."""
    profile = cProfile.Profile()
    profile.runcall(what, *given)  # type: ignore[arg-type]
    return pstats.Stats(profile).total_calls  # type: ignore[attr-defined]


def test_tables_are_read_in_proportion_to_their_rows(shops: dict[int, Path]) -> None:
    few, many = (calls(load_workshop, shops[recipes]) for recipes in (SMALL, LARGE))
    assert many < 1.25 * TIMES * few


def test_a_plan_does_not_cost_more_where_more_is_on_file(shops: dict[int, Path]) -> None:
    counts = []
    for recipes in (SMALL, LARGE):
        shop = load_workshop(shops[recipes])
        make_plan(shop, "r4-balm")  # what is looked up once a workshop
        counts.append(calls(make_plan, shop, "r5-hand-lotion"))
    assert counts[1] < 1.2 * counts[0]


def test_twenty_thousand_packs_are_below_the_limit_of_a_table() -> None:
    assert MOST_ROWS > 20_000


def test_a_large_workshop_is_looked_at_in_lots_and_says_so() -> None:
    lots = pages([f"r{n}" for n in range(500)], 24)
    assert next(iter(lots)) == "1 to 24 of 500"
    assert list(lots)[-1] == "481 to 500 of 500"
    assert [name for lot in lots.values() for name in lot] == [f"r{n}" for n in range(500)]
    assert start_in_words([], 500).startswith("0 of 500 recipes, those below:")


def half(number: int, folder: Path) -> tuple[float, bool, int]:
    """What one process makes of one thing; whether it keeps the tables, and after how much it looks for garbage."""
    if number < 0:
        msg = f"{number} is below zero"
        raise NoticeError(msg)
    return number / 2, find_workshop(folder) is find_workshop(folder), gc.get_threshold()[0]


def test_things_made_side_by_side_come_in_their_order_and_the_first_fault_in_its_words(shops: dict[int, Path]) -> None:
    """Each process reads the tables once, as long as it lives."""
    given = [{"number": n, "folder": shops[SMALL]} for n in (8, 6, -4, 2)]
    made = side_by_side(half, given, most=2)
    assert [next(made), next(made)] == [(4.0, True, NEW), (3.0, True, NEW)]
    with pytest.raises(NoticeError, match="-4 is below zero"):
        next(made)


def test_within_one_run_the_tables_are_read_once(shops: dict[int, Path]) -> None:
    def both() -> tuple[Workshop, Workshop]:
        return find_workshop(shops[SMALL]), find_workshop(shops[SMALL])

    with read_once():
        one, other = both()
        assert one is other
    one, other = both()
    assert one is not other
