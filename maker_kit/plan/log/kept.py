"""What the bench log holds of one recipe that a decision asks for: the record of its last batch, deviations that are
not settled, what a watch saw, and the fills.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from maker_kit.bench.fills import LEAST, FillCheck, check_fills
from maker_kit.bench.log import FILE, BenchLog, open_log
from maker_kit.bench.observed import MEASURED, SEEN, observations_of
from maker_kit.bench.version import is_made_alike, recipe_version
from maker_kit.bench.watching import judge_watch
from maker_kit.errors import MakerKitError
from maker_kit.formula.kinds import DRY
from maker_kit.formula.recipe import Recipe
from maker_kit.temperature import temperatures_in
from maker_kit.units import parse_amount
from maker_kit.workshop import Workshop
from maker_kit.workshop.papers import Watched

THROWN_AWAY = "thrown away"


@dataclass(frozen=True)
class Deviation:
    """What went otherwise than planned in one batch.

    Attributes
    ----------
    batch, what, reason, rescue : str
    made_on : str
        Day of the batch (ISO date).
    discarded : bool
        Whether every numbered unit of the batch was thrown away.
    """

    batch: str
    what: str
    reason: str
    rescue: str
    made_on: str
    discarded: bool


@dataclass(frozen=True)
class KeptRecord:
    """What the bench log holds of one recipe, as it is made now.

    Attributes
    ----------
    version : str
        Of the recipe in hand, as a bench sheet carries it.
    batches : int
        Of whatever version.
    last : str
        Number of the last batch of this version; empty where there is none.
    lacks : tuple of str
        What the record of that batch lacks, in words.
    deviations : tuple of Deviation
        Of any batch, of whatever version.
    watched : tuple of Watched
        Looks at batches of this version, with the recipe's own version and where they stand.
    changes : tuple of (str, str)
        What changed in a batch of this version, in words, and where that stands.
    fills : FillCheck or None
        Of the last batch; None where too few were weighed.
    unread : str
        Why the log could not be read; empty where it was.
    """

    version: str
    batches: int = 0
    last: str = ""
    lacks: tuple[str, ...] = ()
    deviations: tuple[Deviation, ...] = ()
    watched: tuple[Watched, ...] = ()
    changes: tuple[tuple[str, str], ...] = ()
    fills: FillCheck | None = None
    unread: str = ""


def place_of(batch: str) -> str:
    """Where something of a batch stands, in words: ``bench log: batch R2-08``."""
    return f"bench log: batch {batch}"


def kept_record(workshop: Workshop, recipe: Recipe) -> KeptRecord | None:
    """What the log in the workshop's own folder holds of a recipe; None where there is no log.

    A log that cannot be read says nothing, and that it could not be read.
    """
    if not (workshop.folder / FILE).is_file():
        return None
    try:
        with open_log(workshop.folder) as log:
            return record_of(log, workshop, recipe)
    except MakerKitError as error:
        return KeptRecord(recipe_version(recipe), unread=str(error))


def record_of(log: BenchLog, workshop: Workshop, recipe: Recipe) -> KeptRecord:
    """What an open log holds of a recipe.

    Parameters
    ----------
    log : BenchLog
    workshop : Workshop
        For its market.
    recipe : Recipe

    Returns
    -------
    KeptRecord
    """
    version, batches = recipe_version(recipe), log.now("batch", recipe=recipe.name)
    found = KeptRecord(version, len(batches), deviations=tuple(_deviations(log, recipe)))
    mine = [row for row in batches if is_made_alike(row["version"], recipe)]
    if not mine:
        return found
    filled = [row for row in mine if log.now("unit", batch=row["number"]) or log.now("fill", batch=row["number"])]
    last = max(filled or mine, key=lambda row: (row["made_on"], row["began"]))["number"]
    watched, changes = [], []
    for row in mine:
        seen = observations_of(log, row["number"])
        watched += _watched(row["number"], recipe, seen)
        bad = [f for f in judge_watch(seen).findings if f.code in ("watch.bad", "watch.changed")]
        changes += [(f"batch {row['number']}: {f.text.rstrip('.')}", place_of(row["number"])) for f in bad]
    return replace(
        found,
        last=last,
        lacks=tuple(_lacks(log, last, recipe, bool(filled))),
        watched=tuple(watched),
        changes=tuple(changes),
        fills=_fills(log, last, workshop, recipe),
    )


def _lacks(log: BenchLog, batch: str, recipe: Recipe, filled: bool) -> Iterator[str]:
    """What the record of a batch lacks of what a batch record holds: what went in, lots, steps, pH, how it was filled
    (after ISO 22716:2007, from memory).
    """
    weighed = log.now("weighing", batch=batch)
    items = {row["item"].casefold() for row in weighed}
    unweighed = [line.ingredient for line in recipe.lines if line.percent and line.ingredient.casefold() not in items]
    if unweighed:
        yield f"no weighing of {', '.join(dict.fromkeys(unweighed))}"
    without = dict.fromkeys(row["item"] for row in weighed if not row["lot"])
    if without:
        yield f"no lot of {', '.join(without)}"
    done = {row["step"] for row in log.now("deed", batch=batch)}
    skipped = [str(step.number) for step in recipe.steps if step.number not in done]
    if skipped:
        yield f"steps {', '.join(skipped)} not marked"
    if recipe.wetness != DRY and not log.now("reading", batch=batch, kind="pH"):
        yield "no pH"
    if not filled:
        yield "not filled yet"


def _deviations(log: BenchLog, recipe: Recipe) -> Iterator[Deviation]:
    rows = log.ask(
        """SELECT d.what, d.reason, d.rescue, b.number, b.made_on,
 (SELECT count(*) FROM now_unit u WHERE u.batch = b.id) AS units,
 (SELECT count(DISTINCT g.unit) FROM now_gone g JOIN now_unit u ON u.id = g.unit
  WHERE u.batch = b.id AND g.use = ?) AS gone
 FROM now_deviation d JOIN now_batch b ON b.id = d.batch WHERE b.recipe = ? ORDER BY d.began""",
        (THROWN_AWAY, recipe.name),
    )
    for r in rows:
        discarded = bool(r["units"]) and r["gone"] == r["units"]
        yield Deviation(r["number"], r["what"], r["reason"], r["rescue"] or "", r["made_on"], discarded)


def _watched(batch: str, recipe: Recipe, seen: tuple[Any, ...]) -> Iterator[Watched]:
    """The looks at a batch, a row for a day in a place; a place that names no temperature is passed over."""
    rows: dict[tuple[float, str], list[Any]] = {}
    for o in seen:
        rows.setdefault((o.day, o.place), []).append(o)
    for (day, place), all_seen in rows.items():
        warm = temperatures_in(place)
        if not warm:
            continue
        words = [o.words for o in all_seen if o.kind in SEEN]
        read = {o.kind: o.value for o in all_seen if o.kind in MEASURED}
        yield Watched(
            recipe.name,
            recipe.version,
            batch,
            day,
            warm[0],
            all(word == "same" for word in words) if words else None,
            read.get("pH"),
            read.get("spread"),
            read.get("weight"),
            kept=f"{place_of(batch)}, day {day:g}",
        )


def _fills(log: BenchLog, batch: str, workshop: Workshop, recipe: Recipe) -> FillCheck | None:
    masses = [row["mass_mg"] / 1000 for row in log.now("fill", batch=batch)]
    if len(masses) < LEAST:
        return None
    nominal = parse_amount(f"{recipe.fill_ml!r} mL" if recipe.fill_g is None else f"{recipe.fill_g!r} g")
    return check_fills(masses, nominal, recipe.density_g_per_ml, workshop.settings.market)
