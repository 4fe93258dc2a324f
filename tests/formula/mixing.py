"""Textbook rules of mixing that no room of the workbook needs yet: alligation, the strength of a mixture, a weaker lot,
the scarcest of several.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction

from maker_kit.errors import QuantityError
from maker_kit.units import exact_number


def alligation(strength_high: float, strength_low: float, target: float, total: float) -> tuple[float, float]:
    """How much of a stronger and a weaker lot make a total of the wanted strength.

    ``high = total · (target − low) / (strong − low)`` and ``low = total − high``: the mass of what counts is
    the same before and after. Strengths and total have to count the same way (by mass); good for any strengths from 0
    to 100 %. Worked examples: OpenStax, Intermediate Algebra 2e, sections 4.3 and 4.7.

    Parameters
    ----------
    strength_high, strength_low, target : float
        Strengths [%].
    total : float
        Mass to make [g]; the parts come in the same unit.

    Returns
    -------
    tuple of float
        Of the stronger lot, of the weaker lot [g].

    Raises
    ------
    QuantityError
        If a strength is not within 0 to 100 %, the two are equal or the wrong way round, the target lies outside them,
        or the total is not above 0.
    """
    high, low, wanted = (_strength(s) for s in (strength_high, strength_low, target))
    mass = exact_number(total, "the total to make")
    if mass <= 0:
        msg = f"a total of {float(mass):g}: write what is to be made, above 0"
        raise QuantityError(msg)
    if high <= low:
        msg = (
            f"the stronger lot has {float(high):g} % and the weaker {float(low):g} %; write two different "
            f"strengths, the stronger one first"
        )
        raise QuantityError(msg)
    if not low <= wanted <= high:
        msg = (
            f"{float(wanted):g} % lies outside the two lots ({float(low):g} to {float(high):g} %): no mixture "
            f"of them reaches it"
        )
        raise QuantityError(msg)
    part = mass * (wanted - low) / (high - low)
    return float(part), float(mass - part)


def mixture_strength(parts: Iterable[tuple[float, float]]) -> float:
    """The strength of a mixture [%]: ``Σ(amount · strength) / Σ amount``.

    Parameters
    ----------
    parts : iterable of (float, float)
        Amount [g] and strength [%] of each part.

    Raises
    ------
    QuantityError
        If an amount is below 0, all are 0, or a strength is not within 0 to 100 %.
    """
    rows = [(exact_number(amount, "the amount of a part"), _strength(strength)) for amount, strength in parts]
    if any(amount < 0 for amount, _ in rows) or not sum(amount for amount, _ in rows):
        msg = "a mixture needs parts of 0 or more, and one of them above 0"
        raise QuantityError(msg)
    return float(sum((a * s for a, s in rows), Fraction(0)) / sum((a for a, _ in rows), Fraction(0)))


def weaker_lot(need_g: float, lot_percent: float) -> tuple[float, float]:
    """How much of a lot that is not full strength brings the wanted mass, and what the water (or other balance) falls
    by.

    ``lot = need / (strength / 100)``, ``less water = lot − need``; proportion.

    Parameters
    ----------
    need_g : float
        Mass of what counts [g].
    lot_percent : float
        Strength of the lot [%], above 0.

    Returns
    -------
    tuple of float
        Mass of the lot, and by how much the balance falls [g].

    Raises
    ------
    QuantityError
        If the need is below 0 or the strength is not above 0 and at most 100 %.
    """
    need, strength = exact_number(need_g, "the mass needed in g"), _strength(lot_percent)
    if need < 0 or not strength:
        msg = (
            f"{float(need):g} g from a lot of {float(strength):g} %: a need is 0 g or more, and a lot's "
            f"strength is above 0 %"
        )
        raise QuantityError(msg)
    lot = need * 100 / strength
    return float(lot), float(lot - need)


def scarcest(need_g: Mapping[str, float], have_g: Mapping[str, float]) -> tuple[str, float]:
    """Which ingredient runs out first, and the factor by which everything shrinks.

    ``factor = min(have / need)`` over what is named in both; proportion. A batch of 1000 g that needs 20 g of something
    of which 12 g are there shrinks by 0.6, to 600 g.

    Returns
    -------
    tuple of (str, float)

    Raises
    ------
    QuantityError
        If a figure is no number or below 0, or nothing that is needed is named among what is there.
    """
    ratios = {}
    for name, need in need_g.items():
        if name in have_g:
            wanted, there = (
                exact_number(need, f"the need of {name} in g"),
                exact_number(have_g[name], f"what is there of {name} in g"),
            )
            if wanted < 0 or there < 0:
                msg = f"{name}: need {float(wanted):g} g, have {float(there):g} g; both are 0 g or more"
                raise QuantityError(msg)
            if wanted:
                ratios[name] = there / wanted
    if not ratios:
        msg = f"nothing that is needed is among what is there; needed: {', '.join(need_g) or 'nothing'}"
        raise QuantityError(msg)
    first = min(ratios, key=lambda name: ratios[name])
    return first, float(ratios[first])


def _strength(percent: float) -> Fraction:
    strength = exact_number(percent, "a strength in %")
    if not 0 <= strength <= 100:
        msg = f"a strength of {float(strength):g} %: a strength lies between 0 and 100 %"
        raise QuantityError(msg)
    return strength
