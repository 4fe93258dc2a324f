"""What came: recipe against kit list, kit list against label, label against scale. Three comparisons, never one in place of another."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import pandas as pd

from maker_kit import reference
from maker_kit.errors import QuantityError
from maker_kit.findings import Finding, in_order, know, look
from maker_kit.formula.batch import MOST_CONTAINERS, as_bought, check_containers, counted, exact_batch_mass
from maker_kit.formula.recipe import Recipe
from maker_kit.names import near_miss
from maker_kit.numbers import number_text
from maker_kit.units import Amount, check_density, exact_number, parse_amount

EU_TABLE, US_TABLE = "eu_tolerable_negative_error.csv", "net_weight_allowances.csv"
MARKETS = ("EU", "US")


@dataclass(frozen=True)
class Allowance:
    """By how much one pack may hold less than its label says.

    Attributes
    ----------
    amount : Fraction or None
        In the label's own unit [g or mL]; None where no row is on file.
    unit : {'g', 'mL'}
    source : str
        With how it was checked.
    """

    amount: Fraction | None
    unit: str
    source: str


@dataclass(frozen=True)
class ReceivedRow:
    """One ingredient, four figures and three comparisons.

    Attributes
    ----------
    item : str
    need_g, listed_g, label_g, weighed_g : float or None
        What the recipe takes, what the kit list says, what the pack's label says, net on the scale [g]; None where it is not known.
    allowance_g : float or None
        What the scale may show less than the label [g].
    recipe_to_list, list_to_label, label_to_scale : {'fine', 'short', 'far short', 'more', 'unknown'}
        How the later stands to the earlier of the two; ``far short`` is beyond twice the allowance.
    source : str
        Of the allowance.
    """

    item: str
    need_g: float | None
    listed_g: float | None
    label_g: float | None
    weighed_g: float | None
    allowance_g: float | None
    recipe_to_list: str
    list_to_label: str
    label_to_scale: str
    source: str


@dataclass(frozen=True)
class Received:
    """A delivery, checked.

    Attributes
    ----------
    title : str
        Of the recipe.
    makes : int
        Containers it is meant for.
    rows : tuple of ReceivedRow
    findings : tuple of Finding
    """

    title: str
    makes: int
    rows: tuple[ReceivedRow, ...]
    findings: tuple[Finding, ...]

    def row(self, item: str) -> ReceivedRow:
        """The row of one ingredient.

        Raises
        ------
        QuantityError
            If there is none.
        """
        found = {row.item: row for row in self.rows}
        if item not in found:
            msg = f'there is no "{item}" among what came or is needed: {near_miss(item, found)}'
            raise QuantityError(msg)
        return found[item]

    def to_frame(self) -> pd.DataFrame:
        """The rows as a table: ingredient, recipe, kit list, label and scale [g], allowance [g], the three comparisons, source of the allowance."""
        columns = {
            "ingredient": "item",
            "recipe g": "need_g",
            "kit list g": "listed_g",
            "label g": "label_g",
            "scale g": "weighed_g",
            "allowed less g": "allowance_g",
            "list against recipe": "recipe_to_list",
            "label against list": "list_to_label",
            "scale against label": "label_to_scale",
            "source": "source",
        }
        frame = pd.DataFrame(
            [{title: getattr(r, name) for title, name in columns.items()} for r in self.rows], columns=list(columns)
        )
        return frame.astype({title: "Float64" for title in columns if title.endswith(" g")})


def allowance(nominal: Amount, market: str = "EU", folder: Path | str | None = None) -> Allowance:
    """By how much one pack may hold less than its label says, from memory: ask a qualified person before relying on it.

    EU: Directive 76/211/EEC, Annex I, 2.4 (from 5 g or mL to 10 kg or L). US: NIST Handbook 133, Table 2-5, by weight (up to 489 g); its table by volume is not on file.

    Parameters
    ----------
    nominal : Amount
        What the label says.
    market : {'EU', 'US'}
    folder : path, optional
        A folder with tables of the same names and columns; the workbook's own unless given.

    Returns
    -------
    Allowance
        On the boundary of two rows the smaller of them holds.

    Raises
    ------
    QuantityError
        If the market is neither, or the amount counts pieces.
    """
    if market not in MARKETS:
        msg = f'"{market}" is no market with allowances on file: {near_miss(market, MARKETS)}'
        raise QuantityError(msg)
    if nominal.basis == "pieces":
        msg = f'"{nominal.text}" counts pieces; an allowance is for a mass or a volume'
        raise QuantityError(msg)
    if market == "US" and nominal.basis == "volume":
        row = next((r for r in reference.rows(US_TABLE, folder) if "volume" in r["labelled_range"]), None)
        return Allowance(None, "mL", f"{row['source']} (not on file)" if row else "no row by volume on file")
    title, column = (EU_TABLE, "tolerable_negative_error") if market == "EU" else (US_TABLE, "mav_g")
    found = []
    for row in reference.rows(title, folder):
        span = _span(row["nominal_g_or_mL" if market == "EU" else "labelled_range"])
        figure = re.match(r"\s*(\d+(?:\.\d+)?)\s*(%?)", row[column])
        if span and figure and span[0] <= nominal.exact <= span[1]:
            value = Fraction(figure[1])
            found.append((nominal.exact * value / 100 if figure[2] else value, f"{row['source']} ({row['checked']})"))
    if not found:
        return Allowance(None, nominal.unit, f"none on file for a pack of {nominal.value:g} {nominal.unit}")
    amount, source = min(found)
    return Allowance(amount, nominal.unit, source)


def _span(text: str) -> tuple[Fraction, Fraction] | None:
    if below := re.match(r"<\s*(\d+(?:\.\d+)?)", text):
        return Fraction(0), Fraction(below[1])
    between = re.match(r"(\d+(?:\.\d+)?)\s*[-–]\s*(\d+(?:\.\d+)?)", text)
    return (Fraction(between[1]), Fraction(between[2])) if between else None


def check_received(
    recipe: Recipe,
    makes: int,
    *,
    listed: Mapping[str, float | str] | None = None,
    label: Mapping[str, float | str] | None = None,
    weighed: Mapping[str, float | str] | None = None,
    market: str = "EU",
    list_is_label: bool = False,
) -> Received:
    """A delivery against the recipe, in three comparisons: recipe against kit list, kit list against label, label against scale.

    Parameters
    ----------
    recipe : Recipe
    makes : int
        Containers it is meant for.
    listed, label : Mapping of str to float or str, optional
        What the kit list and the packs' labels say: grams, or texts with their unit (``8 fl oz``); volumes by the ingredient's density.
    weighed : Mapping of str to float or str, optional
        Net on the scale, without the pack: grams, or texts with their unit.
    market : {'EU', 'US'}
        Whose allowances hold.
    list_is_label : bool
        Whether the scale is compared with the kit list where no label was read; the kit list against the label stays unknown then.

    Returns
    -------
    Received

    Raises
    ------
    QuantityError
        If an amount is none or negative, a volume has no density, nothing is given to compare, or the market is neither.
    RecipeError
        If a bench mixture is made from something unknown.
    """
    count = check_containers(makes, MOST_CONTAINERS)
    slips = _amounts(listed or {}, "kit list"), _amounts(label or {}, "label"), _amounts(weighed or {}, "scale")
    if not any(slips):
        msg = "there is nothing to compare: give the kit list, the labels or what the scale showed"
        raise QuantityError(msg)
    batch = exact_batch_mass(recipe, count)
    came = {item for slip in slips for item in slip}
    needs = {name: batch * share / 100 for name, share in as_bought(recipe, frozenset(came)).items()}
    rows, findings = [], []
    for item in [*needs, *sorted(came - set(needs))]:
        row, found = _row(
            recipe,
            item,
            needs.get(item),
            *(slip.get(item) for slip in slips),
            market=market,
            kit_list=bool(slips[0]),
            makes=count,
            list_is_label=list_is_label,
        )
        rows.append(row)
        findings += found
    return Received(recipe.title, count, tuple(rows), in_order(findings))


def _amounts(slip: Mapping[str, float | str], what: str) -> dict[str, Amount]:
    found = {}
    for item, amount in slip.items():
        if isinstance(amount, str):
            read = parse_amount(amount, zero_ok=True)
            if read.basis == "pieces":
                msg = f'the {what} says "{amount}" for {item}: an ingredient is weighed or measured; leave containers and labels out'
                raise QuantityError(msg)
            found[item] = read
        else:
            value = exact_number(amount, f"{item} on the {what} in g")
            if value < 0:
                msg = f"{item} on the {what}: {float(value):g} g; an amount is 0 g or more"
                raise QuantityError(msg)
            found[item] = Amount(value, "mass", f"{float(value):g} g")
    return found


def _row(
    recipe: Recipe,
    item: str,
    need: Fraction | None,
    listed: Amount | None,
    label: Amount | None,
    weighed: Amount | None,
    *,
    market: str,
    kit_list: bool,
    makes: int,
    list_is_label: bool,
) -> tuple[ReceivedRow, list[Finding]]:
    thing = recipe.ingredients.get(item)
    density = thing.density_g_per_ml if thing else None
    on_list, on_label, on_scale = (None if a is None else a.exact_grams(density) for a in (listed, label, weighed))
    says, where = (listed, "kit list") if list_is_label and label is None else (label, "label")
    on_pack = None if says is None else says.exact_grams(density)
    may = allowance(says, market) if says is not None else Allowance(None, "g", "")
    less = None if may.amount is None else may.amount * (check_density(density, item) if may.unit == "mL" else 1)
    first, second = _stands(need, on_list), _stands(on_list, on_label, more_is_fine=False)
    third = _stands(on_pack, on_scale, less)
    row = ReceivedRow(
        item,
        *(None if m is None else float(m) for m in (need, on_list, on_label, on_scale, less)),
        first,
        second,
        third,
        may.source,
    )
    findings = []
    if need is None:
        findings.append(
            know(
                "kit.note",
                item,
                f"{item} came, and {recipe.title} does not take it.",
                next_step=str(near_miss(item, as_bought(recipe))),
            )
        )
    if first == "short":
        findings.append(
            look(
                "kit.under",
                item,
                f"Recipe against kit list: {counted(makes)} take {float(need):.2f} g of {item}, the kit list has {float(on_list):.2f} g.",
                level="under",
                next_step=f"{float(need - on_list):.2f} g more are needed",
                source="arithmetic",
            )
        )
    elif kit_list and on_list is None and need:
        findings.append(
            know(
                "kit.note",
                item,
                f"Recipe against kit list: {item} ({float(need):.1f} g) is not on the kit list.",
                next_step="have it ready",
            )
        )
    if second in {"short", "more"}:
        findings.append(
            look(
                f"kit.{'under' if second == 'short' else 'note'}",
                item,
                f"Kit list against label: the list says {float(on_list):.2f} g of {item}, the label {float(on_label):.2f} g.",
                level="under" if second == "short" else "note",
                next_step="ask the supplier which of the two is right",
                source="arithmetic",
            )
        )
    if third in {"short", "far short", "unknown"} and on_pack is not None and on_scale is not None:
        findings.append(_scale(item, where, on_pack, on_scale, less, third, may.source))
    elif third == "fine" and on_scale is not None and on_pack is not None:
        findings.append(
            know(
                "kit.fine",
                item,
                f"{where.capitalize()} against scale: {item} nets {float(on_scale):.1f} g of {float(on_pack):.1f} g on the {where}.",
                level="fine",
                source=may.source,
            )
        )
    if need is not None and on_scale is not None and on_scale < need:
        findings.append(
            look(
                "kit.under",
                item,
                f"Recipe against scale: {counted(makes)} take {float(need):.2f} g of {item}, {float(on_scale):.2f} g are there.",
                level="under",
                next_step="look at the ways on for a short bottle",
                source="arithmetic",
            )
        )
    return row, findings


def _stands(
    should: Fraction | None, does: Fraction | None, allowed: Fraction | None = Fraction(0), *, more_is_fine: bool = True
) -> str:
    """How a later figure stands to an earlier one, with what it may be less."""
    if should is None or does is None:
        return "unknown"
    if does >= should:
        return "fine" if does == should or more_is_fine else "more"
    if allowed is None:
        return "unknown"
    return "fine" if should - does <= allowed else "far short" if allowed and should - does > 2 * allowed else "short"


def _scale(
    item: str, where: str, label: Fraction, scale: Fraction, less: Fraction | None, stands: str, source: str
) -> Finding:
    text = f"{where.capitalize()} against scale: {item} nets {float(scale):.1f} g of {float(label):.1f} g on the {where}, {float(label - scale):.1f} g ({float(100 * (label - scale) / label):.1f} %) less"
    if less is None:
        return look(
            "kit.unknown",
            item,
            f"{text}; no allowance for such a pack is on file, so whether that may be is unknown.",
            level="unknown",
            next_step="ask the supplier",
            source=source,
        )
    beyond = "more than twice the" if stands == "far short" else "more than the"
    return look(
        "kit.under",
        item,
        f"{text}: {beyond} {number_text(less)} g that one pack may lack.",
        level="under",
        next_step="weigh it again with the empty pack taken off, then tell the supplier",
        source=source,
    )
