"""The maker's own settings, limits, readings of thickness, avoid-list and swaps."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

from maker_kit.errors import QuantityError
from maker_kit.formula.container import Container
from maker_kit.formula.limits.categories import known_categories, plain_category
from maker_kit.formula.limits.limit import Limit
from maker_kit.formula.thickness.readings import MEASURES, ThicknessReading
from maker_kit.names import near_miss
from maker_kit.numbers import typed_number
from maker_kit.units import parse_amount
from maker_kit.workshop.csv.columns import Ask, CellError, Column, Marks, read_cell
from maker_kit.workshop.csv.faults import FaultBook, Names, shown
from maker_kit.workshop.csv.records import Record, Records
from maker_kit.workshop.things import Avoided, Settings, Swap

SETTINGS = (
    Column("currency", "currency", "name", True),
    Column("market", "market", "one of", True, choices=("EU", "US")),
    Column("scale steps", "scale", "text", True),
    Column(
        "loss [%]",
        "loss",
        "number",
        high="500",
        ask=Ask(Decimal(0), Decimal(50), "a loss of at most 50 %"),
        blank=Decimal(0),
    ),
    Column("film [g]", "film", "number", high="10000", blank=Decimal(0)),
    Column("shipping factor", "shipping", "number", low="1", high="10", blank=Decimal("1.08")),
)
"""What workshop.csv may set."""


def read_settings(records: Records, book: FaultBook) -> Settings | None:
    """The settings, or None where one of them could not be read."""
    values: dict[str, object] = {}
    by_name = {_bare(c.heading): c for c in SETTINGS}
    for record in records:
        if not record["setting"]:
            continue
        column = by_name.get(_bare(record["setting"]))
        if column is None:
            record.refuse(
                book,
                "setting",
                "one of: " + ", ".join(c.heading for c in SETTINGS),
                near_miss(record["setting"], [c.heading for c in SETTINGS]).sentence,
            )
            continue
        values[column.key] = None
        try:
            text = record.texts.get("value", "")
            values[column.key] = _scale(text) if column.key == "scale" else _setting(text, column)
        except CellError as error:
            record.refuse(book, "value", error.allowed, error.mend)
            values[column.key] = None
    if not records.readable:
        return None
    for column in SETTINGS:
        if column.needed and column.key not in values:
            book.add(
                records.file,
                None,
                "setting",
                f"no row for {column.heading!r}",
                "a row for each of: " + ", ".join(c.heading for c in SETTINGS if c.needed),
                "add the row",
            )
    if any(c.needed and values.get(c.key) is None for c in SETTINGS):
        return None
    numbers = {c.key: float(values.get(c.key) or c.blank) for c in SETTINGS if c.kind == "number"}
    return Settings(
        str(values["currency"]),
        str(values["market"]),
        values["scale"],
        numbers["loss"],
        numbers["film"],
        numbers["shipping"],
    )


def _bare(text: str) -> str:
    return "".join(text.casefold().split())


def _setting(text: str, column: Column) -> object:
    value, _ = read_cell(text, column, Marks(comma_ok=True))
    if column.key == "currency" and not re.fullmatch("[A-Z]{3}", value):
        raise CellError(
            allowed="a currency in three capital letters, such as EUR or USD", mend="write its three letters"
        )
    return value


def _scale(text: str) -> tuple[tuple[float, float], ...]:
    """Scale ranges from a text such as ``0.1 g to 500 g; 1 g to 10 kg``, the finest first."""
    allowed = "steps and heaviest loads such as: 0.1 g to 500 g; 1 g to 10 kg"
    ranges = []
    for part in filter(None, (p.strip() for p in text.split(";"))):
        ends = re.split(r"\s+to\s+", part)
        try:
            step, most = (parse_amount(end) for end in ends)
        except (QuantityError, ValueError) as error:
            raise CellError(
                allowed, str(error) if len(ends) == 2 else "write the step, the word to, and the heaviest load"
            ) from error
        if step.basis != "mass" or most.basis != "mass" or step.exact >= most.exact:
            raise CellError(
                allowed, f"{shown(part)}: the step is a mass smaller than the heaviest load, which is a mass too"
            )
        ranges.append((most.value, step.value))
    ranges.sort()
    if not ranges:
        raise CellError(allowed, "fill it in")
    if any(b[1] <= a[1] or b[0] <= a[0] for a, b in pairwise(ranges)):
        raise CellError(allowed, "a scale for heavier loads has the coarser step: put each range once")
    return tuple(ranges)


def read_containers(records: Records, book: FaultBook) -> tuple[dict[str, Container], Names]:
    """The containers, and all their names."""
    for r in records:
        if r["nominal"] is not None and r["brim"] is not None and r["brim"] < r["nominal"]:
            r.refuse(
                book,
                "brim",
                f"at least the nominal {r['nominal']:f} mL",
                "measure what it holds to the brim, or exchange the two",
            )
    found = {
        r["container"]: Container(r["container"], r["kind"], float(r["nominal"]), float(r["brim"]), float(r["mass"]))
        for r in records
        if r.whole
    }
    return found, Names.of("a container", records.file, records.names("container"))


def read_limits(records: Records, book: FaultBook) -> tuple[Limit, ...]:
    """The maker's own limits."""
    limits = []
    for r in records:
        members = _members(r, book)
        category = _limit_category(r["category"] or "")
        if category is None:
            r.refuse(
                book,
                "category",
                "all, or a category of the IFRA Standards since the 49th amendment: " + ", ".join(known_categories()),
                "correct it, or leave it blank for a limit that is not by category",
            )
        if r["unrestricted"] and r["most"] is not None:
            r.refuse(
                book, "unrestricted", "yes only where there is no figure under 'most [%]'", "delete one of the two"
            )
        if r.whole and members is not None and category is not None:
            limits.append(
                Limit(
                    substance=r["substance"],
                    most_percent=None if r["most"] is None else float(r["most"]),
                    members=members,
                    counted_as=r["counted_as"] or "as supplied",
                    applies=r["applies"],
                    category=category,
                    kind=r["kind"],
                    region=r["region"] or "",
                    conditions=r["conditions"] or "",
                    unrestricted=r["unrestricted"],
                    amendment=r["amendment"] or "",
                    date=r["date"].isoformat() if r["date"] else "",
                    source=r["source"],
                    checked=r["checked"],
                )
            )
    return tuple(limits)


