"""The demo workshop as it was invented; every expected figure is typed from the plan of the demo, none is our own
output.
"""

from __future__ import annotations

from collections import defaultdict
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from workshop_files import DATA

from maker_kit.buying.market_check import check_market
from maker_kit.errors import UnknownNameError
from maker_kit.formula.recipe import check_sum
from maker_kit.names import name_key
from maker_kit.workshop import Workshop, find_folder, find_workshop, load_workshop


@pytest.fixture(scope="module")
def shop() -> Workshop:
    return load_workshop(DATA)


# The sums of each phase as the demo workshop's recipes state them; the one of R3 and R4 were added up by hand.
PHASES = {
    "r1-hand-wash": {"A": "72.60", "B": "26.00", "C": "1.40"},
    "r1b-hand-wash": {"A": "99.20", "B": "0.80"},
    "r2-gel-cream": {"A": "87.30", "B": "10.20", "C": "2.50"},
    "r3v1-cleansing-water": {"A": "99.35", "B": "0.65"},
    "r3v2-cleansing-water": {"A": "99.15", "B": "0.85"},
    "r3v3-cleansing-water": {"A": "99.15", "B": "0.85"},
    "r4-balm": {"A": "18.00", "B": "80.70", "C": "1.30"},
    "r5-hand-lotion": {"A": "74.20", "B": "23.00", "C": "2.80"},
}


def test_the_demo_holds_exactly_these_recipes(shop: Workshop) -> None:
    assert list(shop.recipes) == list(PHASES)


@pytest.mark.parametrize("name", PHASES)
def test_phases_add_up_as_stated_and_the_whole_makes_100(shop: Workshop, name: str) -> None:
    recipe = shop.recipe(name)
    sums: dict[str, Decimal] = defaultdict(Decimal)
    for line in recipe.lines:
        sums[line.phase] += Decimal(str(line.percent))
    assert sums == {phase: Decimal(total) for phase, total in PHASES[name].items()}
    assert sum(sums.values()) == 100
    assert check_sum(recipe) is recipe
    assert sum(line.balance for line in recipe.lines) == 1
    assert len(recipe.steps) >= 6
    assert all(step.text.endswith(".") for step in recipe.steps)


@pytest.mark.parametrize(
    ("name", "balance", "fill_g", "loss", "ph_read", "use", "rinse"),
    [
        ("r1-hand-wash", "Water", 255.5, 2, 5.1, 8.0, True),
        ("r1b-hand-wash", "Wash base", 255.5, 2, 5.0, 8.0, True),
        ("r2-gel-cream", "Water", 196.0, 4, 5.6, 4, False),
        ("r3v1-cleansing-water", "Water", 151.05, 2, 6.6, 3, False),
        ("r3v2-cleansing-water", "Water", 151.05, 2, 6.6, 3, False),
        ("r3v3-cleansing-water", "Water", 151.05, 2, 6.6, 3, False),
        ("r4-balm", "Sweet almond oil", 50.0, 5, None, 5, False),
        ("r5-hand-lotion", "Water", 245.0, 5, 5.2, 3.6, False),
    ],
)
def test_each_recipe_is_filled_and_used_as_stated(
    shop: Workshop, name: str, balance: str, fill_g: float, loss: float, ph_read: float | None, use: float, rinse: bool
) -> None:
    recipe = shop.recipe(name)
    assert [line.ingredient for line in recipe.lines if line.balance] == [balance]
    assert recipe.fill_mass_g == pytest.approx(fill_g, rel=1e-12)
    assert (
        recipe.loss_percent,
        recipe.film_g,
        recipe.ph_read,
        recipe.use_per_month,
        recipe.product_type.rinse_off,
    ) == (loss, 0, ph_read, use, rinse)
    assert recipe.sold_by_mass is (name == "r4-balm")
    assert recipe.product_type.for_whom == "adults"
    assert not recipe.product_type.spray


@pytest.mark.parametrize(
    ("name", "places"),
    [
        ("r1-hand-wash", {"hands"}),
        ("r2-gel-cream", {"hands", "body"}),
        ("r3v1-cleansing-water", {"face", "eye area"}),
        ("r4-balm", {"hands"}),
        ("r5-hand-lotion", {"hands"}),
    ],
)
def test_each_recipe_goes_where_it_is_stated_to_go(shop: Workshop, name: str, places: set[str]) -> None:
    assert set(shop.recipe(name).product_type.places) == places


