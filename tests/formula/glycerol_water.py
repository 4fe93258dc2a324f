"""Density and viscosity of glycerol and water, by published formulas and only where they hold: a textbook check of the
additive rule, which no room of the workbook asks."""

from __future__ import annotations

import math

from maker_kit.errors import QuantityError
from maker_kit.units import exact_number

DENSITY_CELSIUS = (15.0, 30.0)
"""Where the density formula holds [°C]."""
VISCOSITY_CELSIUS = (0.0, 100.0)
"""Where the viscosity formula holds [°C]."""
VISCOSITY_ERROR = 0.05
"""How far the viscosity formula may be off what was measured, as a share.

The abstract of the paper says that it compares well with three sets of measured values, and no figure (read); about 5 %
is from memory. Of the 80 values that Segur and Oberstar 1951 measured from 0 to 40 °C it misses the worst by 3.5 %.
"""


def glycerol_water_density(glycerol_fraction: float, temperature_c: float) -> float:
    """Density of glycerol in water [g/mL].

    ``ρ = κ · (φ·ρ_g + (1 − φ)·ρ_w)`` with the volume share `φ` of the glycerol before mixing,
    ``ρ_g = 1273.3 − 0.6121·t``, ``ρ_w = 1000·(1 − |(t − 3.98)/615|^1.71)`` [kg/m³] and the contraction
    ``κ = 1 + c·sin(π·w^1.31)^0.81``, ``c = 1.78·10⁻⁶·t² − 1.82·10⁻⁴·t + 1.41·10⁻²``.
    Volk and Kähler 2018, Exp. Fluids 59:75. Holds from 15 to 30 °C and for every share of glycerol.

    Parameters
    ----------
    glycerol_fraction : float
        Share of glycerol by mass, 0 to 1.
    temperature_c : float
        [°C].

    Returns
    -------
    float

    Raises
    ------
    QuantityError
        Outside that range.
    """
    w, t = _within(glycerol_fraction, temperature_c, DENSITY_CELSIUS, "density")
    glycerol, water = 1273.3 - 0.6121 * t, 1000 * (1 - abs((t - 3.98) / 615) ** 1.71)
    volume = w / glycerol / (w / glycerol + (1 - w) / water)
    wave = max(math.sin(math.pi * w**1.31), 0.0)
    kappa = 1 + (1.78e-6 * t**2 - 1.82e-4 * t + 1.41e-2) * wave**0.81
    return kappa * (volume * glycerol + (1 - volume) * water) / 1000


def glycerol_water_viscosity(glycerol_fraction: float, temperature_c: float) -> float:
    """Viscosity of glycerol in water [mPa·s].

    ``μ = μ_w^α · μ_g^(1−α)`` with ``α = 1 − w + a·b·w·(1 − w) / (a·w + b·(1 − w))``,
    ``a = 0.705 − 0.0017·t``, ``b = (4.9 + 0.036·t)·a^2.5``,
    ``μ_w = 1.790·exp((−1230 − t)·t / (36100 + 360·t))`` and
    ``μ_g = 12100·exp((−1233 + t)·t / (9900 + 70·t))``. Cheng 2008, Ind. Eng. Chem. Res. 47:3285.
    Holds from 0 to 100 °C and for every share of glycerol, within `VISCOSITY_ERROR` of what was measured;
    up to 7 % from the fits of Melinder 2010, at 60 % glycerol and 15 °C. Coefficients read in
    open-source programs that carry them.

    Parameters
    ----------
    glycerol_fraction : float
        Share of glycerol by mass, 0 to 1.
    temperature_c : float
        [°C].

    Returns
    -------
    float

    Raises
    ------
    QuantityError
        Outside that range.
    """
    w, t = _within(glycerol_fraction, temperature_c, VISCOSITY_CELSIUS, "viscosity")
    water, glycerol = (
        1.790 * math.exp((-1230 - t) * t / (36100 + 360 * t)),
        12100 * math.exp((-1233 + t) * t / (9900 + 70 * t)),
    )
    a = 0.705 - 0.0017 * t
    b = (4.9 + 0.036 * t) * a**2.5
    alpha = 1 - w + a * b * w * (1 - w) / (a * w + b * (1 - w))
    return water**alpha * glycerol ** (1 - alpha)


def _within(fraction: float, celsius: float, span: tuple[float, float], what: str) -> tuple[float, float]:
    w, t = (
        float(exact_number(fraction, "the share of glycerol by mass")),
        float(exact_number(celsius, "the temperature in °C")),
    )
    if not 0 <= w <= 1:
        msg = f"a share of glycerol of {w:g}: it lies from 0 to 1 by mass" + (
            "; that looks like percent: divide it by 100" if 1 < w <= 100 else ""
        )
        raise QuantityError(msg)
    if not span[0] <= t <= span[1]:
        msg = (
            f"the {what} of glycerol and water at {t:g} °C is not told: the formula holds from {span[0]:g} to "
            f"{span[1]:g} °C; measure it"
        )
        raise QuantityError(msg)
    return w, t
