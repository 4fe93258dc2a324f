"""The demo's bench log: invented records of the demo workshop, so that an empty log does not have to be looked at."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from maker_kit.bench.clean import CLEAN_START
from maker_kit.bench.log import BenchLog
from maker_kit.bench.observed import PHOTO
from maker_kit.bench.version import recipe_version
from maker_kit.formula.batch import exact_fill_mass
from maker_kit.formula.recipe import Recipe

TODAY = date(2026, 11, 2)
"""The day on which the demo's records end."""
GEL, WATER, LOTION = "r2-gel-cream", "r3v2-cleansing-water", "r5-hand-lotion"
LOTS = (
    # code, item, supplier, listed, label, scale [g], best before, certificate
    ("N-0417", "Propanediol", "N raws", 1000.0, 1000.0, 1002.1, "2027-09-30", None),
    ("N-0502", "Propanediol", "N raws", 100.0, 100.0, 83.4, "2027-11-30", None),
    ("M-0233", "Rose floral water", "M botanicals", 236.4, 236.4, 236.9, "2027-04-30", None),
    ("S1-08", "Scent 1", "M botanicals", 93.0, 93.0, 92.8, "2028-01-31", None),
    ("GF-12", "Gel former", "N raws", 100.0, 100.0, 100.2, "2027-01-02", None),
    ("G-77", "Glycerin", "N raws", 1000.0, 1000.0, 1001.5, "2028-06-30", None),
    ("P-31", "Preservative P", "N raws", 250.0, 250.0, None, "2027-08-31", None),
)
BATCHES = (
    # number, recipe, containers, day, lot of propanediol, pH, spread [cm], film and share that were lost [g, %]
    ("R2-01", GEL, 4, "2026-04-06", "", 5.62, 6.5, (12.4, 2.4)),
    ("R2-02", GEL, 6, "2026-05-04", "", 5.58, 6.6, (11.5, 2.6)),
    ("R2-03", GEL, 12, "2026-06-01", "", 5.61, 6.4, (12.2, 2.5)),
    ("R2-04", GEL, 8, "2026-07-06", "", 5.57, 6.5, (11.9, 2.5)),
    ("R2-05", GEL, 4, "2026-08-03", "", 5.63, 6.7, (12.1, 2.6)),
    ("R2-06", GEL, 10, "2026-08-31", "", 5.59, 6.5, (12.0, 2.4)),
    ("R2-07", GEL, 12, "2026-09-28", "N-0417", 5.6, 6.6, (12.3, 2.5)),
    ("R2-08", GEL, 9, "2026-10-12", "N-0417", 5.6, 6.5, (11.8, 2.5)),
    ("R3-03", WATER, 12, "2026-10-14", "N-0417", 6.6, None, (4.0, 1.5)),
    ("R5-04", LOTION, 10, "2026-10-19", "", 5.2, 7.2, (15.0, 4.0)),
)
PLACES = (("rooms", "own use", 19), ("shelf", "sale", 9), ("gifts", "gift", 5))
"""Where the 33 units of lot N-0417 went."""
FILLS = (245.8, 244.9, 246.1, 243.7, 245.2, 236.4, 245.5, 244.8, 246.0, 245.1)
"""Ten bottles of R5-04, nominally 245.0 g each."""
WATCH = {  # place → kind → day → value
    "20 °C": {"spread": {0: 6.6, 1: 6.4, 7: 6.4, 28: 6.5}, "pH": {0: 5.6, 1: 5.6, 7: 5.6, 28: 5.5}},
    "40 °C": {"spread": {0: 6.6, 1: 6.5, 7: 6.9, 28: 7.9}},
}
"""R2-07 over four weeks: at 40 °C it thins."""
MAKER = "the demo's maker"
TOOLS = {"weight": "S-1", "temperature": "T-2", "pH": "PH-1"}
"""Own numbers of scale, thermometer and pH meter."""
PHOTOS = ((0, "photos/lotion-day-0.png"), (7, "photos/lotion-day-7.png"))
"""Day, and a drawn picture in the demo's folder: the lotion smooth, and grainy after a week."""
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
    heads = ("code", "item", "supplier", "listed", "label", "scale", "best_before", "certificate")
    lots = [dict(zip(heads, row, strict=True)) for row in LOTS]
    for row in lots:
        row.update({f"{n}_mg": _mg(row.pop(n)) for n in ("listed", "label", "scale")}, received_on="2026-09-01")
    log.add_all("lot", lots)
    rows: dict[str, list[dict]] = {n: [] for n in ("batch", "weighing", "reading", "fill", "unit", "deed")}
    for number, name, containers, day, lot, ph, spread, lost in BATCHES:
        recipe, by_lot = recipes[name], {"Propanediol": lot} if lot else {}
        rows["batch"].append(_batch(recipe, number, containers, day))
        filled = float(exact_fill_mass(recipe)) * containers
        rows["weighing"] += _weighings(recipe, number, filled * (1 + lost[1] / 100) + lost[0], by_lot)
        for kind, value, unit, tool in (("pH", ph, None, "pH meter"), ("spread", spread, "cm", "ring, ruler")):
            if value is not None and number != "R2-07":
                rows["reading"].append(
                    {
                        "batch": number,
                        "kind": kind,
                        "value": value,
                        "unit": unit,
                        "tool": tool,
                        "at_c": 20.0,
                        "read_at": day,
                    }
                )
        masses = FILLS if number == "R5-04" else [float(exact_fill_mass(recipe)) + d for d in (0.3, -0.2, 0.1, -0.2)]
        rows["fill"] += [{"batch": number, "container": k, "mass_mg": _mg(m)} for k, m in enumerate(masses, 1)]
        rows["unit"] += [{"batch": number, "code": f"{number}/{k:02d}"} for k in range(1, containers + 1)]
        rows["deed"] += [{"batch": number, "step": s.number, "state": "done"} for s in recipe.steps]
    gel = recipes[GEL]
    rows["batch"].append(_batch(gel, TODAYS, 3, TODAY.isoformat()))
    lots_today = {"Propanediol": "N-0502", "Gel former": "GF-12", "Glycerin": "G-77"}
    rows["weighing"] += _weighings(gel, TODAYS, 3 * float(exact_fill_mass(gel)) * 1.025 + 12, lots_today)
    rows["deed"] += [{"batch": TODAYS, "step": k, "state": "done"} for k in (1, 2, 3)]
    rows["reading"] += [
        {
            "batch": TODAYS,
            "kind": "temperature",
            "value": t,
            "unit": "°C",
            "tool": "thermometer",
            "step": k,
            "read_at": f"{TODAY} {at}",
        }
        for k, t, at in ((1, 21.5, "09:10"), (2, 22.0, "09:25"), (3, 23.0, "09:40"))
    ]
    rows["reading"] += [
        {"batch": "R5-04", "kind": "temperature", "value": t, "unit": "°C", "step": 3, "words": what, "read_at": at}
        for t, what, at in ((72.0, "oils", "2026-10-19 10:40"), (61.0, "water part", "2026-10-19 10:41"))
    ]
    for place, kinds in WATCH.items():
        for kind, days in kinds.items():
            for day, value in days.items():
                unit = "cm" if kind == "spread" else None
                rows["reading"].append(
                    {
                        "batch": "R2-07",
                        "kind": kind,
                        "value": value,
                        "unit": unit,
                        "place": place,
                        "day": float(day),
                        "at_c": 20.0,
                        "read_at": (date(2026, 9, 28) + timedelta(day)).isoformat(),
                    }
                )
    rows["reading"] += [
        {
            "batch": "R5-04",
            "kind": "look",
            "words": words,
            "place": "20 °C",
            "day": float(day),
            "read_at": (date(2026, 10, 19) + timedelta(day)).isoformat(),
        }
        for day, words in ((0, "same"), (1, "same"), (7, "changed"))
    ]
    for row in rows["reading"]:
        row["instrument"] = TOOLS.get(row["kind"])
    for row in (*rows["weighing"], *rows["fill"]):
        row["scale"] = TOOLS["weight"]
    rows["tick"] = [
        {"batch": TODAYS, "part": "start", "what": what, "done": True, "by": MAKER, "ticked_at": f"{TODAY} 08:50"}
        for what in CLEAN_START
    ]
    rows["reading"] += [
        {
            "batch": "R5-04",
            "kind": PHOTO,
            "words": name,
            "place": "20 °C",
            "day": float(day),
            "read_at": (date(2026, 10, 19) + timedelta(day)).isoformat(),
        }
        for day, name in PHOTOS
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
    for number, *_, lot, _ph, _spread, _lost in BATCHES:
        if lot == "N-0417":
            for unit in (u["code"] for u in rows["unit"] if u["batch"] == number):
                place, use = next(places)
                gone.append({"unit": unit, "place": place, "use": use, "gone_on": "2026-10-20"})
    log.add_all("gone", gone)


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
