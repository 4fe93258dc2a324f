"""Questions about ingredients, what is inside them, certificates, swaps and the maker's own limits."""

from __future__ import annotations

import re
from collections.abc import Mapping
from statistics import median

from maker_kit.formula.limits.categories import FIRST_AMENDMENT, known_categories
from maker_kit.names import name_key
from maker_kit.workshop.csv import tables as specs
from maker_kit.workshop.csv.records import Record
from maker_kit.workshop.slips.held import Held
from maker_kit.workshop.slips.question import Asker, Topic, far_off, number, numbers, plain
from maker_kit.workshop.slips.usual import usual

NEWEST_AMENDMENT = 51
"""Number of the newest amendment of the IFRA Standards that is known here: the 51st, notified on 30 June 2023 (IFRA
Standards, 51st Amendment, notified on 30 June 2023; read)."""
OLDEST_AMENDMENT = 36
"""Papers of before the 36th Amendment are not met any more (from memory)."""
RANGE_TIMES = 30.0
"""How many times the least of a supplier's range the most usually is, at the utmost."""
SHARE_TIMES = 9.0
"""The same of a share inside a mixture."""
BESIDE_TIMES = 4.0
"""How many times a certificate's most may lie off what the others let expect."""
ALONE_TIMES = 25.0
LOAD_TIMES = 60.0
"""How many times the load in the recipes a certificate's most is asked about."""


def ask_inside(held: Held, asker: Asker) -> None:
    """Ingredients, what is inside, certificates, swaps, own limits."""
    for r in held.tables[specs.INGREDIENTS]:
        _ask_ingredient(r, asker)
    _ask_shares(held, asker)
    _ask_certificates(held, asker)
    for r in held.tables[specs.SWAPS]:
        ratio = number(r, "ratio") or 1
        if not 1 / 3 <= ratio <= 3:
            topic = Topic.of("ingredient", r["ingredient"])
            asker.ask("swap", topic, r, "ratio", "What stands in for another is mostly taken at about the same weight")


def _ask_ingredient(r: Record, asker: Asker) -> None:
    topic, function = Topic.of("ingredient", r["name"]), r["function"] or ""
    density, least, most = (number(r, key) for key in ("density_g_per_ml", "least_percent", "most_percent"))
    band = usual("density", function)
    if density and band is not None and not band.holds(density):
        asker.ask("density", topic, r, "density_g_per_ml", f"What works as {function} has mostly {band.words()}")
    for key, value in (("least", least), ("most", most)):
        band = usual(key, function)
        if value and band is not None and not band.holds(value):
            why = f"For what works as {function} a supplier's {key} is mostly {band.words()}"
            asker.ask("range", topic, r, f"{key}_percent", why)
    if least and most and most > RANGE_TIMES * least:
        asker.ask("range", topic, r, "most_percent", f"It is {plain(most / least)} times the least; look at both")


def _ask_shares(held: Held, asker: Asker) -> None:
    mixtures: dict[str, list[Record]] = {}
    for r in held.tables[specs.WHATS_INSIDE]:
        mixtures.setdefault(name_key(r["mixture"]), []).append(r)
    for name, rows in mixtures.items():
        topic = Topic("ingredient", name)
        for r in rows:
            low, high = number(r, "low_percent"), number(r, "high_percent")
            if low and high and high > SHARE_TIMES * low:
                why = f"It is {plain(high / low)} times the low end; look at both"
                asker.ask("inside", topic, r, "high_percent", why)
        _ask_whole(name, rows, topic, asker)
        told = re.search(r"([0-9]+(?:\.[0-9]+)?) ?%", name)
        shares = [(r, number(r, "low_percent") or 0, number(r, "high_percent")) for r in rows]
        if told and all(high is not None for *_, high in shares):
            share = float(told[1])
            if not any(low * 0.85 <= share <= (high or 0) * 1.15 for _, low, high in shares):
                asker.ask("inside", topic, rows[0], "high_percent", f"Its name says {told[1]} %, and no part has that")


