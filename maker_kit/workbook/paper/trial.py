"""What a trial needs on paper: the score sheets, the key to fold and keep closed, and how it is done."""

from __future__ import annotations

from maker_kit.trial.card import TargetCard
from maker_kit.trial.plan import Place, TrialPlan
from maker_kit.trial.protocols import PROTOCOLS, general_steps
from maker_kit.trial.run import TrialRun
from maker_kit.workbook.paper.drawn import MARGIN_MM, Pages

ASKED = {
    "triangle": "Two of the three are alike. Tick the odd one. Cannot tell? Guess all the same.",
    "duo-trio": "One of the two is like R. Tick it. Cannot tell? Guess all the same.",
    "paired": "Tick the one that has more: {must_have}. Cannot tell? Guess all the same.",
    "pairs": "Measure both in the order of the sheet, and write both down before you compare.",
    "kind": "Choose one word for each.",
}
LINE_MM = 100.0


def score_sheets(run: TrialRun, card: TargetCard, paper: str = "A4") -> bytes:
    """The sheets to write results on: cautions and steps first, then a strip a taster or a table of pairs.

    Nothing on them tells what is behind a code.

    Parameters
    ----------
    run : TrialRun
    card : TargetCard
    paper : {'A4', 'Letter'}

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
    pages.heading(f"{plan.must_have}: {plan.recipe} beside {plan.against}")
    pages.text(f"{row.how}. {_dose(plan)}")
    _how(pages, plan)
    pages.heading("Results", 12)
    pages.text(ASKED[plan.kind].format(must_have=plan.must_have), bold=True)
    pages.space(2)
    if plan.is_counted:
        for place in run.key:
            _strip(pages, plan, place)
    elif row.measure == "words":
        for place in run.key:
            _lines(pages, plan, place)
    else:
        _pairs(pages, run, row.unit)
    return pages.pdf()


def key_sheet(run: TrialRun, paper: str = "A4") -> bytes:
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
    pages.text(f"{plan.must_have}: {plan.recipe} is ours, {plan.against} is the shop's. Seed {plan.seed}.")
    pages.space(3)
    number = "taster" if plan.is_counted else "pair"
    rows = [(str(p.number), "   ".join(p.codes), "   ".join(p.behind), p.side) for p in run.key]
    pages.table((number, "codes in order", "what is behind each", "first on"), rows, (1, 3, 4, 1.5))
    return pages.pdf()


def _dose(plan: TrialPlan) -> str:
    dose = "" if plan.dose_g is None else f"Dose {plan.dose_g:g} g of each, weighed."
    rest = "" if plan.wash_out_h is None else f" {plan.wash_out_h:g} hours between two pairs."
    return f"{dose}{rest}".strip()


def _how(pages: Pages, plan: TrialPlan) -> None:
    found = PROTOCOLS.get(plan.protocol)
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


def _strip(pages: Pages, plan: TrialPlan, place: Place) -> None:
    """One taster's strip: her number, the codes with boxes, and a line for the day."""
    pages.keep(24)
    pages.line(MARGIN_MM, pages.top, MARGIN_MM + pages.room, pages.top, 0.4)
    y = pages.top - 9
    pages.put(MARGIN_MM, y, f"taster {place.number}", 11, bold=True)
    for k, code in enumerate(place.codes):
        x = MARGIN_MM + 34 + k * 34
        if code == "R":
            pages.put(x, y, "R first", 12)
            continue
        pages.box(x, y - 0.7)
        pages.put(x + 7, y, code, 12)
    pages.put(MARGIN_MM, y - 9, "day and note: ......................................................", 9)
    pages.space(22)


def _lines(pages: Pages, plan: TrialPlan, place: Place) -> None:
    """One taster's lines of 100 mm, one a code, with the words at their ends."""
    found = PROTOCOLS.get(plan.protocol)
    ends = found.ends if found and found.ends else ("none", "most")
    pages.keep(46)
    pages.line(MARGIN_MM, pages.top, MARGIN_MM + pages.room, pages.top, 0.4)
    pages.space(7)
    pages.put(MARGIN_MM, pages.top, f"number {place.number}", 11, bold=True)
    for code in place.codes:
        pages.space(12)
        x, y = MARGIN_MM + 20, pages.top
        pages.put(MARGIN_MM, y - 1, code, 12)
        pages.line(x, y, x + LINE_MM, y, 0.9)
        for end in (x, x + LINE_MM):
            pages.line(end, y - 2, end, y + 2, 0.9)
        pages.put(x, y - 6, ends[0], 8)
        pages.put(x + LINE_MM, y - 6, ends[1], 8, ha="right")
        pages.put(x + LINE_MM + 8, y - 1, "......... mm", 9)
    pages.space(12)


def _pairs(pages: Pages, run: TrialRun, unit: str) -> None:
    blank = "........"
    columns = ("pair", "day", "first", "on", f"result [{unit}]", "second", "on", f"result [{unit}]", "note")
    other = {"left": "right", "right": "left", "": ""}
    rows = [(str(p.number), blank, p.codes[0], p.side, blank, p.codes[1], other[p.side], blank, "") for p in run.key]
    pages.table(columns, rows, (1, 1.6, 1.1, 1.1, 2, 1.3, 1.1, 2, 2.2))
