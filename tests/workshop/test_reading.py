from __future__ import annotations

import os
from pathlib import Path

import pytest

from maker_kit.errors import Fault, WorkshopError
from maker_kit.workshop.csv.reading import MOST_BYTES, MOST_CELL, MOST_ROWS, read_table, table_from_bytes


def fault_of(raw: bytes) -> Fault:
    with pytest.raises(WorkshopError) as caught:
        table_from_bytes(raw, "t.csv")
    assert len(caught.value.faults) == 1
    assert caught.value.faults[0].file == "t.csv"
    return caught.value.faults[0]


@pytest.mark.parametrize(
    "raw",
    [
        b"a,b\n1,x\n",
        b"\xef\xbb\xbfa,b\r\n1,x\r\n",
        b"a;b\n1;x\n",
        b"a,b\r1,x\r",
        b"a,b\n1,x",
        b"a,b,,\n1,x,,\n",
        b"a,b\n1,x,,,\n",
        b"sep=;\r\na;b\r\n1;x\r\n",
        b'"a","b"\n"1","x"\n',
        b"a,b\n,\n1,x\n",
    ],
)
def test_the_same_rows_in_every_dress(raw: bytes) -> None:
    table = table_from_bytes(raw, "t.csv")
    assert table.header == ("a", "b")
    assert [cells for _, cells in table.rows] == [("1", "x")]


def test_rows_are_numbered_as_a_spreadsheet_numbers_them() -> None:
    table = table_from_bytes(b'a,b\n\n"two\nlines",x\n,\n1,2\n', "t.csv")
    assert table.rows == ((3, ("two\nlines", "x")), (5, ("1", "2")))


def test_semicolons_in_quotes_do_not_make_a_semicolon_table() -> None:
    assert not table_from_bytes(b'"a;b;c",d\n1,2\n', "t.csv").semicolons


def test_latin_1_bytes_are_named_with_row_and_letter_and_how_to_save() -> None:
    fault = fault_of('a,b\n"x\ny",1\nCrème,2\n'.encode("latin-1"))
    assert (fault.row, fault.found.count("0xE8")) == (3, 1)
    assert '"è"' in fault.found
    assert "byte 15" in fault.found
    assert "UTF-8" in fault.mend


@pytest.mark.parametrize(
    ("raw", "words"),
    [
        (b"", "empty"),
        (b"\xef\xbb\xbf", "empty"),
        (b" \n\n", "empty"),
        (b",,,\n,,\n", "empty"),
        (b"sep=;\r\n", "empty"),
        ("a,b\n".encode("utf-16"), "UTF-16"),
        (b"PK\x03\x04rest", "spreadsheet"),
        (b"a\tb\n1\t2\n", "tabs"),
    ],
)
def test_a_file_that_is_no_table(raw: bytes, words: str) -> None:
    assert words in fault_of(raw).found


@pytest.mark.parametrize(
    ("raw", "row", "words"),
    [
        (b"a,b\n1,x\n2\n", 3, "1 cell"),
        (b"a,b,c\n1,x\n", 2, "2 cells"),
        (b'a,b\n1,"x\n2,y\n', 2, "never closed"),
        (b"a,b\n1,x\n2,\0\0\0", 3, "NUL"),
    ],
)
def test_a_file_cut_off_in_the_middle(raw: bytes, row: int, words: str) -> None:
    fault = fault_of(raw)
    assert fault.row == row
    assert words in fault.found
    assert "again from where it came" in fault.mend


def test_a_row_with_a_comma_too_many_says_to_quote() -> None:
    fault = fault_of(b"a,b\n1,one, two\n")
    assert fault.row == 2
    assert '" two"' in fault.found or '"two"' in fault.found
    assert "quotation marks" in fault.mend


