"""What a maker weighs: an ingredient, what is inside it, what its supplier certifies; and where a product goes."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Share:
    """One substance inside a bought mixture.

    Attributes
    ----------
    substance : str
        INCI name.
    low_percent, high_percent : float or None
        Percent by mass of the mixture [%]; None where the supplier does not say.
    source : str
        Who says so.
    """

    substance: str
    low_percent: float | None
    high_percent: float | None
    source: str = ""


@dataclass(frozen=True)
class Certificate:
    """What a scent's supplier certifies for one category.

    Attributes
    ----------
    amendment : int
        Number of the amendment of the IFRA Standards it was made under. The categories 1 to 12 with 5A–5D, 7A–7B,
        10A–10B and 11A–11B are those of the 49th and later.
    category : str
        Category as printed on the paper.
    most_percent : float
        Most of the whole scent in the finished product [%].
    source : str
    """

    amendment: int
    category: str
    most_percent: float
    source: str = ""


@dataclass(frozen=True)
class Ingredient:
    """Something the maker weighs.

    Attributes
    ----------
    name : str
        The maker's name for it.
    inci : tuple of str
        INCI names, most first.
    function : str
        What it does in a recipe: ``solvent``, ``preservative``, ``scent``, ``thickener`` and so on, in the maker's
        word.
    density_g_per_ml : float or None
        Density at 20 °C [g/mL].
    density_source : str
    least_percent, most_percent : float or None
        The supplier's working range [% of the whole].
    inside : tuple of Share
        What is inside it; empty for a single substance.
    certificates : tuple of Certificate
        For a scent.
    made_from : tuple of (str, float)
        Ingredients it is mixed from at the bench, in percent [%]; empty when it is bought as it is.
    """

    name: str
    inci: tuple[str, ...]
    function: str
    density_g_per_ml: float | None = None
    density_source: str = ""
    least_percent: float | None = None
    most_percent: float | None = None
    inside: tuple[Share, ...] = ()
    certificates: tuple[Certificate, ...] = ()
    made_from: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True)
class ProductType:
    """Where a product goes and whether it is rinsed off.

    Attributes
    ----------
    places : tuple of str
        Places on the body: ``hands``, ``body``, ``face``, ``eye area``, ``lips``, ``hair``, ``underarm``, ``intimate
        area``, ``baby``.
    rinse_off : bool
        Rinsed off (True) or left on (False).
    spray : bool
        Whether it leaves the container as a spray.
    for_whom : str
        ``adults`` or ``small children`` (under three years); empty where nobody says.
    called : str
        What the maker calls the product; empty where nobody says. Read only for a part of the body that `places` does
        not tell apart (feet).
    """

    places: tuple[str, ...]
    rinse_off: bool
    spray: bool = False
    for_whom: str = "adults"
    called: str = ""
