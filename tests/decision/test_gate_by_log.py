"""The gate reads the bench log: record, deviations, watch and fills; what the log lacks blocks, and paper counts beside
it. Expected answers follow from what was entered and withdrawn.
"""

from __future__ import annotations

import shutil
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from complete import DAY, WASH, complete, gate_of
from hypothesis import given, settings
from hypothesis import strategies as st

from maker_kit.bench.batches import begin_batch, hand_out, number_units, weigh
from maker_kit.bench.log import FILE, open_log
from maker_kit.bench.observed import observe, read
from maker_kit.decision.decision import decide
from maker_kit.decision.gate import gate
from maker_kit.decision.gate_step import STEPS
from maker_kit.formula.batch import exact_fill_mass
from maker_kit.plan.judged import judge_recipes
from maker_kit.plan.log.kept import kept_record, record_of
from maker_kit.plan.plan import make_plan
from maker_kit.plan.sensitivity import Sensitivity
from maker_kit.workbook.run.decide import asked
from maker_kit.workbook.shown.decision import decision_page
from maker_kit.workshop.judged_targets import judged_targets
from maker_kit.workshop.papers import Paper

FULL = complete()
BARE = replace(FULL, watched=(), papers=tuple(p for p in FULL.papers if p.paper != "batch record"))
"""The same workshop without the papers that the log stands for."""
RECIPE = BARE.recipe(WASH)
JUDGED = judge_recipes(BARE, [RECIPE])[0]
CARD = judged_targets(BARE, WASH)
NUMBER, MADE = "R1B-07", date(2026, 3, 1)


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    """A log with one whole batch of the wash: weighed with lots, steps, pH, four fills, units, watched for 28 days."""
    made = tmp_path_factory.mktemp("whole")
    with open_log(made, make=True) as log:
        begin_batch(log, RECIPE, 4, MADE, NUMBER)
        mass = 4 * float(exact_fill_mass(RECIPE))
        for line in RECIPE.lines:
            log.add("lot", code=f"L-{line.ingredient}", item=line.ingredient, scale_mg=5_000_000)
            weigh(log, NUMBER, line.ingredient, mass * line.percent / 100, f"L-{line.ingredient}")
        log.add_all("deed", [{"batch": NUMBER, "step": s.number, "state": "done"} for s in RECIPE.steps])
        read(log, NUMBER, "pH", 5.0, "2026-03-01 11:00", "pH meter", 20)
        each = round(float(exact_fill_mass(RECIPE)) * 1000)
        log.add_all("fill", [{"batch": NUMBER, "container": k, "mass_mg": each + 400 + k} for k in (1, 2, 3, 4)])
        number_units(log, NUMBER, 4)
        for day in (0, 7, 28):
            observe(log, NUMBER, "look", day, "20 °C", MADE, words="same")
            observe(log, NUMBER, "pH", day, "20 °C", MADE, 5.0)
    return made


def opened(record, shop=BARE, recipe=RECIPE) -> set[str]:
    return {s.step for s in gate(shop, recipe, JUDGED, CARD, record).steps if s.is_open}


def test_without_log_and_papers_own_use_alone_is_open_and_with_the_log_all_are(folder) -> None:
    assert opened(None) == {"own use"}
    with open_log(folder) as log:
        record = record_of(log, BARE, RECIPE)
    assert (record.last, record.lacks, record.deviations, record.changes) == (NUMBER, (), (), ())
    assert opened(record) == set(STEPS)
    needs = {n.code: n for n in gate(BARE, RECIPE, JUDGED, CARD, record).step("gift").needs}
    assert needs["gift.batch_record"].rests_on == (f"bench log: batch {NUMBER}",)
    assert needs["gift.watch"].rests_on[-1] == f"bench log: batch {NUMBER}, day 28"


def _without(table: str, **where):
    def take(log) -> None:
        for row in log.now(table, **where):
            log.withdraw(table, row["id"], "entered by mistake")

    return take


def _fills_down(log) -> None:
    for row in log.now("fill"):
        log.correct("fill", row["id"], "weighed with the bottle's cap", mass_mg=row["mass_mg"] - 20_000)


GONE = {
    "weighings": (_without("weighing", item=RECIPE.lines[0].ingredient), "gift"),
    "deeds": (_without("deed"), "gift"),
    "looks": (_without("reading", kind="look"), "gift"),
    "last day": (_without("reading", day=28), "gift"),
    "no pH at all": (_without("reading", kind="pH"), "gift"),
    "a look changed": (
        lambda log: observe(log, NUMBER, "smell", 28, "20 °C", MADE, words="changed"),
        "gift",
    ),
    "gone bad in the warm": (lambda log: observe(log, NUMBER, "look", 7, "40 °C", MADE, words="bad"), "gift"),
    "a deviation": (
        lambda log: log.add("deviation", batch=NUMBER, what="step 2 left out", reason="no time"),
        "gift",
    ),
    "fills": (_without("fill"), "sale"),
    "fills below": (_fills_down, "sale"),
    "a newer batch without a record": (
        lambda log: (begin_batch(log, RECIPE, 2, date(2026, 3, 20), "R1B-08"), number_units(log, "R1B-08", 2)),
        "gift",
    ),
}


