"""Workshops without a slip, made by chance from a seed: what a maker may have in her tables, with one recipe or dozens.

The figures are what such things usually are (from memory); nothing of the package is used to make them.
"""

from __future__ import annotations

import csv
import random
import re
from datetime import date, timedelta
from pathlib import Path

from clean_things import BOXES, GRAMS, KINDS, METRIC, THINGS, US, WASHED


def lines_of(path: Path) -> list[str]:
    return path.read_text(encoding="utf-8-sig").splitlines()


class Maker:
    """One workshop by chance."""

    def __init__(self, seed: int, recipes: int) -> None:
        self.chance, self.recipes = random.Random(f"clean {seed}"), recipes
        self.us = self.chance.random() < 0.4
        self.first = date(2024, 1, 10) + timedelta(days=self.chance.randrange(500))

    def near(self, value: float, share: float = 0.15) -> float:
        return value * (1 + self.chance.uniform(-share, share))

    def day(self, within: int = 90) -> str:
        return (self.first + timedelta(days=self.chance.randrange(within))).isoformat()

    def write(self, folder: Path) -> Path:
        (folder / "recipes").mkdir(parents=True)
        chance = self.chance
        picked = [chance.choice(list(KINDS)) for _ in range(self.recipes)]
        recipes, used, boxes, products = [], {}, {}, []
        for number, kind in enumerate(picked, start=1):
            (place, rinse, box_kind, density, ph), parts = KINDS[kind]
            scent = chance.choice(("Scent Meadow", "Scent Hearth", "Scent Harbour"))
            names = [scent if part == "Scent" else part for part in parts]
            nominal, each = chance.choice(BOXES[box_kind])
            box = f"{box_kind} {nominal}" if chance.random() < 0.5 else f"{nominal} mL {box_kind}"
            boxes[box] = (box_kind, nominal, each)
            name = f"{kind}-{number}"
            self._lines(folder, name, names, kind)
            used |= dict.fromkeys(names)
            fill = f"{nominal} mL" if box_kind != "tin" else f"{round(nominal * 0.85)} g"
            product = f"Shop {kind} {number}"
            low, high = ph or ("", "")
            month = {"wash": 3, "shampoo": 2.5, "lotion": 2.5, "serum": 3, "balm": 4}[kind]
            keeps = chance.choice((6, 9, 12))
            thick = next((n for n in names if THINGS[n][1] == "thickener"), "")
            recipes.append(
                {
                    "name": name,
                    "title": f"The {kind}, number {number}",
                    "version": "1",
                    "where it goes": place,
                    "rinse-off or leave-on": rinse,
                    "container": box,
                    "fill": fill,
                    "density [g/mL]": f"{self._density(folder, name, density):.3f}",
                    "loss [%]": chance.choice(("2", "3", "5")),
                    "pH from": low,
                    "pH to": high,
                    "pH read": "" if ph is None else f"{chance.uniform(*ph):.1f}",
                    "pH read with": "" if ph is None else "meter",
                    "keeps [months]": keeps,
                    "open [months]": chance.choice((3, 6)),
                    "use per month": f"{self.near(month, 0.4):.1f}",
                    "scent": scent if "Scent" in parts else "",
                    "thickener": thick,
                    "shop product": product,
                    "written on": self.day(),
                }
            )
            products += self._product(product, nominal, rinse)
        self._rest(folder, used, boxes, recipes, products)
        return folder

    def _lines(self, folder: Path, name: str, names: list[str], kind: str) -> None:
        main, *others = names
        rows, left = [], 100.0
        for other in others:
            usual, most = THINGS[other][4:]
            level = round(min(self.near(usual, 0.3), most or 99), 2 if usual < 2 else 1)
            left -= level
            rows.append((other, level))
        blank = self.chance.random() < 0.5
        table = [("phase", "ingredient", "percent", "balance", "note")]
        table.append(("A", main, "" if blank else f"{left:.2f}", "yes", ""))
        table += [("A" if i < 4 else "B", other, f"{level:g}", "", "") for i, (other, level) in enumerate(rows)]
        put(folder / f"recipes/{name}.csv", table)

    def _density(self, folder: Path, name: str, told: float) -> float:
        rows = list(csv.reader(lines_of(folder / f"recipes/{name}.csv")))[1:]
        shares = {r[1]: float(r[2]) for r in rows if r[2]}
        shares |= {r[1]: 100 - sum(shares.values()) for r in rows if not r[2]}
        return 100 / sum(share / THINGS[n][2] for n, share in shares.items()) * self.chance.uniform(0.985, 1.01)

    def _price(self, kg: float, grams: float) -> str:
        return f"{max(0.4, kg * grams / 1000 * (grams / 100) ** -self.chance.uniform(0.12, 0.32)):.2f}"

    def _product(self, product: str, nominal: int, rinse: str) -> list[dict[str, object]]:
        each = self.chance.uniform(*WASHED[rinse]) * (250 / nominal) ** 0.3
        rows = []
        for size in (nominal, *((2 * nominal,) if self.chance.random() < 0.3 else ())):
            price = each * size / 100 * (size / nominal) ** -0.25
            text = f"{size} mL" if not self.us else f"{size / 29.5735:.2f} fl oz"
            sale = f"{price * self.chance.uniform(0.6, 0.85):.2f}" if self.chance.random() < 0.4 else ""
            rows.append(
                {
                    "product": product,
                    "size": text,
                    "price": f"{price:.2f}",
                    "sale price": sale,
                    "date": self.day(),
                    "label order": "Aqua; Glycerin; Parfum; Linalool",
                }
            )
        return rows

    def _rest(self, folder: Path, used: dict, boxes: dict, recipes: list, products: list) -> None:
        chance = self.chance
        put(
            folder / "workshop.csv",
            [
                ("setting", "value", "note"),
                ("currency", "USD" if self.us else "EUR", ""),
                ("market", "US" if self.us else "EU", ""),
                ("scale steps", "0.01 g to 200 g; 1 g to 5 kg", ""),
                ("loss [%]", "3", ""),
                ("film [g]", "0", ""),
                ("shipping factor", "1.1", ""),
            ],
        )
        rows(
            folder,
            "ingredients.csv",
            [
                {
                    "name": n,
                    "INCI": THINGS[n][0],
                    "function": THINGS[n][1],
                    "density [g/mL]": f"{self.near(THINGS[n][2], 0.01):.3f}",
                    "density from": "label",
                    "most [%]": THINGS[n][5] or "",
                }
                for n in used
            ],
        )
        inside = []
        for n in used:
            inci = [s.strip() for s in THINGS[n][0].split(";")]
            if len(inci) == 2 and chance.random() < 0.7:
                main = {
                    "Preserver G": 85,
                    "Preserver H": 90,
                    "Olive emulsifier": 60,
                    "Decyl glucoside": 52,
                    "Betaine": 31,
                    "Phytate": 48,
                    "Lactic acid 80 %": 80,
                    "Sodium lactate 60 %": 60,
                }[n]
                inside += [
                    {"mixture": n, "substance": inci[0], "low [%]": main - 2, "high [%]": main + 2, "source": "sheet"},
                    {
                        "mixture": n,
                        "substance": inci[1],
                        "low [%]": 98 - main,
                        "high [%]": 102 - main,
                        "source": "sheet",
                    },
                ]
            if THINGS[n][1] == "scent":
                for substance, high in (("Linalool", 8), ("Limonene", 12), ("Coumarin", 1.5), ("Citronellol", 3)):
                    high = round(self.near(high, 0.6), 2)
                    inside.append(
                        {
                            "mixture": n,
                            "substance": substance,
                            "low [%]": round(high * chance.uniform(0.3, 0.8), 2),
                            "high [%]": high,
                            "source": "sheet",
                        }
                    )
        rows(folder, "whats_inside.csv", inside)
        rows(folder, "bench_made.csv", [])
        papers = []
        for n in used:
            if THINGS[n][1] == "scent":
                strength = chance.uniform(0.6, 1.7)
                papers += [
                    {
                        "scent": n,
                        "amendment": 51,
                        "category": c,
                        "most [%]": f"{self.near(strength * most, 0.35):.2f}",
                        "source": "certificate",
                    }
                    for c, most in (("4", 3.5), ("5A", 1.6), ("5B", 1.1), ("5C", 1.4), ("9", 6.0))
                ]
        rows(folder, "certificates.csv", papers)
        rows(folder, "limits.csv", [])
        rows(
            folder,
            "containers.csv",
            [
                {
                    "container": box,
                    "kind": kind,
                    "nominal [mL]": nominal,
                    "brim [mL]": round(nominal * chance.uniform(1.06, 1.16)),
                    "mass [g]": round(self.near(nominal * each, 0.25)),
                }
                for box, (kind, nominal, each) in boxes.items()
            ],
        )
        rows(folder, "recipes.csv", recipes)
        suppliers = [f"{letter} goods" for letter in "PQRST"[: chance.randrange(2, 5)]]
        self._market(folder, suppliers, used, boxes, recipes)
        rows(folder, "shop_products.csv", products)
        thick = []
        for r in recipes:
            level = THINGS[r["thickener"]][4] if r["thickener"] else 0
            if level and chance.random() < 0.8:
                start = chance.uniform(9, 13)
                thick += [
                    {
                        "recipe": r["name"],
                        "ingredient": r["thickener"],
                        "level [%]": f"{level * k:g}",
                        "spread [cm]": f"{self.near(start * k**-0.8, 0.04):.1f}",
                        "at [°C]": 20,
                        "after [h]": 24,
                    }
                    for k in (0.6, 0.8, 1.0, 1.3)
                ]
                r |= {
                    "shop spread [cm]": f"{start * 0.95:.1f}",
                    "spread from [cm]": f"{start * 0.9:.1f}",
                    "spread to [cm]": f"{start * 1.1:.1f}",
                }
        rows(folder, "recipes.csv", recipes)
        rows(folder, "thickness.csv", thick)
        rows(folder, "avoid.csv", [])
        rows(folder, "swaps.csv", [])
        cards = [
            ("cost", "cost", "what one used up", "a piece", "0.50", "less"),
            ("scent", "words", "a mark on a line of 100 mm", "mm on the line", "15", ""),
            ("foam height", "measured", "in a cylinder", "mm", "5", ""),
        ]
        rows(
            folder,
            "targets.csv",
            [
                {
                    "recipe": r["name"],
                    "against": r["shop product"],
                    "version": 1,
                    "written on": written,
                    "must-have": name,
                    "measure": measure,
                    "how measured": how,
                    "unit": unit,
                    "gap": gap,
                    "better": better,
                    "weight": "must",
                }
                for r in recipes
                for written in [self.day()]
                for name, measure, how, unit, gap, better in cards
            ],
        )
        rows(
            folder,
            "watch.csv",
            [
                {
                    "recipe": r["name"],
                    "version": 1,
                    "batch": "1",
                    "day": day,
                    "at [°C]": heat,
                    "as before": "yes",
                    "pH": f"{float(r['pH read']) + chance.uniform(-0.1, 0.1):.1f}",
                }
                for r in recipes
                if r["pH read"]
                for day in (0, 7, 28)
                for heat in (20, 40)
            ],
        )
        rows(
            folder,
            "decisions.csv",
            [
                {
                    "recipe": r["name"],
                    "containers": 6,
                    "dose [g]": (dose := round(chance.uniform(0.8, 2.5), 1)),
                    "shop dose [g]": round(self.near(dose, 0.2), 1),
                    "dose from": "ten of each weighed",
                }
                for r in recipes
            ],
        )

    def _market(self, folder: Path, suppliers: list[str], used: dict, boxes: dict, recipes: list) -> None:
        chance = self.chance
        rows(
            folder,
            "suppliers.csv",
            [
                {
                    "supplier": s,
                    "handling": chance.choice(("", "1.50", "2.90")),
                    "free from": chance.choice(("49.00", "60.00", "90.00")),
                    "least order": chance.choice(("", "10.00", "20.00")),
                }
                for s in suppliers
            ],
        )
        delivery = []
        for s in suppliers:
            first = round(chance.uniform(4, 8), 1)
            if chance.random() < 0.5:
                delivery.append({"supplier": s, "price": f"{first:.2f}"})
            else:
                delivery += [
                    {"supplier": s, "up to [kg]": kg, "price": f"{first + more:.2f}"}
                    for kg, more in ((2, 0), (5, 2.2), (10, 5), (31.5, 12))
                ]
        rows(folder, "delivery.csv", delivery)
        packs = []
        for n in used:
            kg = self.near(THINGS[n][3], 0.25)
            for s in chance.sample(suppliers, 1 if chance.random() < 0.7 else 2):
                many = chance.choice((1, 2, 2, 3))
                start = chance.randrange(2 if self.us else 1, 4) if THINGS[n][1] != "scent" else chance.randrange(2)
                sizes = (US if self.us else METRIC)[start:][:many] or ("1 lb" if self.us else "1 kg",)
                dear = self.near(kg, 0.2)
                prices = [float(self._price(dear, GRAMS[size])) for size in sizes]
                for i, size in enumerate(sizes):
                    fair = prices[0] * (GRAMS[size] / GRAMS[sizes[0]]) ** (0.78)
                    packs.append({"supplier": s, "item": n, "size": size, "price": f"{fair if i else prices[0]:.2f}"})
        for box, (_kind, nominal, _) in boxes.items():
            single = self.near(0.7 + nominal / 300, 0.2)
            packs += [
                {
                    "supplier": suppliers[0],
                    "item": box,
                    "size": "1 piece" if n == 1 else f"{n} pieces",
                    "price": f"{single * n**0.88:.2f}",
                }
                for n in (1, 10, 50)
            ]
        packs.append({"supplier": suppliers[0], "item": "Label", "size": "20 pieces", "price": f"{self.near(3.2):.2f}"})
        rows(folder, "packs.csv", packs)
        kits = []
        wash = next((r for r in recipes if r["name"].startswith(("serum", "lotion"))), None)
        if wash is not None and chance.random() < 0.8:
            lines = list(csv.DictReader(lines_of(folder / f"recipes/{wash['name']}.csv")))
            grams = float(re.match(r"[0-9]+", str(wash["fill"]))[0]) * 4
            content, cost = [], 0.0
            for line in lines:
                if line["balance"] != "yes":
                    take = max(2, round(grams * float(line["percent"]) / 100 * 1.2))
                    content.append((line["ingredient"], f"{take} g"))
                    cost += THINGS[line["ingredient"]][3] * take / 1000 * (take / 100) ** -0.25
            content.append((wash["container"], "4 pieces"))
            cost += 4 * (0.7 + boxes[wash["container"]][1] / 300)
            price = f"{cost * chance.uniform(0.9, 1.3):.2f}"
            kits = [
                {
                    "kit": "Starter kit",
                    "supplier": suppliers[-1],
                    "recipe": wash["name"],
                    "makes": 4,
                    "price": price,
                    "item": item,
                    "amount": amount,
                }
                for item, amount in content
            ]
        rows(folder, "kits.csv", kits)


HEADS = {p.name: next(csv.reader(lines_of(p))) for p in sorted((Path(__file__).parents[2] / "data").glob("*.csv"))}


def put(path: Path, table: list) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerows(table)


def rows(folder: Path, name: str, found: list[dict[str, object]]) -> None:
    """A table under its headings, and those of the rows that the demo's own has not."""
    heads = list(dict.fromkeys([*HEADS[name], *(key for row in found for key in row)]))
    put(folder / name, [heads, *([row.get(head, "") for head in heads] for row in found)])


def clean_workshop(folder: Path, seed: int, recipes: int) -> Path:
    """A workshop without a slip in a folder that does not exist yet."""
    return Maker(seed, recipes).write(folder)
