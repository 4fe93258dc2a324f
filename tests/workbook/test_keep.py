"""Keeping a changed recipe and a table: where they go, and what is refused."""

from __future__ import annotations

from pathlib import Path

import pandas as pd
import pytest

from maker_kit.errors import MakerKitError, NoticeError
from maker_kit.plan.stock import short_bottle
from maker_kit.plan.swap import plan_swap
from maker_kit.workbook.keep import keep_recipe, keep_table, own_folder, way_recipe
from maker_kit.workshop import find_workshop, load_workshop, new_workshop

GEL = "r2-gel-cream"
TABLE = pd.DataFrame({"what": ["=1+1"], "g": [1.5]})


@pytest.fixture
def mine(tmp_path: Path):
    return load_workshop(new_workshop(tmp_path / "mine"))


def test_a_table_goes_into_the_folder_of_tables_or_where_a_whole_path_says(mine, tmp_path: Path) -> None:
    assert str(mine.folder / "tables" / "a.csv") in keep_table(mine, TABLE, "a")
    assert (mine.folder / "tables" / "a.csv").is_file()
    assert str(tmp_path / "b.csv") in keep_table(mine, TABLE, str(tmp_path / "b.csv"))
    with pytest.raises(NoticeError, match=r"nothing is overwritten; choose another name$"):
        keep_table(mine, TABLE, "a.csv")


def test_the_demo_takes_a_table_only_elsewhere(tmp_path: Path) -> None:
    demo = find_workshop("")
    with pytest.raises(NoticeError, match="stays as it is"):
        own_folder(demo)
    for name in ("a.csv", str(demo.folder / "a.csv")):
        with pytest.raises(NoticeError, match="stays as it is"):
            keep_table(demo, TABLE, name)
    assert "c.csv" in keep_table(demo, TABLE, str(tmp_path / "c.csv"))


@pytest.mark.parametrize(
    ("name", "says"),
    [
        ("", "no name"),
        ("../a.csv", "neither a plain name"),
        ("x/a.csv", "neither a plain name"),
        ("a\0.csv", "cannot be written"),
    ],
)
def test_a_name_that_is_none_is_a_sentence(mine, name: str, says: str) -> None:
    with pytest.raises(NoticeError, match=says):
        keep_table(mine, TABLE, name)


def test_a_changed_recipe_is_kept_beside_the_one_it_came_from(mine) -> None:
    after = plan_swap(mine, "r4-balm", "Sweet almond oil", "Sunflower oil").result.after
    assert "look through its row" in keep_recipe(mine, after, "balm-no-nut", "Balm without nut", "a swap")
    loaded = load_workshop(mine.folder)
    assert loaded.recipe("balm-no-nut").percent_of("Sunflower oil") == pytest.approx(41.7)
    assert loaded.recipe("balm-no-nut").container == loaded.recipe("r4-balm").container
    assert loaded.recipe("r4-balm").lines == mine.recipe("r4-balm").lines


def test_a_scent_that_gave_way_to_something_else_is_no_scent_line_any_more(mine) -> None:
    after = plan_swap(mine, GEL, "Scent 1", "Glycerin").result.after
    keep_recipe(mine, after, "bare", "Gel cream without scent", "a swap")
    assert load_workshop(mine.folder).recipe("bare").scent == ""


def test_what_is_the_same_recipe_or_no_way_is_refused(mine) -> None:
    ways = short_bottle(mine, GEL, {"Propanediol": 32}, 4)
    with pytest.raises(NoticeError, match="no other recipe to keep"):
        keep_recipe(mine, way_recipe(ways, "smaller batch"), "x", "", "a way on")
    jars = short_bottle(mine, GEL, {"200 mL jar": 3, "Propanediol": 500}, 4)
    with pytest.raises(NoticeError, match="containers that are short"):
        way_recipe(jars, "part swap")
    enough = short_bottle(mine, GEL, {"Propanediol": 500}, 4)
    with pytest.raises(MakerKitError, match="nothing is short"):
        way_recipe(enough, "part swap")


@pytest.mark.parametrize(
    ("name", "source", "says"),
    [
        ("", "x", "cannot be called"),
        ("a b", "x", "cannot be called"),
        (GEL, "x", "already"),
        ("fine", " ", "where it is from"),
    ],
)
def test_a_name_or_a_source_that_is_missing_is_a_sentence(mine, name: str, source: str, says: str) -> None:
    after = plan_swap(mine, GEL, "Scent 1", "Scent 2").result.after
    with pytest.raises(NoticeError, match=says) as caught:
        keep_recipe(mine, after, name, "", source)
    assert "replace=" not in str(caught.value)
