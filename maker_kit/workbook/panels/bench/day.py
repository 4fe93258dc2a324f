"""What the tabs of a bench day share: recipe, kit, count, the log, and the batch in the beaker."""

from __future__ import annotations

from datetime import datetime

import ipywidgets as w

from maker_kit.bench.batches import begin_batch
from maker_kit.bench.clean import Tools, last_tools
from maker_kit.bench.log import BenchLog
from maker_kit.errors import NoticeError
from maker_kit.workbook.bench_book import BenchBook
from maker_kit.workbook.panels.bench.pieces import BatchChoice, writing
from maker_kit.workbook.panels.controls import field, look, row, sentence
from maker_kit.workbook.panels.hand import Hand


class Day:
    """What the tabs of a bench day share: recipe, kit, count, the log, and the batch in the beaker.

    Parameters
    ----------
    hand : Hand
    book : BenchBook
    batch : str
        Empty for the last of the recipe.

    Attributes
    ----------
    made_by, scale, thermometer, ph_meter : ipywidgets.Text
        Who works, and the tools' own numbers; they go with what is written down, and begin with the last ones.
    """

    def __init__(self, hand: Hand, book: BenchBook, batch: str = "") -> None:
        self.hand, self.book = hand, book
        self.batches = BatchChoice(book, lambda: hand.made.name, batch)
        self.version = field("sheet's version", "", "if printed", **look("16em", "8em"))
        last = last_tools(book.log) if book.log else Tools()
        self.made_by = field("made by", last.made_by, "who works", **look("17em", "5em"))
        self.scale = field("scale no.", last.scale, "as on it", **look("15em", "6em"))
        self.thermometer = field("thermometer no.", last.thermometer, "as on it", **look("18em", "9em"))
        self.ph_meter = field("pH meter no.", last.ph_meter, "as on it", **look("17em", "8em"))
        self.begin, self.said = writing("maker-day", "begin a batch", self._begin, lambda: None)
        self.whose = w.HTML(sentence(book.said))
        self.row = w.VBox(
            [hand.row, row([self.batches.choice, self.version, self.begin, self.whose]), self.said],
            layout={"width": "100%"},
        )

    @property
    def log(self) -> BenchLog | None:
        """The log to read."""
        return self.book.log

    @property
    def containers(self) -> int:
        """Of the batch in the beaker; what is wanted where none is begun."""
        return self.batches.row()["containers"] if self.batches.value else int(self.hand.wanted.value)

    def now(self) -> str:
        """Date and time of an entry."""
        return f"{datetime.now():%Y-%m-%d %H:%M}"

    def open_batch(self) -> str:
        """The batch in the beaker. Raises NoticeError where none is begun."""
        if not self.batches.value:
            raise NoticeError("begin a batch first: what is done belongs to one")
        return self.batches.value

    def _begin(self) -> str:
        made = self.hand.made
        number = begin_batch(
            self.book.to_write(),
            made,
            int(self.hand.wanted.value),
            self.book.today,
            sheet_version=self.version.value,
            made_by=self.made_by.value,
        )
        self.batches.fill(number)
        return f"batch {number} of {made.title} is begun"
