"""Questions about settings, target cards and what the maker wants of a recipe."""

from __future__ import annotations

from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key
from maker_kit.workshop.csv import tables as specs
from maker_kit.workshop.csv.columns import bare
from maker_kit.workshop.csv.records import Record
from maker_kit.workshop.slips.held import Held
from maker_kit.workshop.slips.question import Asker, Topic, far_off, number, numbers, plain
from maker_kit.workshop.slips.usual import usual

_CODES = """
AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BHD BIF BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF CHF
CLP CNY COP CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GNF GTQ GYD HKD HNL HRK
HTG HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW KRW KWD KYD KZT LAK LBP LKR LRD LSL LYD MAD MDL
MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG QAR RON
RSD RUB RWF SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS UAH
UGX USD UYU UZS VES VND VUV WST XAF XCD XOF XPF YER ZAR ZMW ZWG
"""
CURRENCIES = frozenset(_CODES.split())
"""Alphabetic codes of ISO 4217 (from memory)."""
COUNTS_TIMES = 4.0
"""How many times off the others' counts a count of containers is asked about."""
STEPS_OF_A_SCALE = (300.0, 300_000.0)
"""How many of its steps the heaviest load of a kitchen or pocket scale mostly is."""


def ask_plans(held: Held, asker: Asker) -> None:
    """Settings, target cards, decisions."""
    _ask_settings(held, asker)
    _ask_targets(held, asker)
    _ask_decisions(held, asker)


def _ask_settings(held: Held, asker: Asker) -> None:
    settings, topic = held.shop.settings, Topic("workshop", "")
    for r in held.tables[specs.WORKSHOP]:
        key = bare(r["setting"] or "")
        if key == "currency" and settings.currency not in CURRENCIES:
            asker.ask("setting", topic, r, "value", "No currency in use has that code")
        elif key == bare("loss [%]") and settings.loss_percent and not usual("loss").holds(settings.loss_percent):
            asker.ask("setting", topic, r, "value", f"What stays in the beaker is mostly {usual('loss').words()}")
        elif key == bare("film [g]") and settings.film_g > 50:
            asker.ask("setting", topic, r, "value", "So much hardly stays on the tools of a small batch")
        elif key == bare("shipping factor") and settings.shipping_factor > 1.6:
            asker.ask("setting", topic, r, "value", "Packing mostly adds 5 to 30 % to what a pack holds")
        elif key == bare("scale steps"):
            low, high = STEPS_OF_A_SCALE
            if any(not low <= load / step <= high or not 20 <= load <= 60_000 for load, step in settings.scale):
                why = "The heaviest load of a scale is mostly 1 000 to 100 000 of its steps, and 50 g to 50 kg"
                asker.ask("setting", topic, r, "value", why)


def _ask_targets(held: Held, asker: Asker) -> None:
    for r in held.tables[specs.TARGETS]:
        gap, unit, topic = number(r, "gap"), name_key(r["unit"] or ""), Topic.of("recipe", r["recipe"])
        product = next(
            (p for name, p in held.shop.shop_products.items() if name_key(name) == name_key(r["against"] or "")), None
        )
        if not gap:
            continue
        if "%" in unit and gap > 90:
            asker.ask("target", topic, r, "gap", "The column's unit is percent")
        elif r["measure"] == "words" and not 2 <= gap <= 60:
            asker.ask("target", topic, r, "gap", "The line is 100 mm long")
        elif r["measure"] == "cost" and product is not None:
            price = min(size.price_cents for size in product.sizes) / 100
            if not 0.005 * price <= gap <= 0.9 * price:
                asker.ask("target", topic, r, "gap", f"The shop's costs {price:.2f}")


def _ask_decisions(held: Held, asker: Asker) -> None:
    for r in held.tables[specs.DECISIONS]:
        topic, band = Topic.of("recipe", r["recipe"]), usual("dose")
        ours, shops = number(r, "dose_g"), number(r, "shop_dose_g")
        recipe = next(
            (x for x in held.shop.recipes.values() if name_key(r["recipe"]) in (name_key(x.name), name_key(x.title))),
            None,
        )
        for key, value in (("dose_g", ours), ("shop_dose_g", shops)):
            if value and not band.holds(value):
                asker.ask("dose", topic, r, key, f"One use mostly takes {band.words()}")
        if ours and shops and not 1 / 3.5 <= ours / shops <= 3.5:
            asker.ask("dose", topic, r, "dose_g", f"It is {plain(ours / shops)} times the shop's; look at both")
        density = number(r, "shop_density_g_per_ml")
        if density and not 0.7 <= density <= 1.4:
            asker.ask("density", topic, r, "shop_density_g_per_ml", "Such products mostly have 0.8 to 1.2 g/mL")
        count = r["containers"]
        if count and recipe is not None and recipe.use_per_month and count > 5 * 12 * recipe.use_per_month:
            why = f"At {recipe.use_per_month:g} a month they last {count / recipe.use_per_month:.0f} months"
            asker.ask("count", topic, r, "containers", why)
        elif count and recipe is not None and count > 1.9 * _used_up(recipe):
            why = f"At {recipe.use_per_month:g} a month most outlive the {recipe.keeps_months:g} months they keep"
            asker.ask("count", topic, r, "containers", why)
        elif count and (rest := _of_others(held, r, count)) is not None:
            asker.ask("count", topic, r, "containers", f"The other recipes are made {rest:g} at a time")


def _of_others(held: Held, record: Record, count: float) -> float | None:
    """How many of the other recipes are made, where a count is far from all of them."""
    others = [value for r, value in numbers(held.tables[specs.DECISIONS], "containers") if r is not record]
    return far_off(count, others, COUNTS_TIMES)


def _used_up(recipe: Recipe) -> float:
    """How many are used up while they keep; endless where either is unknown."""
    return (recipe.keeps_months or float("inf")) * (recipe.use_per_month or float("inf"))