def test_the_balm_fills_54_ml_cold(shop: Workshop) -> None:
    assert shop.recipe("r4-balm").fill_ml == pytest.approx(53.8, abs=0.05)  # 50 g at 0.93 g/mL


def test_the_citric_solution_is_made_at_the_bench_half_and_half(shop: Workshop) -> None:
    assert dict(shop.ingredient("Citric acid 50 % solution").made_from) == {"Citric acid": 50, "Water": 50}
    assert {"Citric acid", "Water"} <= set(shop.recipe("r2-gel-cream").ingredients)
    assert "Citric acid" not in {line.ingredient for line in shop.recipe("r2-gel-cream").lines}


def test_what_is_inside_the_ready_base_is_named_and_its_amounts_are_unknown(shop: Workshop) -> None:
    inside = shop.ingredient("Wash base").inside
    assert [s.substance for s in inside] == [
        "Aqua",
        "Sodium Laureth Sulfate",
        "Cocamidopropyl Betaine",
        "Glycerin",
        "Sodium Chloride",
        "Citric Acid",
        "Sodium Benzoate",
        "Potassium Sorbate",
    ]
    assert {(s.low_percent, s.high_percent) for s in inside} == {(None, None)}


@pytest.mark.parametrize(
    ("mixture", "substance", "low", "high"),
    [
        ("Preservative P", "Phenoxyethanol", 88, 92),
        ("Preservative B", "Benzyl Alcohol", 84, 88),
        ("Preservative B", "Dehydroacetic Acid", 7, 9),
        ("Panthenol 75 %", "Panthenol", 74, 76),
        ("Betaine 30 % solution", "Cocamidopropyl Betaine", 28, 31),
        ("Emulsifying wax", "Polysorbate 60", 15, 25),
        ("Antioxidant blend", "Tocopherol", 45, 55),
        ("Scent 1", "Citral", 5, 8),
        ("Scent 2", "Citronellal", 7, 10),
        ("Scent 2", "Methyl eugenol", 0, 0.015),
        ("Scent 3", "Hexyl Cinnamal", 2, 5),
        ("Rose floral water", "Methyl eugenol", 0, 0.001),
    ],
)
def test_what_is_inside_a_mixture(shop: Workshop, mixture: str, substance: str, low: float, high: float) -> None:
    assert [(s.low_percent, s.high_percent) for s in shop.ingredient(mixture).inside if s.substance == substance] == [
        (low, high)
    ]


@pytest.mark.parametrize(
    ("scent", "category", "most"),
    [
        ("Scent 1", "3", 1.1),
        ("Scent 1", "5A", 1.8),
        ("Scent 1", "5C", 1.8),
        ("Scent 1", "9", 11.0),
        ("Scent 2", "3", 0.25),
        ("Scent 2", "5A", 3.2),
        ("Scent 2", "5C", 1.0),
        ("Scent 2", "9", 5.5),
        ("Scent 3", "3", 0.9),
        ("Scent 3", "5A", 2.6),
        ("Scent 3", "5C", 2.1),
        ("Scent 3", "9", 8.0),
    ],
)
def test_certificates_of_the_49th_amendment(shop: Workshop, scent: str, category: str, most: float) -> None:
    assert [
        c.most_percent for c in shop.ingredient(scent).certificates if (c.amendment, c.category) == (49, category)
    ] == [most]


def test_the_older_paper_keeps_its_own_numbering(shop: Workshop) -> None:
    assert [(c.category, c.most_percent) for c in shop.ingredient("Scent 3").certificates if c.amendment == 46] == [
        ("class 9", 5)
    ]


@pytest.mark.parametrize(
    ("name", "least", "most"),
    [
        ("Gel former", None, 1.0),
        ("Xanthan gum", 0.1, 0.5),
        ("Emulsifying wax", 3, 8),
        ("Preservative P", 0.5, 1.1),
        ("Preservative B", 0.6, 1.2),
        ("Glycerin", None, None),
    ],
)
def test_suppliers_ranges(shop: Workshop, name: str, least: float | None, most: float | None) -> None:
    assert (shop.ingredient(name).least_percent, shop.ingredient(name).most_percent) == (least, most)


@pytest.mark.parametrize(
    ("name", "density"),
    [
        ("Water", 0.998),
        ("Glycerin", 1.261),
        ("Wash base", 1.022),
        ("Scent 1", 0.93),
        ("Scent 2", 0.92),
        ("Scent 3", 0.95),
        ("Citric acid 50 % solution", 1.24),
    ],
)
def test_densities(shop: Workshop, name: str, density: float) -> None:
    assert shop.ingredient(name).density_g_per_ml == density
    assert shop.ingredient(name).density_source


