"""Limits of substances: what is allowed where, how it is counted, who says so."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Limit:
    """Most of a substance in a finished product.

    Attributes
    ----------
    substance : str
        Name as the table has it, such as ``Benzoic acid / sodium benzoate``.
    most_percent : float or None
        Most in the finished product [% by mass, counted as `counted_as` says]; None where the table names the substance without a figure: unknown.
    members : tuple of (str, float)
        INCI names it counts, each with the factor that converts the mass as supplied to how the limit counts it (0.84746 for sodium benzoate as benzoic acid).
    counted_as : str
        ``as supplied``, ``as acid``, ``as active`` and so on.
    applies : {'all', 'rinse-off', 'leave-on'}
    category : str
        Category of the IFRA Standards it is for; empty for a limit that is not by category.
    kind : {'law', 'standard', 'certificate', 'supplier', 'practice'}
    region : str
        Where a law holds (``EU``); empty for what is no law.
    conditions : str
        The rest of its scope in the table's words ("not in spray dispensers").
    unrestricted : bool
        The table says "no restriction" for this category.
    amendment, date, source, checked : str
        Amendment or regulation, date of the reading, title and section, and how it was checked (read, computed, from memory).
    """

    substance: str
    most_percent: float | None
    members: tuple[tuple[str, float], ...] = ()
    counted_as: str = "as supplied"
    applies: str = "all"
    category: str = ""
    kind: str = "law"
    region: str = ""
    conditions: str = ""
    unrestricted: bool = False
    amendment: str = ""
    date: str = ""
    source: str = ""
    checked: str = ""
