"""Target cards and runs as tables of a workshop: their faults, kept append-only, results taken in."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from workshop_files import only_fault, read_rows, write_rows

from maker_kit.errors import NoticeError, UnknownNameError, WorkshopError
from maker_kit.trial.plan import OURS, TrialPlan
from maker_kit.trial.run import enter, start_run, unseal
from maker_kit.workshop import Workshop, demo_folder, load_workshop, new_workshop
from maker_kit.workshop.judged_targets import card_news, card_of, judged_targets, run_named
from maker_kit.workshop.trials import read_run, result_rows, run_file, save_run, take_in, take_in_typed

DAY = date(2026, 4, 1)
TARGETS = "targets.csv"


@pytest.fixture
def mine(tmp_path: Path) -> Workshop:
    """A workshop of one's own, with a planned run of rub-in seconds."""
    shop = load_workshop(new_workshop(tmp_path / "mine"))
    card = card_of(shop, "r2-gel-cream")
    plan = TrialPlan(
        "again",
        "r2-gel-cream",
        "Shop gel",
        "rub-in time",
        "pairs",
        "panel",
        3,
        3.0,
        "s",
        9,
        DAY,
        protocol="rub-in time",
    )
    save_run(shop.folder, start_run(plan, card))
    return load_workshop(shop.folder)


def test_a_cost_may_be_allowed_to_be_no_dearer_at_all(mine: Workshop) -> None:
    change(mine.folder, {"recipe": "r2-gel-cream", "must-have": "cost"}, "gap", "0")
    assert card_of(load_workshop(mine.folder), "r2-gel-cream").must_have("cost").gap == 0


def change(folder: Path, where: dict[str, str], heading: str, text: str) -> None:
    """Write another text into the rows of targets.csv that hold these cells."""
    heads, *rows = read_rows(folder / TARGETS)
    for row in rows:
        if all(row[heads.index(h)] == cell for h, cell in where.items()):
            row[heads.index(heading)] = text
    write_rows(folder / TARGETS, [heads, *rows])


RUB_IN = {"recipe": "r2-gel-cream", "must-have": "rub-in time"}


@pytest.mark.parametrize(
    ("where", "heading", "text", "words"),
    [
        (RUB_IN, "unit", "", "fill it in"),
        (RUB_IN, "unit", "3", "a unit"),
        (RUB_IN, "gap", "", "how far apart"),
        (RUB_IN, "gap", "0", "above 0"),
        (RUB_IN, "gap", "-3", "negative"),
        (RUB_IN, "weight", "should", "must"),
        (RUB_IN, "measure", "guessed", "measured"),
        (RUB_IN, "better", "warmer", "more"),
        (RUB_IN, "written on", "2.3", "2026-03-31"),
        (RUB_IN, "written on", "2026-03-05", "same as in row"),
        (RUB_IN, "recipe", "r2-gel-crem", "r2-gel-cream"),
        ({"recipe": "r2-gel-cream", "must-have": "kind"}, "unit", "gel", "two words"),
        ({"recipe": "r2-gel-cream", "must-have": "kind"}, "gap", "3", "leave it blank"),
        ({"must-have": "can they tell"}, "unit", "guests", "% of tasters"),
        ({"must-have": "can they tell"}, "gap", "100", "below 100"),
    ],
)
def test_a_cell_of_a_card_that_cannot_be_taken_is_a_fault(
    folder: Path, where: dict[str, str], heading: str, text: str, words: str
) -> None:
    change(folder, where, heading, text)
    fault = only_fault(folder)
    assert (fault.file, fault.column) == (TARGETS, heading)
    assert words in fault.sentence()


@pytest.mark.parametrize(("most", "words"), [(2, "add what else"), (7, "take the others out")])
def test_a_card_has_three_to_six_must_haves(folder: Path, most: int, words: str) -> None:
    heads, *rows = read_rows(folder / TARGETS)
    mine = [r for r in rows if r[0] == "r2-gel-cream"]
    more = [[*mine[1][:4], f"rub-in {k}", *mine[1][5:]] for k in range(4)]
    write_rows(folder / TARGETS, [heads, *[r for r in rows if r not in mine], *[*mine, *more][:most]])
    fault = only_fault(folder)
    assert words in fault.sentence()


