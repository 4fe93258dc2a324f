"""What a jug, a kit or a cupboard fills: full containers, what runs out first, what one more pack of it would give, and what runs out next."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

import pandas as pd

from maker_kit.errors import QuantityError, UnknownNameError
from maker_kit.findings import Finding, know
from maker_kit.formula.batch import LABEL, MOST_CONTAINERS, as_bought, counted, exact_fill_mass, full_containers
from maker_kit.formula.recipe import Recipe
from maker_kit.names import near_miss
from maker_kit.numbers import in_words
from maker_kit.units import exact_number, parse_amount


@dataclass(frozen=True)
class PackOnSale:
    """One pack that could be bought more of.

    Attributes
    ----------
    name : str
    item : str
        Ingredient, container or label in it.
    amount : float
        Content [g, or pieces].
    price : str
        Price as shown; empty where none is known.
    """

    name: str
    item: str
    amount: float | Fraction
    price: str = ""


@dataclass(frozen=True)
class InHandRow:
    """One thing that a recipe takes, beside what there is of it.

    Attributes
    ----------
    item : str
        Ingredient as bought, container or label.
    unit : {'g', 'pieces'}
    each : float
        What one container takes, loss included and film left out [g or pieces].
    have : float or None
        What there is [g or pieces]; None where it is not named: got ready separately.
    fills : int or None
        Full containers that this alone would fill.
    unrounded : float or None
        The same before rounding down.
    left : float or None
        What stays over after the containers that all of it together fill [g or pieces].
    """

    item: str
    unit: str
    each: float
    have: float | None
    fills: int | None
    unrounded: float | None
    left: float | None


@dataclass(frozen=True)
class OneMorePack:
    """What one more pack would give.

    Attributes
    ----------
    pack, item, price : str
    amount : float
        Its content [g or pieces].
    containers : int
        Full containers with it.
    more : int
        By how many that is more.
    runs_out_next : str
        What runs out first then.
    """

    pack: str
    item: str
    price: str
    amount: float
    containers: int
    more: int
    runs_out_next: str


@dataclass(frozen=True)
class InHand:
    """What there is, in full containers.

    Attributes
    ----------
    title : str
        Of the recipe.
    rows : tuple of InHandRow
        In the order of the recipe, then container and label.
    containers : int
        Full containers, rounded down.
    unrounded : float
        The same before rounding.
    runs_out_first : str
        What sets it.
    next_containers : int or None
        Full containers if that were no bound; None where nothing else bounds.
    runs_out_next : str
        What would set it then; empty where nothing else is named.
    more_packs : tuple of OneMorePack
        One for each pack on sale of what runs out first, also where it gives no container more.
    findings : tuple of Finding
    """

    title: str
    rows: tuple[InHandRow, ...]
    containers: int
    unrounded: float
    runs_out_first: str
    next_containers: int | None
    runs_out_next: str
    more_packs: tuple[OneMorePack, ...]
    findings: tuple[Finding, ...]

    @property
    def not_included(self) -> tuple[str, ...]:
        """What the recipe takes and nobody named among what there is."""
        return tuple(row.item for row in self.rows if row.have is None)

    def row(self, item: str) -> InHandRow:
        """The row of one ingredient, container or label.

        Raises
        ------
        UnknownNameError
            If the recipe does not take it.
        """
        found = {row.item: row for row in self.rows}
        if item not in found:
            msg = f'{self.title} takes no "{item}": {near_miss(item, found)}'
            raise UnknownNameError(msg)
        return found[item]

    def to_frame(self) -> pd.DataFrame:
        """What there is as a table: what, unit, for one container, have, full containers, before rounding, left over, note."""
        notes = [
            "have it ready"
            if r.have is None
            else "runs out first"
            if r.item == self.runs_out_first
            else "runs out next"
            if r.item == self.runs_out_next
            else ""
            for r in self.rows
        ]
        return pd.DataFrame(
            {
                "what": [r.item for r in self.rows],
                "unit": [r.unit for r in self.rows],
                "for one": [r.each for r in self.rows],
                "have": pd.array([r.have for r in self.rows], dtype="Float64"),
                "full containers": pd.array([r.fills for r in self.rows], dtype="Int64"),
                "before rounding": pd.array([r.unrounded for r in self.rows], dtype="Float64"),
                "left": pd.array([r.left for r in self.rows], dtype="Float64"),
                "note": notes,
            }
        )

    @property
    def packs_that_help(self) -> tuple[OneMorePack, ...]:
        """Those of `more_packs` with which at least one container more is filled."""
        return tuple(p for p in self.more_packs if p.more > 0)

    def packs_to_frame(self) -> pd.DataFrame:
        """What one more pack would give, for those that help: pack, content, price, full containers, more, runs out next."""
        return pd.DataFrame(
            [(p.pack, p.amount, p.price, p.containers, p.more, p.runs_out_next) for p in self.packs_that_help],
            columns=["one more pack", "content", "price", "full containers", "more", "runs out next"],
        )


def in_grams(recipe: Recipe, item: str, amount: float | Fraction | str) -> Fraction:
    """What there is of one thing, exactly: grams of an ingredient, pieces of the container or of labels.

    Parameters
    ----------
    recipe : Recipe
    item : str
    amount : float, Fraction or str
        A number counts grams or pieces; a text carries its unit (``128 fl oz``), and a volume takes the ingredient's density.

    Raises
    ------
    QuantityError
        If it is no amount, negative, a volume without a density, or pieces where grams are due or the other way round.
    """
    pieces = item in {recipe.container, LABEL}
    if isinstance(amount, str):
        try:
            read = parse_amount(amount, zero_ok=True, bare_as_pieces=pieces)
        except QuantityError as error:
            msg = f"{item}: {error}"
            raise QuantityError(msg) from error
        if (read.basis == "pieces") != pieces:
            msg = f'"{amount}" of {item}: {"a container or label is counted in pieces" if pieces else "an ingredient is weighed or measured, in g or mL"}'
            raise QuantityError(msg)
        thing = recipe.ingredients.get(item)
        return read.exact if pieces else read.exact_grams(thing.density_g_per_ml if thing else None)
    value = exact_number(amount, f"what is there of {item}")
    if value < 0:
        msg = f"{float(value):g} {'pieces' if pieces else 'g'} of {item}: what is there is 0 or more"
        raise QuantityError(msg)
    return value


def split_stock(
    recipe: Recipe, have: Mapping[str, float | Fraction | str]
) -> tuple[dict[str, Fraction], dict[str, Fraction]]:
    """What there is, apart: ingredients [g] and the recipe's container and labels [whole pieces]. Raises as `in_grams` does."""
    amounts = {item: in_grams(recipe, item, amount) for item, amount in have.items()}
    pieces = {item: Fraction(math.floor(n)) for item, n in amounts.items() if item in {recipe.container, LABEL}}
    return {item: mass for item, mass in amounts.items() if item not in pieces}, pieces


