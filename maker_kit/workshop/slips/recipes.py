"""Questions about recipes with their lines and steps, readings of thickness, watched batches, target cards and
containers.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping

from maker_kit.errors import MakerKitError
from maker_kit.formula.density import additive_density
from maker_kit.formula.recipe import Recipe
from maker_kit.formula.thickness.readings import MEASURES
from maker_kit.names import name_key
from maker_kit.workshop.csv import tables as specs
from maker_kit.workshop.csv.records import Record
from maker_kit.workshop.slips.held import Held
from maker_kit.workshop.slips.question import Asker, Topic, far_off, number, numbers, plain
from maker_kit.workshop.slips.usual import usual

DENSER, LIGHTER = 1.06, 0.8
"""How far a recipe's density may lie from that of its parts [times] before it is asked about."""
ALL_KNOWN_PERCENT, DENSER_WHOLE = 95.0, 1.045
"""Where nearly all parts are known: liquids that shrink when they are mixed do so by less than this (ethanol and water,
which shrink most, by 3.7 %: from memory; a question hangs on it and no verdict)."""
KNOWN_PERCENT = 60.0
"""Least share of a recipe whose density is known where the whole is compared [%]."""
OFF_BAND, OFF_OTHERS = 1.0, 1.5
"""How far a pH may lie outside its band, or from the batch's others, before it is asked about."""
LEAST_FILLED = 0.85
"""Least share of a container's nominal content that is mostly filled."""
LOSS_TIMES = 3.0
"""How many times off the loss of all other recipes one is asked about."""
A_YEAR, HALF_A_YEAR = 12, 6
"""Months."""
WALLS = 2 / 3
"""Power of the content with which the mass of a container grows: walls go with the surface."""
LEVEL_TIMES = 4.0
"""How many times off the level in all other recipes of its use one is asked about."""
MANY_LEVELS = frozenset({"oil", "butter", "wax", "solvent", "base", "floral water", ""})
"""What is the whole of one recipe and a trace in the next."""
STEP_SPAN_C = 25.0
OUT_OF_LINE = 2.0
"""How many times off what the other levels tell a reading is asked about."""


def ask_recipes(held: Held, asker: Asker) -> None:
    """Recipes, their lines and their steps."""
    rows, levels = list(held.tables[specs.RECIPES]), _levels(held)
    for r in rows:
        recipe = held.shop.recipes.get(r["name"])
        if recipe is None:
            continue
        topic = Topic.of("recipe", recipe.name)
        _ask_density(recipe, r, topic, asker)
        _ask_fill(held, recipe, r, rows, topic, asker)
        _ask_ph(r, topic, asker)
        _ask_times(recipe, r, rows, topic, asker)
        _ask_lines(held, recipe, levels, topic, asker)
        for step in held.steps.get(recipe.name, ()):
            low, high = step["from_c"], step["to_c"]
            if low is not None and high is not None and float(high - low) > STEP_SPAN_C:
                asker.ask("step_heat", topic, step, "to_c", f"It lies {high - low:f} °C above 'from'; look at both")
            elif high is not None and high > 110:
                asker.ask("step_heat", topic, step, "to_c", "Hardly anything here is heated above 110 °C")
            if (number(step, "minutes") or 0) > 4320:
                asker.ask("step_time", topic, step, "minutes", "That is more than three days: the column is in minutes")
    _ask_containers(held, asker)


def _ask_density(recipe: Recipe, r: Record, topic: Topic, asker: Asker) -> None:
    try:
        parts = additive_density(recipe)
    except MakerKitError:
        return
    told = number(r, "density_g_per_ml")
    if told and parts.known_g_per_ml and parts.known_percent >= KNOWN_PERCENT:
        share = told / parts.known_g_per_ml
        denser = DENSER_WHOLE if parts.known_percent >= ALL_KNOWN_PERCENT else DENSER
        if not LIGHTER <= share <= denser:
            why = f"Its parts together have about {parts.known_g_per_ml:.3f} g/mL"
            asker.ask("density", topic, r, "density_g_per_ml", why)


