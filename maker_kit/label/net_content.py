"""Net content in two units, neither overstated; how high its letters must be; what to fill; what a pack may lack."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction

import pandas as pd

from maker_kit.amount_text import FACTORS
from maker_kit.errors import LabelError, QuantityError
from maker_kit.findings import Finding, know, look
from maker_kit.formula.changes.standing import Allowance, allowance
from maker_kit.label.letter_height import SOURCES, letter_height
from maker_kit.numbers import number_text, plain_text
from maker_kit.units import Amount, check_density, parse_amount

HUNDREDTH = Fraction(1, 100)
FLOWING = frozenset({"liquid"})
THICK = frozenset({"solid", "semisolid", "thick"})
"""What is told by weight in the US: solid, semisolid or viscous (21 CFR 701.13, from memory)."""
_UNITS = {"mass": ("ounce", "oz", "g"), "volume": ("fluid_ounce", "fl oz", "mL")}
_LARGE = {
    "mass": ((Fraction(16), "lb"),),
    "volume": ((Fraction(128), "gal"), (Fraction(32), "qt"), (Fraction(16), "pt")),
}
_LARGE_ALONE = {"mass": Fraction(64), "volume": Fraction(128)}
"""From here on, 4 lb or a gallon, the largest whole units stand alone [oz or fl oz] (21 CFR 701.13, from memory)."""


@dataclass(frozen=True)
class NetContent:
    """What to print, and what to fill.

    Attributes
    ----------
    basis : {'mass', 'volume'}
    metric, customary : Fraction
        In g or mL and in ounces of weight or US fluid ounces, each rounded down.
    nominal : Fraction
        What is meant to be in the pack [g or mL], exactly.
    text : str
        What to print for the market.
    fill_g : float or None
        What to fill on average, at least [g]; None for a volume without a density.
    may_lack : Allowance
        By how much a single pack may hold less.
    letter_mm : Fraction or None
        Least height of its letters [mm]; None where the area of the panel is not known.
    letter_source : str
    findings : tuple of Finding
    """

    basis: str
    metric: Fraction
    customary: Fraction
    nominal: Fraction
    text: str
    fill_g: float | None
    may_lack: Allowance
    letter_mm: Fraction | None
    letter_source: str
    findings: tuple[Finding, ...]

    def to_frame(self) -> pd.DataFrame:
        """What, figure and unit, one a row."""
        unit = _UNITS[self.basis][2]
        lack = self.may_lack.amount
        rows = [
            ("printed", self.text, ""),
            ("metric, rounded down", plain_text(self.metric), unit),
            ("customary, rounded down", plain_text(self.customary), _UNITS[self.basis][1]),
            ("fill on average at least", "unknown" if self.fill_g is None else f"{self.fill_g:.2f}", "g"),
            ("one pack may lack", "unknown" if lack is None else number_text(lack), unit),
            ("letters at least", "unknown" if self.letter_mm is None else number_text(self.letter_mm), "mm"),
        ]
        return pd.DataFrame(rows, columns=["what", "figure", "unit"])


def equivalent(amount: Amount) -> Fraction:
    """The same amount in the other system, rounded down so that it never overstates.

    Whole g or mL of what is told in ounces, hundredths of an ounce of what is told in g or mL; exact factors of NIST
    Handbook 44, Appendix C.

    Parameters
    ----------
    amount : Amount
        As the pack tells it; its text says in which system.

    Returns
    -------
    Fraction
        [g or mL], or [oz or US fl oz].
    """
    if amount.basis == "pieces":
        raise QuantityError(f'"{amount.text}" counts pieces; a net content is a mass or a volume')
    if _is_customary(amount.text):
        return Fraction(math.floor(amount.exact))
    factor = FACTORS[_UNITS[amount.basis][0]]
    return math.floor(amount.exact / factor / HUNDREDTH) * HUNDREDTH


def _is_customary(text: str) -> bool:
    return re.search(r"(?i)\b(?:oz|ounces?|lbs?|pounds?|gal|gallons?|qts?|quarts?|pts?|pints?|fl)\b", text) is not None


def net_content(
    declared: str,
    market: str = "EU",
    *,
    kind: str = "",
    density_g_per_ml: float | None = None,
    panel_cm2: float | None = None,
) -> NetContent:
    """What to print for a net content, and what to fill.

    Parameters
    ----------
    declared : str
        As the maker means it: ``250 mL``, ``8.45 fl oz``, ``50 g``.
    market : {'EU', 'US'}
    kind : {'', 'liquid', 'thick', 'semisolid', 'solid'}
        A liquid is told by volume, what is solid or thick by weight; asked about where it is not told.
    density_g_per_ml : float, optional
        As it was measured [g/mL].
    panel_cm2 : float, optional
        Area of the main panel [cm²], for the height of letters in the US; see `panel_area_cm2`.

    Returns
    -------
    NetContent

    Raises
    ------
    LabelError
        If the market or the kind is unknown.
    QuantityError
        If the amount cannot be read, or counts pieces.
    """
    if market not in SOURCES:
        raise LabelError(f'the market is "{market}", and the rules on file are those of {" and ".join(SOURCES)}')
    if kind not in {"", *FLOWING, *THICK}:
        raise LabelError(f'"{kind}" is no kind of content; it is one of {", ".join(sorted(FLOWING | THICK))}')
    amount = parse_amount(declared)
    other = equivalent(amount)
    unit, short_unit, metric_unit = _UNITS[amount.basis]
    if _is_customary(amount.text):
        metric, customary = other, math.floor(amount.exact / FACTORS[unit] / HUNDREDTH) * HUNDREDTH
    else:
        metric, customary = amount.exact, other
    text = f"{plain_text(metric)} {metric_unit}"
    if market == "US":
        mark = "Net Wt " if amount.basis == "mass" else ""
        large = _large(customary, amount.basis)
        ounces = f"{plain_text(customary)} {short_unit}" + (f" ({large})" if large else "")
        told = large if customary >= _LARGE_ALONE[amount.basis] else ounces
        text = f"{mark}{told} ({_up_to_a_thousand(metric, metric_unit)})"
    fill = None
    if amount.basis == "mass" or density_g_per_ml is not None:
        fill = float(amount.exact * (1 if amount.basis == "mass" else check_density(density_g_per_ml)))
    letter, source = letter_height(market, amount.exact, panel_cm2)
    lack = allowance(amount, market)
    findings = [*_basis_fits(amount.basis, kind, market)]
    if fill is None:
        told = "The fill in grams is unknown: a volume needs a density that was measured."
        findings.append(
            look("label.fill_unknown", "net content", told, level="unknown", next_step="Weigh a known volume.")
        )
    if letter is None:
        told = "The least height of the letters is unknown until the area of the main panel is told."
        findings.append(
            look(
                "label.panel_unknown",
                "net content",
                told,
                level="unknown",
                next_step="Measure height and girth.",
                source=source,
            )
        )
    if lack.amount is None:
        findings.append(
            know(
                "label.lack_unknown",
                "net content",
                "What one pack may lack is not on file.",
                level="unknown",
                source=lack.source,
            )
        )
    return NetContent(amount.basis, metric, customary, amount.exact, text, fill, lack, letter, source, tuple(findings))


def _large(customary: Fraction, basis: str) -> str:
    """In the largest whole units, the rest in ounces; empty under a pound or a pint."""
    said, rest = [], customary
    for size, name in _LARGE[basis]:
        whole, rest = divmod(rest, size)
        said += [f"{whole} {name}"] if whole else []
    if said and rest:
        said.append(f"{plain_text(rest)} {'oz' if basis == 'mass' else 'fl oz'}")
    return " ".join(said)


def _up_to_a_thousand(metric: Fraction, unit: str) -> str:
    """Thousands of g or mL in kg or L, hundredths rounded down (NIST Handbook 130, rule of 1000, from memory)."""
    if metric < 1000:
        return f"{plain_text(metric)} {unit}"
    return f"{plain_text(math.floor(metric / 1000 / HUNDREDTH) * HUNDREDTH)} {'kg' if unit == 'g' else 'L'}"


def _basis_fits(basis: str, kind: str, market: str) -> list[Finding]:
    source = SOURCES[market]
    if not kind:
        told = "Is it a liquid, or solid or thick? A liquid is told by volume, the others by weight."
        return (
            [look("label.kind_unknown", "net content", told, level="unknown", source=source)] if market == "US" else []
        )
    due = "volume" if kind in FLOWING else "mass"
    if due == basis or market != "US":
        return []
    told = (
        f"A {kind} product is told by {'fluid measure' if due == 'volume' else 'weight'} here, and this is the other."
    )
    return [look("label.net_basis", "net content", told, next_step="Declare it the other way.", source=source)]
