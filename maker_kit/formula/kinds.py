"""What kind of thing a name stands for: water, a scent, an essential oil, a plain oil, a plant's water; and whether an
ingredient is wet, dry, or not known to be either.

The one place for such words: everybody asks here. All of it is common practice, no source, unless a table says
otherwise.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache, lru_cache

from maker_kit import reference
from maker_kit.formula.ingredient import Ingredient
from maker_kit.formula.substances.naming import published_name
from maker_kit.names import by_key, fits, name_key

WET, DRY, UNKNOWN = "wet", "dry", "unknown"
"""What `wetness` says."""
WATER_NAMES = frozenset({"aqua", "water", "eau"})
"""INCI names of water itself, as keys."""
SCENT_NAMES = frozenset({"parfum", "fragrance", "aroma"})
"""INCI names of a whole scent, as keys."""
SCENT_FUNCTIONS = frozenset({"scent", "fragrance", "perfume", "essential oil"})
"""What a maker may call the function of a scent."""
_PLANT_WATERS = ("water", "hydrosol", "hydrolate", "distillate")
_WATERY_LAST_WORDS = WATER_NAMES | {*_PLANT_WATERS, "juice", "milk"}
_WATER_WORD = re.compile(r"\b(?:aqua|water|eau)\b")
_OIL = re.compile(r"\b(?:oil|absolute)\b")
_MANY = re.compile(
    r"\b(?:oil|extract|absolute|concrete|resinoid|oleoresin|tincture|balsam|parfum|perfume|fragrance|flavou?r|aroma)\b"
)
_PLANT = re.compile(r"\b(?:flower|peel|leaf|bark|root|herb|bud|needle|rhizome)(?:/\w+)*(?: powder)?$")


@lru_cache(maxsize=4096)
def is_watery(inci: str) -> bool:
    """Whether a name stands for water or for something that is mostly water.

    One of its parts, cut at slashes and brackets, is `WATER_NAMES` or ends in water, aqua, eau, juice, hydrosol,
    hydrolate, distillate or milk: ``Aqua (Water)``, ``Rosa Damascena Flower Water``, ``Aloe Barbadensis Leaf Juice``,
    ``Goat Milk``; but not ``Goat Milk Powder``.
    """
    pieces = (name_key(p).split() for p in re.split(r"[/()]", inci))
    return any(words[-1] in _WATERY_LAST_WORDS for words in pieces if words)


def wetness(ingredient: Ingredient, known: Mapping[str, Ingredient] | None = None) -> str:
    """Whether an ingredient brings water into a product, by its names and by what is inside it or what it is made from.

    Parameters
    ----------
    ingredient : Ingredient
    known : Mapping of str to Ingredient, optional
        Other ingredients by name; what it is made from, or holds by such a name, is opened.

    Returns
    -------
    {'wet', 'dry', 'unknown'}
        ``wet`` where any name is (`wetness_of`); ``unknown`` where nothing tells what it holds, or no table knows
        whether one of its names is dry; ``dry`` otherwise.
    """
    return _wetness(ingredient, by_key(known or {}), ())


def _wetness(thing: Ingredient, known: Mapping[str, Ingredient], above: tuple[str, ...]) -> str:
    path = (*above, name_key(thing.name))
    names = (*thing.inci, *(share.substance for share in thing.inside))
    nested = [name for name, percent in thing.made_from if percent > 0] + list(names)
    parts = {_wetness(known[k], known, path) for k in map(name_key, nested) if k in known and k not in path}
    told = bool(names or thing.made_from)
    own = {
        said
        for n in (names if told else (thing.name,))
        if (said := wetness_of(n)) != UNKNOWN or name_key(n) not in known or name_key(n) in path
    }
    if WET in parts or WET in own:
        return WET
    return UNKNOWN if UNKNOWN in parts or UNKNOWN in own or not told else DRY


@lru_cache(maxsize=4096)
def wetness_of(inci: str) -> str:
    """Whether what an INCI name stands for brings water, by ``wetness.csv`` (common practice, no source).

    Dry is only what the table knows to be dry. What is usually sold as a solution in water counts as wet; so does what
    `is_watery`, or has the word aqua, water or eau in it.

    Parameters
    ----------
    inci : str

    Returns
    -------
    {'wet', 'dry', 'unknown'}
    """
    said = _wetness_by(inci)
    return said if said != UNKNOWN else _wetness_by(published_name(inci))


def _wetness_by(inci: str) -> str:
    name = _bare(inci) or name_key(inci)
    row = next((r for r in _wetness_rows() if fits(name, r["inci_like"])), None)
    if row is not None:
        return DRY if row["wetness"] == DRY else WET
    return WET if is_watery(inci) or _WATER_WORD.search(name) else UNKNOWN


@cache
def _wetness_rows() -> tuple[reference.Row, ...]:
    return reference.rows("wetness.csv", columns=("inci_like", "wetness", "reason", "source", "checked"))


def is_nameless(ingredient: Ingredient) -> bool:
    """Whether nothing is told of what an ingredient is: no INCI name, nothing inside, nothing it is made from."""
    return not (ingredient.inci or ingredient.inside or ingredient.made_from)


def is_scent(ingredient: Ingredient) -> bool:
    """Whether an ingredient is a scent: by its function, its certificates, or ``Parfum`` among its INCI names."""
    return (
        bool(ingredient.certificates)
        or name_key(ingredient.function) in SCENT_FUNCTIONS
        or any(name_key(n) in SCENT_NAMES for n in ingredient.inci)
    )


def is_plant_scent(ingredient: Ingredient, *, used_as_scent: bool = False) -> bool:
    """Whether a scent comes from a plant: called an essential oil, or a scent, here or by itself, with the oil, extract
    or absolute of a plant among its INCI names.
    """
    whole = any(holds_many(n) and name_key(n) not in SCENT_NAMES for n in ingredient.inci)
    return name_key(ingredient.function) == "essential oil" or (whole and (used_as_scent or is_scent(ingredient)))


def is_meant_as_preservative(ingredient: Ingredient) -> bool:
    """Whether the maker's own word for what an ingredient does says that it preserves."""
    return "preserv" in name_key(ingredient.function)


