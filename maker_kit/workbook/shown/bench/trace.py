"""A trace in words and tables, and the letter to send."""

from __future__ import annotations

import html

from maker_kit.bench.letters import Duty, Letter
from maker_kit.bench.trace import Trace
from maker_kit.workbook.charts.bench.trace import trace_words
from maker_kit.workbook.shown.sheets import Sheet, Sheets, findings_sheet, frame_sheet

NOTHING = "Nothing is in your log yet, so nothing can be followed."
PAPER = "white-space:pre-wrap; border:1px solid #888; padding:1em; max-width:46em; font-family:inherit"


def trace_answer(found: Trace) -> str:
    """What it comes to, in one sentence."""
    words = trace_words(found)
    more = f"; {found.unnumbered} without a number" if found.unnumbered else ""
    return f"{words[:1].upper()}{words[1:]}{more}."


def trace_sheet(found: Trace) -> Sheet:
    """Every unit and lot."""
    return frame_sheet(found.to_frame(), 1)


def places_sheet(found: Trace) -> Sheet:
    """Units by place, with their numbers."""
    rows = []
    for place, count in found.places.items():
        units = dict.fromkeys(row.unit for row in found.rows if row.place == place and row.unit)
        rows.append((place, str(count), ", ".join(units)))
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
