"""Inputs made of noise, each from its seed, and what becomes of them: a value or a sentence of ours, in time, and
nothing lost from the files. The tests try a few of them, `tests/benchmarks/fuzz.py` as many as are wanted.
"""

from __future__ import annotations

import contextlib
import io
import os
import random
import shutil
import signal
import stat
import time
import traceback
import zipfile
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from clean_workshops import clean_workshop
from fuzz_words import AMOUNTS, BYTES, NAMES, ODD, SETTINGS, WORDS
from workshop_files import DATA, read_rows, write_rows

from maker_kit.errors import MakerKitError, WorkshopError
from maker_kit.formula.pasted.percents import to_percent
from maker_kit.formula.pasted.recipe_text import answered, read_recipe_text
from maker_kit.formula.recipe import Line
from maker_kit.plan import make_plan
from maker_kit.plan.judged import judge_recipes
from maker_kit.visible import steers
from maker_kit.workbook.run.report import REPORT_NOTEBOOK, RESERVED
from maker_kit.workbook.run.settings import notebook_settings, read_settings
from maker_kit.workbook.typed import read_number, read_shares, read_slip
from maker_kit.workshop import Workshop, load_workshop
from maker_kit.workshop.csv.reading import table_from_bytes
from maker_kit.workshop.making import new_workshop
from maker_kit.workshop.saving import save_recipe

LIMIT_S = 5.0
"""Most time of the processor for one input [s]: the largest of them takes a tenth of it."""
SETS = ("batch_size", "batches", "fragrance_load", "thickener_level", "scent", "ph_read")


class TooLongError(Exception):
    """An input that takes longer than `LIMIT_S`."""


@dataclass(frozen=True)
class Tried:
    """What became of one input: its seed and kind, ``value`` or ``sentence``, what was wrong (empty for nothing), and
    how long it took [s of processor].
    """

    seed: int
    kind: str
    ended: str
    wrong: str
    seconds: float