def _ask_fill(held: Held, recipe: Recipe, r: Record, rows: list[Record], topic: Topic, asker: Asker) -> None:
    box = held.shop.container(recipe.container)
    if recipe.fill_ml < LEAST_FILLED * box.nominal_ml:
        asker.ask("fill", topic, r, "fill", f"The container holds {box.nominal_ml:g} mL")
    fill_g = recipe.fill_ml * recipe.density_g_per_ml
    if (number(r, "film_g") or 0) > max(20.0, 0.3 * fill_g):
        why = f"So much on the tools is far for containers of {plain(fill_g)} g"
        asker.ask("film", topic, r, "film_g", why)
    loss = number(r, "loss_percent")
    if loss and not usual("loss").holds(loss):
        asker.ask("loss", topic, r, "loss_percent", f"What stays in the beaker is mostly {usual('loss').words()}")
    elif loss:
        others = [value for other, value in numbers(rows, "loss_percent") if other is not r]
        if (rest := far_off(loss, others, LOSS_TIMES, least=2)) is not None:
            asker.ask("loss", topic, r, "loss_percent", f"The other recipes have about {rest:g} %")


def _ask_ph(r: Record, topic: Topic, asker: Asker) -> None:
    low, high, read = (number(r, key) for key in ("ph_low", "ph_high", "ph_read"))
    band = usual("pH")
    for key, value in (("ph_low", low), ("ph_high", high), ("ph_read", read)):
        if value is not None and not band.holds(value):
            asker.ask("ph", topic, r, key, f"A pH on the skin mostly lies from {band.low:g} to {band.high:g}")
    for key, value in (("ph_low", low), ("ph_high", high)):
        if value is not None and abs(20 * value - round(20 * value)) > 1e-6:
            asker.ask("ph", topic, r, key, "The ends of a band of pH are mostly told to a tenth")
    if low is not None and high is not None and high - low > 2.5:
        asker.ask("ph", topic, r, "ph_high", f"The band from {low:g} to {high:g} is very wide; look at both ends")
    if low is not None and high is not None and read and not low - OFF_BAND <= read <= high + OFF_BAND:
        asker.ask(
            "ph", topic, r, "ph_read", f"It lies far outside the band from {low:g} to {high:g}; look at all three"
        )


def _ask_times(recipe: Recipe, r: Record, rows: list[Record], topic: Topic, asker: Asker) -> None:
    keeps, opened, use = (number(r, key) for key in ("keeps_months", "open_months", "use_per_month"))
    for key, value, what in (("keeps_months", keeps, "keeps"), ("open_months", opened, "open")):
        if value and not usual(what).holds(value):
            asker.ask("keeping", topic, r, key, f"It is mostly {usual(what).words()}")
        elif value and value > A_YEAR and value % HALF_A_YEAR:
            asker.ask("keeping", topic, r, key, "Beyond a year it is mostly told in half years")
    if keeps and opened and opened > keeps:
        asker.ask("keeping", topic, r, "open_months", f"Opened it would keep longer than the {keeps:g} months unopened")
    if use:
        month, band = use * recipe.fill_ml, usual("used a month")
        others = [value for other, value in numbers(rows, "use_per_month") if other is not r]
        rest = far_off(use, others, 3) or far_off(use, others, 4, least=2)
        if not band.holds(month):
            asker.ask(
                "use", topic, r, "use_per_month", f"That is {plain(month)} mL a month, and mostly it is less or more"
            )
        elif rest is not None:
            asker.ask("use", topic, r, "use_per_month", f"The other recipes have about {rest:g}")


def _levels(held: Held) -> dict[tuple[str, bool], list[float]]:
    """At which levels an ingredient is taken, the lowest first, by its folded name and whether it is rinsed off."""
    found: dict[tuple[str, bool], list[float]] = {}
    for recipe in held.shop.recipes.values():
        for name, level in {name_key(line.ingredient): line.percent for line in recipe.lines}.items():
            found.setdefault((name, recipe.product_type.rinse_off), []).append(level)
    return {key: sorted(levels) for key, levels in found.items()}


