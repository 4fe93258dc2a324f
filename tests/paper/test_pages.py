"""Printed pages, read back by Poppler: sizes, fonts, letters and rows. Expected values: ISO 216 and ANSI Y14.1 sizes,
the texts that were given, and Poppler's own measure of where they stand.
"""

from __future__ import annotations

import re
import shutil
import subprocess
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from maker_kit.errors import NoticeError, UnknownNameError
from maker_kit.workbook.paper.fonts import CAPITAL, SMALL, check_printable, missing, printable
from maker_kit.workbook.paper.pages import Column, Pages

pytestmark = pytest.mark.skipif(
    not shutil.which("pdftotext"), reason="no Poppler on this machine (Debian: apt-get install poppler-utils)"
)
WORDS = ["Sodium", "Hyaluronate", "Crosspolymer-2", "Łódź", "Ελλάδα", "naïve"]
WORDS += ["40", "°C", "≤", "1.00", "%"]


def read(pdf: bytes, *how: str) -> str:
    done = subprocess.run(["pdftotext", *how, "-", "-"], input=pdf, capture_output=True, check=True, timeout=60)
    return done.stdout.decode()


def told(pdf: bytes, tool: str, tmp_path: Path) -> str:
    (tmp_path / "x.pdf").write_bytes(pdf)
    return subprocess.run([tool, str(tmp_path / "x.pdf")], capture_output=True, check=True, text=True).stdout


def boxes(pdf: bytes) -> list[tuple[str, float, float, float, float]]:
    found = re.findall(
        r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">([^<]*)<', read(pdf, "-bbox")
    )
    return [(word, *map(float, numbers)) for *numbers, word in found]


SIDES_MM = {"A4": (210, 297), "Letter": (8.5 * 25.4, 11 * 25.4)}  # ISO 216; ANSI/ASME Y14.1


@pytest.mark.parametrize("paper", SIDES_MM)
def test_the_paper_has_its_size_and_only_fonts_that_are_inside(paper: str, tmp_path: Path) -> None:
    pages = Pages("Sheet", paper, foot="R2-07 · version 0a1b2c3d")
    pages.heading("One")
    pages.text(" ".join(WORDS))
    pages.ticks(["bench wiped", "hands washed"])
    pages.table(["ingredient", Column("g", right=True)], [("Water", "641.70")])
    pdf = pages.pdf()
    points = re.search(r"Page size:\s+([\d.]+) x ([\d.]+) pts", told(pdf, "pdfinfo", tmp_path)).groups()
    assert [float(p) / 72 * 25.4 for p in points] == pytest.approx(SIDES_MM[paper], abs=0.1)
    fonts = told(pdf, "pdffonts", tmp_path).splitlines()[2:]
    assert fonts
    assert all("DejaVuSans" in line and re.search(r"\byes\s+yes\b", line) for line in fonts)


def test_every_word_is_read_back_and_the_foot_stands_on_every_page() -> None:
    pages = Pages("Sheet", foot="R2-07 · version 0a1b2c3d")
    for k in range(120):
        pages.text(f"Sentence {k}: {' '.join(WORDS)}")
    text = read(pages.pdf())
    assert all(f"Sentence {k}:" in text for k in range(120))
    parts = text.split("\f")[:-1]
    assert len(parts) > 2
    for number, part in enumerate(parts, 1):
        assert "R2-07 · version 0a1b2c3d" in part
        assert f"page {number} of {len(parts)}" in part


def test_the_same_facts_give_the_same_bytes() -> None:
    def made() -> bytes:
        pages = Pages("Sheet")
        pages.table(["a", "b"], [("1", "2")] * 80)
        return pages.pdf()

    assert made() == made()


def test_typed_words_are_never_markup() -> None:
    pages = Pages("<b>x</b>", foot="<i>&amp;</i>")
    pages.text('<font size="40">big</font> & <a href="http://x">y</a>')
    pages.table(["<br/>"], [("<img src=x>",)])
    text = read(pages.pdf(), "-layout")
    for word in ('<font size="40">big</font>', '<a href="http://x">y</a>', "<br/>", "<img src=x>", "<i>&amp;</i>"):
        assert word in " ".join(text.split())


@settings(max_examples=25, deadline=None)
@given(
    st.lists(
        st.lists(st.sampled_from([*WORDS, "w" * 18, "1440 min", "B into A"]), min_size=3, max_size=3),
        min_size=1,
        max_size=40,
    )
)
def test_no_cell_runs_into_the_next_and_none_off_the_paper(rows) -> None:
    pages = Pages("Table", "Letter")
    pages.table([Column("step"), Column("g", right=True), Column("done", least_mm=20)], rows)
    found = boxes(pages.pdf())
    assert len(found) >= sum(len(c.split()) for row in rows for c in row)
    for word, left, top, right, _ in found:
        assert left >= 14 / 25.4 * 72 - 1, word
        assert right <= 612 - 14 / 25.4 * 72 + 1, word
        for other, left2, top2, _, _ in found:
            if abs(top - top2) < 0.5 and left < left2:
                assert right <= left2 + 0.1, (word, other)


def test_what_does_not_fit_is_set_smaller_and_then_refused() -> None:
    pages = Pages("Table")
    pages.table(["a", "b", "c"], [("w" * 26, "m" * 20, "i" * 10)])
    assert "w" * 26 in read(pages.pdf())
    with pytest.raises(NoticeError, match="leave a column out"):
        pages.table([f"column {k}" for k in range(40)], [["w" * 90] * 40])


def test_a_row_is_never_split_over_two_pages() -> None:
    pages = Pages("Table")
    rows = [(f"begin{k} " + "word " * 60 + f"end{k}", str(k)) for k in range(60)]
    pages.table(["text", "n"], rows)
    for page in read(pages.pdf()).split("\f"):
        assert set(re.findall(r"begin(\d+)", page)) == set(re.findall(r"end(\d+)", page))


def test_a_space_that_does_not_break_holds_a_figure_and_its_unit_together() -> None:
    pages = Pages("Table")
    pages.table(["what", "time"], [("word " * 80, "20\u00a0min"), ("word " * 80, "1440\u00a0min")])
    text = read(pages.pdf(), "-layout").replace("\u00a0", " ")
    assert "20 min" in text
    assert "1440 min" in text
    assert "U+00A0" not in text


def test_signs_without_a_letter_are_named_or_refused() -> None:
    assert missing("Ελλάδα Łódź 40 °C ■▲●") == ()
    assert printable("a\U0001f9fc\u202eb") == "a[U+1F9FC][U+202E]b"
    with pytest.raises(NoticeError, match=r"U\+1F9FC"):
        check_printable("soap \U0001f9fc", "the title")


def test_letters_are_as_high_as_the_constants_say() -> None:
    from matplotlib.font_manager import FontProperties
    from matplotlib.textpath import TextPath

    font = FontProperties(family="DejaVu Sans")
    for letter, share in (("H", CAPITAL), ("x", SMALL)):
        high = TextPath((0, 0), letter, size=100, prop=font).get_extents().height / 100
        assert high == pytest.approx(share, abs=0.001)


def test_a_paper_nobody_makes_and_a_folder_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(UnknownNameError, match="A4, Letter"):
        Pages("x", "A5")
    pages = Pages("x")
    pages.text("y")
    assert pages.write(tmp_path / "x.pdf").read_bytes().startswith(b"%PDF")
    with pytest.raises(NoticeError, match="cannot be written"):
        pages.write(tmp_path / "no" / "x.pdf")
    assert [p.name for p in tmp_path.iterdir()] == ["x.pdf"]