class Fuzz:
    """Workshops to spoil, in a scratch folder, and one input after the other."""

    def __init__(self, room: Path) -> None:
        self.folders = [Path(shutil.copytree(DATA, room / "demo"))]
        self.folders += [clean_workshop(room / f"clean{n}", n, n) for n in (1, 2, 3)]
        self.book = room / "book" / "workshop.xlsx"
        new_workshop(self.book.parent, empty=True, xlsx=True)
        self.raw_book = self.book.read_bytes()
        self.demo = load_workshop(DATA)
        self.settings = notebook_settings(Path(DATA).parent / "notebooks" / REPORT_NOTEBOOK)
        self.files = {folder: sorted(p for p in folder.rglob("*.csv")) for folder in self.folders}
        self.kinds: dict[str, tuple[float, Callable[[random.Random], str]]] = {
            "table": (43, self._table),
            "text": (30, self._text),
            "setting": (19, self._setting),
            "cells": (4, self._cells),
            "bytes": (2, self._bytes),
            "saved": (0.7, self._saved),
            "sheets": (0.3, self._sheets),
        }

    def try_one(self, seed: int, kinds: tuple[str, ...] = ()) -> Tried:
        """One input, drawn by its seed among some kinds (all unless given), and what became of it."""
        chance = random.Random(seed)
        names = [*kinds] or [*self.kinds]
        (kind,) = chance.choices(names, [self.kinds[name][0] for name in names])
        begun, ended, wrong = time.process_time(), "value", ""
        try:
            with in_time():
                wrong = self.kinds[kind][1](chance)
        except MakerKitError as error:
            ended, wrong = "sentence", unfit(error)
        except Exception as error:  # noqa: BLE001, whatever is raised here is what is looked for
            where = traceback.extract_tb(error.__traceback__)[-1]
            wrong = f"{type(error).__name__}: {error!s:.200} ({where.filename}:{where.lineno})"
        return Tried(seed, kind, ended, wrong, time.process_time() - begun)

    def _table(self, chance: random.Random) -> str:
        raw = chance.randbytes(chance.randrange(80))
        if chance.random() < 0.7:
            raw = bytes(chance.choice(BYTES) for _ in range(chance.randrange(60)))
        elif chance.random() < 0.5:
            raw = damaged((chance.choice(self.files[self.folders[0]])).read_bytes(), chance)
        table = table_from_bytes(raw, "t.csv")
        return "" if all(len(cells) == len(table.header) for _, cells in table.rows) else "a row of another length"

    def _text(self, chance: random.Random) -> str:
        lines = [f"{chance.choice(AMOUNTS)} {chance.choice(NAMES)}" for _ in range(chance.randrange(4))]
        words = [chance.choice(WORDS) for _ in range(chance.choice((0, 1, 2, 14)))]
        chance.shuffle(parts := [*lines, *words, *(["water to 100"] if chance.random() < 0.5 else [])])
        text = "".join(part + chance.choice(("", " ", "\n", "\n", ", ")) for part in parts)
        read = read_recipe_text(text, self.demo.ingredients)
        read.to_frame()
        for _ in range(chance.randrange(3)):
            if read.questions:
                question = chance.choice(read.questions)
                read = answered(read, {question.key: chance.choice((question.answer, *WORDS))})
        made = to_percent(read)
        whole = sum(line.percent for line in made.lines)
        return "" if abs(whole - 100) < 1e-6 else f"the lines make {whole}"

    def _setting(self, chance: random.Random) -> str:
        names = [*self.settings, "", "batchs", " upto ", "\u202eupto"]
        texts = [
            chance.choice(names) + chance.choice(("=", "=", "=", "", " = ")) + chance.choice((*SETTINGS, *ODD))
            for _ in range(chance.randrange(1, 3))
        ]
        if chance.random() < 0.6:
            texts = [f"{chance.choice(SETS)}={chance.choice(SETTINGS[:14])}"]
        if chance.random() < 0.4:
            typed = texts[0].partition("=")[2]
            chance.choice((lambda t: read_number(t, "a load", "0.8"), read_shares, read_slip))(typed)
        values = read_settings(texts, self.settings, RESERVED)
        chosen = {name: value for name, value in values.items() if name in SETS}
        if chosen:
            make_plan(self.demo, chance.choice([*self.demo.recipes]), **chosen)
        return ""

    def _cells(self, chance: random.Random) -> str:
        folder = chance.choices(self.folders, (1, 3, 3, 3))[0]
        path = chance.choice(self.files[folder])
        rows = read_rows(path)
        for _ in range(chance.choice((1, 1, 2))):
            row, at = chance.choice(rows[1:] or rows), chance.randrange(len(rows[0]))
            row[at] = chance.choice(ODD) if chance.random() < 0.7 else chance.choice(rows)[at]
        return self._spoilt(folder, path, lambda: write_rows(path, rows), chance)

    def _bytes(self, chance: random.Random) -> str:
        folder = chance.choices(self.folders, (1, 3, 3, 3))[0]
        path = chance.choice(self.files[folder])
        raw = damaged(path.read_bytes(), chance)
        return self._spoilt(folder, path, lambda: path.write_bytes(raw), chance)

    def _spoilt(self, folder: Path, path: Path, spoil: Callable[[], object], chance: random.Random) -> str:
        """A workshop with one file spoilt, read, what can be read of it judged; the file is mended again."""
        whole = path.read_bytes()
        try:
            spoil()
            before = stamps(folder)
            try:
                shop = load_workshop(folder)
            except WorkshopError:
                with contextlib.suppress(WorkshopError):
                    _judged(load_workshop(folder, partly=True), chance)
                raise
            else:
                _judged(shop, chance)
            finally:
                changed = "" if stamps(folder) == before else "reading changed a file"
        finally:
            path.write_bytes(whole)
        return changed

    def _saved(self, chance: random.Random) -> str:
        """A recipe saved into a workshop with an odd cell: only its two files change, no row of another is lost."""
        folder, path = (where := chance.choice(self.folders[1:])), where / "recipes.csv"
        all_before = contents(folder)
        rows = read_rows(path)
        like = rows[1][0]
        chance.choice(rows[1:])[chance.randrange(len(rows[0]))] = chance.choice(ODD)
        write_rows(path, rows)
        before = contents(folder)
        name = chance.choice(("new", "new", "new", "../x", "NEW", "", *ODD[:9]))
        lines = [Line("A", r[1], float(r[2])) for r in read_rows(folder / f"recipes/{like}.csv")[1:] if r[2]]
        lines.append(Line("B", lines[0].ingredient, round(100 - sum(line.percent for line in lines), 4), balance=True))
        try:
            words = ("Own one", "My $x$", *ODD)
            title, source = chance.choices(words, (60, 20, *[1] * len(ODD)), k=2)
            save_recipe(folder, name, title, lines, source, date(2026, 3, 1), like=like)
        except MakerKitError as error:
            if wrong := self._unlike(folder, before, ()) or unfit(error):
                return wrong
            raise
        else:
            after = read_rows(path)
            lost = [row for row in rows if not any(new[: len(row)] == row for new in after)]
            return f"a row was lost: {lost[0]}" if lost else self._unlike(folder, before, ("recipes.csv", name))
        finally:
            for place in contents(folder).keys() - all_before.keys():
                (folder / place).unlink()
            for place, content in all_before.items():
                (folder / place).write_bytes(content)

    def _unlike(self, folder: Path, before: dict[str, bytes], may: tuple[str, ...]) -> str:
        after = contents(folder)
        moved = [p for p in {*before, *after} if before.get(p) != after.get(p) and not any(m in p for m in may)]
        return f"saving changed {moved[0]}" if moved else ""

    def _sheets(self, chance: random.Random) -> str:
        """A workbook with noise in one of its parts."""
        made = io.BytesIO()
        with zipfile.ZipFile(io.BytesIO(self.raw_book)) as old, zipfile.ZipFile(made, "w") as new:
            parts = old.infolist()
            hit = chance.choice(parts)
            for part in parts:
                content = old.read(part)
                new.writestr(part, damaged(content, chance) if part is hit else content)
        raw = made.getvalue() if chance.random() < 0.8 else damaged(self.raw_book, chance)
        self.book.write_bytes(raw)
        load_workshop(self.book)
        return "" if self.book.read_bytes() == raw else "reading changed the workbook"


