"""The last pH of the bench log: which batch vouches for which recipe. Expected values are the readings themselves."""

from __future__ import annotations

import csv
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from maker_kit.bench.batches import begin_batch
from maker_kit.bench.log import open_log
from maker_kit.bench.observed import read
from maker_kit.bench.version import recipe_version
from maker_kit.decision.gate import gate
from maker_kit.formula.preservation.ph_reading import named_tool
from maker_kit.plan.judged import judge_folder, judge_recipes
from maker_kit.plan.log.logged_ph import with_logged_ph
from maker_kit.plan.plan import make_plan, set_recipe
from maker_kit.workbook.panels.preservation import preservation_panel
from maker_kit.workshop import load_workshop, new_workshop

GEL = "r2-gel-cream"
ON = "2026-10-12 10:00"
EIGHT, LATER = "9af925f2", ("fine until", "rescue")


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    """A workshop whose log holds a pH of this version, read with a strip, and an older one."""
    made = new_workshop(tmp_path_factory.mktemp("logged") / "mine")
    recipe = load_workshop(made).recipe(GEL)
    with open_log(made, make=True) as log:
        before = replace(recipe, version="0")
        log.add("batch", number="R2-00", recipe=GEL, version=recipe_version(before), made_on="2026-11-01", containers=4)
        read(log, "R2-00", "pH", 5.9, "2026-11-01 10:00", "pH meter", 20)
        begin_batch(log, recipe, 4, date(2026, 10, 12), "R2-08")
        read(log, "R2-08", "pH", 5.5, ON, "indicator paper", 21.0)
    return made


@pytest.fixture(scope="module")
def shop(folder):
    with open_log(folder) as log:
        return with_logged_ph(load_workshop(folder), log)[0]


def codes(findings) -> set[str]:
    return {f.code for f in findings}


def test_a_batch_of_this_version_vouches_with_tool_temperature_day_and_number(shop) -> None:
    """The newer batch was of another version; a strip is good to half a unit (common practice, no source)."""
    recipe = shop.recipe(GEL)
    assert (recipe.ph_read, recipe.ph_tool, recipe.ph_error, recipe.ph_at_c) == (5.5, "strip", 0.5, 21.0)
    (told,) = (f for f in make_plan(shop, GEL).findings if f.code == "day.ph")
    for word in ("5.5", "indicator paper", "21 °C", ON, "R2-08", recipe_version(recipe)):
        assert word in told.text
    judged = judge_recipes(shop, [GEL])[0]
    need = next(n for n in gate(shop, recipe, judged).step("own use").needs if n.code == "own.ph")
    assert need.rests_on == (f"bench log: batch R2-08, {ON}",)


def test_lines_that_were_changed_have_no_reading_until_one_is_given(shop) -> None:
    moved = make_plan(shop, GEL, fragrance_load=0.5)
    assert moved.recipe.ph_read is None
    assert {"day.ph", "preservation.reading_is_old"} <= codes(moved.findings)
    (old,) = (f for f in moved.findings if f.code == "preservation.reading_is_old")
    assert old.level == "unknown"  # which opens no step of the gate
    given = make_plan(shop, GEL, fragrance_load=0.5, ph_read=5.6)
    assert (given.recipe.ph_read, given.recipe.ph_noted) == (5.6, "")
    assert not codes(given.findings) & {"day.ph", "preservation.reading_is_old"}
    own = shop.recipe(GEL)
    kept = set_recipe(
        shop, GEL, fragrance_load=own.percent_of(own.scent), thickener_level=own.percent_of(own.thickener)
    )
    assert kept.ph_read == 5.5


def test_a_reading_of_another_version_is_told_and_vouches_for_nothing(folder, shop) -> None:
    plain = load_workshop(folder)
    changed = replace(plain.recipe(GEL), version="2", ph_read=None)
    with open_log(folder) as log:
        after = with_logged_ph(replace(plain, recipes={GEL: changed}), log)[0]
        on_file = with_logged_ph(replace(plain, recipes={GEL: replace(changed, ph_read=5.6)}), log)[0]
    assert after.recipe(GEL).ph_read is None
    (told,) = (f for f in make_plan(after, GEL).findings if f.code == "day.ph_other_version")
    assert (told.kind, told.level) == ("look", "unknown")
    assert "R2-00" in told.text
    judged = judge_recipes(after, [GEL])[0]
    assert not gate(after, after.recipe(GEL), judged).step("own use").is_open
    assert on_file.recipe(GEL).ph_read == 5.6  # what the tables say stays the maker's own word


