"""What a pasted recipe must never turn into a wrong amount in silence: each case passed unseen, or lost its amount."""

from __future__ import annotations

import time
from fractions import Fraction

import pytest

from maker_kit.formula.ingredient import Ingredient
from maker_kit.formula.pasted.percents import to_percent
from maker_kit.formula.pasted.recipe_text import RecipeText, answered, read_recipe_text
from maker_kit.formula.pasted.tidy import tidied

KNOWN = {
    i.name: i
    for i in (
        Ingredient("Water", ("Aqua",), "solvent", 0.998),
        Ingredient("Glycerin", ("Glycerin",), "humectant", 1.261),
        Ingredient("Sunflower oil", ("Helianthus Annuus Seed Oil",), "oil", 0.92),
        Ingredient("Rose floral water", ("Rosa Damascena Flower Water",), "floral water", 0.999),
        Ingredient("Sodium benzoate", ("Sodium Benzoate",), "preservative", 1.44),
        Ingredient("Potassium sorbate", ("Potassium Sorbate",), "preservative", 1.36),
        Ingredient("Citric acid", ("Citric Acid",), "pH adjuster", 1.665),
        Ingredient("Scent 1", ("Parfum",), "scent", 0.93),
        Ingredient("Xanthan gum", ("Xanthan Gum",), "thickener", 1.5),
    )
}


def read(text: str) -> RecipeText:
    return read_recipe_text(text, KNOWN)


def keys(parsed: RecipeText) -> list[str]:
    return [q.key for q in parsed.questions]


def percents(parsed: RecipeText) -> dict[str, float]:
    return {n.ingredient: n.percent for n in to_percent(parsed).lines}


@pytest.mark.parametrize("name", ["Sodium benzoate", "Citric acid", "Scent 1", "Xanthan gum"])
@pytest.mark.parametrize("marked", ["q.s.", "qs", "to 100", "to 100 %", "q.s. to 100", "balance", "the rest"])
def test_only_a_carrier_is_filled_up_with_in_silence(name: str, marked: str) -> None:
    parsed = read(f"Water 80 %\n{name} {marked}")
    assert keys(parsed) == ["line 2: amount"]
    assert parsed.whole.percents == ()
    assert percents(answered(parsed, {"line 2: amount": "20 %"}))[name] == 20
    assert percents(answered(parsed, {"line 2: amount": "rest"})) == {"Water": 80, name: 20}


@pytest.mark.parametrize("name", ["Water", "Sunflower oil", "Rose floral water"])
@pytest.mark.parametrize("marked", ["q.s.", "to 100", "q.s. to 100 %", "balance"])
def test_water_and_carriers_are_filled_up_with(name: str, marked: str) -> None:
    assert percents(read(f"Glycerin 5 %\n{name} {marked}")) == {"Glycerin": 5, name: 95}


def test_a_ph_to_be_reached_is_no_amount() -> None:
    parsed = read("Water 94 %\nGlycerin 5 %\nCitric acid q.s. to pH 5.0-5.5")
    assert keys(parsed) == ["line 3: amount"]
    assert parsed.lines[2].ingredient == "Citric acid"


@pytest.mark.parametrize("written", ["1.000 g", "1.500 g", "12.000 g", "250.000 mL", "1.000"])
def test_a_point_that_may_mark_thousands_is_asked_about_like_a_comma(written: str) -> None:
    parsed = read(f"{written} glycerin\n10 g water")
    assert "line 1: amount" in keys(parsed)
    assert parsed.lines[0].doubt
    assert parsed.lines[0].doubt.code == "number"
    assert "line 1: amount" in keys(read(f"{written.replace('.', ',')} glycerin\n10 g water"))


@pytest.mark.parametrize(
    ("written", "grams"), [("1.500 kg", 1500), ("0.500 g", 0.5), ("1.50 g", 1.5), ("1000.5 g", 1000.5)]
)
def test_a_point_that_marks_no_thousands_is_read(written: str, grams: float) -> None:
    (line,) = read(f"{written} glycerin").lines
    assert line.low_g == grams


