"""Limits of a recipe. Expected values: Regulation (EC) 1223/2009 Annexes III and V, state of August 2026, and IFRA
Standards, Amendment 49 (rows as in the reference tables), on the demo workshop's recipes, worked by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from formula.judged_recipes import (
    ALL,
    BODY,
    FACE_AND_EYES,
    HANDS,
    R1,
    R1B,
    R2,
    R3_V1,
    R3_V2,
    R4,
    R5,
    SCENT_1,
    WASH,
    alone,
    recipe,
    thing,
    without_papers,
)
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.errors import QuantityError, WorkshopError
from maker_kit.findings import Finding
from maker_kit.formula.inside.composition import expand
from maker_kit.formula.limits.bars import limit_bars
from maker_kit.formula.limits.categories import categories_of
from maker_kit.formula.limits.counting import own_names
from maker_kit.formula.limits.judge import judge_limits
from maker_kit.formula.limits.judging import judgements
from maker_kit.formula.limits.law import limits_of
from maker_kit.formula.limits.limit import Limit, load_limits
from maker_kit.formula.limits.most_line import most_in_line
from maker_kit.formula.limits.scope import read_scope, standing
from maker_kit.formula.notes.flags import judge_recipe
from maker_kit.formula.recipe import ProductType, Recipe
from maker_kit.formula.setting import with_ingredient, with_level
from maker_kit.numbers import HUNDREDTH, exact_number, number_text, round_down, significant

LIMITS = load_limits()


def limits_say(r: Recipe, market: str = "EU", own: tuple[Limit, ...] = ()) -> tuple[Finding, ...]:
    """What the law's limits for such a product, the trade's standard and the maker's own say of a recipe."""
    return judge_limits(r, limits_of(r, own), market)


def one(findings: tuple[Finding, ...], subject: str, *, most: float | None = None, topic: str = "limit") -> Finding:
    found = [
        f for f in findings if f.subject == subject and f.topic == topic and (most is None or f.limit_percent == most)
    ]
    assert len(found) == 1, [(f.subject, f.text) for f in findings]
    return found[0]


# --- the demo workshop -----------------------------------------------------------------------------------------------


def test_a_hand_wash_is_counted_as_acid_and_keeps_to_the_rinse_off_limits() -> None:
    # 0.50 × 0.84746 = 0.42373 ≤ 2.5 and 0.30 × 0.74643 = 0.223929 ≤ 0.6
    benzoic, sorbic = (one(limits_say(R1), s) for s in ("Sodium Benzoate", "Potassium Sorbate"))
    assert (benzoic.kind, benzoic.level, benzoic.limit_percent, round(benzoic.found_percent, 4)) == (
        "know",
        "fine",
        2.5,
        0.4237,
    )
    assert (sorbic.kind, sorbic.level, sorbic.limit_percent, round(sorbic.found_percent, 4)) == (
        "know",
        "fine",
        0.6,
        0.2239,
    )


def test_the_same_benzoate_left_on_meets_the_leave_on_limit() -> None:
    found = one(limits_say(replace(R1, product_type=HANDS)), "Sodium Benzoate")
    assert (found.level, found.limit_percent) == ("near", 0.5)


