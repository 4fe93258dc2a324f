"""Over a hundred and fifty hard recipes more (``more_hard_recipes.csv``), in the manner of the check table: over all
annexes, pH, preservation, essential oils, pairs, guards and names. What each must get at least was decided before it
was judged, from the annex tables or by common practice.
"""

from __future__ import annotations

import csv
import re
from pathlib import Path
from typing import Any

import pytest
from hard_recipes import write_workshop
from test_fresh_recipes import EMULSION, WATER, made

from maker_kit.findings import KINDS
from maker_kit.plan.judged import Judged, judge_folder

TABLE = Path(__file__).with_name("more_hard_recipes.csv")
BASES = {
    "": (),
    "cream": EMULSION,
    "wash": (WATER, "Sodium Laureth Sulfate; Aqua | surfactant | 30 | Sodium Laureth Sulfate 27 28 | Aqua 72 73"),
}
KEPT = "Phenoxyethanol; Ethylhexylglycerin | preservative | 1 | Phenoxyethanol 88 92 | Ethylhexylglycerin 8 12"


def case_of(row: dict[str, str]) -> dict[str, Any]:
    lines = (*BASES[row["base"]], *filter(None, row["lines"].split(" / ")), *([KEPT] if row["kept"] else ()))
    told = {key: row[key] for key in ("title", "use", "whom", "spray", "container")}
    ph = float(row["ph"]) if row["ph"] else None
    return made(row["case"], row["where"], lines, row["least"], row["about"], ph, **told)


HARD = [case_of(row) for row in csv.DictReader(TABLE.read_text(encoding="utf-8").splitlines())]


@pytest.fixture(scope="module")
def judged(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Judged]:
    return {e.recipe: e for e in judge_folder(write_workshop(tmp_path_factory.mktemp("more"), HARD))}


@pytest.mark.parametrize("case", HARD, ids=lambda case: case["case"])
def test_each_gets_at_least_what_it_must(case: dict[str, Any], judged: dict[str, Judged]) -> None:
    found = judged[case["case"]].findings
    assert "table.fault" not in {f.code for f in found}, found
    grave = KINDS[: KINDS.index(case["least"]) + 1]
    said = [" ".join((f.subject, f.text, f.next_step, f.source)) for f in found if f.kind in grave]
    assert any(re.search(case["about"], text, re.IGNORECASE) for text in said), found
    kinds = [KINDS.index(f.kind) for f in found]
    assert kinds == sorted(kinds)
    assert len({(f.kind, f.code, f.about) for f in found}) == len(found)
    limits = [f.about[0] for f in found if f.kind == "look" and f.topic == "limit" and len(f.about) == 1]
    assert len(set(limits)) == len(limits)


def test_there_are_many_of_each() -> None:
    assert len(HARD) > 150
    assert sum(case["least"] == "stop" for case in HARD) > 90
