"""Is enough in them? The mean and the lowest of a few weighed fills against the content that the label states.

Two different faults: a mean below the stated content, even where each container is within what it may lack; and one
container that lacks more than it may.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

import pandas as pd

from maker_kit.errors import QuantityError
from maker_kit.findings import Finding, know, look, stop
from maker_kit.formula.changes.standing import allowance
from maker_kit.numbers import number_text
from maker_kit.student import two_sided_t
from maker_kit.units import Amount

LEAST, MOST = 3, 10_000
"""Fewer fills tell no mean."""
MEAN = {
    "EU": "Directive 76/211/EEC, Annex I, 1.1: the contents are on average not less than stated (read at "
    "legislation.gov.uk)",
    "US": "NIST Handbook 133, section 1.2: the average is not less than stated; from memory",
}
"""Market to the rule on the mean."""


@dataclass(frozen=True)
class FillCheck:
    """Fills against the stated content.

    Attributes
    ----------
    masses_g : tuple of float
        As weighed, without the container [g].
    target_g : float
        The stated content [g].
    density_g_per_ml : float
        [g/mL]
    may_lack_g : float or None
        What one container may lack [g]; None where no rule is on file.
    mean_g, lowest_g, spread_g : float
        Mean, lowest and standard deviation [g].
    may_fill_g : float
        The mass to aim at so that the mean is surely enough: the target and the half width of the interval of 95 % of
        the mean (Student's t) [g].
    findings : tuple of Finding
    """

    masses_g: tuple[float, ...]
    target_g: float
    density_g_per_ml: float
    may_lack_g: float | None
    mean_g: float
    lowest_g: float
    spread_g: float
    may_fill_g: float
    findings: tuple[Finding, ...]

    @property
    def lacking(self) -> tuple[int, ...]:
        """Numbers of the containers that lack more than one may."""
        return _lacking(self.masses_g, self.target_g, self.may_lack_g)

    def to_frame(self) -> pd.DataFrame:
        """One row a container: number, g, mL, and what it lacks [g]."""
        rows = [
            (k, m, round(m / self.density_g_per_ml, 1), max(0.0, round(self.target_g - m, 3)))
            for k, m in enumerate(self.masses_g, 1)
        ]
        return pd.DataFrame(rows, columns=["container", "g", "mL", "lacks g"])


def _lacking(masses: Sequence[float], target: float, may_lack: float | None) -> tuple[int, ...]:
    return tuple(k for k, m in enumerate(masses, 1) if may_lack is not None and m < target - may_lack - 1e-9)


def check_fills(masses_g: Sequence[float], nominal: Amount, density_g_per_ml: float, market: str = "EU") -> FillCheck:
    """Judge weighed fills.

    Parameters
    ----------
    masses_g : sequence of float
        Three to ten, or all: content without the container [g].
    nominal : Amount
        The content that the label states.
    density_g_per_ml : float
        Of the product as filled [g/mL].
    market : {'EU', 'US'}

    Returns
    -------
    FillCheck
        Its findings: ``fill.mean`` (stop): the mean is below the stated content; ``fill.single`` (stop): one lacks more
        than it may; ``fill.no_rule`` (look): what one may lack is not on file; ``fill.few`` (look): the mean may well
        be below; ``fill.enough`` (know).

    Raises
    ------
    QuantityError
        If there are fewer than three, or one is no mass.
    """
    masses = tuple(float(m) for m in masses_g)
    if len(masses) < LEAST:
        raise QuantityError(f"weigh at least {LEAST} containers (ten are better), not {len(masses)}")
    if len(masses) > MOST:
        raise QuantityError(f"{len(masses)} fills are more than {MOST}: was something else pasted?")
    if not all(math.isfinite(m) and m > 0 for m in masses):
        raise QuantityError("every fill has to be a mass above 0 g, without the container")
    if not (math.isfinite(density_g_per_ml) and 0.2 <= density_g_per_ml <= 3):
        raise QuantityError(
            f"{number_text(density_g_per_ml)} g/mL is no density of such a product; weigh a full measure"
        )
    by_volume = nominal.basis == "volume"
    target = nominal.value * density_g_per_ml if by_volume else nominal.value
    lacks = allowance(nominal, market)
    may_lack = None if lacks.amount is None else float(lacks.amount) * (density_g_per_ml if by_volume else 1)
    mean, lowest, spread = statistics.fmean(masses), min(masses), statistics.stdev(masses)
    half = two_sided_t(len(masses) - 1, 0.95) * spread / math.sqrt(len(masses))
    found: list[Finding] = []
    rule = MEAN.get(market, MEAN["EU"])

    def said(grams: float) -> str:
        more = f" ({grams / density_g_per_ml:.1f} mL)" if by_volume else ""
        return f"{grams:.2f} g{more}"

    if mean < target - 1e-9:
        text = f"The mean is {said(mean)}, below the stated {said(target)}: the batch is underfilled as a whole."
        step = f"Fill up, or aim at {said(target + half)} the next time."
        found.append(
            stop("fill.mean", "mean", text, level="under", next_step=step, source=MEAN.get(market, MEAN["EU"]))
        )
    elif mean - half < target:
        text = (
            f"The mean of {len(masses)} is {said(mean)}; with so few, that of all may be below the stated "
            f"{said(target)}."
        )
        found.append(look("fill.few", "mean", text, level="near", next_step="Weigh more of them, up to all."))
    low = _lacking(masses, target, may_lack)
    if low:
        worst = min(low, key=lambda k: masses[k - 1])
        text = (
            f"Container {worst} holds {said(masses[worst - 1])}: it lacks more than the {said(may_lack)} that one may."
        )
        more = f" So do {len(low) - 1} others." if len(low) > 1 else ""
        found.append(
            stop(
                "fill.single",
                f"container {worst}",
                text + more,
                level="under",
                next_step="Fill it up.",
                source=lacks.source,
            )
        )
    if may_lack is None:
        text = f"What one container of {number_text(nominal.value)} may lack is not on file for this market."
        step = "Ask your weights and measures office."
        found.append(look("fill.no_rule", "container", text, level="unknown", next_step=step, source=lacks.source))
    if not found:
        text = f"Mean {said(mean)}, lowest {said(lowest)}: not below the stated {said(target)} on average."
        found.append(know("fill.enough", "mean", text, level="fine", source=rule))
    return FillCheck(masses, target, density_g_per_ml, may_lack, mean, lowest, spread, target + half, tuple(found))