def test_the_rest_of_a_workshop_is_read_where_a_card_is_faulty(folder: Path) -> None:
    change(folder, RUB_IN, "unit", "")
    shop = load_workshop(folder, partly=True)
    assert set(shop.target_cards) == {"r1b-hand-wash", "r3v2-cleansing-water", "r3v3-cleansing-water"}
    assert len(shop.recipes) == 8


def test_a_new_version_says_what_it_changed_and_the_old_runs_are_not_its_own(folder: Path) -> None:
    heads, *rows = read_rows(folder / TARGETS)
    new = [[*r[:2], "2", "2026-04-01", *r[4:]] for r in rows if r[0] == "r2-gel-cream"]
    new[1][heads.index("gap")] = "8"
    write_rows(folder / TARGETS, [heads, *rows, *new])
    shop = load_workshop(folder)
    assert card_of(shop, "r2-gel-cream").version == 2
    assert card_news(shop, "r2-gel-cream") == ("rub-in time: gap 8.0 instead of 3.0",)
    assert card_news(shop, "r1b-hand-wash") == ()
    assert {j.why_not for j in judged_targets(shop, "r2-gel-cream")} == {"no run", "costed elsewhere"}


@pytest.mark.parametrize(
    ("version", "day", "words"), [("3", "2026-04-01", "2, after"), ("2", "2026-02-01", "or later")]
)
def test_versions_follow_each_other(folder: Path, version: str, day: str, words: str) -> None:
    heads, *rows = read_rows(folder / TARGETS)
    new = [[*r[:2], version, day, *r[4:]] for r in rows if r[0] == "r2-gel-cream"]
    write_rows(folder / TARGETS, [heads, *rows, *new])
    assert words in only_fault(folder).sentence()
    write_rows(folder / TARGETS, [heads, *[r for r in rows if r[0] != "r2-gel-cream"], *new])
    assert "begins with version 1" in " ".join(f.sentence() for f in _faults(folder))


def _faults(folder: Path) -> tuple:
    with pytest.raises(WorkshopError) as caught:
        load_workshop(folder)
    return caught.value.faults


def test_a_card_changed_after_the_first_result_is_not_judged_and_the_workshop_loads(folder: Path) -> None:
    change(folder, RUB_IN, "gap", "30")
    judged = {j.must_have: j for j in judged_targets(load_workshop(folder), "r2-gel-cream")}
    assert judged["rub-in time"].why_not == "card changed"
    assert judged["rub-in time"].met is None


@pytest.mark.parametrize("column", ["value", "day", "place", "seal", "act", "what", "note", "number"])
def test_a_result_changed_in_its_file_is_found_out(folder: Path, column: str) -> None:
    path = folder / run_file("gel-cream-rub-in")
    heads, *rows = read_rows(path)
    row = next(r for r in rows if r[heads.index("act")] == "result")
    other = {"value": "20", "day": "2026-01-01", "place": "6", "act": "correct", "number": "99"}
    row[heads.index(column)] = other.get(column, "changed")
    write_rows(path, [heads, *rows])
    judged = {j.must_have: j for j in judged_targets(load_workshop(folder), "r2-gel-cream")}
    assert judged["rub-in time"].why_not == "results changed"


def test_a_file_that_is_no_run_is_a_fault(folder: Path) -> None:
    path = folder / run_file("gel-cream-rub-in")
    heads, *rows = read_rows(path)
    write_rows(path, [heads, *[r for r in rows if r[heads.index("what")] != "seed"]])
    assert "'seed'" in only_fault(folder).sentence()
    write_rows(path, [heads, *rows])
    path.rename(path.with_name("other.csv"))
    assert "the file's own name" in only_fault(folder).sentence()


