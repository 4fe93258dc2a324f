"""Hazards: each row of the table is set off by a recipe made from its own columns, and by none that lacks what decides.
What the rows say has its source in the table (law, or common practice without a source).
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from demo_workshop import demo
from formula.judged_recipes import HANDS, recipe, thing
from hypothesis import example, given
from hypothesis import strategies as st

from maker_kit import reference
from maker_kit.findings import KINDS, Finding, know, look, stop
from maker_kit.formula.notes.clashes import clashes
from maker_kit.formula.notes.flags import judge_recipe
from maker_kit.formula.notes.hazards import hazards
from maker_kit.formula.notes.once import SAME, told_once
from maker_kit.formula.preservation.preservation import judge_preservation
from maker_kit.formula.recipe import ProductType, Recipe

READY_BASE = demo().recipe("r1b-hand-wash")

ROWS = reference.rows("hazards.csv")
FAMILIES = reference.rows("hazard_families.csv")
NAMES = {f"{k} {r['code']} {r['places'] or r['functions'] or r['title_words']}"[:60]: r for k, r in enumerate(ROWS)}


def first(cell: str) -> str:
    return cell.partition(";")[0].strip()


def members(family: str) -> list[str]:
    """INCI names of a family, typed as a maker would."""
    return [r["inci_like"].replace("*", "").strip().title() for r in FAMILIES if r["family"] == family]


def made_from(row: reference.Row, *, without: str = "") -> Recipe:
    """A recipe that has all that a row of the table names, except the column that is left out."""
    told = {c: "" if c == without else v for c, v in row.items()}
    product = ProductType(
        (first(told["places"]) or "hands",),
        (told["use"] or "leave-on") == "rinse-off",
        (told["spray"] or ("yes" if row["spray"] == "no" else "no")) == "yes",
        told["whom"] or "adults",
    )
    if without == "use" and row["use"]:
        product = replace(product, rinse_off=row["use"] == "leave-on")
    levels, extra = {"Glycerin": 3.0}, []
    if told["any_of"]:
        name = members(row["any_of"])[0]
        levels["It"] = max(float(row["least_percent"] or 0), 1.0) if without != "least_percent" else 0.001
        extra.append(thing("It", name.replace(", ", ","), "" if not told["functions"] else first(told["functions"])))
    elif told["functions"]:
        levels["It"] = 1.0
        extra.append(thing("It", "Zyxwor", first(told["functions"])))
    if without == "without":
        levels["Carrier"] = 5.0
        extra.append(thing("Carrier", members(row["without"])[0]))
    read = 7.0
    if told["ph_below"]:
        read = None if told["ph_below"] == "unread" else float(told["ph_below"]) - 0.1
    if told["ph_above"]:
        read = float(told["ph_above"]) + 0.1
    made = recipe(
        f"a {first(told['title_words'])}" if told["title_words"] else "a plain thing",
        product,
        levels,
        extra=tuple(extra),
        read=read,
    )
    return replace(made, container=f"200 mL {told['container'] or 'jar'}")


def codes(made: Recipe) -> set[str]:
    return {f.code for f in hazards(made)}


@pytest.mark.parametrize("row", NAMES.values(), ids=NAMES)
def test_each_row_is_set_off_by_what_it_names(row) -> None:
    found = [f for f in hazards(made_from(row)) if f.code == row["code"]]
    assert found, [(f.code, f.text) for f in hazards(made_from(row))]
    (finding,) = found
    assert KINDS.index(finding.kind) <= KINDS.index(row["kind"])
    assert "{" not in finding.text
    assert finding.source
    assert finding.next_step


DECISIVE = ("any_of", "least_percent", "use", "whom", "spray", "container", "functions", "title_words", "ph_below")
DECISIVE += ("ph_above", "without")


@pytest.mark.parametrize(
    ("row", "column"),
    [
        pytest.param(row, column, id=f"{name}: {column}")
        for name, row in NAMES.items()
        for column in DECISIVE
        if row[column]
    ],
)
def test_no_row_is_set_off_without_what_decides(row, column) -> None:
    says = row["text"].rpartition("}")[2]  # what this row says, whichever names stand before it
    said = [f.text for f in hazards(made_from(row, without=column)) if f.code == row["code"]]
    assert not [text for text in said if text.endswith(says)], said


def test_a_place_that_is_not_the_row_s_sets_nothing_off() -> None:
    for row in ROWS:
        if row["places"] and not [r for r in ROWS if r["code"] == row["code"] and r is not row]:
            elsewhere = replace(made_from(row), product_type=ProductType(("feet",), row["use"] == "rinse-off"))
            assert row["code"] not in codes(elsewhere), row["code"]


def test_the_columns_of_the_table_hold_what_is_read() -> None:
    families = {r["family"] for r in FAMILIES}
    for row in ROWS:
        assert row["kind"] in KINDS
        assert row["code"].count(".") == 1
        assert {row["any_of"], row["without"]} - {""} <= families
        assert row["use"] in {"", "leave-on", "rinse-off"}
        assert row["spray"] in {"", "yes", "no"}
        assert row["whom"] in {"", "small children"}
        assert row["any_of"] or not row["least_percent"]
        assert 0 <= float(row["least_percent"] or 0) <= 100
        assert row["ph_below"] == "unread" or 0 <= float(row["ph_below"] or 0) <= 14
        assert 0 <= float(row["ph_above"] or 0) <= 14
        assert all((row["subject"], row["text"], row["next_step"], row["source"], row["checked"]))
        assert any(
            row[c] for c in row if c not in {"code", "kind", "subject", "text", "next_step", "source", "checked"}
        )
    assert {code for code in SAME if code.partition(".")[0] in {"oil", "ph", "fire", "eye"}} <= {
        r["code"] for r in ROWS
    }


def test_an_amount_that_nobody_told_may_be_enough_and_says_so() -> None:
    # Annex II and III know no figure for citric acid; from 10 % on it is a peel (common practice, no source)
    base = thing("Base", "Aqua, Citric Acid, Glycerin")
    (finding,) = [f for f in hazards(recipe("x", HANDS, {"Base": 20}, extra=(base,))) if f.code == "acid.peel"]
    assert finding.level == "unknown"
    assert finding.found_percent is None
    assert finding.text.startswith("Nobody has told how much")
    told = replace(base, inside=(replace(thing("y", "", "", {"Citric Acid": (1, 2)}).inside[0]),))
    assert "acid.peel" not in codes(recipe("x", HANDS, {"Base": 20}, extra=(told,)))


# --- the error of a reading ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("read", "error", "code", "said"),
    [
        (3.6, 0.0, "ph.acid_left_on", False),
        (3.6, 0.2, "ph.acid_left_on", True),
        (2.6, 0.2, "ph.burns_left_on", True),
        (10.9, 0.0, "ph.burns_alkaline", False),
        (10.9, 0.2, "ph.burns_alkaline", True),
    ],
)
def test_a_reading_counts_with_its_error(read, error, code, said) -> None:
    # strips ± 0.5, meters ± 0.1 to 0.2: common practice, no source
    made = replace(recipe("x", HANDS, {"Glycerin": 3}, read=read), ph_error=error)
    found = {f.code: f for f in hazards(made)}
    assert (code in found) is said
    if said:
        assert f"{read:g} ± {error:g}" in found[code].text


@given(st.floats(1, 13), st.floats(0, 1), st.sampled_from([True, False]))
def test_a_less_certain_reading_never_says_less(read, error, rinse_off) -> None:
    made = recipe("x", ProductType(("hands",), rinse_off), {"Sodium benzoate": 0.5}, read=round(read, 2))
    unsure = replace(made, ph_error=round(error, 2))
    assert codes(made) <= codes(unsure)
    assert {f.code for f in clashes(made)} <= {f.code for f in clashes(unsure)}
    grave = [f.kind for f in judge_preservation(made)][:1], [f.kind for f in judge_preservation(unsure)][:1]
    assert KINDS.index(grave[1][0]) <= KINDS.index(grave[0][0])


def test_the_error_of_a_reading_moves_what_is_trusted() -> None:
    # benzoate and sorbate are trusted up to pH 5.5 (common practice, no source)
    made = recipe("x", HANDS, {"Sodium benzoate": 0.5}, read=5.4)
    key = "clash.acid_preservative_and_ph"
    assert [key in {f.code for f in clashes(replace(made, ph_error=e))} for e in (0.0, 0.1, 0.2)] == [
        False,
        False,
        True,
    ]
    # ISO 29621: pH below 3 or above 10 is of low microbiological risk, if it is surely there
    bare = recipe("x", HANDS, {"Glycerin": 3}, read=2.9)
    assert [judge_preservation(replace(bare, ph_error=e))[0].code for e in (0.0, 0.2)] == [
        "preservation.missing_at_low_risk",
        "preservation.missing",
    ]


# --- alcohol, and acids alone ----------------------------------------------------------------------------------------


def test_nothing_says_that_bacteria_grow_in_seventy_percent_of_alcohol() -> None:
    # ISO 29621: more than 20 % ethanol is of low microbiological risk
    rub = recipe(
        "rub", HANDS, {"Spirit": 70, "Glycerin": 2}, extra=(thing("Spirit", "Alcohol Denat.", "solvent"),), read=7.0
    )
    said = told_once(judge_recipe(rub).findings)
    assert not [f.text for f in said if "grow in it" in f.text and "hardly grow" not in f.text]
    assert {"fire.alcohol", "law.disinfectant"} <= {f.code for f in said}


@given(
    st.lists(st.sampled_from(["Sodium benzoate", "Potassium sorbate"]), min_size=1, unique=True),
    st.floats(0.01, 1.0),
    st.one_of(st.none(), st.floats(3.0, 10.0)),
    st.booleans(),
)
def test_benzoate_or_sorbate_alone_is_never_without_a_look(acids, percent, read, rinse_off) -> None:
    # weak against bacteria: common practice, no source
    levels = {name: round(percent, 3) for name in acids}
    made = recipe("x", ProductType(("body",), rinse_off), levels, read=None if read is None else round(read, 2))
    assert [f for f in judge_preservation(made) if f.kind != "know"]


# --- each thing once -------------------------------------------------------------------------------------------------

ABOUT = st.sampled_from(["Citral", "Phenoxyethanol", "Mentha Piperita Oil"])
OTHER_CODES = ("limit.law_over", "limit.law_fine", "limit.standard_near", "law.prohibited", "avoid.found")
OTHER_CODES += ("preservation.none", "clash.acid_preservative_and_ph")
CODES = st.sampled_from([*SAME, *(code for others in SAME.values() for code in others), *OTHER_CODES])
FOUND = st.builds(
    lambda kind, code, about, level, most: Finding(
        kind, code, (about,), f"{kind} {code} {about}", level, limit_percent=most
    ),
    st.sampled_from(KINDS),
    CODES,
    ABOUT,
    st.sampled_from(["over", "near", "unknown", "fine", "note"]),
    st.sampled_from([None, 0.1, 1.0]),
)


@given(st.lists(FOUND, max_size=12))
@example(
    [
        Finding("stop", code, (about,), f"{code} {about}", "over")
        for code, about in (("oil.sore", "Citral"), ("oil.strong", "Citral"), ("oil.eye", "Phenoxyethanol"))
    ]
)
@example(
    [
        Finding("look", "preservation.none", ("Phenoxyethanol",), "milder", "over"),
        Finding("stop", "clash.acid_preservative_and_ph", ("Phenoxyethanol",), "graver", "over"),
    ]
)
def test_a_stop_is_never_dropped_for_something_milder(found) -> None:
    said = told_once(found)
    for finding in found:
        if finding.kind == "stop":
            assert [f for f in said if f.kind == "stop" and set(f.about) & set(finding.about)], (finding, said)
    assert bool([f for f in found if f.kind == "stop"]) == bool([f for f in said if f.kind == "stop"])
    assert all(KINDS.index(a.kind) <= KINDS.index(b.kind) for a, b in pairwise(said))
    assert told_once(said) == said


@given(st.lists(FOUND, max_size=12))
def test_of_the_limits_on_one_substance_one_row_is_said(found) -> None:
    limits = [f.about[0] for f in told_once(found) if f.topic == "limit"]
    assert len(limits) == len(set(limits))


def test_of_the_limits_the_gravest_and_then_the_tightest_speaks() -> None:
    near, over, tighter = (
        look("limit.standard_near", ("Citral", "5C"), "near", level="near", limit_percent=0.1),
        stop("limit.law_over", "Citral", "over", level="over", limit_percent=0.15),
        stop("limit.standard_over", ("Citral", "3"), "tighter", level="over", limit_percent=0.1),
    )
    assert told_once([near, over, tighter]) == (tighter,)
    assert told_once([near, over]) == (over,)


def test_a_substance_that_is_barred_is_not_said_to_be_within() -> None:
    fine = know("limit.law_fine", "Dehydroacetic Acid", "within", level="fine", limit_percent=0.6)
    barred = stop("law.spray_barred", "Dehydroacetic Acid", "not in a spray", level="over")
    assert told_once([barred, fine]) == (barred,)
    assert told_once([fine]) == (fine,)


def test_the_avoid_list_stands_in_one_row_of_a_kind() -> None:
    rows = [
        look("avoid.found", ("almond", "a guest"), "almond is in it", source="a"),
        look("avoid.found", ("benzyl alcohol", "a cleaner"), "benzyl alcohol is in it", source="b"),
        know("avoid.not_found", ("lanolin", "a child"), "no lanolin", source="c"),
    ]
    together, nothing = told_once(rows)
    assert together.about == ("almond", "a guest", "benzyl alcohol", "a cleaner")
    assert all(row.text[1:] in together.text for row in rows[:2])
    assert nothing == rows[2]


def test_a_look_is_not_dropped_for_a_note() -> None:
    told, burns = know("oil.face", "oil", "milder"), look("oil.strong", "oil", "much oil")
    assert set(told_once([told, burns])) == {told, burns}
    assert told_once([look("oil.face", "oil", "the face"), burns]) == (look("oil.face", "oil", "the face"),)


def test_what_the_preservation_says_of_an_acid_is_not_said_again_as_a_clash() -> None:
    by_acid = stop("preservation.not_read", "Benzoic acid", "no reading", level="unknown")
    for code in ("clash.acid_preservative_and_ph", "clash.acid_preservative_and_ph_not_read"):
        assert told_once([by_acid, look(code, ("Benzoic acid", "Sodium Benzoate"), "again")]) == (by_acid,)


@pytest.mark.parametrize(
    ("inci", "percent", "product", "code"),
    [
        ("Sodium Bicarbonate", 25, ProductType(("underarm",), rinse_off=False), "alkali.left_on"),
        ("Turpentine", 10, HANDS, "oil.sore"),
        ("Menthol", 0.5, ProductType(("intimate area",), rinse_off=True), "oil.intimate"),
    ],
)
def test_what_makes_skin_sore_is_a_look(inci: str, percent: float, product: ProductType, code: str) -> None:
    """Common practice, no source."""
    made = recipe("x", product, {"It": percent}, "Sunflower oil", extra=(thing("It", inci, "active"),))
    assert code in {f.code for f in hazards(made) if f.kind == "look"}


def test_what_one_supplier_did_not_tell_stands_in_one_row() -> None:
    asked = [
        Finding("look", "limit.law_undisclosed", (name, "Base"), f"{name}: not told.", "unknown", next_step="Ask.")
        for name in ("Sodium Benzoate", "Potassium Sorbate")
    ]
    other = Finding("look", "limit.law_undisclosed", ("Citral", "Scent"), "Citral: not told.", "unknown")
    said = told_once([*asked, other])
    assert [(f.subject, f.about) for f in said] == [
        ("Base: limits", ("Sodium Benzoate", "Base", "Potassium Sorbate")),
        ("Citral", ("Citral", "Scent")),
    ]
    assert all(f"{name}: not told." in said[0].text for name in ("Sodium Benzoate", "Potassium Sorbate"))


@pytest.mark.parametrize(("read", "kind"), [(None, "look"), (3.0, "look"), (4.4, "look"), (4.5, "know"), (5.0, "know")])
def test_an_acid_nobody_told_is_a_peel_to_look_at_only_where_the_reading_allows_it(read, kind) -> None:
    wash = replace(READY_BASE, ph_read=read, ph_error=0.0)
    assert {f.kind for f in judge_recipe(wash).findings if f.code == "acid.peel"} == {kind}


def test_a_ready_base_with_a_scent_gets_few_looks() -> None:
    looks = [f for f in told_once(judge_recipe(READY_BASE).findings) if f.kind == "look"]
    assert len(looks) <= 3