@pytest.mark.parametrize("fact", GONE)
def test_what_the_log_lacks_or_says_against_it_closes_its_step(folder, tmp_path, fact) -> None:
    shutil.copy(folder / FILE, tmp_path / FILE)
    take, first = GONE[fact]
    with open_log(tmp_path) as log:
        take(log)
        record = record_of(log, BARE, RECIPE)
    assert opened(record) == set(STEPS[: STEPS.index(first)])


def test_a_deviation_is_settled_by_a_dated_paper_by_throwing_away_or_by_taking_it_back(folder, tmp_path) -> None:
    shutil.copy(folder / FILE, tmp_path / FILE)
    with open_log(tmp_path) as log:
        begin_batch(log, replace(RECIPE, version="0"), 2, date(2026, 1, 2), "R1B-05")
        row = log.add("deviation", batch="R1B-05", what="step 2 left out", reason="no time")
        record = record_of(log, BARE, RECIPE)
        assert opened(record) == {"own use"}  # a batch of another version counts too
        paper = Paper("deviation", DAY, WASH, "0", about=("R1B-05",), closed_on=date(2026, 4, 1))
        assert opened(record, replace(BARE, papers=(*BARE.papers, paper))) == set(STEPS)
        assert opened(record, replace(BARE, papers=(*BARE.papers, replace(paper, closed_on=None)))) == {"own use"}
        hand_out(log, number_units(log, "R1B-05", 2)[:1], "bin", "thrown away", DAY)
        assert opened(record_of(log, BARE, RECIPE)) == {"own use"}  # one of two is still somewhere
        hand_out(log, ["R1B-05/02"], "bin", "thrown away", DAY)
        assert opened(record_of(log, BARE, RECIPE)) == set(STEPS)
        log.withdraw("deviation", row, "it was done after all, and noted late")
        assert record_of(log, BARE, RECIPE).deviations == ()


def test_a_batch_of_another_version_vouches_for_nothing(folder) -> None:
    with open_log(folder) as log:
        other = record_of(log, BARE, replace(RECIPE, version="2"))
    assert (other.batches, other.last, other.watched) == (1, "", ())
    assert opened(other) == {"own use"}
    assert opened(other, FULL) == set(STEPS)  # who keeps paper has papers


def test_a_log_that_cannot_be_read_is_unknown_and_blocks(tmp_path) -> None:
    (tmp_path / FILE).write_bytes(b"not a log at all" * 40)
    record = kept_record(replace(BARE, folder=tmp_path), RECIPE)
    assert record.unread
    needs = gate(BARE, RECIPE, JUDGED, CARD, record).step("gift").unmet
    assert {n.state for n in needs if n.code in ("gift.deviation", "gift.batch_record")} == {"unknown"}
    assert opened(record) == {"own use"}
    assert kept_record(BARE, RECIPE) is None


@given(st.sets(st.sampled_from(["last", "watched", "fills"]), min_size=1), st.booleans())
@settings(max_examples=10, deadline=None)
def test_a_record_with_anything_taken_away_opens_nothing_more(folder, gone, lacks) -> None:
    with open_log(folder) as log:
        record = record_of(log, BARE, RECIPE)
    empty = {"last": "", "watched": (), "fills": None}
    less = replace(record, **{name: empty[name] for name in gone}, lacks=("no pH",) if lacks else ())
    assert opened(less) < opened(record)


def test_the_page_of_a_decision_names_batch_and_deviation_of_the_log(folder, tmp_path) -> None:
    shutil.copy(folder / FILE, tmp_path / FILE)
    with open_log(tmp_path) as log:
        log.add("deviation", batch=NUMBER, what="step 2 at 61 °C", reason="one thermometer", rescue="warmed again")
    shop = replace(BARE, folder=tmp_path)
    plan, bought, view = asked(shop, WASH, {"upto": 24})
    made = decide(plan, bought, view, moved=Sensitivity(plan.batches, 24, None, None, None, ()))
    assert (made.verdict, made.decided_by.rule.code) == ("change", "deviation")
    page = decision_page(made).html()
    for words in ("step 2 at 61 °C", "warmed again", f"bench log: batch {NUMBER}"):
        assert words in page


def test_a_slider_makes_another_product_of_which_no_record_speaks(folder) -> None:
    with open_log(folder) as log:
        record = record_of(log, BARE, RECIPE)
    moved = make_plan(BARE, WASH, fragrance_load=0.6).recipe
    assert not opened(record, BARE, moved)
    assert gate_of(BARE, moved).step("gift").unmet
