"""A workshop in which every text looks like markup, a formula or an order to a screen, and what pages show of it."""

from __future__ import annotations

import csv
import shutil
from html.parser import HTMLParser
from pathlib import Path

from maker_kit.visible import NO_FORMULA

DATA = Path(__file__).resolve().parents[2] / "data"
EVIL = "=<zz onx=1>$x_1$\\(y\\)*q*[l](javascript:z)"
"""Put in front of every name and text."""
NAMES = {"ingredients.csv": "name", "containers.csv": "container", "suppliers.csv": "supplier", "kits.csv": "kit",
         "shop_products.csv": "product"}  # fmt: skip
TEXTS = {"title", "note", "source", "density from", "range from", "tool", "into", "text", "rescue", "fine until",
         "reason", "where read", "claims", "label order", "what changes", "how measured", "unit", "must-have", "by",
         "kept", "batch", "qualification", "dose from", "worth it for", "person"}  # fmt: skip


def evil_workshop(folder: Path) -> Path:
    """The demo's tables with `EVIL` in front of every name and text, in a folder that does not exist yet."""
    shutil.copytree(DATA, folder)
    shutil.rmtree(folder / "trials")
    tables = {path: rows_of(path) for path in [*folder.glob("*.csv"), *folder.glob("recipes/*.csv")]}
    evil = {row[head]: EVIL + row[head] for name, head in NAMES.items() for row in tables[folder / name]}
    for path, found in tables.items():
        if path.name == "limits.csv":
            rule = {"substance": EVIL + "gum", "most [%]": "0.1", "kind": "practice", "source": EVIL, "checked": EVIL}
            found = [dict.fromkeys(path.read_text(encoding="utf-8-sig").strip().split(","), "") | rule]
        if not found:
            continue
        for row in found:
            for head, text in row.items():
                if head == "phase" and text:
                    row[head] = f"$<zz>{text}$"
                elif head in TEXTS and text and not text.startswith("%"):
                    row[head] = EVIL + text
                elif text in evil and head not in ("INCI", "substance", "function"):
                    row[head] = evil[text]
            if row.get("INCI") == "Xanthan Gum":
                row["INCI"] = f"Xanthan Gum; {EVIL}gum"
        if path.name == "whats_inside.csv":
            found.append({"mixture": EVIL + "Preservative P", "substance": EVIL, "low [%]": "0", "high [%]": "1"})
        with path.open("w", encoding="utf-8", newline="") as file:
            out = csv.DictWriter(file, list(found[0]))
            out.writeheader()
            out.writerows(found)
    return folder


def rows_of(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


class Tags(HTMLParser):
    """Elements of a page, and its texts with the classes of all they stand in."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.names: set[str] = set()
        self.texts: list[tuple[str, str]] = []
        self._open: list[tuple[str, str]] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.add(tag)
        self.names |= {name for name, _ in attrs}
        self.names |= {"javascript" for _, value in attrs if value and value.lstrip().startswith("javascript:")}
        if tag not in ("br", "img", "meta", "col", "hr", "link"):
            self._open.append((tag, dict(attrs).get("class") or ""))

    def handle_endtag(self, tag: str) -> None:
        while self._open and self._open.pop()[0] != tag:
            pass

    def handle_data(self, data: str) -> None:
        self.texts.append((data, " ".join(f"<{tag}> {classes}" for tag, classes in self._open)))


def no_formula(page: str) -> int:
    """How many texts of a page look like a formula, after a look that none of them is set as one."""
    texts = [(text, place) for text, place in Tags(page).texts if "$x_1$" in text]
    assert texts
    assert [text for text, place in texts if NO_FORMULA not in place and "<pre>" not in place] == []
    return len(texts)
