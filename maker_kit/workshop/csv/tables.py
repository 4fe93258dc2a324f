"""The tables of a workshop: every column declared once, with what may stand in it."""

from __future__ import annotations

from decimal import Decimal

from maker_kit.formula.preservation.ph_reading import TOOLS
from maker_kit.formula.thickness.readings import MEASURES
from maker_kit.workshop.csv.columns import Ask, Column, TableSpec
from maker_kit.workshop.csv.habits import DATE_ORDERS, DECIMAL_MARKS, WEIGHTS
from maker_kit.workshop.csv.paper_tables import DECISIONS, PAPERS, WATCH
from maker_kit.workshop.csv.trial_tables import TARGETS

PLACES = ("hands", "body", "face", "eye area", "lips", "hair", "underarm", "intimate area", "baby")
CONTAINER_KINDS = ("foamer", "jar", "pump", "tin", "bottle", "spray")
LIMIT_KINDS = ("law", "standard", "certificate", "supplier", "practice")
FUNCTIONS = (
    *("preservative", "scent", "thickener", "solvent", "surfactant", "humectant", "emulsifier", "chelator"),
    *("antioxidant", "pH adjuster", "oil", "butter", "wax", "active", "base", "floral water", "colour", "emollient"),
)
_FUNCTIONS_ALIKE = (
    *((word, "scent") for word in ("fragrance", "fragrance oil", "perfume", "parfum", "perfume oil")),
    *((word, "preservative") for word in ("preserver", "conservative")),
    *((word, "thickener") for word in ("gelling agent", "gel former")),
    *((word, "colour") for word in ("dye", "color")),
)
_MOST_READ = {"spread": "100", "funnel": "86400", "viscosity": "100000000"}
"""Largest figure that is taken, by the way of reading [cm, s, mPa·s]."""
_LOSS = Ask(Decimal(0), Decimal(50), "a loss of at most 50 %")
_SUPPLIER, _ITEM = Column("supplier", "name", True), Column("item", "name", True)
_SHIPPING, _STOCK = Column("shipping [g]", "number"), Column("stock", "whole")


def _name(heading: str, key: str = "") -> Column:
    """A name that may not be blank."""
    return Column(heading, "name", True, key)


def _above(heading: str, high: str, key: str = "", *, needed: bool = False) -> Column:
    """A number above 0."""
    return Column(heading, "number", needed, key, high=high, above=True)


def _percent(heading: str, key: str = "", *, needed: bool = False) -> Column:
    return Column(heading, "number", needed, key, high="100")


def _density(*, needed: bool = False) -> tuple[Column, Column]:
    usual = Ask(Decimal("0.6"), Decimal("2.0"), "a density from 0.6 to 2.0 g/mL (water has about 1.0)")
    return (
        Column("density [g/mL]", "number", needed, "density_g_per_ml", low="0.05", high="25", ask=usual),
        Column("density from", key="density_source"),
    )


def _celsius(heading: str, high: str, key: str, *, needed: bool = False) -> Column:
    return Column(heading, "number", needed, key, low="-30", high=high)


def _read(*patterns: str) -> tuple[Column, ...]:
    """Columns for each way of reading a thickness."""
    return tuple(
        _above(f"{p.format(way)} [{unit}]", _MOST_READ[way]) for way, unit in MEASURES.items() for p in patterns
    )


def _table(file: str, unique: str, *columns: Column, rows_needed: bool = True, optional: bool = False) -> TableSpec:
    """A table whose rows differ in the cells of some keys; the last of its columns is a note."""
    return TableSpec(file, (*columns, Column("note")), tuple(unique.split()), rows_needed, optional)


