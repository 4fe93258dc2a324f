"""A maker's folder of any size, from a seed: the demo's tables, and as many recipes, ingredients and packs more as are
asked for. Names are invented; masses, prices and percentages are drawn.
"""

from __future__ import annotations

import csv
import random
import shutil
from pathlib import Path

DEMO = Path(__file__).resolve().parents[2] / "data"
FUNCTIONS = ("humectant", "emollient", "oil", "butter", "surfactant", "active", "solvent")
SIZES = (50, 100, 250, 500, 1000)


def make_workshop(folder: Path, recipes: int, ingredients: int, packs: int, seed: int = 1) -> None:
    """Write the folder: so many recipes, ingredients and packs beside those of the demo.

    Parameters
    ----------
    folder : Path
        That is not there yet.
    recipes, ingredients, packs : int
    seed : int
    """
    draw = random.Random(seed)
    shutil.copytree(DEMO, folder)
    names = [f"Stuff {number}" for number in range(ingredients)]
    _add(
        folder / "ingredients.csv",
        [{"name": n, "INCI": f"Invented {n}", "function": draw.choice(FUNCTIONS), "note": "generated"} for n in names],
    )
    suppliers = [f"Shop {number}" for number in range(max(4, packs // 1000))]
    _add(folder / "suppliers.csv", [{"supplier": s, "note": "generated"} for s in suppliers])
    _add(folder / "delivery.csv", [{"supplier": s, "price": "5.90", "note": "generated"} for s in suppliers])
    rows, rates = [], {name: draw.uniform(0.01, 0.05) for name in names}
    for number in range(packs):
        name = names[number % len(names)]
        turn = number // len(names)
        size = SIZES[turn % len(SIZES)]
        price = size * rates[name] * (1 - 0.05 * (turn % len(SIZES)))
        supplier = suppliers[(number + turn // len(SIZES)) % len(suppliers)]
        rows.append({"supplier": supplier, "item": name, "size": f"{size} g", "price": f"{max(price, 0.5):.2f} sure"})
    _add(folder / "packs.csv", rows)
    listed = []
    for number in range(recipes):
        short, base = f"big-{number:04}", draw.sample(names, 8)
        shares = [round(draw.uniform(0.5, 6), 2) for _ in base]
        water = round(100 - sum(shares), 2)
        listed.append(
            {
                "name": short,
                "title": f"Generated recipe {number}",
                "where it goes": "hands",
                "rinse-off or leave-on": "rinse-off",
                "container": "250 mL foamer",
                "fill": "250 mL",
                "density [g/mL]": 1,
                "note": "generated",
            }
        )
        with (folder / "recipes" / f"{short}.csv").open("w", encoding="utf-8", newline="") as file:
            lines = csv.writer(file)
            lines.writerow(["phase", "ingredient", "percent", "balance", "note"])
            lines.writerow(["A", "Water", f"{water:.2f}", "yes", ""])
            lines.writerows(["A", name, f"{share:.2f}", "", ""] for name, share in zip(base, shares, strict=True))
    _add(folder / "recipes.csv", listed)


def _add(table: Path, rows: list[dict[str, object]]) -> None:
    with table.open(encoding="utf-8-sig", newline="") as file:
        columns = next(csv.reader(file))
    with table.open("a", encoding="utf-8", newline="") as file:
        csv.DictWriter(file, columns, restval="").writerows(rows)