@pytest.mark.parametrize(
    ("r", "level", "substance", "found", "limit", "kind", "flag"),
    [
        (R2, {"Preservative P": 1.00}, "Phenoxyethanol", 0.92, 1.0, "look", "near"),
        (R2, {"Preservative P": 1.08}, "Phenoxyethanol", 0.9936, 1.0, "look", "near"),
        (R2, {"Preservative P": 1.20}, "Phenoxyethanol", 1.104, 1.0, "stop", "over"),
        (R3_V2, {}, "Phenoxyethanol", 0.736, 1.0, "know", "fine"),
        (R5, {}, "Benzyl Alcohol", 0.792, 1.0, "know", "fine"),
        (R5, {"Preservative B": 1.20}, "Benzyl Alcohol", 1.056, 1.0, "stop", "over"),
        (R5, {}, "Dehydroacetic Acid", 0.081, 0.6, "know", "fine"),
        (R4, {}, "Citronellal", 0.08, 0.1, "look", "near"),
        (R4, {"Scent 2": 1.00}, "Citronellal", 0.1, 0.1, "look", "near"),
        (R4, {"Scent 2": 1.20}, "Citronellal", 0.12, 0.1, "stop", "over"),
        (R3_V1, {}, "Methyl eugenol", 0.00025, 0.0002, "stop", "over"),  # Annex III entry 102 d
        (R3_V1, {"Rose floral water": 20}, "Methyl eugenol", 0.0002, 0.0002, "look", "near"),
        (R3_V1, {}, "Methyl eugenol", 0.00025, 0.00029, "look", "near"),  # the standard of the trade
        (R3_V1, {"Rose floral water": 30}, "Methyl eugenol", 0.0003, 0.00029, "stop", "over"),
    ],
)
def test_the_demo_workshop_at_its_limits(r, level, substance, found, limit, kind, flag) -> None:
    for name, percent in level.items():
        r = with_level(r, name, percent)
    finding = one(limits_say(r), substance, most=limit)
    assert (finding.kind, finding.level) == (kind, flag)
    assert finding.found_percent == pytest.approx(found, abs=1e-12)
    assert finding.source
    assert "%" in finding.text


def test_exactly_at_a_limit_is_said_in_words_and_is_not_over() -> None:
    finding = one(limits_say(with_level(R4, "Scent 2", 1.0)), "Citronellal")
    assert "exactly at the most of 0.1 %" in finding.text


def test_pushed_scent_is_over_in_both_categories_of_hands_and_body() -> None:
    findings = [f for f in limits_say(with_level(R2, "Scent 1", 1.9)) if f.subject == "Citral"]
    assert [(f.kind, f.level, f.found_percent, f.limit_percent) for f in findings] == [
        ("stop", "over", 0.152, 0.15)
    ] * 3  # the law (Annex III 70 e) and categories 5A and 5C, all 0.15
    assert sum("this one binds" in f.text for f in findings) == 1
    assert all("at most 1.87 %" in f.next_step for f in findings)  # 0.15 / 0.08 = 1.875, rounded down


def test_the_same_scent_in_a_body_product_has_more_room() -> None:
    # citronellal 10 % of scent 2: 5A allows 0.33, so 3.30 %; methyl eugenol 0.015 %: the law (Annex III 102 d) allows
    # 0.0002, so 1.33 %
    body = replace(with_level(R4, "Scent 2", 1.2), product_type=BODY)
    assert one(limits_say(body), "Citronellal").level == "fine"
    assert permitted_maximum(body, "Scent 2", LIMITS) == 3.30
    assert permitted_maximum(body, "Scent 2") == 1.33


def test_a_figure_that_the_table_lacks_is_unknown_and_the_certificate_binds_instead() -> None:
    r = with_ingredient(R1, "Scent 3", SCENT_1)
    by_law = one(limits_say(r), "Citral", most=1.2)  # Annex III entry 70 h, rinsed off
    assert (by_law.kind, by_law.code) == ("know", "limit.law_fine")
    finding = one(judge_limits(r, LIMITS), "Citral")
    assert (finding.kind, finding.level, finding.limit_percent) == ("know", "unknown", None)
    assert "11 %" in finding.text
    bare = one(judge_limits(with_ingredient(R1, "Scent 3", without_papers(SCENT_1)), LIMITS), "Citral")
    assert (bare.kind, bare.level) == ("look", "unknown")


def test_another_row_on_file_binds_where_one_lacks_its_figure() -> None:
    own = Limit("Citral", 0.9, category="9", kind="standard", source="own reading")
    r = with_ingredient(R1, "Scent 3", without_papers(SCENT_1))
    kinds = {f.kind for f in judge_limits(r, (*LIMITS, own)) if f.subject == "Citral"}
    assert kinds == {"know"}