def _limit_category(text: str) -> str | None:
    """A category in today's spelling, ``all``, or nothing; None for what is none of these."""
    if text.casefold() in {"", "all"}:
        return text.casefold()
    return plain_category(text) if plain_category(text) in known_categories() else None


def _members(record: Record, book: FaultBook) -> tuple[tuple[str, float], ...] | None:
    """INCI names with factors from a list such as ``Benzoic Acid; Sodium Benzoate = 0.84746``; none where the list is blank: then the substance's own names count."""
    if "members" not in record.values:
        return None
    members = []
    for part in record["members"]:
        name, _, text = part.partition("=")
        try:
            factor = typed_number(text, "a factor", "0.84746") if text.strip() else Fraction(1)
        except QuantityError:
            factor = Fraction(0)
        if not name.strip() or not 0 < factor <= 10:
            record.refuse(
                book,
                "members",
                "names, each alone or with a factor above 0 and up to 10, such as: Benzoic Acid; Sodium Benzoate = 0.84746",
                f"correct {shown(part)}",
            )
            return None
        members.append((name.strip(), float(factor)))
    return tuple(members)


def read_thickness(
    records: Records, book: FaultBook, recipes: Names, held: Mapping[str, Names]
) -> tuple[ThicknessReading, ...]:
    """The readings of thickness; `held` has the names of the ingredients in each recipe whose lines could be read."""
    points: list[ThicknessReading] = []
    rows: dict[tuple[object, ...], int] = {}
    for r in records:
        recipe = recipes.check(book, r.place("recipe"), r["recipe"]) if r["recipe"] else None
        ingredient = r["ingredient"]
        if ingredient and recipe in held:
            ingredient = held[recipe].check(book, r.place("ingredient"), ingredient)
        given = [measure for measure in MEASURES if r[measure] is not None]
        if r.whole and len(given) != 1:
            r.refuse(
                book,
                given[1] if given else "spread",
                "one figure a row: " + ", or ".join(r.heading(measure) for measure in MEASURES),
                "give the other a row of its own" if given else "fill in what was read, or delete the row",
            )
        elif r.whole and recipe and ingredient:
            seen = rows.setdefault(
                (recipe, ingredient, r["level"], given[0], r["at_c"], r["hours"], r["repeat"]), r.row
            )
            if seen != r.row:
                book.add(
                    *r.place("level"),
                    f"the same {given[0]}'s level, temperature, age and repeat as in row {seen}",
                    "one row for each",
                    "delete one of the two rows; or, if the sample was read twice, write 1 and 2 under a heading repeat",
                )
            points.append(
                ThicknessReading(
                    float(r["level"]),
                    float(r[given[0]]),
                    given[0],
                    float(r["at_c"]),
                    float(r["hours"]),
                    r["note"] or "",
                    recipe,
                    ingredient,
                )
            )
    return tuple(points)


def read_avoided(records: Records, book: FaultBook) -> tuple[Avoided, ...]:
    """The avoid-list."""
    for r in records:
        if r["avoid"] and not any(sign.isalnum() for sign in str(r["avoid"])):
            r.refuse(book, "avoid", "an ingredient, a substance or a family", "write a word, such as almond")
    return tuple(Avoided(r["person"], r["avoid"], r["reason"] or "") for r in records if r.whole)


def read_swaps(records: Records, book: FaultBook, ingredients: Names) -> tuple[Swap, ...]:
    """The swaps."""
    swaps = []
    for r in records:
        pair = [ingredients.check(book, r.place(key), r[key]) for key in ("ingredient", "instead") if r[key]]
        if len(pair) == 2 and pair[0] is not None and pair[0] == pair[1]:
            r.refuse(book, "instead", "another ingredient", "name what may be taken instead")
        if r.whole and None not in pair:
            swaps.append(Swap(str(pair[0]), str(pair[1]), float(r["ratio"]), r["what_changes"]))
    return tuple(swaps)