@lru_cache(maxsize=4096)
def is_fatty(inci: str) -> bool:
    """Whether ``fatty_oils.csv`` (from memory) knows an INCI name as a plain fatty or mineral oil."""
    names = {_bare(inci), _bare(published_name(inci))}
    return any(fits(name, like) for name in names for like in _fatty_oils())


@lru_cache(maxsize=4096)
def holds_many(inci: str) -> bool:
    """Whether an INCI name stands for a whole of many substances that it does not name: an essential oil, an extract,
    an absolute, a scent, a plant's part.

    A name with one of the words oil, extract, absolute, concrete, resinoid, oleoresin, tincture, balsam, parfum,
    perfume, fragrance, flavor or aroma, or that ends in a plant's part (flower, peel, leaf, bark, root, herb, bud,
    needle, rhizome, or a powder of it), unless it `is_fatty`. What the table does not know is taken for one that holds
    more: rather unknown than clean (common practice, no source).
    """
    names = (_bare(inci), _bare(published_name(inci)))
    return any(_MANY.search(name) or _PLANT.search(name) for name in names) and not is_fatty(inci)


def is_essential_oil(inci: str) -> bool:
    """Whether an INCI name is, as far as it tells, a scented oil: `holds_many`, with the word oil or absolute."""
    names = (name_key(inci), name_key(published_name(inci)))
    return holds_many(inci) and any(_OIL.search(name) for name in names)


def is_plant_water(inci: str) -> bool:
    """Whether an INCI name is a floral water or another distilled plant water, which holds a little of the plant's
    scent (common practice, no source).
    """
    name = name_key(inci)
    return name not in WATER_NAMES and len(name.split()) > 1 and name.endswith(_PLANT_WATERS)


def _bare(inci: str) -> str:
    return name_key(re.sub(r"\([^)]*\)", " ", inci))


@cache
def _fatty_oils() -> tuple[str, ...]:
    return tuple(name_key(r["inci_like"]) for r in reference.rows("fatty_oils.csv"))