def test_a_run_is_kept_and_read_again_and_only_added_to(mine: Workshop) -> None:
    run, card = run_named(mine, "again"), card_of(mine, "r2-gel-cream")
    more = enter(run, card, DAY, 1, "41.5", run.key[0].codes[0])
    save_run(mine.folder, more)
    assert read_run(mine.folder, "again") == more
    with pytest.raises(NoticeError, match="nothing is overwritten"):
        save_run(mine.folder, run)
    bent = replace(more, entries=(*more.entries[:-1], replace(more.entries[-1], value="20")))
    with pytest.raises(NoticeError, match="was changed"):
        save_run(mine.folder, bent)
    with pytest.raises(NoticeError, match="demo"):
        save_run(demo_folder(), more)
    with pytest.raises(NoticeError, match="cannot be called"):
        save_run(mine.folder, replace(more, plan=replace(more.plan, name="../x")))


def test_results_of_a_file_are_taken_in_all_or_none(mine: Workshop, tmp_path: Path) -> None:
    run, card = run_named(mine, "again"), card_of(mine, "r2-gel-cream")
    rows = [
        [str(p.number), c, "33,5" if b == OURS else "30"]
        for p in run.key
        for c, b in zip(p.codes, p.behind, strict=True)
    ]
    write_rows(tmp_path / "r.csv", [["place", "code", "value"], *rows], delimiter=";")
    full = take_in(run, card, DAY, result_rows(tmp_path / "r.csv"))
    assert full.missing() == ()
    rows[-1][1] = "000"
    write_rows(tmp_path / "r.csv", [["place", "code", "value"], *rows], delimiter=";")
    with pytest.raises(UnknownNameError):
        take_in(run, card, DAY, result_rows(tmp_path / "r.csv"))
    write_rows(tmp_path / "r.csv", [["place", "code", "value"], ["x", "1", "2"], ["1", "", ""]])
    with pytest.raises(WorkshopError) as caught:
        result_rows(tmp_path / "r.csv")
    assert len(caught.value.faults) == 2


def test_rows_typed_into_a_runs_own_file_are_taken_in_and_sealed(mine: Workshop) -> None:
    run, card = run_named(mine, "again"), card_of(mine, "r2-gel-cream")
    path = mine.folder / run_file("again")
    heads, *rows = read_rows(path)
    typed = dict.fromkeys(heads, "") | {"day": "2026-04-02", "place": "1", "what": run.key[0].codes[0], "value": "41"}
    write_rows(path, [heads, *rows, [typed[h] for h in heads]])
    after = read_run(mine.folder, "again")
    assert (after.typed_by_hand, after.broken_at, after.values()) == (1, None, {})
    taken = take_in_typed(after, card)
    assert (taken.typed_by_hand, len(taken.values())) == (0, 1)
    save_run(mine.folder, taken)
    assert read_run(mine.folder, "again") == taken


def test_a_result_after_the_key_is_open_is_not_taken_in_from_its_file_either(mine: Workshop) -> None:
    run, card = run_named(mine, "again"), card_of(mine, "r2-gel-cream")
    first, second = run.key[0].codes
    done = unseal(enter(run, card, DAY, 1, 41, first), DAY)
    save_run(mine.folder, done)
    path = mine.folder / run_file("again")
    heads, *rows = read_rows(path)
    typed = dict.fromkeys(heads, "") | {"day": "2026-04-02", "place": "1", "what": second, "value": "30"}
    write_rows(path, [heads, *rows, [typed[h] for h in heads]])
    with pytest.raises(NoticeError, match="open"):
        take_in_typed(read_run(mine.folder, "again"), card)


def test_a_workshops_name_for_a_run_is_found_whatever_its_capitals(mine: Workshop) -> None:
    assert run_named(mine, "AGAIN").name == "again"
    with pytest.raises(UnknownNameError, match="wash-foam"):
        run_named(mine, "wash-foma")


def test_a_new_workshop_has_the_demos_runs_and_its_summary_counts_them(mine: Workshop) -> None:
    assert "4 target cards, 9 runs of trials" in mine.summary().sentence()


def test_an_empty_workshop_has_no_cards_and_no_runs(tmp_path: Path) -> None:
    shop = load_workshop(new_workshop(tmp_path / "empty", empty=True))
    assert (dict(shop.target_cards), shop.trials) == ({}, ())
