"""Check tables of published values: from tests/reference, or from the folder that MAKER_KIT_REFERENCE names."""

from __future__ import annotations

import csv
import json
import os
from pathlib import Path
from typing import Any


def reference_folder() -> Path:
    """The folder the check tables are read from."""
    return Path(os.environ.get("MAKER_KIT_REFERENCE") or Path(__file__).parent / "reference")


def reference_rows(name: str) -> list[dict[str, str]]:
    """All rows of one CSV table; a table that the named folder lacks is read from tests/reference."""
    path = reference_folder() / name
    if not path.exists():
        path = Path(__file__).parent / "reference" / name
    with path.open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert rows, f"{name} holds no rows"
    return rows


def reference_json(name: str) -> Any:
    """One JSON table."""
    path = reference_folder() / name
    if not path.exists():
        path = Path(__file__).parent / "reference" / name
    return json.loads(path.read_text(encoding="utf-8"))
