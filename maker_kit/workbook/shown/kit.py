"""A kit that came, as a maker reads it: needed, listed and on the scale, with what a pack may lack and who says so."""

from __future__ import annotations

from maker_kit.formula.changes.received import Received, ReceivedRow
from maker_kit.workbook.shown.sheets import Sheet, findings_sheet, words_sheet

NO_KIT = "no kit is named; write the name of one from kits.csv, and what the scale shows of each thing"


def received_sheet(kit: Received | None) -> Sheet:
    """Every thing with its amounts and comparisons; where no kit is named (None), it says so."""
    if kit is None:
        return words_sheet("what came", NO_KIT)
    words = ("list against recipe", "scale against pack", "scale against recipe", "what it may lack is from")
    amounts = (f"needed for {kit.makes}", "on the kit list", "on its label", "on the scale", "may lack")
    widths = {"what": "13%", "on its label": "7%", "on the scale": "8%", "what it may lack is from": "22%"}
    return Sheet(map(_row, kit.rows), ("what", *words), widths, ["what", *amounts, *words])


def _row(row: ReceivedRow) -> tuple[str, ...]:
    pieces, listed = row.unit == "pieces", row.listed is not None
    told = listed or row.label is not None

    def amount(value: float | None, blank: str = "–") -> str:
        return blank if value is None else f"{value:.0f} pieces" if pieces else f"{value:.2f} g"

    return (
        row.item,
        amount(row.need),
        amount(row.listed),
        amount(row.label, "not read" if listed else "–"),
        amount(row.found, "–" if not listed else "not counted" if pieces else "not weighed"),
        amount(row.may_lack, "unknown") if pieces or told else "–",
        row.list_to_recipe,
        row.scale_to_pack,
        row.scale_to_recipe,
        row.source if told else "–",
    )


def received_notes(kit: Received) -> Sheet:
    """What to look at, gravest first; what is fine stands in the table alone."""
    return findings_sheet(f for f in kit.findings if f.level != "fine")
