"""Answers to a pasted text that is changed: each goes with its line, and none is taken for another line's."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from maker_kit.formula.pasted.again import answers_again
from maker_kit.formula.pasted.recipe_text import read_recipe_text
from maker_kit.formula.recipe import Ingredient

KNOWN = {name: Ingredient(name, (name,), "oil") for name in ("Olive oil", "Water", "Shea butter", "Beeswax")}
DROPS = {name: f"{n} drops {name}" for n, name in enumerate(KNOWN, 3)}


def lines_of(names: list[str]) -> str:
    return "\n".join(["50 g water base", *(DROPS[name] for name in names)])


@settings(deadline=None, max_examples=60)
@given(st.permutations(list(KNOWN)), st.permutations(list(KNOWN)), st.integers(0, 4), st.integers(1, 4))
def test_an_answer_follows_its_line(first: list[str], second: list[str], kept: int, answered: int) -> None:
    before = read_recipe_text(lines_of(first), KNOWN)
    answers = {f"line {n}: amount": f"{n} g" for n in range(2, 2 + answered)}
    found = answers_again(before, lines_of(second[:kept]), answers)
    by_name = {first[int(key.split()[1][:-1]) - 2]: value for key, value in answers.items()}
    assert found == {f"line {n}: amount": by_name[name] for n, name in enumerate(second[:kept], 2) if name in by_name}


def test_a_line_that_was_changed_or_stands_there_twice_is_asked_again() -> None:
    before = read_recipe_text("50 g water; 3 drops olive oil", KNOWN)
    answers = {"line 2: amount": "0.1 g"}
    assert answers_again(before, "50 g water; 4 drops olive oil", answers) == {}
    assert answers_again(before, "3 drops olive oil; 50 g water; 3 drops olive oil", answers) == {}
    assert answers_again(before, "3 drops olive oil; 50 g water", answers) == {"line 1: amount": "0.1 g"}
