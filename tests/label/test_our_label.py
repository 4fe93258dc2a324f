"""Our own list, net content and particulars against published rows and sums by hand."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date
from fractions import Fraction

import pytest
from reference_build.warning_text import FOOTNOTE, warning_lines
from reference_tables import reference_rows

from maker_kit import reference
from maker_kit.errors import LabelError, QuantityError
from maker_kit.formula.annexes.entries import WarningLine
from maker_kit.formula.annexes.law import law
from maker_kit.formula.annexes.listed import printed
from maker_kit.formula.changes.standing import allowance
from maker_kit.formula.recipe import Ingredient, Line, ProductType, Recipe, Share
from maker_kit.label.declaration import declare, printed_name
from maker_kit.label.declared import ALLERGEN, COLOUR, MAYBE_UNDER
from maker_kit.label.letter_height import letter_height, panel_area_cm2
from maker_kit.label.net_content import equivalent, net_content
from maker_kit.label.particulars import LabelFacts, durability
from maker_kit.label.warned import warnings_for_label
from maker_kit.plan import make_plan
from maker_kit.plan.label.our_label import our_label
from maker_kit.units import parse_amount
from maker_kit.workshop import demo_folder, load_workshop

UNITS = {"US fl oz": "fl oz", "oz av": "oz av"}


@pytest.fixture(scope="module")
def shop():
    return load_workshop(demo_folder())


def mixed(lines: dict[str, float], inside: dict[str, Ingredient], rinse_off: bool = False) -> Recipe:
    """A recipe of these lines."""
    return Recipe(
        "try",
        "Try",
        "1",
        tuple(Line("A", name, percent) for name, percent in lines.items()),
        inside,
        ProductType(("hands",), rinse_off),
        "jar",
        100.0,
        1.0,
    )


def plain(name: str, function: str = "", **more: object) -> Ingredient:
    """An ingredient of one substance."""
    return Ingredient(name, (name,), function, **more)


def test_the_hand_lotion_of_the_scenario(shop):
    """The published order of the demo's hand lotion: four ties at 4.00, Polysorbate 60 0.75 to 1.25."""
    found = declare(shop.recipe("r5-hand-lotion"))
    names = [r.name for r in found.rows]
    assert names[:2] == ["Aqua", "Helianthus Annuus Seed Oil"]
    ties = {"Cetearyl Alcohol", "Glycerin", "Butyrospermum Parkii Butter", "Caprylic/Capric Triglyceride"}
    assert set(names[2:6]) == ties
    assert all({*r.ties, r.name} == ties for r in found.rows[2:6])
    assert names[6:8] == ["Cetyl Alcohol", "Polysorbate 60"]
    assert found.rows[7].group == MAYBE_UNDER
    middles = {r.name: float(r.middle) for r in found.rows}
    published = {"Helianthus Annuus Seed Oil": 8.15, "Cetyl Alcohol": 2.0, "Polysorbate 60": 1.0}
    published |= {"Benzyl Alcohol": 0.774, "Panthenol": 0.75, "Parfum": 0.5, "Xanthan Gum": 0.3, "Tocopherol": 0.15}
    published |= {"Tetrasodium Glutamate Diacetate": 0.094, "Dehydroacetic Acid": 0.072, "Citric Acid": 0.05}
    for name, percent in published.items():
        assert middles[name] == pytest.approx(percent, abs=1e-9), name
    allergens = {r.name: float(r.high) for r in found.rows if r.group == ALLERGEN}
    assert allergens == pytest.approx({"Linalool": 0.030, "Hexyl Cinnamal": 0.025, "Coumarin": 0.005})
    assert names.count("Benzyl Alcohol") == 1  # a preservative and an allergen, listed once


def test_the_water_of_the_hand_lotion_is_all_of_its_water(shop):
    """By hand, from the sheets of the demo: 69.70 of its own, and 53 % of 0.20 chelator, 3 to 9 % of 0.90 preservative,
    24 to 26 % of 1.00 panthenol, half of 0.10 citric acid. Without the chelator's 0.106 it would be 70.05, and the list
    would reach 99.89 % only."""
    found = declare(shop.recipe("r5-hand-lotion"))
    water = Fraction("69.70") + Fraction("0.106") + Fraction("0.054") + Fraction("0.25") + Fraction("0.05")
    assert water == Fraction("70.16")
    assert found.rows[0].middle == water
    assert sum(r.middle for r in found.rows if r.group != ALLERGEN) == 100