def test_other_words_for_a_step_leave_the_reading_and_another_way_of_making_does_not(folder) -> None:
    plain = load_workshop(folder)
    recipe = replace(plain.recipe(GEL), ph_read=None)

    def read_with(**other) -> float | None:
        with open_log(folder) as log:
            made = replace(recipe, **other)
            return with_logged_ph(replace(plain, recipes={GEL: made}), log)[0].recipe(GEL).ph_read

    step, *rest = recipe.steps
    words = replace(step, text="Gel former onto the oils; no lumps.", tool="whisk", rescue="sieve it")
    assert read_with(steps=(words, *rest)) == 5.5
    assert read_with(fill_ml=150.0, loss_percent=9.0) == 5.5  # how much of it there is changes no pH
    line, *lines = recipe.lines
    way = {
        "warmer": (replace(step, to_c=70.0), *rest),
        "longer": (replace(step, minutes=90.0), *rest),
        "another phase": (replace(step, phase="C"), *rest),
        "left out": tuple(rest),
        "to another pH, in words": (replace(step, text="Citric acid by tenths to 4.2."), *rest),
    }
    assert {told: read_with(steps=steps) for told, steps in way.items()} == dict.fromkeys(way)
    amounts = (replace(line, percent=line.percent - 0.5), replace(lines[0], percent=lines[0].percent + 0.5), *lines[1:])
    assert read_with(lines=amounts) is None
    assert read_with(ph_high=6.4) is None  # what is aimed at


def test_a_batch_begun_before_versions_told_wording_apart_still_vouches(tmp_path: Path) -> None:
    """Eight letters stood in the logs then: of the demo's gel cream, as a workshop of that time wrote them, when its
    steps told of no rescue.
    """
    made = new_workshop(tmp_path / "older")
    steps = made / "recipes" / f"{GEL}.steps.csv"
    heads, *rows = csv.reader(steps.read_text(encoding="utf-8-sig").splitlines())
    short = [[cell for head, cell in zip(heads, row, strict=True) if head not in LATER] for row in (heads, *rows)]
    with steps.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(short)
    recipe = load_workshop(made).recipe(GEL)
    with open_log(made, make=True) as log:
        batch = {"number": "R2-01", "recipe": GEL, "version": EIGHT, "made_on": "2026-11-01", "containers": 4}
        log.add("batch", **batch)
        read(log, "R2-01", "pH", 5.7, ON, "pH meter", 20)
        assert begin_batch(log, recipe, 4, date(2026, 11, 2), sheet_version=EIGHT) == "R2-02"
        assert with_logged_ph(load_workshop(made), log)[0].recipe(GEL).ph_read == 5.7


def test_every_door_judges_at_the_reading_of_the_log(folder) -> None:
    judged = judge_folder(folder, [GEL])[0]
    assert "day.ph" in codes(judged.findings)
    panel = preservation_panel(load_workshop(folder), GEL)
    tick, reading, tool, warm = panel.controls[:4]
    assert (tick.value, reading.value, tool.value, warm.value) == (True, 5.5, "strip", "21")
    assert "R2-08" in panel.words.value
    reading.slider.value = 5.7
    assert "R2-08" not in panel.words.value


@pytest.mark.parametrize(
    ("words", "tool"),
    [
        ("pH meter", "meter"),
        ("Strip", "strip"),
        ("litmus paper", "strip"),
        ("", ""),
        ("by eye", ""),
        ("strip or meter", ""),
    ],
)
def test_a_tool_in_the_makers_own_words_is_known_or_counts_as_the_coarsest(words, tool) -> None:
    assert named_tool(words) == tool