SETTINGS = (
    Column("currency", "name", True),
    Column("market", "one of", True, choices=("EU", "US")),
    Column("scale steps", needed=True, key="scale"),
    Column("loss [%]", "number", key="loss_percent", high="100", ask=_LOSS, blank=Decimal(0)),
    Column("film [g]", "number", key="film_g", high="10000", blank=Decimal(0)),
    Column("shipping factor", "number", low="1", high="10", blank=Decimal("1.08")),
    Column("weights in", "one of", choices=WEIGHTS),
    Column("decimal mark", "one of", choices=DECIMAL_MARKS),
    Column("date order", "one of", choices=DATE_ORDERS),
)
"""What workshop.csv may set."""

WORKSHOP = _table("workshop.csv", "setting", _name("setting"), Column("value"))

INGREDIENTS = _table(
    "ingredients.csv",
    "name",
    _name("name"),
    Column("INCI", "INCI", True),
    Column("function", "word", True, choices=FUNCTIONS, alike=_FUNCTIONS_ALIKE),
    *_density(),
    _percent("least [%]", "least_percent"),
    _above("most [%]", "100", "most_percent"),
    Column("range from"),
)

WHATS_INSIDE = _table(
    "whats_inside.csv",
    "mixture substance",
    _name("mixture"),
    Column("substance", "substance", True),
    _percent("low [%]", "low_percent"),
    _above("high [%]", "100", "high_percent"),
    Column("source"),
    rows_needed=False,
)

BENCH_MADE = _table(
    "bench_made.csv",
    "mixture made_from",
    _name("mixture"),
    _name("made from"),
    _above("percent", "100", needed=True),
    rows_needed=False,
)

CERTIFICATES = _table(
    "certificates.csv",
    "scent amendment category",
    _name("scent"),
    Column("amendment", "whole", True, low="1", high="99"),
    _name("category"),
    _above("most [%]", "100", "most_percent", needed=True),
    Column("source", needed=True),
    rows_needed=False,
)

LIMITS = _table(
    "limits.csv",
    "substance applies category kind region conditions source",
    _name("substance"),
    _percent("most [%]", "most_percent"),
    Column("members", "list"),
    Column("counted as", blank="as supplied"),
    Column("applies", "one of", choices=("all", "rinse-off", "leave-on"), blank="all"),
    Column("category", "name"),
    Column("kind", "one of", True, choices=LIMIT_KINDS),
    Column("region", "name"),
    Column("conditions"),
    Column("unrestricted", "yes/no"),
    Column("amendment"),
    Column("date", "date"),
    Column("source", needed=True),
    Column("checked", needed=True),
    rows_needed=False,
)

RECIPES = _table(
    "recipes.csv",
    "name",
    _name("name"),
    _name("title"),
    Column("version", "name"),
    Column("where it goes", "list", True, "places"),
    Column("rinse-off or leave-on", "one of", True, "rinse", choices=("rinse-off", "leave-on")),
    Column("spray", "yes/no"),
    Column("for whom", "one of", choices=("adults", "small children")),
    _name("container"),
    Column("fill", "amount", True, bases=("volume", "mass")),
    *_density(needed=True),
    Column("film [g]", "number", key="film_g", high="10000"),
    Column("loss [%]", "number", key="loss_percent", high="100", ask=_LOSS),
    Column("pH from", "number", key="ph_low", high="14"),
    Column("pH to", "number", key="ph_high", high="14"),
    Column("pH read", "number", high="14"),
    Column("pH read with", "one of", key="ph_tool", choices=tuple(TOOLS), blank=""),
    _above("keeps [months]", "120", "keeps_months"),
    _above("open [months]", "120", "open_months"),
    _above("use per month", "100000"),
    Column("scent", "name"),
    Column("thickener", "name"),
    Column("shop product", "name"),
    *_read("shop {}", "{} from", "{} to"),
    *(Column("source"), Column("written on", "date")),
    rows_needed=False,
)

LINES = _table(
    ".csv", "phase ingredient", _name("phase"), _name("ingredient"), _percent("percent"), Column("balance", "yes/no")
)

