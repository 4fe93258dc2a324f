"""What a workshop holds beside recipes and the market: settings, containers, shop products, kits, wanted thickness,
what to avoid, swaps.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from maker_kit.units import Amount

NOT_WEIGHED = "not weighed"
"""How the cell for the source of a density begins where nobody weighed it."""


@dataclass(frozen=True)
class Settings:
    """What holds for the whole workshop.

    Attributes
    ----------
    currency : str
        Three letters: ``EUR``.
    market : {'EU', 'US'}
        Where the products go, which decides what is law there.
    scale : tuple of (float, float)
        Ranges of the scales, the finest first: heaviest load [g] and step [g].
    loss_percent : float
        Loss for recipes that name none [%].
    film_g : float
        Film for recipes that name none [g].
    shipping_factor : float
        Shipping weight of an ingredient's pack over its content, where no weight is given.
    weights_in : {'', 'g', 'oz'}
        What the maker weighs in: with ``oz``, bench sheets give ounces too, and her plain "oz" is one of weight.
    decimal_mark : {'', 'point', 'comma'}
    date_order : {'', 'day first', 'month first'}
        Of dates with strokes.
    """

    currency: str
    market: str
    scale: tuple[tuple[float, float], ...]
    loss_percent: float = 0.0
    film_g: float = 0.0
    shipping_factor: float = 1.08
    weights_in: str = ""
    decimal_mark: str = ""
    date_order: str = ""


@dataclass(frozen=True)
class ShopSize:
    """One size in which a shop product is sold.

    Attributes
    ----------
    name : str
        As the pack says it: ``250 mL``, ``refill 500 mL``, ``6.5 oz``.
    size_ml, size_g : float or None
        Content [mL] or [g]; one of the two, or neither where the basis is unknown.
    price_cents : int
        Regular price [cent].
    sale_price_cents : int or None
        Price when on sale [cent].
    refill : bool
        Whether it refills a bottle that one has.
    read_on : date or None
        Day the price was read.
    as_mass_g, as_volume_ml : float or None
        Both readings of a bare "oz" [g, mL]; None where the basis is known.
    invented : bool
        Whether a price of it is marked as invented.
    """

    name: str
    price_cents: int
    sale_price_cents: int | None = None
    refill: bool = False
    read_on: date | None = None
    size_ml: float | None = None
    size_g: float | None = None
    as_mass_g: float | None = None
    as_volume_ml: float | None = None
    invented: bool = False

    @property
    def basis(self) -> str:
        """``volume``, ``mass``, or ``unknown``: then the content is a band from one reading to the other."""
        return "volume" if self.size_ml is not None else "mass" if self.size_g is not None else "unknown"


@dataclass(frozen=True)
class ShopProduct:
    """What could be bought instead.

    Attributes
    ----------
    name : str
    sizes : tuple of ShopSize
    label_order : tuple of str
        Ingredient names in the order of the pack.
    claims : tuple of str
        What the pack says besides.
    where_read : str
    """

    name: str
    sizes: tuple[ShopSize, ...]
    label_order: tuple[str, ...] = ()
    claims: tuple[str, ...] = ()
    where_read: str = ""


@dataclass(frozen=True)
class Kit:
    """What a kit is meant for and what is in it.

    Attributes
    ----------
    name : str
        Name of its pack in the market.
    supplier : str
    recipe : str
        Recipe it is meant for; empty where none is named.
    makes : int or None
        Containers it is said to make.
    content : Mapping of str to float
        Item to what is in it, as it was bought [g, or pieces for containers and labels]; volumes by the ingredient's
        density, not rounded.
    listed : Mapping of str to Amount
        Item to what the kit list says of it, in its own unit.
    called : str
        Its name in the table, without the supplier's.
    """

    name: str
    supplier: str
    recipe: str
    makes: int | None
    content: Mapping[str, float]
    listed: Mapping[str, Amount] = field(default_factory=dict)
    called: str = ""


@dataclass(frozen=True)
class WantedThickness:
    """How thick a recipe should be, by one way of reading.

    Attributes
    ----------
    recipe : str
    measure : {'spread', 'funnel', 'viscosity'}
    shop : float or None
        What the shop product shows, read in the same way [cm, s or mPa·s].
    low, high : float or None
        Wanted band [cm, s or mPa·s].
    """

    recipe: str
    measure: str
    shop: float | None
    low: float | None
    high: float | None

    @property
    def band(self) -> tuple[float, float] | None:
        """The wanted band, if both of its ends are given."""
        return None if self.low is None or self.high is None else (self.low, self.high)


@dataclass(frozen=True)
class Avoided:
    """An ingredient, or a word for a family of them, that somebody avoids."""

    person: str
    avoid: str
    reason: str = ""


@dataclass(frozen=True)
class Swap:
    """An ingredient that may stand in for another.

    Attributes
    ----------
    ingredient, instead : str
        What the recipe names, and what may be taken.
    ratio : float
        Grams of `instead` for one gram of `ingredient`.
    what_changes : str
    """

    ingredient: str
    instead: str
    ratio: float
    what_changes: str
