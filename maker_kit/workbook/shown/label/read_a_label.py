"""A shop's label as it was read: its answer, its names with their ranges, why, and a recipe to start from."""

from __future__ import annotations

from maker_kit.label.beside import MISSING, SHARED, Beside
from maker_kit.label.order.because import because
from maker_kit.label.reading import LabelReading, LabelRow
from maker_kit.label.starting import StartingRecipe
from maker_kit.workbook.amounts import percent
from maker_kit.workbook.charts.read_a_label import range_words
from maker_kit.workbook.shown.answers import notes_in_words
from maker_kit.workbook.shown.sheets import Sheet, words_sheet

NO_GUESS = "Tell what the first name may be, such as 60 to 85, before a guess is shown: a label alone knows too little."


def label_answer(reading: LabelReading) -> str:
    """What the first name may be and where the 1 % line may stand, in one sentence."""
    count = f"{len(reading.rows)} names"
    if reading.bounds is None:
        return f"{count} that cannot all be true · {notes_in_words(reading.findings)}"
    first = reading.rows[0]
    places = reading.bounds.line_after
    where = f"after name {places[0]}" if len(places) == 1 else f"after name {places[0]} to {places[-1]}"
    line = "" if reading.law == "all" else f", the 1 % line stands {where}"
    return f"{count}: {first.name} {range_words(first)}{line} · {notes_in_words(reading.findings)}"


def names_sheet(reading: LabelReading, guess: dict[str, float]) -> Sheet:
    """Every name: as written, what it is, its range by all rules and by the order alone, and the guess."""
    rows = []
    for row in reading.rows:
        bare = "" if row.bare_most is None else f"{percent(row.bare_least.percent)} to {percent(row.bare_most.percent)}"
        all_rules = "" if row.most is None else f"{percent(row.least.percent)} to {percent(row.most.percent)}"
        told = {
            "place": row.place,
            "name": row.name,
            "on the pack": row.written if row.written != row.name else "",
            "what it is": row.role if not row.of else f"{row.role} {', '.join(row.of)}",
            "% by all rules": all_rules,
            "% by the order alone": bare,
            "never quite reached": _approached(row),
        }
        if guess:
            told["a guess, %"] = percent(guess[row.name]) if row.name in guess else ""
        rows.append(told)
    return Sheet(rows, ("name", "on the pack", "what it is", "never quite reached"))


def _approached(row: LabelRow) -> str:
    """Which ends of a range nothing ever has; that everything listed is more than nothing goes without saying."""
    if row.least is None or row.most is None:
        return ""
    ends = {"least": row.least.reached or not row.least.exact, "most": row.most.reached}
    return ", ".join(end for end, reached in ends.items() if not reached)


def rules_sheet(reading: LabelReading) -> Sheet:
    """What was reckoned with beside the order: each maximum and least, why, and who says so."""
    rows = [
        (", ".join(r.names), f"{r.end} {percent(float(r.percent))} %", r.kind, r.why, r.source) for r in reading.rules
    ]
    columns = ["name", "holds at", "kind", "why", "source"]
    return Sheet(rows or [("none", "", "", "only the order counts", "")], columns=columns)


def why_sheet(reading: LabelReading, name: str) -> Sheet:
    """Which rules make the least and the most of one name: the smallest set that does."""
    if reading.bounds is None:
        return words_sheet("why", str(reading.clash))
    if name not in reading.bounds.order.names:
        holders = ", ".join(reading.of(name).of)
        return words_sheet("why", f"{name} stands inside {holders}, so it holds no more than they do.")
    row = reading.of(name)
    rows = [(f"{e} {percent(getattr(row, e).percent)} %", because(reading.bounds, name, e)) for e in ("least", "most")]
    return Sheet(rows, columns=[name, "because"])


def beside_sheet(found: Beside) -> Sheet:
    """Both lists, name by name; no figure says how alike they are."""

    def span(low: object, high: object) -> str:
        if high is None:
            return "–"
        return percent(float(high)) if low == high else f"{percent(float(low))} to {percent(float(high))}"

    rows = [
        (r.where, r.name, r.role, span(r.shop_low, r.shop_high), span(r.ours_low, r.ours_high), r.standing)
        for r in found.rows
    ]
    return Sheet(rows, columns=["where", "name", "what it does", "shop [%]", "ours [%]", "strength"])


def beside_words(found: Beside) -> str:
    """How many names are shared, missing and extra, in one sentence."""
    shared, gone = len(found.of(SHARED)), len(found.of(MISSING))
    extra = len(found.rows) - shared - gone
    counts = f"{shared} names in both lists, {gone} only on the shop's, {extra} only in ours"
    return f"{counts}. How strong each is, no list tells."


def starting_sheet(start: StartingRecipe) -> Sheet:
    """The recipe to start from, in phases."""
    rows = [
        (
            line.phase,
            line.name,
            percent(float(line.percent)),
            line.role,
            f"{percent(float(line.low))} to {percent(float(line.high))}",
        )
        for line in start.lines
    ]
    columns = ["phase", "name", "%", "what it does", "the label allows [%]"]
    return Sheet(rows, ("phase", "name", "what it does"), columns=columns)