@pytest.mark.parametrize(
    "raw", [b"My packs 2026\na,b\n1,2\n3,4\n", b"My packs;;\n\na;b;c\n1;2;3\n", b"Mine\na;b\n1;2\n"]
)
def test_a_title_above_the_headings_is_one_fault(raw: bytes) -> None:
    with pytest.raises(WorkshopError) as caught:
        table_from_bytes(raw, "packs.csv")
    (fault,) = caught.value.faults
    assert (fault.row, fault.allowed) == (1, "the headings in the first row")
    assert f"row {3 if b';;' in raw else 2}" in fault.mend


def test_text_after_a_closing_quote() -> None:
    assert "after a closing quotation mark" in fault_of(b'a,b\n1,"x"y\n').found


def test_headings_twice_and_a_column_without_heading() -> None:
    assert "twice" in fault_of(b"Price,x, price\n1,2,3\n").found
    assert fault_of(b"a,,b\n1,lost,2\n").row == 2
    assert table_from_bytes(b"a,,b\n1,,2\n", "t.csv").rows == ((2, ("1", "2")),)


def test_cells_rows_and_columns_have_an_end() -> None:
    assert f"at most {MOST_CELL}" in fault_of(b"a,b\n" + b"x" * (MOST_CELL + 1) + b",1\n").allowed
    assert f"at most {MOST_CELL}" in fault_of(b"a,b\n" + b"x" * 200_000 + b",1\n").allowed
    assert f"{MOST_ROWS} rows" in fault_of(b"a\n" + b"1\n" * (MOST_ROWS + 1)).found
    assert len(table_from_bytes(b"a\n" + b"1\n" * MOST_ROWS, "t.csv").rows) == MOST_ROWS
    assert "101 headings" in fault_of(",".join(f"h{i}" for i in range(101)).encode()).found


def test_every_row_of_the_wrong_length_is_told_at_once() -> None:
    with pytest.raises(WorkshopError) as caught:
        table_from_bytes(b"a,b\n1\n1,2\n3\n1,2,3\n", "t.csv")
    assert [f.row for f in caught.value.faults] == [2, 4, 5]


def test_a_50_mb_file_is_refused_by_its_size_before_it_is_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "big.csv"
    with path.open("wb") as file:
        file.truncate(50_000_000)
    monkeypatch.setattr(Path, "open", lambda *_a, **_k: pytest.fail("the file was opened"))
    with pytest.raises(WorkshopError, match=r"big\.csv: found a file of 50\.0 MB; allowed: a table of at most 20 MB"):
        read_table(path)


def test_just_below_the_size_it_is_read(tmp_path: Path) -> None:
    path = tmp_path / "t.csv"
    path.write_bytes(b"a\n" + (b"x" * (MOST_CELL - 1) + b"\n") * (MOST_BYTES // MOST_CELL - 1) + b"x" * 9998)
    assert path.stat().st_size == MOST_BYTES
    assert len(read_table(path).rows) == MOST_BYTES // MOST_CELL


@pytest.mark.parametrize("kind", ["missing", "folder", "unreadable"])
def test_a_file_that_cannot_be_read_is_a_sentence(tmp_path: Path, kind: str, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "t.csv"
    if kind == "folder":
        path.mkdir()
    elif kind == "unreadable":
        path.write_text("a\n", encoding="utf-8")

        def refuse(*_a: object, **_k: object) -> None:
            raise PermissionError(13, "Permission denied")

        monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(
        WorkshopError,
        match={"missing": "no such file", "folder": "a folder or a device", "unreadable": "Permission denied"}[kind],
    ):
        read_table(path)


@pytest.mark.skipif(os.name != "posix", reason="links need a right of their own elsewhere")
def test_a_link_that_leads_nowhere_is_called_so(tmp_path: Path) -> None:
    (tmp_path / "packs.csv").symlink_to(tmp_path / "gone.csv")
    with pytest.raises(WorkshopError, match="a link that leads nowhere"):
        read_table(tmp_path / "packs.csv")
