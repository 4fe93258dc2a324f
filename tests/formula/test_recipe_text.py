"""A recipe pasted in any mess becomes percent only when everything it leaves open has been asked and answered."""

from __future__ import annotations

import random
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from maker_kit.errors import MakerKitError, QuantityError, RecipeError, UnknownNameError
from maker_kit.formula.ingredient import Ingredient
from maker_kit.formula.pasted.amounts import amounts_in
from maker_kit.formula.pasted.percents import rounded, to_percent
from maker_kit.formula.pasted.questions import Key
from maker_kit.formula.pasted.recipe_text import RecipeText, answered, read_recipe_text
from maker_kit.formula.recipe import Line

# NIST Handbook 44 (2023), Appendix C, exact: 1 lb = 453.59237 g = 16 oz; 1 US gallon = 3785.411784 mL = 128 fl oz = 16
# cups = 256 tbsp = 768 tsp
OUNCE, GALLON = Fraction("453.59237") / 16, Fraction("3785.411784")
FL_OZ, CUP, TBSP, TSP = GALLON / 128, GALLON / 16, GALLON / 256, GALLON / 768

KNOWN = {
    i.name: i
    for i in (
        Ingredient("Water", ("Aqua",), "solvent", 0.998),
        Ingredient("Glycerin", ("Glycerin",), "humectant", 1.261),
        Ingredient("Shea butter", ("Butyrospermum Parkii Butter",), "butter", 0.92),
        Ingredient("Beeswax", ("Cera Alba",), "wax", 0.96),
        Ingredient("Scent 1", ("Parfum",), "scent", 0.93),
        Ingredient("Scent 2", ("Parfum",), "scent", 0.92),
        Ingredient("Clay", ("Kaolin",), "colour"),
        Ingredient("Panthenol 75 %", ("Panthenol", "Aqua"), "active", 1.15),
        Ingredient("Citric acid 50 % solution", ("Citric Acid", "Aqua"), "pH adjuster", 1.24),
        Ingredient("Rose floral water", ("Rosa Damascena Flower Water",), "floral water", 0.999),
        Ingredient("Almond oil, sweet", ("Prunus Amygdalus Dulcis Oil",), "oil", 0.917),
        Ingredient("1,3-Propanediol", ("Propanediol",), "humectant", 1.053),
    )
}
MESS = "2 oz shea, 1/2 cup water, 10 drops scent, 3 tbsp glycerin, water to 500 g"


def recipe_as_text(lines) -> str:
    """Lines as text that reads the same again: a heading for each phase, one ingredient a line."""
    text, phase = [], None
    for line in lines:
        if line.phase != phase:
            phase = line.phase
            text.append(f"Phase {phase}:")
        number = Decimal(str(line.percent))
        sure = " sure" if 0 < number < Decimal("0.01") else ""
        text.append(f"{line.ingredient}: to 100 %" if line.balance else f"{number:f} %{sure} {line.ingredient}")
    return "\n".join(text)


def read(text: str, **answers: object) -> RecipeText:
    return read_recipe_text(text, KNOWN, {k.replace("_", " "): v for k, v in answers.items()})


def keys(parsed: RecipeText) -> list[str]:
    return [q.key for q in parsed.questions]


def percents(text: str, answers: dict[str, object] | None = None) -> dict[str, float]:
    return {n.ingredient: n.percent for n in to_percent(read_recipe_text(text, KNOWN), answers or {}).lines}


def test_the_mess_is_read_and_what_it_does_not_say_is_asked() -> None:
    parsed = read(MESS)
    assert keys(parsed) == [
        *("line 1: ingredient", "line 1: amount", "line 2: amount", "line 3: ingredient", "line 3: amount")
    ]
    assert 'did you mean "Shea butter"?' in parsed.questions[0].text
    assert "a weight or a volume" in parsed.questions[1].text
    assert "236.6 mL (US customary)" in parsed.questions[2].text
    assert '"Scent 1", "Scent 2"' in parsed.questions[3].text
    assert "0.03 to 0.06 mL (common practice, no source)" in parsed.questions[4].text
    assert [n.ingredient for n in parsed.lines] == ["", "Water", "", "Glycerin", "Water"]
    assert [n.low_g for n in parsed.lines] == [
        None,
        float(CUP / 2 * Fraction("0.998")),
        None,
        float(3 * TBSP * Fraction("1.261")),
        None,
    ]
    assert parsed.lines[4].balance
    assert len(parsed.to_frame()) == 5
    with pytest.raises(RecipeError, match="before these are answered: line 1: ingredient"):
        to_percent(parsed)


