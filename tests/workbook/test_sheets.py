"""Tables: escaped, money with two decimals, kinds told by sign and word."""

from __future__ import annotations

from fractions import Fraction

import pandas as pd
import pytest
from hypothesis import given
from hypothesis import strategies as st

from maker_kit.findings import KINDS, LEVELS, Finding, in_order, to_frame
from maker_kit.workbook.amounts import money, percent
from maker_kit.workbook.shown.sheets import SIGNS, Sheet, findings_sheet


@given(st.text(max_size=40))
def test_every_typed_text_is_shown_as_text_and_never_as_markup(text: str) -> None:
    page = Sheet(pd.DataFrame({text: [text]}), left=()).html()
    bare = page.replace("<br>", "")
    for piece in (
        '<table class="mathjax_ignore tex2jax_ignore" style="margin:.4em 0 1em">',
        "</table>",
        "<thead>",
        "</thead>",
        "<tbody>",
        "</tbody>",
        "<tr>",
        "</tr>",
        "</th>",
        "</td>",
    ):
        bare = bare.replace(piece, "")
    bare = bare.replace(
        '<th style="text-align:right; vertical-align:top; padding:.2em .7em; line-height:1.35">', ""
    ).replace('<td style="text-align:right; vertical-align:top; padding:.2em .7em; line-height:1.35">', "")
    bare = bare.replace('; white-space:nowrap">', "")
    assert "<" not in bare or text in SIGNS.values()


def test_markup_in_a_name_does_not_run() -> None:
    page = Sheet(pd.DataFrame({"name": ["<img src=x onerror=alert(1)>"]}))._repr_html_()
    assert "<img" not in page
    assert "&lt;img" in page


@pytest.mark.parametrize(
    ("cost", "shown"),
    [
        (35_800_000, "35.80"),
        (5_000, "0.01"),
        (4_999, "0.00"),
        (Fraction(25_900_000, 3), "8.63"),
        (0, "0.00"),
        (None, "–"),
        (1_234_567_000_000, "1234567.00"),
    ],
)
def test_money_has_two_decimals_rounded_half_up(cost: int | None, shown: str) -> None:
    assert money(cost) == shown


@given(st.integers(0, 10**12))
def test_money_is_within_half_a_cent(cost: int) -> None:
    assert abs(Fraction(money(cost)) * 1_000_000 - cost) <= 5_000


def test_small_percentages_keep_their_figures() -> None:
    assert percent(0.00029) == "0.00029"
    assert percent(1.0) == "1.00"
    assert percent(0.152) == "0.152"
    assert percent(None) == "–"


def test_findings_stand_gravest_first_and_their_kind_is_a_sign_and_a_word() -> None:
    made = [
        Finding(kind, f"limit.{level}", (f"{kind} {level}",), "text", level=level)
        for kind in reversed(KINDS)
        for level in reversed(LEVELS)
    ]
    ordered = in_order(made)
    assert [f.kind for f in ordered] == [kind for kind in KINDS for _ in LEVELS]
    page = findings_sheet(made).html()
    for kind, sign in SIGNS.items():
        assert sign.endswith(kind)
        assert sign in page
    assert len(to_frame(made)) == len(made)


def test_a_finding_of_no_known_kind_is_refused() -> None:
    with pytest.raises(ValueError, match="kind is one of"):
        Finding("fine", "limit.fine", ("x",), "y")