def _off_levels(level: float, levels: list[float]) -> float | None:
    """The median of the other levels where one is far off them all; None else, and where it stands among them."""
    if len(levels) < 3 or not (
        (level == levels[0] and LEVEL_TIMES * level < levels[1])
        or (level == levels[-1] and level > LEVEL_TIMES * levels[-2])
    ):
        return None
    return far_off(level, levels[1:] if level == levels[0] else levels[:-1], LEVEL_TIMES, least=2)


def _ask_lines(
    held: Held,
    recipe: Recipe,
    levels: Mapping[tuple[str, bool], list[float]],
    topic: Topic,
    asker: Asker,
) -> None:
    for line in held.lines.get(recipe.name, ()):
        level, function = number(line, "percent"), held.functions.get(name_key(line["ingredient"] or ""), "")
        band = usual("level", function)
        if level and band is not None and not line["balance"] and not band.holds(level):
            why = f"What works as {function} is mostly used at {band.words()} of the whole"
            asker.ask("level", topic, line, "percent", why)
        elif level and not line["balance"] and function not in MANY_LEVELS:
            alike = levels.get((name_key(line["ingredient"] or ""), recipe.product_type.rinse_off), [])
            if (rest := _off_levels(level, alike)) is not None:
                asker.ask("level", topic, line, "percent", f"The other recipes take about {rest:g} % of it")


def _ask_containers(held: Held, asker: Asker) -> None:
    boxes = list(held.tables[specs.CONTAINERS])
    brims = usual("brim over nominal")
    for r in boxes:
        topic, name = Topic.of("container", r["name"]), r["name"]
        nominal, brim, mass = (number(r, key) or 0 for key in ("nominal_ml", "brim_ml", "mass_g"))
        told = re.search(r"([0-9]+(?:\.[0-9]+)?)\s*ml\b", name.casefold())
        if told and abs(float(told[1]) - nominal) > 0.01 * nominal:
            asker.ask("container", topic, r, "nominal_ml", f"Its name says {told[1]} mL")
        elif not brims.holds(brim / nominal):
            why = f"The brim is mostly {brims.words()} the nominal {nominal:g} mL; look at both"
            asker.ask("container", topic, r, "brim_ml", why)
        others = [b for b in boxes if b is not r and number(b, "mass_g")]
        even = [number(b, "mass_g") / number(b, "nominal_ml") ** WALLS for b in others]
        light = usual("empty mass", r["kind"]) or usual("empty mass")
        if mass and (not light.holds(mass / nominal**WALLS) or far_off(mass / nominal**WALLS, even, 2.5) is not None):
            why = f"An empty one for {nominal:g} mL mostly weighs {light.low * nominal**WALLS:.0f} to "
            why += f"{light.high * nominal**WALLS:.0f} g, and about as much for its size as the others"
            asker.ask("container_mass", topic, r, "mass_g", why)


def ask_readings(held: Held, asker: Asker) -> None:
    """Readings of thickness, what the shop's shows, and watched batches."""
    series: dict[tuple[str, str, str], list[Record]] = {}
    for r in held.tables[specs.THICKNESS]:
        way = next((w for w in MEASURES if r[w] is not None), "")
        series.setdefault((name_key(r["recipe"]), name_key(r["ingredient"]), way), []).append(r)
    for (recipe, _, way), rows in series.items():
        _ask_series(Topic("recipe", _name_of(held, recipe)), way, rows, asker)
    for r in held.tables[specs.RECIPES]:
        for way in MEASURES:
            read = [v for (name, _, w), rows in series.items() if name == name_key(r["name"]) and w == way
                    for _, v in numbers(rows, way)]  # fmt: skip
            for key in (f"shop_{way}", f"{way}_from", f"{way}_to"):
                value = number(r, key)
                if value and read and not min(read) / OUT_OF_LINE <= value <= OUT_OF_LINE * max(read):
                    why = f"The readings on file lie from {min(read):g} to {max(read):g}"
                    asker.ask("wanted_thickness", Topic.of("recipe", r["name"]), r, key, why)
            shop, low, high = (number(r, key) for key in (f"shop_{way}", f"{way}_from", f"{way}_to"))
            if shop and low and high and not low <= shop <= high:
                why = f"It lies outside the wanted {low:g} to {high:g}; look at all three"
                asker.ask("wanted_thickness", Topic.of("recipe", r["name"]), r, f"shop_{way}", why)
    _ask_watch(held, asker)


