"""The ticks of a clean start and of a clean end, with who ticked and when; and the numbers of the tools in use."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from maker_kit.bench.log import BenchLog
from maker_kit.bench.observed import checked_time
from maker_kit.errors import QuantityError, short
from maker_kit.findings import PRACTICE, Finding, look
from maker_kit.names import near_miss

CLEAN_START = (
    "Bench, hands and tools clean; tools and containers wiped with alcohol 70 % and dry (away from flames)",
    "Gloves and goggles on for acids, lye, hot oil and powders; children and animals are out of the room",
    "Scale level, checked with a weight; both thermometers agree",
    "Every pack: name, lot, date read; nothing past its date, nothing that smells wrong",
)
"""Ticks before the first weighing (common practice, no source)."""
CLEAN_END = (
    "Every container closed, wiped, numbered; three kept back for the watch",
    "Fills weighed and entered; what was other than planned is written down",
    "Labels: name, number, date, what is inside, cautions",
)
"""Ticks when the last container is filled (common practice, no source)."""
PARTS = {"start": CLEAN_START, "end": CLEAN_END}


@dataclass(frozen=True)
class Tick:
    """One thing of a clean start or end.

    Attributes
    ----------
    part : {'start', 'end'}
    what : str
    done : bool or None
        None where nobody wrote it down.
    by, ticked_at : str
    """

    part: str
    what: str
    done: bool | None
    by: str
    ticked_at: str


def tick(
    log: BenchLog, batch: str, part: str, done: Collection[str], ticked_at: str, by: str = ""
) -> tuple[Finding, ...]:
    """Write down which things of a clean start or end were done, and which were not.

    Parameters
    ----------
    log : BenchLog
    batch : str
    part : {'start', 'end'}
    done : collection of str
        Of `PARTS`.
    ticked_at : str
        When, such as ``2026-11-02 08:55``.
    by : str
        Who.

    Returns
    -------
    tuple of Finding
        As `not_clean`.

    Raises
    ------
    QuantityError
        If there is no such part or thing, or the time begins with no date.
    UnknownNameError
        If there is no such batch.
    """
    if part not in PARTS:
        raise QuantityError(f'"{short(part)}" is none of {", ".join(PARTS)}')
    if other := next((w for w in done if w not in PARTS[part]), None):
        raise QuantityError(
            f'"{short(other)}" is not ticked at the {part} of a batch; {near_miss(other, list(PARTS[part]))}'
        )
    checked_time(ticked_at, "a tick")
    more = {"batch": batch, "part": part, "by": by.strip() or None, "ticked_at": ticked_at}
    log.add_all("tick", [{**more, "what": what, "done": what in done} for what in PARTS[part]])
    return not_clean(log, batch, part)


def ticks_of(log: BenchLog, batch: str) -> tuple[Tick, ...]:
    """Everything that is ticked of a batch as it was last written down, and what nobody wrote down."""
    held = {(r["part"], r["what"]): r for r in log.now("tick", batch=batch)}
    wanted = dict.fromkeys([*((part, what) for part, whats in PARTS.items() for what in whats), *held])
    return tuple(_tick(part, what, held.get((part, what))) for part, what in wanted)


def _tick(part: str, what: str, row: dict | None) -> Tick:
    if row is None:
        return Tick(part, what, None, "", "")
    return Tick(part, what, bool(row["done"]), row["by"] or "", row["ticked_at"])


def not_clean(log: BenchLog, batch: str, part: str = "start") -> tuple[Finding, ...]:
    """What is to be said of a clean start or end: ``clean.not_ticked`` (look) where nobody wrote it down,
    ``clean.open`` (look) for what was not done.
    """
    return tuple(_told(ticks_of(log, batch), batch, part))


def _told(ticks: Sequence[Tick], batch: str, part: str) -> Iterator[Finding]:
    mine = [t for t in ticks if t.part == part]
    if all(t.done is None for t in mine):
        text = f"Nobody wrote down whether batch {batch} had a clean {part}."
        step = "Tick it before the first weighing." if part == "start" else "Tick it when the last container is closed."
        yield look("clean.not_ticked", part, text, level="unknown", next_step=step, source=PRACTICE)
        return
    for t in mine:
        if not t.done:
            step = "Do it before you go on." if part == "start" else "Do it before any of them is given away."
            yield look("clean.open", part, f"Not done: {t.what}.", level="over", next_step=step, source=PRACTICE)


@dataclass(frozen=True)
class Tools:
    """Who works, and with which tools, by their own numbers; empty where that is not on file.

    Attributes
    ----------
    made_by, scale, thermometer, ph_meter : str
    """

    made_by: str = ""
    scale: str = ""
    thermometer: str = ""
    ph_meter: str = ""


_LAST = {
    "made_by": "SELECT made_by AS n FROM now_batch WHERE made_by IS NOT NULL ORDER BY began DESC LIMIT 1",
    "scale": "SELECT scale AS n FROM now_weighing WHERE scale IS NOT NULL ORDER BY began DESC LIMIT 1",
    "thermometer": """SELECT instrument AS n FROM now_reading WHERE kind = 'temperature' AND instrument IS NOT NULL
 ORDER BY began DESC LIMIT 1""",
    "ph_meter": """SELECT instrument AS n FROM now_reading WHERE kind = 'pH' AND instrument IS NOT NULL
 ORDER BY began DESC LIMIT 1""",
}


def last_tools(log: BenchLog) -> Tools:
    """Who worked last, and with what."""
    return Tools(**{name: next((r["n"] for r in log.ask(sql)), "") for name, sql in _LAST.items()})


def write_maker(log: BenchLog, batch: str, made_by: str) -> bool:
    """Write down who makes a batch, where that is not what stands there; whether anything was written."""
    row = log.now("batch", id=log.root_of("batch", batch))[0]
    if not made_by.strip() or made_by.strip() == row["made_by"]:
        return False
    log.correct("batch", batch, "who makes it, written down with the ticks", made_by=made_by.strip())
    return True
