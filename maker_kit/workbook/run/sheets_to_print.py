"""Bench sheets as files: PDF to print, and the same as a page for screens and screen readers."""

from __future__ import annotations

import html
from collections.abc import Callable, Sequence
from datetime import datetime
from pathlib import Path

from maker_kit.bench.clean import CLEAN_END, CLEAN_START
from maker_kit.bench.sheet import BenchSheet, bench_sheet
from maker_kit.plan.plan import make_plan
from maker_kit.together import filling
from maker_kit.workbook.paper.bench_sheet import TOOLS, WHO, bench_sheet_pages
from maker_kit.workshop import Workshop
from maker_kit.workshop.csv.writing import write_bytes


def sheet_for(workshop: Workshop, recipe: str, containers: int = 12, number: str = "") -> BenchSheet:
    """The bench sheet of a recipe in a workshop.

    Parameters
    ----------
    workshop : Workshop
    recipe : str
        Name or title.
    containers : int
        In one batch.
    number : str
        Of the batch; empty to write it in.

    Returns
    -------
    BenchSheet

    Raises
    ------
    UnknownNameError, QuantityError, RecipeError
        As `maker_kit.plan.plan.make_plan`.
    """
    plan = make_plan(workshop, recipe, batch_size=containers)
    ounces = plan.workshop.settings.weights_in == "oz"
    return bench_sheet(
        plan.recipe, plan.batch_size, plan.weigh_out, plan.cautions, plan.findings, number, ounces=ounces
    )


def write_sheets(
    workshop: Workshop,
    recipes: Sequence[str],
    to: Path,
    *,
    containers: int = 12,
    number: str = "",
    paper: str = "A4",
    now: Callable[[], datetime] = datetime.now,
) -> list[Path]:
    """Write each recipe's bench sheet as ``RECIPE-sheet.pdf`` and ``RECIPE-sheet.html``.

    Raises
    ------
    MakerKitError
        If a recipe is unknown, or a file cannot be written.
    """
    sheets = [sheet_for(workshop, recipe, containers, number) for recipe in recipes]
    made_at = f"{now():%Y-%m-%d %H:%M}"
    written = []
    with filling(to, "the sheets"):
        for sheet in sheets:
            written.append(bench_sheet_pages(sheet, paper, made_at).write(to / f"{sheet.recipe}-sheet.pdf"))
            written.append(write_bytes(sheet_page(sheet, made_at).encode(), to / f"{sheet.recipe}-sheet.html"))
    return written


TO_WRITE = ("lot", "weighed", "read", "tool, °C, when")
"""Columns that are wide enough to write into."""
PAGE = (
    '<table class="page" role="presentation"><tfoot><tr><td></td></tr></tfoot><tbody><tr><td>',
    "</td></tr></tbody></table>",
)
"""What leaves room for the foot on every page that is printed: the foot of a table stands again on each."""
SHORT = 12
"""Texts of so many letters stay on one line."""


def sheet_page(sheet: BenchSheet, made_at: str = "") -> str:
    """The sheet as one HTML page without scripts, which a screen reader reads in order."""
    parts = [
        f"<h1>{_said(sheet.title)}</h1>",
        f"<p><b>Batch {_said(sheet.number or '________')}, version {sheet.version}</b>",
    ]
    parts.append(f" · {_said(sheet.batch)} · {_said(made_at)}</p>")
    parts.append(f"<p>{WHO}<br>{TOOLS}</p>")
    parts += [f"<p><b>■ STOP: {_said(f.text)}</b></p>" for f in sheet.stops]
    parts += _cautions(sheet, "top")
    tools = [f"Tools: {', '.join(sheet.tools)}"] if sheet.tools else []
    parts.append(f"<h2>Clean start</h2>{_ticks([*CLEAN_START, *tools])}")
    heads = ("phase", "ingredient", "weigh", "shows", "lot", "weighed", "note")
    rows = [(x.phase, x.ingredient, x.weigh, x.running, "", "", x.note) for x in sheet.lines]
    parts += ["<h2>Weigh</h2>", *_cautions(sheet, "scale"), f"{_table(heads, rows)}<p>{_said(sheet.of_phases)}</p>"]
    parts += [f"<p>{_said(mix)}</p>" for mix in sheet.premixes]
    heads = ("step", "what", "with, into", "window", "time", "read °C", "late or missed", "done at")
    steps = [
        (str(s.number), s.what, s.with_and_into, s.window, s.minutes, "" if s.reads else "–", s.else_, "")
        for s in sheet.steps
    ]
    parts += ["<h2>Steps</h2>", *_cautions(sheet, "steps")]
    parts.append(_table(heads, steps) if steps else "<p>None are on file: write down what you do, in order.</p>")
    heads = ("what", "wanted", "read", "tool, °C, when")
    parts.append(f"<h2>Read</h2>{_table(heads, [(*t, '', '') for t in sheet.targets])}")
    parts.append(f"<h2>Other than planned, and why</h2>{'<p>____________________</p>' * 3}")
    parts.append(f"<h2>At the end</h2>{_ticks(CLEAN_END)}")
    told = [sheet.title, f"batch {sheet.number or '________'}", f"version {sheet.version}", made_at]
    foot = f"<footer>{_said(' · '.join(filter(None, told)))}</footer>"
    style = (
        "body{font:16px sans-serif;max-width:60em;margin:1em auto;padding:0 "
        "1em}table{border-collapse:collapse;width:100%}"
        "td,th{border:1px solid #444;padding:.3em;text-align:left;vertical-align:top}"
        ".whole{white-space:nowrap}.write{min-width:6em}tr{break-inside:avoid;height:2.2em}"
        "h2,p:has(+table){break-after:avoid}ul{break-inside:avoid}.page>*>tr{break-inside:auto}"
        ".page>*>tr>td{border:0;padding:0}"
        "@page{margin:12mm}@media print{body{font-size:13px;max-width:none;margin:0;padding:0}"
        "p,ul{margin:.4em 0}h2{margin:.7em 0 .3em}.page>tfoot td{height:7mm}"
        "footer{position:fixed;bottom:0;font-size:11px}}"
    )
    head = (
        f'<meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>{_said(sheet.title)}</title>'
    )
    return (
        f'<!doctype html><html lang="en"><head>{head}<style>{style}</style></head>'
        f"<body>{PAGE[0]}{''.join(parts)}{PAGE[1]}{foot}</body></html>\n"
    )


def _cautions(sheet: BenchSheet, place: str) -> list[str]:
    return [f"<p>▲ {_said(f.subject)}: {_said(f.text)}</p>" for f in sheet.cautions_at(place)]


def _said(text: str) -> str:
    return html.escape(text)


def _ticks(texts: Sequence[str]) -> str:
    return "<ul>" + "".join(f"<li>☐ {_said(t)}</li>" for t in texts) + "</ul>"


def _table(heads: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    def cell(text: str) -> str:
        whole = ' class="whole"' if len(text) <= SHORT else ""
        return f"<td{whole}>{_said(text)}</td>"

    top = "".join(f'<th scope="col"{" class=write" if h in TO_WRITE else ""}>{_said(h)}</th>' for h in heads)
    body = "".join("<tr>" + "".join(map(cell, row)) + "</tr>" for row in rows)
    return f"<table><thead><tr>{top}</tr></thead><tbody>{body}</tbody></table>"
