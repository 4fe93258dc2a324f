"""What a product is filled into."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Container:
    """Something that is filled.

    Attributes
    ----------
    name : str
    kind : str
        ``foamer``, ``jar``, ``pump``, ``tin``, ``bottle`` or ``spray``.
    nominal_ml, brim_ml : float
        Nominal content, and content to the brim [mL].
    mass_g : float
        Empty [g].
    """

    name: str
    kind: str
    nominal_ml: float
    brim_ml: float
    mass_g: float
