"""A recipe is saved with its source and date, loads again as it was saved, and changes nothing else in the folder."""

from __future__ import annotations

import csv
import shutil
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd
import pytest
from demo_workshop import demo
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from workshop_files import DATA, read_rows, row_of

from maker_kit import together
from maker_kit.errors import MakerKitError, NoticeError, RecipeError, UnknownNameError, WorkshopError
from maker_kit.formula.density import density_of
from maker_kit.formula.pasted.percents import to_percent
from maker_kit.formula.pasted.recipe_text import read_recipe_text
from maker_kit.formula.recipe import Line
from maker_kit.plan import make_plan
from maker_kit.workshop import load_workshop
from maker_kit.workshop.csv.reading import read_table
from maker_kit.workshop.exporting import export_table
from maker_kit.workshop.saving import save_recipe

LINES = (Line("A", "Water", 95.0, balance=True), Line("A", "Glycerin", 4.0), Line("B", "Preservative P", 1.0))
ABOUT = {
    "where it goes": "hands",
    "rinse-off or leave-on": "leave-on",
    "container": "200 mL jar",
    "fill": "200 mL",
    "density [g/mL]": 1.0,
}
SAVED = {
    "name": "r9-new",
    "title": "A new one",
    "lines": LINES,
    "source": "own trials",
    "written_on": date(2026, 3, 2),
    "about": ABOUT,
}


