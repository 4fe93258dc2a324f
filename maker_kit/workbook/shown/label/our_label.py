"""What must stand on our label, as a maker reads it: the answer, the list, the rest to print, the net content."""

from __future__ import annotations

import base64
import html

from maker_kit.label.claims import claim_findings, judge_claims
from maker_kit.label.declared import Declaration
from maker_kit.label.net_content import NetContent
from maker_kit.plan.label.our_label import OurLabel
from maker_kit.workbook.charts.our_label import amount_words
from maker_kit.workbook.paper.label_sheet import LabelSheet
from maker_kit.workbook.shown.answers import notes_in_words
from maker_kit.workbook.shown.sheets import Sheet, findings_sheet, words_sheet


def our_answer(label: OurLabel) -> str:
    """Whether the label is whole, in one sentence."""
    missing = [f for f in label.findings if f.level == "missing"]
    state = "nothing is missing by the rules on file" if not missing else f"{len(missing)} things are still missing"
    state = "1 thing is still missing" if len(missing) == 1 else state
    names = f"{len(label.declaration.rows)} names, net {label.net.text}"
    return f"{label.plan.recipe.title}, {label.market}: {names}; {state} · {notes_in_words(label.findings)}"


def to_print_sheet(label: OurLabel) -> Sheet:
    """All that must stand on it, as far as it is known, and who says so."""
    rows = [(p.what, p.text or p.blank, p.note, p.source) for p in label.particulars]
    return Sheet(rows, columns=["what", "to print", "rule in short", "source"], widths={"to print": "46%"})


def list_sheet(declaration: Declaration) -> Sheet:
    """The list in its order: amount, where it stands, ties and overlaps, and what brings it; then the gaps."""
    rows = [
        (
            str(at),
            r.name,
            amount_words(r),
            r.group,
            ", ".join(r.ties),
            ", ".join(r.overlaps),
            ", ".join(r.lines),
            "" if r.told else "percent not told",
        )
        for at, r in enumerate(declaration.rows, start=1)
    ]
    rows += [("", f"[not told: {gap}]", "unknown", "gap", "", "", gap, "ask the supplier") for gap in declaration.gaps]
    columns = ["", "name", "%", "where", "same amount as", "may be less than", "from", "note"]
    return Sheet(rows, [c for c in columns if c not in {"", "%"}], columns=columns)


def net_sheet(net: NetContent) -> Sheet:
    """Net content in two units, fill, what one pack may lack, and the height of its letters."""
    frame = net.to_frame()
    rows = [*frame.itertuples(index=False, name=None)]
    return Sheet([(what, f"{figure} {unit}".strip()) for what, figure, unit in rows], columns=["net content", "figure"])


def warnings_sheet(label: OurLabel) -> Sheet:
    """The warnings to be printed, in the law's words."""
    if not label.warned:
        return words_sheet(
            "warnings", "None was found on file for what this holds; that is no promise that none is due."
        )
    rows = [(w.text, ", ".join(w.about), w.when, w.source) for w in label.warned]
    return Sheet(
        rows,
        ("warning", "about", "the law says besides"),
        columns=["warning", "about", "the law says besides", "source"],
    )


def claims_shown(text: str, label: OurLabel) -> Sheet:
    """Claims as they were typed, one a line with its evidence behind "=", judged for the label's market."""
    lines = [line.partition("=") for line in text.splitlines() if line.strip()]
    if not lines:
        return words_sheet("claims", "Type a claim: it is held against the rules of the market and our own list.")
    evidence = {claim.strip(): link.strip() for claim, _, link in lines}
    return findings_sheet(claim_findings(judge_claims(evidence, label.market, evidence, label.declaration)))


def sheet_preview(sheet: LabelSheet) -> str:
    """A sheet of labels as a picture, with its sizes in words (HTML)."""
    picture = base64.b64encode(sheet.png()).decode()
    told = html.escape(sheet.words, quote=True)
    look = "max-width:100%; border:1px solid #999"
    draft = sentence_of("Each label says that it is a draft, since something is still missing.") if sheet.draft else ""
    return f'{sentence_of(sheet.words)}{draft}<img alt="{told}" style="{look}" src="data:image/png;base64,{picture}">'


def sentence_of(text: str) -> str:
    """Words as HTML, with everything escaped."""
    return f'<p style="margin:.2em 0">{html.escape(text)}</p>'