def what_i_have(recipe: Recipe, have: Mapping[str, float | Fraction | str], packs: Iterable[PackOnSale] = ()) -> InHand:
    """How many containers what there is fills, what runs out first, and what one more pack of it would give.

    The largest whole ``n`` with ``(n · V · ρ · (1 + loss / 100) + film) · percent / 100 ≤ have`` for every ingredient named, and ``n ≤`` the containers and labels named; exact.

    Parameters
    ----------
    recipe : Recipe
    have : Mapping of str to float, Fraction or str
        Grams of each ingredient, pieces of the container and of ``Label``; or texts with their unit. What is not named is got ready separately and bounds nothing.
    packs : iterable of PackOnSale
        What could be bought more of.

    Returns
    -------
    InHand

    Raises
    ------
    QuantityError
        If an amount is none, or nothing that the recipe takes is named.
    RecipeError
        If a bench mixture is made from something unknown or from itself.
    """
    grams, pieces = split_stock(recipe, have)
    shares = as_bought(recipe, frozenset(grams))
    stock = {item: amount for item, amount in {**grams, **pieces}.items() if item in shares or item in pieces}
    if not stock:
        msg = (
            f"nothing that {recipe.title} takes is named; it takes {', '.join([*shares, recipe.container])}"
            + "".join(f'; "{n}": {near_miss(n, shares)}' for n in list(have)[:1])
        )
        raise QuantityError(msg)
    reach = {item: _reach(recipe, shares.get(item), amount) for item, amount in stock.items()}
    first = min(reach, key=lambda item: reach[item])
    count = math.floor(reach[first])
    rest = {item: r for item, r in reach.items() if item != first}
    after = min(rest, key=lambda item: rest[item], default="")
    rows = [
        _row(recipe, item, shares.get(item), stock.get(item), reach.get(item), count)
        for item in [*shares, recipe.container, *([LABEL] if LABEL in pieces else [])]
    ]
    more = []
    for pack in packs:
        if pack.item != first:
            continue
        content = exact_number(pack.amount, f"the content of {pack.name}")
        trial = {**reach, first: _reach(recipe, shares.get(first), stock[first] + content)}
        following = min(trial, key=lambda item: trial[item])
        more.append(
            OneMorePack(
                pack.name,
                first,
                pack.price,
                float(content),
                math.floor(trial[following]),
                math.floor(trial[following]) - count,
                following,
            )
        )
    found = _findings(recipe, rows, count, reach, first, after, more, [n for n in grams if n not in shares])
    return InHand(
        recipe.title,
        tuple(rows),
        count,
        float(reach[first]),
        first,
        math.floor(rest[after]) if after else None,
        after,
        tuple(more),
        found,
    )