def _ask_whole(name: str, rows: list[Record], topic: Topic, asker: Asker) -> None:
    """Parts that are a carrier and what it carries fill the whole; a scent is told by its allergens alone."""
    highs = [number(r, "high_percent") for r in rows]
    lows = [number(r, "low_percent") or 0 for r in rows]
    if None in highs or len(rows) < 2:
        return
    total, water = sum(h or 0 for h in highs), any(name_key(r["substance"]) in ("aqua", "water") for r in rows)
    main = max(range(len(rows)), key=lambda i: lows[i])
    rest = 100 - lows[main]
    if 60 <= total < 95 and water:
        why = f"The parts add up to at most {plain(total)} %, and the water should fill it to 100"
        asker.ask("inside", topic, rows[main], "high_percent", f"{why}; look at all its rows")
    elif total < 60 and water:
        asker.ask("inside", topic, rows[main], "high_percent", f"The parts add up to at most {plain(total)} % only")
    elif max(h or 0 for h in highs) > 60 and rest < 60 and total < 90:
        asker.ask("inside", topic, rows[main], "high_percent", f"The parts add up to at most {plain(total)} %")
    for i, r in enumerate(rows):
        if i != main and lows[main] > 60 and (highs[i] or 0) > rest + 15:
            why = f"With at least {plain(lows[main])} % of {rows[main]['substance']} there is no room for so much"
            asker.ask("inside", topic, r, "high_percent", why, rows[main])


def _ask_certificates(held: Held, asker: Asker) -> None:
    rows = list(held.tables[specs.CERTIFICATES])
    loads: dict[str, float] = {}
    for recipe in held.shop.recipes.values():
        for line in recipe.lines:
            key = name_key(line.ingredient)
            loads[key] = max(loads.get(key, 0.0), line.percent)
    by_scent: dict[str, list[Record]] = {}
    for r in rows:
        by_scent.setdefault(name_key(r["scent"]), []).append(r)
    for scent, mine in by_scent.items():
        topic = Topic("ingredient", scent)
        for r in mine:
            amendment, most = r["amendment"], number(r, "most_percent") or 0
            if amendment > NEWEST_AMENDMENT:
                why = f"The newest amendment of the IFRA Standards known here is the {NEWEST_AMENDMENT}st (June 2023)"
                asker.ask("amendment", topic, r, "amendment", why)
            elif amendment < OLDEST_AMENDMENT:
                why = f"Certificates of before the {OLDEST_AMENDMENT}th amendment are hardly met any more"
                asker.ask("amendment", topic, r, "amendment", why)
            elif (
                amendment < FIRST_AMENDMENT
                and r["category"].upper() in known_categories()
                and r["category"][-1].isalpha()
            ):
                why = (
                    f"{r['category']} is a category since the {FIRST_AMENDMENT}th amendment, and this is an earlier one"
                )
                asker.ask("amendment", topic, r, "amendment", why)
            load = loads.get(scent)
            if most < 100 and load and most > LOAD_TIMES * load:
                asker.ask("certificate", topic, r, "most_percent", f"The recipes take at most {load:g} % of it")
            elif most < 100 and not 1 / BESIDE_TIMES <= _off_pattern(r, mine, by_scent) <= BESIDE_TIMES:
                asker.ask(
                    "certificate", topic, r, "most_percent", "The figures of the other categories do not go with it"
                )


def _off_pattern(r: Record, mine: list[Record], by_scent: Mapping[str, list[Record]]) -> float:
    """How many times a category's most stands above what the scent's other categories, and the other scents', let
    expect: the median of all crosswise ratios; where nothing can be crossed, how far it lies outside the others.
    """
    here, own = (r["amendment"], r["category"]), number(r, "most_percent") or 0
    beside = {
        (o["amendment"], o["category"]): v for o, v in numbers(mine, "most_percent") if o is not r and v < 100
    }  # fmt: skip
    crossed = []
    for rows in by_scent.values():
        if rows is mine:
            continue
        theirs = {(o["amendment"], o["category"]): v for o, v in numbers(rows, "most_percent") if v < 100}
        if here in theirs:
            crossed += [own / beside[key] * theirs[key] / theirs[here] for key in beside.keys() & theirs.keys()]
    if crossed:
        return median(crossed)
    if len(beside) < 2:
        return 1.0
    middle = median(beside.values())
    return own / middle if far_off(own, list(beside.values()), ALONE_TIMES / BESIDE_TIMES, 2) is not None else 1.0
