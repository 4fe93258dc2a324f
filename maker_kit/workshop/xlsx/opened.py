"""A workbook's file looked at before it is opened: what it is, how large it unpacks, where its sheets stand."""

from __future__ import annotations

import io
import re
import struct
import zipfile
import zlib
from dataclasses import dataclass
from pathlib import Path
from xml.etree import ElementTree

from maker_kit.errors import WorkshopError, short
from maker_kit.workshop.csv.faults import FaultBook

MOST_PACKED, MOST_UNPACKED = 30_000_000, 150_000_000
"""Largest workbook that is opened, as it stands on the disk and unpacked [bytes]."""
_SAVE = "open it in a spreadsheet program and save it as an Excel workbook (.xlsx) without a password"
_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_STRICT = "{http://purl.oclc.org/ooxml/spreadsheetml/main}"
_RELATED = re.compile(r"\{.*\}id")
_MERGED = re.compile(rb"<(?:\w+:)?mergeCell\s[^>]*ref=\"([A-Z]+[0-9]+(?::[A-Z]+[0-9]+)?)\"")
_FORMULA = re.compile(rb"<(?:\w+:)?f[\s>/]")


UNREADABLE = (
    *(zipfile.BadZipFile, zlib.error, struct.error, ElementTree.ParseError, EOFError, NotImplementedError),
    *(ValueError, KeyError, TypeError, AttributeError, IndexError, OSError, OverflowError),
)
"""What unpacking, and openpyxl, raise on a file that is no workbook inside."""


@dataclass(frozen=True)
class SheetFile:
    """What a sheet's part of the file says beside its cells.

    Attributes
    ----------
    part : str
        Where it stands in the file.
    merged : tuple of str
        Ranges of joined cells: ``A2:A5``.
    formulas : bool
        Whether a cell holds a formula.
    """

    part: str
    merged: tuple[str, ...]
    formulas: bool


@dataclass(frozen=True)
class Opened:
    """A workbook's file that can be opened.

    Attributes
    ----------
    raw : bytes
    sheets : dict of str to SheetFile
        By the sheets' titles.
    """

    raw: bytes
    sheets: dict[str, SheetFile]


def refuse(file: str, found: str, allowed: str, mend: str) -> None:
    """Raise the one fault of a whole workbook."""
    book = FaultBook()
    book.add(file, None, "", found, allowed, mend)
    raise WorkshopError(book.faults)


def refuse_damaged(file: str, error: Exception) -> None:
    """Raise that a workbook is no whole one, by what was raised while it was read."""
    found = f"a damaged workbook ({short(str(error), 80)})"
    refuse(file, found, "a whole .xlsx", f"take it again from where it came, or {_SAVE}")


def open_file(path: Path) -> Opened:
    """A workbook's file. Raises WorkshopError where it is none that is read."""
    file = path.name
    try:
        raw = path.read_bytes() if path.stat().st_size <= MOST_PACKED else b""
    except (OSError, ValueError) as error:
        why = getattr(error, "strerror", None) or error
        refuse(
            file,
            f"a workbook that cannot be read ({why})",
            "a readable file",
            "look at its name and permissions, or close the program that holds it",
        )
    if not raw:
        empty = path.stat().st_size == 0
        found = "an empty file" if empty else f"a workbook of more than {MOST_PACKED / 1e6:.0f} MB"
        refuse(file, found, "a workbook with a workshop's tables", "look whether the right file stands there")
    if raw.startswith(b"\xd0\xcf\x11\xe0"):
        refuse(file, "a workbook of the old kind (.xls), or one with a password", "an .xlsx without a password", _SAVE)
    if not raw.startswith(b"PK\x03\x04"):
        refuse(file, "a file that is no workbook, whatever its name says", "an .xlsx", _SAVE)
    try:
        with zipfile.ZipFile(io.BytesIO(raw)) as packed:
            return _looked_at(packed, raw, file)
    except UNREADABLE as error:
        refuse(
            file,
            f"a damaged workbook ({short(str(error), 80)})",
            "a whole .xlsx",
            f"take it again from where it came, or {_SAVE}",
        )
        raise
    except RuntimeError:  # a part that is packed with a password
        refuse(file, "a workbook with a password", "an .xlsx without one", _SAVE)
        raise


def _looked_at(packed: zipfile.ZipFile, raw: bytes, file: str) -> Opened:
    parts = packed.infolist()
    if sum(part.file_size for part in parts) > MOST_UNPACKED:
        found = f"a workbook that unpacks to more than {MOST_UNPACKED / 1e6:.0f} MB"
        refuse(file, found, "a workbook with a workshop's tables", "look whether the right file stands there")
    names = {part.filename for part in parts}
    if "xl/workbook.xml" not in names:
        refuse(file, "a file that is no Excel workbook, whatever its name says", "an .xlsx", _SAVE)
    for name in ("xl/workbook.xml", "xl/_rels/workbook.xml.rels"):
        if b"<!DOCTYPE" in packed.read(name) or b"<!ENTITY" in packed.read(name):
            refuse(file, "a workbook with definitions of its own in its XML", "an .xlsx as programs save it", _SAVE)
    targets = {
        link.get("Id"): link.get("Target", "")
        for link in ElementTree.fromstring(packed.read("xl/_rels/workbook.xml.rels"))
    }
    sheets = {}
    root = ElementTree.fromstring(packed.read("xl/workbook.xml"))
    for sheet in (*root.iter(f"{_MAIN}sheet"), *root.iter(f"{_STRICT}sheet")):
        related = next((value for key, value in sheet.attrib.items() if _RELATED.fullmatch(key)), "")
        target = targets.get(related, "")
        part = target.lstrip("/") if target.startswith("/") else f"xl/{target}"
        content = packed.read(part) if part in names else b""
        if b"<!DOCTYPE" in content[:2000]:
            refuse(file, "a workbook with definitions of its own in its XML", "an .xlsx as programs save it", _SAVE)
        merged = tuple(m.decode("ascii") for m in _MERGED.findall(content))
        sheets[sheet.get("name", "")] = SheetFile(part, merged, bool(_FORMULA.search(content)))
    return Opened(raw, sheets)
