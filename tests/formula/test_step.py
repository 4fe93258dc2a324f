"""A step is hot by its own columns as well as by its words, and the caution follows it."""

from __future__ import annotations

from dataclasses import replace

import pytest
from formula.judged_recipes import R1

from maker_kit.formula.notes.cautions import cautions
from maker_kit.formula.step import Step


@pytest.mark.parametrize(
    ("step", "hot"),
    [
        (Step(1, "Hold both phases.", from_c=85, to_c=90), True),
        (Step(1, "Hold both phases.", from_c=85), True),
        (Step(1, "Hold both phases.", to_c=45), True),
        (Step(1, "Hold both phases.", from_c=20, to_c=44), False),
        (Step(1, "Hold both phases.", tool="water bath"), True),
        (Step(1, "Stir it well."), False),
    ],
)
def test_a_step_with_a_window_of_its_own_gets_the_hot_phase_caution(step: Step, hot: bool) -> None:
    assert step.is_hot is hot
    found = {f.code for f in cautions(replace(R1, steps=(step,)))}
    assert ("caution.hot" in found) is hot
