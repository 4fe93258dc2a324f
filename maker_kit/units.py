"""Amounts with their units: text such as "8.5 fl oz" becomes grams, millilitres or pieces once, here, and exactly.

A bare "oz" stays of unknown basis.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, field
from fractions import Fraction

from maker_kit.amount_text import BARE_OUNCES, FACTORS, NO_AMOUNT, SHOWN_UNITS, UNITS, folded
from maker_kit.errors import BasisUnknownError, QuantityError, short
from maker_kit.names import near_miss
from maker_kit.numbers import exact_number, split_number

BASES = ("mass", "volume", "pieces")
BASE_UNITS = {"mass": "g", "volume": "mL", "pieces": "pieces"}
LEAST_AMOUNT = Fraction(1, 10_000)
"""Smallest amount that is taken [g, mL]: one step of an analytical balance."""
MOST_AMOUNT = Fraction(10_000_000)
"""Largest amount that is taken [g, mL or pieces]: ten tonnes is no small batch."""
LEAST_DENSITY, MOST_DENSITY = Fraction(1, 20), Fraction(25)
"""Densities that are taken [g/mL]: from loose powders to the heaviest metals; 998 would be kg/m³."""


@dataclass(frozen=True)
class Amount:
    """An amount in its base unit, exactly.

    Attributes
    ----------
    exact : Fraction
        The amount [g, mL or pieces]. A float given here is taken by its decimal text.
    basis : {'mass', 'volume', 'pieces'}
    text : str
        What the maker wrote; two amounts are equal whatever their texts.
    """

    exact: Fraction
    basis: str
    text: str = field(default="", compare=False)

    def __post_init__(self) -> None:
        if self.basis not in BASES:
            raise QuantityError(f'an amount is one of {", ".join(BASES)}, not "{self.basis}"')
        exact = exact_number(self.exact, f"an amount in {BASE_UNITS[self.basis]}")
        if exact < 0:
            raise QuantityError(f"an amount of {self.exact} {BASE_UNITS[self.basis]}: an amount is 0 or more")
        object.__setattr__(self, "exact", exact)

    @property
    def value(self) -> float:
        """The amount as a float [g, mL or pieces]."""
        return float(self.exact)

    @property
    def unit(self) -> str:
        """The base unit it is held in: ``g``, ``mL`` or ``pieces``."""
        return BASE_UNITS[self.basis]

    def exact_grams(self, density_g_per_ml: float | None = None) -> Fraction:
        """The mass [g], exactly: of a volume by ``m = V · ρ``, with the density's decimal text.

        Parameters
        ----------
        density_g_per_ml : float, optional
            Density [g/mL]; a mass does not need it.

        Raises
        ------
        QuantityError
            If a volume comes without a density, the density is no density, or pieces are asked for their mass.
        """
        if self.basis == "mass":
            return self.exact
        return self.exact * self._density(density_g_per_ml, "a mass")

    def exact_ml(self, density_g_per_ml: float | None = None) -> Fraction:
        """The volume [mL], exactly: of a mass by ``V = m / ρ``; raises as `exact_grams`, where a density is due."""
        if self.basis == "volume":
            return self.exact
        return self.exact / self._density(density_g_per_ml, "a volume")

    def to_grams(self, density_g_per_ml: float | None = None) -> float:
        """The mass as a float [g]; see `exact_grams`."""
        return float(self.exact_grams(density_g_per_ml))

    def to_ml(self, density_g_per_ml: float | None = None) -> float:
        """The volume as a float [mL]; see `exact_ml`."""
        return float(self.exact_ml(density_g_per_ml))

    def base_units(self, density_g_per_ml: float | None = None) -> int:
        """Whole units that are certainly there: 0.1 g of a mass or a volume, rounded down, or pieces.

        Raises as `exact_grams` does.
        """
        return math.floor(self.exact if self.basis == "pieces" else self.exact_grams(density_g_per_ml) * 10)

    def exact_in(self, unit: str) -> Fraction:
        """The amount in another unit, exactly; QuantityError for one that is unknown or of another basis."""
        basis, name = _unit(unit, unit)
        if basis != self.basis:
            raise QuantityError(f'"{short(self.text)}" is {_a(self.basis)}, and "{unit}" is a unit of {basis}')
        return self.exact / FACTORS[name]

    def _density(self, density: float | None, wanted: str) -> Fraction:
        what = f'"{short(self.text)}"' if self.text else f"{self.value:g} {self.unit}"
        if self.basis == "pieces":
            raise QuantityError(f"{what} counts pieces, which have no density; give {wanted} with its unit")
        if density is None:
            raise QuantityError(
                f"{what} is {_a(self.basis)}, and becomes {wanted} only with a density in g/mL; none is given. "
                f"Give the density, or the amount as {wanted}"
            )
        return check_density(density, what)


def check_density(density_g_per_ml: float, what: str = "this") -> Fraction:
    """A density as an exact fraction of its decimal text [g/mL].

    Raises
    ------
    QuantityError
        If it is no number or lies outside `LEAST_DENSITY` to `MOST_DENSITY`.
    """
    density = exact_number(density_g_per_ml, f"the density of {what} in g/mL")
    if not LEAST_DENSITY <= density <= MOST_DENSITY:
        hint = "; that looks like kg/m³: divide it by 1000" if density > MOST_DENSITY else ""
        raise QuantityError(
            f"a density of {density_g_per_ml} g/mL for {what}: a density lies between {float(LEAST_DENSITY):g} and "
            f"{float(MOST_DENSITY):g} g/mL{hint}"
        )
    return density


def parse_amount(text: str, *, zero_ok: bool = False, bare: str = "") -> Amount:
    """The amount a maker wrote.

    Its number is read as `split_number` does; capitals and blanks of the unit do not matter. Ounces, gallons, quarts,
    pints, cups and spoons are US customary unless ``imp`` stands before them. Factors: NIST Handbook 44 (2023),
    Appendix C (1 lb = 453.59237 g and 1 US gallon = 231 in³ = 3785.411784 mL, exact); imperial: UK Weights and
    Measures Act 1985 (1 gallon = 4546.09 mL, exact).

    Parameters
    ----------
    text : str
        Such as ``8.5 fl oz``, ``1 lb``, ``250 g``, ``1,5 kg``, ``24 pieces``.
    zero_ok : bool
        Whether nothing at all is a fair answer (a film of 0 g).
    bare : {'', 'g', 'pieces'}
        The unit of a number without one, where that is what is asked for; empty where a unit is due.

    Returns
    -------
    Amount

    Raises
    ------
    BasisUnknownError
        If the unit is a bare "oz".
    QuantityError
        If there is no number, no unit, an unknown unit or one that is no amount; if the number is negative, zero,
        ambiguous or beyond `LEAST_AMOUNT` to `MOST_AMOUNT`; if pieces are not whole.
    """
    number, unit = split_number(text, "an amount", "250 g")
    shown = short(text)
    if number < 0:
        raise QuantityError(f'"{shown}" is below zero; an amount is a number above 0 with its unit')
    key = folded(unit) or bare
    if not key:
        raise QuantityError(f'"{shown}" has no unit; write one after the number: {", ".join(SHOWN_UNITS[:8])}')
    if key in BARE_OUNCES:
        mass, volume = number * FACTORS["ounce"], number * FACTORS["fluid_ounce"]
        raise BasisUnknownError(
            f'"{shown}" may be a weight ({float(mass):.4g} g) or a volume ({float(volume):.4g} mL, US): its basis is '
            'unknown. Write "oz wt" for a weight or "fl oz" for a volume, as the pack says',
            float(mass),
            float(volume),
        )
    basis, name = _unit(unit if unit.strip() else bare, text)
    amount = number * FACTORS[name]
    if amount == 0 and zero_ok:
        return Amount(amount, basis, text)
    if amount == 0:
        raise QuantityError(f'"{shown}" is nothing at all; an amount is above 0')
    if basis == "pieces" and amount.denominator != 1:
        raise QuantityError(f'"{shown}": pieces are counted whole')
    if not LEAST_AMOUNT <= amount <= MOST_AMOUNT:
        raise QuantityError(
            f'"{shown}" is {figure_text(amount)} {BASE_UNITS[basis]}; amounts from {float(LEAST_AMOUNT):g} to '
            f"{float(MOST_AMOUNT):,.0f} {BASE_UNITS[basis]} are taken: look at the number and its unit"
        )
    return Amount(amount, basis, text)


def stated_amount(
    amount: float | Fraction | str, what: str, *, pieces: bool = False, bare_grams: bool = False
) -> Amount:
    """What there is of one thing, as a maker states it: a number counts grams or pieces, a text carries its unit.

    Parameters
    ----------
    amount : float, Fraction or str
    what : str
        Whose amount it is, for the message: ``Glycerin on the scale``.
    pieces : bool
        Whether it is a container or a label, which is counted; anything else is weighed or measured.
    bare_grams : bool
        Whether a text without a unit is grams too.

    Raises
    ------
    QuantityError
        If it is no amount, below 0, or pieces where a weight is due or the other way round.
    """
    unit = "pieces" if pieces else "g" if bare_grams else ""
    if isinstance(amount, str):
        try:
            read = parse_amount(amount, zero_ok=True, bare=unit)
        except QuantityError as error:
            raise QuantityError(f"{what}: {error}") from error
    else:
        value = exact_number(amount, what)
        if value < 0:
            raise QuantityError(f"{what}: {float(value):g} {unit or 'g'}; an amount is 0 or more")
        if pieces and value.denominator != 1:
            raise QuantityError(f"{what}: {float(value):g} pieces; pieces are counted whole")
        read = Amount(value, "pieces" if pieces else "mass", f"{float(value):g} {unit or 'g'}")
    if (read.basis == "pieces") != pieces:
        raise QuantityError(
            f'{what}: "{short(read.text)}" is {_a(read.basis)}; '
            + (
                "a container or label is counted in pieces"
                if pieces
                else "an ingredient is weighed or measured, in g or mL, and only containers and labels are counted"
            )
        )
    return read


def _unit(unit: str, text: str) -> tuple[str, str]:
    key = folded(unit)
    if key in UNITS:
        return UNITS[key]
    if re.search(r"[0-9]", key):
        raise QuantityError(
            f'"{short(text)}" holds more than one number; write one amount with one unit: {", ".join(SHOWN_UNITS[:8])}'
        )
    fault = (
        'is a weight ("oz wt") or a volume ("fl oz")'
        if key in BARE_OUNCES
        else NO_AMOUNT.get(key, "is no unit known here")
    )
    raise QuantityError(
        f'"{short(text)}": "{short(unit)}" {fault}; an amount is a mass, a volume or a number of pieces: '
        f"{near_miss(unit.strip(), SHOWN_UNITS)}"
    )


def figure_text(number: Fraction) -> str:
    """A number to four figures, to say how far out of range it is."""
    return f"{float(number):.4g}" if abs(number) < 10**300 else "far too many"


def _a(basis: str) -> str:
    return "a number of pieces" if basis == "pieces" else f"a {basis}"
