"""The hard recipes of a check table as a workshop's folder of tables, as a maker would have typed them."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from maker_kit.workshop.csv.tables import TABLES


def _write(path: Path, heading: list[str], rows: Iterable[Iterable[object]]) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(heading)
        writer.writerows(["" if cell is None else cell for cell in row] for row in rows)


def ingredient_name(line: Mapping[str, Any]) -> str:
    """The maker's name of a line: its INCI cell and, where that is not enough, its function."""
    return line.get("name") or line["inci"].replace(";", " in").replace(",", " with")


def write_workshop(folder: Path, cases: Iterable[Mapping[str, Any]], market: str = "EU") -> Path:
    """A workshop that holds one recipe a case, and nothing for sale.

    Parameters
    ----------
    folder : path
        Where to write it; made where it is not there.
    cases : iterable of mapping
        Rows of ``hard_recipes.json``.
    market : {'EU', 'US'}

    Returns
    -------
    Path
        The folder.
    """
    cases = list(cases)
    things: dict[str, tuple[str, str, tuple[tuple[str, float, float], ...]]] = {}
    recipes, containers = [], {}
    for case in cases:
        lines = []
        for line in case["lines"]:
            name = ingredient_name(line)
            inside = tuple((s["substance"], s["low"], s["high"]) for s in line.get("inside", ()))
            while name in things and things[name] != (line["inci"], line["function"], inside):
                name += " *"
            things[name] = (line["inci"], line["function"], inside)
            lines.append(("A", name, line["percent"], "yes" if line["percent"] is None else "no"))
        _write(folder / "recipes" / f"{case['case']}.csv", ["phase", "ingredient", "percent", "balance"], lines)
        containers[case["container"]] = (case["container"], case["container"].split()[-1], 200, 220, 50)
        ph = case["ph"]
        told = [case[key] for key in ("case", "title", "where", "use", "spray", "whom", "container")]
        recipes.append((*told, "200 mL", 1.0, ph, ph, ph))
    heading = (
        "name,title,where it goes,rinse-off or leave-on,spray,for whom,container,fill,density [g/mL],"
        "pH from,pH to,pH read"
    )
    _write(folder / "recipes.csv", heading.split(","), recipes)
    _write(folder / "ingredients.csv", ["name", "INCI", "function"], ((n, i, f) for n, (i, f, _) in things.items()))
    _write(
        folder / "whats_inside.csv",
        ["mixture", "substance", "low [%]", "high [%]"],
        ((n, *part) for n, (_, _, inside) in things.items() for part in inside),
    )
    _write(
        folder / "containers.csv", ["container", "kind", "nominal [mL]", "brim [mL]", "mass [g]"], containers.values()
    )
    settings = [("currency", "EUR"), ("market", market), ("scale steps", "0.1 g to 500 g"), ("loss [%]", 2)]
    _write(folder / "workshop.csv", ["setting", "value"], settings)
    for spec in TABLES:
        if not (folder / spec.file).exists():
            _write(folder / spec.file, [column.heading for column in spec.columns if column.needed], [])
    return folder