def everything(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def test_a_saved_recipe_loads_as_it_was_saved_with_source_and_date(folder: Path) -> None:
    saved = save_recipe(folder, **SAVED)
    loaded = load_workshop(folder).recipes["r9-new"]
    assert loaded == saved
    assert loaded.lines == LINES
    assert (loaded.title, loaded.source, loaded.written_on) == ("A new one", "own trials", date(2026, 3, 2))
    assert (loaded.product_type.places, loaded.fill_ml, loaded.density_g_per_ml, loaded.ph_read) == (
        ("hands",),
        200.0,
        1.0,
        None,
    )


def test_everything_else_stays_to_the_letter(folder: Path) -> None:
    before = everything(folder)
    save_recipe(folder, **SAVED)
    after = everything(folder)
    assert set(after) - set(before) == {"recipes/r9-new.csv"}
    assert {f for f in before if before[f] != after[f]} == {"recipes.csv"}
    for old, new in zip(
        before["recipes.csv"].splitlines(),
        after["recipes.csv"].removeprefix(b"\xef\xbb\xbf").splitlines(),
        strict=False,
    ):
        assert new.startswith(old.removeprefix(b"\xef\xbb\xbf"))
    grown = after["recipes.csv"]
    save_recipe(folder, **SAVED | {"name": "r10", "title": "Another"})
    assert (
        (folder / "recipes.csv").read_bytes().startswith(grown)
    )  # the headings are there now, so the rest is the same to the byte


@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_any_recipe_that_adds_up_is_read_again_as_it_was_saved(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    folder = Path(shutil.copytree(DATA, tmp_path_factory.mktemp("w") / "w"))
    names = data.draw(
        st.lists(
            st.sampled_from(
                ["Glycerin", "Propanediol", "Shea butter", "Scent 1", "Panthenol 75 %", "Citric acid 50 % solution"]
            ),
            min_size=1,
            max_size=5,
            unique=True,
        )
    )
    levels = data.draw(st.lists(st.integers(100, 190_000), min_size=len(names), max_size=len(names)))
    phases = data.draw(st.lists(st.sampled_from(["A", "B", "Oil"]), min_size=len(names), max_size=len(names)))
    lines = (
        *(Line(p, n, k / 10_000) for p, n, k in zip(phases, names, levels, strict=True)),
        Line("A", "Water", (1_000_000 - sum(levels)) / 10_000, balance=True),
    )
    printable = st.text(alphabet=st.characters(exclude_categories=["C", "Z"]), min_size=1, max_size=30)
    title, source = data.draw(printable), data.draw(printable)
    day = data.draw(st.dates(date(2000, 1, 1), date(2099, 12, 31)))
    save_recipe(folder, "any", title, lines, source, day, about=ABOUT)
    loaded = load_workshop(folder).recipes["any"]
    assert (loaded.lines, loaded.title, loaded.source, loaded.written_on) == (lines, title, source, day)


def test_pasted_then_saved(folder: Path) -> None:
    known = load_workshop(folder).ingredients
    percent = to_percent(read_recipe_text("40 g shea butter, 10 g beeswax, 150 g sunflower oil", known))
    saved = save_recipe(folder, "pasted", "Pasted balm", percent, "a leaflet", "2.3.2026", about=ABOUT)
    assert {n.ingredient: n.percent for n in saved.lines} == {
        "Shea butter": 20.0,
        "Beeswax": 5.0,
        "Sunflower oil": 75.0,
    }
    assert saved.written_on == date(2026, 3, 2)


@pytest.mark.parametrize(
    "name",
    [
        "../evil",
        "a/b",
        "a\\b",
        "..",
        ".",
        "",
        " x",
        "x.csv",
        "r9.steps",
        "/etc/x",
        "C:x",
        "con",
        "LPT1",
        "a" * 61,
        "ü",
        "-x",
        "a\0b",
        "a\nb",
        None,
        5,
    ],
)
def test_a_name_that_is_a_path_or_no_name_is_refused(folder: Path, name: object) -> None:
    before = everything(folder.parent)
    with pytest.raises(NoticeError, match="a recipe cannot be called"):
        save_recipe(folder, **SAVED | {"name": name})
    assert everything(folder.parent) == before


@pytest.mark.parametrize("name", ["r4-balm", "R4-Balm"])
def test_a_recipe_that_is_there_is_not_overwritten(folder: Path, name: str) -> None:
    before = everything(folder)
    with pytest.raises(NoticeError, match='there is a recipe "r4-balm" already, and nothing is overwritten'):
        save_recipe(folder, **SAVED | {"name": name})
    assert everything(folder) == before


def test_a_recipe_is_replaced_where_that_is_said_and_keeps_its_steps_but_not_its_old_ph(folder: Path) -> None:
    old = load_workshop(folder).recipes["r2-gel-cream"]
    assert old.ph_read is not None
    lines = tuple(replace(n, percent=n.percent + d) for n, d in zip(old.lines, (-1.0, 1.0, *[0.0] * 9), strict=True))
    saved = save_recipe(folder, "r2-gel-cream", old.title, lines, "own trials", "2026-03-02", replace=True)
    assert [n.percent for n in saved.lines[:2]] == [77.7, 6.0]
    assert saved.ph_read is None
    assert not saved.density_weighed  # the old density was weighed of the old lines
    assert (
        replace(
            saved,
            lines=old.lines,
            ph_read=old.ph_read,
            ph_tool=old.ph_tool,
            ph_error=old.ph_error,
            source="",
            written_on=None,
            fill_ml=old.fill_ml,
            density_g_per_ml=old.density_g_per_ml,
            density_source="",
            density_weighed=True,
        )
        == old
    )
    assert (saved.steps, [r[0] for r in read_rows(folder / "recipes.csv")]) == (
        old.steps,
        [r[0] for r in read_rows(DATA / "recipes.csv")],
    )


def test_like_another_recipe(folder: Path) -> None:
    saved = save_recipe(folder, **SAVED | {"about": {"fill": "100 mL"}, "like": "r2-gel-cream"})
    assert (
        saved.container,
        saved.fill_ml,
        saved.density_g_per_ml,
        saved.ph_low,
        saved.ph_read,
        saved.scent,
        saved.thickener,
    ) == ("200 mL jar", 100.0, 1.007, 5.3, None, "", "")  # by hand: 100 / (95 / 0.998 + 4 / 1.261 + 1 / 1.09) = 1.007
    with pytest.raises(UnknownNameError, match="did you mean"):
        save_recipe(folder, **SAVED | {"name": "x", "title": "x", "like": "r2-gel-crem"})


@pytest.mark.parametrize(
    ("changed", "error", "words"),
    [
        ({"lines": (Line("A", "Water", 99.0),)}, WorkshopError, "add up to 99 %"),
        ({"lines": (Line("A", "Water", 101.0),)}, RecipeError, "0 to 100 %"),
        ({"lines": (Line("A", "Water", float("nan")),)}, RecipeError, "0 to 100 %"),
        ({"lines": ()}, RecipeError, "without lines"),
        ({"lines": "5 g water"}, RecipeError, "is none"),
        ({"lines": 7}, RecipeError, "is none"),
        ({"lines": (Line("A", "Watr", 100.0),)}, WorkshopError, 'did you mean "Water"'),
        ({"lines": (Line("A", "Water", 99.995), Line("A", "Glycerin", 0.005))}, WorkshopError, "is very little"),
        ({"lines": (Line("A", "Water", 50.0), Line("A", "Water", 50.0))}, WorkshopError, "one row for each"),
        ({"title": "Gel cream"}, WorkshopError, "a title of its own"),
        ({"title": " "}, NoticeError, "the title"),
        ({"source": ""}, NoticeError, "the source"),
        ({"source": "a\0b"}, NoticeError, "NUL"),
        ({"source": "\ud800"}, NoticeError, "half of a letter"),
        ({"written_on": ""}, NoticeError, "the day"),
        ({"written_on": "3/2/2026"}, WorkshopError, "can be read in one way"),
        ({"about": ABOUT | {"colour of the lid": "red"}}, NoticeError, "is no column"),
        ({"about": ABOUT | {"source": "x"}}, NoticeError, "given on its own"),
        ({"about": ABOUT | {"density [g/mL]": float("inf")}}, NoticeError, "no number"),
        ({"about": ABOUT | {"density [g/mL]": 998}}, WorkshopError, "density"),
        ({"about": {}}, WorkshopError, "where it goes"),
    ],
)
def test_what_cannot_be_saved_is_a_sentence_and_nothing_has_changed(
    folder: Path, changed: dict, error: type[MakerKitError], words: str
) -> None:
    before = everything(folder)
    with pytest.raises(error, match=words):
        save_recipe(folder, **SAVED | changed)
    assert everything(folder) == before


def test_a_tiny_level_is_saved_where_it_is_meant(folder: Path) -> None:
    lines = (Line("A", "Water", 99.995), Line("A", "Glycerin", 0.005))
    assert save_recipe(folder, **SAVED | {"lines": lines, "sure": True}).lines == lines


def test_a_title_or_source_that_looks_like_a_formula_is_text(folder: Path) -> None:
    saved = save_recipe(folder, **SAVED | {"title": "=1+1", "source": '@x, "quoted"; <b>'})
    assert (saved.title, saved.source) == ("=1+1", '@x, "quoted"; <b>')
    cells = read_rows(folder / "recipes.csv")[-1]
    assert "'=1+1" in cells
    assert not any(c.startswith(("=", "@", "+")) for c in cells)


def test_a_table_with_semicolons_and_decimal_commas_keeps_its_dress(folder: Path) -> None:
    rows = read_rows(folder / "recipes.csv")
    comma = [[c.replace(".", ",") if c.replace(".", "", 1).isdigit() else c for c in row] for row in rows]
    with (folder / "recipes.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file, delimiter=";", lineterminator="\n", quoting=csv.QUOTE_ALL).writerows(comma)
    before = (folder / "recipes.csv").read_text(encoding="utf-8").splitlines()
    saved = save_recipe(folder, **SAVED | {"about": ABOUT | {"density [g/mL]": 1.022, "fill": "99.5 mL"}})
    after = (folder / "recipes.csv").read_text(encoding="utf-8").splitlines()
    assert [new.startswith(old) for old, new in zip(before, after, strict=False)] == [True] * len(before)
    assert "1,022" in after[-1]
    assert (saved.density_g_per_ml, saved.fill_ml) == (1.022, 99.5)
    assert load_workshop(folder).recipes["r4-balm"] == demo().recipes["r4-balm"]


def test_a_workshop_with_a_fault_is_not_written_to(folder: Path) -> None:
    (folder / "swaps.csv").unlink()
    before = everything(folder)
    with pytest.raises(WorkshopError, match=r"swaps\.csv: found no such file"):
        save_recipe(folder, **SAVED)
    assert everything(folder) == before


def test_where_the_list_cannot_be_written_the_lines_are_taken_back(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = everything(folder)
    place = together._into_place

    def full(new: Path, target: Path) -> None:
        if target == folder / "recipes.csv":
            raise OSError(28, "No space left on device")
        place(new, target)

    monkeypatch.setattr(together, "_into_place", full)
    with pytest.raises(NoticeError, match="No space left"):
        save_recipe(folder, **SAVED)
    with pytest.raises(NoticeError, match="No space left"):
        save_recipe(
            folder,
            **SAVED | {"name": "r4-balm", "title": "Hand and heel balm", "replace": True, "about": {"scent": ""}},
        )
    assert everything(folder) == before


def test_no_folder(tmp_path: Path) -> None:
    with pytest.raises(WorkshopError, match="no such folder"):
        save_recipe(tmp_path / "none", **SAVED)


def test_any_result_is_exported_with_its_cells_guarded(tmp_path: Path) -> None:
    frame = pd.DataFrame(
        {
            "what": ["=1+1", None, "a;b"],
            "g": [np.float64(1.5), float("nan"), np.int64(3)],
            "fine": [np.True_, False, True],
            "of": [("a", "b"), (), ["x"]],
        }
    )
    path = export_table(frame, tmp_path / "t.csv")
    assert read_rows(path) == [
        ["what", "g", "fine", "of"],
        ["'=1+1", "1.5", "yes", "a; b"],
        ["", "", "no", ""],
        ["a;b", "3.0", "yes", "x"],
    ]
    assert read_table(path).rows[0][1][0] == "=1+1"
    recipe = demo().recipes["r4-balm"]
    assert [r[1] for r in read_rows(export_table(recipe, tmp_path / "r.csv"))[1:]] == [
        n.ingredient for n in recipe.lines
    ]


def test_an_export_never_overwrites_without_being_told(tmp_path: Path) -> None:
    frame = pd.DataFrame({"a": [1]})
    path = export_table(frame, tmp_path / "t.csv")
    with pytest.raises(NoticeError, match="nothing is overwritten"):
        export_table(pd.DataFrame({"a": [2]}), path)
    assert read_rows(path) == [["a"], ["1"]]
    export_table(pd.DataFrame({"a": [2]}), path, replace=True)
    assert read_rows(path) == [["a"], ["2"]]


@pytest.mark.parametrize(
    ("result", "file", "words"),
    [
        (7, "t.csv", "no table in a int"),
        (pd.DataFrame, "t.csv", "no table"),
        (pd.DataFrame({"a": [1]}), "t.xlsx", "end it in .csv"),
        (pd.DataFrame({"a": [1]}), "t", "end it in .csv"),
        (pd.DataFrame({"a": [1]}), "none/t.csv", "cannot be written"),
        (pd.DataFrame({"a": [1]}), "a\0.csv", "cannot be written"),
        (pd.DataFrame({"a": [float("inf")]}), "t.csv", "no number"),
    ],
)
def test_an_export_that_cannot_be_is_a_sentence(tmp_path: Path, result: object, file: str, words: str) -> None:
    with pytest.raises(NoticeError, match=words):
        export_table(result, f"{tmp_path}/{file}")
    assert list(tmp_path.iterdir()) == []


def test_the_demo_has_a_row_for_the_recipe_that_is_replaced_above() -> None:
    assert row_of(DATA, "recipes.csv", name="r2-gel-cream") > 1


def test_a_density_that_nobody_weighed_is_not_taken_over_as_if_weighed(folder: Path) -> None:
    lines = (Line("A", "Water", 60.0, balance=True), Line("A", "Glycerin", 40.0))
    saved = save_recipe(folder, "r9", "New", lines, "own", "2026-03-02", like="r1-hand-wash")
    # by hand: 100 / (60 / 0.998 + 40 / 1.261) = 100 / (60.1202 + 31.7209) = 1.0888
    assert saved.density_g_per_ml == pytest.approx(1.089)
    assert not saved.density_weighed
    assert saved.density_source.startswith("not weighed: by its parts")
    assert load_workshop(folder).recipe("r1-hand-wash").density_weighed
    assert density_of(saved).kind == "additive"
    (note,) = [f for f in make_plan(load_workshop(folder), "r9").findings if f.topic == "density"]
    assert (note.kind, note.level) == ("look", "unknown")
    assert "not weighed" in note.text


def test_the_same_lines_keep_the_density_and_one_that_is_said_counts_as_weighed(folder: Path) -> None:
    wash = load_workshop(folder).recipe("r1-hand-wash")
    assert save_recipe(folder, "r8", "Same", wash.lines, "own", "2026-03-02", like="r1-hand-wash").density_weighed
    saved = save_recipe(
        folder, "r9", "New", LINES, "own", "2026-03-02", like="r1-hand-wash", about={"density [g/mL]": 1.01}
    )
    assert (saved.density_g_per_ml, saved.density_weighed) == (1.01, True)
    again = save_recipe(
        folder, "r9", "New", (Line("A", "Water", 90.0), Line("A", "Glycerin", 10.0)), "own", "2026-03-03", replace=True
    )
    assert not again.density_weighed
    assert save_recipe(
        folder, "r9", "New", again.lines, "own", "2026-03-03", about={"density [g/mL]": 1.02}, replace=True
    ).density_weighed


def test_where_a_part_has_no_density_the_other_recipes_is_marked(folder: Path) -> None:
    text = (folder / "ingredients.csv").read_text(encoding="utf-8-sig")
    (folder / "ingredients.csv").write_text(
        text.replace('Glycerin,Glycerin,humectant,1.261,"VDI', 'Glycerin,Glycerin,humectant,,"VDI'), encoding="utf-8"
    )
    saved = save_recipe(folder, "r9", "New", LINES, "own", "2026-03-02", like="r1-hand-wash")
    assert saved.density_g_per_ml == 1.022
    assert "that of Foaming hand wash" in saved.density_source
    assert density_of(saved).kind == "unknown"
