"""Realistic slips in single cells, by chance: the decimal point, g for kg, the price of a kilogram for the pack's, a
wrong year, a letter. Written with the csv module alone; only `outcome` asks the package what the tables come to.
"""

from __future__ import annotations

import csv
import random
import re
from dataclasses import dataclass
from pathlib import Path

from maker_kit.errors import MakerKitError
from maker_kit.plan.plan import make_plan
from maker_kit.plan.shopping.purchases import purchase
from maker_kit.workshop import Workshop

LINES = "recipes/*"
NUMBERS = {
    "packs.csv": {"price": 7, "size": 5},
    "kits.csv": {"price": 1, "amount": 2, "makes": 1},
    "delivery.csv": {"price": 2, "up to [kg]": 1},
    "suppliers.csv": {"handling": 1, "free from": 1, "least order": 1},
    "shop_products.csv": {"size": 3, "price": 3, "sale price": 2},
    "containers.csv": {"nominal [mL]": 1, "brim [mL]": 1, "mass [g]": 2},
    "recipes.csv": {
        "fill": 2,
        "density [g/mL]": 2,
        "loss [%]": 1,
        "pH from": 1,
        "pH to": 1,
        "pH read": 1,
        "keeps [months]": 1,
        "use per month": 1,
        "shop spread [cm]": 1,
        "spread from [cm]": 1,
    },
    "ingredients.csv": {"density [g/mL]": 2, "most [%]": 1, "least [%]": 1},
    "whats_inside.csv": {"low [%]": 1, "high [%]": 2},
    "certificates.csv": {"most [%]": 2, "amendment": 1},
    "thickness.csv": {"level [%]": 1, "spread [cm]": 2, "at [°C]": 1},
    "targets.csv": {"gap": 1},
    "watch.csv": {"pH": 1, "spread [cm]": 1},
    "decisions.csv": {"dose [g]": 1, "containers": 1},
    "swaps.csv": {"grams for one gram": 1},
    "workshop.csv": {"value": 1},
    LINES: {"percent": 4},
}
DATES = {"shop_products.csv": ("date",), "papers.csv": ("date",)}
NAMES = {"ingredients.csv": ("INCI",), "whats_inside.csv": ("substance",), "shop_products.csv": ("label order",)}
CELL = re.compile(r"(?P<number>[0-9]+(?:\.[0-9]+)?)(?P<rest>.*)", re.DOTALL)
UNITS = {"g": "kg", "kg": "g", "mL": "L", "L": "mL", "fl oz": "L", "oz wt": "lb", "lb": "oz wt"}


@dataclass(frozen=True)
class Slip:
    """One changed cell."""

    kind: str
    file: str
    row: int
    heading: str
    before: str
    after: str


def read(path: Path) -> list[list[str]]:
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.reader(file))


def make_slip(folder: Path, chance: random.Random) -> Slip:
    """Make one slip in the folder's tables."""
    while True:
        what = chance.choices(("number", "date", "name"), (20, 1, 3))[0]
        if what == "number":
            cells = [(file, heading) for file, columns in NUMBERS.items() for heading in columns]
            file, heading = chance.choices(cells, [NUMBERS[f][h] for f, h in cells])[0]
        else:
            cells = [(f, h) for f, heads in (DATES if what == "date" else NAMES).items() for h in heads]
            file, heading = chance.choice(cells)
        if file == LINES:
            lines = [p for p in sorted((folder / "recipes").iterdir()) if not p.name.endswith(".steps.csv")]
            file = f"recipes/{chance.choice(lines).name}"
        if not (folder / file).exists():
            continue
        table = read(folder / file)
        if heading not in table[0]:
            continue
        place = table[0].index(heading)
        filled = [i for i in range(1, len(table)) if table[i][place].strip()]
        if not filled:
            continue
        row = chance.choice(filled)
        before = table[row][place]
        slipped = {"number": _number, "date": _date, "name": _name}[what](before, heading, table, row, chance)
        if slipped is None or slipped[1] == before:
            continue
        table[row][place] = slipped[1]
        with (folder / file).open("w", encoding="utf-8", newline="") as out:
            csv.writer(out).writerows(table)
        return Slip(slipped[0], file, row + 1, heading, before, slipped[1])


