"""How warm is it once two phases are joined? The heat that each brings, shared out.

    T = Σ m · c · T / Σ m · c

Source: OpenStax, University Physics Volume 2, section 1.4 (2016). No heat is lost to beaker and air, and nothing sets:
the true temperature is at most this.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fnmatch import fnmatchcase

from maker_kit import reference
from maker_kit.errors import QuantityError, UnknownNameError
from maker_kit.findings import PRACTICE, Finding, know, look, stop
from maker_kit.formula.ingredient import Ingredient
from maker_kit.formula.kinds import is_fatty, wetness_of
from maker_kit.formula.recipe import Recipe
from maker_kit.names import name_key, near_miss
from maker_kit.numbers import exact_number, number_text

SOURCE = "OpenStax, University Physics Volume 2, section 1.4 (2016)"
TABLE = "heat_capacity.csv"
FAT = "Choi and Okos 1986, fat component, from memory"
DRY = (1000.0, 2600.0)
"""What is known to hold no water: from a powder to a fatty alcohol or glycol (common practice, no source)."""
ANYTHING = (1000.0, 4193.0)
"""What is neither water nor fat nor on file lies between a dry powder and water [J/(kg K)] (common
practice, no source).
"""


@dataclass(frozen=True)
class Part:
    """One of the things that are joined.

    Attributes
    ----------
    name : str
        Such as ``phase A``.
    mass_g : float
        [g]
    celsius : float or None
        What its thermometer shows [°C]; None where it was not read.
    least, most : float
        Heat capacity [J/(kg K)], a range where what is inside is not known so well.
    """

    name: str
    mass_g: float
    celsius: float | None
    least: float
    most: float


@dataclass(frozen=True)
class Joined:
    """How warm it is after joining.

    Attributes
    ----------
    low_c, high_c : float or None
        The range [°C]; None where a part was not read.
    floor_c : float or None
        Below this a wax sets [°C]; None where the step names none.
    findings : tuple of Finding
    """

    low_c: float | None
    high_c: float | None
    floor_c: float | None
    findings: tuple[Finding, ...]


def heat_capacity_of_fat(celsius: float) -> float:
    """Heat capacity of fats and oils [J/(kg K)].

    c = 1984.2 + 1.4733 T - 0.0048008 T² with T in °C, from -40 to 150 °C: Choi and Okos 1986, fat component (from
    memory; the check values at 25 to 75 °C were computed apart from this).
    """
    return 1984.2 + 1.4733 * celsius - 0.0048008 * celsius**2


def heat_capacity(ingredient: Ingredient, celsius: float = 70.0) -> tuple[float, float]:
    """Least and most heat capacity of an ingredient [J/(kg K)].

    By its INCI names: on file, a fat, known to be dry, or anything up to water.
    """
    fat = heat_capacity_of_fat(celsius)
    spans = []
    for name in ingredient.inci or (ingredient.name,):
        row = next((r for r in reference.rows(TABLE) if fnmatchcase(name_key(name), r["inci_like"])), None)
        if row is not None and row["least"]:
            spans.append((float(row["least"]), float(row["most"])))
        elif row is not None or is_fatty(name):
            spans.append((0.97 * fat, 1.03 * fat))
        else:
            spans.append(DRY if wetness_of(name) == "dry" else ANYTHING)
    return min(s[0] for s in spans), max(s[1] for s in spans)


def phase_part(recipe: Recipe, phase: str, batch_g: float, celsius: float | None) -> Part:
    """One phase of a recipe as a part to join.

    Parameters
    ----------
    recipe : Recipe
    phase : str
    batch_g : float
        Mass of the whole batch [g].
    celsius : float or None
        What the thermometer in it shows [°C].

    Returns
    -------
    Part

    Raises
    ------
    UnknownNameError
        If the recipe has no such phase.
    """
    lines = [line for line in recipe.lines if name_key(line.phase) == name_key(phase) and line.percent > 0]
    if not lines:
        raise UnknownNameError(
            f'{recipe.title} has no phase "{phase}"; {near_miss(phase, sorted({x.phase for x in recipe.lines}))}'
        )
    at = 70.0 if celsius is None else celsius
    spans = [(x.percent, heat_capacity(recipe.ingredients[x.ingredient], at)) for x in lines]
    whole = sum(percent for percent, _ in spans)
    least, most = (sum(percent * span[k] for percent, span in spans) / whole for k in (0, 1))
    return Part(f"phase {lines[0].phase}", batch_g * whole / 100, celsius, least, most)


def floor_of(recipe: Recipe) -> float | None:
    """Below which temperature a recipe's hot phases may not come once joined [°C]: the lower end of the window of the
    hot step that pours one into a phase; None where no step says so.
    """
    floors = [s.from_c for s in recipe.steps if s.into and s.is_hot and s.from_c is not None]
    return max(floors, default=None)


def join(parts: Sequence[Part], floor_c: float | None = None) -> Joined:
    """How warm it is once the parts are joined.

    Parameters
    ----------
    parts : sequence of Part
        Two or more.
    floor_c : float or None
        Below this a wax or fatty alcohol sets before it is blended [°C].

    Returns
    -------
    Joined
        Its findings: ``joining.not_read`` (stop) where a part was not read, ``joining.cold`` (stop) where it is below
        the floor at its warmest, ``joining.perhaps_cold`` (look) where only at its coldest, ``joining.no_floor`` (know)
        where no floor is known, ``joining.warm`` (know) otherwise.

    Raises
    ------
    QuantityError
        If there are fewer than two, or a mass or temperature is no number that can be.
    """
    if len(parts) < 2:
        raise QuantityError("two phases are joined, or more")
    for part in parts:
        exact_number(part.mass_g, f"the mass of {part.name}")
        if not (part.mass_g > 0 and 0 < part.least <= part.most):
            raise QuantityError(f"{part.name} needs a mass above 0 g, not {number_text(part.mass_g)} g")
        if part.celsius is not None and not -273.15 < part.celsius < 400:
            raise QuantityError(f"{part.name} cannot be {number_text(part.celsius)} °C; is it in °F?")
    unread = [part.name for part in parts if part.celsius is None]
    if unread:
        which = " and ".join(unread)
        which = f"{which[:1].upper()}{which[1:]} {'was' if len(unread) == 1 else 'were'} not read"
        text = f"{which}: how warm it is once joined is unknown."
        step = "Read both thermometers before you pour; one cold phase sets the wax of the other."
        found = stop("joining.not_read", unread, text, level="unknown", next_step=step, source=PRACTICE)
        return Joined(None, None, floor_c, (found,))
    # the mixed temperature rises with the share of the warmer part: its ends are at the ends of the heat capacities
    warmest = max(part.celsius for part in parts)
    coldest = min(part.celsius for part in parts)

    def mixed(warm: int) -> float:
        """Every part warmer than the mix at one end of its range and every cooler one at the other."""
        at = sum(p.mass_g * p.least * p.celsius for p in parts) / sum(p.mass_g * p.least for p in parts)
        for _ in range(60):
            heat = [(p, (p.most if (p.celsius > at) == bool(warm) else p.least) * p.mass_g) for p in parts]
            new = sum(c * p.celsius for p, c in heat) / sum(c for _, c in heat)
            if new == at:
                break
            at = new
        return min(max(at, coldest), warmest)

    low, high = mixed(0), mixed(1)
    said = f"{_degrees(low)} to {_degrees(high)} °C" if _degrees(low) != _degrees(high) else f"{_degrees(low)} °C"
    name, source = " + ".join(part.name for part in parts), f"{SOURCE}; {FAT}"
    if floor_c is None:
        found = know("joining.no_floor", name, f"Joined, it is at about {said}; no lowest is on file.", source=source)
    elif high < floor_c:
        text = f"Joined, it is at {said}, below {number_text(floor_c)} °C: the wax sets before it is blended in."
        step = (
            "Warm the colder phase before you pour. If it is poured already: warm the whole back, blend again, log it."
        )
        found = stop("joining.cold", name, text, level="under", next_step=step, source=source)
    elif low < floor_c:
        text = f"Joined, it is at {said}; {number_text(floor_c)} °C is the least."
        found = look(
            "joining.perhaps_cold", name, text, level="near", next_step="Warm it a little more.", source=source
        )
    else:
        text = f"Joined, it is at about {said}, and {number_text(floor_c)} °C is the least."
        found = know("joining.warm", name, text, level="fine", source=source)
    return Joined(low, high, floor_c, (found,))


def _degrees(celsius: float) -> str:
    return number_text(round(celsius, 1))
