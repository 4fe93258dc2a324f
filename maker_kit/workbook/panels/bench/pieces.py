"""What the bench's screens share: which batch is looked at, times and temperatures as they are typed, and buttons."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date, datetime, timedelta
from typing import Any

import ipywidgets as w

from maker_kit.bench.cooling import Reading
from maker_kit.errors import NoticeError, UnknownNameError
from maker_kit.names import name_key, near_miss
from maker_kit.numbers import with_point
from maker_kit.temperature import parse_temperature
from maker_kit.workbook.bench_book import BenchBook
from maker_kit.workbook.panels.call import keep_button
from maker_kit.workbook.panels.controls import look, text_box
from maker_kit.workbook.typed import read_answers

NONE = "none yet"
MOST_READINGS = 1000
"""More readings than these are something else."""
_CLOCK = re.compile(r"(\d{1,2})[:.](\d{2})")


class BatchChoice:
    """The batches of the log, or those of one recipe, to choose from.

    Parameters
    ----------
    book : BenchBook
    recipe : callable
        Gives the recipe's name; "" for the batches of all.
    batch : str
        Which it begins with; empty for the last.

    Raises
    ------
    UnknownNameError
        If there is no such batch.
    """

    def __init__(self, book: BenchBook, recipe: Callable[[], str], batch: str = "") -> None:
        self._book, self._recipe = book, recipe
        numbers = self.numbers()
        found = next((n for n in numbers if name_key(n) == name_key(batch)), "")
        if batch.strip() and not found:
            raise UnknownNameError(f'the log has no batch "{batch}" of this recipe; {near_miss(batch, list(numbers))}')
        self.choice = w.Dropdown(options=[NONE], description="batch", **look("15em", "4em"))
        self.choice.add_class("maker-batch")
        self.fill(found)

    def numbers(self) -> tuple[str, ...]:
        """Numbers of the batches, the oldest first."""
        log, recipe = self._book.log, self._recipe()
        if log is None:
            return ()
        return tuple(row["number"] for row in log.now("batch", **({"recipe": recipe} if recipe else {})))

    def fill(self, chosen: str = "") -> None:
        """Take the numbers from the log, and choose one of them, or the last."""
        numbers = self.numbers()
        options = list(reversed(numbers)) or [NONE]
        if list(self.choice.options) != options:
            self.choice.options = options
        self.choice.value = chosen if chosen in options else options[0]
        self.choice.disabled = not numbers

    @property
    def value(self) -> str:
        """The batch that is looked at; empty where there is none."""
        return "" if self.choice.value == NONE else self.choice.value

    def row(self) -> dict[str, Any]:
        """The batch as the log holds it. Raises NoticeError where there is none."""
        if not self.value or self._book.log is None:
            raise NoticeError("no batch is begun")
        return self._book.log.now("batch", number=self.value)[0]


def celsius_of(text: str) -> float | None:
    """A temperature as typed [°C], with °F where it is one; None where nothing is typed. Raises QuantityError."""
    return parse_temperature(text, bare="C") if text.strip() else None


def readings_of(text: str, on: date) -> tuple[datetime, tuple[Reading, ...]]:
    """When the first was read, and the readings, from lines such as ``14:05 = 75`` or ``10 = 61 °C``.

    A line begins with the time on the clock, or with minutes; the day is the one given.

    Raises
    ------
    NoticeError
        If a line is none, or its beginning is no time.
    QuantityError
        If its end is no temperature.
    """
    begun, found = None, []
    lines = read_answers(text, "14:05 = 75")
    if len(lines) > MOST_READINGS:
        raise NoticeError(f"{len(lines)} readings are more than {MOST_READINGS}: was something else pasted?")
    for at, shown in lines.items():
        clock = _CLOCK.fullmatch(at)
        hours, minutes = (int(clock[1]), int(clock[2])) if clock else (0, 0)
        if hours > 23 or minutes > 59 or not (clock or re.fullmatch(r"\d+(?:[.,]\d+)?", at)):
            raise NoticeError(
                f'"{at}" is no time: write hours and minutes, as in 14:05, or minutes since the first reading'
            )
        since = 60.0 * hours + minutes if clock else float(with_point(at))
        begun = since if begun is None else begun
        found.append(Reading(since - begun, parse_temperature(shown, bare="C")))
    return datetime(on.year, on.month, on.day) + timedelta(minutes=begun or 0.0), tuple(found)


def writing(
    name: str, words: str, act: Callable[[], str], then: Callable[[], None] | None = None
) -> tuple[w.Button, w.VBox]:
    """A button that writes something down and says so, and the place where it says it.

    Parameters
    ----------
    name : str
        Class of the panel; what is said stands in ``NAME-said``, a fault in ``NAME-refused``.
    words : str
        On the button.
    act : callable
        Writes, and gives what is said.
    then : callable, optional
        Called after.
    """
    fault, said = text_box(f"{name}-refused"), text_box(f"{name}-said")

    def call() -> str:
        told = act()
        if then is not None:
            then()
        return told

    return keep_button(words, call, fault, said), w.VBox([fault, said], layout={"width": "100%"})
