"""After the day: fills, what is watched, a batch against those before it, what was lost, and keeping."""

from __future__ import annotations

from typing import Any

import ipywidgets as w

from maker_kit.bench.fills import LEAST, check_fills
from maker_kit.bench.log import BenchLog
from maker_kit.bench.observed import (
    MEASURED,
    PHOTO,
    SEEN,
    dates_of_lots,
    observations_of,
    observe,
    over_batches,
    photos_of,
)
from maker_kit.bench.watching import Watch, band, judge_watch
from maker_kit.bench.yields import propose_loss, yields_of
from maker_kit.errors import NoticeError
from maker_kit.formula.recipe import Recipe
from maker_kit.units import parse_amount
from maker_kit.workbook.bench_book import BenchBook
from maker_kit.workbook.charts.bench.after import BAND, FILLS, LOSS, WATCH, Batches
from maker_kit.workbook.charts.picture import Of
from maker_kit.workbook.panels.bench.pieces import BatchChoice, writing
from maker_kit.workbook.panels.call import CallPanel, Shown
from maker_kit.workbook.panels.controls import dropdown, field, look, row, sentence
from maker_kit.workbook.panels.late import LateScreen, LateTabs, tabs_under
from maker_kit.workbook.panels.own.begin import once_begun
from maker_kit.workbook.photos import photo_of
from maker_kit.workbook.shown.bench import after as shown
from maker_kit.workbook.shown.sheets import findings_sheet
from maker_kit.workbook.typed import read_day, read_number
from maker_kit.workshop import Workshop

NARROW = look("24em", "8em")
FEW = f"Weigh {LEAST} containers or more, without the container itself; ten are better."
KINDS = (*MEASURED, *SEEN, PHOTO)
BLANK: dict[str, Any] = {"stops": "", "picture": None, "words": ""}


class After:
    """What the tabs share: the log, and the batch that is looked at.

    Parameters
    ----------
    workshop : Workshop
    batch : str
        Empty for the last that was filled.
    """

    def __init__(self, workshop: Workshop, batch: str = "") -> None:
        self.workshop, self.book = workshop, BenchBook(workshop)
        self.batches = BatchChoice(self.book, lambda: "", batch or self._filled())
        self.row = row([self.batches.choice, w.HTML(sentence(self.book.said))])

    def _filled(self) -> str:
        if self.book.log is None:
            return ""
        last = "SELECT b.number FROM now_batch b JOIN now_fill f ON f.batch = b.id ORDER BY f.began DESC LIMIT 1"
        return next((r["number"] for r in self.book.log.ask(last)), "")

    @property
    def log(self) -> BenchLog | None:
        """The log, where a batch is in it."""
        return self.book.log if self.batches.value else None

    def recipe(self) -> Recipe:
        """The recipe of the batch. Raises UnknownNameError where it is no longer on file."""
        return self.workshop.recipe(self.batches.row()["recipe"])

    def title(self) -> str:
        """What pictures of the batch begin with, as the ribbon of its day does."""
        return f"Batch {self.batches.row()['number']}"

    def watch(self) -> Watch:
        """What was watched of the batch."""
        row = self.batches.row()
        number, made_on = row["number"], read_day(row["made_on"], row["number"])
        return judge_watch(observations_of(self.log, number), dates_of_lots(self.log, number), made_on)


def fills_panel(after: After, fills: str = "") -> LateScreen:
    """Fills against what the label states: those typed, or those on file.

    Parameters
    ----------
    after : After
    fills : str
        Masses [g], with blanks or lines between; empty for those in the log.
    """
    typed = field("filled [g]", fills, "245.8 244.9 246.1", rows=4, **NARROW)
    typed.add_class("maker-fills-typed")

    def masses() -> tuple[float, ...]:
        words = typed.value.replace(";", " ").split()
        if words:
            return tuple(read_number(word, "mass", "245.8") for word in words)
        return tuple(r["mass_mg"] / 1000 for r in after.log.now("fill", batch=after.batches.value))

    def call() -> Shown:
        if after.log is None:
            return {"answer": shown.NO_BATCH, **BLANK}
        given, made = masses(), after.recipe()
        if len(given) < LEAST:
            return {"answer": FEW, **BLANK}
        nominal = parse_amount(f"{made.fill_ml!r} mL" if made.fill_g is None else f"{made.fill_g!r} g")
        check = check_fills(given, nominal, made.density_g_per_ml, after.workshop.settings.market)
        return {
            "answer": shown.fills_answer(check),
            "stops": check.findings,
            "picture": Of(after.title(), check),
            "words": lambda: shown.fills_sheet(check),
        }

    def write() -> str:
        given, batch = masses(), after.batches.row()
        if not typed.value.strip():
            raise NoticeError("type what the scale shows first")
        there = len(after.log.now("fill", batch=batch["number"]))
        rows = [
            {"batch": batch["number"], "container": there + k, "mass_mg": round(m * 1000)}
            for k, m in enumerate(given, 1)
        ]
        after.book.to_write().add_all("fill", rows)
        typed.value = ""
        return f"{len(rows)} fills are in the log"

    press, said = writing("maker-fills", "write them down", write)
    return LateScreen(
        "maker-fills",
        (typed,),
        call,
        {"picture": FILLS},
        {"each container": "words"},
        rows=[typed, press, said],
    )