def test_the_market_is_one_that_baskets_can_be_computed_from(shop: Workshop) -> None:
    check_market(shop.market)
    assert [s.name for s in shop.market.suppliers] == ["N raws", "M botanicals", "K containers", "C corner shop"]
    assert shop.market.pieces == {*shop.containers, "Label"}


def test_delivery_and_handling_as_stated(shop: Workshop) -> None:
    n, m, k, c = shop.market.suppliers
    assert n.delivery == ((20_000, 590), (50_000, 790), (100_000, 1090), (200_000, 1590), (315_000, 2190))
    assert (n.handling_cents, n.free_from_cents, n.least_order_cents) == (290, 7500, 1500)
    assert (m.delivery, m.free_from_cents, m.least_order_cents) == (((None, 650),), 5000, 0)
    assert (k.delivery, k.free_from_cents, k.least_order_cents) == (((None, 720),), 9000, 1000)
    assert (c.delivery, c.handling_cents, c.free_from_cents) == (((None, 0),), 0, None)
    assert {s.tax_bp for s in shop.market.suppliers} == {0}


def test_kits_hold_what_was_listed(shop: Workshop) -> None:
    one, two = shop.kits
    assert (one.recipe, one.makes, two.recipe, two.makes) == ("r1b-hand-wash", 4, "r2-gel-cream", 4)
    assert one.content == {"Wash base": 1050, "Scent 3": 14.25, "250 mL foamer": 4}
    assert (
        two.content["Propanediol"],
        two.content["Scent 1"],
        two.content["Citric acid"],
        two.content["200 mL jar"],
    ) == (32, 4.65, 1, 4)
    packs = {p.name: p for p in shop.market.packs}
    assert (packs[one.name].prices, packs[one.name].shipping_dg, packs[one.name].kit) == (((1, 2690),), 13_000, True)
    assert (packs[two.name].prices, packs[two.name].shipping_dg) == (((1, 2990),), 5_200)


def test_shop_prices_as_stated(shop: Workshop) -> None:
    prices = {
        (p.name, s.name): (s.price_cents, s.sale_price_cents, s.refill)
        for p in shop.shop_products.values()
        for s in p.sizes
    }
    assert prices == {
        ("Shop wash", "250 mL"): (720, 540, False),
        ("Shop wash", "refill 500 mL"): (950, None, True),
        ("Shop gel", "200 mL"): (1550, 1090, False),
        ("Shop cleansing water", "100 mL"): (490, None, False),
        ("Shop cleansing water", "400 mL"): (990, None, False),
        ("Shop balm", "50 g"): (1200, None, False),
        ("Shop lotion", "250 mL"): (980, 690, False),
        ("Market-stall lotion", "6.5 oz"): (840, None, False),
    }
    assert shop.shop_product("Shop gel").label_order[:3] == ("Aqua", "Propanediol", "Glycerin")
    assert shop.shop_product("market-stall lotion").claims == ("5 % glycerin",)


def test_a_bare_oz_on_the_market_stall_stays_a_band_of_both_readings(shop: Workshop) -> None:
    (size,) = shop.shop_product("Market-stall lotion").sizes
    assert (size.basis, size.size_ml, size.size_g) == ("unknown", None, None)
    # NIST Handbook 44 (2023), Appendix C: 1 oz avoirdupois = 28.349523125 g, 1 US fl oz = 29.5735295625 mL
    assert size.as_mass_g == pytest.approx(6.5 * 28.349523125, rel=1e-12)
    assert size.as_volume_ml == pytest.approx(6.5 * 29.5735295625, rel=1e-12)


def test_the_thickness_readings(shop: Workshop) -> None:
    samples = shop.thickness_readings
    assert {(p.recipe, p.ingredient) for p in samples} == {("r2-gel-cream", "Gel former")}
    assert {p.measure for p in samples} == {"spread"}
    cold = {p.level_percent: p.value for p in samples if p.temperature_c == 20}
    assert cold == {0.4: 11.8, 0.6: 9.1, 0.8: 7.0, 1.0: 5.6, 1.2: 4.9}
    assert [p.value for p in samples if p.temperature_c == 35] == [10.3]
    wanted = shop.wanted_thickness("r2-gel-cream")
    assert wanted is not None
    assert (wanted.shop, wanted.low, wanted.high) == (6.4, 6.0, 6.8)
    assert shop.wanted_thickness("r4-balm") is None


