"""The spreadsheet program of this machine, if there is one that opens and saves tables; found out by a real conversion,
once.
"""

from __future__ import annotations

import shutil
import subprocess
import tempfile
from collections.abc import Iterable
from functools import lru_cache
from pathlib import Path

PACKAGE = "LibreOffice: apt-get install libreoffice-calc-nogui"
# separator, quote, character set UTF-8 (76), first row, column kinds, language, quoted cells as text, numbers and dates
# found; on the way out also cells as shown
PLAIN = "44,34,76,1", "44,34,76,1,,0,false,true,false"


def convert(program: str, files: Iterable[Path], out: Path, profile: Path, how: tuple[str, str] = PLAIN) -> None:
    """Open tables and save them into another folder, in one call of the program."""
    kind = "Text - txt - csv (StarCalc):"
    words = [f"-env:UserInstallation={profile.as_uri()}", "--headless", "--norestore", f"--infilter={kind}{how[0]}"]
    subprocess.run(
        [program, *words, "--convert-to", f"csv:{kind}{how[1]}", "--outdir", str(out), *map(str, files)],
        check=True,
        capture_output=True,
        timeout=240,
    )


def why_not(program: str | None) -> str:
    """Why no table can be opened with a program, in a sentence; empty where it can."""
    if program is None:
        return f"no spreadsheet program here to open and save the tables with ({PACKAGE})"
    with tempfile.TemporaryDirectory(prefix="probe-") as made:
        folder = Path(made)
        table, out = folder / "probe.csv", folder / "out"
        table.write_text("a,b\n1,two\n", encoding="utf-8")
        try:
            convert(program, [table], out, folder / "profile")
            saved = (out / table.name).read_text(encoding="utf-8-sig").split()
        except (OSError, subprocess.SubprocessError, UnicodeError) as error:
            why = type(error).__name__
            return f"{Path(program).name} is here and opens no table ({why}); its part Calc may be missing ({PACKAGE})"
    return "" if saved == ["a,b", "1,two"] else f"{Path(program).name} is here and saves a table otherwise ({PACKAGE})"


PROGRAM = shutil.which("soffice") or shutil.which("libreoffice")


@lru_cache(maxsize=1)
def why_not_here() -> str:
    """`why_not` of the program on this machine, found out once."""
    return why_not(PROGRAM)