def test_the_answered_mess_is_percent_with_its_sums_before_and_after() -> None:
    parsed = answered(read(MESS), {"line 1: ingredient": "Shea butter", "line 1: amount": "oz wt"})
    parsed = answered(parsed, {"line 2: amount": "US"})
    assert keys(parsed) == ["line 3: ingredient", "line 3: amount"]
    result = to_percent(parsed, {"line 3: ingredient": "scent 1", "line 3: amount": "0.4 g"})
    shea, glycerin, half_cup = 2 * OUNCE, 3 * TBSP * Fraction("1.261"), CUP / 2 * Fraction("0.998")
    assert {n.ingredient: n.percent for n in result.lines} == pytest.approx(
        {
            "Shea butter": float(shea / 5),
            "Water": float(100 - (shea + glycerin) / 5 - Fraction("0.08")),
            "Scent 1": 0.08,
            "Glycerin": float(glycerin / 5),
        },
        abs=1e-4,
    )
    assert result.after_percent == 100
    assert [n.ingredient for n in result.lines if n.balance] == ["Water"]
    assert result.before_g == pytest.approx(float(shea + half_cup + Fraction("0.4") + glycerin))
    assert list(result.sums_frame()["mass [g]"]) == [result.before_g, 500.0]
    assert result.notes == ("Water stands more than once in phase A; the lines are put together.",)


@pytest.mark.parametrize(
    ("written", "ml"),
    [
        ("1/2 cup", CUP / 2),
        ("½ cup", CUP / 2),
        ("1½ cups", CUP * 3 / 2),
        ("1 1/2 cups", CUP * 3 / 2),
        ("1-1/2 cups", CUP * 3 / 2),
        ("1 and 1/2 cups", CUP * 3 / 2),
        ("half a cup", CUP / 2),
        ("one cup", CUP),
        ("1 us cup plus 2 tbsp", CUP + 2 * TBSP),
        ("1 US cup + 1 tbsp + 1 tsp", CUP + TBSP + TSP),
        ("1 us pint and 1/2 us cup", GALLON / 8 + CUP / 2),
        ("two and a half tsp", TSP * 5 / 2),
        ("one and one-half cups", CUP * 3 / 2),
        ("three and a quarter tsp", TSP * 13 / 4),
        ("a cup and a half", CUP * 3 / 2),
        ("one-third cup", CUP / 3),
        ("three quarters of a cup", CUP * 3 / 4),
        ("3 x 1 tsp", 3 * TSP),
        ("2x250 ml", Fraction(500)),
        ("1⁄3 cup", CUP / 3),
        ("⅔ cup", CUP * 2 / 3),
        ("3 tbsp", 3 * TBSP),
        ("3 Tablespoons", 3 * TBSP),
        ("2 tsps", 2 * TSP),
        ("2 teaspoons", 2 * TSP),
        ("8.5 fl oz", FL_OZ * Fraction("8.5")),
        ("8.5 fl. oz.", FL_OZ * Fraction("8.5")),
        ("2 fluid ounces", 2 * FL_OZ),
        ("1 pint", GALLON / 8),
        ("2 quarts", GALLON / 2),
        ("1 gal", GALLON),
        ("250 ml", Fraction(250)),
        ("0,25 L", Fraction(250)),
        ("2,5 dl", Fraction(250)),
        ("250\u00a0mL", Fraction(250)),
        ("1\u202f250 ml", Fraction(1250)),
        ("250 ｍｌ", Fraction(250)),
    ],
)
@pytest.mark.parametrize(
    "order",
    [
        "{} glycerin",
        "Glycerin {}",
        "Glycerin – {}",
        "• {} of Glycerin",
        "glycerin: {}",
        "{}\tglycerin",
        "- [ ] {} glycerin",
        "Glycerin ({})",
    ],
)
def test_a_volume_becomes_a_mass_by_its_own_density(written: str, ml: Fraction, order: str) -> None:
    parsed = read(order.format(written))
    if parsed.lines[0].basis in {"cups", "pints"}:
        assert keys(parsed) == ["line 1: amount"]
        parsed = answered(parsed, {"line 1: amount": "US"})
    assert keys(parsed) == []
    (line,) = parsed.lines
    assert (line.ingredient, line.basis, line.low) == ("Glycerin", "volume", ml)
    assert line.least_g == line.most_g == ml * Fraction("1.261")


