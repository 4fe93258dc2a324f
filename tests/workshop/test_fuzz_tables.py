"""Whatever is typed, the answer is a value or a sentence of ours, in time, and nothing is lost: a few of the inputs of
`tests/benchmarks/fuzz.py`, drawn anew in every run; a failure names the seeds that bring it back.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from fuzzing import Fuzz
from workshop_files import DATA

from maker_kit.errors import WorkshopError
from maker_kit.workshop import load_workshop
from maker_kit.workshop.csv.tables import TABLES

FILES = sorted(p.relative_to(DATA).as_posix() for p in DATA.rglob("*.csv"))


@pytest.fixture(scope="module")
def fuzz(tmp_path_factory: pytest.TempPathFactory) -> Fuzz:
    return Fuzz(tmp_path_factory.mktemp("fuzz"))


def test_two_thousand_inputs_end_in_a_value_or_a_sentence(fuzz: Fuzz) -> None:
    first = random.randrange(10**9)
    tried = [fuzz.try_one(seed) for seed in range(first, first + 2000)]
    assert [(t.seed, t.kind, t.wrong) for t in tried if t.wrong] == []
    both = {(t.kind, t.ended) for t in tried}
    assert {(kind, end) for kind in ("table", "text", "setting", "cells") for end in ("value", "sentence")} <= both


@pytest.mark.parametrize(
    "file",
    [
        "recipes.csv",
        "packs.csv",
        "ingredients.csv",
        "recipes/r2-gel-cream.csv",
        "recipes/r2-gel-cream.steps.csv",
        "kits.csv",
        "certificates.csv",
    ],
)
def test_a_file_cut_off_inside_a_row_never_passes(folder: Path, file: str) -> None:
    raw = (DATA / file).read_bytes()
    for at in range(len(raw) // 2, len(raw) // 2 + 60, 7):
        if raw[:at].endswith(b"\n") or b"," not in raw[at:].split(b"\r\n")[0]:
            continue  # cut between two rows, or in the last cell of one
        (folder / file).write_bytes(raw[:at])
        with pytest.raises(WorkshopError):
            load_workshop(folder)


def test_every_table_is_fuzzed() -> None:
    assert {spec.file for spec in TABLES} <= set(FILES)
