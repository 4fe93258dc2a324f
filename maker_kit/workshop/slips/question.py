"""How questions about cells are gathered, not where a cell says ``sure``; and what is far from what."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from statistics import median

from maker_kit.workshop.csv import tables as specs
from maker_kit.workshop.csv.cells import without_sure
from maker_kit.workshop.csv.columns import TableSpec
from maker_kit.workshop.csv.faults import shown
from maker_kit.workshop.csv.records import Record
from maker_kit.workshop.slips.asked import Question, Topic

TOPICS = {
    **specs.TELLS_OF,
    specs.SWAPS: ("ingredient", "ingredient"),
    specs.PACKS: ("ingredient", "item"),
    **dict.fromkeys((specs.THICKNESS, specs.TARGETS, specs.PAPERS, specs.WATCH, specs.DECISIONS), ("recipe", "recipe")),
}
"""Table → what a question about a row of it is about, and the key under which that stands."""

__all__ = ["Asker", "Question", "Topic", "far_off", "number", "numbers", "plain", "rises_as"]


@dataclass
class Asker:
    """Gathers the questions, each cell once: the first that is asked about a cell stands."""

    _asked: dict[tuple[str, int, str], Question] = field(default_factory=dict)

    @property
    def questions(self) -> tuple[Question, ...]:
        """All of them."""
        return tuple(self._asked.values())

    def ask(self, code: str, topic: Topic, record: Record, key: str, why: str, *beside: Record) -> None:
        """Ask about one cell, unless it says ``sure``, or the same cell of a row `beside` that it is compared with."""
        if any(key in r.sure for r in (record, *beside)):
            return
        text = without_sure(record.texts.get(key, ""))
        mend = f"Correct it; if it is meant, write: {shown(text)[1:-1]} sure"
        question = Question(f"slip.{code}", topic, *record.place(key), shown(text), why, mend)
        self._asked.setdefault((record.file, record.row, key), question)


def topic_of(spec: TableSpec, record: Record) -> Topic:
    """What a question about a row of a table is about; the workshop where its rows are of nothing else."""
    kind, key = TOPICS.get(spec, ("workshop", ""))
    return Topic.of(kind, record[key] or "") if key else Topic(kind, "")


def number(record: Record, key: str) -> float | None:
    """A number of a cell; None for a blank one and one that could not be read."""
    value = record[key]
    return None if value is None or value == "" else float(value)


def numbers(records: Iterable[Record], key: str) -> Iterator[tuple[Record, float]]:
    """The rows that hold a number above 0 under a key, with it."""
    for record in records:
        value = number(record, key)
        if value:
            yield record, value


def far_off(value: float, others: Sequence[float], factor: float, least: int = 3) -> float | None:
    """The median of the others where a value lies more than `factor` times outside all of them; else None.

    Nothing is said of fewer than `least` others, nor where they are no closer to each other than that themselves.
    """
    if len(others) < least or value <= 0 or min(others) <= 0 or max(others) > factor**2 * min(others):
        return None
    return median(others) if value > factor * max(others) or value * factor < min(others) else None


def rises_as(small: tuple[float, float], large: tuple[float, float]) -> float | None:
    """How a price rises with the size, as a power of it: ``ln(p2/p1) / ln(s2/s1)`` of (size, price) pairs; None for
    sizes less than half as much apart.
    """
    ratio = large[0] / small[0]
    return math.log(large[1] / small[1]) / math.log(ratio) if ratio >= 1.5 else None


def plain(value: float) -> str:
    """A figure in a sentence: three digits, without an exponent."""
    if value >= 100:
        return f"{value:,.0f}".replace(",", " ")
    return f"{value:.3g}" if value >= 0.001 else f"{value:.6f}".rstrip("0")