# 1 US gallon = 3785.411784 mL = 8 pints = 16 cups (NIST Handbook 44, Appendix C); 1 imperial pint = 568.26125 mL = 20
# imperial
# fluid ounces (Weights and Measures Act 1985, schedule 1); 240 mL: 21 CFR 101.9(b)(5)(viii)
@pytest.mark.parametrize(
    ("written", "answer", "ml"),
    [
        ("2 cups", "US", 2 * Fraction("3785.411784") / 16),
        ("2 cups", "us label", 480),
        ("2 cups", "metric", 500),
        ("2 cups", "imperial", Fraction("568.26125")),
        ("1 pint", "US", Fraction("3785.411784") / 8),
        ("1 pint", "imperial", Fraction("568.26125")),
        ("1/2 pt", "UK", Fraction("568.26125") / 2),
    ],
)
def test_a_cup_and_a_pint_ask_whose(written: str, answer: str, ml: Fraction) -> None:
    parsed = read(f"{written} water")
    assert keys(parsed) == ["line 1: amount"]
    least, most = parsed.lines[0].least_g, parsed.lines[0].most_g
    assert least < most
    (line,) = answered(parsed, {"line 1: amount": answer}).lines
    assert (line.basis, line.low) == ("volume", ml)
    assert least <= line.least_g <= most
    assert read(f"{written} water").lines[0].basis in {"cups", "pints"}


@pytest.mark.parametrize("written", ["1 us cup", "1 US pint", "1 imperial pint", "1 quart"])
def test_a_measure_that_says_whose_it_is_asks_nothing(written: str) -> None:
    assert keys(read(f"{written} water")) == []


TABLES = {
    "one line": "<table><tr><td>Water</td><td>78 g</td></tr><tr><td>Glycerin</td><td>22 g</td></tr></table>",
    "pretty": "<table class='x'>\n <thead><tr><th>Ingredient</th><th>Amount</th></tr></thead>\n <tbody>\n <tr>\n"
    '  <td style="a">Water</td>\n  <td>78 g</td>\n </tr>\n <tr><td><b>Glycerin</b></td><td>22&nbsp;g</td></tr>\n'
    " </tbody>\n</table>",
    "lines around": "My gel\nPhase A\n<tr><td>Water</td><td>78 g</td></tr>\nGlycerin 22 g",
    "amount first": "<tr><td>78 g</td><td>Water</td></tr><tr><td>22 g</td><td>Glycerin</td></tr>",
}


@pytest.mark.parametrize("text", TABLES.values(), ids=TABLES)
def test_rows_of_a_web_table_keep_their_amounts(text: str) -> None:
    held = {n.ingredient: n.low_g for n in read(text).lines if n.ingredient}
    assert held == {"Water": 78, "Glycerin": 22}


@pytest.mark.parametrize("sign", [" | ", "\t", ", ", "; "])
@pytest.mark.parametrize("units", [("%", "g"), ("Percent", "Grams"), ("g", "%"), ("weight (g)", "% w/w")])
def test_two_columns_that_say_the_same_are_one_amount(sign: str, units: tuple[str, str]) -> None:
    def row(*cells: str) -> str:
        return sign.join(cells)

    def amounts(percent: str, grams: str) -> tuple[str, str]:
        return (percent, grams) if "g" not in units[0].replace("Percent", "") else (grams, percent)

    text = "\n".join(
        (
            row("Ingredient", *units),
            row("Water", *amounts("90", "450")),
            row("Glycerin", *amounts("9.5", "47.5")),
            row("Sodium benzoate", *amounts("0.5", "2.5")),
            row("Total", *amounts("100", "500")),
        )
    )
    parsed = read(text)
    assert keys(parsed) == []
    assert percents(parsed) == {"Water": 90, "Glycerin": 9.5, "Sodium benzoate": 0.5}