def no_help(first: str, packs: Iterable[OneMorePack]) -> str:
    """That one more pack of what runs out first fills no container more by itself, and what else is in the way."""
    following = [name for name in dict.fromkeys(p.runs_out_next for p in packs) if name != first]
    why = (
        f": {' and '.join(following)} would run out then, so buy that too"
        if following
        else ": no pack on sale holds enough for another container"
    )
    return f"one more pack of {first} alone fills no container more{why}"


def _reach(recipe: Recipe, share: Fraction | None, amount: Fraction) -> Fraction:
    """Containers that so much of one thing reaches for, before rounding down."""
    if share is None:
        return min(amount, Fraction(MOST_CONTAINERS))
    full_containers(amount, float(share), recipe)  # refuses what is no amount or no recipe
    film = exact_number(recipe.film_g, "the film in g")
    one = exact_fill_mass(recipe) * (1 + exact_number(recipe.loss_percent, "the loss in %") / 100)
    return max(amount * 100 / share - film, Fraction(0)) / one


def _row(
    recipe: Recipe, item: str, share: Fraction | None, have: Fraction | None, reach: Fraction | None, count: int
) -> InHandRow:
    unit = "pieces" if share is None else "g"
    each = (
        Fraction(1)
        if share is None
        else exact_fill_mass(recipe) * (1 + exact_number(recipe.loss_percent, "the loss in %") / 100) * share / 100
    )
    film = exact_number(recipe.film_g, "the film in g") * share / 100 if share is not None and count else Fraction(0)
    left = None if have is None else float(have - each * count - film)
    return InHandRow(
        item,
        unit,
        float(each),
        None if have is None else float(have),
        None if reach is None else math.floor(reach),
        None if reach is None else float(reach),
        left,
    )


def _findings(
    recipe: Recipe,
    rows: list[InHandRow],
    count: int,
    reach: Mapping[str, Fraction],
    first: str,
    after: str,
    more: list[OneMorePack],
    unused: list[str],
) -> tuple[Finding, ...]:
    text = f"What is there fills {counted(count) if count else 'not even one full container'} of {recipe.title} ({in_words(reach[first])} before rounding down); {first} runs out first"
    text += (
        f", then {after} at {counted(math.floor(reach[after])) if reach[after] >= 1 else 'not even one'}."
        if after
        else "."
    )
    steps = [
        f"one more {p.pack}{f' ({p.price})' if p.price else ''} makes it {p.containers}, then {p.runs_out_next} runs out"
        for p in more
        if p.more > 0
    ] or [no_help(first, more)] * bool(more)
    found = [
        Finding(
            "know" if count else "look",
            "kit.note",
            (first,),
            text,
            next_step="; ".join(steps),
            source="proportion: have / need",
        )
    ]
    missing = [r.item for r in rows if r.have is None]
    if missing:
        found.append(
            know(
                "kit.note",
                "not named",
                f"Not named among what is there, so it bounds nothing: {', '.join(missing)}.",
                next_step="have it ready",
            )
        )
    for name in unused:
        hint = near_miss(name, missing)
        found.append(
            know(
                "kit.note",
                name,
                f'"{name}" is there, and the recipe does not take it.',
                next_step=str(hint) if hint.close else "",
            )
        )
    return tuple(found)