def test_a_preservative_in_a_base_of_unknown_make_up_is_unknown() -> None:
    finding = one(limits_say(R1B), "Sodium Benzoate")
    assert (finding.kind, finding.level, finding.found_percent) == ("look", "unknown", None)
    assert "Ask the supplier of Wash base" in finding.next_step


def test_what_is_known_can_be_over_though_the_rest_is_unknown() -> None:
    r = recipe("x", WASH, {"Wash base": 20, "Potassium sorbate": 1.0})
    assert one(limits_say(r), "Potassium Sorbate").level == "over"


def test_substances_that_no_table_knows_are_named_and_not_called_fine() -> None:
    r = recipe("x", HANDS, {"It": 1, "Glycerin": 2}, extra=(thing("It", "Zyxwor Filtrate, Sodium Zyxworate"),))
    (finding,) = [f for f in judge_recipe(r).findings if f.code == "substance.unknown"]
    assert (finding.kind, finding.level) == ("look", "unknown")
    assert set(finding.about) == {"Zyxwor Filtrate", "Sodium Zyxworate"}
    assert "Glycerin" not in finding.text
    own = Limit("Zyxwor Filtrate", 2.0, source="test")
    (less,) = [f for f in judge_recipe(r, [own]).findings if f.code == "substance.unknown"]
    assert less.about == ("Sodium Zyxworate",)  # what the maker's own limits name is known


@pytest.mark.parametrize("r", ALL.values(), ids=ALL)
def test_the_demo_s_substances_are_all_known(r) -> None:
    assert not [f for f in judge_recipe(r).findings if f.topic == "substance"]


def test_a_category_from_memory_says_so() -> None:
    assert "from memory" in one(limits_say(R3_V1), "Methyl eugenol", most=0.00029).text


def permitted_maximum(r, name, limits=None, step=HUNDREDTH):
    """The least, over all limits on file, of what `most_in_line` leaves for one ingredient; None where none bounds it.
    One that is not in the recipe is tried in it.
    """
    if not isinstance(name, str):
        line = replace(r.lines[0], ingredient=name.name, percent=1.0, balance=False)
        r = replace(r, lines=(*r.lines, line), ingredients={**r.ingredients, name.name: name})
        name = name.name
    inside = expand(r)
    limits = limits_of(r, expansion=inside) if limits is None else limits
    judged = (j for j in judgements(r, limits, expansion=inside) if name in j.lines)
    found = (most_in_line(j, inside, name, step) for j in judged if j.most is not None)
    return min((most for most in found if most is not None), default=None)


# --- permitted maxima are rounded down -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("r", "name", "most"),
    [
        (R2, "Preservative P", 1.08),
        (R5, "Preservative B", 1.13),
        (R4, "Scent 2", 1.00),
        (R3_V1, "Rose floral water", 20.00),
        (R2, "Scent 1", 1.87),
    ],
)
def test_permitted_maximum_of_the_demo_workshop(r, name, most) -> None:
    # 1/0.92 = 1.0870; 1/0.88 = 1.1364; 0.1/0.10 = 1; 0.0002/0.00001 = 20; 0.15/0.08 = 1.875
    assert permitted_maximum(r, name) == most


@pytest.mark.parametrize(
    ("limit", "share", "most"),
    [
        (0.1, 10, 1.00),
        (0.3, 10, 3.00),
        (0.7, 10, 7.00),
        (0.29, 100, 0.29),
        (0.57, 100, 0.57),
        (1.0, 3, 33.33),
        (0.6, 7, 8.57),
    ],
)
def test_no_float_costs_a_maker_a_hundredth(limit, share, most) -> None:
    mix = thing("Mix", "X, Aqua", "", {"X": (0, share)})
    assert (
        permitted_maximum(recipe("x", HANDS, {"Mix": 0.1}, extra=(mix,)), "Mix", [Limit("X", limit, source="test")])
        == most
    )


