"""A maker's folder around a generated market: the demo workshop's tables, and one recipe more whose ingredients, packs,
kits and suppliers come from a seed.
"""

from __future__ import annotations

import csv
import shutil
import sys
from pathlib import Path
from typing import Any

sys.path[:0] = [str(Path(__file__).parents[1] / "buying")]

from generated_markets import workshop_market  # noqa: E402 - found through the line above

from maker_kit.buying.market import Pack, Supplier  # noqa: E402

DEMO = Path(__file__).resolve().parents[2] / "data"
RECIPE = "generated"
FILL_G = 250


def make_workshop(folder: Path, seed: int, size: str, delivery: str) -> int:
    """Write the folder; how many containers what the generator calls one batch fills comes back."""
    market, per_batch = workshop_market(seed, size, delivery)
    shutil.copytree(DEMO, folder)
    grams = {item: float(units) / 10 for item, units in per_batch.items()}
    total = sum(grams.values())
    percent = {item: round(100 * mass / total, 2) for item, mass in grams.items()}
    largest = max(percent, key=lambda item: percent[item])
    percent[largest] = round(percent[largest] + 100 - sum(percent.values()), 2)
    _add(
        folder / "ingredients.csv",
        [{"name": item, "INCI": f"Invented {item}", "function": "solvent", "note": "generated"} for item in percent],
    )
    _add(folder / "suppliers.csv", [_supplier(one) for one in market.suppliers])
    _add(
        folder / "delivery.csv",
        [
            {"supplier": one.name, "up to [kg]": "" if most is None else most / 10_000, "price": f"{cents / 100:.2f}"}
            for one in market.suppliers
            for most, cents in one.delivery
        ],
    )
    _add(folder / "packs.csv", [row for pack in market.packs if not pack.kit for row in _pack(pack)])
    _add(
        folder / "packs.csv",
        [
            {
                "supplier": market.suppliers[0].name,
                "item": "250 mL foamer",
                "size": "1 piece",
                "price": "0.95",
                "shipping [g]": 45,
            }
        ],
    )
    _add(
        folder / "kits.csv",
        [
            {
                "kit": pack.name,
                "supplier": pack.supplier,
                "recipe": RECIPE,
                "makes": 1,
                "price": f"{pack.prices[0][1] / 100:.2f}",
                "shipping [g]": pack.shipping_dg / 10,
                "item": item,
                "amount": f"{units / 10:g} g",
            }
            for pack in market.packs
            if pack.kit
            for item, units in pack.content.items()
        ],
    )
    _add(
        folder / "recipes.csv",
        [
            {
                "name": RECIPE,
                "title": "Generated recipe",
                "version": 1,
                "where it goes": "hands",
                "rinse-off or leave-on": "rinse-off",
                "spray": "no",
                "for whom": "adults",
                "container": "250 mL foamer",
                "fill": f"{FILL_G} g",
                "density [g/mL]": 1,
                "film [g]": 0,
                "loss [%]": 0,
                "shop product": "Shop wash",
                "note": "generated",
            }
        ],
    )
    with (folder / "recipes" / f"{RECIPE}.csv").open("w", encoding="utf-8", newline="") as file:
        rows = csv.writer(file)
        rows.writerow(["phase", "ingredient", "percent", "balance", "note"])
        rows.writerows(
            ["A", item, f"{share:.2f}", "yes" if item == largest else "", ""] for item, share in percent.items()
        )
    return round(total / FILL_G)


def _supplier(one: Supplier) -> dict[str, Any]:
    return {
        "supplier": one.name,
        "handling": f"{one.handling_cents / 100:.2f}",
        "free from": "" if one.free_from_cents is None else f"{one.free_from_cents / 100:.2f}",
        "tax [%]": one.tax_bp / 100,
        "tax on fees": "yes" if one.tax_on_fees else "no",
        "threshold after tax": "yes" if one.threshold_after_tax else "no",
        "note": "generated",
    }


def _pack(pack: Pack) -> list[dict[str, Any]]:
    ((item, units),) = pack.content.items()
    return [
        {
            "supplier": pack.supplier,
            "item": item,
            "size": f"{units / 10:g} g",
            "from count": start if len(pack.prices) > 1 else "",
            "price": f"{cents / 100:.2f} sure",
            "stock": "" if pack.stock is None else pack.stock,
            "shipping [g]": pack.shipping_dg / 10,
        }
        for start, cents in pack.prices
    ]


def _add(table: Path, rows: list[dict[str, Any]]) -> None:
    with table.open(encoding="utf-8-sig", newline="") as file:
        columns = next(csv.reader(file))
    with table.open("a", encoding="utf-8", newline="") as file:
        csv.DictWriter(file, columns, restval="").writerows(rows)
