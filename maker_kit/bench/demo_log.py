"""The demo's bench log: invented records of the demo workshop, so that an empty log does not have to be looked at."""

from __future__ import annotations

from collections.abc import Mapping
from csv import DictReader
from datetime import date
from pathlib import Path

from maker_kit.bench.clean import CLEAN_START
from maker_kit.bench.log import BenchLog
from maker_kit.bench.version import recipe_version
from maker_kit.formula.batch import exact_fill_mass
from maker_kit.formula.recipe import Recipe

TODAY = date(2026, 11, 2)
"""The day on which the demo's records end."""
GEL, WATER, LOTION = "r2-gel-cream", "r3v2-cleansing-water", "r5-hand-lotion"
BATCHES = (
    # number, recipe, containers, day, lot of propanediol, film and share that were lost [g, %]
    ("R2-01", GEL, 4, "2026-04-06", "", (12.4, 2.4)),
    ("R2-02", GEL, 6, "2026-05-04", "", (11.5, 2.6)),
    ("R2-03", GEL, 12, "2026-06-01", "", (12.2, 2.5)),
    ("R2-04", GEL, 8, "2026-07-06", "", (11.9, 2.5)),
    ("R2-05", GEL, 4, "2026-08-03", "", (12.1, 2.6)),
    ("R2-06", GEL, 10, "2026-08-31", "", (12.0, 2.4)),
    ("R2-07", GEL, 12, "2026-09-28", "N-0417", (12.3, 2.5)),
    ("R2-08", GEL, 9, "2026-10-12", "N-0417", (11.8, 2.5)),
    ("R3-03", WATER, 12, "2026-10-14", "N-0417", (4.0, 1.5)),
    ("R5-04", LOTION, 10, "2026-10-19", "", (15.0, 4.0)),
)
PLACES = (("rooms", "own use", 19), ("shelf", "sale", 9), ("gifts", "gift", 5))
"""Where the 33 units of lot N-0417 went."""
FILLS = (245.8, 244.9, 246.1, 243.7, 245.2, 236.4, 245.5, 244.8, 246.0, 245.1)
"""Ten bottles of R5-04, nominally 245.0 g each."""
MAKER = "the demo's maker"
TOOLS = {"weight": "S-1", "temperature": "T-2", "pH": "PH-1"}
"""Own numbers of scale, thermometer and pH meter."""
TODAYS = "R2-09"
"""The batch that is in the beaker: three jars, steps 1 to 3 done."""


def fill_demo_log(log: BenchLog, recipes: Mapping[str, Recipe]) -> None:
    """Write the demo's records into an empty log.

    Parameters
    ----------
    log : BenchLog
    recipes : Mapping of str to Recipe
        The demo workshop's, by name.

    Raises
    ------
    MakerKitError
        If the log cannot be written, or the recipes are not the demo's.
    """
    lots = _rows("lots")
    for row in lots:
        row |= {f"{n}_mg": _mg(row.pop(f"{n}_g")) for n in ("listed", "label", "scale")} | {"received_on": "2026-09-01"}
    log.add_all("lot", lots)
    rows: dict[str, list[dict]] = {n: [] for n in ("batch", "weighing", "fill", "unit", "deed")}
    for number, name, containers, day, lot, lost in BATCHES:
        recipe, by_lot = recipes[name], {"Propanediol": lot} if lot else {}
        rows["batch"].append(_batch(recipe, number, containers, day))
        filled = float(exact_fill_mass(recipe)) * containers
        rows["weighing"] += _weighings(recipe, number, filled * (1 + lost[1] / 100) + lost[0], by_lot)
        masses = FILLS if number == "R5-04" else [float(exact_fill_mass(recipe)) + d for d in (0.3, -0.2, 0.1, -0.2)]
        rows["fill"] += [{"batch": number, "container": k, "mass_mg": _mg(m)} for k, m in enumerate(masses, 1)]
        rows["unit"] += [{"batch": number, "code": f"{number}/{k:02d}"} for k in range(1, containers + 1)]
        rows["deed"] += [{"batch": number, "step": s.number, "state": "done"} for s in recipe.steps]
    gel = recipes[GEL]
    rows["batch"].append(_batch(gel, TODAYS, 3, TODAY.isoformat()))
    lots_today = {"Propanediol": "N-0502", "Gel former": "GF-12", "Glycerin": "G-77"}
    rows["weighing"] += _weighings(gel, TODAYS, 3 * float(exact_fill_mass(gel)) * 1.025 + 12, lots_today)
    rows["deed"] += [{"batch": TODAYS, "step": k, "state": "done"} for k in (1, 2, 3)]
    rows["reading"] = [{**row, "instrument": TOOLS.get(row["kind"])} for row in _rows("readings")]
    for row in (*rows["weighing"], *rows["fill"]):
        row["scale"] = TOOLS["weight"]
    rows["tick"] = [
        {"batch": TODAYS, "part": "start", "what": what, "done": True, "by": MAKER, "ticked_at": f"{TODAY} 08:50"}
        for what in CLEAN_START
    ]
    for table in ("batch", "tick", "weighing", "deed", "reading", "fill", "unit"):
        log.add_all(table, rows[table])
    what = "step 3: the water part was at 61 °C and the oils at 72 °C when they were joined"
    log.add(
        "deviation",
        batch="R5-04",
        step=3,
        what=what,
        reason="only one thermometer was read",
        rescue="none; grain was seen after a week",
    )
    places = iter([(p, use) for p, use, n in PLACES for _ in range(n)])
    gone = []
    for number, *_, lot, _lost in BATCHES:
        if lot == "N-0417":
            for unit in (u["code"] for u in rows["unit"] if u["batch"] == number):
                place, use = next(places)
                gone.append({"unit": unit, "place": place, "use": use, "gone_on": "2026-10-20"})
    log.add_all("gone", gone)


def _rows(table: str) -> list[dict]:
    """The rows of a table of the demo's records; figures as numbers, None where nothing was noted."""
    with Path(__file__).with_name("demo").joinpath(f"{table}.csv").open(encoding="utf-8", newline="") as file:
        return [{n: _READ.get(n, str)(cell) if cell else None for n, cell in row.items()} for row in DictReader(file)]


_READ = {**dict.fromkeys(("listed_g", "label_g", "scale_g", "value", "at_c", "day"), float), "step": int}
"""Columns that hold numbers; `day` of a reading counts from the day on which the batch was made."""


def _batch(recipe: Recipe, number: str, containers: int, day: str) -> dict:
    return {
        "number": number,
        "recipe": recipe.name,
        "version": recipe_version(recipe),
        "title": recipe.title,
        "container": recipe.container,
        "containers": containers,
        "made_on": day,
        "made_by": MAKER,
    }


def _weighings(recipe: Recipe, number: str, whole_g: float, lots: Mapping[str, str]) -> list[dict]:
    rows = []
    for line in recipe.lines:
        mg = round(float(line.percent) * whole_g * 10)
        if mg:
            lot = lots.get(line.ingredient)
            more = {"phase": line.phase, "lot": lot, "planned_mg": mg, "mass_mg": mg}
            rows.append({"batch": number, "item": line.ingredient, **more})
    return rows


def _mg(grams: float | None) -> int | None:
    return None if grams is None else round(grams * 1000)