def test_what_other_lines_bring_is_taken_off() -> None:
    # 1.0 − 0.5 neat leaves 0.5: 0.5 / 0.92 = 0.5434
    neat = thing("Neat phenoxyethanol", "Phenoxyethanol", "preservative")
    r = recipe("x", HANDS, {"Preservative P": 0.1, "Neat phenoxyethanol": 0.5}, extra=(neat,))
    assert permitted_maximum(r, "Preservative P") == 0.54
    assert permitted_maximum(with_level(r, "Neat phenoxyethanol", 1.2), "Preservative P") == 0.0


def test_a_salt_may_go_to_its_most_as_acid() -> None:
    # 0.5 / 0.84746 = 0.590002 and 0.6 / 0.74643 = 0.80383: never 0.804
    r = recipe("x", HANDS, {"Sodium benzoate": 0.1, "Potassium sorbate": 0.1})
    assert permitted_maximum(r, "Sodium benzoate") == 0.59
    assert permitted_maximum(r, "Potassium sorbate") == 0.80


def test_an_ingredient_without_a_figure_has_no_permitted_maximum() -> None:
    assert permitted_maximum(R1, without_papers(SCENT_1), LIMITS) is None
    assert permitted_maximum(R1, without_papers(SCENT_1)) == 15.00  # the law's: Annex III 70 h, 1.2 / 0.08
    assert permitted_maximum(R1, "Glycerin") is None


limits_any = st.integers(1, 3000).map(lambda n: n / 1000)
shares_any = st.integers(1, 1000).map(lambda n: n / 10)


@given(limits_any, shares_any, st.integers(0, 500).map(lambda n: n / 1000), st.sampled_from([1.0, 0.84746, 0.74643]))
def test_a_permitted_maximum_is_permitted_and_a_hundredth_more_is_over(limit, share, other, factor) -> None:
    mix, neat = thing("Mix", "X, Aqua", "", {"X": (0, share)}), thing("Neat", "X")
    rules = [Limit("X", limit, (("X", factor),), source="test")]
    r = recipe("x", HANDS, {"Mix": 0.01, "Neat": other}, extra=(mix, neat))
    most = permitted_maximum(r, "Mix", rules)

    def level(percent):
        found = judgements(recipe("x", HANDS, {"Mix": percent, "Neat": other}, "Glycerin", extra=(mix, neat)), rules)
        return found[0].level if found else "fine"

    if most is None:
        assert level(round(99.9 - other, 3)) != "over"
        return
    assert most == round(most, 2)
    assert level(most) != "over" or most == 0
    if most + 0.01 + other < 100:
        assert level(round(most + 0.01, 2)) == "over"


@given(st.integers(1, 20000), st.integers(1, 100))
def test_rounding_down_never_rounds_up(hundredths, parts) -> None:
    value = Fraction(hundredths, 100 * parts)
    assert 0 <= value - exact_number(round_down(value)) < Fraction(1, 100)


# --- where it goes ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("places", "rinse_off", "found"),
    [
        (("hands",), False, ("5C",)),
        (("body",), False, ("5A",)),
        (("face",), False, ("5B",)),
        (("eye area",), False, ("3",)),
        (("lips",), False, ("1",)),
        (("underarm",), False, ("2",)),
        (("baby",), False, ("5D",)),
        (("hair",), True, ("7A",)),
        (("hair",), False, ("7B",)),
        (("intimate area",), False, ("8",)),
        (("hands",), True, ("9",)),
        (("body",), True, ("9",)),
        (("face",), True, ("9",)),
        (("hands", "body"), False, ("5C", "5A")),
        (("face", "eye area"), False, ("5B", "3")),
    ],
)
def test_places_of_the_49th_amendment(places, rinse_off, found) -> None:
    # IFRA Standards, 49th Amendment (2020), category system
    seen = categories_of(ProductType(places, rinse_off))
    assert (seen.found, seen.unknown) == (found, ())


@pytest.mark.parametrize(
    "product",
    [
        ProductType(("feet",), False),
        ProductType((), False),
        ProductType(("body",), False, spray=True),
    ],
)
def test_a_use_without_a_row_is_unknown_never_a_guess(product) -> None:
    assert categories_of(product).unknown
    findings = limits_say(replace(R4, product_type=product))
    assert any(f.subject == "Citronellal" and f.level == "unknown" and f.kind == "look" for f in findings)


