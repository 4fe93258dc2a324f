"""Noise given to whatever reads what a maker types: tables, bytes, pasted texts, settings, saved recipes, workbooks.

By hand: ``python tests/benchmarks/fuzz.py --inputs 100000 --first-seed 0``; `--kinds cells bytes` tries only these.
Each input has to end in a value or a sentence of ours, in time, with nothing lost from the files. Ends with 1 where one
did not; the seed brings it back: ``--first-seed SEED --inputs 1``.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests/workshop")]

from fuzzing import Fuzz  # noqa: E402
from try_slips import tell  # noqa: E402


def main() -> int:
    """Try them, and print what became of them."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--inputs", type=int, default=100_000)
    parser.add_argument("--first-seed", type=int, default=0)
    parser.add_argument("--kinds", nargs="*", default=())
    given = parser.parse_args()
    ended, longest, wrong = Counter(), {}, 0
    begun = time.process_time()
    with tempfile.TemporaryDirectory() as room:
        fuzz = Fuzz(Path(room))
        for seed in range(given.first_seed, given.first_seed + given.inputs):
            tried = fuzz.try_one(seed, tuple(given.kinds))
            ended[tried.kind, tried.ended] += 1
            longest[tried.kind] = max(longest.get(tried.kind, (0, 0)), (tried.seconds, seed))
            if tried.wrong:
                wrong += 1
                tell(f"seed {seed}, {tried.kind}: {tried.wrong}")
    for kind, (seconds, seed) in sorted(longest.items()):
        value, sentence = ended[kind, "value"], ended[kind, "sentence"]
        tell(f"{kind}: {value} values, {sentence} sentences; the longest {seconds:.2f} s (seed {seed})")
    tell(f"{given.inputs} inputs, {wrong} wrong, {time.process_time() - begun:.0f} s of processor")
    return 1 if wrong else 0


if __name__ == "__main__":
    raise SystemExit(main())
