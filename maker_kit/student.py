"""Student's t, two-sided, by scipy's special functions: scipy.stats takes ten times as long to be fetched."""

from __future__ import annotations


def two_sided_p(t: float, degrees_of_freedom: float) -> float:
    """How likely a value lies as far from zero as t, or farther.

    Parameters
    ----------
    t : float
    degrees_of_freedom : float
        Above 0.

    Returns
    -------
    float
    """
    from scipy.special import stdtr

    return 2 * float(stdtr(degrees_of_freedom, -abs(t)))


def two_sided_t(degrees_of_freedom: float, trust: float) -> float:
    """The t between which and −t a value lies with so much trust; negative where that is.

    Parameters
    ----------
    degrees_of_freedom : float
        Above 0.
    trust : float
        Above −1 and below 1.

    Returns
    -------
    float
    """
    from scipy.special import stdtrit

    return float(stdtrit(degrees_of_freedom, (1 + trust) / 2))