@pytest.mark.parametrize(
    ("product", "category"),
    [
        (ProductType(("baby",), True), "9"),
        (ProductType(("body",), True, for_whom="small children"), "9"),
        (ProductType(("underarm",), True), "9"),
        (ProductType(("eye area",), True), "3"),
    ],
)
def test_washes_for_babies_and_eyes_have_a_category_that_is_told_to_be_from_memory(product, category) -> None:
    """Washes and shampoos for babies stand in 9, removers of eye make-up in 3: guidance to the IFRA Standards, 49th
    Amendment, from memory.
    """
    seen = categories_of(product)
    assert category in seen.found
    assert category in seen.from_memory
    assert not seen.unknown


def test_a_lotion_for_small_children_meets_the_babys_category() -> None:
    assert categories_of(ProductType(("body",), False, for_whom="small children")).found == ("5A", "5D")


SPRAY, LIPS, CHILD = (
    ProductType(("body",), False, spray=True),
    ProductType(("lips",), False),
    ProductType(("hands",), False, for_whom="small children"),
)


@pytest.mark.parametrize(
    ("substance", "percent", "product", "kind", "level"),
    [
        ("Methylisothiazolinone", 0.001, HANDS, "stop", "over"),  # rinse-off only since 2017-02-12
        ("Methylisothiazolinone", 0.001, WASH, "know", "fine"),
        ("Phenoxyisopropanol", 0.1, HANDS, "stop", "over"),  # rinse-off only
        ("Dehydroacetic Acid", 0.1, SPRAY, "stop", "over"),  # not in spray dispensers
        ("Ethyl Lauroyl Arginate HCl", 0.1, LIPS, "stop", "over"),  # not lip/oral/spray
        ("Ethyl Lauroyl Arginate HCl", 0.1, SPRAY, "stop", "over"),
        ("Ethyl Lauroyl Arginate HCl", 0.1, HANDS, "know", "fine"),
        ("Salicylic Acid", 0.1, CHILD, "stop", "over"),  # not under 3 yr; shampoos too since (EU) 2019/1966
        ("Salicylic Acid", 0.1, ProductType(("hair",), True, for_whom="small children"), "stop", "over"),
        ("Salicylic Acid", 0.1, ProductType(("body",), True, for_whom="small children"), "stop", "over"),
        ("Iodopropynyl Butylcarbamate", 0.005, BODY, "stop", "over"),  # NOT body lotion or body cream
        ("Iodopropynyl Butylcarbamate", 0.005, HANDS, "know", "fine"),
        ("Iodopropynyl Butylcarbamate", 0.005, ProductType(("hands", "body"), False), "stop", "over"),
        ("Iodopropynyl Butylcarbamate", 0.008, ProductType(("underarm",), False), "stop", "over"),  # deodorant 0.0075
        ("Iodopropynyl Butylcarbamate", 0.005, CHILD, "stop", "over"),
        ("Propylparaben", 0.05, ProductType(("baby",), False), "stop", "over"),  # not leave-on nappy area <3 yr
        ("Benzethonium Chloride", 0.05, LIPS, "know", "fine"),  # not oral: that is teeth and the inside of the mouth
        ("2-Bromo-2-Nitropropane-1,3-Diol", 0.05, HANDS, "look", "unknown"),  # "avoid formation of nitrosamines"
    ],
)
def test_scopes_of_annex_v(substance, percent, product, kind, level) -> None:
    r = alone(substance, percent, product)
    r = replace(r, ingredients={**r.ingredients, "It": replace(r.ingredients["It"], function="preservative")})
    findings = [f for f in judge_recipe(r).findings if f.topic in {"limit", "law"} and f.code != "law.formaldehyde"]
    gravest = findings[0]
    assert (gravest.kind, gravest.level) == (kind, level), gravest.text