@pytest.mark.parametrize(
    ("written", "g"),
    [
        ("2 oz wt", 2 * OUNCE),
        ("2 ounces by weight", 2 * OUNCE),
        ("1 lb", 16 * OUNCE),
        ("½ pound", 8 * OUNCE),
        ("1,5 kg", Fraction(1500)),
        ("1 lb 4 oz", 20 * OUNCE),
        ("2 x 50 g", Fraction(100)),
        ("2 lbs. 3 oz wt", 35 * OUNCE),
        ("1 1/2 pounds and 2 ounces", 26 * OUNCE),
        ("1 kg 200 g", Fraction(1200)),
        ("250 grams", Fraction(250)),
        ("500mg", Fraction(1, 2)),
        (".5 g", Fraction(1, 2)),
        ("2 oz (56.7 g)", Fraction("56.7")),
        ("56.7 g (2 oz)", Fraction("56.7")),
        ("1 tbsp (15 g)", Fraction(15)),
    ],
)
def test_a_mass_stays_a_mass(written: str, g: Fraction) -> None:
    (line,) = read(f"{written} clay").lines
    assert (line.ingredient, line.least_g, line.most_g) == ("Clay", g, g)


@pytest.mark.parametrize("written", ["three 1/4 tsp", "five and 2 g", "two 5 g"])
def test_a_number_in_words_that_is_left_over_is_asked_about(written: str) -> None:
    (line,) = read(f"{written} glycerin").lines
    assert line.basis == "unclear"
    assert any("more than one number" in q.text for q in read(f"{written} glycerin").questions)


POWDERS = {
    **KNOWN,
    **{
        name: Ingredient(name, (inci,), "", density, source)
        for name, inci, density, source in (
            ("Acid crystals", "Citric Acid", 1.665, "handbook figure, from memory"),
            ("Gum", "Xanthan Gum", 1.5, "from memory"),
            ("Odd dust", "Dust", 2.0, "of the solid powder, from memory"),
        )
    },
}


@pytest.mark.parametrize("name", ["Acid crystals", "Gum", "Odd dust"])
def test_a_spoon_of_powder_is_never_weighed_by_the_density_of_the_solid(name: str) -> None:
    text = f"1 tsp {name}, 1 us cup glycerin"
    parsed = read_recipe_text(text, POWDERS)
    assert keys(parsed) == [f"density of {name}"]
    assert "air between" in parsed.questions[0].text
    assert parsed.lines[0].low_g is None
    # as spooned: 4.92892 mL × 0.8 g/mL = 3.943 g
    assert read_recipe_text(text, POWDERS, {f"density of {name}": "0.8"}).lines[0].low_g == pytest.approx(
        3.943, abs=0.0005
    )
    assert read_recipe_text(text, POWDERS, {"line 1: amount": "4.5 g"}).lines[0].low_g == 4.5


def test_a_solution_of_it_is_poured_and_a_volume_says_which_density_it_was_weighed_by() -> None:
    solved = {
        **KNOWN,
        "Acid solution": Ingredient("Acid solution", ("Citric Acid", "Aqua"), "", 1.24, "typical figure, from memory"),
    }
    (line,) = read_recipe_text("100 mL acid solution", solved).lines
    assert line.low_g == 124
    assert "1.24 g/mL (typical figure, from memory)" in line.note


def test_very_little_is_asked_about_where_all_bare_numbers_are_percents() -> None:
    text = "water rest; glycerin 0.008; clay 5"
    parsed = read_recipe_text(text, KNOWN, {"bare numbers": "%"})
    assert keys(parsed) == ["line 2: amount"]
    assert "0.8 % may be meant" in parsed.questions[0].text
    meant = to_percent(read_recipe_text(text, KNOWN, {"bare numbers": "%", "line 2: amount": "0.8 %"}))
    assert {n.ingredient: n.percent for n in meant.lines} == {"Water": 94.2, "Glycerin": 0.8, "Clay": 5.0}
    assert keys(read_recipe_text(text, KNOWN, {"bare numbers": "%", "line 2: amount": "0.008 % sure"})) == []