def test_two_columns_that_differ_are_asked_about() -> None:
    text = "Ingredient | % | g\nWater | 90 | 450\nGlycerin | 9 | 45\nSodium benzoate | 1 | 25"
    assert keys(read(text)) == ["line 3: amount"]


@pytest.mark.parametrize(
    "step",
    [
        "Heat to 75 °C",
        "heat both phases to 75 °C, then mix",
        "Cool to 40 °C and add the rest",
        "Stir for 10 minutes",
        "Melt at 70 C",
        "Then whisk until smooth",
        "Pour into jars",
        "Heat the water to 75-80 °C",
    ],
)
def test_a_step_among_the_lines_is_no_ingredient(step: str) -> None:
    parsed = read(f"Water 90 g\n{step}\nGlycerin 10 g")
    assert keys(parsed) == []
    assert percents(parsed) == {"Water": 90, "Glycerin": 10}
    assert any(step in note for note in parsed.notes)


def test_what_begins_like_a_step_and_has_an_amount_or_a_name_is_kept() -> None:
    parsed = read("Water 90 g\nMelt 10 g sunflower oil\nAdd citric acid\nAdjust with sodium benzoate")
    assert [n.low_g for n in parsed.lines[:2]] == [90, 10]
    assert len(parsed.lines) == 4
    assert {"line 3: amount", "line 4: amount"} <= set(keys(parsed))


@pytest.mark.parametrize(
    "line",
    ["Glycerin 10 g (optional)", "(optional) Glycerin 10 g", "Optional: glycerin 10 g", "Glycerin 10 g, optional"],
)
def test_optional_is_no_part_of_a_name(line: str) -> None:
    parsed = read(f"Water 90 g\n{line}")
    assert keys(parsed) == []
    assert percents(parsed) == {"Water": 90, "Glycerin": 10}


@pytest.mark.parametrize(
    ("heading", "phase"),
    [("For the water phase:", "water"), ("Water phase", "Water"), ("INGREDIENTS", "A"), ("# Gel", "Gel")],
)
def test_headings_are_no_ingredients(heading: str, phase: str) -> None:
    parsed = read(f"{heading}\nWater 90 g\nGlycerin 10 g\nMethod\nWater is heated and 5 g are taken")
    assert keys(parsed) == []
    assert {n.phase for n in parsed.lines} == {phase}
    assert len(parsed.lines) == 2


@pytest.mark.parametrize(
    ("written", "never"),
    [
        ("polysorbate", "Potassium sorbate"),
        ("potassium benzoate", "Potassium sorbate"),
        ("potassium benzoate", "Sodium benzoate"),
        ("sodium sorbate", "Sodium benzoate"),
        ("glyceryl stearate", "Glycerin"),
        ("citronellol", "Citric acid"),
    ],
)
def test_a_hint_never_offers_another_kind_of_thing(written: str, never: str) -> None:
    (question, *_) = read(f"{written} 2 %\nWater 98 %").questions
    assert f'did you mean "{never}"' not in question.text
    assert "it may be" not in question.text


@pytest.mark.parametrize(
    ("written", "meant"),
    [("glycerine", "Glycerin"), ("xantan gum", "Xanthan gum"), ("sodium benzoat", "Sodium benzoate")],
)
def test_a_slip_is_still_asked_about(written: str, meant: str) -> None:
    (question, *_) = read(f"{written} 2 %\nWater 98 %").questions
    assert f'did you mean "{meant}"?' in question.text


@pytest.mark.parametrize(
    "text",
    ["<tr" * 30_000, "<td>" * 20_000, "adjust to " * 9_000 + "p", "(optional" * 9_000, "1 - " * 20_000, "a\t" * 40_000],
)
def test_tidying_takes_no_longer_than_its_length(text: str) -> None:
    began = time.perf_counter()
    tidied(text)
    assert time.perf_counter() - began < 2


