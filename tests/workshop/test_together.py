"""Files that belong together change together or not at all, wherever a program is ended or held up."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from demo_workshop import demo
from workshop_files import DATA

from maker_kit import scratch, together
from maker_kit.errors import NoticeError, WorkshopError
from maker_kit.together import READY, finish_begun, put_together
from maker_kit.workshop import load_workshop
from maker_kit.workshop.csv.writing import write_bytes
from maker_kit.workshop.saving import save_recipe


def _dead_pid() -> int:
    ended = subprocess.Popen([sys.executable, "-c", ""])
    ended.wait()
    return ended.pid


DEAD = _dead_pid()
FILES = {"a.html": b"new page", "a.json": b"new numbers", "a-curve.csv": b"new curve"}


@pytest.fixture
def place(tmp_path: Path) -> Path:
    for name in FILES:
        (tmp_path / name).write_bytes(b"old")
    return tmp_path


def _held(place: Path) -> dict[str, bytes]:
    return {name: (place / name).read_bytes() for name in FILES if (place / name).exists()}


class Killed(BaseException):
    """As if the program were ended: nothing after it runs."""


def test_all_change_and_no_scratch_stays(place: Path) -> None:
    assert put_together(place, "report", FILES) == [place / name for name in FILES]
    assert _held(place) == FILES
    assert sorted(p.name for p in place.iterdir()) == sorted(FILES)


@pytest.mark.parametrize("held", range(3))
def test_a_file_that_another_program_holds_leaves_all_as_they_were(
    place: Path, monkeypatch: pytest.MonkeyPatch, held: int
) -> None:
    name = list(FILES)[held]
    whole = Path.open

    def locked(path: Path, mode: str = "r", *rest: object, **more: object) -> object:
        if path.name == name and "a" in mode:
            raise PermissionError(13, "Permission denied", str(path))
        return whole(path, mode, *rest, **more)

    monkeypatch.setattr(Path, "open", locked)
    with pytest.raises(NoticeError, match=f"{name} cannot be written.*close it there"):
        put_together(place, "report", FILES)
    monkeypatch.undo()
    assert set(_held(place).values()) == {b"old"}
    assert sorted(p.name for p in place.iterdir()) == sorted(FILES)


@pytest.mark.parametrize("there", [True, False])
@pytest.mark.parametrize("after", range(3))
def test_where_one_cannot_take_its_place_all_are_taken_back(
    place: Path, monkeypatch: pytest.MonkeyPatch, after: int, there: bool
) -> None:
    if not there:
        for name in FILES:
            (place / name).unlink()
    before, moved, real = _held(place), [], together._into_place

    def move(new: Path, target: Path) -> None:
        if len(moved) == after:
            raise OSError(28, "No space left on device")
        moved.append(target)
        real(new, target)

    monkeypatch.setattr(together, "_into_place", move)
    with pytest.raises(NoticeError, match="nothing was changed"):
        put_together(place, "report", FILES)
    assert _held(place) == before
    assert sorted(p.name for p in place.iterdir()) == sorted(before)


def _killed_after(place: Path, monkeypatch: pytest.MonkeyPatch, after: int, kind: str, files: dict[str, bytes]) -> None:
    """As `put_together` of a program that is ended after so many moves, its number that of one that has ended."""
    moved, real = [], together._into_place

    def move(new: Path, target: Path) -> None:
        if len(moved) == after:
            raise Killed
        moved.append(target)
        real(new, target)

    with monkeypatch.context() as patch:
        patch.setattr(together, "_into_place", move)
        patch.setattr(together, "_take_back", lambda *_: None)
        patch.setattr(Path, "unlink", lambda *_, **__: None)
        patch.setattr(shutil, "rmtree", lambda *_, **__: None)
        patch.setattr(scratch, "prefix", lambda kind: f"{kind}-{DEAD}-")
        with pytest.raises(Killed):
            put_together(place, kind, files)


@pytest.mark.parametrize("after", range(3))
def test_what_a_killed_program_began_the_next_one_ends(
    place: Path, monkeypatch: pytest.MonkeyPatch, after: int
) -> None:
    _killed_after(place, monkeypatch, after, "report", FILES)
    assert list(_held(place).values()).count(b"old") == 3 - after
    finish_begun(place, "report")
    assert _held(place) == FILES
    assert sorted(p.name for p in place.iterdir()) == sorted(FILES)


def test_what_somebody_changed_since_then_stays(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    _killed_after(place, monkeypatch, 1, "report", FILES)
    (place / "a.json").write_bytes(b"hers")
    finish_begun(place, "report")
    assert _held(place) == {"a.html": b"new page", "a.json": b"hers", "a-curve.csv": b"old"}


def test_scratch_that_is_not_whole_is_cleared_and_that_of_a_living_program_is_not(place: Path) -> None:
    dead, living = place / f".report-{DEAD}-x", place / f".report-{os.getppid()}-x"
    for folder in (dead, living):
        folder.mkdir()
        (folder / "0").write_bytes(b"half")
    finish_begun(place, "report")
    assert not dead.exists()
    assert living.exists()


def test_scratch_of_programs_that_were_ended_is_cleared_unless_it_is_to_be_kept(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    mine, dead = scratch.new_room("maker-kit"), tmp_path / f"maker-kit-{DEAD}-x"
    others = tmp_path / f"maker-kitchen-{DEAD}-x", tmp_path / "maker-kit-notes"
    for folder in (dead, *others):
        folder.mkdir()
    scratch.clear_dead("maker-kit", clear=lambda left: None)
    assert dead.exists()
    with scratch.room("maker-kit") as another:
        assert not dead.exists()
        assert another.exists()
    assert mine.exists()
    assert not another.exists()
    assert all(folder.exists() for folder in others)


@pytest.mark.parametrize("file", ["../outside.csv", "/etc/x.csv"])
def test_a_list_that_leads_out_of_the_folder_moves_nothing(tmp_path: Path, file: str) -> None:
    place = tmp_path / "w"
    made = place / f".save-{DEAD}-x"
    made.mkdir(parents=True)
    (made / "0").write_bytes(b"bad")
    digest = together._digest(b"bad")
    (made / READY).write_text(json.dumps([{"file": file, "before": None, "after": digest}]), encoding="utf-8")
    finish_begun(place, "save")
    assert not (tmp_path / "outside.csv").exists()


@pytest.mark.parametrize("after", range(2))
def test_a_save_that_was_killed_is_whole_at_the_next_opening(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, after: int
) -> None:
    folder = Path(shutil.copytree(DATA, tmp_path / "w"))
    lines = load_workshop(folder).recipe("r4-balm").lines

    def save(name: str) -> None:
        save_recipe(folder, name, f"The {name}", lines, "own trials", "2026-03-31", like="r4-balm")

    files: dict[str, bytes] = {}
    with monkeypatch.context() as patch:
        patch.setattr("maker_kit.workshop.saving.put_together", lambda _f, _k, given: files.update(given))
        save("new-balm")
    _killed_after(folder, monkeypatch, after, "save", files)
    assert "new-balm" in load_workshop(folder).recipes
    assert not [p for p in folder.iterdir() if p.name.startswith(".")]


def test_a_link_stays_a_link_and_what_it_leads_to_is_written(tmp_path: Path) -> None:
    target, link = tmp_path / "kept.csv", tmp_path / "link.csv"
    target.write_bytes(b"old")
    try:
        link.symlink_to(target)
    except OSError:
        pytest.skip("no links here")
    write_bytes(b"new", link)
    assert link.is_symlink()
    assert target.read_bytes() == b"new"


def test_tables_behind_links_are_read_and_a_link_to_nothing_is_told(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(DATA, tmp_path / "w"))
    shutil.move(folder / "packs.csv", tmp_path / "elsewhere.csv")
    try:
        (folder / "packs.csv").symlink_to(tmp_path / "elsewhere.csv")
    except OSError:
        pytest.skip("no links here")
    assert load_workshop(folder).market.packs == demo().market.packs
    (tmp_path / "elsewhere.csv").unlink()
    with pytest.raises(WorkshopError, match=r"packs\.csv"):
        load_workshop(folder)
