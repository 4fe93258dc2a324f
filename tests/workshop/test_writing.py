from __future__ import annotations

import csv
from datetime import date
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.errors import NoticeError, WorkshopError
from maker_kit.guarded import guard, unguard
from maker_kit.workshop import write_table
from maker_kit.workshop.csv.reading import read_table

NASTY = [
    "=1+1",
    "+49 123",
    "-x",
    "@SUM(A1)",
    "'=x",
    "''=x",
    "'",
    "-3",
    "-3.5",
    "- 3",
    "a,b;c",
    'say "hi"',
    "two\nlines",
    "\r",
    " lead",
    "trail ",
    "é ü ß 水",
    "<img src=x onerror=alert(1)>",
    "\ufeff",
    "\t=1",
    "＝1",
    "-",
    "1e5",
    "-1e5",
    "=",
    "'@",
    "''",
    '"',
    '""',
    ";;;",
    "\u2028",
    "'-3",
]
CELLS = st.one_of(
    st.sampled_from(NASTY),
    st.text(alphabet=st.characters(exclude_categories=["Cs"], exclude_characters="\0"), max_size=30),
)


@given(st.lists(st.lists(CELLS, min_size=3, max_size=3), max_size=6))
def test_what_is_written_is_read_again(tmp_path_factory: pytest.TempPathFactory, rows: list[list[str]]) -> None:
    path = tmp_path_factory.mktemp("t") / "table.csv"
    write_table(path, [["one", "two", "three"], *rows])
    table = read_table(path)
    assert table.header == ("one", "two", "three")
    assert [list(cells) for _, cells in table.rows] == [row for row in rows if any(cell.strip() for cell in row)]


@given(CELLS)
def test_the_guard_comes_off_again(text: str) -> None:
    assert unguard(guard(text)) == text


@given(CELLS)
def test_no_cell_that_is_written_starts_like_a_formula(text: str) -> None:
    first = guard(text).lstrip()[:1]
    assert first not in set("=+@＝＋－＠") | ({"-"} if not text.startswith("-") else set()) or text[:1] == "-"
    if text.startswith("-") and not text[1:2].isdigit():
        assert guard(text).startswith("'-")


@pytest.mark.parametrize("text", ["=1+1", "+1", "@x", "-x", " =1", "\t=cmd()", "'=x", "-1+2"])
def test_a_formula_gets_an_apostrophe(text: str) -> None:
    assert guard(text) == "'" + text


@pytest.mark.parametrize("text", ["-3", "-3.5", "-1e5", "3", "a=b", "it's", "'quoted'"])
def test_a_negative_number_and_plain_text_stay_as_they_are(text: str) -> None:
    assert guard(text) == text


def test_numbers_dates_and_blanks_as_a_spreadsheet_reads_them(tmp_path: Path) -> None:
    path = write_table(
        tmp_path / "t.csv",
        [["a", "b", "c", "d", "e", "f", "g"], [-3, 2.5, Decimal("0.80"), True, False, None, date(2026, 3, 2)]],
    )
    with path.open(encoding="utf-8", newline="") as file:
        assert list(csv.reader(file))[1] == ["-3", "2.5", "0.80", "yes", "no", "", "2026-03-02"]


def test_a_byte_order_mark_stands_only_before_more_than_ascii(tmp_path: Path) -> None:
    assert write_table(tmp_path / "a.csv", [["plain"]]).read_bytes() == b"plain\r\n"
    assert write_table(tmp_path / "b.csv", [["20 °C"]]).read_bytes() == b"\xef\xbb\xbf20 \xc2\xb0C\r\n"


@pytest.mark.parametrize(
    ("cell", "words"),
    [(float("nan"), "no number"), (float("inf"), "no number"), ("a\0b", "NUL"), ("\ud800", "half of a letter")],
)
def test_what_cannot_stand_in_a_table_is_refused_and_the_old_table_stays(
    tmp_path: Path, cell: object, words: str
) -> None:
    path = write_table(tmp_path / "t.csv", [["old"]])
    with pytest.raises(NoticeError, match=words):
        write_table(path, [["new"], [cell]])
    assert path.read_bytes() == b"old\r\n"
    assert [p.name for p in tmp_path.iterdir()] == ["t.csv"]


def test_a_folder_that_is_not_there_is_a_sentence(tmp_path: Path) -> None:
    with pytest.raises(NoticeError, match="cannot be written"):
        write_table(tmp_path / "none" / "t.csv", [["a"]])


def test_a_read_formula_is_text(tmp_path: Path) -> None:
    path = tmp_path / "t.csv"
    path.write_text("a,b\n=1+1,@x\n'=1+1,'plain\n", encoding="utf-8")
    assert [cells for _, cells in read_table(path).rows] == [("=1+1", "@x"), ("=1+1", "'plain")]


def test_a_table_of_headings_only_has_no_rows(tmp_path: Path) -> None:
    assert read_table(write_table(tmp_path / "t.csv", [["a", "b"]])).rows == ()


def test_nothing_at_all_is_an_empty_file(tmp_path: Path) -> None:
    with pytest.raises(WorkshopError, match="empty file"):
        read_table(write_table(tmp_path / "t.csv", []))
