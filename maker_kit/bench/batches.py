"""A batch in the log: begun, weighed, numbered, handed out.

What is unusual does not pass unnoticed: a lot that is unknown, past its date or used up, a recipe that changed since
its sheet was printed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from maker_kit.bench.log import BenchLog
from maker_kit.bench.stock import lots_of
from maker_kit.bench.version import is_made_alike, is_version, recipe_version
from maker_kit.errors import NoticeError, QuantityError, UnknownNameError, short
from maker_kit.findings import PRACTICE, Finding, know, look, stop
from maker_kit.formula.recipe import Recipe
from maker_kit.numbers import exact_number, number_text

MILLIGRAMS = 1000


def next_number(log: BenchLog, recipe: str) -> str:
    """The number of the next batch of a recipe: its name's first word and a running number, such as ``R2-07``."""
    head = recipe.split("-")[0].upper() or "B"
    used = {row["number"].casefold() for row in log.now("batch")}
    number = 1
    while f"{head}-{number:02d}".casefold() in used:
        number += 1
    return f"{head}-{number:02d}"


def begin_batch(
    log: BenchLog,
    recipe: Recipe,
    containers: int,
    made_on: date,
    number: str = "",
    sheet_version: str = "",
    made_by: str = "",
) -> str:
    """Begin a batch and give its number.

    Parameters
    ----------
    log : BenchLog
    recipe : Recipe
    containers : int
    made_on : date
    number : str
        Taken from `next_number` where empty.
    sheet_version : str
        The version that stands on the printed sheet; empty where none was printed.
    made_by : str
        Who makes it; empty where that is not written down.

    Returns
    -------
    str

    Raises
    ------
    NoticeError
        If the sheet's version is not that of the recipe in hand.
    QuantityError
        If the number is taken, or the containers are none.
    """
    version = recipe_version(recipe)
    if sheet_version.strip() and not is_version(sheet_version, recipe):
        raise NoticeError(
            f"the sheet of {recipe.title} carries version {short(sheet_version)}, and the recipe in hand is {version}: "
            "it was changed since. Print the sheet again before you weigh"
        )
    number = number.strip() or next_number(log, recipe.name)
    log.add(
        "batch",
        number=number,
        recipe=recipe.name,
        version=version,
        title=recipe.title,
        container=recipe.container,
        containers=containers,
        made_on=made_on.isoformat(),
        made_by=made_by,
    )
    return number


def weigh(
    log: BenchLog,
    batch: str,
    item: str,
    mass_g: float,
    lot: str = "",
    planned_g: float | None = None,
    *,
    phase: str = "",
    reason: str = "",
    scale: str = "",
) -> tuple[Finding, ...]:
    """Write down what was weighed in.

    Parameters
    ----------
    log : BenchLog
    batch, item : str
    mass_g : float
        [g]
    lot : str
        Its code; empty where the pack has none.
    planned_g : float or None
        By the weigh-out [g].
    phase : str
    reason : str
        Why it is weighed all the same where the lot is past its date or holds too little.
    scale : str
        The scale's own number.

    Returns
    -------
    tuple of Finding
        ``day.no_lot`` (look), ``day.past_date`` (stop, or a deviation where a reason is given), ``day.far_off`` (look):
        more than 2 % and 0.2 g off what was planned.

    Raises
    ------
    UnknownNameError
        If there is no such batch or lot, or the lot is of something else.
    QuantityError
        If the mass is below 0.001 g, or the lot does not hold so much and no reason is given.
    """
    mass_mg = round(exact_number(mass_g, f"the mass of {item}") * MILLIGRAMS)
    if mass_mg <= 0:
        raise QuantityError(f"{item} weighs 0.001 g or more; {number_text(mass_g)} g was given")
    found: list[Finding] = []
    row = log.now("batch", id=log.root_of("batch", batch))[0]
    if not lot:
        text = f"{item} was weighed from a pack without a lot: it cannot be followed."
        found.append(look("day.no_lot", item, text, next_step="Write the pack's lot, or give it one.", source=PRACTICE))
    else:
        there = lots_of(log, date.fromisoformat(row["made_on"]), code=lot)[0]
        if there.item.casefold() != item.casefold():
            raise UnknownNameError(f"the lot {there.code} is {there.item}, not {item}")
        if there.left_g is not None and mass_g > there.left_g + 1e-9 and not reason.strip():
            raise QuantityError(
                f"the lot {there.code} holds {number_text(round(there.left_g, 1))} g of {there.item} by the log, and "
                f"{number_text(mass_g)} g were weighed: is it another lot, or what is the reason?"
            )
        if there.expired:
            text = f"The lot {there.code} of {item} is past its date, {there.best_before}."
            step = "Take another lot. If it is used all the same, write why; the product keeps no longer for it."
            make = look if reason.strip() else stop
            found.append(make("day.past_date", item, text, level="over", next_step=step, source=PRACTICE))
    if planned_g is not None and abs(mass_g - planned_g) > max(0.2, 0.02 * planned_g):
        text = f"{number_text(mass_g)} g of {item} were weighed; the sheet says {number_text(planned_g)} g."
        step = "Weigh again; what is too much in the beaker cannot be taken out, so note it."
        found.append(look("day.far_off", item, text, level="over", next_step=step, source=PRACTICE))
    values = {
        "batch": batch,
        "item": item,
        "phase": phase or None,
        "lot": lot or None,
        "planned_mg": None if planned_g is None else round(planned_g * MILLIGRAMS),
        "mass_mg": mass_mg,
        "scale": scale or None,
    }
    if reason.strip():
        log.add("deviation", batch=batch, what=f"weighed {item} {lot}".strip(), reason=reason.strip())
    log.add("weighing", **values)
    return tuple(found)