@pytest.mark.parametrize("separator", [" | ", "\t", ";"])
@pytest.mark.parametrize(("unit", "kind"), [("%", "percent"), ("g", "mass")])
def test_a_table_with_a_column_of_phases_and_a_headed_unit_is_read(separator: str, unit: str, kind: str) -> None:
    rows = (("phase", "ingredient", unit), ("A", "Water", "95"), ("A", "Glycerin", "4"), ("B", "Clay", "1"))
    parsed = read("\n".join(separator.join(row) for row in rows))
    assert keys(parsed) == []
    assert [(n.phase, n.ingredient, n.basis, n.low) for n in parsed.lines] == [
        ("A", "Water", kind, 95),
        ("A", "Glycerin", kind, 4),
        ("B", "Clay", kind, 1),
    ]
    assert any("as the heading of their column says" in note for note in parsed.notes)


def test_a_heading_with_two_units_decides_nothing() -> None:
    assert "bare numbers" in keys(read("ingredient | % | g\nWater | 95\nGlycerin | 5"))


@pytest.mark.parametrize(
    "written",
    [
        "1 tbsp 14 ml",
        "1 lb 20 oz",
        "100 g 50 g",
        "1 lb 4 fl oz",
        "1 cup and 1 cup",
        "2-3 cups plus 1 tbsp",
        "4 oz and 1 lb",
    ],
)
def test_two_amounts_that_are_no_sum_are_asked_about(written: str) -> None:
    assert "line 1: amount" in keys(read(f"{written} glycerin"))


def test_a_volume_of_what_has_no_density_is_asked_and_never_water() -> None:
    parsed = read("1 us cup clay, 1 us cup goat milk, 1 us cup water")
    assert keys(parsed) == ["density of Clay", "line 2: ingredient", "density of goat milk"]
    assert [n.low_g for n in parsed.lines] == [None, None, float(CUP * Fraction("0.998"))]
    result = to_percent(
        parsed, {"density of Clay": "0.8 g/mL", "line 2: ingredient": "as written", "density of goat milk": 1.03}
    )
    whole = Fraction("0.8") + Fraction("1.03") + Fraction("0.998")
    assert [n.percent for n in result.lines] == pytest.approx(
        [float(100 * p / whole) for p in (Fraction("0.8"), Fraction("1.03"), Fraction("0.998"))], abs=1e-4
    )
    assert result.new == ("goat milk",)


def test_a_question_is_about_something_whatever_its_words_are() -> None:
    parsed = read("1 us cup clay, 2 oz glycerin, 5 % water")
    assert [q.about for q in parsed.questions] == [Key("density", name="CLAY"), Key("amount", 2), Key("percent of")]
    assert [Key.read(q.key) for q in parsed.questions] == [q.about for q in parsed.questions]
    # the maker's spelling of a key does not matter
    assert keys(answered(parsed, {"Density of  clay": "0.8", "LINE 2: amount": "oz wt"})) == ["percent of"]


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("up to 5 g", "bound"),
        ("-5 g", "dash"),
        ("3 5 g", "side by side"),
        ("5-3 g", "falls"),
        ("0.001 %", "little"),
        ("150 %", "whole"),
        ("5 % w/v", "volume"),
        ("1/0 g", "number"),
        ("3 T", "unit"),
    ],
)
def test_a_doubt_is_a_code_with_its_sentence_beside(text: str, code: str) -> None:
    doubt = amounts_in(text)[-1].doubt
    assert (doubt.code, str(doubt)) == (code, doubt.text)


def test_a_measured_density_goes_before_the_one_on_file() -> None:
    assert read_recipe_text("100 mL glycerin", KNOWN, {"density of Glycerin": "1.2"}).lines[0].least_g == 120


def test_a_bare_ounce_is_a_band_of_both_readings_until_it_is_answered() -> None:
    (line,) = read("2 oz glycerin").lines
    assert (line.least_g, line.most_g) == (2 * OUNCE, 2 * FL_OZ * Fraction("1.261"))
    assert read_recipe_text("2 oz glycerin", KNOWN, {"line 1: amount": "oz wt"}).lines[0].least_g == 2 * OUNCE
    assert read_recipe_text("2 oz glycerin", KNOWN, {"line 1: amount": "fl oz"}).lines[
        0
    ].least_g == 2 * FL_OZ * Fraction("1.261")


def test_drops_are_a_band_and_have_to_be_weighed() -> None:
    parsed = read("10 drops scent 1, 99.7 g water")
    assert (parsed.lines[0].least_g, parsed.lines[0].most_g) == (
        Fraction("0.3") * Fraction("0.93"),
        Fraction("0.6") * Fraction("0.93"),
    )
    assert "Weigh them" in parsed.questions[0].text
    assert {n.ingredient: n.percent for n in to_percent(parsed, {"line 1: amount": "0.3 g"}).lines} == {
        "Scent 1": 0.3,
        "Water": 99.7,
    }


