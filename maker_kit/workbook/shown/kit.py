"""A kit that came, as a maker reads it: needed, listed and on the scale, with what a pack may lack and who says so."""

from __future__ import annotations

from collections.abc import Sequence

from maker_kit.formula.batch import counted
from maker_kit.formula.changes.received import Received, ReceivedRow
from maker_kit.formula.changes.standing import Standing
from maker_kit.workbook.shown.sheets import Sheet, findings_sheet

TOO_LITTLE = {Standing.SHORT, Standing.FAR_SHORT}
NOTHING_YET = "Nothing is weighed yet, and no kit is chosen: write down what the scale shows."


def kit_answer(kit: Received) -> str:
    """What is short, what may be, and what is not weighed, in one sentence."""
    short = [row.item for row in kit.rows if row.found is not None and row.scale_to_recipe in TOO_LITTLE]
    by_list = [row.item for row in kit.rows if row.found is None and row.list_to_recipe in TOO_LITTLE]
    unweighed = sum(row.found is None and row.listed is not None and row.unit == "g" for row in kit.rows)
    told = [f"{named(short)} {'is' if len(short) == 1 else 'are'} short"] if short else []
    told += [f"by the kit list {named(by_list)} {'is' if len(by_list) == 1 else 'are'} short"] if by_list else []
    told = told or ["nothing is short" if not unweighed else "nothing is short by the kit list"]
    told += [f"{counted_things(unweighed)} not weighed yet"] if unweighed else []
    return f"{kit.title}, {counted(kit.makes)}: {'; '.join(told)}"


def counted_things(count: int) -> str:
    """How many things, with the verb: ``1 thing is``, ``3 things are``."""
    return "1 thing is" if count == 1 else f"{count} things are"


def named(items: Sequence[str], most: int = 3) -> str:
    """Names in a sentence; beyond the first few only how many more."""
    first = ", ".join(items[:most])
    return f"{first} and {len(items) - most} more" if len(items) > most else first


def received_sheet(kit: Received) -> Sheet:
    """Every thing with its amounts and comparisons."""
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
