"""When it is cool enough, and how warm two phases are once joined."""

from __future__ import annotations

from maker_kit.bench.cooling import fit_cooling, when_at
from maker_kit.bench.joining import floor_of, join, phase_part
from maker_kit.errors import NoticeError
from maker_kit.formula.batch import batch_mass_g
from maker_kit.numbers import number_text
from maker_kit.workbook.charts.bench.bench_day import COOLING, JOINED, CoolingDay, Parts
from maker_kit.workbook.panels.bench.day import Day
from maker_kit.workbook.panels.bench.pieces import celsius_of, readings_of
from maker_kit.workbook.panels.call import Shown
from maker_kit.workbook.panels.controls import dropdown, field, look
from maker_kit.workbook.panels.late import LateScreen
from maker_kit.workbook.shown.answers import stops_banner
from maker_kit.workbook.shown.bench import bench_day as shown
from maker_kit.workbook.shown.sheets import findings_sheet

NARROW = look("24em", "9em")
NOTHING = "Write down two readings: the time, and what the thermometer shows."
ONE = "Only one phase is on file, so nothing is joined."


def cooling_panel(day: Day, readings: str = "", room: str = "20 °C", until: str = "40 °C") -> LateScreen:
    """When it is cool enough, from two readings or more.

    Parameters
    ----------
    day : Day
    readings : str
        Lines such as ``14:00 = 75``.
    room, until : str
        The room's temperature, and the one that is waited for.
    """
    typed = field("readings", readings, "14:00 = 75", rows=4, **NARROW)
    around = field("the room", room, "20 °C", **NARROW)
    wanted = field("wanted", until, "40 °C", **NARROW)
    for box, css in ((typed, "readings"), (around, "room"), (wanted, "wanted")):
        box.add_class(f"maker-cooling-{css}")

    def call() -> Shown:
        begun, given = readings_of(typed.value, day.book.today)
        warm, goal = celsius_of(around.value), celsius_of(wanted.value)
        if not given or warm is None or goal is None:
            return {"answer": NOTHING, "stops": "", "picture": None, "words": ""}
        cooling = fit_cooling(given, warm)
        found = CoolingDay(cooling, when_at(cooling, goal), begun)
        return {
            "answer": shown.cooling_answer(found),
            "stops": "",
            "picture": found,
            "words": lambda: shown.cooling_sheet(found),
        }

    return LateScreen("maker-cooling", (typed, around, wanted), call, {"picture": COOLING}, {"readings": "words"})


def joining_panel(day: Day) -> LateScreen:
    """Two phases, both read: how warm they are once joined, and whether a wax sets.

    Parameters
    ----------
    day : Day
    """
    first, second = (dropdown("phase", [""], "", **look("18em", "5em")) for _ in range(2))
    one, other = (field("its thermometer", "", "72 °C", **look("18em", "9em")) for _ in range(2))
    least = field("not below", "", "70 °C", **look("18em", "9em"))
    known: list[str] = [""]

    def fit() -> None:
        made = day.hand.made
        if known[0] == made.name:
            return
        known[0] = made.name
        phases = list(dict.fromkeys(line.phase for line in made.lines if line.percent > 0))
        for box, at in ((first, 0), (second, 1)):
            box.options = phases
            box.value = phases[min(at, len(phases) - 1)]
        floor = floor_of(made)
        least.value = "" if floor is None else f"{number_text(floor)} °C"

    def call() -> Shown:
        fit()
        if first.value == second.value:
            if len(first.options) < 2:
                return {"answer": ONE, "stops": "", "picture": None, "words": ""}
            raise NoticeError("choose two different phases")
        made = day.hand.made
        whole = batch_mass_g(made, day.containers)
        parts = [phase_part(made, p.value, whole, celsius_of(t.value)) for p, t in ((first, one), (second, other))]
        found = join(parts, celsius_of(least.value))
        picture = None
        if found.low_c is not None:
            names, read = [p.name for p in parts], [p.celsius for p in parts]
            picture = Parts(names, read, found.low_c, found.high_c, found.floor_c)
        return {
            "answer": shown.joined_answer(found),
            "stops": stops_banner(found.findings) if picture else "",
            "picture": picture,
            "words": lambda: findings_sheet(found.findings),
        }

    fit()
    controls = (first, one, second, other, least)
    return LateScreen("maker-joining", controls, call, {"picture": JOINED}, {"what it means": "words"})
