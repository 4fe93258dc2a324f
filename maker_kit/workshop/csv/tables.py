"""The tables of a workshop: every column declared once, with what may stand in it."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from maker_kit.workshop.csv.columns import Ask, Column

PLACES = ("hands", "body", "face", "eye area", "lips", "hair", "underarm", "intimate area", "baby")
CONTAINER_KINDS = ("foamer", "jar", "pump", "tin", "bottle", "spray")
FUNCTIONS = (
    "preservative",
    "scent",
    "thickener",
    "solvent",
    "surfactant",
    "humectant",
    "emulsifier",
    "chelator",
    "antioxidant",
    "pH adjuster",
    "oil",
    "butter",
    "wax",
    "active",
    "base",
    "floral water",
    "colour",
    "emollient",
)
_FUNCTIONS_ALIKE = (
    *((word, "scent") for word in ("fragrance", "fragrance oil", "perfume", "parfum", "perfume oil")),
    ("preserver", "preservative"),
    ("conservative", "preservative"),
    ("gelling agent", "thickener"),
    ("gel former", "thickener"),
    ("dye", "colour"),
    ("color", "colour"),
)

_DENSITY = Ask(Decimal("0.6"), Decimal("2.0"), "a density from 0.6 to 2.0 g/mL (water has about 1.0)")
_LOSS = Ask(Decimal(0), Decimal(50), "a loss of at most 50 %")
_NOTE = Column("note", "note")
_S, _MPAS = "86400", "100000000"


@dataclass(frozen=True)
class TableSpec:
    """One table.

    Attributes
    ----------
    file : str
        File name; for the tables of one recipe, what follows the recipe's name.
    columns : tuple of Column
    unique : tuple of str
        Keys that no two rows share.
    rows_needed : bool
        Whether it needs at least one row.
    """

    file: str
    columns: tuple[Column, ...]
    unique: tuple[str, ...] = ()
    rows_needed: bool = False

    @property
    def headings(self) -> tuple[str, ...]:
        """The headings as we write them."""
        return tuple(c.heading for c in self.columns)


def _percent(heading: str, key: str, *, needed: bool = False, above: bool = False) -> Column:
    return Column(heading, key, "number", needed, high="100", above=above)


WORKSHOP = TableSpec(
    "workshop.csv", (Column("setting", "setting", "name", True), Column("value", "value"), _NOTE), ("setting",), True
)

INGREDIENTS = TableSpec(
    "ingredients.csv",
    (
        Column("name", "name", "name", True),
        Column("INCI", "inci", "list", True),
        Column("function", "function", "word", True, choices=FUNCTIONS, alike=_FUNCTIONS_ALIKE),
        Column("density [g/mL]", "density", "number", low="0.05", high="25", ask=_DENSITY),
        Column("density from", "density_from"),
        _percent("least [%]", "least"),
        _percent("most [%]", "most", above=True),
        Column("range from", "range_from"),
        _NOTE,
    ),
    ("name",),
    True,
)

WHATS_INSIDE = TableSpec(
    "whats_inside.csv",
    (
        Column("mixture", "mixture", "name", True),
        Column("substance", "substance", "name", True),
        _percent("low [%]", "low"),
        _percent("high [%]", "high", above=True),
        Column("source", "source"),
        _NOTE,
    ),
    ("mixture", "substance"),
)

BENCH_MADE = TableSpec(
    "bench_made.csv",
    (
        Column("mixture", "mixture", "name", True),
        Column("made from", "made_from", "name", True),
        _percent("percent", "percent", needed=True, above=True),
        _NOTE,
    ),
    ("mixture", "made_from"),
)

CERTIFICATES = TableSpec(
    "certificates.csv",
    (
        Column("scent", "scent", "name", True),
        Column("amendment", "amendment", "whole", True, low="1", high="99"),
        Column("category", "category", "name", True),
        _percent("most [%]", "most", needed=True, above=True),
        Column("source", "source", "text", True),
        _NOTE,
    ),
    ("scent", "amendment", "category"),
)

LIMITS = TableSpec(
    "limits.csv",
    (
        Column("substance", "substance", "name", True),
        _percent("most [%]", "most"),
        Column("members", "members", "list"),
        Column("counted as", "counted_as"),
        Column("applies", "applies", "one of", choices=("all", "rinse-off", "leave-on"), blank="all"),
        Column("category", "category", "name"),
        Column("kind", "kind", "one of", True, choices=("law", "standard", "certificate", "supplier", "practice")),
        Column("region", "region", "name"),
        Column("conditions", "conditions"),
        Column("unrestricted", "unrestricted", "yes/no", blank=False),
        Column("amendment", "amendment"),
        Column("date", "date", "date"),
        Column("source", "source", "text", True),
        Column("checked", "checked", "text", True),
        _NOTE,
    ),
    ("substance", "applies", "category", "kind", "region", "conditions", "source"),
)

RECIPES = TableSpec(
    "recipes.csv",
    (
        Column("name", "name", "name", True),
        Column("title", "title", "name", True),
        Column("version", "version", "name"),
        Column("where it goes", "places", "list", True),
        Column("rinse-off or leave-on", "rinse", "one of", True, choices=("rinse-off", "leave-on")),
        Column("spray", "spray", "yes/no", blank=False),
        Column("for whom", "for_whom", "one of", choices=("adults", "small children"), blank="adults"),
        Column("container", "container", "name", True),
        Column("fill", "fill", "amount", True, bases=("volume", "mass")),
        Column("density [g/mL]", "density", "number", True, low="0.05", high="25", ask=_DENSITY),
        Column("film [g]", "film", "number", high="10000"),
        Column("loss [%]", "loss", "number", high="500", ask=_LOSS),
        Column("pH from", "ph_low", "number", high="14"),
        Column("pH to", "ph_high", "number", high="14"),
        Column("pH read", "ph_read", "number", high="14"),
        Column("keeps [months]", "keeps", "number", high="120", above=True),
        Column("open [months]", "open", "number", high="120", above=True),
        Column("use per month", "use", "number", high="100000", above=True),
        Column("scent", "scent", "name"),
        Column("thickener", "thickener", "name"),
        Column("shop product", "shop_product", "name"),
        Column("shop spread [cm]", "shop_spread", "number", high="100", above=True),
        Column("spread from [cm]", "spread_low", "number", high="100", above=True),
        Column("spread to [cm]", "spread_high", "number", high="100", above=True),
        Column("shop funnel [s]", "shop_funnel", "number", high=_S, above=True),
        Column("funnel from [s]", "funnel_low", "number", high=_S, above=True),
        Column("funnel to [s]", "funnel_high", "number", high=_S, above=True),
        Column("shop viscosity [mPa·s]", "shop_viscosity", "number", high=_MPAS, above=True),
        Column("viscosity from [mPa·s]", "viscosity_low", "number", high=_MPAS, above=True),
        Column("viscosity to [mPa·s]", "viscosity_high", "number", high=_MPAS, above=True),
        Column("density from", "density_from"),
        Column("source", "source"),
        Column("written on", "written_on", "date"),
        _NOTE,
    ),
    ("name",),
    True,
)

LINES = TableSpec(
    ".csv",
    (
        Column("phase", "phase", "name", True),
        Column("ingredient", "ingredient", "name", True),
        _percent("percent", "percent"),
        Column("balance", "balance", "yes/no", blank=False),
        _NOTE,
    ),
    ("phase", "ingredient"),
    True,
)

STEPS = TableSpec(
    ".steps.csv",
    (
        Column("step", "step", "whole", True, low="1", high="200"),
        Column("phase", "phase", "name"),
        Column("text", "text", "text", True),
        Column("from [°C]", "from_c", "number", low="-30", high="300"),
        Column("to [°C]", "to_c", "number", low="-30", high="300"),
        Column("time [min]", "minutes", "number", high="100000"),
        Column("tool", "tool", "name"),
        Column("into", "into", "name"),
        Column("fine until", "fine_until", "text"),
        Column("rescue", "rescue", "text"),
        _NOTE,
    ),
    ("step",),
    True,
)

SUPPLIERS = TableSpec(
    "suppliers.csv",
    (
        Column("supplier", "supplier", "name", True),
        Column("handling", "handling", "money", blank=0),
        Column("free from", "free_from", "money"),
        Column("least order", "least_order", "money", blank=0),
        Column("tax [%]", "tax", "number", high="100"),
        Column("tax on fees", "tax_on_fees", "yes/no", blank=True),
        Column("threshold after tax", "threshold_after_tax", "yes/no", blank=False),
        _NOTE,
    ),
    ("supplier",),
)

DELIVERY = TableSpec(
    "delivery.csv",
    (
        Column("supplier", "supplier", "name", True),
        Column("up to [kg]", "up_to", "number", high="10000", above=True),
        Column("price", "price", "money", True),
        Column("price to", "price_to", "money"),
        _NOTE,
    ),
    ("supplier", "up_to"),
)

PACKS = TableSpec(
    "packs.csv",
    (
        Column("supplier", "supplier", "name", True),
        Column("item", "item", "name", True),
        Column("size", "size", "amount", True),
        Column("from count", "from_count", "whole", low="1", high="100000", blank=1),
        Column("price", "price", "money", True, above=True),
        Column("stock", "stock", "whole"),
        Column("shipping [g]", "shipping", "number", high="1000000"),
        _NOTE,
    ),
    ("supplier", "item", "size", "from_count"),
)

KITS = TableSpec(
    "kits.csv",
    (
        Column("kit", "kit", "name", True),
        Column("supplier", "supplier", "name"),
        Column("recipe", "recipe", "name"),
        Column("makes", "makes", "whole", low="1", high="100000"),
        Column("price", "price", "money", above=True),
        Column("shipping [g]", "shipping", "number", high="1000000"),
        Column("stock", "stock", "whole"),
        Column("item", "item", "name", True),
        Column("amount", "amount", "amount", True),
        _NOTE,
    ),
    ("kit", "item"),
)

CONTAINERS = TableSpec(
    "containers.csv",
    (
        Column("container", "container", "name", True),
        Column("kind", "kind", "one of", True, choices=CONTAINER_KINDS),
        Column("nominal [mL]", "nominal", "number", True, high="100000", above=True),
        Column("brim [mL]", "brim", "number", True, high="100000", above=True),
        Column("mass [g]", "mass", "number", True, high="100000"),
        _NOTE,
    ),
    ("container",),
    True,
)

SHOP_PRODUCTS = TableSpec(
    "shop_products.csv",
    (
        Column("product", "product", "name", True),
        Column("size", "size", "amount", True, bases=("volume", "mass"), bare_oz=True),
        Column("price", "price", "money", True, above=True),
        Column("sale price", "sale_price", "money", above=True),
        Column("refill", "refill", "yes/no", blank=False),
        Column("date", "date", "date"),
        Column("label order", "label_order", "list"),
        Column("claims", "claims", "list"),
        Column("where read", "where_read"),
        _NOTE,
    ),
    ("product", "size", "refill"),
)

THICKNESS = TableSpec(
    "thickness.csv",
    (
        Column("recipe", "recipe", "name", True),
        Column("ingredient", "ingredient", "name", True),
        _percent("level [%]", "level", needed=True),
        Column("spread [cm]", "spread", "number", high="100", above=True),
        Column("funnel [s]", "funnel", "number", high=_S, above=True),
        Column("viscosity [mPa·s]", "viscosity", "number", high=_MPAS, above=True),
        Column("at [°C]", "at_c", "number", True, low="-30", high="100"),
        Column("after [h]", "hours", "number", True, high="100000"),
        Column("repeat", "repeat", "whole", low="1", high="1000", blank=1),
        _NOTE,
    ),
)

AVOID = TableSpec(
    "avoid.csv",
    (
        Column("person", "person", "name", True),
        Column("avoid", "avoid", "name", True),
        Column("reason", "reason"),
        _NOTE,
    ),
    ("person", "avoid"),
)

SWAPS = TableSpec(
    "swaps.csv",
    (
        Column("ingredient", "ingredient", "name", True),
        Column("instead", "instead", "name", True),
        Column("grams for one gram", "ratio", "number", high="100", above=True, blank=Decimal(1)),
        Column("what changes", "what_changes", "text", True),
        _NOTE,
    ),
    ("ingredient", "instead"),
)

TABLES = (
    WORKSHOP,
    INGREDIENTS,
    WHATS_INSIDE,
    BENCH_MADE,
    CERTIFICATES,
    LIMITS,
    CONTAINERS,
    RECIPES,
    SUPPLIERS,
    DELIVERY,
    PACKS,
    KITS,
    SHOP_PRODUCTS,
    THICKNESS,
    AVOID,
    SWAPS,
)
"""The tables every workshop has, in the order in which faults are told; those of each recipe stand in its folder ``recipes``."""
