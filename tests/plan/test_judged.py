"""Recipes judged without costs: the hard recipes of the check table through the shell's verb; what is unreadable."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from demo_workshop import demo
from hard_recipes import write_workshop
from reference_tables import reference_json

from maker_kit import cli
from maker_kit.errors import UnknownNameError, WorkshopError
from maker_kit.findings import KINDS
from maker_kit.plan.judged import FLAG, judge_folder, judge_recipes
from maker_kit.workshop import demo_folder

CASES = reference_json("hard_recipes.json")


@pytest.fixture(scope="module")
def judged(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, Any]]:
    """What ``judge --json`` says of every hard recipe, each in a workshop with the others."""
    folder = write_workshop(tmp_path_factory.mktemp("hard"), CASES)
    return {each.recipe: each.record() for each in judge_folder(folder)}


def told(flag: dict[str, str]) -> str:
    return " ".join(flag[key] for key in ("subject", "text", "next_step", "source"))


@pytest.mark.parametrize("case", CASES, ids=[case["case"] for case in CASES])
def test_hard_recipes_are_judged_as_they_must(case: dict[str, Any], judged: dict[str, dict[str, Any]]) -> None:
    flags = judged[case["case"]]["flags"]
    looks = [f for f in flags if f["kind"] == "look"]
    if case["least"] == "none":
        assert not [f for f in flags if f["kind"] == "stop"], flags
        assert len(looks) <= case.get("most_looks", len(looks)), [f["text"] for f in looks]
        return
    grave = KINDS[: KINDS.index(case["least"]) + 1]
    about = [f for f in flags if f["kind"] in grave and re.search(case["about"], told(f), re.IGNORECASE)]
    assert about, [(f["kind"], f["code"], f["text"]) for f in flags]


def test_the_verb_prints_the_list_and_ends_with_1_where_a_stop_stands(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = str(write_workshop(tmp_path / "hard", CASES))
    assert cli.main(["judge", "--json", "--workshop", folder]) == 1
    records = json.loads(capsys.readouterr().out)
    assert {r["recipe"] for r in records} == {case["case"] for case in CASES}
    for record in records:
        assert list(record) == ["recipe", "version", "law_as_of", "flags"]
        assert re.fullmatch(r"20\d\d-\d\d-\d\d", record["law_as_of"])
        kinds = [KINDS.index(flag["kind"]) for flag in record["flags"]]
        assert kinds == sorted(kinds)
        assert all(tuple(flag) == FLAG for flag in record["flags"])
    assert cli.main(["judge", "plain-lotion", "--json", "--workshop", folder]) == 0
    assert [r["recipe"] for r in json.loads(capsys.readouterr().out)] == ["plain-lotion"]
    assert cli.main(["judge", "boric", "plain-lotion", "--json", "--workshop", folder]) == 1


def test_a_recipe_that_cannot_be_read_is_one_stop_and_the_others_are_judged(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = Path(shutil.copytree(demo_folder(), tmp_path / "mine"))
    lines = folder / "recipes" / "r4-balm.csv"
    lines.write_text(lines.read_text(encoding="utf-8").replace("16.00", "some"), encoding="utf-8")
    assert cli.main(["judge", "r4-balm", "r2-gel-cream", "--json", "--workshop", str(folder)]) == 1
    balm, gel = json.loads(capsys.readouterr().out)
    assert [(f["kind"], f["code"]) for f in balm["flags"]] == [("stop", "table.fault")]
    assert "recipes/r4-balm.csv, row" in balm["flags"][0]["text"]
    assert "table.fault" not in {f["code"] for f in gel["flags"]}
    whole = {each.recipe: each for each in judge_recipes(demo())}
    assert gel == whole["r2-gel-cream"].record()
    assert cli.main(["judge", "r4-balm", "--workshop", str(folder)]) == 1
    assert "r4-balm: 1 thing stops this recipe" in capsys.readouterr().out


def test_own_limits_that_cannot_be_read_are_looked_at(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(demo_folder(), tmp_path / "mine"))
    (folder / "limits.csv").unlink()
    (balm,) = judge_folder(folder, ["r4-balm"])
    missed = [f for f in balm.findings if f.code == "table.not_counted"]
    assert [f.kind for f in missed] == ["look"]
    assert missed[0].level == "unknown"


def test_faults_of_the_market_change_no_verdict(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(demo_folder(), tmp_path / "mine"))
    for file in ("packs.csv", "suppliers.csv", "delivery.csv", "kits.csv"):
        (folder / file).unlink()
    market = {"kit", "container"}
    whole = judge_recipes(demo())
    for without, before in zip(judge_folder(folder), whole, strict=True):
        assert without.of_kind("stop") == before.of_kind("stop")
        assert {f.code for f in without.findings} <= {f.code for f in before.findings}
        assert {f.topic for f in set(before.findings) - set(without.findings)} <= market


def test_without_settings_a_named_recipe_is_one_stop(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(demo_folder(), tmp_path / "mine"))
    (folder / "workshop.csv").unlink()
    (balm,) = judge_folder(folder, ["r4-balm"])
    assert [(f.kind, f.code) for f in balm.findings] == [("stop", "table.fault")]
    with pytest.raises(WorkshopError):
        judge_folder(folder)


def test_each_thing_is_said_once_and_an_unknown_name_is_refused() -> None:
    shop = demo()
    for each in judge_recipes(shop):
        assert len(set(each.findings)) == len(each.findings)
        assert each.law_as_of
    assert [each.recipe for each in judge_recipes(shop, ["Hand and heel balm", "r4-balm"])] == ["r4-balm"]
    with pytest.raises(UnknownNameError):
        judge_recipes(shop, ["r4-blam"])


def test_judging_fetches_no_notebook_tools() -> None:
    code = (
        "import sys; from maker_kit import cli; cli.main(['judge', 'r4-balm', '--json']); "
        "print([m for m in ('ipywidgets', 'matplotlib', 'papermill', 'nbconvert') if m in sys.modules], "
        "file=sys.stderr)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stderr.strip() == "[]"


def test_a_list_of_recipes_that_cannot_be_read_is_a_stop_and_never_silence(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A cell of 10 001 characters makes the whole table unreadable: nothing is judged, and nobody may think it was."""
    folder = Path(shutil.copytree(demo_folder(), tmp_path / "w"))
    table = folder / "recipes.csv"
    table.write_text(table.read_text(encoding="utf-8").replace("Hand and heel balm", "A" * 10_001), encoding="utf-8")
    (judged,) = judge_folder(folder, ["r4-balm"])
    assert judged.stopped
    assert [f.code for f in judged.of_kind("stop")] == ["table.fault"]
    assert cli.main(["judge", "--workshop", str(folder)]) == 1
    assert "10001 characters" in "".join(capsys.readouterr())
