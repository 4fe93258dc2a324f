"""What a trial needs on paper: the score sheets, the key to fold and keep closed, and how it is done."""

from __future__ import annotations

from maker_kit.trial.card import TargetCard
from maker_kit.trial.plan import HANDS, Place, TrialPlan
from maker_kit.trial.protocols import general_steps, protocols
from maker_kit.trial.run import TrialRun
from maker_kit.workbook.paper.drawn import MARGIN_MM, Pages

ASKED = {
    "triangle": "Two of the three are alike. Tick the odd one. Cannot tell? Guess all the same.",
    "duo-trio": "One of the two is like R. Tick it. Cannot tell? Guess all the same.",
    "paired": "Tick the one that has more: {must_have}. Cannot tell? Guess all the same.",
    "pairs": "Measure both in the order of the sheet, and write both down before you compare.",
    "kind": "Choose one word for each: {words}.",
    "words": "Mark both lines in the order of the sheet; measure when both are marked.",
}
LINE_MM = 100.0
STRIPS_MM, LINES_MM = (22.0, 20.5, 19.0, 17.5), (45.0, 42.0, 39.0, 36.0)
"""Heights of a taster's strip of boxes, and of lines: the tallest with which the sheet takes fewest pages [mm]."""


def score_sheets(run: TrialRun, card: TargetCard, paper: str = "A4", title: str = "") -> bytes:
    """The sheets to write results on: cautions and steps first, then a strip a taster or a table of pairs.

    Nothing on them tells what is behind a code.

    Parameters
    ----------
    run : TrialRun
    card : TargetCard
    paper : {'A4', 'Letter'}
    title : str
        What ours is called; the recipe's short name unless given.

    Returns
    -------
    bytes
        A PDF.

    Raises
    ------
    UnknownNameError
        If there is no such paper, or the card has no such must-have.
    """
    plan, row = run.plan, card.must_have(run.plan.must_have)
    pages = Pages(paper, f"Score sheet: {plan.name}", f"planned {plan.planned_on.isoformat()}, card {card.digest}")
    pages.heading(f"{_first_up(plan.must_have)}: {title or plan.recipe} beside {plan.against}")
    pages.text(f"{_first_up(row.how.rstrip('.'))}. {_dose(plan)}")
    _how(pages, plan)
    pages.heading("Results", 12)
    asked = ASKED["words" if row.measure == "words" else plan.kind]
    pages.text(asked.format(must_have=plan.must_have, words=" or ".join(row.kinds)), bold=True)
    pages.space(2)
    if plan.is_counted:
        height = pages.tallest(plan.count, STRIPS_MM)
        for place in run.key:
            _strip(pages, place, height)
    elif row.measure == "words":
        height = pages.tallest(plan.count, LINES_MM)
        for place in run.key:
            _lines(pages, plan, place, height)
    elif plan.kind == "kind":
        columns = ("", "first person", "second person", "a third, if they differ", "day")
        rows = [(f"ours: {title or plan.recipe}", *[""] * 4), (f"the shop's: {plan.against}", *[""] * 4)]
        pages.table(columns, rows, (3, 2, 2, 2, 1.3), 10)
    else:
        _pairs(pages, run, row.unit)
    return pages.pdf()


def _first_up(text: str) -> str:
    return text[:1].upper() + text[1:]


def key_sheet(run: TrialRun, paper: str = "A4", title: str = "") -> bytes:
    """The key of a run, to be folded and kept closed until all results are in. Raises as `score_sheets`."""
    plan = run.plan
    pages = Pages(paper, f"KEY, keep closed: {plan.name}", f"last seal {run.last_seal}")
    pages.heading(f"KEY of {plan.name}")
    pages.text(
        "Fold this sheet and keep it closed until the last result is written down. Opening it is entered in the "
        "workbook, and no result is taken afterwards.",
        bold=True,
    )
    pages.space(2)
    pages.text(
        f"{_first_up(plan.must_have)}: {title or plan.recipe} is ours, {plan.against} is the shop's. Seed {plan.seed}."
    )
    pages.space(3)
    number = "taster" if plan.is_counted else "pair"
    rows = [(str(p.number), ", ".join(p.codes), ", ".join(p.behind), p.side) for p in run.key]
    columns, shares = (number, "codes in order", "what is behind each", "first on"), (1, 3, 4, 1.5)
    if not any(p.side for p in run.key):
        rows, columns, shares = [row[:-1] for row in rows], columns[:-1], shares[:-1]
    pages.table(columns, rows, shares)
    return pages.pdf()