def test_each_paraben_counts_alone_and_all_together() -> None:
    # 0.4 % single, 0.8 % mixture, as acid (Annex V entry 12): 0.43 × 0.9078 = 0.3904 and 0.47 × 0.83118 = 0.3907,
    # together 0.781
    r = recipe("x", WASH, {"M": 0.43, "E": 0.47}, extra=(thing("M", "Methylparaben"), thing("E", "Ethylparaben")))
    found = [f for f in limits_say(r) if f.code == "limit.law_near"]
    assert sorted((len(f.about), round(f.found_percent, 3), f.limit_percent) for f in found) == [
        (1, 0.39, 0.4),
        (1, 0.391, 0.4),
        (2, 0.781, 0.8),
    ]


def test_formaldehyde_from_releasers_is_unknown_and_a_label_matter() -> None:
    # Annex V, preamble 2, as amended by (EU) 2022/1181: "releases formaldehyde" above 0.001 % in the product
    (finding,) = [f for f in judge_recipe(alone("DMDM Hydantoin", 0.2, WASH)).findings if f.code == "law.formaldehyde"]
    assert finding.kind == "look"
    assert "2022/1181" in finding.source
    # neat formaldehyde has been prohibited since Annex II took it up (entry 1577)
    neat = judge_recipe(alone("Formaldehyde", 0.002, WASH)).findings
    assert ("stop", "law.prohibited") in {(f.kind, f.code) for f in neat}


def test_a_row_for_another_use_leaves_this_one_unknown() -> None:
    rule = Limit("Newsub", 0.2, applies="rinse-off", conditions="rinse-off", region="EU", source="test")
    finding = one(judge_limits(alone("Newsub", 0.1, HANDS), [rule]), "Newsub")
    assert (finding.kind, finding.level) == ("look", "unknown")


@pytest.mark.parametrize(
    ("words", "product", "kind"),
    [
        ("rinse-off only", HANDS, "barred"),
        ("rinse-off", HANDS, "elsewhere"),
        ("leave-on only", WASH, "barred"),
        ("all except sprays", SPRAY, "barred"),
        ("hair rinse-off only", WASH, "barred"),
        ("all, except leave-on", HANDS, "barred"),
        ("products other than leave-on", HANDS, "barred"),
        ("prohibited", HANDS, "barred"),
        ("banned since 2019", HANDS, "barred"),
        ("", HANDS, "applies"),
        ("leave-on, not face", FACE_AND_EYES, "barred"),
        ("all; not products for children under 3 years", CHILD, "barred"),
        ("toothpaste, hand soap, deodorant", HANDS, "elsewhere"),
        ("toothpaste, hand soap", WASH, "applies"),
        ("not in lip products or sprays", HANDS, "applies"),
        ("not in lip products or sprays", LIPS, "barred"),
        ("not in lip products or sprays", SPRAY, "barred"),
        ("not in leave-on face products", FACE_AND_EYES, "barred"),
        ("not in leave-on face products", ProductType(("face",), rinse_off=True), "applies"),
        ("not in sprays for children under 3 years", SPRAY, "applies"),
        ("not in sprays for children under 3 years", CHILD, "applies"),
        ("not in body lotion", BODY, "barred"),
        ("not in body lotion", ProductType(("body",), rinse_off=True), "applies"),
        ("not in body products", ProductType(("baby",), rinse_off=False), "barred"),
        ("not in body products", HANDS, "applies"),
        ("not in nappy area products", ProductType(("baby",), rinse_off=False), "barred"),
        ("not in nappy area products", HANDS, "applies"),
        ("not in hair products except shampoo", ProductType(("hair",), rinse_off=True), "applies"),
        ("not in hair products except shampoo", ProductType(("hair",), rinse_off=False), "barred"),
        ("sprays only", HANDS, "elsewhere"),
        ("hands only", FACE_AND_EYES, "barred"),
        ("hands", FACE_AND_EYES, "elsewhere"),
    ],
)
def test_scopes_in_other_words(words, product, kind) -> None:
    assert standing(read_scope(words), product).kind == kind


