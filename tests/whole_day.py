"""A whole day at the bench by plain calls: kit 2 of the invented scenario, short of propanediol; three jars given."""

from __future__ import annotations

from datetime import date

import pytest
from demo_workshop import demo

from maker_kit.bench.batches import begin_batch, hand_out, number_units, weigh
from maker_kit.bench.clean import CLEAN_END, CLEAN_START, tick
from maker_kit.bench.cooling import fit_cooling, when_at
from maker_kit.bench.day import do_step, skip_step
from maker_kit.bench.fills import check_fills
from maker_kit.bench.log import BenchLog
from maker_kit.bench.observed import read
from maker_kit.bench.receiving import put_away
from maker_kit.errors import NoticeError
from maker_kit.plan.kit_received import receive_kit
from maker_kit.plan.plan import make_plan
from maker_kit.plan.stock import fills, find_kit
from maker_kit.units import parse_amount
from maker_kit.workbook.run.sheets_to_print import sheet_for

SHOP = demo()
GEL = SHOP.recipe("r2-gel-cream")
TODAY = date(2026, 11, 2)
NUMBER = "R2-21"


def make_the_day(log: BenchLog) -> dict:
    """Write the day into an empty log, and give what was said on it."""
    told: dict = {}
    came = receive_kit(SHOP, "Kit 2", {"Propanediol": "32 g"})
    told["short"] = {row.item: row.scale_to_recipe for row in came.rows}["Propanediol"]
    put = put_away(log, came, TODAY, SHOP.ingredients, codes={"Propanediol": "N-0417"})
    told["jars"] = fills(SHOP, GEL, find_kit(SHOP, "Kit 2").content)
    plan = make_plan(SHOP, GEL, batch_size=3)  # the way that was chosen: three jars
    number = begin_batch(log, GEL, 3, TODAY, NUMBER, sheet_for(SHOP, GEL.name, 3).version, "A. Maker")
    told["not clean"] = tick(log, number, "start", CLEAN_START[:3], "2026-11-02 09:00", "A. Maker")
    tick(log, number, "start", CLEAN_START, "2026-11-02 09:10", "A. Maker")
    for row in plan.weigh_out.rows:
        lot = put.lots.get(row.ingredient, "")
        more = {"phase": row.phase, "reason": "a kit is what it is", "scale": "S-7"}
        weigh(log, number, row.ingredient, row.weighed_g, lot, row.weighed_g, **more)
    for step in GEL.steps[:4]:
        do_step(log, number, step, "2026-11-02 10:00", 22.0, thermometer="T-2")
    with pytest.raises(NoticeError):
        do_step(log, number, GEL.steps[4], "2026-11-02 11:00")  # the thermometer was not read
    skip_step(log, number, GEL.steps[6], "no ring in the house", "spread is read tomorrow")
    do_step(log, number, GEL.steps[4], "2026-11-02 11:00", 27.0, "a warm day", "stood in the cellar")
    told["at_25"] = when_at(fit_cooling([(0, 31), (10, 28)], 20.0), 25.0)
    read(log, number, "pH", 5.6, "2026-11-02 11:20", "pH meter", 21.0, "PH-3")
    masses = (196.4, 196.2, 196.3)
    log.add_all(
        "fill",
        [
            {"batch": number, "container": k, "mass_mg": round(m * 1000), "scale": "S-7"}
            for k, m in enumerate(masses, 1)
        ],
    )
    told["fills"] = check_fills(masses, parse_amount("200 mL"), 0.98)
    told["units"] = number_units(log, number, 3)
    hand_out(log, told["units"][:2], "room 4", "own use", TODAY)
    hand_out(log, told["units"][2:], "a cousin", "gift", TODAY)
    tick(log, number, "end", CLEAN_END, "2026-11-02 13:00", "A. Maker")
    return told
