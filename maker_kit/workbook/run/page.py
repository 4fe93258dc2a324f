"""A notebook that was run, as one page to read and to print: no code, no scripts, no outside address."""

from __future__ import annotations

import datetime
import html
from collections.abc import Iterator, Mapping
from importlib import resources
from typing import Any

MONTHS = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
]
NEW_PAGE = "new-page"
"""Tag of a heading that begins a new sheet of paper."""


def page(notebook: Mapping[str, Any], title: str, on: datetime.date | None = None) -> str:
    """A notebook that was run, as one HTML page.

    Its first heading is the question under the title; every other heading begins a section, and one whose steps show
    nothing is left out. Results that are tables, pictures or printed words are shown; steps are not.

    Parameters
    ----------
    notebook : Mapping
    title : str
        What the page is about: the product.
    on : datetime.date, optional
        The day that is written on it; today unless given.

    Returns
    -------
    str
    """
    import mistune

    day = on or datetime.date.today()
    question, *sections = _sections(notebook)
    asked = html.escape(question["heading"].lstrip("# ").strip())
    body = [f"<section>{_shown(question['results'], title, asked)}</section>"]
    for section in sections:
        results = _shown(section["results"], title, section["heading"].lstrip("# ").strip())
        if results or not section["steps"]:
            mark = ' class="new-page"' if NEW_PAGE in section["tags"] else ""
            body.append(f"<section{mark}>{mistune.html(section['heading'])}{results}</section>")
    style = resources.files("maker_kit.workbook").joinpath("report.css").read_text(encoding="utf-8")
    written = f"{day.day} {MONTHS[day.month - 1]} {day.year}"
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>Costing report: {html.escape(title)}</title>\n<style>\n{style}</style>\n</head>\n"
        f"<body>\n<main>\n<header><h1>{html.escape(title)}</h1><p>{asked} Costing report of {written}.</p>\n"
        '<p class="screen">To print it or keep it as PDF, use Print in the browser (A4 or Letter).</p></header>\n'
        f"{chr(10).join(body)}\n</main>\n</body>\n</html>\n"
    )


def _sections(notebook: Mapping[str, Any]) -> list[dict[str, Any]]:
    """Every heading with what stands under it: ``heading``, ``tags``, ``results`` in order, number of ``steps``."""
    import mistune

    found: list[dict[str, Any]] = []
    for cell in notebook["cells"]:
        source = "".join(cell["source"])
        if cell["cell_type"] == "code":
            found[-1]["results"] += cell.get("outputs", [])
            found[-1]["steps"] += 1
        elif cell["cell_type"] == "markdown" and source.startswith("#"):
            heading, _, rest = source.partition("\n")
            found.append({"heading": heading, "tags": cell["metadata"].get("tags", ()), "results": [], "steps": 0})
            found[-1]["results"] += [mistune.html(rest)] if rest.strip() else []
        elif cell["cell_type"] == "markdown":
            found[-1]["results"].append(mistune.html(source))
    return found


def _shown(results: list[Any], title: str, heading: str) -> str:
    """The results of a section; empty where no step of it showed anything."""
    parts = list(_parts(results, title, heading))
    return "".join(text for text, _ in parts) if any(shown for _, shown in parts) or not parts else ""


def _parts(results: list[Any], title: str, heading: str) -> Iterator[tuple[str, bool]]:
    """Every result as HTML, and whether it is something that was shown (a table, a picture, words of a step)."""
    for result in results:
        if isinstance(result, str):
            yield result, False
        elif result["output_type"] == "stream":
            yield f"<pre>{html.escape(''.join(result['text']))}</pre>", True
        else:
            yield _one(result["data"], result.get("metadata", {}), f"{title}: {heading}"), True


def _one(data: Mapping[str, Any], metadata: Mapping[str, Any], caption: str) -> str:
    """The richest form of a result: markup of our own tables (escaped there), a picture under its name, or text."""
    if "text/html" in data:
        return f'<div class="wide">{"".join(data["text/html"])}</div>'
    if "image/png" in data:
        alt = html.escape(metadata.get("image/png", {}).get("alt", caption), quote=True)
        source = "".join(data["image/png"]).replace("\n", "")
        image = f'<img alt="{alt}" src="data:image/png;base64,{source}">'
        return f"<figure>{image}<figcaption>{html.escape(caption)}</figcaption></figure>"
    return f"<pre>{html.escape(''.join(data.get('text/plain', '')))}</pre>"
