"""What a spreadsheet knows of a cell beside its text: a number, a date, an error, a formula without a value."""

from __future__ import annotations

from maker_kit.workshop.csv.cells import CellError, Marks
from maker_kit.workshop.csv.columns import Column

NUMBER, DATE, MOMENT, TRUTH = "number", "date", "moment", "truth"
ERROR, FORMULA, MERGED = "error", "formula", "merged"
ERRORS = frozenset(
    {
        "#NULL!",
        "#DIV/0!",
        "#VALUE!",
        "#REF!",
        "#NAME?",
        "#NUM!",
        "#N/A",
        "#GETTING_DATA",
        "#SPILL!",
        "#CALC!",
        "#FIELD!",
    }
)
"""What a spreadsheet shows where it could not work something out (ECMA-376, part 1, 18.17.3; the last three newer)."""
_WITH_DATES = ("date", "text")


def check_typed(kind: str, text: str, column: Column) -> None:
    """Refuse what a spreadsheet holds in a cell and no column can take, in words.

    Parameters
    ----------
    kind : str
        What the spreadsheet says the cell is; empty for text.
    text : str
        As the cell would be read.
    column : Column

    Raises
    ------
    CellError
        For an error value, a formula whose value is not in the file, merged cells, yes or no in a column of something
        else, and a date where a name, a list or an amount is due.
    """
    if kind == ERROR or (kind == "" and text.strip().upper() in ERRORS):
        raise CellError(
            allowed=f"{column.allows()}, not what a spreadsheet shows where it could not work a cell out",
            mend="mend the formula, or write the value itself; leave the cell blank if it is not known",
        )
    if kind == FORMULA:
        raise CellError(
            allowed="a formula whose value was worked out and saved with it",
            mend="open the workbook in a spreadsheet program and save it, so that the value is in it; or write it",
        )
    if kind == MERGED:
        raise CellError(
            allowed="cells that stand alone: what joined cells mean in the other rows or columns nobody can tell",
            mend="part them (unmerge), and write the value into each cell that it is meant for",
        )
    if kind in (DATE, MOMENT) and column.kind not in _WITH_DATES:
        raise CellError(
            column.allows(),
            "the spreadsheet took what was typed for a date or a time: format the cell as text and type it again",
        )
    if kind == MOMENT and column.kind == "date":
        raise CellError(column.allows(), "this is a time of day without a day: write the date")
    if kind == TRUTH and column.kind not in ("yes/no", "text", "one of"):
        raise CellError(column.allows(), "the spreadsheet took this for yes or no (TRUE, FALSE): write what is meant")


def marks_of(kind: str, marks: Marks) -> Marks:
    """How numbers are written in a cell: what a spreadsheet keeps as a number can be read in one way."""
    return Marks(habits=marks.habits) if kind == NUMBER else marks
