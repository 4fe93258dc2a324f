"""The maker's own settings, containers, limits, thickness readings, avoid-list and swaps."""

from __future__ import annotations

import re
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import fields, replace
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from typing import Any

from maker_kit.errors import QuantityError
from maker_kit.formula.container import Container
from maker_kit.formula.limits.categories import known_categories, plain_category
from maker_kit.formula.limits.limit import Limit
from maker_kit.formula.thickness.readings import MEASURES, ThicknessReading
from maker_kit.names import near_miss
from maker_kit.numbers import typed_number
from maker_kit.units import parse_amount
from maker_kit.workshop.csv.cell_numbers import CellError, Marks
from maker_kit.workshop.csv.cells import read_cell
from maker_kit.workshop.csv.columns import Column, bare
from maker_kit.workshop.csv.faults import Names, shown
from maker_kit.workshop.csv.habits import Habits
from maker_kit.workshop.csv.records import Record, Records
from maker_kit.workshop.csv.tables import SETTINGS
from maker_kit.workshop.things import Avoided, Settings, Swap


def read_settings(records: Records) -> Settings | None:
    """The settings, or None where one of them could not be read."""
    known, told = {bare(c.heading): c for c in SETTINGS.columns}, {c.key for c in SETTINGS.columns if not c.needed}
    values: dict[str, Any] = {c.key: c.blank for c in SETTINGS.columns if not c.needed}
    for record in records:
        column = known.get(bare(record["setting"] or ""))
        if column is None and record["setting"]:
            headings = [c.heading for c in known.values()]
            near = near_miss(record["setting"], headings)
            record.refuse(
                "setting", "one of: " + ", ".join(headings), near.sentence, meant="".join(near.close), known=headings
            )
        if column is None:
            continue
        told.add(column.key)
        try:
            text = record.texts.get("value", "")
            values[column.key] = _scale(text) if column.key == "scale" else _setting(text, column)
        except CellError as error:
            record.refuse("value", error.allowed, error.mend)
    if not records.readable:
        return None
    for column in SETTINGS.columns:
        if column.key not in told:
            records.book.add(
                records.file,
                None,
                "setting",
                f"no row for {column.heading!r}",
                "a row for each of: " + ", ".join(c.heading for c in SETTINGS.columns if c.needed),
                "add the row",
            )
    if len(values) < len(SETTINGS.columns):
        return None
    return Settings(**{key: float(v) if isinstance(v, Decimal) else v for key, v in values.items()})


def read_habits(records: Records) -> Habits:
    """What the settings say of how cells are typed, as far as they can be read: faults are told by `read_settings`."""
    wanted, values = {c.key: c for c in SETTINGS.columns if c.key in {f.name for f in fields(Habits)}}, {}
    by_heading = {bare(c.heading): c for c in wanted.values()}
    for record in records:
        if column := by_heading.get(bare(record["setting"] or "")):
            with suppress(CellError):
                values[column.key] = str(_setting(record.texts.get("value", ""), column))
    return Habits(**values)


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


def read_containers(records: Records) -> tuple[dict[str, Container], Names]:
    """The containers, and all their names."""
    for r in records:
        r.check_ends("nominal_ml", "brim_ml")
    return {box.name: box for box in records.made(Container)}, records.names("a container", "name")


def read_limits(records: Records) -> tuple[Limit, ...]:
    """The maker's own limits."""
    limits = []
    for r in records:
        members, category = _members(r), _limit_category(r["category"] or "")
        if category is None:
            allowed = "all, or a category of the IFRA Standards since the 49th amendment: "
            mend = "correct it, or leave it blank for a limit that is not by category"
            r.refuse("category", allowed + ", ".join(known_categories()), mend)
        if r["unrestricted"] and r["most_percent"] is not None:
            allowed = "yes only where there is no figure under 'most [%]'"
            r.refuse("unrestricted", allowed, "delete one of the two")
        if r.whole and members is not None and category is not None:
            day = r["date"].isoformat() if r["date"] else ""
            limits.append(r.make(Limit, members=members, category=category, date=day))
    return tuple(limits)


def _limit_category(text: str) -> str | None:
    """A category in today's spelling, ``all``, or nothing; None for what is none of these."""
    if text.casefold() in {"", "all"}:
        return text.casefold()
    return plain_category(text) if plain_category(text) in known_categories() else None


def _members(record: Record) -> tuple[tuple[str, float], ...] | None:
    """INCI names with factors from a list such as ``Benzoic Acid; Sodium Benzoate = 0.84746``; none where the list is
    blank: then the substance's own names count.
    """
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
                "members",
                "names, each alone or with a factor above 0 and up to 10, "
                "such as: Benzoic Acid; Sodium Benzoate = 0.84746",
                f"correct {shown(part)}",
            )
            return None
        members.append((name.strip(), float(factor)))
    return tuple(members)


def read_thickness(records: Records, recipes: Names, held: Mapping[str, Names]) -> tuple[ThicknessReading, ...]:
    """The thickness readings by recipe and thickener; `held` has the names of the ingredients in each recipe whose
    lines could be read.
    """
    found: list[ThicknessReading] = []
    rows: dict[tuple[ThicknessReading, int], int] = {}
    for r in records:
        recipe, ingredient = r.named("recipe", recipes), r["ingredient"]
        if recipe in held:
            ingredient = r.named("ingredient", held[recipe])
        given = [measure for measure in MEASURES if r[measure] is not None]
        if r.whole and len(given) != 1:
            r.refuse(
                given[1] if given else "spread",
                "one figure a row: " + ", or ".join(r.spec.heading(measure) for measure in MEASURES),
                "give the other a row of its own" if given else "fill in what was read, or delete the row",
            )
        elif r.whole and recipe and ingredient:
            about = {"recipe": recipe, "ingredient": ingredient, "measure": given[0]}
            reading = r.make(ThicknessReading, value=float(r[given[0]]), **about)
            seen = rows.setdefault((replace(reading, value=0.0, note=""), r["repeat"]), r.row)
            if seen != r.row:
                r.refuse(
                    "level_percent",
                    "one row for each",
                    "delete one of the two rows; "
                    "or, if the sample was read twice, write 1 and 2 under a heading repeat",
                    f"the same {given[0]}'s level, temperature, age and repeat as in row {seen}",
                )
            found.append(reading)
    return tuple(found)


def read_avoided(records: Records) -> tuple[Avoided, ...]:
    """The avoid-list."""
    for r in records:
        if r["avoid"] and not any(sign.isalnum() for sign in r["avoid"]):
            r.refuse("avoid", "an ingredient, a substance or a family", "write a word, such as almond")
    return records.made(Avoided)


def read_swaps(records: Records, ingredients: Names) -> tuple[Swap, ...]:
    """The swaps."""
    swaps = []
    for r in records:
        old, new = (r.named(key, ingredients) for key in ("ingredient", "instead"))
        if old and old == new:
            r.refuse("instead", "another ingredient", "name what may be taken instead")
        if r.whole and old and new:
            swaps.append(r.make(Swap, ingredient=old, instead=new))
    return tuple(swaps)
