"""How much of each acid of a recipe is undissociated (works) from pH 3 to 9, as a strip to look at, with the product's
band and what was read.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

import pandas as pd

from maker_kit.errors import QuantityError
from maker_kit.formula.preservation.ph_reading import PhReading, check_reading
from maker_kit.formula.preservation.undissociated import check_ph, preservation_rows, undissociated_fraction
from maker_kit.formula.recipe import Recipe
from maker_kit.numbers import exact_number

FORMULA = "undissociated share = 1 / (1 + 10^(pH − pKa)), Henderson and Hasselbalch, for dilute solutions in water"
MOST_STEPS = 10_000


@dataclass(frozen=True)
class PhStripRow:
    """One acid at one pH.

    Attributes
    ----------
    acid : str
    pka : float
    ph : float
    share_percent : float
        Share of the acid that is undissociated, the part that works [%].
    total_percent : float or None
        Least of the acid in the product, counted as acid [% of the whole]; None where nobody has told.
    undissociated_percent : float or None
        That much undissociated [% of the whole].
    """

    acid: str
    pka: float
    ph: float
    share_percent: float
    total_percent: float | None
    undissociated_percent: float | None


@dataclass(frozen=True)
class PhStrip:
    """The strip of a recipe.

    Attributes
    ----------
    rows : tuple of PhStripRow
        Acid by acid, by rising pH.
    band_low, band_high : float or None
        The product's band.
    ph_read : float or None
        What was read.
    read_low, read_high : float or None
        How far that may be off by its tool; None where the tool is not told.
    trusted_to : tuple of (str, float)
        Highest pH that common practice trusts an acid to, where one is on file (common practice, no source).
    unknown : tuple of str
        Acids without a pKa on file: how much of them is undissociated is unknown at every pH.
    sources : tuple of str
    """

    rows: tuple[PhStripRow, ...]
    band_low: float | None
    band_high: float | None
    ph_read: float | None
    read_low: float | None
    read_high: float | None
    trusted_to: tuple[tuple[str, float], ...]
    unknown: tuple[str, ...]
    sources: tuple[str, ...]

    @property
    def acids(self) -> tuple[str, ...]:
        """The acids of the strip."""
        return tuple(dict.fromkeys(row.acid for row in self.rows))

    def at_reading(self) -> tuple[PhStripRow, ...]:
        """Each acid at the pH that was read; empty without a reading."""
        if self.ph_read is None:
            return ()
        first = {row.acid: row for row in reversed(self.rows)}
        return tuple(_row(acid, first[acid].pka, self.ph_read, first[acid].total_percent) for acid in self.acids)

    def to_frame(self) -> pd.DataFrame:
        """One row an acid and pH: acid, pKa, pH, undissociated share [%], total and undissociated [% of the whole],
        whether the pH lies in the product's band.
        """
        table = [
            (r.acid, r.pka, r.ph, r.share_percent, r.total_percent, r.undissociated_percent, self._in_band(r.ph))
            for r in self.rows
        ]
        names = ["acid", "pKa", "pH", "undissociated share %", "total %", "undissociated %", "in the band"]
        return pd.DataFrame(table, columns=names).astype({"total %": "Float64", "undissociated %": "Float64"})

    def _in_band(self, ph: float) -> str:
        if self.band_low is None and self.band_high is None:
            return "no band"
        return (
            "yes"
            if (self.band_low is None or ph >= self.band_low) and (self.band_high is None or ph <= self.band_high)
            else "no"
        )


def ph_strip(
    recipe: Recipe, reading: PhReading | None = None, low: float = 3.0, high: float = 9.0, step: float = 0.1
) -> PhStrip:
    """The undissociated share of each acid of a recipe over a range of pH.

    ``share = 1 / (1 + 10^(pH − pKa))`` (Henderson and Hasselbalch, for dilute solutions in water), at every step of
    the pH; the amounts are the least that the suppliers say. The pH of the product is only ever a reading.

    Parameters
    ----------
    recipe : Recipe
    reading : PhReading, optional
        Counts instead of the recipe's own reading.
    low, high, step : float
        Range and step of the pH.

    Returns
    -------
    PhStrip

    Raises
    ------
    QuantityError
        If a pH lies outside 0 to 14, the range runs backwards, or the step is not above 0.
    RecipeError
        If a composition is impossible.
    """
    start, end, by = (
        exact_number(v, w)
        for v, w in (
            (check_ph(low, "the low end"), "the low end"),
            (check_ph(high, "the high end"), "the high end"),
            (step, "the step of the pH"),
        )
    )
    if start > end or by <= 0 or (end - start) / by > MOST_STEPS:
        raise QuantityError(
            f"a strip from pH {low:g} to {high:g} by {step:g}: the lower end comes first, and the step is above 0 "
            f"and not finer than 1/{MOST_STEPS} of the range"
        )
    ph_read = recipe.ph_read if reading is None else check_reading(reading).ph
    marks = [float(start + k * by) for k in range(math.floor((end - start) / by) + 1)]
    marks += [] if Fraction(str(marks[-1])) == end else [float(end)]
    rows: list[PhStripRow] = []
    unknown: list[str] = []
    trusted: list[tuple[str, float]] = []
    sources: list[str] = [FORMULA]
    for found in preservation_rows(recipe):
        if not found.acid:
            continue
        known = found.figures
        sources += [f"{found.substance}: {source}" for source in known.sources]
        if known.pka is None:
            unknown.append(found.substance)
            continue
        rows += [_row(found.substance, known.pka, ph, found.total_percent) for ph in marks]
        if known.works_to_ph is not None:
            trusted.append((found.substance, known.works_to_ph))
    return PhStrip(
        tuple(rows),
        recipe.ph_low,
        recipe.ph_high,
        ph_read,
        None if reading is None else reading.low,
        None if reading is None else reading.high,
        tuple(trusted),
        tuple(unknown),
        tuple(dict.fromkeys(sources)),
    )


def _row(acid: str, pka: float, ph: float, total: float | None) -> PhStripRow:
    share = undissociated_fraction(ph, pka)
    return PhStripRow(acid, pka, ph, 100 * share, total, None if total is None else total * share)