def watch_panel(after: After) -> LateScreen:
    """The watch of a batch, and one more observation.

    Parameters
    ----------
    after : After
    """
    kind = dropdown("what", KINDS, KINDS[0], **NARROW)
    day = field("day", "", "days since filling, such as 28", **NARROW)
    place = field("where it stood", "", "20 °C", **NARROW)
    value = field("seen", "", "5.6, same, or jar.jpg", **NARROW)

    def call() -> Shown:
        if after.log is None:
            return {"answer": shown.NO_BATCH, **BLANK}
        found = after.watch()
        return {
            "answer": shown.watch_answer(found),
            "stops": found.findings,
            "picture": Of(after.title(), found) if found.observations else None,
            "words": lambda: shown.watch_sheet(found, photos_of(after.log, after.batches.value), after.workshop.folder),
        }

    def write() -> str:
        batch, days = after.batches.row()["number"], read_number(day.value, "day", "28")
        if days is None:
            raise NoticeError("say on which day since it was filled")
        number = read_number(value.value, kind.value, "5.6") if kind.value in MEASURED else None
        words = "" if kind.value in MEASURED else value.value.strip()
        log = after.book.to_write()
        observe(log, batch, kind.value, days, place.value, after.book.today, number, words)
        value.value = ""
        said = f"{kind.value} of day {days:g} is in the log"
        why = photo_of(after.workshop.folder, words).why if kind.value == PHOTO else ""
        return f"{said}; {why}" if why else said

    press, said = writing("maker-watch", "write it down", write, lambda: screen.redraw())
    screen = LateScreen(
        "maker-watch",
        (),
        call,
        {"picture": WATCH},
        {"day by day": "words"},
        rows=[kind, day, place, value, press, said],
    )
    return screen


def band_panel(after: After) -> LateScreen:
    """A reading of the batch's recipe, batch against batch.

    Parameters
    ----------
    after : After
    """
    kind = dropdown("reading", tuple(MEASURED), "pH", **NARROW)
    kind.add_class("maker-band-kind")

    def call() -> Shown:
        if after.log is None:
            return {"answer": shown.NO_BATCH, **BLANK}
        numbers, values = over_batches(after.log, after.recipe().name, kind.value)
        if not values:
            return {"answer": f"No {kind.value} of this recipe is on file.", **BLANK}
        found = Batches(kind.value, numbers, band(values, kind.value, MEASURED[kind.value]))
        return {
            "answer": shown.band_answer(found),
            "stops": "",
            "picture": Of(after.recipe().title, found),
            "words": lambda: shown.band_sheet(found),
        }

    return LateScreen("maker-band", (kind,), call, {"picture": BAND}, {"each batch": "words"})


def loss_panel(after: After) -> LateScreen:
    """What really stayed on the tools, as a proposal for the recipe.

    Parameters
    ----------
    after : After
    """

    def call() -> Shown:
        if after.log is None:
            return {"answer": shown.NO_BATCH, **BLANK}
        made = after.recipe()
        found = propose_loss(yields_of(after.log, made.name))
        return {
            "answer": shown.loss_answer(found, made),
            "stops": "",
            "picture": Of(made.title, found) if found.yields else None,
            "words": lambda: shown.loss_sheet(found),
        }

    return LateScreen("maker-loss", (), call, {"picture": LOSS}, {"each batch": "words"})


def keeping_panel(after: After) -> CallPanel:
    """Whether the batch is used up before it goes off.

    Parameters
    ----------
    after : After
    """

    def call() -> Shown:
        if after.log is None:
            return {"answer": shown.NO_BATCH, "words": ""}
        found = shown.watched_keeping(after.recipe(), after.batches.row()["containers"], after.watch())
        return {"answer": found.text, "words": findings_sheet((found, *after.watch().findings))}

    return CallPanel("maker-keeping", (), call, {"answer": None, "words": None})


@once_begun
def after_panel(workshop: Workshop, batch: str = "", fills: str = "") -> w.VBox:
    """What comes after the day, for one batch.

    Parameters
    ----------
    workshop : Workshop
    batch : str
        Its number; empty for the last that was filled.
    fills : str
        See `fills_panel`.

    Raises
    ------
    MakerKitError
        If there is no such batch, or as its parts do.
    """
    after = After(workshop, batch)
    parts = {
        "fills": lambda: fills_panel(after, fills),
        "watch": lambda: watch_panel(after),
        "batch against batch": lambda: band_panel(after),
        "what was lost": lambda: loss_panel(after),
        "keeping against use": lambda: keeping_panel(after),
    }
    tabs = LateTabs("maker-after-tabs", parts)
    after.batches.choice.observe(tabs.redraw, names="value")
    whole = tabs_under("maker-after", after.row, tabs)
    whole.after = after
    return whole
