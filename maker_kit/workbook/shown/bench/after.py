"""After the day in words and tables: fills, a watch, a batch against those before it, what was lost, and keeping."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from maker_kit.bench.fills import FillCheck
from maker_kit.bench.observed import MEASURED, PHOTO
from maker_kit.bench.watching import Watch
from maker_kit.bench.yields import LossProposal
from maker_kit.findings import Finding, know, look
from maker_kit.formula.recipe import Recipe
from maker_kit.numbers import number_text
from maker_kit.plan.notes import used_in_time
from maker_kit.workbook.charts.bench.after import Batches, fills_words
from maker_kit.workbook.photos import photo_of
from maker_kit.workbook.shown.sheets import Pictured, Sheet, Sheets, findings_sheet, frame_sheet, words_sheet

NO_BATCH = "No batch is in the log yet."
Photos = Mapping[tuple[float, str], Sequence[str]]
"""Day and place to names of files."""


def fills_answer(check: FillCheck) -> str:
    """Mean and lowest in one sentence."""
    words = fills_words(check)
    return f"{words[:1].upper()}{words[1:]}."


def fills_sheet(check: FillCheck) -> Sheets:
    """What is to be said of the fills, and each container."""
    return Sheets([findings_sheet(check.findings), frame_sheet(check.to_frame(), 1)])


def watch_answer(watch: Watch) -> str:
    """How long it may be said to keep, in one sentence."""
    if watch.may_say_months is None:
        return watch.findings[0].text
    if watch.may_say_months == 0:
        return f"Watched for {number_text(watch.watched_days)} days: no keeping time can be said from it."
    return (
        f"Watched for {number_text(watch.watched_days)} days: no more than {watch.may_say_months:g} months can be said "
        "from it."
    )


def watch_sheet(watch: Watch, photos: Photos | None = None, folder: Path | None = None) -> Sheets:
    """What the watch tells, and what was seen day by day; beside the first row of a day in a place its photos.

    Parameters
    ----------
    watch : Watch
    photos : Mapping of (day, place) to names of files, optional
    folder : pathlib.Path, optional
        Where the photos are; their names stand alone where it is left out.
    """
    sheets, left = [findings_sheet(watch.findings)], dict(photos or {})
    seen = [
        (o.day, o.place, o.kind, o.words if o.value is None else f"{o.value:g}{_unit(o.kind)}")
        for o in watch.observations
    ]
    seen += [(*at, PHOTO, "") for at in left if at not in {row[:2] for row in seen}]
    rows = []
    for day, place, kind, words in sorted(seen):
        names = left.pop((day, place), ())
        shots = [_shot(folder, name, f"photo of day {day:g}, {place}: {name}") for name in names]
        rows.append((f"{day:g}", place, kind, words, shots[0] if shots else ""))
        rows += [("", "", "", "", more) for more in shots[1:]]
    if rows:
        sheets.append(Sheet(rows, columns=["day", "place", "what", "seen", "photo"]))
    return Sheets(sheets)


def _unit(kind: str) -> str:
    return f" {MEASURED[kind]}" if MEASURED.get(kind) else ""


def _shot(folder: Path | None, name: str, told: str) -> str:
    found = photo_of(folder, name) if folder else None
    if found is None or found.why:
        return found.why if found else name
    return Pictured(name, found.jpeg, told)


def band_answer(shown: Batches) -> str:
    """Where the last batch stands, in one sentence."""
    return f"{shown.what}: {shown.band.findings[0].text}"


def band_sheet(shown: Batches) -> Sheets:
    """What the band tells, and each batch's reading."""
    rows = [(n, f"{v:g}") for n, v in zip(shown.numbers, shown.band.values, strict=True)]
    table = Sheet(rows, ["batch"], columns=["batch", shown.what])
    return Sheets([findings_sheet(shown.band.findings), table])


def loss_answer(found: LossProposal, recipe: Recipe) -> str:
    """What the batches propose beside what the recipe says."""
    told = next(f for f in found.findings if f.code != "yield.more_out").text
    return f"{told} The recipe says film {number_text(recipe.film_g)} g and loss {number_text(recipe.loss_percent)} %."


def loss_sheet(found: LossProposal) -> Sheets:
    """What is to be said of the yields, and each batch."""
    table = frame_sheet(found.to_frame()) if found.yields else words_sheet("yield", "No batch was weighed and filled.")
    return Sheets([findings_sheet(found.findings), table])


def watched_keeping(recipe: Recipe, containers: int, watch: Watch) -> Finding:
    """Whether a batch is used up before it goes off: keeping time against use.

    ``keeping.unknown`` (look), ``keeping.long`` (look): it lasts longer than can be said to keep, ``keeping.short``
    (know).
    """
    name, use = recipe.title, recipe.use_per_month
    known = [m for m in (recipe.keeps_months, watch.may_say_months) if m is not None]
    if not use or not known:
        text = f"{containers} of {name}: how fast they are used, or how long they keep, is not on file."
        step = "Write the use per month into recipes.csv, and watch three of the batch."
        return look("keeping.unknown", name, text, level="unknown", next_step=step)
    keeps = min(known)
    by = "by what was watched" if keeps == watch.may_say_months else "by the recipe; watch some to know"
    lasts = f"{containers} of {name} at {number_text(use)} a month last {containers / use:.1f} months"
    if keeps <= 0:
        text = f"{lasts}; by what was watched, no keeping time can be said."
        step = "Use and give none of it until you know why it changed."
        return look("keeping.long", name, text, level="over", next_step=step)
    text = f"{lasts}; they keep {number_text(keeps)} months, {by}."
    if containers > used_in_time(replace(recipe, keeps_months=keeps)):
        return look("keeping.long", name, text, level="over", next_step="Make fewer, or watch longer.")
    return know("keeping.short", name, text, level="fine")