def number_units(log: BenchLog, batch: str, count: int) -> tuple[str, ...]:
    """Number the filled units of a batch: ``R2-07/01`` and so on. Raises QuantityError above the batch's containers."""
    row = log.now("batch", id=log.root_of("batch", batch))[0]
    there = len(log.now("unit", batch=batch))
    if not 1 <= count <= row["containers"] - there:
        raise QuantityError(
            f"{row['number']} has {row['containers']} containers, of which {there} are numbered; {count} more cannot be"
        )
    codes = tuple(f"{row['number']}/{k:02d}" for k in range(there + 1, there + count + 1))
    log.add_all("unit", [{"batch": batch, "code": code} for code in codes])
    return codes


def hand_out(log: BenchLog, units: Sequence[str], place: str, use: str, gone_on: date) -> None:
    """Write where units went: a place, and as what (own use, gift, sale, thrown away, back). Raises QuantityError where
    a unit would have gone before its batch was made.
    """
    for unit in units:
        made = log.ask(
            "SELECT b.number, b.made_on FROM now_unit u JOIN now_batch b ON b.id = u.batch WHERE u.id = ?",
            (log.root_of("unit", unit),),
        )
        if made and gone_on.isoformat() < made[0]["made_on"]:
            raise QuantityError(
                f"batch {made[0]['number']} was made on {made[0]['made_on']}, and {short(unit)} cannot have gone on "
                f"{gone_on.isoformat()}: did the clock go back, or is it another year?"
            )
    log.add_all("gone", [{"unit": u, "place": place, "use": use, "gone_on": gone_on.isoformat()} for u in units])


@dataclass(frozen=True)
class LastPh:
    """The last pH that was read of a fresh batch of a recipe.

    Attributes
    ----------
    value : float
    tool : str
        In the maker's words; empty where nobody wrote it down.
    at_c : float or None
        Of the sample [°C].
    read_at, batch, version : str
        When; the number of the batch; the version of the recipe that it was made by.
    """

    value: float
    tool: str
    at_c: float | None
    read_at: str
    batch: str
    version: str

    @property
    def noted(self) -> str:
        """Batch and time: ``batch R2-08, 2026-10-12``."""
        return f"batch {self.batch}, {self.read_at}"

    def told(self, recipe: Recipe | None = None, level: str = "unknown") -> Finding:
        """Where it is from: ``day.ph`` (know); ``day.ph_other_version`` (look, of that level) where the batch was of
        something else than the recipe in hand, of which the reading then says nothing.
        """
        tool = f"by {self.tool}" if self.tool else "with a tool that nobody wrote down"
        warm = "" if self.at_c is None else f" at {number_text(self.at_c)} °C"
        text = f"pH {number_text(self.value)} was read {tool}{warm} on {self.read_at} at batch {self.batch}"
        if recipe is None or is_version(self.version, recipe):
            return know("day.ph", "pH", f"{text} (version {self.version}).")
        version = recipe_version(recipe)
        if is_made_alike(self.version, recipe):
            text += f" (version {self.version}; in {version} only words, fill or loss are other)."
            return know("day.ph", "pH", text)
        text += (
            f", which was made by version {self.version}; the recipe in hand is {version}, of which that says nothing."
        )
        step = "Read the pH of a batch of this version and write it into the bench log; nothing computes it."
        return look("day.ph_other_version", "pH", text, level=level, next_step=step, source=PRACTICE)


def last_ph(log: BenchLog, name: str, recipe: Recipe | None = None) -> LastPh | None:
    """The last pH that was read of a fresh batch of a recipe.

    What was read later, while a batch was watched, tells how it keeps and is left out. Where the computer's clock went
    back in between, the last is the one that was entered last.

    Parameters
    ----------
    log : BenchLog
    name : str
        Of the recipe.
    recipe : Recipe, optional
        Only of batches that were made as this one is (`maker_kit.bench.version.is_made_alike`); of any where left out.

    Returns
    -------
    LastPh or None
        None where there is none.
    """
    versions = [r["version"] for r in log.ask("SELECT DISTINCT version FROM now_batch WHERE recipe = ?", (name,))]
    alike = [v for v in versions if recipe is None or is_made_alike(v, recipe)]
    asked = f"""SELECT r.value, r.tool, r.at_c, r.read_at, b.number, b.version, r.entered_at FROM now_reading r
 JOIN now_batch b ON b.id = r.batch
 WHERE b.recipe = ? AND r.kind = 'pH' AND r.value IS NOT NULL AND coalesce(r.day, 0) = 0
 AND b.version IN ({", ".join("?" * len(alike))}) ORDER BY"""
    by_time = log.ask(f"{asked} r.read_at DESC, r.began DESC LIMIT 1", (name, *alike))
    by_entry = log.ask(f"{asked} r.began DESC LIMIT 1", (name, *alike))
    if not by_time:
        return None
    went_back = by_entry[0]["entered_at"] < by_time[0]["entered_at"]  # and not only typed in late
    r = by_entry[0] if went_back else by_time[0]
    return LastPh(r["value"], r["tool"] or "", r["at_c"], r["read_at"], r["number"], r["version"])
