"""The day in words and tables: one step, large; planned beside done; what is weighed, in the cupboard, and cooling."""

from __future__ import annotations

import base64
import html

import pandas as pd

from maker_kit.bench.clean import PARTS, Tick
from maker_kit.bench.day import DayStep, days_frame
from maker_kit.bench.joining import Joined
from maker_kit.bench.log import BenchLog
from maker_kit.bench.receiving import PutAway
from maker_kit.bench.stock import LotLeft, stock_frame
from maker_kit.formula.scale import WeighOut
from maker_kit.names import name_key
from maker_kit.numbers import number_text
from maker_kit.plan.log.cupboard import CupboardCurve
from maker_kit.workbook.charts.bench.bench_day import CoolingDay, said_minutes
from maker_kit.workbook.shown.sheets import Sheet, Sheets, findings_sheet, frame_sheet, words_sheet

NO_BATCH = "No batch is begun: begin one above."
LARGE = "font-size:1.7em; line-height:1.35; margin:.2em 0; font-weight:600"
SMALL = "font-size:1.1em; line-height:1.5; margin:.2em 0"


def steps_answer(title: str, number: str, rows: tuple[DayStep, ...]) -> str:
    """How far the batch is, in one sentence."""
    if not rows:
        return f"{title}, batch {number}: no steps are on file."
    done = sum(row.state != "open" for row in rows)
    jumped = sum(any(f.code == "step.jumped" for f in row.findings) for row in rows)
    more = f"; {jumped} passed over" if jumped else ""
    return f"{title}, batch {number}: {done} of {len(rows)} steps behind you{more}."


def step_html(row: DayStep) -> str:
    """One step to be read at arm's length (HTML, everything escaped): what, with what, how warm, how long, and what
    mends it.
    """
    step = row.step
    low, high = (None if t is None else number_text(t) for t in (step.from_c, step.to_c))
    window = (
        f"{low} to {high} °C" if low and high else f"{low} °C or more" if low else f"up to {high} °C" if high else ""
    )
    facts = [
        f"with: {step.tool}" if step.tool else "",
        f"into: {step.into}" if step.into else "",
        window,
        said_minutes(step.minutes) if step.minutes is not None else "",
    ]
    late = [
        f"fine until {step.fine_until}" if step.fine_until else "",
        f"if it was missed: {step.rescue}" if step.rescue else "",
    ]
    state = {"done": "✓ done", "skipped": "✗ left out", "open": ""}[row.state]
    if row.reason:
        state += f": {row.reason}"
    read = "" if row.read_c is None else f"read: {number_text(row.read_c)} °C"
    lines = [f'<p style="{LARGE}">{step.number}. {html.escape(step.text)}</p>']
    for words in (facts, late, [state, read]):
        if told := " · ".join(filter(None, words)):
            lines.append(f'<p style="{SMALL}">{html.escape(told)}</p>')
    return "".join(lines)


def steps_sheet(rows: tuple[DayStep, ...]) -> Sheets:
    """Planned and done side by side, and what is to be said of it."""
    found = [f for row in rows for f in row.findings]
    table = frame_sheet(days_frame(rows), 1) if rows else words_sheet("steps", "None are on file.")
    return Sheets([table, *([findings_sheet(found)] if found else [])])


def deviations_sheet(log: BenchLog, batch: str) -> Sheet:
    """What went otherwise than planned, with its reason and what was done about it."""
    rows = [(r["step"] or "", r["what"], r["reason"], r["rescue"] or "") for r in log.now("deviation", batch=batch)]
    if not rows:
        return words_sheet("otherwise than planned", "Nothing is on file.")
    return Sheet(rows, columns=["step", "what", "why", "what was done"])


def clean_answer(number: str, ticks: tuple[Tick, ...]) -> str:
    """How much of a clean start and end is ticked, in one sentence."""
    told = []
    for part in PARTS:
        mine = [t for t in ticks if t.part == part]
        known = any(t.done is not None for t in mine)
        told.append(
            f"clean {part}: {sum(bool(t.done) for t in mine)} of {len(mine)}" if known else f"clean {part}: open"
        )
    return f"Batch {number}, {', '.join(told)}."


def ticks_sheet(ticks: tuple[Tick, ...]) -> Sheet:
    """What was ticked, by whom and when; what nobody wrote down says so."""
    said = {True: "✓ done", False: "✗ not done", None: "nobody wrote it down"}
    rows = [(t.part, t.what, said[t.done], t.by, t.ticked_at) for t in ticks]
    return Sheet(rows, columns=["at the", "what", "ticked", "by", "when"])


