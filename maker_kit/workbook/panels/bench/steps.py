"""What is weighed in, with its lots, and one step at a time, large, with what was read."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as w

from maker_kit.bench.batches import weigh
from maker_kit.bench.clean import not_clean
from maker_kit.bench.day import do_step, other_version, planned_and_done, skip_step
from maker_kit.bench.observed import DENSITY, MEASURED, read
from maker_kit.bench.sheet import bench_sheet
from maker_kit.bench.stock import lots_of
from maker_kit.errors import NoticeError
from maker_kit.findings import Finding
from maker_kit.formula.batch import counted
from maker_kit.plan.log.logged_ph import with_logged_ph
from maker_kit.plan.plan import make_plan
from maker_kit.units import parse_amount
from maker_kit.workbook.charts.bench.bench_day import DAY
from maker_kit.workbook.charts.bench.bench_day import Day as Ribbon
from maker_kit.workbook.panels.bench.day import Day
from maker_kit.workbook.panels.bench.pieces import celsius_of, writing
from maker_kit.workbook.panels.call import Shown
from maker_kit.workbook.panels.controls import button, dropdown, field, look, row, text_box
from maker_kit.workbook.panels.late import LateScreen
from maker_kit.workbook.paper.bench_sheet import bench_sheet_pages
from maker_kit.workbook.paper.papers import PAPERS
from maker_kit.workbook.shown.bench import bench_day as shown
from maker_kit.workbook.shown.sheets import findings_sheet, words_sheet
from maker_kit.workbook.typed import read_number

NO_LOT = "no lot"
NARROW = look("26em", "8em")


def weigh_panel(day: Day) -> LateScreen:
    """What is to be weighed, what was, from which lot; and the sheet to print.

    Parameters
    ----------
    day : Day
    """
    workshop = day.hand.workshop
    item = dropdown("ingredient", [""], "", **NARROW)
    mass = field("on the scale", "", "40.8 g", **NARROW)
    lot = dropdown("lot", [NO_LOT], NO_LOT, **NARROW)
    why = field("reason", "", "only if it is unusual", **NARROW)
    paper = dropdown("paper", PAPERS, PAPERS[0], **look("14em", "4em"))
    notes = text_box("maker-day-notes")

    def plan():
        read_in, _ = with_logged_ph(workshop, day.log)
        return make_plan(read_in, day.hand.made.name, batch_size=day.containers)

    def lots(*_: object) -> None:
        there = lots_of(day.log, day.book.today, item=item.value) if day.log and item.value else ()
        codes = [x.code for x in there if not x.expired and x.left_g != 0] + [x.code for x in there if x.expired]
        lot.options = [*codes, NO_LOT]
        lot.value = lot.options[0]

    def call() -> Shown:
        found = plan()
        names = list(dict.fromkeys([r.ingredient for r in found.weigh_out.rows] + list(found.recipe.ingredients)))
        if list(item.options) != names:
            item.options = names
            item.value = names[0]
        batch = day.batches.value
        weighed = {r["item"] for r in day.log.now("weighing", batch=batch)} if day.log and batch else set()
        done = sum(r.ingredient in weighed for r in found.weigh_out.rows)
        head = (
            f"{found.recipe.title}, batch {batch or 'not begun'}, {counted(day.containers)}, {found.batch_mass_g:.1f} g"
        )
        untidy = "" if not clean(batch) else " The clean start is not ticked."
        untidy += "".join(f" ▲ {f.text}" for f in other(batch))
        return {
            "answer": f"{head}: {done} of {len(found.weigh_out.rows)} weighed.{untidy}",
            "stops": found.findings,
            "table": shown.weighed_sheet(found.weigh_out, day.log, batch),
            "sheet": lambda: link(found, batch),
            "look": lambda: findings_sheet(
                (*other(batch), *clean(batch), *where_from(found), *found.findings, *found.cautions)
            ),
        }

    def clean(batch: str) -> tuple[Finding, ...]:
        return not_clean(day.log, batch) if day.log and batch else ()

    def other(batch: str) -> tuple[Finding, ...]:
        return other_version(day.log, batch, day.hand.made) if day.log and batch else ()

    def where_from(found) -> tuple[Finding, ...]:
        told = with_logged_ph(workshop, day.log)[1].get(found.recipe.name)
        return (told,) if told else ()

    def link(found, batch: str) -> str:
        about = (found.recipe, day.containers, found.weigh_out, found.cautions, found.findings, batch)
        made = bench_sheet(*about, ounces=workshop.settings.weights_in == "oz")
        pdf = bench_sheet_pages(made, paper.value, day.now()).pdf()
        words = f"Its version is {made.version}: a sheet with another one no longer matches the recipe."
        return shown.sheet_link(pdf, f"{made.recipe}-sheet.pdf", paper.value) + words_sheet("the sheet", words).html()

    def write() -> str:
        found = plan()
        planned = next((r.weighed_g for r in found.weigh_out.rows if r.ingredient == item.value), None)
        phase = next((r.phase for r in found.weigh_out.rows if r.ingredient == item.value), "")
        grams = parse_amount(mass.value, bare="g").to_grams(found.recipe.ingredients[item.value].density_g_per_ml)
        code = "" if lot.value == NO_LOT else lot.value
        more = {"phase": phase, "reason": why.value, "scale": day.scale.value.strip()}
        told = weigh(day.book.to_write(), day.open_batch(), item.value, grams, code, planned, **more)
        notes.value = findings_sheet(told).html() if told else ""
        return f"{grams:.1f} g of {item.value} {'from ' + code if code else 'without a lot'}"

    def after() -> None:
        mass.value = why.value = ""
        lots()
        screen.redraw()

    press, said = writing("maker-day-weigh", "write it down", write, after)
    screen = LateScreen(
        "maker-day-weighing",
        (paper,),
        call,
        {"table": None},
        {"the sheet to print": "sheet", "to look at": "look"},
        rows=[item, mass, lot, why, press, said, notes, paper],
    )
    item.observe(lots, names="value")
    lots()
    return screen


def other_readings(day: Day, then: Callable[[int], None]) -> w.Accordion:
    """A pH, a density or another reading of the batch, with its tool; folded until it is wanted.

    Parameters
    ----------
    day : Day
    then : callable
        Called with 0 after one is written down.
    """
    kind = dropdown("reading", (*MEASURED, DENSITY), "pH", **NARROW)
    value = field("it shows", "", "5.6", **NARROW)
    tool = field("tool", "", "pH meter, strip, scale", **NARROW)
    warm = field("sample at", "", "20 °C", **NARROW)

    def write() -> str:
        number = read_number(value.value, kind.value, "5.6")
        log = day.book.to_write()
        own = day.ph_meter if kind.value == "pH" else day.scale if kind.value == "weight" else None
        at, instrument = celsius_of(warm.value), own.value.strip() if own else ""
        read(log, day.open_batch(), kind.value, number, day.now(), tool.value.strip(), at, instrument)
        value.value = ""
        return f"{kind.value} {number:g} is in the log"

    press, said = writing("maker-day-read", "write it down", write, lambda: then(0))
    folded = w.Accordion(
        [w.VBox([kind, value, tool, warm, press, said])], titles=("pH and other readings",), selected_index=None
    )
    folded.add_class("maker-day-reading")
    return folded


def steps_panel(day: Day) -> LateScreen:
    """One step at a time, large, with what was read; the day as a ribbon, planned beside done.

    Parameters
    ----------
    day : Day
    """
    at = [0]
    warm = field("thermometer", "", "such as 74 °C", **NARROW)
    why = field("reason", "", "to go on all the same", **NARROW)
    mend = field("what was done", "", "the rescue, if there was one", **NARROW)
    notes = text_box("maker-day-told")
    seen: list[str] = [""]

    def rows():
        made = day.hand.made
        if not (day.log and day.batches.value):
            return ()
        return planned_and_done(day.log, day.batches.value, made)

    def go(by: int) -> None:
        at[0] = min(max(at[0] + by, 0), max(len(day.hand.made.steps) - 1, 0))
        screen.redraw()

    def call() -> Shown:
        found, blank = rows(), {"step": "", "planned": "", "other": "", "read": ""}
        if not found:
            words = shown.NO_BATCH if not day.batches.value else "No steps are on file for this recipe."
            return {"answer": words, "stops": "", "picture": None, **blank}
        if seen[0] != day.batches.value:
            seen[0] = day.batches.value
            at[0] = next((k for k, r in enumerate(found) if r.state == "open"), len(found) - 1)
        at[0] = min(at[0], len(found) - 1)
        batch = day.batches.value
        other = "".join(f" ▲ {f.text}" for f in other_version(day.log, batch, day.hand.made))
        return {
            "answer": shown.steps_answer(day.hand.made.title, batch, found) + other,
            "stops": "",
            "step": shown.step_html(found[at[0]]),
            "picture": Ribbon(f"Batch {batch}", found, found[at[0]].step.number),
            "planned": lambda: shown.steps_sheet(found),
            "other": lambda: shown.deviations_sheet(day.log, batch),
            "read": lambda: shown.readings_sheet(day.log, batch),
        }

    def current():
        found = rows()
        if not found:
            raise NoticeError(shown.NO_BATCH)
        return found[at[0]].step

    def told(findings: tuple[Finding, ...], words: str) -> str:
        notes.value = findings_sheet(findings).html() if findings else ""
        at[0] += 1
        return words

    def do() -> str:
        step = current()
        about = (day.now(), celsius_of(warm.value), why.value, mend.value, day.thermometer.value.strip())
        found = do_step(day.book.to_write(), day.open_batch(), step, *about)
        return told(found, f"step {step.number} is done")

    def skip() -> str:
        step = current()
        skip_step(day.book.to_write(), day.open_batch(), step, why.value, mend.value)
        return told((), f"step {step.number} was left out")

    def after() -> None:
        warm.value = why.value = mend.value = ""
        go(0)

    done, said = writing("maker-day-done", "done", do, after)
    left, also = writing("maker-day-left", "left out", skip, after)
    back, on = button("‹ back", lambda *_: go(-1)), button("on ›", lambda *_: go(1))
    for pressed in (done, left, back, on):
        pressed.layout.width = "8em"
    screen = LateScreen(
        "maker-day-steps",
        (),
        call,
        {"step": None, "picture": DAY},
        {
            "planned and done": "planned",
            "deviations": "other",
            "readings": "read",
        },
        rows=[
            warm,
            why,
            mend,
            row([done, left]),
            row([back, on]),
            w.VBox([said, also, notes]),
            other_readings(day, go),
        ],
    )
    return screen