@pytest.mark.parametrize(
    "written", ["2-3 g", "2–3 g", "2 - 3 g", "2 to 3 g", "2 g – 3 g", "2 or 3 g", "2,0-3,0 g", "2000 mg to 3 g"]
)
def test_a_range_is_kept_as_a_band_and_asked(written: str) -> None:
    parsed = read(f"{written} glycerin, 97.5 g water")
    assert (parsed.lines[0].least_g, parsed.lines[0].most_g) == (2, 3)
    assert keys(parsed) == ["line 1: amount"]
    assert (parsed.low_g, parsed.high_g) == (99.5, 100.5)
    assert {n.ingredient: n.percent for n in to_percent(parsed, {"line 1: amount": "2.5 g"}).lines} == {
        "Glycerin": 2.5,
        "Water": 97.5,
    }


@pytest.mark.parametrize(
    "text",
    [
        "5% Glycerin\n2 % Panthenol 75 %\nWater q.s. to 100",
        "Glycerin - 5 %; Panthenol 75 % - 2 %; water to 100 %",
        "| Ingredient | % |\n|---|---|\n| Glycerin | 5 % |\n| Panthenol 75 % | 2 % |\n| Water | 93 % (q.s.) |",
        "1. Glycerin 5 percent\n2. Panthenol 75 % 2 %\n3. water, balance",
        "Glycerin, 5 %, Panthenol 75 %, 2 %, Aqua ad 100",
        "Phase A:\nwater qs\nglycerin 5,0%\npanthenol 75% 2,0% w/w\nTotal 100 %\nMethod:\nheat to 70 C",
        "glycerin 25 g, panthenol 75 % 10 g, top up with water to 500 g",
        "Glycerin\n25 g\nPanthenol 75 %\n10 g\nWater\n465 g",
        "25 g glycerin 10 g panthenol 75 % 465 g water",
        "25 g Glycerin + 10 g Panthenol 75 %, the rest water to 500 g",
    ],
)
def test_the_same_recipe_in_many_dresses(text: str) -> None:
    assert percents(text) == {"Glycerin": 5.0, "Panthenol 75 %": 2.0, "Water": 93.0}


def test_phases_are_those_of_the_headings() -> None:
    parsed = read(
        "Phase A\nwater 50 g, glycerin 10 g\n\nOil phase:\n- 30 g Almond oil, sweet\n## Phase C: 2 g "
        "scent 1\nFor the end:\n8 g 1,3-propanediol"
    )
    assert [(n.phase, n.ingredient) for n in parsed.lines] == [
        ("A", "Water"),
        ("A", "Glycerin"),
        ("Oil", "Almond oil, sweet"),
        ("C", "Scent 1"),
        ("end", "1,3-Propanediol"),
    ]
    assert keys(parsed) == []


@pytest.mark.parametrize(
    ("written", "hint"),
    [
        ("rose water", 'did you mean "Rose floral water"?'),
        ("distilled water", 'did you mean "Water"?'),
        ("Gylcerin", 'did you mean "Glycerin"?'),
        ("Citric acid (monohydrate)", "there are:"),
        ("Parfum", '"Scent 1", "Scent 2"'),
        ("shea", 'did you mean "Shea butter"?'),
        ("xyzzy", "there are:"),
    ],
)
def test_a_near_miss_is_named_and_never_taken(written: str, hint: str) -> None:
    parsed = read(f"5 g {written}, 95 g glycerin")
    assert parsed.lines[0].ingredient == ""
    assert keys(parsed) == ["line 1: ingredient"]
    assert hint.removesuffix(":") in parsed.questions[0].text