def _judged(shop: Workshop, chance: random.Random) -> None:
    if shop.recipes:
        judge_recipes(shop, [chance.choice([*shop.recipes])])
    for question in shop.asked:
        question.sentence()


def damaged(raw: bytes, chance: random.Random) -> bytes:
    """Bytes cut off, changed, put in, taken out or said twice."""
    made = bytearray(raw or b"x")
    a, b = sorted(chance.randrange(len(made)) for _ in range(2))
    match chance.randrange(5):
        case 0:
            made = made[:a]
        case 1:
            for _ in range(chance.randint(1, 20)):
                made[chance.randrange(len(made))] = chance.randrange(256)
        case 2:
            made[a:a] = bytes(chance.choice(b'",;\n\r\0=') for _ in range(chance.randint(1, 5)))
        case 3:
            del made[a:b]
        case _:
            made += made[a:b]
    return bytes(made)


def contents(folder: Path) -> dict[str, bytes]:
    """Every file of a folder."""
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def stamps(folder: Path) -> dict[str, tuple[int, int]]:
    """When every file of a folder was written, and how long it is."""
    found = {p.path: p.stat() for room in (folder, folder / "recipes") for p in os.scandir(room)}
    return {name: (s.st_mtime_ns, s.st_size) for name, s in found.items() if stat.S_ISREG(s.st_mode)}


def unfit(error: MakerKitError) -> str:
    """What is wrong with a sentence: none at all, one that orders a screen about, or one that tells of a program."""
    text = str(error)
    if isinstance(error, WorkshopError) and not all(fault.sentence() for fault in error.faults):
        return "a fault without a sentence"
    if any(map(steers, text)):
        return f"a sentence with a sign that steers a screen: {text!r:.200}"
    told = next((word for word in ("Traceback", "Error:", "object at 0x") if word in text), "")
    return f"a sentence that says {told}: {text!r:.200}" if told else "" if text.strip() else "no sentence"


@contextlib.contextmanager
def in_time() -> Iterator[None]:
    """Raises `TooLongError` in what takes longer than `LIMIT_S`, of the processor, where the system
    has a clock that interrupts.
    """
    if not hasattr(signal, "setitimer"):
        yield
        return

    def late(*_: Any) -> None:
        msg = f"not done after {LIMIT_S:g} s"
        raise TooLongError(msg)

    before = signal.signal(signal.SIGPROF, late)
    signal.setitimer(signal.ITIMER_PROF, LIMIT_S)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)