def _name_of(held: Held, folded: str) -> str:
    """The folded name of the recipe that a folded name or title means."""
    recipes = held.shop.recipes.values()
    return next((name_key(r.name) for r in recipes if folded in (name_key(r.name), name_key(r.title))), folded)


def _ask_series(topic: Topic, way: str, rows: list[Record], asker: Asker) -> None:
    for r in rows:
        others = [o for o in rows if o is not r]
        level, heat, hours = (number(r, key) or 0 for key in ("level_percent", "temperature_c", "hours"))
        rest = far_off(level, [v for _, v in numbers(others, "level_percent")], 3)
        if rest is not None:
            asker.ask("thickness_level", topic, r, "level_percent", f"The other levels lie about {rest:g} %")
        if not 5 <= heat <= 60:
            asker.ask("thickness_heat", topic, r, "temperature_c", "Thickness is mostly read at 15 to 40 °C")
        if hours > 2200 or far_off(hours, [v for _, v in numbers(others, "hours")], 3) is not None:
            asker.ask("thickness_age", topic, r, "hours", "The others were read at another age; the column is in hours")
        told = _interpolated(r, [o for o in others if o["temperature_c"] == r["temperature_c"]], way)
        value = number(r, way)
        if value and told and not told / OUT_OF_LINE <= value <= told * OUT_OF_LINE:
            asker.ask(
                "thickness_reading",
                topic,
                r,
                way,
                f"The readings at the other levels lead one to expect about {told:.2g}",
            )


def _interpolated(r: Record, others: list[Record], way: str) -> float | None:
    """What a straight line through the two nearest other levels, both on a scale of logarithms, has at this level."""
    here = number(r, "level_percent")
    points = sorted((number(o, "level_percent") or 0, number(o, way) or 0) for o in others if number(o, way))
    points = [p for p in points if min(p) > 0 and p[0] != here]
    if not here or len(points) < 2:
        return None
    (x1, y1), (x2, y2) = sorted(sorted(points, key=lambda p: abs(math.log(p[0] / here)))[:2])
    if x1 == x2:
        return None
    slope = math.log(y2 / y1) / math.log(x2 / x1)
    return math.exp(math.log(y1) + slope * math.log(here / x1)) if abs(slope) < 6 else None


def _ask_watch(held: Held, asker: Asker) -> None:
    batches: dict[tuple[str, str], list[Record]] = {}
    for r in held.tables[specs.WATCH]:
        batches.setdefault((name_key(r["recipe"]), name_key(r["batch"])), []).append(r)
    for (recipe, _), rows in batches.items():
        topic = Topic("recipe", _name_of(held, recipe))
        phs = [v for _, v in numbers(rows, "ph")]
        for r in rows:
            others = [o for o in rows if o is not r]
            ph = number(r, "ph")
            rest = sorted(v for o, v in numbers(others, "ph"))
            if ph and len(phs) > 2 and abs(ph - rest[len(rest) // 2]) > OFF_OTHERS:
                asker.ask("watch", topic, r, "ph", f"The others of the batch lie about {rest[len(rest) // 2]:g}")
            for key, factor in (("spread_cm", 1.7), ("weight_g", 1.3)):
                value = number(r, key)
                if value and far_off(value, [v for _, v in numbers(others, key)], factor) is not None:
                    asker.ask("watch", topic, r, key, "The others of the batch are far from it")
            if not -25 <= float(r["temperature_c"]) <= 56 or 0 < float(r["temperature_c"]) < 3:
                asker.ask("watch", topic, r, "temperature_c", "Batches are mostly watched at 4, 20 or 40 °C")
            if r["day"] > 1200:
                asker.ask("watch", topic, r, "day", "That is more than three years")