STEPS = _table(
    ".steps.csv",
    "number",
    Column("step", "whole", True, "number", low="1", high="200"),
    Column("phase", "name"),
    Column("text", needed=True),
    _celsius("from [°C]", "300", "from_c"),
    _celsius("to [°C]", "300", "to_c"),
    Column("time [min]", "number", key="minutes", high="100000"),
    Column("tool", "name"),
    Column("into", "name"),
    Column("fine until"),
    Column("rescue"),
)

SUPPLIERS = _table(
    "suppliers.csv",
    "name",
    _name("supplier", "name"),
    Column("handling", "money", key="handling_cents", blank=0),
    Column("free from", "money", key="free_from_cents"),
    Column("least order", "money", key="least_order_cents", blank=0),
    Column("tax [%]", "number", high="100", blank=Decimal(0)),
    Column("tax on fees", "yes/no", blank=True),
    Column("threshold after tax", "yes/no"),
    rows_needed=False,
)

DELIVERY = _table(
    "delivery.csv",
    "supplier up_to",
    _SUPPLIER,
    _above("up to [kg]", "10000"),
    Column("price", "money", True),
    Column("price to", "money"),
    rows_needed=False,
)

PACKS = _table(
    "packs.csv",
    "supplier item size from_count",
    _SUPPLIER,
    _ITEM,
    Column("size", "amount", True),
    Column("from count", "whole", low="1", high="100000", blank=1),
    Column("price", "money", True, above=True),
    _STOCK,
    _SHIPPING,
    rows_needed=False,
)

KITS = _table(
    "kits.csv",
    "kit item",
    _name("kit"),
    Column("supplier", "name"),
    Column("recipe", "name"),
    Column("makes", "whole", low="1", high="100000"),
    Column("price", "money", above=True),
    _SHIPPING,
    _STOCK,
    _ITEM,
    Column("amount", "amount", True),
    rows_needed=False,
)

CONTAINERS = _table(
    "containers.csv",
    "name",
    _name("container", "name"),
    Column("kind", "one of", True, choices=CONTAINER_KINDS),
    _above("nominal [mL]", "100000", "nominal_ml", needed=True),
    _above("brim [mL]", "100000", "brim_ml", needed=True),
    Column("mass [g]", "number", True, "mass_g", high="100000"),
)

SHOP_PRODUCTS = _table(
    "shop_products.csv",
    "product size refill",
    _name("product"),
    Column("size", "amount", True, bases=("volume", "mass"), bare_oz=True),
    Column("price", "money", True, "price_cents", above=True),
    Column("sale price", "money", key="sale_price_cents", above=True),
    Column("refill", "yes/no"),
    Column("date", "date", key="read_on"),
    Column("label order", "list"),
    Column("claims", "list"),
    Column("where read"),
    rows_needed=False,
)

THICKNESS = _table(
    "thickness.csv",
    "",
    _name("recipe"),
    _name("ingredient"),
    _percent("level [%]", "level_percent", needed=True),
    *_read("{}"),
    _celsius("at [°C]", "100", "temperature_c", needed=True),
    Column("after [h]", "number", True, "hours", high="100000"),
    Column("repeat", "whole", low="1", high="1000", blank=1),
    rows_needed=False,
)

AVOID = _table("avoid.csv", "person avoid", _name("person"), _name("avoid"), Column("reason"), rows_needed=False)

SWAPS = _table(
    "swaps.csv",
    "ingredient instead",
    _name("ingredient"),
    _name("instead"),
    Column("grams for one gram", "number", key="ratio", high="100", above=True, blank=Decimal(1)),
    Column("what changes", needed=True),
    rows_needed=False,
)

TABLES = (
    *(WORKSHOP, INGREDIENTS, WHATS_INSIDE, BENCH_MADE, CERTIFICATES, LIMITS, CONTAINERS, RECIPES),
    *(SUPPLIERS, DELIVERY, PACKS, KITS, SHOP_PRODUCTS, THICKNESS, AVOID, SWAPS, TARGETS, PAPERS, WATCH, DECISIONS),
)
"""The tables of a workshop, all but the optional ones in every workshop, in the order in which faults are told.

Those of each recipe stand in its folder ``recipes``.
"""
