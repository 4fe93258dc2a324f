"""The two faces that everything is drawn and printed in, DejaVu Sans as matplotlib ships it: where their files are."""

from __future__ import annotations

from importlib.util import find_spec
from pathlib import Path

PLAIN, BOLD = "DejaVuSans", "DejaVuSans-Bold"


def face_file(name: str) -> Path:
    """The file of one of the two; found without fetching matplotlib, which a printed page does not need."""
    home = Path(next(iter(find_spec("matplotlib").submodule_search_locations)))
    return home / "mpl-data" / "fonts" / "ttf" / f"{name}.ttf"