def test_thresholds_of_rinsed_off_and_left_on():
    """Regulation (EC) 1223/2009, Annex III: over 0.001 % left on, over 0.01 % rinsed off; at it is not over it."""
    scent = Ingredient("Scent", ("Parfum",), "scent", inside=(Share("Linalool", 1.0, 1.0),))
    water = plain("Aqua", "solvent")
    for rinse, load, listed in ((False, 0.1, False), (False, 0.2, True), (True, 1.0, False), (True, 1.2, True)):
        found = declare(mixed({"Aqua": 100 - load, "Scent": load}, {"Aqua": water, "Scent": scent}, rinse))
        assert ("Linalool" in [r.name for r in found.rows]) == listed, (rinse, load)


def test_names_added_in_2023_are_due_from_a_day_on():
    """Regulation (EU) 2023/1545: new products from 31 July 2026 (its footnotes, read as quoted)."""
    scent = Ingredient("Scent", ("Parfum",), "scent", inside=(Share("Menthol", 10.0, 10.0),))
    recipe = mixed({"Aqua": 99.0, "Scent": 1.0}, {"Aqua": plain("Aqua"), "Scent": scent})
    before, after = declare(recipe, on=date(2026, 7, 30)), declare(recipe, on=date(2026, 7, 31))
    assert "Menthol" not in [r.name for r in before.rows]
    assert "label.allergen_later" in {f.code for f in before.findings}
    assert "Menthol" in [r.name for r in after.rows]


def test_from_when_a_name_is_due_hangs_on_the_tables_columns_not_on_the_words_of_their_sources(monkeypatch):
    scent = Ingredient("Scent", ("Parfum",), "scent", inside=(Share("Menthol", 10, 10), Share("Linalool", 10, 10)))
    recipe = mixed({"Aqua": 99.0, "Scent": 1.0}, {"Aqua": plain("Aqua"), "Scent": scent})
    monkeypatch.setattr(reference, "source_of", lambda row: "reworded")
    listed = [r.name for r in declare(recipe, on=date(2026, 7, 30)).rows]
    assert "Linalool" in listed
    assert "Menthol" not in listed


def test_an_essential_oil_that_is_itself_an_allergen_has_its_own_amount():
    """Regulation (EU) 2023/1545 names lavender's oil: 0.5 % of it, whatever is told to be inside; by hand its linalool
    is 30 to 40 % of that, and the scent adds none."""
    oil = Ingredient("Lavender", ("Lavandula Angustifolia Oil",), "essential oil", inside=(Share("Linalool", 30, 40),))
    found = declare(mixed({"Aqua": 99.5, "Lavender": 0.5}, {"Aqua": plain("Aqua"), "Lavender": oil}))
    rows = {r.name: r for r in found.rows}
    assert (rows["Linalool"].low, rows["Linalool"].high) == (Fraction("0.15"), Fraction("0.2"))
    lavender = next(r for n, r in rows.items() if n.startswith("Lavandula"))
    assert lavender.low == lavender.high == Fraction("0.5")
    assert {f.kind for f in found.findings if f.code == "label.allergen"} == {"know"}


def test_a_name_is_not_shouted():
    """The Commission's export writes TALC; a label writes Talc, and BHT stays BHT."""
    assert [printed_name(n) for n in ("Talc", "talc", "TALC", "BHT", "PEG-40 Hydrogenated Castor Oil")] == [
        *["Talc"] * 3,
        "BHT",
        "PEG-40 Hydrogenated Castor Oil",
    ]


def test_the_us_says_water_and_fragrance(shop):
    names = [r.name for r in declare(shop.recipe("r5-hand-lotion"), "US").rows]
    assert names[0] == "Water"
    assert "Fragrance" in names
    assert not {"Aqua", "Parfum", "Linalool"} & set(names)
    with pytest.raises(LabelError):
        declare(shop.recipe("r5-hand-lotion"), "Mars")


def test_that_us_names_are_not_on_file_is_said_with_the_names(shop):
    """21 CFR 701.3(c), from memory: the names of the US dictionary; a plant's with its English name in brackets."""
    found = {f.code: f for f in declare(shop.recipe("r4-balm"), "US").findings}
    assert found["label.us_names"].kind == "look"
    assert found["label.us_names"].level == "unknown"
    assert {"Cera Alba", "Candelilla Cera", "Butyrospermum Parkii Butter"} <= set(found["label.us_names"].about)
    assert not {"Water", "Fragrance", "Tocopherol"} & set(found["label.us_names"].about)
    things = {"Aqua": plain("Aqua", "solvent"), "CI 77491": plain("CI 77491", "colour")}
    codes = {f.code for f in declare(mixed({"Aqua": 99.0, "CI 77491": 1.0}, things), "US").findings}
    assert "label.us_colours" in codes
    assert "label.us_names" not in {f.code for f in declare(shop.recipe("r4-balm")).findings}


