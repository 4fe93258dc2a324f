"""Thousands of names that nobody knows are answered in seconds, and as well as few are."""

from __future__ import annotations

import difflib
import random
import time

from maker_kit.names import near_miss


def _words(chance: random.Random, count: int) -> list[str]:
    def word() -> str:
        return "".join(chance.choice("bcdfghklmnprst") + chance.choice("aeiou") for _ in range(chance.randrange(4, 8)))

    return [f"{word()} {word()}" for _ in range(count)]


def test_time_grows_with_the_questions_and_not_with_their_square() -> None:
    chance = random.Random(3)
    known = _words(chance, 2_400)
    start = time.process_time()
    told = [near_miss(name[:3] + "x" + name[4:], known) for name in known[:2_317]]
    assert time.process_time() - start < 2
    assert [t.close for t in told] == [(name,) for name in known[:2_317]]


def test_of_many_names_the_likest_is_the_one_that_all_comparisons_find() -> None:
    chance = random.Random(5)
    known = _words(chance, 400)
    alike = 0
    for name in chance.sample(known, 60):
        letters = list(name)
        for _ in range(2):
            letters[chance.randrange(len(letters))] = chance.choice("aeioubdst")
        slipped = "".join(letters)
        whole = difflib.get_close_matches(slipped, known, n=1, cutoff=0.6)
        alike += tuple(whole) == near_miss(slipped, known).close
    assert alike >= 59