def weighed_sheet(weigh_out: WeighOut, log: BenchLog | None, batch: str) -> Sheet:
    """What is to be weighed in, beside what was, with its lots."""
    done: dict[str, list[dict]] = {}
    for row in log.now("weighing", batch=batch) if log and batch else ():
        done.setdefault(name_key(row["item"]), []).append(row)
    lots = {row["id"]: row["code"] for row in log.now("lot")} if log else {}
    rows = []
    for line in weigh_out.rows:
        there = done.pop(name_key(line.ingredient), [])
        told = _grams(there), _lots(there, lots), _scales(there)
        rows.append((line.phase, line.ingredient, f"{line.weighed_g:g}", *told))
    for there in done.values():
        rows.append(("", there[0]["item"], "", _grams(there), _lots(there, lots), _scales(there)))
    heads = ["phase", "ingredient", "to weigh [g]", "weighed [g]", "lot", "scale no."]
    return Sheet(rows, ["phase", "ingredient", "lot", "scale no."], columns=heads)


def _scales(rows: list[dict]) -> str:
    return ", ".join(dict.fromkeys(r["scale"] for r in rows if r["scale"]))


def _grams(rows: list[dict]) -> str:
    return f"{sum(r['mass_mg'] for r in rows) / 1000:.1f}" if rows else ""


def _lots(rows: list[dict], lots: dict[str, str]) -> str:
    codes = dict.fromkeys(lots.get(r["lot"], "no lot") for r in rows)
    return ", ".join(codes)


def cupboard_sheet(lots: tuple[LotLeft, ...]) -> Sheet:
    """The lots and what is left of each; what is past its date says so."""
    if not lots:
        return words_sheet("cupboard", "No lot is on file.")
    return frame_sheet(stock_frame(lots), 1)


def put_away_words(put: PutAway) -> str:
    """What was written down."""
    return f"{len(put.lots)} lots are in the log: " + ", ".join(f"{item} {code}" for item, code in put.lots.items())


def put_away_sheet(put: PutAway) -> Sheet:
    """What is to be looked at of them."""
    return findings_sheet(put.findings)


def sheet_link(pdf: bytes, name: str, paper: str) -> str:
    """A link that saves the printed sheet (HTML, escaped)."""
    there = base64.b64encode(pdf).decode()
    words = html.escape(f"save the bench sheet to print ({paper}, PDF)")
    look = "color:#1a4f8a; text-decoration:underline; font-size:1.1em"
    return (
        f'<p><a style="{look}" download="{html.escape(name, quote=True)}" '
        f'href="data:application/pdf;base64,{there}">{words}</a></p>'
    )


def cooling_answer(shown: CoolingDay) -> str:
    """When to check again, and when it is likely there."""
    cooling, forecast = shown.cooling, shown.forecast
    target = f"{number_text(forecast.target_c)} °C"
    if forecast.minutes is None or forecast.minutes <= cooling.readings[-1].minutes:
        return forecast.findings[0].text
    last = cooling.readings[-1].minutes
    again = max(last + 1, forecast.earliest)
    late = "nobody can say how late" if forecast.latest is None else shown.clock(forecast.latest)
    return (
        f"Check again at {shown.clock(again)}: {target} at about {shown.clock(forecast.minutes)}, between "
        f"{shown.clock(forecast.earliest)} and {late}."
    )


def cooling_sheet(shown: CoolingDay) -> Sheets:
    """The readings beside the law, and what is to be said."""
    frame = shown.cooling.to_frame()
    frame.insert(0, "at", [shown.clock(m) for m in frame["minutes"]])
    table = frame_sheet(frame, 1)
    found = shown.forecast.findings
    return Sheets([table, *([findings_sheet(found)] if found else [])])


def joined_answer(joined: Joined) -> str:
    """How warm it is once joined, in one sentence."""
    return joined.findings[0].text


def readings_sheet(log: BenchLog, batch: str) -> Sheet:
    """Every reading of a batch with its tool, the temperature and the time."""
    names = ("kind", "value", "unit", "words", "tool", "instrument", "at_c", "step", "place", "day", "read_at")
    heads = ["what", "value", "unit", "words", "tool", "its number", "sample °C", "step", "place", "day", "read"]
    rows = [tuple(_plain(row[n]) for n in names) for row in log.now("reading", batch=batch)]
    return Sheet(rows, columns=heads) if rows else words_sheet("readings", "None is on file.")


def _plain(value) -> str:
    if value is None or (isinstance(value, float) and pd.isna(value)):
        return ""
    return f"{value:g}" if isinstance(value, int | float) else value


def cupboard_curve_sheet(found: CupboardCurve, currency: str) -> Sheet:
    """What so many containers cost with the cupboard asked first, without it, and what they use up."""
    frame = found.to_frame()
    return frame_sheet(frame.rename(columns={name: f"{name} [{currency}]" for name in frame.columns[1:]}))