def _dose(plan: TrialPlan) -> str:
    dose = "" if plan.dose_g is None else f"Dose {plan.dose_g:g} g of each, weighed."
    rest = "" if plan.wash_out_h is None else f" {plan.wash_out_h:g} hours between two pairs."
    return f"{dose}{rest}".strip()


def _how(pages: Pages, plan: TrialPlan) -> None:
    found = protocols().get(plan.protocol)
    if found is not None:
        pages.space(2)
        pages.heading("First", 12)
        for text in found.cautions:
            pages.text(f"▲ {text}", indent=3)
    pages.space(2)
    pages.heading("How", 12)
    steps = (*general_steps(plan.kind, plan.hands), *(found.steps if found else ()))
    for number, text in enumerate(steps, 1):
        pages.text(f"{number}. {text}", indent=3)
    pages.text(f"Source: {found.source if found else 'common practice, no source'}", 8)
    pages.space(3)


def _strip(pages: Pages, place: Place, height: float) -> None:
    """One taster's strip: her number, the codes with boxes, and a line for the day [mm]."""
    pages.keep(height)
    pages.line(MARGIN_MM, pages.top, MARGIN_MM + pages.room, pages.top, 0.4)
    y = pages.top - 0.4 * height
    pages.put(MARGIN_MM, y, f"taster {place.number}", 11, bold=True)
    for k, code in enumerate(place.codes):
        x = MARGIN_MM + 34 + k * 34
        if code == "R":
            pages.put(x, y, "R first", 12)
            continue
        pages.box(x, y - 0.7)
        pages.put(x + 7, y, code, 12)
    pages.put(MARGIN_MM, y - 0.4 * height, "day and note: ......................................................", 9)
    pages.space(height)


def _lines(pages: Pages, plan: TrialPlan, place: Place, height: float) -> None:
    """One taster's lines of 100 mm, one a code, with the words at their ends [mm]."""
    found = protocols().get(plan.protocol)
    ends = found.ends if found and found.ends else ("none", "most")
    pages.keep(height)
    pages.line(MARGIN_MM, pages.top, MARGIN_MM + pages.room, pages.top, 0.4)
    pages.space(0.16 * height)
    who = "taster" if plan.hands == HANDS[1] else "pair"
    pages.put(MARGIN_MM, pages.top, f"{who} {place.number}", 11, bold=True)
    for code in place.codes:
        pages.space(0.28 * height)
        x, y = MARGIN_MM + 20, pages.top
        pages.put(MARGIN_MM, y - 1, code, 12)
        pages.line(x, y, x + LINE_MM, y, 0.9)
        for end in (x, x + LINE_MM):
            pages.line(end, y - 2, end, y + 2, 0.9)
        pages.put(x, y - 6, ends[0], 8)
        pages.put(x + LINE_MM, y - 6, ends[1], 8, ha="right")
        pages.put(x + LINE_MM + 8, y - 1, "......... mm", 9)
    pages.space(0.28 * height)


def _pairs(pages: Pages, run: TrialRun, unit: str) -> None:
    blank = "........"
    columns = ("pair", "day", "first", "on", f"result [{unit}]", "second", "on", f"result [{unit}]", "note")
    other = {"left": "right", "right": "left", "": ""}
    rows = [(str(p.number), blank, p.codes[0], p.side, blank, p.codes[1], other[p.side], blank, "") for p in run.key]
    pages.table(columns, rows, (1, 1.6, 1.1, 1.1, 2, 1.3, 1.1, 2, 2.2))
