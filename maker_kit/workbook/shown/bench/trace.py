"""A trace in words and tables, and the letter to send."""

from __future__ import annotations

import html

from maker_kit.bench.letters import Duty, Letter, numbers_by_place
from maker_kit.bench.trace import Trace
from maker_kit.workbook.charts.bench.trace import trace_words
from maker_kit.workbook.shown.sheets import Sheet, Sheets, findings_sheet, frame_sheet, words_sheet

NOTHING = "Nothing is in your log yet, so nothing can be followed."
MOST_ROWS = 200
"""Rows of a table, and numbers of a place, that are shown; the whole is a table to save."""
PAPER = "white-space:pre-wrap; border:1px solid #888; padding:1em; max-width:46em; font-family:inherit"


def trace_answer(found: Trace) -> str:
    """What it comes to, in one sentence."""
    words = trace_words(found)
    more = f"; {found.unnumbered} without a number" if found.unnumbered else ""
    return f"{words[:1].upper()}{words[1:]}{more}."


def trace_sheet(found: Trace) -> Sheet | Sheets:
    """Every unit and lot, or the first of them and how the others are had."""
    frame = found.to_frame(MOST_ROWS + 1)
    if len(frame) <= MOST_ROWS:
        return frame_sheet(frame, 1)
    seen = frame["unit"][:MOST_ROWS].nunique()
    more = f"… and {max(found.numbered - seen, 1)} more: “save the whole as a table” writes all of them."
    return Sheets([frame_sheet(frame[:MOST_ROWS], 1), words_sheet("more", more)])


def places_sheet(found: Trace) -> Sheet:
    """Units by place, with their numbers."""
    numbers = numbers_by_place(found, MOST_ROWS)
    rows = [(place, str(count), numbers[place]) for place, count in found.places.items()]
    return Sheet(rows, ["place", "numbers"], columns=["place", "units", "numbers"])


def letter_html(letter: Letter) -> str:
    """What is to be known first, then the letter as it is sent (HTML, everything escaped)."""
    first = Sheets([findings_sheet(letter.findings)]).html()
    return f'{first}<pre class="maker-trace-paper" style="{PAPER}">{html.escape(letter.text)}</pre>'


def duty_sheet(duty: Duty, market: str) -> Sheet:
    """What the market's law asks where someone was harmed."""
    within = "without delay" if duty.business_days is None else f"within {duty.business_days} business days"
    rows = [
        ("market", market),
        ("serious is", "; ".join(duty.serious)),
        ("what to do", f"{duty.act} ({within})"),
        ("of a recall", duty.recall),
        ("records", duty.keep),
        ("source", duty.source),
    ]
    return Sheet(rows, widths={"duty": "12%"}, columns=["duty", "by law"])