def test_exactly_1_percent_stands_above_the_line_in_the_eu_and_under_it_in_the_us():
    recipe = mixed({"Aqua": 99.0, "Glycerin": 1.0}, {n: plain(n) for n in ("Aqua", "Glycerin")})
    groups = [declare(recipe, market).rows[1].group for market in ("EU", "US")]
    assert groups == ["above 1 %", "under 1 %, any order"]


def test_colours_last_and_nano_in_brackets():
    things = {
        "Aqua": plain("Aqua", "solvent"),
        "Zinc Oxide (nano)": plain("Zinc Oxide (nano)", "UV filter"),
        "CI 77491": plain("CI 77491", "colour"),
        "Glycerin": plain("Glycerin", "humectant"),
    }
    found = declare(mixed({"Aqua": 80.0, "Zinc Oxide (nano)": 5.0, "CI 77491": 14.5, "Glycerin": 0.5}, things))
    names = [r.name for r in found.rows]
    assert names[-1] == "CI 77491"
    assert found.rows[-1].group == COLOUR
    assert names[1] == "Zinc Oxide (nano)"
    assert printed_name("Zinc Oxide (nano)", "US") == "Zinc Oxide"


def test_what_nobody_told_is_a_named_gap():
    base = Ingredient("Mystery base", (), "base")
    recipe = mixed({"Aqua": 60.0, "Mystery base": 40.0}, {"Aqua": plain("Aqua"), "Mystery base": base})
    found = declare(recipe)
    assert found.gaps == ("Mystery base",)
    assert "Mystery base" in found.text
    assert "label.gap" in {f.code for f in found.findings if f.kind == "stop"}
    assert found.to_frame()["where"].tolist()[-1] == "gap"


def test_names_without_percents_take_the_places_of_their_suppliers_list(shop):
    found = declare(shop.recipe("r1b-hand-wash"))
    base = shop.ingredient("Wash base").inci
    assert [r.name for r in found.rows if not r.told] == list(base)
    assert float(found.rows[0].high) == pytest.approx(99.2)
    assert float(found.rows[1].high) == pytest.approx(99.2 / 2)  # the second of a descending list
    assert "label.undisclosed_percent" in {f.code for f in found.findings}


def test_a_floral_waters_own_allergens_are_asked_for(shop):
    found = declare(shop.recipe("r3v2-cleansing-water"))
    assert "Methyl Eugenol" not in [r.name for r in found.rows]  # inside the floral water, 0.00025 %, under 0.001
    assert "label.water_allergens" in {f.code for f in found.findings}


def test_ranges_that_overlap_are_told():
    blend = Ingredient(
        "Blend", ("Cetyl Alcohol", "Squalane"), "", inside=(Share("Cetyl Alcohol", 40, 60), Share("Squalane", 40, 60))
    )
    found = declare(mixed({"Aqua": 80.0, "Blend": 20.0}, {"Aqua": plain("Aqua"), "Blend": blend}))
    assert "label.tie" in {f.code for f in found.findings}
    uneven = replace(blend, inside=(Share("Cetyl Alcohol", 45, 60), Share("Squalane", 40, 55)))
    found = declare(mixed({"Aqua": 80.0, "Blend": 20.0}, {"Aqua": plain("Aqua"), "Blend": uneven}))
    assert "label.overlap" in {f.code for f in found.findings}


@pytest.mark.parametrize("row", reference_rows("net_content_pairs.csv"), ids=lambda r: f"{r['declared']} {r['unit']}")
def test_net_content_pairs_never_overstate(row):
    amount = parse_amount(f"{row['declared']} {UNITS.get(row['unit'], row['unit'])}")
    assert equivalent(amount) == Fraction(row["rounded_down"])


@pytest.mark.parametrize("row", reference_rows("us_display_panel_area.csv"), ids=lambda r: r["package"])
def test_display_panel_and_letter_height(row):
    """40 % of height × circumference (16 CFR 500.21(a)(2); 21 CFR 701.10(b)), and the letters of 21 CFR 701.13(i)."""
    girth = math.pi * float(row["diameter_in"]) * 2.54
    area = panel_area_cm2(height_cm=float(row["height_in"]) * 2.54, girth_cm=girth)
    decimals = len(row["pdp_area_in2"].partition(".")[2])
    assert float(area) / 2.54**2 == pytest.approx(float(row["pdp_area_in2"]), abs=max(0.5 * 10**-decimals, 0.001))
    height, _ = letter_height("US", Fraction(1), area)
    assert float(height) / 25.4 == pytest.approx(float(Fraction(row["min_letter_in"])))


