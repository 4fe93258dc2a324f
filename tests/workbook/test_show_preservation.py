"""What is shown of preservation: each finding once, the stop first, in whole sentences."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pandas as pd
import pytest
from demo_workshop import demo

from maker_kit.formula.preservation.preservation import judge_preservation
from maker_kit.formula.recipe import Recipe
from maker_kit.workbook.shown.sheets import findings_sheet

WASH, WATER_1, GEL = "r1-hand-wash", "r3v1-cleansing-water", "r2-gel-cream"


@pytest.fixture(scope="module")
def shop():
    return demo()


def sheet(recipe: Recipe) -> pd.DataFrame:
    return findings_sheet(judge_preservation(recipe)).frame


def test_a_stop_is_said_once_and_first(shop) -> None:
    # two acids are dissociated at 6.6: one stop each
    frame = sheet(shop.recipe(WATER_1))
    about = Counter(frame["about"])
    assert (about["Benzoic acid"], about["Sorbic acid"]) == (1, 1)
    assert "own use" in frame.iloc[0, 2]
    unread = sheet(replace(shop.recipe(WASH), ph_read=None))
    assert "stop" in unread.iloc[0, 0]
    assert "none was read" in unread.iloc[0, 2]


def test_what_is_no_preservative_is_named_in_a_sentence(shop) -> None:
    gel = shop.recipe(GEL)
    booster = replace(gel.ingredients["Preservative P"], inci=("Ethylhexylglycerin",), inside=())
    text = sheet(replace(gel, ingredients={**gel.ingredients, "Preservative P": booster})).iloc[0, 2]
    assert "Ethylhexylglycerin (helps a preservative but is none by itself)" in text
    assert "Citric Acid (sets the pH)" in text
    assert " is helps" not in text
    assert " is sets" not in text
