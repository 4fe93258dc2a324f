from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from workshop_files import DATA


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A copy of the demo workshop that may be spoilt."""
    return Path(shutil.copytree(DATA, tmp_path / "workshop"))
