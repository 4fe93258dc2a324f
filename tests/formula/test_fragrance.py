"""Fragrance ceilings. Expected values: IFRA Standards, Amendment 49 (rows as in the reference tables) over the demo
workshop's scents, worked by hand in its table; its certificates are invented.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from formula.judged_recipes import (
    BODY,
    HANDS,
    R1,
    R2,
    R3_V1,
    R4,
    R5,
    SCENT_1,
    SCENT_2,
    SCENT_3,
    WASH,
    recipe,
    thing,
    without_papers,
)
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.errors import QuantityError
from maker_kit.formula.limits.fragrance import fragrance_ceiling
from maker_kit.formula.limits.judge import judge_limits
from maker_kit.formula.limits.limit import Limit, load_limits
from maker_kit.formula.limits.scent import judge_scent
from maker_kit.formula.recipe import Certificate, ProductType
from maker_kit.formula.setting import with_ingredient, with_level
from maker_kit.numbers import exact_number

LIMITS = load_limits()
FOUR = ("3", "5A", "5C", "9")


def scent_findings(r, **levels):
    for name, percent in levels.items():
        r = with_level(r, name.replace("_", " "), percent)
    return judge_scent(r, LIMITS)


@pytest.mark.parametrize(
    ("scent", "expected"),
    [
        (SCENT_1, (1.25, 1.875, 1.875, None)),
        (SCENT_2, (0.26, 3.30, 1.00, 5.80)),
        (SCENT_3, (None, None, None, None)),
    ],
)
def test_ceilings_from_what_is_inside(scent, expected) -> None:
    # scent 1: citral 8 %: 0.1, 0.15, 0.15, no row; scent 2: citronellal 10 %: 0.026, 0.33, 0.1, and methyl eugenol
    # 0.015 %: 0.00087 in 9
    ceiling = fragrance_ceiling(scent, HANDS, LIMITS, categories=FOUR)
    assert tuple(r.from_constituents for r in ceiling.rows) == expected


@pytest.mark.parametrize(
    ("scent", "expected"),
    [(SCENT_1, (1.1, 1.8, 1.8, 11.0)), (SCENT_2, (0.25, 3.2, 1.0, 5.5)), (SCENT_3, (0.9, 2.6, 2.1, 8.0))],
)
def test_ceilings_from_certificates(scent, expected) -> None:
    ceiling = fragrance_ceiling(scent, HANDS, LIMITS, categories=FOUR)
    assert tuple(r.from_certificate for r in ceiling.rows) == expected
    assert [r.binds for r in ceiling.rows] == ["certificate"] * 4 or scent is SCENT_2


def test_which_substance_binds() -> None:
    rows = fragrance_ceiling(SCENT_2, HANDS, LIMITS, categories=FOUR).rows
    assert [r.constituent for r in rows] == ["Citronellal", "Citronellal", "Citronellal", "Methyl eugenol"]
    only = replace(SCENT_2, inside=tuple(s for s in SCENT_2.inside if s.substance != "Methyl eugenol"))
    assert fragrance_ceiling(only, WASH, LIMITS).row("9").from_constituents == 14.0
    assert fragrance_ceiling(SCENT_1, HANDS, LIMITS).row("5C").constituent == "Citral"


def test_constituents_without_a_figure_are_listed_as_unknown() -> None:
    assert fragrance_ceiling(SCENT_1, WASH, LIMITS).row("9").unknown == ("Citral", "Limonene", "Linalool")
    assert fragrance_ceiling(SCENT_2, HANDS, LIMITS).row("5C").unknown == ("Citronellol", "Geraniol", "Linalool")
    assert fragrance_ceiling(SCENT_3, HANDS, LIMITS).row("5C").unknown == ("Hexyl Cinnamal", "Linalool", "Coumarin")


def test_the_lower_of_the_two_binds_and_the_strictest_place_counts() -> None:
    both = fragrance_ceiling(SCENT_1, ProductType(("hands", "eye area"), rinse_off=False), LIMITS)
    assert both.percent == 1.1
    bare = fragrance_ceiling(without_papers(SCENT_2), BODY, LIMITS)
    assert (bare.percent, bare.rows[0].binds) == (3.30, "constituents")
    generous = replace(SCENT_2, certificates=(Certificate(51, "5C", 1.5, "invented"),))
    assert fragrance_ceiling(generous, HANDS, LIMITS).row("5C").binds == "constituents"


def test_a_paper_under_the_old_numbering_is_refused() -> None:
    old = replace(SCENT_3, certificates=(Certificate(46, "9", 5.0, "invented older paper"),))
    ceiling = fragrance_ceiling(old, WASH, LIMITS)
    assert ceiling.row("9").from_certificate is None
    assert ceiling.percent is None
    assert len(ceiling.refused) == 1
    assert any("46th amendment" in f.text and f.kind == "look" for f in ceiling.findings)
    kept = fragrance_ceiling(SCENT_3, WASH, LIMITS)
    assert kept.percent == 8.0
    assert [(f.kind, f.subject) for f in kept.findings] == [("know", "Scent 3")]


@pytest.mark.parametrize(
    ("amendment", "category", "read"),
    [
        (48, "9", False),
        (49, "9", True),
        (51, "Category 9", True),
        (49, "class 9", False),
        (49, "13", False),
        (49, "5", False),
    ],
)
def test_only_todays_categories_are_read(amendment, category, read) -> None:
    scent = replace(SCENT_3, certificates=(Certificate(amendment, category, 4.0, "invented"),))
    assert (fragrance_ceiling(scent, WASH, LIMITS).row("9").from_certificate == 4.0) is read


def test_the_newest_amendment_counts_and_the_strictest_of_its_papers() -> None:
    papers = tuple(Certificate(a, "9", m, "invented") for a, m in ((49, 2.0), (51, 6.0), (51, 7.0)))
    assert fragrance_ceiling(replace(SCENT_3, certificates=papers), WASH, LIMITS).row("9").from_certificate == 6.0


@pytest.mark.parametrize("most", [-1.0, 101.0, float("nan")])
def test_an_impossible_certificate_is_refused(most) -> None:
    with pytest.raises(QuantityError):
        fragrance_ceiling(replace(SCENT_3, certificates=(Certificate(49, "9", most),)), WASH, LIMITS)


def test_what_other_lines_bring_is_taken_off() -> None:
    # 5C allows 0.00058 of methyl eugenol; 30 % floral water brings 0.0003, which leaves 0.00028 / 0.00015 = 1.8666
    only = replace(SCENT_2, inside=tuple(s for s in SCENT_2.inside if s.substance == "Methyl eugenol"), certificates=())
    r = recipe("x", HANDS, {"Rose floral water": 30, "Only": 1}, extra=(replace(only, name="Only"),))
    assert fragrance_ceiling(r.ingredients["Only"], HANDS, LIMITS, r).row("5C").from_constituents == 1.866


# --- findings ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("r", "load", "kind", "level"),
    [
        (R2, 0.40, "know", "fine"),
        (R2, 1.80, "look", "near"),
        (R2, 1.90, "stop", "over"),
        (R4, 0.80, "look", "near"),
        (R4, 1.00, "look", "near"),
        (R4, 1.20, "stop", "over"),
    ],
)
def test_load_against_the_certificate(r, load, kind, level) -> None:
    findings = judge_scent(with_level(r, r.scent, load), LIMITS)
    paper = next(f for f in findings if f.limit_percent is not None)
    assert (paper.kind, paper.level, paper.topic) == (kind, level, "scent")
    if level == "near" and load in {1.80, 1.00}:
        assert "exactly at" in paper.text


def test_pushed_scent_is_over_by_citral_and_by_its_certificate() -> None:
    pushed = with_level(R2, "Scent 1", 1.9)
    assert any(f.subject == "Citral" and f.kind == "stop" for f in judge_limits(pushed, LIMITS))
    assert any(
        f.subject == "Scent 1" and f.kind == "stop" and f.limit_percent == 1.8 for f in judge_scent(pushed, LIMITS)
    )


def test_citral_without_a_row_leaves_the_certificate_to_bind() -> None:
    findings = judge_scent(with_ingredient(R1, "Scent 3", SCENT_1), LIMITS)
    assert [(f.kind, f.level, f.limit_percent) for f in findings] == [("know", "fine", 11.0)]
    assert "unknown" in findings[0].text


@pytest.mark.parametrize("r", [R1, R5])
def test_a_scent_with_a_certificate_alone_is_known(r) -> None:
    assert {f.kind for f in judge_scent(r, LIMITS)} == {"know"}


def test_neither_certificate_nor_row_is_unknown() -> None:
    for scent in (without_papers(SCENT_3), thing("Plain", "Parfum", "scent")):
        findings = judge_scent(with_ingredient(R1, "Scent 3", scent), LIMITS)
        assert [(f.kind, f.level) for f in findings] == [("look", "unknown")]


def test_rows_alone_never_make_a_whole_scent_fine() -> None:
    assert {
        (f.kind, f.level)
        for f in judge_scent(
            with_level(with_ingredient(R4, "Scent 2", without_papers(SCENT_2)), "Scent 2", 0.3), LIMITS
        )
    } == {("look", "unknown")}
    over = judge_scent(with_level(with_ingredient(R4, "Scent 2", without_papers(SCENT_2)), "Scent 2", 1.2), LIMITS)
    assert over[0].kind == "stop"


def test_a_place_without_a_category_leaves_the_ceiling_unknown() -> None:
    ceiling = fragrance_ceiling(SCENT_1, ProductType(("hands", "feet"), rinse_off=False), LIMITS)
    assert ceiling.percent is None
    assert any(f.level == "unknown" and "feet" in f.text for f in ceiling.findings)


def test_a_wash_with_more_than_about_five_percent_of_scent() -> None:
    # common practice, no source
    assert not any(f.limit_percent == 5 for f in scent_findings(R1, Scent_3=5.0))
    found = next(f for f in scent_findings(R1, Scent_3=5.5) if f.limit_percent == 5)
    assert (found.kind, found.level, found.source) == ("look", "over", "common practice, no source")
    assert not any(f.limit_percent == 5 for f in scent_findings(R5, Scent_3=5.5))  # a lotion is no wash


def test_two_scents_share_one_ceiling() -> None:
    r = recipe("x", WASH, {"Scent 1": 7, "Scent 3": 4})  # 7/11 + 4/8 = 1.14
    assert any(f.subject == "Scent 1 + Scent 3" and f.kind == "look" for f in judge_scent(r, LIMITS))
    assert not any("+" in f.subject for f in judge_scent(recipe("x", WASH, {"Scent 1": 5, "Scent 3": 4}), LIMITS))


def test_a_recipe_without_scent_says_nothing_of_scent() -> None:
    assert R3_V1.scents == ()
    assert judge_scent(R3_V1, LIMITS) == ()


@given(st.integers(1, 1000), st.integers(1, 5000))
def test_a_ceiling_keeps_its_limit_and_is_rounded_down(share, limit) -> None:
    scent = thing("Any", "Parfum", "scent", {"X": (0, share / 10)})
    most = (
        fragrance_ceiling(scent, HANDS, [Limit("X", limit / 1000, category="5C", kind="standard")], categories=("5C",))
        .rows[0]
        .from_constituents
    )
    if most is None:
        assert share / 10 <= limit / 1000
        return
    assert exact_number(most) * exact_number(share / 10) / 100 <= exact_number(limit / 1000)
    assert (exact_number(most) + exact_number(0.001)) * exact_number(share / 10) / 100 > exact_number(limit / 1000)


def test_a_certificate_older_than_another_on_file_is_told() -> None:
    """Another scent of the recipe has a paper of a later amendment, so there is a newer one than the first's."""
    body = ProductType(("body",), rinse_off=False)
    first = thing("Old scent", "Parfum", "scent", certificates=(Certificate(49, "5A", 2.0, "invented"),))
    for amendment, older in ((49, set()), (51, {"Old scent"})):
        new = thing("New scent", "Parfum", "scent", certificates=(Certificate(amendment, "5A", 2.0, "invented"),))
        made = recipe("two", body, {"Old scent": 0.1, "New scent": 0.1}, "Sunflower oil", extra=(first, new))
        found = [f for f in judge_scent(made, LIMITS) if f.code == "scent.certificate_older"]
        assert {name for f in found for name in f.about} == older