@pytest.mark.parametrize(
    ("words", "product"),
    [
        ("not in oral products", LIPS),  # what is on lips may be swallowed
        ("not in body products except shampoo", ProductType(("body",), rinse_off=True)),  # is a shower gel a shampoo?
        ("not", HANDS),
    ],
)
def test_what_a_scope_may_bar_is_left_to_the_maker_to_check(words, product) -> None:
    found = standing(read_scope(words), product)
    assert (found.kind, bool(found.to_check)) == ("applies", True)


@pytest.mark.parametrize(
    "words", ["only for professional use", "rinse-off; pH > 6 only", "not together with X", "if below pH 5"]
)
def test_words_that_are_not_understood_are_never_fine(words) -> None:
    rule = Limit("Newsub", 0.2, conditions=words, region="EU", source="test")
    finding = one(judge_limits(alone("Newsub", 0.1, WASH), [rule]), "Newsub")
    assert (finding.kind, finding.level) == ("look", "unknown")
    assert words.split("; ")[-1] in finding.text


# --- markets, suppliers, bars ----------------------------------------------------------------------------------------


def test_in_a_us_workshop_eu_law_is_shown_as_eu_law_and_us_limits_are_unknown() -> None:
    findings = limits_say(with_level(R5, "Preservative B", 1.2), "US")
    benzyl = one(findings, "Benzyl Alcohol")
    assert (benzyl.kind, benzyl.level) == ("look", "over")
    assert "it is not US law" in benzyl.text
    assert one(findings, "US limits").level == "unknown"
    own = Limit("Benzyl alcohol", 0.5, kind="law", region="US", source="test")
    assert not any(f.subject == "US limits" for f in limits_say(R5, "US", (own,)))


def test_a_standard_is_never_called_law() -> None:
    for market in ("EU", "US"):
        finding = one(limits_say(with_level(R4, "Scent 2", 1.2), market), "Citronellal")
        assert finding.kind == "stop"
        assert "not law" in finding.text


def test_an_unknown_market_is_refused() -> None:
    with pytest.raises(QuantityError, match="EU"):
        limits_say(R5, "UE")


def test_the_suppliers_range() -> None:
    over = one(limits_say(with_level(R2, "Gel former", 1.2)), "Gel former", topic="supplier")
    assert (over.kind, over.level, over.found_percent, over.limit_percent) == ("stop", "over", 1.2, 1.0)
    under = one(limits_say(with_level(R5, "Xanthan gum", 0.05)), "Xanthan gum", topic="supplier")
    assert (under.kind, under.level, under.limit_percent) == ("look", "under", 0.1)
    assert not [f for f in limits_say(with_level(R2, "Gel former", 1.0)) if f.topic == "supplier"]


def test_one_bar_a_limited_substance_with_its_tightest_wall() -> None:
    bars = {b.substance: b for b in limit_bars(R3_V1, limits_of(R3_V1))}
    assert list(bars) == ["Methyl eugenol", "Sodium Benzoate", "Potassium Sorbate"]
    wall = bars["Methyl eugenol"]
    assert (wall.limit_percent, wall.kind, wall.found_low_percent) == (0.0002, "law", 0.0)
    trade = limit_bars(R3_V1, LIMITS)[0]
    assert (trade.substance, trade.limit_percent, trade.category) == ("Methyl eugenol", 0.00029, "3")
    grey = {b.substance: b for b in limit_bars(with_ingredient(R1, "Scent 3", SCENT_1), LIMITS)}["Citral"]
    assert (grey.limit_percent, grey.level) == (None, "unknown")
    assert limit_bars(R1B, limits_of(R1B))[0].found_high_percent is None


@given(st.randoms(use_true_random=False))
def test_neither_the_order_of_lines_nor_of_limits_matters(random) -> None:
    lines, rules = list(R5.lines), list(limits_of(R5))
    random.shuffle(lines)
    random.shuffle(rules)

    def seen(r, limits):
        return sorted(
            (f.kind, f.level, f.subject, f.found_percent or -1, f.limit_percent or -1) for f in judge_limits(r, limits)
        )

    assert seen(replace(R5, lines=tuple(lines)), rules) == seen(R5, limits_of(R5))