def test_settings_containers_avoid_list_and_swaps(shop: Workshop) -> None:
    assert (shop.settings.currency, shop.settings.market, shop.settings.scale, shop.settings.shipping_factor) == (
        "EUR",
        "EU",
        ((500, 0.1), (10_000, 1)),
        1.08,
    )
    assert {c.name: (c.kind, c.nominal_ml, c.brim_ml, c.mass_g) for c in shop.containers.values()} == {
        "250 mL foamer": ("foamer", 250, 282, 42),
        "200 mL jar": ("jar", 200, 222, 55),
        "150 mL pump": ("pump", 150, 168, 30),
        "60 mL tin": ("tin", 60, 66, 14),
        "250 mL pump": ("pump", 250, 276, 36),
    }
    assert {a.avoid for a in shop.avoid} == {"almond", "benzyl alcohol"}
    assert ("Propanediol", "Glycerin", 1.0) in {(s.ingredient, s.instead, s.ratio) for s in shop.swaps}


def test_a_recipe_is_found_by_name_or_title_whatever_its_capitals(shop: Workshop) -> None:
    assert shop.recipe("Gel cream") is shop.recipe("R2-Gel-Cream") is shop.recipes["r2-gel-cream"]


@pytest.mark.parametrize(
    ("look", "asked", "near"),
    [
        ("recipe", "r1-handwash", "r1-hand-wash"),
        ("recipe", "Gel creme", "Gel cream"),
        ("ingredient", "Glycerine", "Glycerin"),
        ("container", "250 ml foam", "250 mL foamer"),
        ("shop_product", "Shop wosh", "Shop wash"),
        ("wanted_thickness", "r2-gel-creme", "r2-gel-cream"),
    ],
)
def test_an_unknown_name_gets_the_near_miss(shop: Workshop, look: str, asked: str, near: str) -> None:
    with pytest.raises(UnknownNameError, match=f'"{asked}".*did you mean "{near}"'):
        getattr(shop, look)(asked)


@given(st.text(max_size=40))
def test_any_name_is_found_or_refused_in_a_sentence(name: str) -> None:
    demo = _demo()
    if name_key(name) in {name_key(text) for r in demo.recipes.values() for text in (r.name, r.title)}:
        assert demo.recipe(name).name in demo.recipes
    else:
        with pytest.raises(UnknownNameError, match="there is no recipe"):
            demo.recipe(name)


_CACHE: list[Workshop] = []


def _demo() -> Workshop:
    if not _CACHE:
        _CACHE.append(load_workshop(DATA))
    return _CACHE[0]


def test_the_summary_counts_what_stands_in_the_tables(shop: Workshop) -> None:
    counts = dict(shop.summary().counts)
    assert (
        counts["recipes"],
        counts["kits"],
        counts["suppliers"],
        counts["containers"],
        counts["shop products"],
        counts["thickness samples"],
    ) == (8, 2, 4, 5, 6, 6)
    assert counts["packs"] == len((DATA / "packs.csv").read_text(encoding="utf-8").splitlines()) - 1
    assert str(shop.summary()).startswith("no fault found in ")
    assert "8 recipes" in str(shop.summary())
    assert list(shop.summary().to_frame()["how many"]) == [n for _, n in shop.summary().counts]


def test_the_folder_that_is_meant(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("MAKER_KIT_WORKSHOP", raising=False)
    assert find_folder() == DATA
    assert find_folder("elsewhere").name == "elsewhere"
    monkeypatch.setenv("MAKER_KIT_WORKSHOP", str(DATA))
    assert find_workshop().recipes
    assert find_folder("elsewhere").name == "elsewhere"


def test_a_folder_named_from_here_is_meant_from_here_wherever_it_is_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    named = find_folder("my-workshop")
    monkeypatch.setenv("MAKER_KIT_WORKSHOP", "other")
    set_for_all = find_folder()
    monkeypatch.chdir(DATA)  # as a notebook runs in its own folder
    assert (named, set_for_all) == (tmp_path / "my-workshop", tmp_path / "other")


def test_a_step_says_what_it_is_done_with_and_what_goes_into_what(shop: Workshop) -> None:
    # as the steps' own sentences say it: "Stir phase B slowly into A with the paddle", "Pour 50 g into each tin"
    stirred, poured = shop.recipe("r1-hand-wash").steps[2], shop.recipe("r4-balm").steps[4]
    assert (stirred.number, stirred.tool, stirred.into) == (3, "paddle", "phase A")
    assert (poured.number, poured.tool, poured.into, poured.from_c, poured.to_c) == (5, "scale", "tin", 58.0, 62.0)
