"""`check --fix`: what near misses mean is shown, asked about, written, and a copy kept; of files and of a workbook."""

from __future__ import annotations

import errno
import shutil
import subprocess
import sys
from pathlib import Path

import openpyxl
import pytest
from demo_workshop import demo
from workshop_files import DATA, change, read_rows, row_of

from maker_kit import together
from maker_kit.cli import main
from maker_kit.errors import NoticeError
from maker_kit.workbook.run.fixing import fix_tables
from maker_kit.workshop import load_workshop, making, new_workshop
from maker_kit.workshop.mending.fixing import propose, write_fixes


def spoil(folder: Path) -> dict[str, bytes]:
    """Five near misses, and the files as they were before."""
    before = {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*.csv")}
    row = row_of(folder, "packs.csv", supplier="N raws", item="Glycerin", size="250 g")
    change(folder, "packs.csv", row, "supplier", "N rwas")
    change(folder, "packs.csv", row, "item", "Glycerine")
    change(folder, "packs.csv", 1, "from count", "from cuont")
    change(folder, "recipes.csv", 2, "rinse-off or leave-on", "rinse-of")
    change(folder, "recipes/r5-hand-lotion.csv", 3, "ingredient", "Glicerin")
    return before


def test_near_misses_are_shown_asked_about_and_written_with_a_copy_kept(folder: Path) -> None:
    before = spoil(folder)
    spoilt = {name: (folder / name).read_bytes() for name in before}
    told: list[str] = []
    questions: list[str] = []

    def no(question: str) -> bool:
        questions.append(question)
        return False

    assert fix_tables(folder, ask=no, say=told.append) == 0
    assert {name: (folder / name).read_bytes() for name in before} == spoilt
    assert questions == ["write these 5 changes?"]
    row = row_of(folder, "packs.csv", supplier="N rwas")
    assert f'packs.csv, row {row}, column \'supplier\': "N rwas" -> "N raws"\n' in told
    assert fix_tables(folder, yes=True, say=told.append) == 5
    shop = load_workshop(folder)
    assert shop.market.packs == demo().market.packs
    assert shop.recipes == demo().recipes
    for name in before:
        assert [r for r in read_rows(folder / name) if r] == read_rows(DATA / name)
    (kept,) = (folder / "backups").iterdir()
    copies = {p.relative_to(kept).as_posix(): p.read_bytes() for p in kept.rglob("*.csv")}
    assert copies == {name: raw for name, raw in spoilt.items() if raw != (folder / name).read_bytes()}


@pytest.mark.parametrize(
    ("column", "text"),
    [("item", "Scent 9"), ("item", "Zzz"), ("supplier", "Q raws sure")],
    ids=["other digits", "nothing near", "not much like it"],
)
def test_what_may_be_several_things_is_not_proposed(folder: Path, column: str, text: str) -> None:
    change(folder, "packs.csv", 2, column, text)
    proposal = propose(folder)
    assert proposal.faults
    assert not proposal.fixes


def test_two_names_as_near_as_each_other_are_not_chosen_between(folder: Path) -> None:
    with (folder / "ingredients.csv").open("a", encoding="utf-8") as file:
        file.write("Clay red,Kaolin,active,,,,,,\nClay rod,Kaolin,active,,,,,,\n")
    change(folder, "packs.csv", 2, "item", "Clay rxd")
    assert not propose(folder).fixes


def test_the_shell_writes_nothing_where_nobody_answers(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    spoil(folder)
    raw = (folder / "packs.csv").read_bytes()
    assert main(["check", str(folder), "--fix"]) == 1
    assert "nothing was written" in capsys.readouterr().out
    assert (folder / "packs.csv").read_bytes() == raw
    assert main(["check", str(folder), "--fix", "--yes"]) == 0
    assert main(["check", str(folder), "--fix", "--yes"]) == 0
    assert "no change is proposed" in capsys.readouterr().out


def test_a_table_that_changes_meanwhile_or_cannot_be_written_stays(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    spoil(folder)
    proposal = propose(folder)
    held = (folder / "packs.csv").read_bytes()
    (folder / "packs.csv").write_bytes(held + b"\n")
    with pytest.raises(NoticeError, match="changed meanwhile"):
        write_fixes(proposal)
    (folder / "packs.csv").write_bytes(held)
    before = {p: p.read_bytes() for p in folder.rglob("*.csv")}
    place, done = together._into_place, []

    def full(new: Path, target: Path) -> None:
        done.append(target)
        if len(done) == 2:
            raise OSError(errno.ENOSPC, "No space left on device")
        place(new, target)

    monkeypatch.setattr(together, "_into_place", full)
    with pytest.raises(NoticeError, match="No space left"):
        write_fixes(proposal)
    assert len(done) == 2
    assert {p: p.read_bytes() for p in before} == before


def test_a_program_that_is_ended_between_two_tables_leaves_none_half_mended(folder: Path) -> None:
    spoil(folder)
    ended = (
        "import os, sys; from maker_kit import together; from maker_kit.workshop.mending.fixing import propose, "
        "write_fixes\nplace, done = together._into_place, []\n"
        "def stop(new, target):\n    done and os._exit(9)\n    done.append(target)\n    place(new, target)\n"
        "together._into_place = stop\nwrite_fixes(propose(sys.argv[1]))"
    )
    assert subprocess.run([sys.executable, "-c", ended, str(folder)], timeout=60).returncode == 9
    load_workshop(folder)  # what was begun is finished: a half of it would be a fault


def test_the_demo_stays_as_it_is(monkeypatch: pytest.MonkeyPatch, folder: Path) -> None:
    spoil(folder)
    monkeypatch.setattr(making, "demo_folder", lambda: folder)
    with pytest.raises(NoticeError, match="stays as it is"):
        write_fixes(propose(folder))


def test_in_a_workbook_the_cell_is_mended_and_the_workbook_kept(tmp_path: Path) -> None:
    folder = new_workshop(tmp_path / "mine", xlsx=True)
    path = folder / "workshop.xlsx"
    book = openpyxl.load_workbook(path)
    book["packs"]["A2"], book["packs"]["D1"] = "N rwas", "from cuont"
    book.save(path)
    shutil.copy(path, tmp_path / "spoilt.xlsx")
    told: list[str] = []
    assert fix_tables(folder, yes=True, say=told.append) == 2
    assert 'packs!A2, column \'supplier\': "N rwas" -> "N raws"\n' in told
    load_workshop(folder)
    (kept,) = (folder / "backups").iterdir()
    assert (kept / path.name).read_bytes() == (tmp_path / "spoilt.xlsx").read_bytes()