def test_letter_heights_at_every_row_and_its_edge():
    for row in reference_rows("us_net_quantity_letter_height.csv"):
        text = row["pdp_area"]
        edge = float(text.split("=")[-1].split(" ")[0]) if "<=" in text else float(text.split(">")[1].split(" ")[0]) + 1
        height, _ = letter_height("US", Fraction(1), Fraction(str(edge)) * Fraction("2.54") ** 2)
        assert float(height) == pytest.approx(float(row["min_height_mm"]), abs=0.001)
    for nominal, mm in ((50, 2), (200, 3), (1000, 4), (1001, 6)):  # Directive 76/211/EEC, Annex I, 3.1, as read
        assert letter_height("EU", Fraction(nominal))[0] == mm


@pytest.mark.parametrize("row", reference_rows("eu_tolerable_negative_error.csv"), ids=lambda r: r["nominal_g_or_mL"])
def test_tolerable_errors(row):
    low, high = (int(v) for v in row["nominal_g_or_mL"].split("-"))
    middle = (low + high) // 2
    figure, unit = row["tolerable_negative_error"].split(" ", 1)
    wanted = Fraction(figure) * middle / 100 if unit.startswith("%") else Fraction(figure)
    assert allowance(parse_amount(f"{middle} mL")).amount == wanted
    assert net_content(f"{middle} mL").may_lack.amount == wanted


def test_net_content_for_each_market():
    """21 CFR 701.13, from memory: fluid measure for liquids, weight for what is thick or solid, pints and pounds in
    brackets; R5 of the scenario: 250 mL at 0.98 g/mL is 245.0 g."""
    assert net_content("250 mL", "US", kind="liquid").text == "8.45 fl oz (250 mL)"
    assert net_content("24 oz wt", "US", kind="solid").text == "Net Wt 24 oz (1 lb 8 oz) (680 g)"
    assert net_content("32 fl oz", "US", kind="liquid").text == "32 fl oz (1 qt) (946 mL)"
    assert net_content("48 fl oz", "US", kind="liquid").text == "48 fl oz (1 qt 1 pt) (1.41 L)"  # 1419.5 mL
    assert net_content("5 lb", "US", kind="solid").text == "Net Wt 5 lb (2.26 kg)"  # 2267.96 g
    assert net_content("2 kg", "US", kind="solid").text == "Net Wt 4 lb 6.54 oz (2 kg)"  # 70.547 oz
    assert net_content("1 gal", "US", kind="liquid").text == "1 gal (3.78 L)"
    assert net_content("15 mL", "US", kind="liquid").text == "0.5 fl oz (15 mL)"  # 0.507
    assert net_content("250 mL", density_g_per_ml=0.98).fill_g == pytest.approx(245.0)
    assert "label.fill_unknown" in {f.code for f in net_content("250 mL").findings}
    assert "label.net_basis" in {f.code for f in net_content("50 mL", "US", kind="solid").findings}
    for bad, fault in (("6.5 oz", QuantityError), ("3 pieces", QuantityError), ("", QuantityError)):
        with pytest.raises(fault):
            net_content(bad)
    with pytest.raises(LabelError):
        net_content("50 g", "Mars")
    with pytest.raises(QuantityError):
        panel_area_cm2(height_cm=0, girth_cm=10)


def test_the_main_panel_of_every_shape():
    """A flat side is width × height, any other shape 40 % of the whole surface (16 CFR 500.21(a)(1) and (3))."""
    assert panel_area_cm2(height_cm=10, width_cm=6) == 60
    assert panel_area_cm2(height_cm=0.5, width_cm=1) == Fraction(1, 2)
    assert panel_area_cm2(height_cm=0, whole_cm2=250) == 100
    for sizes in ({}, {"width_cm": 0}, {"whole_cm2": 0}, {"width_cm": -3}):
        with pytest.raises(QuantityError):
            panel_area_cm2(height_cm=10, **sizes)


