"""What kind of product a shop's list looks like, and whether that fits what it is called: rules of the trade, written
down; common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from maker_kit.findings import PRACTICE, Finding, know, look
from maker_kit.label.label_text import INSIDE
from maker_kit.label.order.bounds import together
from maker_kit.label.reading import LabelReading
from maker_kit.label.roles import is_oily, is_soap, role_of
from maker_kit.names import name_key
from maker_kit.numbers import number_text

GEL_LEVEL = Fraction(2, 10)
"""Least of a gel former that makes a gel of water [%] (common practice, no source)."""
LOTION_OIL = Fraction(3)
"""Least oil phase of what is called a lotion or cream [%] (common practice, no source)."""
WATERS = frozenset({"water", "floral water"})
DRY = frozenset({"salt", "starch or flour", "mineral or clay", "sugar"})
CALLED = {
    "balm or oil": ("balm", "oil", "butter", "salve", "stick", "ointment", "deodorant"),
    "powder, salts or scrub": ("powder", "salt", "scrub", "bomb", "soak", "polish", "mask", "talc", "deodorant"),
    "spirit, such as a perfume": ("perfume", "parfum", "cologne", "mist", "spray", "toilette", "tonic", "lotion"),
    "bar of soap or surfactant": ("soap", "bar", "solid", "shampoo"),
    "paste or mask": ("paste", "mask", "mud", "clay", "scrub"),
    "wash": ("wash", "shampoo", "soap", "foam", "gel", "shower", "cleanser"),
    "lotion or cream": ("lotion", "cream", "milk", "conditioner"),
    "gel cream": ("gel", "cream"),
    "gel": ("gel", "serum"),
    "water": ("water", "toner", "tonic", "mist", "spray"),
}
"""What each kind may be called (common practice, no source)."""


@dataclass(frozen=True)
class _Names:
    """The names of a list with what they do."""

    reading: LabelReading

    @cached_property
    def roles(self) -> dict[str, str]:
        """Name to what it does, of what stands in the list by itself."""
        return {r.name: role_of(r.name) for r in self.reading.rows if r.role != INSIDE}

    @cached_property
    def oils(self) -> list[str]:
        """What makes an oil phase."""
        return [n for n in self.roles if is_oily(n)]

    @cached_property
    def gel_formers(self) -> list[str]:
        """Gums that may be at gel level."""
        return [n for n, role in self.roles.items() if role == "gum" and self.most([n]) >= GEL_LEVEL]

    def most(self, names: list[str]) -> Fraction:
        """Most of several names together [%]; all where the label contradicts itself."""
        found = self.reading.bounds or self.reading.bare
        return together(found.order, names)[1].exact if found and names else Fraction(100 if names else 0)

    def holds_early(self, roles: frozenset[str], count: int) -> bool:
        """Whether one of the first names does one of these."""
        return any(role in roles for role in list(self.roles.values())[:count])


def kind_of(reading: LabelReading, called: str = "") -> tuple[Finding, ...]:
    """What kind of product a list looks like, and whether that fits what it is called. Common practice, no source.

    Rules, the first that holds: no water among the first three names: salts, starch, clay or sugar first, a powder or
    scrub; else a surfactant first, a bar; alcohol first, a perfume; else a balm or an oil. With water: a surfactant
    first, a bar; among the first four, a wash; clay among the first two, a paste; alcohol first, a perfume; an oil
    phase that may be 3 % or more, a lotion or cream (a gel cream, where nothing emulsifies and a gel former may be at
    gel level); a gel former that may be 0.2 % or more, a gel; neither, a water.

    Parameters
    ----------
    reading : LabelReading
    called : str
        What the pack calls it: ``gel``, ``lotion``, ``wash`` and so on.

    Returns
    -------
    tuple of Finding
    """
    kind, why = _kind(_Names(reading))
    found = [know("label.kind", "kind", f"By its list expect a {kind}: {why}.", source=PRACTICE)]
    if called.strip() and not any(word in name_key(called) for word in CALLED[kind]):
        told = f'It is called "{called.strip()}", and its list looks like a {kind}: {why}.'
        step = "Look at it: does it pour, hold a peak, foam? A list cannot tell."
        found.append(look("label.kind_differs", "kind", told, next_step=step, source=PRACTICE))
    soaps = [r.name for r in reading.rows if is_soap(r.name)]
    if soaps:
        told = f"{', '.join(soaps)}: what lye made of oils. A soap's list tells what came out, not what went in."
        step = "Take no amounts of oil or lye from it: lye burns, and too much of it stays in the soap."
        found.append(look("label.soap", soaps, told, next_step=step, source=PRACTICE))
    return tuple(found)


def _kind(names: _Names) -> tuple[str, str]:
    first, oils, formers = next(iter(names.roles)), names.oils, names.gel_formers
    role, watery = names.roles[first], names.holds_early(WATERS, 3)
    if role == "surfactant":
        return "bar of soap or surfactant", f"a surfactant stands first ({first})"
    if name_key(first).startswith("alcohol"):
        return "spirit, such as a perfume", f"{first} stands first"
    if not watery:
        if role in DRY:
            return "powder, salts or scrub", f"no water among the first names, and {first} first"
        return "balm or oil", f"no water among the first names, and {_some(oils)}"
    if names.holds_early(frozenset({"surfactant"}), 4):
        return "wash", "water and a surfactant among the first four names"
    if names.holds_early(frozenset({"mineral or clay"}), 2):
        return "paste or mask", "water and a clay among the first two names"
    most = names.most(oils)
    phase = f"an oil phase of up to {number_text(most)} % ({_some(oils)})"
    if most >= LOTION_OIL and ("emulsifier" in names.roles.values() or not formers):
        return "lotion or cream", phase + ("" if formers else " and no gel former at gel level")
    if most >= LOTION_OIL:
        return "gel cream", f"a gel former ({_some(formers)}) beside {phase}"
    if formers:
        return "gel", f"water with a gel former ({_some(formers)}) and hardly any oil"
    return "water", "water, and neither an oil phase nor a gel former at gel level"


def _some(names: list[str]) -> str:
    if not names:
        return "no oil that is on file"
    return ", ".join(names[:3]) + (" and more" if len(names) > 3 else "")