def test_an_inci_name_of_one_ingredient_is_its_name() -> None:
    assert percents("90 g AQUA, 10 g butyrospermum parkii butter") == {"Water": 90.0, "Shea butter": 10.0}


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("glycerin", "line 1: amount"),
        ("5 g", "line 1: ingredient"),
        ("1,250 g glycerin", "line 1: amount"),
        ("1 250 g glycerin", "line 1: amount"),
        ("3 T glycerin", "line 1: amount"),
        ("1 c glycerin", "line 1: amount"),
        ("a pinch of clay", "line 1: amount"),
        ("2 pieces beeswax", "line 1: amount"),
        ("0 g glycerin", "line 1: amount"),
        ("-5 g glycerin", "line 1: amount"),
        ("1/0 cup glycerin", "line 1: amount"),
        ("up to 5 g glycerin", "line 1: amount"),
        ("<5 g glycerin", "line 1: amount"),
        ("0.008 % glycerin", "line 1: amount"),
        ("5 % (w/v) glycerin", "line 1: amount"),
        ("120 % glycerin", "line 1: amount"),
        ("3-2 g glycerin", "line 1: amount"),
        ("1 cup (240 mL) glycerin", "line 1: amount"),
        ("5 % 25 g glycerin", "line 1: amount"),
        ("1 cup (5 g) glycerin", "line 1: amount"),
        ("2 oz (5 g) glycerin", "line 1: amount"),
        ("1 lb (500 g) glycerin", "line 1: amount"),
        ("1 cup (8 oz) water", "line 1: amount"),
        ("glycerin 5", "bare numbers"),
        ("3 parts glycerin", "parts"),
        ("2 % glycerin, 5 g shea butter", "percent of"),
        ("5 % glycerin, 94 % water", "sum"),
        ("6 % glycerin, 95 % water", "sum"),
        ("0.05 % glycerin, 0.95 % water", "sum"),
        ("60 % glycerin, 50 % shea butter, water to 100", "sum"),
        ("5 g glycerin, water to the top", "total"),
        ("5 g glycerin, water to 100", "total"),
        ("600 g glycerin, water to 500 g", "total"),
        ("5 g glycerin, 90 g water, total 100 g", "total"),
        ("100 g water to 500 g, 5 g glycerin", "total"),
        ("5 g glycerin, water to 16 oz", "total"),
        ("5 g glycerin, water to 500 mL", "density of the whole"),
        ("5 g glycerin, water to 500 g, clay to 500 g", "line 3: amount"),
        ("5 % glycerin, water to 90 %", "total"),
    ],
)
def test_what_is_missing_or_doubtful_is_asked_and_nothing_comes_out(text: str, key: str) -> None:
    parsed = read(text)
    assert key in keys(parsed)
    with pytest.raises(RecipeError, match="before these are answered"):
        to_percent(parsed)


@pytest.mark.parametrize(
    ("text", "answers", "expected"),
    [
        ("glycerin 5, water 95", {"bare numbers": "%"}, (5, 95)),
        ("glycerin 5, water 15", {"bare numbers": "10 g"}, (25, 75)),
        ("1 part glycerin, 3 parts water", {"parts": "g"}, (25, 75)),
        ("5 % glycerin, 94 % water", {"sum": "Water"}, (5, 95)),
        ("6 % glycerin, 95 % water", {"sum": "glycerin"}, (5, 95)),
        ("40 % glycerin, 40 % water", {"sum": "stretch"}, (50, 50)),
        ("5 % glycerin, 94 % water", {"line 2: amount": "95 %"}, (5, 95)),
        ("20 % glycerin, 80 g water", {"percent of": "whole"}, (20, 80)),
        ("20 % glycerin, 80 g water", {"percent of": "100 g"}, (20, 80)),
        ("25 % glycerin, 95 g water", {"percent of": "20 g"}, (5, 95)),
        ("20 % glycerin, water to 500 g, 5 g clay", {"percent of": "whole"}, (20, 79, 1)),
        ("5 g glycerin, water to the top", {"total": "100 g"}, (5, 95)),
        ("5 g glycerin, 95 g water, total 110 g", {"total": "sum"}, (5, 95)),
        ("5 g glycerin, water to 100 mL", {"density of the whole": "1.0"}, (5, 95)),
        ("600 g glycerin, water to 500 g", {"total": "1200 g"}, (50, 50)),
        ("5 g glycerin, 95 g water, 3 g clay", {"line 3: amount": "leave out"}, (5, 95)),
        ("5 g glycerin, water, total 100 g", {"line 2: amount": "rest"}, (5, 95)),
        ("0.008 % glycerin, water to 100", {"line 1: amount": "0.008 % sure"}, (0.008, 99.992)),
        ("0.008 % glycerin, water to 100", {"line 1: amount": "0.8 %"}, (0.8, 99.2)),
    ],
)
def test_an_answer_does_what_it_says(text: str, answers: dict[str, object], expected: tuple[float, ...]) -> None:
    result = to_percent(read(text), answers)
    assert tuple(n.percent for n in result.lines) == pytest.approx(expected, abs=1e-9)