# --- the tables ------------------------------------------------------------------------------------------------------

HEAD = "material,category,max_pct_in_finished_product,source,checked\n"


def folder_with(tmp_path, *rows):
    (tmp_path / "ifra_limits.csv").write_text(HEAD + "\n".join(rows), encoding="utf-8")
    return load_limits(tmp_path)


def test_an_unseen_row_counts_under_its_own_names(tmp_path) -> None:
    rules = folder_with(tmp_path, "Newol and its esters,all,2.0,a standard,read", "Newal / new aldehyde,5C,0.45,x,read")
    assert one(judge_limits(alone("Newol", 2.1, HANDS), rules), "Newol and its esters").level == "over"
    assert one(judge_limits(alone("NEW ALDEHYDE", 0.45, HANDS), rules), "Newal / new aldehyde").level == "near"
    assert one(judge_limits(alone("Newal", 0.46, HANDS), rules), "Newal / new aldehyde").level == "over"


def test_a_row_without_a_figure_is_unknown(tmp_path) -> None:
    for text in ("NOT FOUND", "not shown on page", "", "see annex"):
        rules = folder_with(tmp_path, f"Newsub,all,{text},a standard,from memory")
        finding = one(judge_limits(alone("Newsub", 0.01, HANDS), rules), "Newsub")
        assert (finding.kind, finding.level) == ("look", "unknown")
        assert "from memory" in finding.text


@pytest.mark.parametrize("text", ["-1", "101", "250 %"])
def test_an_impossible_figure_is_a_fault_with_its_place(tmp_path, text) -> None:
    with pytest.raises(WorkshopError, match=r"row 2, column 'max_pct_in_finished_product'"):
        folder_with(tmp_path, f"Newsub,all,{text},a standard,read")


def test_a_missing_column_is_a_fault(tmp_path) -> None:
    (tmp_path / "ifra_limits.csv").write_text("material,category\nCitral,9\n", encoding="utf-8")
    with pytest.raises(WorkshopError, match="max_pct_in_finished_product"):
        load_limits(tmp_path)


def test_names_of_a_tables_substance() -> None:
    assert own_names("Methylisothiazolinone (MI)") == ("Methylisothiazolinone (MI)", "Methylisothiazolinone")
    assert "Hexamidine" in own_names("Hexamidine and its salts and esters")
    assert {"Sorbic acid", "potassium sorbate"} <= set(own_names("Sorbic acid / potassium sorbate"))


def test_limits_carry_their_amendment_and_date() -> None:
    citronellal = next(x for x in LIMITS if x.substance == "Citronellal")
    assert (citronellal.amendment, citronellal.date, citronellal.kind, citronellal.region) == (
        "49",
        "2020",
        "standard",
        "",
    )
    by_law = {x.substance: x for x in limits_of(R3_V2) if x.kind == "law"}
    phenoxyethanol, eugenol = by_law["Phenoxyethanol"], by_law["Methyl eugenol"]
    assert (phenoxyethanol.region, phenoxyethanol.date) == ("EU", "2020-07-28")  # dates of the records in the export
    assert (eugenol.region, eugenol.date) == ("EU", "2010-10-20")
    (citral,) = (x for x in limits_of(R2) if x.kind == "law" and x.substance == "Citral")
    assert (citral.amendment, citral.date) == ("(EU) 2026/909", "2026-04-28")


@pytest.mark.parametrize(
    ("value", "other", "text"),
    [
        (0.00025, None, "0.00025"),
        (1.0, None, "1"),
        (1.0000001, 1.0, "1.0000001"),
        (0, None, "0"),
        (100, None, "100"),
        (1.056, 1, "1.056"),
        (1e-9, None, "0.000000001"),
    ],
)
def test_percentages_in_words(value, other, text) -> None:
    assert number_text(value, other) == text


@given(st.integers(1, 10**12), st.integers(-12, 6))
def test_five_digits_are_within_half_of_the_last(n, power) -> None:
    value = Fraction(n) * Fraction(10) ** power
    assert abs(significant(value) - value) <= value / 10**4 / 2
