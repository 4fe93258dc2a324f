"""Hard recipes, each with the least that has to be said of it: the check table hard_recipes.json, or the one in the
folder that MAKER_KIT_REFERENCE names. Why each is due (law, standard, or common practice) stands in the table beside
it.
"""

from __future__ import annotations

import re

import pytest
from hard_recipes import write_workshop
from reference_tables import reference_json

from maker_kit.findings import KINDS
from maker_kit.plan import make_plan
from maker_kit.workshop import Workshop, load_workshop

CASES = reference_json("hard_recipes.json")


@pytest.fixture(scope="module")
def workshop(tmp_path_factory) -> Workshop:
    return load_workshop(write_workshop(tmp_path_factory.mktemp("hard"), CASES))


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["case"])
def test_each_hard_recipe_is_judged_as_a_careful_reviewer_would(workshop, case) -> None:
    plan = make_plan(workshop, case["case"])
    said = [*plan.findings, *plan.cautions]
    if case["least"] == "none":
        loud = [f for f in said if f.kind != "know"]
        assert not [f.text for f in loud if f.kind == "stop"]
        assert len(loud) <= case.get("most_looks", 99), [f.text for f in loud]
        return
    grave = KINDS[: KINDS.index(case["least"]) + 1]
    due = [f for f in said if f.kind in grave and re.search(case["about"], f"{f.subject}\n{f.text}", re.IGNORECASE)]
    assert due, (case["why"], [(f.kind, f.code, f.text) for f in said])
    assert all(f.source for f in due)


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["case"])
def test_nothing_grave_is_lost_where_each_thing_is_said_once(workshop, case) -> None:
    found = make_plan(workshop, case["case"]).findings
    assert [KINDS.index(f.kind) for f in found] == sorted(KINDS.index(f.kind) for f in found)
    assert len({(f.code, f.about) for f in found}) == len(found)