def test_a_stretched_recipe_says_so() -> None:
    result = to_percent(read("5 % glycerin, 94 % water"), {"sum": "stretch"})
    assert result.notes == ("The lines came to 99 %; as answered, each was multiplied by 100 / 99.",)
    assert result.before_percent == 99
    assert result.after_percent == 100


@pytest.mark.parametrize(
    ("answers", "error", "words"),
    [
        ({"line 7: amount": "5 g"}, UnknownNameError, "is no question"),
        ({"line 1: amonut": "5 g"}, UnknownNameError, 'did you mean "line 1: amount"'),
        ({"line 1: amount": "some"}, QuantityError, "not one amount"),
        ({"line 1: amount": "5"}, QuantityError, "not one amount"),
        ({"line 1: amount": "2-3 g"}, QuantityError, "not one amount"),
        ({"line 1: amount": "-5 g"}, QuantityError, "less than nothing"),
        ({"line 1: amount": ""}, QuantityError, "blank"),
        ({"line 1: amount": None}, QuantityError, "a text or a number"),
        ({"line 1: ingredient": "Gylcerin"}, QuantityError, 'did you mean "Glycerin"'),
        ({"density of Glycerin": "998"}, QuantityError, "kg/m³"),
        ({"density of Glycerin": "heavy"}, QuantityError, "no density"),
        ({"total": "500 mL"}, QuantityError, "no weight"),
        ({"percent of": "500"}, QuantityError, "has no unit"),
    ],
)
def test_an_answer_that_cannot_be_is_a_sentence(
    answers: dict[str, object], error: type[MakerKitError], words: str
) -> None:
    with pytest.raises(error, match=words):
        read_recipe_text("2 oz glycerin, 5 % clay, water to the top", KNOWN, answers)


@pytest.mark.parametrize(
    "text", ["", " \n\t", "---", "| --- | --- |", "Phase A:", "\u200b", "()", None, 5, b"5 g water"]
)
def test_no_recipe_at_all_is_a_sentence(text: object) -> None:
    with pytest.raises(RecipeError, match="write"):
        read_recipe_text(text, KNOWN)


def test_markup_and_formulas_stay_text() -> None:
    parsed = read("<img src=x onerror=alert(1)> 5 g\n=HYPERLINK(A1) 5 g\n5 g {{x}} $x$")
    assert [n.written for n in parsed.lines] == ["<img src=x onerror=alert(1)>", "HYPERLINK(A1)", "{{x}} $x$"]
    assert all(n.ingredient == "" for n in parsed.lines)


NAMES = st.sampled_from(sorted(KNOWN))


@given(
    st.lists(
        st.tuples(st.sampled_from(["A", "B", "Oil"]), NAMES, st.integers(1, 8_000)),
        min_size=1,
        max_size=11,
        unique_by=lambda n: (n[0], n[1]),
    ),
    st.booleans(),
)
def test_a_recipe_written_and_read_again_is_the_same(drawn: list[tuple[str, str, int]], balance: bool) -> None:
    drawn = sorted(drawn, key=lambda n: n[0])
    rest = 1_000_000 - sum(k * 10 for *_, k in drawn)
    lines = (*(Line(p, n, k / 1000) for p, n, k in drawn), Line("Z", "Water", rest / 10_000, balance))
    again = to_percent(read_recipe_text(recipe_as_text(lines), KNOWN))
    assert again.lines == lines
    assert (
        read_recipe_text(recipe_as_text(again.lines), KNOWN).lines
        == read_recipe_text(recipe_as_text(lines), KNOWN).lines
    )


@given(st.lists(st.tuples(NAMES, st.integers(1, 500_000)), min_size=1, max_size=12, unique_by=lambda n: n[0]))
@example([("Citric acid 50 % solution", 213), ("Panthenol 75 %", 319)])  # a percent in a name is no amount of the line
def test_masses_become_percent_that_make_100_and_keep_their_proportions(drawn: list[tuple[str, int]]) -> None:
    text = "\n".join(f"{k / 100} g {name}" for name, k in drawn)
    result = to_percent(read_recipe_text(text, KNOWN))
    total = sum(k for _, k in drawn)
    assert sum(Decimal(str(n.percent)) for n in result.lines) == 100
    assert [n.percent for n in result.lines] == pytest.approx([100 * k / total for _, k in drawn], abs=1e-4)
    assert result.total_g == pytest.approx(total / 100)


