"""What the report of the demo's hand wash fetches: nothing of scipy, which would take as long as much of the rest."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path


def test_the_report_of_the_hand_wash_fetches_no_scipy(tmp_path: Path) -> None:
    words = (
        "import sys; from maker_kit import cli;"
        f"assert cli.main(['report', 'r1b-hand-wash', '--set', 'upto=4', '--to', {str(tmp_path)!r}]) == 0;"
        "sys.exit(any(name.partition('.')[0] == 'scipy' for name in sys.modules))"
    )
    assert subprocess.run([sys.executable, "-c", words], check=False, capture_output=True).returncode == 0
