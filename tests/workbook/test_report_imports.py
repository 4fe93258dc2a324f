"""What the report of the demo's hand wash fetches: no large part of scipy, and nothing that talks to a kernel, which
take as long as much of the rest."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

SPARED = (
    "scipy.optimize",
    "scipy.stats",
    "scipy.sparse",
    "papermill",
    "nbformat",
    "jupyter_client",
    "requests",
    "jsonschema",
    "matplotlib.pyplot",
)


def test_the_report_of_the_hand_wash_fetches_only_what_it_needs(tmp_path: Path) -> None:
    words = (
        "import sys; from maker_kit import cli;"
        f"assert cli.main(['report', 'r1b-hand-wash', '--set', 'upto=4', '--to', {str(tmp_path)!r}]) == 0;"
        f"print(*[name for name in {SPARED!r} if name in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", words], check=True, capture_output=True, text=True)
    assert done.stdout.split()[-1].endswith(".html"), done.stdout