@given(st.lists(st.fractions(min_value=0, max_value=1), min_size=1, max_size=50).filter(lambda x: sum(x) > 0))
def test_rounding_keeps_the_sum_and_moves_no_line_by_a_step(shares: list[Fraction]) -> None:
    exact = tuple(100 * s / sum(shares) for s in shares)
    done = rounded(exact)
    assert sum(done) == 100
    assert all(abs(Fraction(d) - e) < Fraction(1, 10_000) for d, e in zip(done, exact, strict=True))


def survives(text: str, rng: random.Random) -> None:
    """Either a result or a sentence, also with haphazard answers; what comes out makes 100."""
    sentence = "a result came out of it"
    try:
        parsed = read_recipe_text(text, KNOWN)
        assert len(parsed.to_frame()) == len(parsed.lines)
        assert all(q.key and q.text and q.answer for q in parsed.questions)
        assert parsed.questions or parsed.whole.percents
        assert all(n.least_g is None or n.most_g is None or 0 <= n.least_g <= n.most_g for n in parsed.lines)
        answers = {
            q.key: rng.choice(
                [
                    "5 g",
                    "oz wt",
                    "Water",
                    "as written",
                    "%",
                    "g",
                    "whole",
                    "sum",
                    "stretch",
                    "rest",
                    "leave out",
                    "0.9",
                    "100",
                    "900 g",
                    "2 %",
                    "\0",
                    "=",
                ]
            )
            for q in parsed.questions
        }
        result = to_percent(parsed, answers)
        assert abs(result.after_percent - 100) <= 0.005
        assert all(0 <= n.percent <= 100 for n in result.lines)
    except MakerKitError as error:
        sentence = str(error)
    assert len(sentence) > 20
    assert "Traceback" not in sentence


BITS = [
    "2",
    "oz",
    "1/2",
    "½",
    "cup",
    "g",
    "%",
    "q.s.",
    "to",
    "100",
    "500",
    "-",
    "–",
    "\n",
    "\r\n",
    ",",
    ";",
    "(",
    ")",
    "Phase A:",
    "water",
    "Shea butter",
    "scent",
    "drops",
    "10",
    "1,250",
    "0",
    "/",
    "1/0",
    "=",
    "@x",
    "<b>",
    "\0",
    "\ud800",
    "٣",
    "9" * 25,
    "1e9",
    "²",
    "up to",
    "rest",
    "total",
    "to the top",
    "T",
    "c",
    "Panthenol 75 %",
    "'",
    '"',
    "..",
    "5.5.5",
    "-5",
    "ad",
    "make up to",
    "|",
    "\u00a0",
    "\u200b",
    "ß",
    "İ",
    "Scent 1",
    "Method:",
    "1.",
    "2.",
    "parts",
    "oz wt",
    "a",
    "half a",
    "[",
    "#",
    "*",
    "\t",
    "\ue000",
    "glycerin",
    "mL",
    "kg",
]


def test_six_hundred_scrambled_recipes_end_in_a_result_or_a_sentence() -> None:
    rng = random.Random(4)
    for _ in range(600):
        survives("".join(rng.choice(BITS) + rng.choice(["", " ", " "]) for _ in range(rng.randint(0, 40))), rng)


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=200), st.integers())
def test_any_text_ends_in_a_result_or_a_sentence(text: str, seed: int) -> None:
    survives(text, random.Random(seed))


@settings(max_examples=200, deadline=None)
@given(st.lists(st.sampled_from(BITS), max_size=30).map(" ".join), st.integers())
def test_any_jumble_of_recipe_words_ends_in_a_result_or_a_sentence(text: str, seed: int) -> None:
    survives(text, random.Random(seed))


def test_too_long_or_too_many_is_a_sentence() -> None:
    with pytest.raises(RecipeError, match="at most 100 kB"):
        read("a" * 100_001)
    with pytest.raises(RecipeError, match="at most 100 kB"):
        read("é" * 50_001)
    with pytest.raises(RecipeError, match="more than 300 lines"):
        read("1 g water\n" * 301)
    assert len(read("1 g water\n" * 300).lines) == 300


@pytest.mark.parametrize(
    "bit",
    [
        "1 ",
        "(",
        "1 g ",
        "1/",
        "a",
        ", ",
        "-",
        "water ",
        "make up to ",
        "0",
        "1,",
        "(1 g) ",
        "½",
        "to 5 ",
        "1-2 g x ",
        "q.s. ",
        "[",
        "* ",
        "5 g x ",
    ],
)
def test_a_long_text_of_one_repeated_piece_is_read_or_refused(bit: str) -> None:
    survives((bit * 10_000)[:10_000], random.Random(1))
