"""A price of the maker's own, written into packs.csv: tried on a copy first, the tables before kept in the workshop's
folder of backups.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from maker_kit.errors import NoticeError, QuantityError, short
from maker_kit.names import name_key
from maker_kit.numbers import with_point
from maker_kit.together import put_together
from maker_kit.units import parse_amount
from maker_kit.workshop.beside import is_book, tables_in
from maker_kit.workshop.csv.cells import is_invented
from maker_kit.workshop.csv.columns import bare
from maker_kit.workshop.csv.kept import KeptTable
from maker_kit.workshop.csv.tables import DELIVERY, PACKS, SUPPLIERS
from maker_kit.workshop.csv.writing import write_bytes
from maker_kit.workshop.loading import SAVE, load_workshop
from maker_kit.workshop.making import without_tilde
from maker_kit.workshop.saving import file_bytes, tried_copy
from maker_kit.workshop.workshop import Workshop
from maker_kit.workshop.xlsx.saving import BookToSave
from maker_kit.workshop.xlsx.sheets import as_sheets

BACKUPS = "backups"
"""Folder of a workshop that tables are copied into before they are changed; nothing is read from it."""


@dataclass(frozen=True)
class SavedPrice:
    """What was done with a price.

    Attributes
    ----------
    workshop : Workshop
        Read again with it.
    item, size, supplier : str
    replaced : bool
        Whether the same pack of that supplier had a price before.
    invented : int
        How many invented packs of the same item were taken out of the table.
    new_supplier : bool
        Whether the supplier was written into suppliers.csv and delivery.csv.
    backup : Path
        Folder that holds the tables as they were.
    """

    workshop: Workshop
    item: str
    size: str
    supplier: str
    replaced: bool
    invented: int
    new_supplier: bool
    backup: Path

    def sentence(self) -> str:
        """All of it in words."""
        words = f"{self.item} {self.size} from {self.supplier} stands in packs.csv"
        if self.replaced:
            words += ", in place of the price it had"
        if self.new_supplier:
            words += "; the supplier is new in suppliers.csv and delivery.csv"
        if self.invented:
            packs = "1 invented price" if self.invented == 1 else f"{self.invented} invented prices"
            words += f"; {packs} of {self.item} {'is' if self.invented == 1 else 'are'} taken out"
        if self.workshop.tables and is_book(self.workshop.tables):
            words = as_sheets(words)
        return f"{words}. The tables as they were are kept in {BACKUPS}/{self.backup.name}"


def save_price(folder: str | Path, item: str, size: str, price: str, supplier: str, delivery: str = "") -> SavedPrice:
    """Write a pack with its price into packs.csv.

    The row of the same supplier, item and size is replaced. Invented packs of the item are taken out, so that no price
    that nobody asks is bought in place of a real one. Everything else stays to the letter.

    Parameters
    ----------
    folder : str or Path
        The workshop's folder, or the workbook that holds its tables.
    item : str
        An ingredient, a container, or the label.
    size : str
        As the pack says it: ``250 g``, ``24 pieces``.
    price : str
        Of one pack, with a decimal point or a decimal comma [currency].
    supplier : str
        One of suppliers.csv; another is written into it.
    delivery : str
        What one order costs in delivery [currency], for a supplier who is not on file; 0 where it costs nothing.

    Returns
    -------
    SavedPrice

    Raises
    ------
    NoticeError
        If something is not given, or a file cannot be read or written. Nothing was changed then.
    WorkshopError
        With every fault that the workshop would have with it, or has already. Nothing was changed then.
    """
    folder = tables_in(without_tilde(folder))
    book = BookToSave.of(folder) if is_book(folder) else None
    load_workshop(folder)
    asked = {"item": item, "size": size, "price": price, "supplier": supplier}
    item, size, price, supplier = (_given(what, text) for what, text in asked.items())
    read = book.view if book else lambda file: file_bytes(folder / file)
    before = {spec: read(spec.file) for spec in (PACKS, SUPPLIERS, DELIVERY)}
    kept = {spec: KeptTable.of(raw, spec) for spec, raw in before.items()}
    same, invented = set(), set()
    for place, row in _rows(kept[PACKS]):
        if name_key(row.get("item", "")) == name_key(item):
            marked = any(is_invented(row.get(bare(c.heading), ""), c) for c in PACKS.columns)
            if name_key(row.get("supplier", "")) == name_key(supplier) and _same_size(row.get("size", ""), size):
                same.add(place)
            elif marked:
                invented.add(place)
    pack = {"supplier": supplier, "item": item, "size": with_point(size), "price": with_point(price)}
    after = {PACKS: kept[PACKS].with_rows([pack], folder / PACKS.file, gone=same | invented)}
    known = {name_key(row.get("supplier", "")) for _, row in _rows(kept[SUPPLIERS])}
    is_new = name_key(supplier) not in known
    if is_new:
        if not delivery.strip():
            raise NoticeError(
                f'"{short(supplier)}" is no supplier on file yet: say what delivery of one order costs there, '
                "0 where it costs nothing"
            )
        after[SUPPLIERS] = kept[SUPPLIERS].with_rows([{"supplier": supplier}], folder / SUPPLIERS.file)
        carried = {"supplier": supplier, "price": with_point(delivery.strip())}
        after[DELIVERY] = kept[DELIVERY].with_rows([carried], folder / DELIVERY.file)
    if book:
        made = book.with_tables({spec.file: raw for spec, raw in after.items()})
        with book.tried(made) as copy:
            load_workshop(copy)
        book.check_unchanged()
        backup = new_backup(folder.parent)
        book.put(made, backup)
        return SavedPrice(load_workshop(folder), item, size, supplier, bool(same), len(invented), is_new, backup)
    with tried_copy(folder) as copy:
        for spec, raw in after.items():
            write_bytes(raw, copy / spec.file)
        load_workshop(copy)
    old, new = ({spec.file: raw for spec, raw in tables.items()} for tables in (before, after))
    backup = put_with_copies(folder, old, new)
    return SavedPrice(load_workshop(folder), item, size, supplier, bool(same), len(invented), is_new, backup)


def _given(what: str, text: str) -> str:
    if not isinstance(text, str) or not text.strip():
        raise NoticeError(f"the {what} is missing; nothing was saved")
    return " ".join(text.split())


def _rows(kept: KeptTable) -> Iterator[tuple[int, dict[str, str]]]:
    """The place of every row under the headings, with its cells by their bare heading."""
    head = next(k for k, row in enumerate(kept.cells) if any(c.strip() for c in row))
    headings = [bare(h) for h in kept.cells[head]]
    for place, row in enumerate(kept.cells):
        if place > head:
            yield place, {h: c.strip() for h, c in zip(headings, row, strict=False)}


def _same_size(one: str, other: str) -> bool:
    try:
        first, second = (parse_amount(with_point(text)) for text in (one, other))
    except QuantityError:
        return " ".join(one.split()) == " ".join(other.split())
    return (first.basis, first.value) == (second.basis, second.value)


def put_with_copies(folder: Path, before: Mapping[str, bytes], after: Mapping[str, bytes]) -> Path:
    """Keep some tables as they were in a new folder of backups, then put the new ones in place: all or none, whatever
    ends the program in between.

    Parameters
    ----------
    folder : Path
    before, after : Mapping of str to bytes
        What the tables were read as, and hold from now on, by their files.

    Returns
    -------
    Path
        Where the copies are.

    Raises
    ------
    NoticeError
        If a table has changed since it was read, or cannot be written. All are then as they were.
    """
    for file, raw in before.items():
        if file_bytes(folder / file) != raw:
            raise NoticeError(f"{file} has been changed meanwhile, so nothing was saved; do it again")
    backup = new_backup(folder)
    for file in after:
        (backup / file).parent.mkdir(exist_ok=True)
        write_bytes(before[file], backup / file)
    put_together(folder, SAVE, after)
    return backup


def new_backup(folder: Path) -> Path:
    """A new folder in a workshop's folder of backups, for the tables as they were. Raises NoticeError."""
    inside, name = folder / BACKUPS, datetime.now().strftime("%Y-%m-%d %H-%M-%S")
    try:
        inside.mkdir(exist_ok=True)
        for number in range(1, 1000):
            made = inside / (name if number == 1 else f"{name} {number}")
            if not made.exists():
                made.mkdir()
                return made
    except OSError as error:
        raise NoticeError(f"{inside} cannot be made: {error.strerror or error}; nothing was changed") from error
    raise NoticeError(f"{inside} holds too many copies of this second; nothing was changed")
