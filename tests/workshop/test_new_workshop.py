from __future__ import annotations

from pathlib import Path

import pytest
from workshop_files import DATA, read_rows

from maker_kit.errors import NoticeError
from maker_kit.workshop import demo_folder, load_workshop, making, new_workshop


def everything(folder: Path) -> dict[str, bytes | None]:
    return {
        p.relative_to(folder).as_posix(): p.read_bytes() if p.is_file() else None for p in sorted(folder.rglob("*"))
    }


def test_the_demo_stands_beside_the_package() -> None:
    assert demo_folder() == DATA


@pytest.mark.parametrize("empty", [False, True])
def test_a_new_workshop_is_the_demo(tmp_path: Path, empty: bool) -> None:
    place = tmp_path / "mine"
    if empty:
        place.mkdir()
    assert new_workshop(place) == place
    priced = {"packs.csv", "kits.csv", "suppliers.csv", "delivery.csv", "shop_products.csv"}  # test_invented.py
    made, demo = everything(place), everything(DATA)
    assert made.keys() == {*demo, "TABLES.md"}
    assert {name for name in demo if made[name] != demo[name]} == priced
    assert [p.name for p in tmp_path.iterdir()] == ["mine"]


def test_in_the_empty_folder_one_stands_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    place = tmp_path / "mine"
    place.mkdir()
    monkeypatch.chdir(place)
    new_workshop(".")
    assert load_workshop(".").recipes


@pytest.mark.parametrize("held", ["workshop.csv", ".hidden", "recipes"])
def test_a_folder_that_holds_something_is_left_alone(tmp_path: Path, held: str) -> None:
    place = tmp_path / "mine"
    place.mkdir()
    (place / held).write_text("mine", encoding="utf-8")
    with pytest.raises(NoticeError, match=rf'not empty \(it holds "{held}"\), and nothing is ever overwritten'):
        new_workshop(place)
    assert everything(tmp_path) == {"mine": None, f"mine/{held}": b"mine"}


def test_twice_is_refused_and_the_first_keeps_its_changes(tmp_path: Path) -> None:
    new_workshop(tmp_path / "mine")
    (tmp_path / "mine/avoid.csv").write_text("changed", encoding="utf-8")
    before = everything(tmp_path)
    with pytest.raises(NoticeError, match="nothing is ever overwritten"):
        new_workshop(tmp_path / "mine")
    assert everything(tmp_path) == before


def test_a_file_in_the_way(tmp_path: Path) -> None:
    (tmp_path / "mine").write_text("x", encoding="utf-8")
    with pytest.raises(NoticeError, match="is a file, and a workshop is a folder"):
        new_workshop(tmp_path / "mine")
    with pytest.raises(NoticeError, match=r"since .* is a file"):
        new_workshop(tmp_path / "mine" / "shop")
    assert everything(tmp_path) == {"mine": b"x"}


def test_a_parent_that_does_not_exist(tmp_path: Path) -> None:
    with pytest.raises(NoticeError, match=r"since .*none does not exist"):
        new_workshop(tmp_path / "none" / "mine")
    assert everything(tmp_path) == {}


def test_a_dangling_link(tmp_path: Path) -> None:
    (tmp_path / "mine").symlink_to(tmp_path / "nowhere")
    with pytest.raises(NoticeError, match="a link to something that does not exist"):
        new_workshop(tmp_path / "mine")


@pytest.mark.parametrize("name", ["a\0b", "x" * 300])
def test_a_name_that_cannot_be_one(tmp_path: Path, name: str) -> None:
    with pytest.raises(NoticeError, match="nothing was changed"):
        new_workshop(tmp_path / name)
    assert everything(tmp_path) == {}


@pytest.mark.parametrize("error", [PermissionError(13, "Permission denied"), OSError(28, "No space left on device")])
def test_no_permission_or_no_room_leaves_nothing_half_made(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, error: OSError
) -> None:
    whole, written = Path.write_bytes, []

    def refuse(self: Path, data: bytes) -> int:
        if len(written) == 5:
            raise error
        written.append(self)
        return whole(self, data)

    monkeypatch.setattr(Path, "write_bytes", refuse)
    with pytest.raises(NoticeError, match=f"{error.strerror}; nothing was changed"):
        new_workshop(tmp_path / "mine")
    assert len(written) == 5
    assert everything(tmp_path) == {}


def test_what_comes_into_being_meanwhile_is_not_overwritten(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    place = tmp_path / "mine"
    place.mkdir()
    copy = making.copy_tables

    def meanwhile(demo: Path, made: Path) -> None:
        copy(demo, made)
        (place / "recipes.csv").write_text("mine", encoding="utf-8")

    monkeypatch.setattr(making, "copy_tables", meanwhile)
    with pytest.raises(NoticeError, match="has come into being meanwhile"):
        new_workshop(place)
    assert everything(tmp_path) == {"mine": None, "mine/recipes.csv": b"mine"}


def test_an_empty_one_holds_headings_and_its_settings_and_reads(tmp_path: Path) -> None:
    place = new_workshop(tmp_path / "mine", empty=True)
    assert sorted(p.name for p in place.iterdir()) == sorted(
        [*(p.name for p in DATA.glob("*.csv")), "recipes", "TABLES.md"]
    )
    assert list((place / "recipes").iterdir()) == []
    for file in DATA.glob("*.csv"):
        rows = read_rows(place / file.name)
        assert rows == read_rows(file) if file.name == "workshop.csv" else rows == read_rows(file)[:1]
    shop = load_workshop(place)
    assert (dict(shop.recipes), shop.market.packs) == ({}, ())
    assert "fill in containers.csv and ingredients.csv first" in shop.summary().sentence()
