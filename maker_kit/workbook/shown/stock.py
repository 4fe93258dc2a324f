"""What is there, as a maker reads it: what it fills, what one more pack would give, and the ways on if it is short."""

from __future__ import annotations

from maker_kit.formula.batch import counted
from maker_kit.formula.changes.in_hand import InHand, no_help
from maker_kit.formula.changes.received import Received
from maker_kit.plan.stock import CostedOptions
from maker_kit.workbook.shown.kit import named
from maker_kit.workbook.shown.sheets import Sheet, findings_sheet, frame_sheet, words_sheet

NOTHING_THERE = "Nothing is named that is there: weigh what came, or write lines such as Propanediol = 32 g."


def fills_answer(there: InHand, wanted: int) -> str:
    """How many of the wanted containers what is there fills, what runs out first, and what is left out of it."""
    words = f"{there.title}: what is there fills {there.containers} of {counted(wanted)}"
    if there.containers >= wanted:
        words = f"{there.title}: what is there is enough for {counted(wanted)}"
    out = f"; {there.runs_out_first} runs out first" if there.runs_out_first else ""
    missing = there.not_included
    return words + out + (f"; {named(missing)} not counted, have it ready" if missing else "")


def taken_as_listed(came: Received | None) -> str:
    """What was not weighed, and so is taken as its label or the kit list says; empty where there is none."""
    taken = [r.item for r in came.rows if r.found is None and (r.label, r.listed) != (None, None)] if came else []
    return f"Not weighed, taken as label or kit list say: {', '.join(taken)}." if taken else ""


def fills_sheet(there: InHand) -> Sheet:
    """How many containers each thing fills, and what runs out first."""
    return frame_sheet(there.to_frame())


def more_sheet(there: InHand) -> Sheet:
    """What one more pack of the scarcest would give; packs that give no container more are left out, or it says why."""
    scarce, packs = there.runs_out_first, there.more_packs
    frame, units = there.packs_to_frame(), {row.item: row.unit for row in there.rows}
    if not len(frame):
        none = no_help(scarce, packs) if packs else f"no pack of {scarce} is on sale by itself"
        return words_sheet("one more pack", none)
    frame["content"] = [f"{pack.amount:g} {units.get(pack.item, '')}".strip() for pack in there.packs_that_help]
    return frame_sheet(frame, right=("content", "price"))


def ways_sheet(ways: CostedOptions) -> Sheet:
    """The four ways on from a short bottle, side by side; where nothing is short, that it is enough."""
    if not ways.options:
        return findings_sheet(ways.shortage.check.findings)
    costs = {
        f"{what} {ways.currency}": f"{what} [{ways.currency}]" for what in ("still to pay", "used up", "used up, each")
    }
    frame = ways.to_frame().rename(columns={"batch g": "batch [g]", "new flags": "new notes", **costs})
    frame["new notes"] = ["\n".join(f"{f.kind}: {f.text}" for f in way.new_findings) for way in ways.options]
    return frame_sheet(frame, right=costs.values())


def ways_percents_sheet(ways: CostedOptions) -> Sheet:
    """The percentages of each way."""
    return frame_sheet(ways.shortage.percents(), 3)
