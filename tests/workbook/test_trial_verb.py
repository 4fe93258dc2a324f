"""A trial by the shell: planned, printed, entered, looked at, opened and judged; and what is refused."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest

from maker_kit import cli
from maker_kit.trial.run import TIE
from maker_kit.workshop import load_workshop, new_workshop
from maker_kit.workshop.judged_targets import run_named

GEL = "r2-gel-cream"


@pytest.fixture(scope="module")
def mine(tmp_path_factory) -> Path:
    return new_workshop(tmp_path_factory.mktemp("verb") / "mine")


def run(capsys, *words: str, ends: int = 0) -> str:
    assert cli.main(["trial", *words]) == ends
    said = capsys.readouterr()
    return said.err if ends else said.out


def write(path: Path, rows) -> str:
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows([("place", "code", "value", "note"), *rows])
    return str(path)


def test_a_trial_goes_its_whole_way_and_the_key_is_opened_once(mine, tmp_path, capsys) -> None:
    own = ("--workshop", str(mine))
    plan = ("plan", "Gel cream", "rub-in time", "rub-in-9", "--count", "8", "--looks", "2", "--seed", "7")
    said = run(capsys, *plan, "--paper", "Letter", "--to", str(tmp_path / "out"), *own)
    written = [Path(line) for line in said.splitlines() if line.endswith(".pdf")]
    assert [path.name for path in written] == ["rub-in-9-scores.pdf", "rub-in-9-key.pdf"]
    assert all(path.read_bytes().startswith(b"%PDF") for path in written)
    planned = run_named(load_workshop(mine), "rub-in-9")
    assert planned.plan.looks == (4, 8)

    def rows(places):
        return [
            (p.number, code, 30 + k % 3 + (9 + k % 2) * (what == "ours"), "")
            for k, p in enumerate(places)
            for code, what in zip(p.codes, p.behind, strict=True)
        ]

    first, last = write(tmp_path / "a.csv", rows(planned.key[:4])), write(tmp_path / "b.csv", rows(planned.key[4:]))
    assert "4 of 8 done, 8 results not in" in run(capsys, "enter", "rub-in-9", first, *own)
    assert "key stays closed" in run(capsys, "look", "rub-in-9", *own)
    assert not run_named(load_workshop(mine), "rub-in-9").opened
    assert "planned after" in run(capsys, "look", "rub-in-9", *own, ends=1)
    run(capsys, "enter", "rub-in-9", last, *own)
    assert "is open" in run(capsys, "open", "rub-in-9", *own)
    assert "no result is taken" in run(capsys, "enter", "rub-in-9", last, *own, ends=1)
    assert "open already" in run(capsys, "open", "rub-in-9", *own, ends=1)
    judged = run(capsys, "judge", GEL, *own)
    assert re.search(r"must +rub-in time: different: ours less the shop's \+9\.5 s in 8 pairs", judged)


def test_the_demo_is_judged_and_never_written_to(capsys) -> None:
    assert "neither yet" in run(capsys, "judge", GEL)
    assert len(run(capsys, "judge").splitlines()) > 10
    assert "stays as it is" in run(capsys, "open", "gel-cream-rub-in", ends=1)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("plan", GEL, "rub-in tim", "x-1", "--count", "6"), "rub-in time"),
        (("plan", GEL, "cost", "x-1", "--count", "6"), "worked out from prices"),
        (("plan", GEL, "rub-in time", "gel-cream-rub-in", "--count", "6"), "already"),
        (("plan", GEL, "rub-in time", "x-1", "--count", "0"), "0 tasters or pairs: the number is whole"),
        (("plan", GEL, "rub-in time", "x-1", "--count", "1"), "1 pair could show nothing"),
        (("plan", GEL, "can they tell", "x-1", "--count", "10000"), "enough for 300"),
        (("plan", GEL, "rub-in time", "x-1", "--count", "6", "--kind", "triangle"), "not with triangle"),
        (("plan", GEL, "rub-in time", "x-1", "--count", "6", "--paper", "A9"), "A9"),
        (("plan", "r4-balm", "rub-in time", "x-1", "--count", "6"), "no target card"),
        (("sheets", "nobody"), "nobody"),
        (("enter", "gel-cream-rub-in", "nowhere.csv"), "nowhere.csv"),
        (("judge", "r9"), "r9"),
    ],
)
def test_what_cannot_be_is_told_in_a_sentence_and_nothing_is_kept(mine, capsys, words, told) -> None:
    before = sorted(path.name for path in (mine / "trials").iterdir())
    assert told in run(capsys, *words, "--workshop", str(mine), ends=1)
    assert sorted(path.name for path in (mine / "trials").iterdir()) == before


def test_answers_of_a_panel_are_entered_without_a_code(mine, tmp_path, capsys) -> None:
    own = ("--workshop", str(mine))
    run(capsys, "plan", GEL, "can they tell", "tell-9", "--count", "6", "--panel", "--seed", "3", *own)
    assert (mine / "paper" / "tell-9-key.pdf").is_file()
    planned = run_named(load_workshop(mine), "tell-9")
    rows = [(p.number, "", p.codes[0] if p.number > 1 else TIE, "") for p in planned.key]
    assert "6 of 6 done" in run(capsys, "enter", "tell-9", write(tmp_path / "c.csv", rows), *own)
    run(capsys, "open", "tell-9", *own)
    assert "can they tell" in run(capsys, "judge", GEL, *own)
