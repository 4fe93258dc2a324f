"""How much a notebook tells for what it does: words of prose a line of its steps, the settings not counted."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

NOTEBOOKS = sorted((Path(__file__).resolve().parents[2] / "notebooks").glob("*.ipynb"))
LEAST, MOST = 15, 30
"""Words of prose a line of code."""


@pytest.mark.parametrize("path", NOTEBOOKS, ids=lambda path: path.stem)
def test_there_are_fifteen_to_thirty_words_a_line(path: Path) -> None:
    words = lines = lessons = 0
    for cell in json.loads(path.read_text(encoding="utf-8"))["cells"]:
        text, tags = "".join(cell["source"]), cell["metadata"].get("tags", [])
        if cell["cell_type"] == "markdown":
            words += len(re.findall(r"\w[\w'’-]*", text))
        elif "parameters" not in tags:
            lines += sum(bool(line.strip()) and not line.startswith("#") for line in text.splitlines())
            lessons += "lesson" in tags
    if lessons:  # what is only printed has none
        assert LEAST <= words / lines <= MOST
