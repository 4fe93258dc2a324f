"""What must stand on our label, as a maker reads it: the answer, the list, the rest to print, the net content."""

from __future__ import annotations

from maker_kit.label.declared import Declaration
from maker_kit.label.net_content import NetContent
from maker_kit.numbers import number_text
from maker_kit.plan.label.our_label import OurLabel
from maker_kit.workbook.charts.our_label import amount_words
from maker_kit.workbook.shown.answers import notes_in_words
from maker_kit.workbook.shown.sheets import Sheet, words_sheet


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
    return Sheet([(w.text, ", ".join(w.about), w.source) for w in label.warned], columns=["warning", "about", "source"])


def letter_words(net: NetContent) -> str:
    """How high the letters of the net content must be, in words."""
    return "unknown" if net.letter_mm is None else f"at least {number_text(net.letter_mm)} mm"