@pytest.mark.parametrize(
    "text",
    [
        "A: Water 70 %, Glycerin 5 %\nB: Sunflower oil 25 %",
        "Phase A (75 °C)\nWater 70 %\nGlycerin 5 %\nPhase B (heat to 75 °C)\nSunflower oil 25 %",
        "| Phase | Ingredient | INCI | % w/w |\n|---|---|---|---|\n| A | Water | Aqua | 70.0 |\n"
        "| A | Glycerin | Glycerin | 5.0 |\n| B | Sunflower oil | Helianthus Annuus Seed Oil | 25.0 |",
        "Phase\tIngredient\tFunction\t%\nA\tWater\tsolvent\t70\nA\tGlycerin\thumectant\t5\nB\tSunflower oil\toil\t25",
        "Phase A\nWater 70 wt%\nGlycerin 5 wt.-%\nPhase B\nSunflower oil 25 wt. %",
        "Phase A\nWater - 350g / 70%\nGlycerin - 25g / 5%\nPhase B\nSunflower oil - 125g / 25%",
        "Phase A\nWater 70 % (350 g)\nGlycerin 5 % (25 g)\nPhase B\nSunflower oil 25 % (125 g)",
    ],
)
def test_phases_columns_and_pairs_that_makers_paste(text: str) -> None:
    parsed = read(text)
    assert keys(parsed) == []
    assert [(n.phase, n.ingredient) for n in parsed.lines] == [
        ("A", "Water"),
        ("A", "Glycerin"),
        ("B", "Sunflower oil"),
    ]
    assert percents(parsed) == {"Water": 70, "Glycerin": 5, "Sunflower oil": 25}


def test_percents_and_grams_that_do_not_agree_are_asked_about() -> None:
    assert keys(read("Water 70 % (350 g)\nGlycerin 30 % (140 g)")) == ["line 1: amount", "line 2: amount"]


@pytest.mark.parametrize("written", ["1-2 %", "1 - 2 %", "1 – 2 %", "1 to 2 %", "1-2%"])
def test_a_range_is_a_band_however_its_sign_stands(written: str) -> None:
    parsed = read(f"Water 98 %\nScent 1 {written}")
    assert [(n.low, n.high) for n in parsed.lines][1] == (1, 2)
    assert "is a band" in parsed.questions[0].text


def test_a_heading_with_a_temperature_is_a_heading() -> None:
    parsed = read("Heated phase (75 °C)\nWater q.s. to 100 %\nCool-down phase (below 40 °C)\nScent 1 0,5 %")
    assert [(n.phase, n.ingredient) for n in parsed.lines] == [("Heated", "Water"), ("Cool-down", "Scent 1")]


@pytest.mark.parametrize("written", ["up to 5 %", "max 5 %", "min. 5 %"])
def test_a_question_about_a_bound_shows_what_was_written_alone(written: str) -> None:
    asked = next(q for q in read(f"Water 95 %\nGlycerin {written}").questions if q.key == "line 2: amount")
    assert all(c.isprintable() for c in asked.text)
    assert f'"{written}"' in asked.text


@pytest.mark.parametrize(
    "text",
    [
        "<ul><li>Water 95%</li><li>Glycerin 5%</li></ul>",
        "<ol>\n<li>Water <b>95 %</b></li>\n<li>Glycerin 5&nbsp;%</li>\n</ol>",
        "Water 95%<br>Glycerin 5%",
        "<p>Water 95%</p><p>Glycerin 5%</p>",
        "<div>Water 95%</div><div class='x'>Glycerin 5%</div>",
    ],
)
def test_a_list_of_a_web_page_has_one_line_a_thing(text: str) -> None:
    assert keys(read(text)) == []
    assert percents(read(text)) == {"Water": 95, "Glycerin": 5}
