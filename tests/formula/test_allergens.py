"""Every listed scent allergen against its two thresholds, whatever rows the table holds."""

from __future__ import annotations

from fractions import Fraction

import pytest
from formula.judged_recipes import HANDS, R5, WASH, recipe, thing
from reference_tables import reference_folder, reference_rows

from maker_kit.formula.notes.allergens import allergens


@pytest.mark.parametrize("row", reference_rows("eu_fragrance_allergens.csv"), ids=lambda r: r["name"])
@pytest.mark.parametrize(("product", "column"), [(HANDS, "leave_on_threshold_pct"), (WASH, "rinse_off_threshold_pct")])
def test_each_is_named_above_its_threshold_and_not_at_it(row, product, column) -> None:
    most = Fraction(row[column])
    for percent, level in ((most, "fine"), (most * Fraction(1001, 1000), "over")):
        made = recipe("x", product, {"It": float(percent)}, extra=(thing("It", row["name"]),))
        found = allergens(made, reference_folder())
        assert [(a.level, a.threshold_percent) for a in found] == [(level, float(most))]
        assert row["source"] in found[0].source


def test_an_allergen_in_an_unknown_amount_is_unknown() -> None:
    made = recipe(
        "x", HANDS, {"Oil": 1}, extra=(thing("Oil", "Lavandula Angustifolia Oil, Linalool", "oil", {"Linalool": None}),)
    )
    assert {(a.substance, a.level, a.high_percent) for a in allergens(made) if a.substance == "Linalool"} == {
        ("Linalool", "unknown", None)
    }


def test_a_preservative_counts_as_the_allergen_it_is() -> None:
    found = {a.substance: a for a in allergens(R5)}
    assert found["Benzyl Alcohol"].on_label
    assert found["Benzyl Alcohol"].high_percent == pytest.approx(0.792)  # 0.9 % at 88 %


def test_each_shows_its_threshold_and_its_source() -> None:
    found = allergens(R5)
    assert {a.threshold_percent for a in found} == {0.001}
    assert all(a.source for a in found)


@pytest.mark.parametrize("function", ["scent", "oil", "active", ""])
def test_an_essential_oil_is_unknown_whatever_its_function(function: str) -> None:
    made = recipe(
        "x", HANDS, {"Orange oil": 0.5}, extra=(thing("Orange oil", "Citrus Aurantium Dulcis Peel Oil", function),)
    )
    assert [(a.level, a.high_percent, a.lines) for a in allergens(made)] == [("unknown", None, ("Orange oil",))]
    little = recipe(
        "x", WASH, {"Orange oil": 0.01}, extra=(thing("Orange oil", "Citrus Aurantium Dulcis Peel Oil", "oil"),)
    )
    assert allergens(little) == ()  # all of it together is no more than the 0.01 % above which a label names one


def test_a_fatty_oil_brings_no_scent_allergen() -> None:
    assert allergens(recipe("x", HANDS, {"It": 5}, extra=(thing("It", "Helianthus Annuus Seed Oil", "oil"),))) == ()