def _number(before: str, heading: str, table: list, row: int, chance: random.Random) -> tuple[str, str] | None:
    found = CELL.fullmatch(before.strip())
    if found is None:
        return None
    text, rest = found["number"], found["rest"]
    unit = rest.strip()
    kinds = ["times 10", "by 10", "times 100", "by 100", "swapped", "point lost", "typed twice"]
    weights = [5, 5, 2, 2, 2, 3, 2]
    if unit in UNITS and heading in ("size", "amount", "fill"):
        kinds, weights = [*kinds, "unit"], [*weights, 8]
    if heading == "price" and "size" in table[0] and "item" in table[0]:
        kinds, weights = [*kinds, "price of a kg"], [*weights, 8]
    kind = chance.choices(kinds, weights)[0]
    if kind in ("times 10", "by 10", "times 100", "by 100"):
        factor = {"times 10": 10, "by 10": 0.1, "times 100": 100, "by 100": 0.01}[kind]
        places = 2 if "price" in heading or heading in ("gap", "handling", "free from", "least order") else 6
        new = f"{round(float(text) * factor, places):.{places}f}".rstrip("0").rstrip(".")
        return (kind, new + rest) if float(new) else None
    if kind == "point lost":
        return (kind, text.replace(".", "") + rest) if "." in text else None
    if kind == "typed twice":
        i = chance.choice([i for i, sign in enumerate(text) if sign.isdigit()])
        return kind, text[: i + 1] + text[i:] + rest
    if kind == "swapped":
        digits = [i for i in range(len(text) - 1) if text[i].isdigit() and text[i + 1].isdigit()]
        digits += [i for i in range(len(text) - 2) if text[i + 1] == "."]
        if not digits:
            return None
        i = chance.choice(digits)
        j = i + 2 if text[i + 1] == "." else i + 1
        letters = list(text)
        letters[i], letters[j] = letters[j], letters[i]
        return kind, "".join(letters) + rest
    if kind == "unit":
        return kind, f"{text} {UNITS[unit]}"
    size = CELL.fullmatch(table[row][table[0].index("size")].strip())
    grams = {"g": 1, "mL": 1}.get(size["rest"].strip()) if size else None
    if not grams or float(size["number"]) >= 1000:
        return None
    return kind, f"{float(text) / float(size['number']) * 1000:.2f}"


def _date(before: str, heading: str, table: list, row: int, chance: random.Random) -> tuple[str, str] | None:
    if not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", before):
        return None
    year = int(before[:4])
    new = chance.choice((year + 10, year - 1, year + 1, year - 100, year - 10, int(f"20{str(year)[3]}{str(year)[2]}")))
    return "year", f"{new}{before[4:]}"


def _name(before: str, heading: str, table: list, row: int, chance: random.Random) -> tuple[str, str] | None:
    names = before.split("; ")
    place = chance.randrange(len(names))
    name = names[place]
    if len(name) < 6 or not name.replace(" ", "").isalpha():
        return None
    i = chance.randrange(1, len(name) - 1)
    if not (name[i].isalpha() and name[i + 1].isalpha()):
        return None
    new = chance.choice(
        (
            name[:i] + name[i + 1 :],
            name[:i] + name[i + 1] + name[i] + name[i + 2 :],
            name[:i] + chance.choice("aeionrt") + name[i + 1 :],
            name[:i] + name[i] + name[i:],
        )
    )
    names[place] = new
    return "letter", "; ".join(names)


def outcome(shop: Workshop, names: list[str] | None = None) -> dict[str, tuple[frozenset, tuple[float, ...]]]:
    """What each recipe comes to: its notes, and its figures of cost, with the shop's."""
    found = {}
    for name in names if names is not None else list(shop.recipes):
        recipe = shop.recipes[name]
        try:
            plan = make_plan(shop, name, batches=4)
        except MakerKitError as error:
            found[name] = frozenset({("stop", str(error))}), ()
            continue
        notes = frozenset((f.kind, f.code, f.about, f.level) for f in plan.findings if not f.code.startswith("slip."))
        figures = [plan.batch_mass_g, recipe.keeps_months or 0, recipe.use_per_month or 0, recipe.ph_read or 0]
        figures += [f.found_percent or 0 for f in plan.findings if f.found_percent is not None and f.kind != "know"]
        try:
            bought = purchase(plan)
            figures += [float(bought.unit_cash_micros), float(bought.unit_used_micros)]
        except MakerKitError:
            figures += [0, 0]
        product = shop.shop_products.get(recipe.shop_product)
        for size in product.sizes if product else ():
            figures += [
                size.price_cents / (size.size_ml or size.size_g or size.as_volume_ml),
                size.sale_price_cents or 0,
            ]
        wish = shop.intents.get(name)
        figures += [getattr(wish, key, None) or 0 for key in ("dose_g", "shop_dose_g", "containers")] if wish else []
        found[name] = notes, tuple(map(float, figures))
    return found


def stands_on(shop: Workshop, name: str) -> str:
    """All that a recipe's outcome may hang on, as text, so that others need not be worked out again."""
    recipe = shop.recipes[name]
    plan_items = {*recipe.ingredients, recipe.container, "Label"}
    return repr(
        (
            recipe,
            shop.settings,
            shop.containers[recipe.container],
            shop.market.for_items(plan_items),
            [k for k in shop.kits if k.recipe == name],
            shop.shop_products.get(recipe.shop_product),
            shop.limits,
            [r for r in shop.thickness_readings if r.recipe == name],
            [w for w in shop.wanted if w.recipe == name],
            shop.avoid,
            shop.intents.get(name),
            [w for w in shop.watched if w.recipe == name],
            shop.target_cards.get(name),
        )
    )


def differs(one: tuple, other: tuple, share: float = 0.03) -> bool:
    """Whether two outcomes differ: in a note, or by more than a share in a figure."""
    if one[0] != other[0] or len(one[1]) != len(other[1]):
        return True
    return any(abs(a - b) > share * max(abs(a), abs(b)) for a, b in zip(one[1], other[1], strict=True))
