"""How many slips in single cells are asked about, and how many questions are asked of tables without one.

By hand: ``python tests/benchmarks/try_slips.py --slips 300 --first-seed 1000``; `--clean 10` sets the number of
workshops without a slip, `--show` prints every slip that was taken in silence.
"""

from __future__ import annotations

import argparse
import random
import shutil
import sys
import tempfile
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests/workshop")]

from clean_workshops import clean_workshop  # noqa: E402
from slip_maker import Slip, differs, make_slip, outcome, stands_on  # noqa: E402

from maker_kit.errors import WorkshopError  # noqa: E402
from maker_kit.workshop import Workshop, load_workshop  # noqa: E402

TOLD = ("fault", "asked", "noted", "silent")
"""What may become of a slip that changes something."""
SIZES = (3, 5, 2, 8, 4, 12, 6, 1, 20, 30)
"""Recipes in the workshops without a slip, in turn."""


def tell(*words: object) -> None:
    """A line at once, also into a pipe."""
    sys.stdout.write(" ".join(map(str, words)) + "\n")
    sys.stdout.flush()


class Base:
    """One workshop without a slip, and what its recipes come to."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.shop = folder, load_workshop(folder)
        self.on = {name: stands_on(self.shop, name) for name in self.shop.recipes}
        self._known: dict[str, tuple] = {}

    def come_to(self, name: str) -> tuple:
        if name not in self._known:
            self._known |= outcome(self.shop, [name])
        return self._known[name]

    def matters(self, shop: Workshop) -> tuple[bool, bool]:
        """Whether any recipe comes to something else, and whether it shows a stop or look that it did not show."""
        if shop.recipes.keys() != self.shop.recipes.keys():
            return True, False
        moved = [name for name in shop.recipes if stands_on(shop, name) != self.on[name]]
        both = [(self.come_to(name), outcome(shop, [name])[name]) for name in moved]
        new = any(note[0] in ("stop", "look") for before, after in both for note in after[0] - before[0])
        return any(differs(before, after) for before, after in both), new


def try_one(base: Base, seed: int, work: Path) -> tuple[Slip, str]:
    """A slip, and what became of it: ``fault`` (refused), ``asked``, ``noted`` (a new stop or look), ``silent`` or
    ``same`` where it changes nothing.
    """
    folder = Path(shutil.copytree(base.folder, work / "slipped"))
    try:
        slip = make_slip(folder, random.Random(seed))
        try:
            shop = load_workshop(folder)
        except WorkshopError:
            return slip, "fault"
        asked = {(q.file, q.row, q.column) for q in shop.asked} - {(q.file, q.row, q.column) for q in base.shop.asked}
        near = any(file == slip.file for file, *_ in asked) or bool(asked)
        matters, noted = base.matters(shop)
        if slip.kind != "letter" and not matters:
            return slip, "same"
        return slip, "asked" if near else "noted" if noted else "silent"
    finally:
        shutil.rmtree(folder)


def main() -> None:
    """Print the figures."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--slips", type=int, default=300)
    parser.add_argument("--first-seed", type=int, default=1000)
    parser.add_argument("--clean", type=int, default=10)
    parser.add_argument("--show", action="store_true")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as temporary:
        work, false = Path(temporary), 0
        demo = Base(ROOT / "data")
        tell(f"demo: {len(demo.shop.asked)} false questions")
        for i in range(given.clean):
            shop = load_workshop(clean_workshop(work / f"clean{i}", given.first_seed + i, SIZES[i % len(SIZES)]))
            false += len(shop.asked)
            for question in shop.asked:
                tell("  false:", question.sentence())
        tell(f"{given.clean} workshops without a slip: {false} false questions")
        bases = [demo]
        for i in range(5):
            bases.append(Base(clean_workshop(work / f"base{i}", given.first_seed + 500 + i, 3 + i % 3)))
        became, by_kind, seed = Counter(), {}, given.first_seed
        while sum(became[what] for what in TOLD) < given.slips:
            slip, what = try_one(bases[seed % len(bases)], seed, work)
            became[what] += 1
            by_kind.setdefault(slip.kind, Counter())[what] += 1
            if given.show and what in ("silent", "noted"):
                tell(seed, what, slip)
            seed += 1
    total = sum(became[what] for what in TOLD)
    found, left = became["fault"] + became["asked"], total - became["fault"]
    tell(
        f"{total} slips that change a verdict, a cost or a judgement (of {seed - given.first_seed} made):", dict(became)
    )
    share = 100 * became["asked"] / left
    tell(f"asked about or refused: {found} of {total}, {100 * found / total:.1f} %")
    tell(f"of the {left} that are not refused {became['asked']} are asked about, {share:.1f} %; {became['noted']} more")
    tell("show as a new stop or look of a recipe, the rest in silence")
    for kind, counts in sorted(by_kind.items()):
        tell(f"  {kind}: {dict(counts)}")


if __name__ == "__main__":
    main()