def test_what_nobody_knows_of_a_content_stands_as_unknown_in_its_table():
    told = dict(net_content("250 mL").to_frame().set_index("what")["figure"])
    assert told["fill on average at least"] == "unknown"
    assert told["one pack may lack"] == "9"  # Directive 76/211/EEC, Annex I, 2.4: 9 mL from 200 to 300 mL
    frame = net_content("250 mL", density_g_per_ml=0.98).to_frame().set_index("what")
    assert frame.loc["fill on average at least", "figure"] == "245.00"
    assert frame.loc["metric, rounded down", "unit"] == "mL"
    assert frame.loc["customary, rounded down", "unit"] == "fl oz"


def test_durability(shop):
    """Regulation (EC) 1223/2009, Article 19(1)(c), from memory: 30 months or less a date, longer the months after
    opening. Nine months from 26 November end within August, so July is the last whole month."""
    lotion = shop.recipe("r5-hand-lotion")
    assert durability(lotion, date(2026, 11, 26)) == "Best used before the end of: 07/2027"
    assert durability(lotion, date(2026, 11, 30)) == "Best used before the end of: 07/2027"
    assert durability(lotion, None) == ""
    assert durability(replace(lotion, keeps_months=36.0), None) == "6 M after opening"
    assert durability(replace(lotion, keeps_months=None), date(2026, 11, 26)) == ""


def test_warnings_in_the_laws_words():
    """Annex III, entry 98 and others bear a wording; a releaser of formaldehyde says so (Regulation (EU) 2022/1181)."""
    things = {"Aqua": plain("Aqua"), "DMDM Hydantoin": plain("DMDM Hydantoin", "preservative")}
    warned = warnings_for_label(mixed({"Aqua": 99.7, "DMDM Hydantoin": 0.3}, things))
    assert "releases formaldehyde" in {w.text for w in warned}
    us = warnings_for_label(mixed({"Aqua": 100.0}, {"Aqua": plain("Aqua")}), "US")
    assert any("has not been determined" in w.text for w in us)


def printable(wording):
    """What is printed of an annex's wording, read as it is when the tables are packed."""
    rows = warning_lines(wording, set())
    return printed(
        tuple(WarningLine(frozenset(), r["line"], r["text"], r["around"], r["kind"] == FOOTNOTE) for r in rows)
    )


def test_what_the_law_says_around_a_warning_is_not_printed():
    """Annexes III and VI as the Commission exports them: uses, headings, footnotes and conditions are no words for a
    pack. Entries 98 (salicylic acid), 12 (hydrogen peroxide), 376 (retinol), and 30a of Annex VI (nano zinc oxide)."""
    salicylic = (
        "(a) (b) (c) | Not to be used for children under 3 years of age* | * Solely for products which might be used"
    )
    assert printable(salicylic) == (
        (
            "Not to be used for children under 3 years of age",
            "of the law's (a) (b) (c); * Solely for products which might be used",
        ),
    )
    texts = [
        t
        for t, _ in printable(
            "(a) (f) Wear suitable gloves | (a) (b) | Contains hydrogen peroxide | Avoid contact with eyes"
        )
    ]
    assert texts == ["Wear suitable gloves", "Contains hydrogen peroxide", "Avoid contact with eyes"]
    ((retinol, when),) = printable(
        "For any product with Retinol the following, labelling is obligatory: ‘Contains Vitamin A’."
    )
    assert retinol == "Contains Vitamin A."
    assert when.startswith("For any product with Retinol")
    allowed = "Only nanomaterials having the following characteristics are allowed: | — purity"
    assert [t for t, _ in printable(f"Not to be used in sprays. | {allowed}")] == ["Not to be used in sprays."]
    assert printable("For professional use only") == (("For professional use only", ""),)
    for entry in law().entries:
        for text, _ in printed(entry.warnings):
            assert not text.startswith(("*", "(", "To be print")), entry.number


def test_article_19_is_whole(shop):
    """Regulation (EC) 1223/2009, Article 19(1)(a) to (g): seven particulars."""
    plan = make_plan(shop, "r5-hand-lotion")
    empty = our_label(plan)
    assert empty.unfinished
    assert len(empty.particulars) == 7
    facts = LabelFacts("Lane studio, 1 Lane, 00000 Town", "R5-04", date(2026, 11, 2), "hand lotion")
    whole = our_label(plan, facts)
    assert not whole.unfinished
    assert len(whole.to_frame()) == 7
    assert whole.net.text == "250 mL"
    us = our_label(plan, facts, market="US", panel_cm2=100)
    assert "label.missing_contact" in {f.code for f in us.findings}
    assert {p.code for p in us.particulars} >= {"identity", "business", "net", "ingredients", "warnings"}
